package printing

import (
	"math"
	"math/bits"

	"tenoff/bom"
)

// bends is a table of the edges that outlines cross, by the key of the edge,
// with the way of the outline in the triangle that came first: open addressing,
// which is several times as fast as a map. It also tells which triangles lie
// beside one another.
type bends struct {
	slots []bendSlot
	shift int
}

type bendSlot struct {
	key    uint64 // 0: free
	dx, dy float32
	side   int32 // of the triangle that came first
	state  int8
}

// The states of a slot: which side of the edge came first, or that both came.
const (
	before int8 = iota // the outline comes to the edge
	after              // the outline goes on from the edge
	both
)

// newBends makes room for a number of sides of edges, of which two make one.
func newBends(sides int) bends {
	log := max(4, bits.Len(uint(sides)))
	return bends{slots: make([]bendSlot, 1<<log), shift: 64 - log}
}

// find gives the slot of an edge, free if it is new.
func (b *bends) find(key uint64) *bendSlot {
	mask := len(b.slots) - 1
	for i := int(key * mix >> b.shift); ; i++ {
		if s := &b.slots[i&mask]; s.key == key || s.key == 0 {
			return s
		}
	}
}

// mix spreads keys over the table: 2^64 over the golden ratio (Knuth, The Art of
// Computer Programming 3, 6.4).
const mix = 0x9e3779b97f4a7c15

// crossing counts the sides of triangles that outlines cross.
func (k *knife) crossing(triangles []bom.Triangle) (n int) {
	for i := range triangles {
		t := &triangles[i]
		a, b, c := k.layer(t[0][2]), k.layer(t[1][2]), k.layer(t[2][2])
		if a != b {
			n++
		}
		if b != c {
			n++
		}
		if c != a {
			n++
		}
	}
	return n
}

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
	s := k.bends.find(key)
	if s.key == 0 || s.state != both && s.state == side {
		*s = bendSlot{key: key, dx: float32(dx), dy: float32(dy), side: int32(at), state: side}
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
	k.beside[at], k.beside[s.side] = s.side/3, int32(at/3)
	straight := x*dx + y*dy
	tangent := turn / max(1e-12, 1+straight)
	tangent = max(-sharpest, min(sharpest, tangent))
	k.corners[from] += tangent
	k.corners[to] -= tangent
	c := &k.cut
	if square := bom.JunctionSquare(c.Accelerate, c.JunctionMM, straight); square < c.Speed*c.Speed {
		lost := 1 - math.Sqrt(square)/c.Speed
		k.stops[from] += lost * lost
		k.stops[to] -= lost * lost
	}
}
