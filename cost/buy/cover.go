package buy

import "slices"

// cover finds the option of a part with the least value by dynamic programming
// over what is covered so far, offer by offer: a covering knapsack (Martello and
// Toth, Knapsack Problems, 1990, cited from memory). It takes the same time
// however near to each other the options are, where listing them takes for ever.
type cover struct {
	l     *lister
	unit  int64 // millionths of a piece: all quantities cover a multiple of it
	need  int   // units
	least []float64
	next  []float64
	took  [][]int32 // by branch and units: which line, 0 for none
	lines [][]coverLine
	seen  int // quantities looked at
}

// coverLine is a line that is worth looking at: no other one of its offer covers
// as much for less.
type coverLine struct {
	units int
	value float64
	pick  pick
}

// coverUnits bounds the table.
const coverUnits = 4096

// solve gives the least value of the part that the lister holds, and its lines;
// ok is false where the demand has too many units for a table.
func (c *cover) solve(l *lister) (value float64, picks []pick, steps int, ok bool) {
	c.l, c.unit = l, 0
	for i := range l.branch {
		o := &l.p.offers[l.branch[i].offer]
		c.unit = gcd(c.unit, o.step*o.pieces)
	}
	if c.unit == 0 || ceilDiv(l.p.demand, c.unit) > coverUnits {
		return 0, nil, 0, false
	}
	c.need = int(ceilDiv(l.p.demand, c.unit))
	// The assembler's own lines first: with them alone no fee is due.
	order := make([]int, 0, len(l.branch))
	own := 0
	for _, assembler := range []bool{true, false} {
		for i := range l.branch {
			if (l.p.offers[l.branch[i].offer].supplier == l.m.assembler) == assembler {
				order = append(order, i)
			}
		}
		if assembler {
			own = len(order)
		}
	}
	c.begin(len(order))
	value = inf
	free, mustElse := false, false
	for k, i := range order {
		mustElse = mustElse || k >= own && l.branch[i].lo > 0
		if k == own && own > 0 {
			value, free = c.least[c.need], true
		}
		steps += c.stage(k, &l.branch[i])
	}
	fee := 0.0
	if own < len(order) {
		fee = l.fee()
	}
	if whole := c.least[c.need] + fee; !free || mustElse || whole < value {
		return whole, c.trace(len(order), c.need), steps, true
	}
	return value, c.trace(own, c.need), steps, true
}

func (c *cover) begin(stages int) {
	c.least, c.next = resized(c.least, c.need+1), resized(c.next, c.need+1)
	c.took, c.lines = resized(c.took, stages), resized(c.lines, stages)
	for x := range c.least {
		c.least[x] = inf
	}
	c.least[0] = 0
}

// stage adds one offer's lines to the table.
func (c *cover) stage(k int, b *branch) (steps int) {
	c.seen = 0
	c.stairs(k, b)
	took := resized(c.took[k], c.need+1)
	for x := range c.next {
		c.next[x], took[x] = c.least[x], 0
		if b.lo > 0 {
			c.next[x] = inf
		}
	}
	for j := range c.lines[k] {
		line := &c.lines[k][j]
		for x := range c.next {
			if v := c.least[max(0, x-line.units)] + line.value; v < c.next[x] {
				c.next[x], took[x] = v, int32(j+1)
			}
		}
	}
	c.took[k] = took
	c.least, c.next = c.next, c.least
	return len(c.lines[k])*c.need/unitsPerStep + c.seen/quantitiesPerStep + 1
}

// How many entries of a table, and how many quantities of an offer, are looked at
// in one step.
const unitsPerStep, quantitiesPerStep = 32, 4

// stairs lists the lines of the offer of a stage from the largest down, without those that
// cover less for no less.
func (c *cover) stairs(k int, b *branch) {
	l, out := c.l, c.lines[k][:0]
	o := &l.p.offers[b.offer]
	for j := len(o.spans) - 1; j >= 0; j-- {
		s, ok := o.spans[j].within(b.lo, b.hi, o.step)
		if !ok {
			continue
		}
		full := min(o.least(&s, l.p.demand), s.to)
		most := full
		if b.over {
			most = min(s.to, max(full, l.m.useful[o.first+j]))
		}
		add := func(q int64) {
			p := l.m.pick(l.p, b.offer, &s, q)
			v := b.toll + b.weight.of(p.home, p.own)
			if n := len(out); n == 0 || v < out[n-1].value {
				out = append(out, coverLine{int(min(ceilDiv(p.covers, c.unit), int64(c.need))), v, p})
			}
		}
		// Of those that cover all, the cheapest: their values rise but for roundings.
		best, at := inf, full
		for q := full; q <= most; q += o.step {
			c.seen++
			p := l.m.pick(l.p, b.offer, &s, q)
			v := b.toll + b.weight.of(p.home, p.own)
			if v < best {
				best, at = v, q
			}
			if b.entry+b.level*s.unit*float64(q)-b.round > best+slack {
				break
			}
		}
		add(at)
		for q := full - o.step; q >= s.from; q -= o.step {
			add(q)
		}
	}
	c.lines[k] = out
}

// trace gives the lines of the least value for so many units over the first stages.
func (c *cover) trace(stages, x int) (picks []pick) {
	for k := stages - 1; k >= 0; k-- {
		if t := c.took[k][x]; t > 0 {
			line := &c.lines[k][t-1]
			picks = append(picks, line.pick)
			x = max(0, x-line.units)
		}
	}
	slices.Reverse(picks)
	return picks
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
