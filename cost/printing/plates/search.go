package plates

import (
	"cmp"
	"slices"
)

// The search is for few pieces and gives up after so many steps.
const (
	searchPieces = 60
	searchSteps  = 500_000
)

// joinLast searches for a plate that holds what lies on the last two, as long as
// the area allows it.
func joinLast(b board, kinds []kind, plates []Plate, bound int) []Plate {
	for len(plates) > max(bound, 1) {
		n := len(plates)
		both := append(slices.Clone(plates[n-1]), plates[n-2]...)
		if len(both) > searchPieces || used(both, kinds) > b.w*b.h+tiny {
			return plates
		}
		one := onOne(b, kinds, both)
		if one == nil {
			return plates
		}
		plates = append(plates[:n-2], one)
	}
	return plates
}

// skyline is the upper edge of what is laid, from left to right.
type skyline []step

type step struct{ x, y, w float64 }

// search lays pieces from below: the lowest gap of the skyline, and of several
// the leftmost, takes a piece at its left end or is given up, as long as what is
// given up does not exceed the area that may stay empty.
type search struct {
	b     board
	kinds []kind
	left  []int
	order []int
	more  int
	spare float64
	steps int
	plate Plate
}

func onOne(b board, kinds []kind, pieces Plate) Plate {
	s := &search{b: b, kinds: kinds, left: make([]int, len(kinds)), more: len(pieces)}
	for _, p := range pieces {
		s.left[p.Piece]++
	}
	for i, n := range s.left {
		if n > 0 {
			s.order = append(s.order, i)
		}
	}
	slices.SortStableFunc(s.order, func(i, j int) int {
		return cmp.Compare(kinds[j].w*kinds[j].h, kinds[i].w*kinds[i].h)
	})
	s.spare = b.w*b.h - used(pieces, kinds) + tiny
	if s.lay(skyline{{0, 0, b.w}}) {
		return s.plate
	}
	return nil
}

func (s *search) lay(line skyline) bool {
	if s.more == 0 {
		return true
	}
	if s.steps++; s.steps > searchSteps {
		return false
	}
	gap := 0
	for i := range line {
		if line[i].y < line[gap].y-tiny {
			gap = i
		}
	}
	g := line[gap]
	for _, i := range s.order {
		if s.left[i] == 0 {
			continue
		}
		for _, turned := range [2]bool{false, true} {
			w, h := s.kinds[i].w, s.kinds[i].h
			if turned {
				if w == h {
					break
				}
				w, h = h, w
			}
			if w > g.w+tiny || g.y+h > s.b.h+tiny {
				continue
			}
			s.left[i]--
			s.more--
			s.plate = append(s.plate, Placement{Piece: i, X: g.x, Y: g.y, Turned: turned})
			if s.lay(line.lifted(gap, w, g.y+h)) {
				return true
			}
			s.plate = s.plate[:len(s.plate)-1]
			s.left[i]++
			s.more++
		}
	}
	return s.giveUp(line, gap)
}

// giveUp leaves a gap empty up to the lower of its neighbours.
func (s *search) giveUp(line skyline, gap int) bool {
	up := s.b.h
	if gap > 0 {
		up = min(up, line[gap-1].y)
	}
	if gap+1 < len(line) {
		up = min(up, line[gap+1].y)
	}
	empty := (up - line[gap].y) * line[gap].w
	if empty <= tiny || empty > s.spare {
		return false
	}
	s.spare -= empty
	ok := s.lay(line.lifted(gap, line[gap].w, up))
	s.spare += empty
	return ok
}

// lifted raises the left w of a gap to y and joins steps of one height.
func (l skyline) lifted(gap int, w, y float64) skyline {
	out := make(skyline, 0, len(l)+1)
	add := func(s step) {
		if n := len(out); n > 0 && out[n-1].y > s.y-tiny && out[n-1].y < s.y+tiny {
			out[n-1].w += s.w
			return
		}
		out = append(out, s)
	}
	for i, s := range l {
		if i != gap {
			add(s)
			continue
		}
		add(step{s.x, y, w})
		if s.w-w > tiny {
			add(step{s.x + w, s.y, s.w - w})
		}
	}
	return out
}
