package buy

import (
	"math"
	"slices"
)

// bundle holds what a climb has met so far as planes, which bound the relaxed
// value from above, and the shares in which they bound it best from the best
// prices on.
type bundle struct {
	planes []plane
	share  []float64 // by plane; together 1
	over   []float64 // by plane: its height over the value at the best prices
	mean   []float64 // the slopes, by share
	reach  float64   // how far to go for each unit of slope
	spare  []plane   // given up
	in     []int     // planes that have a share
	rows   []float64 // for balance
	best   []float64
}

// plane is the relaxed value as it would be if parts and orders kept to what they
// chose at one set of prices.
type plane struct {
	slope  []float64 // by supplier
	height float64   // where all prices are 0
	pick   []int     // by part
	goods  []corner  // by supplier
	fees   int       // parts that pay a consign fee
}

func (b *bundle) reset(suppliers int) {
	b.spare = append(b.spare, b.planes...)
	b.planes, b.share = b.planes[:0], b.share[:0]
	b.mean = resized(b.mean, suppliers)
	if len(b.spare) > 0 && len(b.spare[0].slope) != suppliers {
		b.spare = nil
	}
}

// mostPlanes is how many planes are held: more than can hold a point in place.
const mostPlanes = 40

// add takes up what was chosen at the prices of the climber.
func (b *bundle) add(st *state, c *climber) {
	if len(b.planes) == mostPlanes {
		b.drop()
	}
	var p plane
	if n := len(b.spare); n > 0 {
		p, b.spare = b.spare[n-1], b.spare[:n-1]
	}
	p.slope, p.height = resized(p.slope, len(c.price)), st.value
	for i, w := range c.s.seconds {
		goods, beyond := excess(c.s, i, st)
		if p.slope[i] = goods; w.at > 0 {
			p.slope[w.at] = beyond
		}
	}
	if w := c.s.fees; w.at > 0 {
		_, least, most := c.n.feesAsked(c.price[w.at])
		p.slope[w.at] = w.scale * beside(float64(st.fees), float64(least), float64(most))
	}
	p.fees = st.fees
	p.height -= dot(p.slope, c.price)
	p.pick, p.goods = append(p.pick[:0], st.pick...), append(p.goods[:0], st.goods...)
	b.planes = append(b.planes, p)
	b.share = append(b.share, 0)
	if len(b.planes) == 1 {
		b.share[0] = 1
	}
}

func dot(x, y []float64) (out float64) {
	for i := range x {
		out += x[i] * y[i]
	}
	return out
}

// drop gives up the plane that matters least: of those that have no share, the
// highest.
func (b *bundle) drop() {
	at := 0
	for k := range b.planes {
		if b.share[k] < b.share[at] || b.share[k] == b.share[at] && b.over[k] > b.over[at] {
			at = k
		}
	}
	b.spare = append(b.spare, b.planes[at])
	b.planes, b.share = slices.Delete(b.planes, at, at+1), slices.Delete(b.share, at, at+1)
	sum := 0.0
	for _, x := range b.share {
		sum += x
	}
	for k := range b.share {
		b.share[k] /= sum
	}
}

// solve finds the shares at which the planes promise least, and gives how much
// they promise: the nearest point of a polytope by Wolfe's method (Mathematical
// Programming 11, 1976, cited from memory), with the heights as a linear term.
func (b *bundle) solve(c *climber) float64 {
	b.over = b.over[:0]
	for k := range b.planes {
		b.over = append(b.over, max(0, b.planes[k].height+dot(b.planes[k].slope, c.n.price)-c.top))
	}
	in := b.in[:0] // planes that have a share
	for k, x := range b.share {
		if x > 0 {
			in = append(in, k)
		}
	}
	for range corrals {
		in = b.settle(in)
		b.average(in)
		low, held := -1, inf
		for _, k := range in {
			held = min(held, b.pull(k))
		}
		for k := range b.planes {
			if v := b.pull(k); v < held-climbLeast/10 {
				low, held = k, v
			}
		}
		c.s.tick(len(in)*len(in)/8 + 1)
		if low < 0 || slices.Contains(in, low) || len(in) > len(b.mean)+1 {
			break
		}
		in = append(in, low)
	}
	b.in = in
	b.average(in)
	return b.reach*dot(b.mean, b.mean) + dot(b.over, b.share)
}

