package printing

import (
	"cmp"
	"fmt"
	"math"

	"tenoff/bom"
)

// Layer is one layer of a part, cut at its middle.
type Layer struct {
	Height  float64 // mm
	Outline float64 // length of all outlines, mm
	Area    float64 // enclosed, mm²
	// Corners is Σ tan(θ/2) over the corners of the outlines, θ the angle by
	// which the outline turns there, negative where it turns into the part: the
	// outline moved inwards by d is shorter by 2 d Corners. It is 4 for a
	// rectangle, π for a circle and 0 for a ring.
	Corners     float64
	Top, Bottom Open

	shape *shape // of the outlines, or of those of a layer below that is much like it; nil where none close
}

// Open is what lies open above or below a layer, and is to be closed by solid layers.
type Open struct {
	Flat   float64 // mm², so flat that walls do not reach it
	Sloped float64 // mm², what the walls leave of a slope
	edge   float64 // length of the outlines along which Sloped and crossing Flat areas lie, mm
	rim    rim     // of Flat
}

func (l *Layer) open(up bool) *Open {
	if up {
		return &l.Top
	}
	return &l.Bottom
}

// Cut is how a solid is cut into layers.
type Cut struct {
	LayerMM                 float64
	FirstMM                 float64 // height of the lowest layer; 0: LayerMM
	FirstLineMM             float64 // width of its lines; 0: LineMM
	InsetMM                 float64 // by which outlines are moved into the part
	Gaps                    bool    // what is left between the lines of a thin wall is no wall
	LineMM                  float64
	Walls                   int
	TopLayers, BottomLayers int     // solid ones
	Accelerate              float64 // mm/s²
	JunctionMM              float64
	SolidUnder              float64 // what is smaller inside its walls is filled wholly, mm²
}

// MaxLayers bounds what a part is cut into.
const MaxLayers = 100_000

// Slice cuts a solid at the middle of each layer, from its lowest point up.
//
// The outline of a triangle's cut is a straight piece whose direction is the
// same at every height, so that its length changes linearly between corners; the
// area is the sum of the triangles between the pieces and the middle of the
// bounds (Green's theorem). A cut through a corner counts it as above.
func Slice(s *bom.Solid, c Cut) ([]Layer, error) {
	if !(c.LayerMM > 0) || !(c.LineMM > 0) {
		return nil, fmt.Errorf("a layer is %g mm high and a line %g mm wide; both must be over 0", c.LayerMM, c.LineMM)
	}
	height := s.Max[2] - s.Min[2]
	if !(height/c.LayerMM < MaxLayers) {
		return nil, fmt.Errorf("a part %.6g mm high has too many layers of %g mm; at most %d", height, c.LayerMM, MaxLayers)
	}
	if !(c.FirstMM > 0) {
		c.FirstMM = c.LayerMM
	}
	k := &knife{cut: c, bottom: s.Min[2], lift: c.FirstMM - c.LayerMM, middle: [2]float64{(s.Min[0] + s.Max[0]) / 2, (s.Min[1] + s.Max[1]) / 2}}
	n := max(1, k.layer(s.Max[2]))
	k.sums, k.cuts = make([]Layer, n), make([]cutSum, n)
	k.corners = make([]float64, n+1)
	k.bends = map[uint64]bend{}
	k.crossings = crossings{triangles: s.Triangles, beside: make([]int32, 3*len(s.Triangles))}
	for i := range k.beside {
		k.beside[i] = -1
	}
	for i := range s.Triangles {
		k.triangle(i)
	}
	k.rims()
	corners := 0.0
	for i := range k.sums {
		corners += k.corners[i]
		l := &k.sums[i]
		l.Height, l.Corners = c.LayerMM, corners
		l.Outline, l.Area = k.cuts[i].outline, max(0, k.cuts[i].area)
		l.inset(c.InsetMM)
	}
	k.sums[0].Height = c.FirstMM
	k.shapes()
	return k.sums, nil
}

// shapes looks at the outlines of the layers.
func (k *knife) shapes() {
	k.settle(len(k.sums), func(triangle int32) bool {
		t := &k.triangles[triangle]
		n := cross(t)
		return math.Abs(n[2]) > upright*math.Hypot(n[0], n[1])
	})
	c := &k.cut
	t := &tracer{c: &k.crossings, visited: make([]int32, len(k.triangles))}
	s := &shaper{walls: float64(c.Walls), accelerate: c.Accelerate, junction: c.JunctionMM, solidUnder: c.SolidUnder, inset: c.InsetMM, gaps: c.Gaps}
	s.lines(cmp.Or(c.FirstLineMM, c.LineMM), c.FirstMM)
	step, seen, passed := k.step(s.depth), -1, 0
	for i := range k.sums {
		if i == 1 && (s.line != c.LineMM || c.FirstMM != c.LayerMM) {
			s.lines(c.LineMM, c.LayerMM)
			seen = -1
		}
		if seen >= 0 && (!k.fresh[i] || passed < step && k.alike(i, seen)) {
			k.sums[i].shape = k.sums[seen].shape
			passed++
			continue
		}
		s.reset()
		t.outlines(i, k.height(i), s.add)
		k.sums[i].shape = s.shape()
		seen, passed = i, 1
	}
}

