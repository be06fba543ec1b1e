package printing

import "math"

// grid holds pieces of outlines by the squares that they lie in.
type grid struct {
	low    place
	size   float64 // of a square, mm
	nx, ny int
	starts []int32 // of each square: where its pieces begin, with one for the end
	pieces []int32
}

// mostSquares bounds a grid.
const mostSquares = 1 << 18

// fill lays pieces on squares of about a third of a reach.
func (g *grid) fill(pieces []piece, reach float64) {
	lo, hi := bounds(pieces)
	g.low = lo
	g.size = max(reach/3, math.Sqrt((hi.x-lo.x)*(hi.y-lo.y)/mostSquares), max(hi.x-lo.x, hi.y-lo.y)/mostSquares)
	g.nx, g.ny = 1+int((hi.x-lo.x)/g.size), 1+int((hi.y-lo.y)/g.size)
	n := g.nx*g.ny + 1
	if cap(g.starts) < n {
		g.starts = make([]int32, n)
	}
	g.starts = g.starts[:n]
	clear(g.starts)
	for i := range pieces {
		g.squares(&pieces[i], func(at int) { g.starts[at]++ })
	}
	sum := int32(0)
	for i, c := range g.starts {
		sum += c
		g.starts[i] = sum
	}
	if cap(g.pieces) < int(sum) {
		g.pieces = make([]int32, sum)
	}
	g.pieces = g.pieces[:sum]
	for i := range pieces {
		g.squares(&pieces[i], func(at int) {
			g.starts[at]--
			g.pieces[g.starts[at]] = int32(i)
		})
	}
}

// bounds are the corners of the box round some pieces.
func bounds(pieces []piece) (lo, hi place) {
	lo, hi = pieces[0].from, pieces[0].from
	for i := range pieces {
		p := pieces[i].from
		lo, hi = place{min(lo.x, p.x), min(lo.y, p.y)}, place{max(hi.x, p.x), max(hi.y, p.y)}
	}
	return lo, hi
}

// squares hands out the squares of the box round a piece.
func (g *grid) squares(p *piece, use func(at int)) {
	x0, y0 := g.square(min(p.from.x, p.to.x), min(p.from.y, p.to.y))
	x1, y1 := g.square(max(p.from.x, p.to.x), max(p.from.y, p.to.y))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			use(y*g.nx + x)
		}
	}
}

func (g *grid) square(x, y float64) (int, int) {
	return min(max(0, int((x-g.low.x)/g.size)), g.nx-1), min(max(0, int((y-g.low.y)/g.size)), g.ny-1)
}

// facing is the cosine of the angle at which two sides do not lie opposite one
// another any more: they meet in a corner, which has its own rule.
const facing = -0.5

// thickness is how thick the part is behind the middle of a piece, up to a reach.
func (g *grid) thickness(pieces []piece, at int, reach float64) float64 {
	p := &pieces[at]
	dx, dy := p.to.x-p.from.x, p.to.y-p.from.y
	l := math.Sqrt(dx*dx + dy*dy)
	nx, ny := -dy/l, dx/l // the part lies on the left
	o := place{(p.from.x + p.to.x) / 2, (p.from.y + p.to.y) / 2}
	nearest := reach
	steps := int(math.Ceil(reach/g.size)) * 2
	previous := -1
	for s := 0; s <= steps; s++ {
		way := reach * float64(s) / float64(steps)
		if way > nearest+g.size {
			break
		}
		x, y := o.x+nx*way, o.y+ny*way
		if x < g.low.x-g.size || y < g.low.y-g.size {
			break
		}
		sx, sy := g.square(x, y)
		square := sy*g.nx + sx
		if square == previous {
			continue
		}
		previous = square
		for _, i := range g.pieces[g.starts[square]:g.starts[square+1]] {
			if int(i) == at {
				continue
			}
			if t, ok := meets(&pieces[i], o, nx, ny); ok && t < nearest {
				nearest = t
			}
		}
	}
	return nearest
}

// meets is how far a ray goes to a piece that faces where it comes from.
func meets(q *piece, o place, nx, ny float64) (float64, bool) {
	ex, ey := q.to.x-q.from.x, q.to.y-q.from.y
	across := ny*ex - nx*ey // how fast the ray crosses the line of the piece
	m := math.Sqrt(ex*ex + ey*ey)
	if (-ey*nx+ex*ny) > facing*m || across == 0 { // the piece's own way in, against the ray's
		return 0, false
	}
	rx, ry := q.from.x-o.x, q.from.y-o.y
	t := (ry*ex - rx*ey) / across
	k := (ry*nx - rx*ny) / across
	return t, t > 1e-9 && k >= -0.01 && k <= 1.01
}
