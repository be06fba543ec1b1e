package toolpath

import (
	"math"

	"tenoff/bom"
)

// footprint tells the piece from what is printed beside and round it. Skirts and
// purge lines stand in the first layers, apart; a brim hangs together with the
// piece, but in the lowest layer alone. What hangs together above that, a thin
// base for one, is of the piece.
//
// What is printed in the lowest heights is kept as the cells of a grid that it
// goes through, each with the bounds of it and the greatest height. Memory hangs
// on how much of the bed is printed on, not on the length of the file.
type footprint struct {
	low    bounds         // of what is printed in the lowest heights
	above  bounds         // of all else
	lowest [watched]int32 // heights of layers, in order
	known  int            // how many of them are
	cells  map[[2]int32]*cell
	lost   bool // there is too much to be kept
}

const (
	firstLayers = 2               // in which something may stand beside the piece (common practice, no source)
	watched     = firstLayers + 1 // what the next one holds is of the piece

	// cellSize is that of the grid, mm, and reach how many cells apart things still
	// hang together: at 1 mm they do, as lines of the widest nozzles do, from 1.5 mm
	// along an axis they do not.
	cellSize = 0.5
	reach    = 2

	maxCells = 1 << 20 // some 100 MB; a bed of 0.5 m, wholly printed on
)

// cell is a square of the bed. The bounds are relative to its corner.
type cell struct {
	minX, minY, maxX, maxY float32
	top                    int32 // greatest height
}

// layer takes a height at which something is printed level for the first time.
func (f *footprint) layer(height int32) {
	i := f.known
	for i > 0 && f.lowest[i-1] > height {
		i--
	}
	if i == watched {
		return
	}
	f.known = min(f.known+1, watched)
	copy(f.lowest[i+1:], f.lowest[i:])
	f.lowest[i] = height
}

// take takes a straight line or an arc whose greatest height is top.
func (f *footprint) take(from, to bom.Point, r *arc, top int32) {
	box, isLow := &f.low, f.known < watched || top <= f.lowest[watched-1]
	if !isLow {
		box = &f.above
	}
	if r == nil {
		box.take(&from)
		box.take(&to)
	} else {
		r.corners(box.take)
	}
	if !isLow || f.lost {
		return
	}
	length := math.Hypot(to[0]-from[0], to[1]-from[1])
	if r != nil {
		r.corners(func(p *bom.Point) { f.mark(p[0], p[1], top) })
		length = r.length
	}
	n := max(1, int(min(math.Ceil(length/cellSize), maxCells)))
	for i := 0; i <= n && !f.lost; i++ {
		k := float64(i) / float64(n)
		if r == nil {
			f.mark(from[0]*(1-k)+to[0]*k, from[1]*(1-k)+to[1]*k, top)
		} else {
			p := r.at(r.from + r.sweep*k)
			f.mark(p[0], p[1], top)
		}
	}
}

// mark notes that something is printed at a place.
func (f *footprint) mark(x, y float64, top int32) {
	if f.lost {
		return
	}
	cx, cy := math.Floor(x/cellSize), math.Floor(y/cellSize)
	if math.Abs(cx) > math.MaxInt32/2 || math.Abs(cy) > math.MaxInt32/2 {
		f.lose()
		return
	}
	at := [2]int32{int32(cx), int32(cy)}
	dx, dy := float32(x-cx*cellSize), float32(y-cy*cellSize)
	c := f.cells[at]
	switch lowest := f.lowest[0]; {
	case c == nil && len(f.cells) == maxCells:
		f.lose()
		return
	case c == nil || c.top == lowest && top > lowest: // a brim does not widen the wall beside it
		f.cells[at] = &cell{dx, dy, dx, dy, top}
		return
	case top == lowest && c.top > lowest:
		return
	}
	c.minX, c.minY = min(c.minX, dx), min(c.minY, dy)
	c.maxX, c.maxY = max(c.maxX, dx), max(c.maxY, dy)
	c.top = max(c.top, top)
}

func (f *footprint) lose() { f.lost, f.cells = true, nil }

// bed is what a footprint comes to.
type bed struct {
	piece  bounds // what stands above the first layers, and hangs together with it above the lowest
	brim   bounds // with what hangs together with the piece in the lowest layer
	beside bool   // something else is printed
}

// tell gives the piece. Where nothing stands above the first layers it is all that
// is printed.
func (f *footprint) tell() bed {
	all := f.low
	if f.above.any {
		all.take(&f.above.min)
		all.take(&f.above.max)
	}
	whole := bed{piece: all, brim: all}
	if f.lost || f.known == 0 {
		return whole
	}
	limit := f.lowest[min(f.known, firstLayers)-1]
	piece := f.above
	first, low := f.split(limit, &piece)
	if !piece.any {
		return whole
	}
	left := f.join(low, limit, f.lowest[0], &piece)
	brim := piece
	left += f.join(first, limit, math.MinInt32, &brim)
	for _, b := range []*bounds{&piece, &brim} { // nothing above the first layers is left out
		b.min[2], b.max[2] = all.min[2], all.max[2]
	}
	return bed{piece: piece, brim: brim, beside: left > 0}
}

// split takes the cells that reach above a height into the bounds, and gives the
// others: those with nothing above the lowest height, and those with more.
func (f *footprint) split(limit int32, box *bounds) (first, low [][2]int32) {
	for at, c := range f.cells {
		switch {
		case c.top > limit:
			box.takeCell(at, c)
		case c.top == f.lowest[0]:
			first = append(first, at)
		default:
			low = append(low, at)
		}
	}
	return first, low
}

// join takes the cells into the bounds that hang together with what reaches above
// a height, through cells that reach above another, and counts the others.
func (f *footprint) join(cells [][2]int32, limit, through int32, box *bounds) (left int) {
	var next [][2]int32
	for _, at := range cells {
		if f.near(at, limit) {
			next = append(next, at)
		}
		for len(next) > 0 {
			at := next[len(next)-1]
			next = next[:len(next)-1]
			c := f.cells[at]
			if c.top > limit {
				continue // joined before
			}
			c.top = limit + 1
			box.takeCell(at, c)
			f.around(at, func(at [2]int32, c *cell) {
				if c.top <= limit && c.top > through {
					next = append(next, at)
				}
			})
		}
	}
	for _, at := range cells {
		if f.cells[at].top <= limit {
			left++
		}
	}
	return left
}

// near tells whether something above a height stands in reach of a cell.
func (f *footprint) near(at [2]int32, limit int32) bool {
	found := false
	f.around(at, func(_ [2]int32, c *cell) { found = found || c.top > limit })
	return found
}

// around gives the cells in reach of one that something is printed in, itself
// among them.
func (f *footprint) around(at [2]int32, use func(at [2]int32, c *cell)) {
	for x := at[0] - reach; x <= at[0]+reach; x++ {
		for y := at[1] - reach; y <= at[1]+reach; y++ {
			at := [2]int32{x, y}
			if c := f.cells[at]; c != nil {
				use(at, c)
			}
		}
	}
}

// takeCell takes what is printed in a cell, but for its height.
func (b *bounds) takeCell(at [2]int32, c *cell) {
	x, y := float64(at[0])*cellSize, float64(at[1])*cellSize
	z := 0.0
	if b.any {
		z = b.min[2]
	}
	b.take(&bom.Point{x + float64(c.minX), y + float64(c.minY), z})
	b.take(&bom.Point{x + float64(c.maxX), y + float64(c.maxY), z})
}
