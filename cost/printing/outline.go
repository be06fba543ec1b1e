package printing

import (
	"math"

	"tenoff/bom"
)

// place is a point of a section, mm.
type place struct{ x, y float64 }

func distance(a, b place) float64 { return math.Sqrt((b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y)) }

// crossings are the triangles of a solid by the layers that they cross, and who
// lies beside whom.
type crossings struct {
	triangles []bom.Triangle
	beside    []int32 // triangle beyond each side, three a triangle; -1: none
	spans     []span  // in the order of their first layers
	starts    []int32 // of each layer: where its spans begin, with one for the end
	fresh     []bool  // of each layer: its section is not that of the layer below
}

// span is a triangle and the layers that it crosses, from first up to last.
type span struct{ triangle, first, last int32 }

func (c *crossings) add(triangle, first, last int) {
	c.spans = append(c.spans, span{int32(triangle), int32(first), int32(last)})
}

// upright is the run over rise under which a side counts as upright: a layer of
// 0.2 mm moves by less than what files round to.
const upright = 1e-3

// settle sorts the spans by layer and finds the layers at which sections change.
// Sloped tells which triangles change from layer to layer.
func (c *crossings) settle(layers int, sloped func(triangle int32) bool) {
	c.starts, c.fresh = make([]int32, layers+1), make([]bool, layers)
	changing := make([]int32, layers+1)
	for _, s := range c.spans {
		c.starts[s.first]++
		c.fresh[s.first] = true
		if int(s.last) < layers {
			c.fresh[s.last] = true
		}
		if s.last > s.first+1 && sloped(s.triangle) {
			changing[s.first+1]++
			changing[s.last]--
		}
	}
	sorted, at := make([]span, len(c.spans)), int32(0)
	for i := range layers {
		n := c.starts[i]
		c.starts[i] = at
		at += n
	}
	c.starts[layers] = at
	next := append([]int32(nil), c.starts...)
	for _, s := range c.spans {
		sorted[next[s.first]] = s
		next[s.first]++
	}
	c.spans = sorted
	slopes := int32(0)
	for i := range layers {
		slopes += changing[i]
		c.fresh[i] = c.fresh[i] || slopes > 0
	}
}

// tracer walks round the outlines of one layer after the other.
type tracer struct {
	c       *crossings
	active  []span
	next    int     // layer up to which active holds
	visited []int32 // layer at which a triangle was walked over last, and one
	points  []place
	open    [][]place // outlines that do not close
}

// outlines hands out the outlines of a layer that is cut at a height, with the
// part on their left. Layers come in order.
func (t *tracer) outlines(layer int, height float64, use func(points []place)) {
	for ; t.next <= layer; t.next++ {
		t.active = append(t.active, t.c.spans[t.c.starts[t.next]:t.c.starts[t.next+1]]...)
	}
	kept := t.active[:0]
	for _, s := range t.active {
		if int(s.last) > layer {
			kept = append(kept, s)
		}
	}
	t.active = kept
	mark := int32(layer) + 1
	for _, s := range t.active {
		if t.visited[s.triangle] == mark {
			continue
		}
		t.points = t.points[:0]
		at := s.triangle
		for at >= 0 && t.visited[at] != mark {
			t.visited[at] = mark
			p, side := passes(&t.c.triangles[at], height, true)
			if side < 0 {
				at = -1
				break
			}
			t.points = append(t.points, p)
			at = t.c.beside[3*int(at)+side]
		}
		if at != s.triangle {
			if p, side := passes(&t.c.triangles[s.triangle], height, false); side >= 0 {
				t.open = append(t.open, append([]place{p}, t.points...))
			}
			continue
		}
		t.hand(t.points, use)
	}
	t.join(use)
}

func (t *tracer) hand(points []place, use func(points []place)) {
	if points = plain(points); len(points) > 2 {
		use(points)
	}
}

// mostOpen is how many stretches of outlines that do not close are joined, each to
// the one that begins nearest to its end.
const mostOpen = 300

// join hands out the outlines that do not close, as they close best.
func (t *tracer) join(use func(points []place)) {
	open := t.open
	t.open = t.open[:0]
	for len(open) > 0 {
		points := open[len(open)-1]
		open = open[:len(open)-1]
		for len(open) < mostOpen {
			end := points[len(points)-1]
			nearest, least := -1, distance(end, points[0])
			for i := range open {
				if d := distance(end, open[i][0]); d < least {
					nearest, least = i, d
				}
			}
			if nearest < 0 {
				break
			}
			points = append(points, open[nearest]...)
			open[nearest] = open[len(open)-1]
			open = open[:len(open)-1]
		}
		t.hand(points, use)
	}
}

// passes is where the outline leaves a triangle, through the side that runs up, or
// comes into it, through the one that runs down.
func passes(t *bom.Triangle, height float64, up bool) (p place, side int) {
	for i := range t {
		a, b := &t[i], &t[(i+1)%3]
		if up && a[2] <= height && height < b[2] || !up && b[2] <= height && height < a[2] {
			k := (height - a[2]) / (b[2] - a[2])
			return place{a[0] + k*(b[0]-a[0]), a[1] + k*(b[1]-a[1])}, i
		}
	}
	return p, -1
}

// straight is by how much a straight line may leave an outline, mm.
const straight = 0.01

// plain leaves out the points of an outline that hardly bend it. A line stands
// for points as long as the area between, that of an arc of two thirds of its
// height, is small.
func plain(points []place) []place {
	if len(points) < 4 {
		return points
	}
	kept, area := 1, 0.0
	from, last := points[0], points[0]
	for _, p := range points[1:] {
		more := ((last.x-from.x)*(p.y-from.y) - (last.y-from.y)*(p.x-from.x)) / 2
		if math.Abs(area+more) > straight*2/3*distance(from, p) && last != from {
			points[kept] = last
			kept++
			from, area = last, 0
			more = 0
		}
		area += more
		last = p
	}
	points[kept] = last
	return points[:kept+1]
}