// inset moves the outlines of a layer inwards.
func (l *Layer) inset(by float64) {
	if by > 0 && l.Area > 0 {
		l.Area = max(0, l.Area-by*(l.Outline-by*l.Corners))
		l.Outline = max(0, l.Outline-2*by*l.Corners)
	}
}

// mostPieces is how many pieces of outlines are looked at, about: where sections
// change little from layer to layer, not all are.
const mostPieces = 5_000

// step is every how many layers a section is looked at that changes little.
func (k *knife) step(depth float64) int {
	total := 0.0
	for i := range k.sums {
		if k.fresh[i] {
			total += k.sums[i].Outline / max(1, depth)
		}
	}
	return 1 + int(min(total/mostPieces, MaxLayers))
}

// alike tells whether sections differ by little.
func (k *knife) alike(i, j int) bool {
	a, b := &k.sums[i], &k.sums[j]
	const little = 0.03
	return math.Abs(a.Outline-b.Outline) <= little*b.Outline && math.Abs(a.Area-b.Area) <= little*b.Area
}

// cross is the area vector of a triangle, twice as long.
func cross(t *bom.Triangle) [3]float64 {
	ux, uy, uz := t[1][0]-t[0][0], t[1][1]-t[0][1], t[1][2]-t[0][2]
	wx, wy, wz := t[2][0]-t[0][0], t[2][1]-t[0][1], t[2][2]-t[0][2]
	return [3]float64{uy*wz - uz*wy, uz*wx - ux*wz, ux*wy - uy*wx}
}

// knife holds the sums while triangles are cut.
type knife struct {
	cut     Cut
	bottom  float64
	lift    float64 // by which the lowest layer is higher than the others
	middle  [2]float64
	sums    []Layer
	cuts    []cutSum        // outline and area, apart from the rest: most triangles add only to these
	corners []float64       // their changes from layer to layer
	bends   map[uint64]bend // by the key of the edge
	levels  []face          // faces that lie open
	crossings
}

type cutSum struct{ outline, area float64 }

// tie is by how much a layer is cut below its middle, as a share of its height, so
// that one whose middle is just the top of the part is printed.
const tie = 1e-6

// layer is the first layer whose cut is at or above z, which is also the number of
// layers whose cut is below.
func (k *knife) layer(z float64) int {
	n := int(math.Ceil((z-k.bottom-k.lift)/k.cut.LayerMM - 0.5 + tie))
	if n <= 1 && k.lift != 0 {
		n = 0
		if z > k.height(0) {
			n = 1
		}
	}
	return n
}

// height is where a layer is cut.
func (k *knife) height(layer int) float64 {
	if layer == 0 {
		return k.bottom + k.cut.FirstMM*(0.5-tie)
	}
	return k.bottom + k.lift + (float64(layer)+0.5-tie)*k.cut.LayerMM
}

// triangle adds one triangle to all the layers that it crosses.
func (k *knife) triangle(number int) {
	t := &k.triangles[number]
	n := cross(t)
	nx, ny, nz := n[0], n[1], n[2]
	level := math.Sqrt(nx*nx + ny*ny)
	layers := [3]int{k.layer(t[0][2]), k.layer(t[1][2]), k.layer(t[2][2])}
	first, last := min(layers[0], layers[1], layers[2]), max(layers[0], layers[1], layers[2])
	open := k.open(number, nz, level, first, last)
	if first == last || level == 0 {
		return
	}
	dx, dy := -ny/level, nx/level // the way of the outline, with the part on its left
	for i := range t {
		k.bend(&t[i], &t[(i+1)%3], layers[i], layers[(i+1)%3], dx, dy, 3*number+i)
	}
	k.add(number, first, last)
	k.pieces(t, layers, dx, dy, open)
}

// opening is the area that a crossing triangle lays open, per mm of its cut.
type opening struct {
	up           bool
	flat, sloped float64
}

// open finds how much of a triangle lies open above or below. A triangle within
// one layer is added to it; for one that crosses layers the area goes with its
// cuts: a cut of length l stands for l × layer × run over rise.
func (k *knife) open(number int, nz, level float64, first, last int) (o opening) {
	if nz == 0 {
		return o
	}
	t := &k.triangles[number]
	tall := max(t[0][2], t[1][2], t[2][2])-min(t[0][2], t[1][2], t[2][2]) > k.cut.LayerMM
	rise := level / math.Abs(nz)
	flat := rise*k.cut.LineMM <= k.cut.LayerMM // each layer steps back by more than a line
	share := 1.0
	if !flat {
		layers := k.cut.TopLayers
		if nz < 0 {
			layers = k.cut.BottomLayers
		}
		share = k.left(float64(max(1, layers)) * k.cut.LayerMM / rise)
	}
	if tall && first != last {
		per := k.cut.LayerMM / rise * share
		if flat {
			return opening{up: nz > 0, flat: per}
		}
		return opening{up: nz > 0, sloped: per}
	}
	at := k.layer((t[0][2] + t[1][2] + t[2][2]) / 3)
	if nz > 0 {
		at-- // a top lies open at the layer below it
	}
	at = min(max(0, at), len(k.sums)-1)
	k.sums[at].open(nz > 0).lay(math.Abs(nz)/2*share, rise/k.cut.LayerMM, flat)
	if rise < even {
		k.levels = append(k.levels, face{int32(number), int32(at), nz > 0})
	}
	return o
}

