package toolpath

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// Result is what a toolpath comes to.
type Result struct {
	Tools       []ToolUse // the tools that extruded, by number
	FilamentMM  float64   // of all tools
	VolumeMM3   float64   // of all tools
	Seconds     float64   // moves, waits and tool changes; heating not included
	Min, Max    bom.Point // bounds of the piece, mm: see the package's doc
	Beside      bool      // something is printed beside the piece in the first layers
	Layers      int       // heights at which something is printed level
	LargestFlow float64   // mm³/s
	Moves       int64
	ToolChanges int
	HeatWaits   int   // waits for a temperature, whose time is not known
	Lines       int64 // of the file
	Unknown     []UnknownWord

	used [maxTool + 1]use
	brim bounds // of the piece with what hangs together with it in the lowest layer
}

// ToolUse is the filament of one tool.
type ToolUse struct {
	Tool       int
	FilamentMM float64
	VolumeMM3  float64
	G          bom.Measure // known where the density is
}

// UnknownWord is a word that was ignored.
type UnknownWord struct {
	Word  string
	Count int64
}

// Hours is the time in hours.
func (r *Result) Hours() float64 { return r.Seconds / 3600 }

// Size is the length of each side of the bounds of the piece, mm.
func (r *Result) Size() bom.Point { return r.Max.Minus(r.Min) }

// G is the mass of all filament; known where every density is.
func (r *Result) G() bom.Measure {
	sum := bom.Known(0)
	for _, t := range r.Tools {
		sum.Value += t.G.Value
		sum.Known = sum.Known && t.G.Known
	}
	if !sum.Known {
		return bom.Measure{}
	}
	return sum
}

// use follows the filament of a tool. What has left the nozzle is the farthest
// that the filament was ever pushed: what is pulled back and returned is not
// counted twice, and what stays pulled back at the end is not given back.
type use struct{ at, farthest float64 }

func (r *Result) extrude(tool int, e float64) {
	u := &r.used[tool]
	u.at += e
	u.farthest = max(u.farthest, u.at)
}

func (r *Result) sum(o Options, print *footprint) {
	for tool, u := range r.used {
		if u.farthest <= 0 {
			continue
		}
		t := ToolUse{Tool: tool, FilamentMM: u.farthest, VolumeMM3: u.farthest * o.area(tool)}
		if f := o.filament(tool); f.Density > 0 {
			t.G = bom.Known(t.VolumeMM3 / 1000 * f.Density)
		}
		r.FilamentMM += t.FilamentMM
		r.VolumeMM3 += t.VolumeMM3
		r.Tools = append(r.Tools, t)
	}
	on := print.tell()
	r.Min, r.Max, r.Beside, r.brim = on.piece.min, on.piece.max, on.beside, on.brim
}

// bounds are the smallest box round points.
type bounds struct {
	any      bool
	min, max bom.Point
}

func (b *bounds) take(p *bom.Point) {
	if !b.any {
		b.any, b.min, b.max = true, *p, *p
		return
	}
	for i, v := range p {
		b.min[i], b.max[i] = min(b.min[i], v), max(b.max[i], v)
	}
}

// tally counts words that are not known.
type tally map[string]int64

// maxNames bounds the names that are kept; the rest are counted together.
const (
	maxNames   = 200
	otherWords = "others"
)

func (t tally) count(word string) {
	if _, ok := t[word]; !ok && len(t) >= maxNames {
		word = otherWords
	}
	t[word]++
}

// sorted has the most frequent first.
func (t tally) sorted() []UnknownWord {
	var out []UnknownWord
	for word, n := range t {
		out = append(out, UnknownWord{word, n})
	}
	slices.SortFunc(out, func(a, b UnknownWord) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), strings.Compare(a.Word, b.Word))
	})
	return out
}

// shownNames is how many unknown words a warning names.
const shownNames = 10

func listed(words []UnknownWord) (text string, total int64) {
	var parts []string
	for _, w := range words {
		total += w.Count
		parts = append(parts, fmt.Sprintf("%s × %d", w.Word, w.Count))
	}
	return bom.Some(parts, shownNames), total
}