// corrals is how many sets of planes are tried at most.
const corrals = 60

// pull is the slope of what is promised along the share of a plane.
func (b *bundle) pull(k int) float64 { return b.over[k] + b.reach*dot(b.planes[k].slope, b.mean) }

// average works the slopes out that some planes leave by their shares.
func (b *bundle) average(in []int) {
	clear(b.mean)
	for _, k := range in {
		for i, x := range b.planes[k].slope {
			b.mean[i] += b.share[k] * x
		}
	}
}

// settle finds the best shares of some planes, and drops those that get none.
func (b *bundle) settle(in []int) []int {
	for len(in) > 1 {
		best, ok := b.balance(in)
		if !ok { // the last plane lies in the span of the others
			return in[:len(in)-1]
		}
		step, at := 1.0, -1
		for j, k := range in {
			if best[j] < 1e-12 {
				if x := usedUp(b.share[k], best[j]); at < 0 || x < step {
					step, at = x, j
				}
			}
		}
		for j, k := range in {
			b.share[k] += step * (best[j] - b.share[k])
		}
		if at < 0 {
			return in
		}
		b.share[in[at]] = 0
		in = slices.Delete(in, at, at+1)
	}
	if len(in) == 1 {
		b.share[in[0]] = 1
	}
	return in
}

// usedUp is the part of the way from a share to a better one, which is nothing, at which none
// of it is left.
func usedUp(share, best float64) float64 {
	if share <= best { // both are nothing
		return 0
	}
	return min(1, max(0, share/(share-best)))
}

// balance gives the shares, some of which can be negative, at which some planes
// pull equally; false where that is not one point. Gauss's elimination.
func (b *bundle) balance(in []int) (best []float64, ok bool) {
	n := len(in)
	width := n + 2
	a := resized(b.rows, (n+1)*width)
	b.rows = a
	scale := 0.0
	for j, k := range in {
		row := a[j*width:]
		for i, l := range in {
			row[i] = b.reach * dot(b.planes[k].slope, b.planes[l].slope)
		}
		row[n], row[n+1] = 1, -b.over[k]
		scale = max(scale, row[j])
	}
	for j := range in {
		a[j*width+j] += 1e-12 * scale
	}
	last := a[n*width:]
	for i := range n {
		last[i] = 1
	}
	last[n], last[n+1] = 0, 1
	for j := range n + 1 {
		lead := j
		for i := j + 1; i <= n; i++ {
			if math.Abs(a[i*width+j]) > math.Abs(a[lead*width+j]) {
				lead = i
			}
		}
		if math.Abs(a[lead*width+j]) < 1e-15 {
			return nil, false
		}
		for x := j; x < width && lead != j; x++ {
			a[j*width+x], a[lead*width+x] = a[lead*width+x], a[j*width+x]
		}
		for i := j + 1; i <= n; i++ {
			f := a[i*width+j] / a[j*width+j]
			for x := j; x < width; x++ {
				a[i*width+x] -= f * a[j*width+x]
			}
		}
	}
	best = resized(b.best, n+1)
	b.best = best
	for j := n; j >= 0; j-- {
		v := a[j*width+n+1]
		for x := j + 1; x <= n; x++ {
			v -= a[j*width+x] * best[x]
		}
		best[j] = v / a[j*width+j]
	}
	return best[:n], true
}

// steepest is the largest slope that the shares leave.
func (b *bundle) steepest() (out float64) {
	for _, x := range b.mean {
		out = max(out, x, -x)
	}
	return out
}
