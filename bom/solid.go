package bom

import (
	"math"
	"math/bits"
)

// Point is a place in space: X, Y and Z in mm.
type Point [3]float64

// Minus is how far a place is from another.
func (p Point) Minus(q Point) Point { return Point{p[0] - q[0], p[1] - q[1], p[2] - q[2]} }

// Triangle is three corners, counter-clockwise seen from outside.
type Triangle [3]Point

// Solid is a body bounded by triangles, as a mesh file gives it, in mm. The
// triangles look outwards.
type Solid struct {
	Triangles []Triangle
	Min, Max  Point // the bounds
}

// Size is the length of each side of the bounds, in mm.
func (s *Solid) Size() Point { return s.Max.Minus(s.Min) }

// Odd multipliers with well-spread bits: the fractions of √2, √3, √5, √7.
const (
	mixA = 0x6a09e667f3bcc909
	mixB = 0xbb67ae8584caa73b
	mixC = 0x3c6ef372fe94f82b
	mixD = 0xa54ff53a5f1d36f1
)

// fold mixes two words: the halves of their product.
func fold(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	return hi ^ lo
}

// Key is the same for the same place, and for different places hardly ever.
// Adding zero makes the two zeros one.
func (p *Point) Key() uint64 {
	x, y, z := math.Float64bits(p[0]+0), math.Float64bits(p[1]+0), math.Float64bits(p[2]+0)
	return fold(fold(x^mixA, y^mixB)^mixD, z^mixC)
}

// EdgeKey makes a key of an edge from the keys of its ends. It is the same for
// both directions, and 0 for an edge without length; sign is 0 in one direction
// and all ones in the other, so that (key ^ sign) − sign changes its sign.
func EdgeKey(a, b uint64) (key, sign uint64) {
	if a == b {
		return 0, 0
	}
	_, less := bits.Sub64(a, b, 0)
	return fold((a+b)^mixA, (a^b)^mixC), -less
}
