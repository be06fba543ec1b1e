package bom

// Point is a place in space: X, Y and Z in mm.
type Point [3]float64

// Triangle is three corners, counter-clockwise seen from outside.
type Triangle [3]Point

// Solid is a body bounded by triangles, as a mesh file gives it, in mm. The
// triangles look outwards.
type Solid struct {
	Name      string // the file, as the user named it
	Triangles []Triangle
	Min, Max  Point // the bounds
}

// Size is the length of each side of the bounds, in mm.
func (s *Solid) Size() Point {
	return Point{s.Max[0] - s.Min[0], s.Max[1] - s.Min[1], s.Max[2] - s.Min[2]}
}
