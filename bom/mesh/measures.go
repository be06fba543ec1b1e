package mesh

import (
	"fmt"
	"math"

	"tenoff/bom"
)

// Measures are what a mesh comes to.
type Measures struct {
	Triangles int64
	VolumeMM3 float64 // enclosed, never negative
	AreaMM2   float64
	Min, Max  bom.Point // bounds, mm

	Closed        bool  // every edge belongs to an even number of triangles
	Oriented      bool  // neighbouring triangles run along their edge in opposite ways
	OpenEdges     int64 // edges that belong to an odd number of triangles
	ClashingEdges int64 // edges that are not open, but whose triangles run the same way
}

// Size is the length of each side of the bounds, mm.
func (m Measures) Size() bom.Point { return m.Max.Minus(m.Min) }

// gauge sums a mesh in one pass and constant memory.
//
// The volume is the sum of the signed tetrahedra between each triangle and one
// point (the divergence theorem). The sum is taken about the first corner, which
// lies on the mesh, so that no digits are lost far from the origin, and is moved
// to the middle of the bounds at the end with the sum of the area vectors; a
// closed mesh, whose area vectors cancel, is not changed by that.
//
// Whether the mesh is closed is told by two sums over all edges: in one, an edge
// counts positive in one direction and negative in the other, in the other its
// bits are added without carry. Both come to nothing for a closed, consistently
// oriented mesh; any other passes with a probability of 2⁻⁶⁴.
type gauge struct {
	triangles    int64
	first        bom.Point
	min, max     bom.Point
	volume6      compensated    // six times the volume about first
	vector2      [3]compensated // twice the sum of the area vectors
	area2        compensated
	signed, pair uint64
}

func newGauge() *gauge {
	inf := math.Inf(1)
	return &gauge{min: bom.Point{inf, inf, inf}, max: bom.Point{-inf, -inf, -inf}}
}

// farthest is beyond any printer, and keeps products of three coordinates far
// inside what float64 holds.
const farthest = 1e9

func (g *gauge) add(batch []bom.Triangle) error {
	if len(batch) == 0 {
		return nil
	}
	if g.triangles == 0 {
		g.first = batch[0][0]
	}
	var volume, area, vx, vy, vz float64
	signed, pair, o := g.signed, g.pair, g.first
	lo, hi := batch[0][0], batch[0][0]
	for i := range batch {
		a, b, c := &batch[i][0], &batch[i][1], &batch[i][2]
		ux, uy, uz := b[0]-a[0], b[1]-a[1], b[2]-a[2]
		wx, wy, wz := c[0]-a[0], c[1]-a[1], c[2]-a[2]
		nx, ny, nz := uy*wz-uz*wy, uz*wx-ux*wz, ux*wy-uy*wx
		volume += (a[0]-o[0])*nx + (a[1]-o[1])*ny + (a[2]-o[2])*nz
		area += math.Sqrt(nx*nx + ny*ny + nz*nz)
		vx, vy, vz = vx+nx, vy+ny, vz+nz
		for _, p := range [3]*bom.Point{a, b, c} {
			widen(&lo, &hi, p)
		}
		ka, kb, kc := a.Key(), b.Key(), c.Key()
		for _, ends := range [3][2]uint64{{ka, kb}, {kb, kc}, {kc, ka}} {
			key, sign := bom.EdgeKey(ends[0], ends[1])
			signed += (key ^ sign) - sign
			pair ^= key
		}
	}
	// A corner that is not a number leaves its trace in the area.
	if math.IsNaN(area) || !within(&lo) || !within(&hi) {
		return g.lost(batch)
	}
	widen(&g.min, &g.max, &lo)
	widen(&g.min, &g.max, &hi)
	g.signed, g.pair = signed, pair
	g.triangles += int64(len(batch))
	g.volume6.add(volume)
	g.area2.add(area)
	for i, v := range [3]float64{vx, vy, vz} {
		g.vector2[i].add(v)
	}
	return nil
}

func widen(lo, hi, p *bom.Point) {
	for d, v := range p {
		lo[d], hi[d] = min(lo[d], v), max(hi[d], v)
	}
}

