package printing

import "math"

// island is an outline; one round a part of a layer takes in the holes in it.
type island struct {
	pieces      []piece
	area, walls float64 // enclosed, negative for a hole, and covered by lines, mm²
}

// smallShare puts the holes of a layer into the islands that they lie in, and tells
// what share of what the walls leave lies in islands of which they leave little.
func (s *shaper) smallShare() float64 {
	if s.solidUnder <= 0 {
		return 0
	}
	for i := range s.islands {
		hole := &s.islands[i]
		if hole.area >= 0 {
			continue
		}
		round, least := -1, math.Inf(1)
		for j := range s.islands {
			if o := &s.islands[j]; o.area > -hole.area && o.area < least && o.holds(hole.pieces[0].from) {
				round, least = j, o.area
			}
		}
		if round >= 0 {
			s.islands[round].walls += hole.walls - hole.area // the hole's area is negative
		}
	}
	inside, small := 0.0, 0.0
	for i := range s.islands {
		left := s.islands[i].area - s.islands[i].walls
		if left <= 0 {
			continue
		}
		inside += left
		if left < s.solidUnder {
			small += left
		}
	}
	if inside <= 0 {
		return 0
	}
	return small / inside
}

// holds tells whether a point lies within an outline: a ray from it crosses the
// outline an odd number of times (Jordan curve theorem).
func (o *island) holds(p place) bool {
	in := false
	for i := range o.pieces {
		a, b := &o.pieces[i].from, &o.pieces[i].to
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(b.x-a.x)*(p.y-a.y)/(b.y-a.y) {
			in = !in
		}
	}
	return in
}
