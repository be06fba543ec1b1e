package toolpath

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tenoff/bom"
)

// Result is what a toolpath comes to.
type Result struct {
	Tools      int         // those that extruded
	FilamentMM float64     // of all tools
	G          bom.Measure // of all filament; known where its density is
	Seconds    float64     // moves and waits; heating not included
	Min, Max   bom.Point   // bounds of the piece, mm: see the package's doc
	Beside     bool        // something is printed beside the piece in the first layers
	Layers     int         // heights at which something is printed level

	moves int64
	used  [maxTool + 1]use
	brim  bounds // of the piece with what hangs together with it in the lowest layer
}

// Path is what the piece takes.
func (r *Result) Path() *bom.Path {
	return &bom.Path{SizeMM: r.Size(), G: r.G, FilamentM: r.FilamentMM / 1000, Hours: r.Seconds / 3600}
}

// Size is the length of each side of the bounds of the piece, mm.
func (r *Result) Size() bom.Point { return r.Max.Minus(r.Min) }

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
	for _, u := range r.used {
		if u.farthest > 0 {
			r.Tools++
			r.FilamentMM += u.farthest
		}
	}
	if density := o.Filament.Density; density > 0 {
		r.G = bom.Known(r.FilamentMM * o.area() / 1000 * density)
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

// shownNames is how many unknown words a warning names.
const shownNames = 10

// listed names the words, the most frequent first.
func (t tally) listed() (text string, total int64) {
	words := slices.SortedFunc(maps.Keys(t), func(a, b string) int { return cmp.Or(cmp.Compare(t[b], t[a]), strings.Compare(a, b)) })
	var parts []string
	for _, word := range words {
		total += t[word]
		parts = append(parts, fmt.Sprintf("%s × %d", word, t[word]))
	}
	return bom.Some(parts, shownNames), total
}