func within(p *bom.Point) bool {
	return math.Abs(p[0]) <= farthest && math.Abs(p[1]) <= farthest && math.Abs(p[2]) <= farthest
}

// lost names the first corner that is not a place.
func (g *gauge) lost(batch []bom.Triangle) error {
	for i := range batch {
		for c := range batch[i] {
			if p := &batch[i][c]; !within(p) {
				return &fault{what: fmt.Sprintf("triangle %d has a corner that is not a place", g.triangles+int64(i)+1),
					found: fmt.Sprint(p[0], p[1], p[2]), want: fmt.Sprintf("coordinates between ±%g mm", float64(farthest))}
			}
		}
	}
	return nil
}

func (g *gauge) measures() (m Measures, turned bool) {
	m = Measures{Triangles: g.triangles, Min: g.min, Max: g.max,
		AreaMM2: g.area2.sum() / 2, Closed: g.pair == 0, Oriented: g.signed == 0}
	if g.triangles == 0 {
		m.Min, m.Max = bom.Point{}, bom.Point{}
		return m, false
	}
	six := g.volume6.sum()
	for i := range g.vector2 {
		middle := g.min[i] + (g.max[i]-g.min[i])/2
		six -= (middle - g.first[i]) * g.vector2[i].sum()
	}
	m.VolumeMM3 = math.Abs(six) / 6
	return m, six < 0
}

// The sizes at which a mesh without a unit is asked about: hardly a printed part
// is under 1 mm (metres read as mm), few are under 6 mm (inches, which make a
// 150 mm part), none is over 2 m (common practice, no source).
const (
	metreSize, inchSize, hugeSize = 1, 6, 2000
)

// judge adds what is to be said about the measures.
func (m *Measures) judge(at bom.Place, unitless, turned bool, ps *bom.Problems) {
	size := m.Size()
	longest := max(size[0], size[1], size[2])
	switch {
	case m.Triangles == 0:
		ps.Errorf(at, "", "a mesh with at least four triangles", "the mesh has no triangles")
		return
	case !(m.VolumeMM3 > 1e-12*m.AreaMM2*longest):
		ps.Errorf(at, "", "a closed body", "the mesh encloses no volume")
		return
	}
	if m.OpenEdges > 0 {
		ps.Warnf(at, "", "close the holes; the volume is about right only where they are small",
			"the mesh is open: %d %s to one triangle only", m.OpenEdges, plural(m.OpenEdges, "edge belongs", "edges belong"))
	}
	if m.ClashingEdges > 0 {
		ps.Warnf(at, "", "let all triangles look outwards; the volume may be wrong",
			"the triangles look different ways at %d %s", m.ClashingEdges, plural(m.ClashingEdges, "edge", "edges"))
	}
	if turned {
		ps.Warnf(at, "", "nothing to do: it was read the other way round", "the triangles look inwards")
	}
	if !unitless {
		return
	}
	found := fmt.Sprintf("%.4g × %.4g × %.4g", size[0], size[1], size[2])
	switch {
	case longest < metreSize:
		ps.Warnf(at, found, "it was read as mm; write it in mm if it is not", "the mesh is very small: is it in metres, or in inches?")
	case longest < inchSize:
		ps.Warnf(at, found, "it was read as mm; write it in mm if it is not", "the mesh is small: is it in inches?")
	case longest > hugeSize:
		ps.Warnf(at, found, "it was read as mm; write it in mm if it is not", "the mesh is very large: is it in micrometres?")
	}
}

func plural(n int64, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// compensated is a sum that carries what rounding takes away (Neumaier,
// Zeitschrift für Angewandte Mathematik und Mechanik 54, 1974).
type compensated struct{ total, lost float64 }

func (c *compensated) add(v float64) {
	t := c.total + v
	if math.Abs(c.total) >= math.Abs(v) {
		c.lost += (c.total - t) + v
	} else {
		c.lost += (v - t) + c.total
	}
	c.total = t
}

func (c *compensated) sum() float64 { return c.total + c.lost }
