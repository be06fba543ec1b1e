package printing

import "tenoff/bom"

// region is a run of pieces of an outline, or several that enclose the same part of
// the inside of a layer: a tree with the length of all chords at its root. Where walls
// meet in narrow places the inside is parted.
type region struct {
	root    int32
	length  float64 // mm
	outline float64 // length of the pieces round it, mm, where it is a root
}

// runs numbers the runs of pieces between places at which nothing is left inside.
func (s *shaper) runs() {
	s.regions = s.regions[:0]
	for i := range s.loops {
		pieces := s.outlineAt(i)
		first, before := int32(len(s.regions)), int32(-1)
		for k := range pieces {
			p := &pieces[k]
			if p.run >= 0 {
				if before < 0 {
					before = int32(len(s.regions))
					s.regions = append(s.regions, region{root: before})
				}
				p.run = before
			}
			before = p.run
		}
		if before >= 0 && pieces[0].run >= 0 { // the last goes on in the first
			s.join(first, before, 0)
		}
	}
}

// join makes one region of the two that a chord of a length lies between.
func (s *shaper) join(a, b int32, length float64) {
	if a < 0 {
		a, b = b, a
	}
	if a < 0 {
		return
	}
	a = s.root(a)
	if b >= 0 {
		if b = s.root(b); a != b {
			s.regions[b].root = a
			length += s.regions[b].length
		}
	}
	s.regions[a].length += length
}

func (s *shaper) root(of int32) int32 {
	for r := s.regions; r[of].root != of; of = r[of].root {
		r[of].root = r[r[of].root].root
	}
	return of
}

// smaller is the share of an inside of an area that lies in regions under another.
func (s *shaper) smaller(than, inside float64) float64 {
	small, all := 0.0, 0.0
	for i, r := range s.regions {
		if r.root == int32(i) {
			all += r.length
		}
	}
	if all <= 0 {
		return 0
	}
	for i, r := range s.regions {
		if r.root == int32(i) && r.length/all*inside < than {
			small += r.length
		}
	}
	return small / all
}

// shorter adds the innermost lines round parts of the inside that are as short as small
// outlines, of outlines that are not small.
func (s *shaper) shorter(r *ring) {
	if s.walls < 2 || r.outlines == 0 {
		return
	}
	s.around(func(p *piece, length float64, _ bool) { s.regions[s.root(p.run)].outline += length })
	s.around(func(p *piece, length float64, small bool) {
		if !small && s.regions[s.root(p.run)].outline < bom.SmallOutlineMM {
			r.short += length
		}
	})
	r.short = min(r.short, r.lines-r.first)
}

// around hands out the pieces that go round a part of the inside, and whether their
// outline is small.
func (s *shaper) around(use func(p *piece, length float64, small bool)) {
	for i := range s.loops {
		pieces, outline := s.outlineAt(i), 0.0
		for _, p := range pieces {
			outline += distance(p.from, p.to)
		}
		for k := range pieces {
			if p := &pieces[k]; p.run >= 0 {
				use(p, distance(p.from, p.to), outline < bom.SmallOutlineMM)
			}
		}
	}
}

// newParts counts the parts of an area that lines go through one after the other: as
// many begin at a line as it has more chords than the line before.
type newParts struct {
	line        int32
	now, before int // chords of the line, and of the one before
	begun       float64
}

// chord takes one; lines come in order.
func (n *newParts) chord(line int32) {
	if line != n.line {
		n.begun += float64(max(0, n.now-n.before))
		n.before, n.now = n.now, 0
		if line != n.line+1 {
			n.before = 0
		}
		n.line = line
	}
	n.now++
}

func (n *newParts) end() float64 { return n.begun + float64(max(0, n.now-n.before)) }
