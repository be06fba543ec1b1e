package printing

import "tenoff/bom"

// bend is what is known of an edge that outlines cross: the way of the outline in the
// triangle that came first.
type bend struct {
	dx, dy float32
	side   int32 // of the triangle that came first
	state  int8
}

// The states of a bend: which side of the edge came first, or that both came.
const (
	before int8 = iota // the outline comes to the edge
	after              // the outline goes on from the edge
	both
)

// sharpest bounds tan(θ/2): a line is not drawn into a sharper point than this.
const sharpest = 4

// bend looks at a side of a triangle that runs from a to b. An outline with the
// part on its left comes to a side that runs up and goes on from one that runs
// down. When both triangles of an edge are there, the outline's corner is known
// for all layers that the edge crosses.
func (k *knife) bend(a, b *bom.Point, from, to int, dx, dy float64, at int) {
	if from == to {
		return
	}
	key, _ := bom.EdgeKey(a.Key(), b.Key())
	if key == 0 {
		return
	}
	side := before
	if from > to {
		side, from, to = after, to, from
	}
	s, met := k.bends[key]
	if !met || s.state == side {
		k.bends[key] = bend{dx: float32(dx), dy: float32(dy), side: int32(at), state: side}
		return
	}
	if s.state == both { // more than two triangles at one edge
		return
	}
	x, y := float64(s.dx), float64(s.dy)
	turn := x*dy - y*dx // the sine of the angle, from before to after
	if side == before {
		turn = -turn
	}
	s.state = both
	k.bends[key] = s
	k.beside[at], k.beside[s.side] = s.side/3, int32(at/3)
	straight := x*dx + y*dy
	tangent := turn / max(1e-12, 1+straight)
	tangent = max(-sharpest, min(sharpest, tangent))
	k.corners[from] += tangent
	k.corners[to] -= tangent
}