// left is the share that walls leave of the run of a slope over the layers that close it:
// nothing where a line has no room.
func (k *knife) left(run float64) float64 {
	strip := run - float64(k.cut.Walls)*k.cut.LineMM
	if strip < thinnest*k.cut.LineMM {
		return 0
	}
	return strip / run
}

// lay adds a face that lies open within a layer. One that is not level stands for a
// step of a slope, of a length per area.
func (o *Open) lay(area, perArea float64, flat bool) {
	if !flat {
		o.Sloped += area
		return
	}
	o.Flat += area
	o.rim.step += area * perArea
	o.edge += area * perArea
}

// pieces adds the cuts of a triangle: below its middle corner they run between
// the long edge and the lower short one, above it between the long edge and the
// upper one.
func (k *knife) pieces(t *bom.Triangle, layers [3]int, dx, dy float64, open opening) {
	lo, mid, hi := 0, 1, 2
	if t[lo][2] > t[mid][2] {
		lo, mid = mid, lo
	}
	if t[mid][2] > t[hi][2] {
		mid, hi = hi, mid
	}
	if t[lo][2] > t[mid][2] {
		lo, mid = mid, lo
	}
	long := k.edge(&t[lo], &t[hi])
	mx, my := t[mid][0]-k.middle[0], t[mid][1]-k.middle[1]
	px, py := long.at(t[mid][2])
	width := (mx-px)*dx + (my-py)*dy // of the cut through the middle corner, signed by the way of the outline
	sign := 0.5
	if width < 0 {
		width, sign = -width, -0.5
	}
	if layers[lo] < layers[mid] {
		k.sweep(layers[lo], layers[mid], long, k.edge(&t[lo], &t[mid]), sign, width/(t[mid][2]-t[lo][2]), t[lo][2], open)
	}
	if layers[mid] < layers[hi] {
		k.sweep(layers[mid], layers[hi], long, k.edge(&t[mid], &t[hi]), sign, -width/(t[hi][2]-t[mid][2]), t[hi][2], open)
	}
}

// edge is a line in space as a function of its height, about the middle of the
// bounds.
type edge struct{ x, y, dx, dy, z float64 }

func (k *knife) edge(a, b *bom.Point) edge {
	rise := b[2] - a[2]
	if rise == 0 {
		return edge{x: a[0] - k.middle[0], y: a[1] - k.middle[1], z: a[2]}
	}
	return edge{a[0] - k.middle[0], a[1] - k.middle[1], (b[0] - a[0]) / rise, (b[1] - a[1]) / rise, a[2]}
}

func (e *edge) at(z float64) (x, y float64) {
	return e.x + e.dx*(z-e.z), e.y + e.dy*(z-e.z)
}

// sweep adds the cuts between two edges to the layers from first up to last; the
// cut's length grows by grow per mm from 0 at the height zero.
func (k *knife) sweep(first, last int, p, q edge, sign, grow, zero float64, open opening) {
	if first == 0 && last > 1 && k.lift != 0 { // the lowest layer's middle is not one layer below the next
		k.sweep(0, 1, p, q, sign, grow, zero, open)
		first = 1
	}
	// Twice the area between a cut and the middle is p × q, a polynomial of the
	// height; both edges are taken at the first cut.
	z := k.height(first)
	px, py := p.at(z)
	qx, qy := q.at(z)
	a0, a1, a2 := sign*(px*qy-py*qx), sign*(px*q.dy-py*q.dx+p.dx*qy-p.dy*qx), sign*(p.dx*q.dy-p.dy*q.dx)
	l0 := grow * (z - zero)
	cuts := k.cuts[first:last]
	for i := range cuts {
		up := float64(i) * k.cut.LayerMM
		cuts[i].outline += l0 + grow*up
		cuts[i].area += a0 + up*(a1+up*a2)
	}
	if open.flat+open.sloped == 0 {
		return
	}
	for i := first; i < last; i++ {
		length := l0 + grow*float64(i-first)*k.cut.LayerMM
		if i == 0 {
			length *= k.cut.FirstMM / k.cut.LayerMM
		}
		o := k.sums[i].open(open.up)
		o.edge += length
		if open.flat > 0 {
			o.rim.step += length
		}
		o.Flat += length * open.flat
		o.Sloped += length * open.sloped
	}
}
