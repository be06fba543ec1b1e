package printing

// region is a run of pieces of an outline, or several that enclose the same part of
// the inside of a layer: a tree with the length of all chords at its root. Where walls
// meet in narrow places the inside is parted.
type region struct {
	root   int32
	length float64 // mm
}

// runs numbers the runs of pieces between places at which nothing is left inside.
func (s *shaper) runs() {
	s.regions = s.regions[:0]
	for i, begin := range s.loops {
		end := len(s.pieces)
		if i+1 < len(s.loops) {
			end = s.loops[i+1]
		}
		if begin == end {
			continue
		}
		first, before := int32(len(s.regions)), int32(-1)
		for k := begin; k < end; k++ {
			p := &s.pieces[k]
			if p.run >= 0 {
				if before < 0 {
					before = int32(len(s.regions))
					s.regions = append(s.regions, region{root: before})
				}
				p.run = before
			}
			before = p.run
		}
		if before >= 0 && s.pieces[begin].run >= 0 { // the last goes on in the first
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

// smaller is the share of the inside that lies in regions with less than a length of
// chords, mm.
func (s *shaper) smaller(than float64) float64 {
	small, all := 0.0, 0.0
	for i, r := range s.regions {
		if r.root != int32(i) {
			continue
		}
		all += r.length
		if r.length < than {
			small += r.length
		}
	}
	if all <= 0 {
		return 0
	}
	return small / all
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
