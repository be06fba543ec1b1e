package plates

// field is a plate that is being filled: the largest free rectangles, which
// overlap (Jylänki, A Thousand Ways to Pack the Bin, 2010: maximal rectangles).
type field struct {
	free []area
	rule int

	spare, cut []area // room for the next free rectangles, and for new ones
}

func newField(b board, rule int) *field {
	return &field{free: []area{{0, 0, b.w, b.h}}, rule: rule}
}

type area struct{ x, y, w, h float64 }

// spot is where a piece would lie.
type spot struct {
	x, y   float64
	turned bool
}

// The rules by which a place is chosen: the least left over along one side, the
// least area left over, the lowest.
const (
	shortSide = iota
	leastArea
	lowest
	rules
)

// score ranks places; less is better.
type score struct{ first, second float64 }

func (s score) less(t score) bool {
	return s.first < t.first-tiny || s.first <= t.first+tiny && s.second < t.second-tiny
}

// choose finds the best place for a piece.
func (f *field) choose(k kind) (at spot, best score, ok bool) {
	for _, a := range f.free {
		for _, turned := range [2]bool{false, true} {
			w, h := k.w, k.h
			if turned {
				if w == h {
					break
				}
				w, h = h, w
			}
			if w > a.w+tiny || h > a.h+tiny {
				continue
			}
			s := f.score(a, w, h)
			if !ok || s.less(best) {
				at, best, ok = spot{a.x, a.y, turned}, s, true
			}
		}
	}
	return at, best, ok
}

func (f *field) score(a area, w, h float64) score {
	restW, restH := a.w-w, a.h-h
	switch f.rule {
	case shortSide:
		return score{min(restW, restH), max(restW, restH)}
	case leastArea:
		return score{a.w*a.h - w*h, min(restW, restH)}
	}
	return score{a.y + h, a.x}
}

// take lays a piece and cuts it out of the free rectangles.
func (f *field) take(id int, k kind, at spot) Placement {
	w, h := k.w, k.h
	if at.turned {
		w, h = h, w
	}
	p := area{at.x, at.y, w, h}
	kept, cut := f.spare[:0], f.cut[:0]
	for _, a := range f.free {
		if p.x >= a.x+a.w-tiny || p.x+p.w <= a.x+tiny || p.y >= a.y+a.h-tiny || p.y+p.h <= a.y+tiny {
			kept = append(kept, a)
			continue
		}
		for _, c := range [4]area{
			{a.x, a.y, p.x - a.x, a.h},
			{p.x + p.w, a.y, a.x + a.w - p.x - p.w, a.h},
			{a.x, a.y, a.w, p.y - a.y},
			{a.x, p.y + p.h, a.w, a.y + a.h - p.y - p.h},
		} {
			if c.w > tiny && c.h > tiny {
				cut = append(cut, c)
			}
		}
	}
	f.free, f.spare, f.cut = prune(kept, cut), f.free, cut
	return Placement{Piece: id, X: at.x, Y: at.y, Turned: at.turned}
}

// prune leaves out rectangles inside others. Only new ones can lie inside
// another: what was kept was not inside before.
func prune(kept, cut []area) []area {
	old := len(kept)
next:
	for i, a := range cut {
		for _, b := range kept[:old] {
			if inside(a, b) {
				continue next
			}
		}
		for j, b := range cut {
			if i != j && inside(a, b) && !(j > i && inside(b, a)) { // of equal ones the first stays
				continue next
			}
		}
		kept = append(kept, a)
	}
	return kept
}

func inside(a, b area) bool {
	return a.x >= b.x-tiny && a.y >= b.y-tiny && a.x+a.w <= b.x+b.w+tiny && a.y+a.h <= b.y+b.h+tiny
}
