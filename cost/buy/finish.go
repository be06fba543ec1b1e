package buy

import "math"

// finish looks for plans of a node that cost at most a little more than its
// bound: for each part the options whose value is within that width of the
// part's least, then all their combinations whose values together are. Where
// none is found the node comes back with a higher bound; where there are too
// many to run through, it comes back divided.
func (s *search) finish(n *node) []*node {
	base := s.prove(n)
	n.bound = max(n.bound, base)
	gap := s.target() - base
	if gap < -slack {
		return nil
	}
	a, b := s.divide(n, gap)
	wide := (a != nil || b != nil) && gap > divideOver
	if wide && n.rules != nil {
		return some(a, b)
	}
	n.width = max(firstWidth, 2*n.width)
	width := min(gap, n.width)
	c := &combiner{s: s, n: n, width: width, effort: tooMuch}
	if a != nil || b != nil {
		c.effort = finishEffort
		if wide {
			c.effort = wideEffort
		}
	}
	if !c.collect() {
		return some(a, b)
	}
	effort := c.effort
	c.effort = tooMuch
	done := c.run(beam)
	if gap = s.target() - base; wide && gap > divideOver {
		return some(a, b)
	}
	if done == truncated {
		// What was found may already settle it, or narrow the rest.
		if gap < -slack {
			return nil
		}
		if width = min(gap, width); width < c.width {
			c.width = width
			c.thinOut()
		}
		c.effort = effort
		done = c.run(math.MaxInt)
	}
	if done != complete {
		return some(a, b)
	}
	n.bound = max(n.bound, base+width)
	if width >= gap {
		return nil
	}
	n.guess = n.bound
	return []*node{n}
}

// How far above the bound plans are looked for at first, in home minor units;
// from which gap on a node is rather divided; how many combinations are tried
// before it is; and how many labels of a layer the first run keeps.
const (
	firstWidth   = 1.5
	divideOver   = 2.5
	finishEffort = 300_000
	wideEffort   = 30_000
	beam         = 1000
)

// some gives the nodes that there are.
func some(nodes ...*node) (out []*node) {
	for _, n := range nodes {
		if n != nil {
			out = append(out, n)
		}
	}
	return out
}

// divide splits a node at the part that is torn most between two options, at a
// quantity between theirs. Nil where no part has two options that could both
// stand in a better plan.
func (s *search) divide(n *node, gap float64) (*node, *node) {
	st := &s.work.prove
	s.relax(n, n.price, st)
	part, other, worst := -1, 0, 0.0
	for i := range s.parts {
		at := st.pick[i]
		least := s.pool[i][at].weigh(st.weight)
		for j := range s.pool[i] {
			o := &s.pool[i][j]
			if j == at || !o.within(n.open, n.rule(i)) {
				continue
			}
			over := o.weigh(st.weight) - least
			if torn := s.moves(i, at, j) * (1 - over/(gap+1)); torn > worst {
				part, other, worst = i, j, torn
			}
		}
	}
	if part < 0 {
		return nil, nil
	}
	offer, from, to := s.apart(part, st.pick[part], other)
	at := s.between(part, offer, from, to, st)
	with := func(lo, hi int64) *node {
		rules := make([]rule, len(s.parts))
		copy(rules, n.rules)
		rules[part] = rules[part].with(len(s.parts[part].offers), offer, lo, hi)
		return s.newNode(append([]uint16(nil), n.mask...), n.price, n.bound, rules)
	}
	return with(0, at), with(at+1, tooMuch)
}

// between is the quantity at which to divide two of an offer, below the larger:
// about where the order would have the goods it asks for.
func (s *search) between(part, offer int, from, to int64, st *state) int64 {
	p := s.parts[part]
	sup := p.offers[offer].supplier
	home := func(q int64) float64 {
		for i := range p.offers[offer].spans {
			if sp := &p.offers[offer].spans[i]; sp.from <= q && q <= sp.to {
				_, _, home := s.m.cash(&p.offers[offer], sp, q)
				return float64(home)
			}
		}
		return 0
	}
	share := 0.5
	if d := home(to) - home(from); d != 0 {
		goods := st.goods[sup].home
		share = (min(max(goods, st.asked[sup].least.home), st.asked[sup].most.home) - goods) / d
	}
	if !(share >= 0.1 && share <= 0.9) {
		share = 0.5
	}
	at := from + int64(share*float64(to-from))
	return min(max(at, min(from, to)), max(from, to)-1)
}

// moves is how much goods change their supplier between two options.
func (s *search) moves(i, a, b int) float64 {
	var out float64
	x, y := &s.pool[i][a], &s.pool[i][b]
	for _, p := range x.picks {
		out += float64(max(0, p.home-y.at(p.supplier).home))
	}
	for _, p := range y.picks {
		out += float64(max(0, p.home-x.at(p.supplier).home))
	}
	return out
}

// apart is the offer by which two options of a part differ most, with its
// quantities in both.
func (s *search) apart(i, a, b int) (offer int, from, to int64) {
	x, y := &s.pool[i][a], &s.pool[i][b]
	most := int64(-1)
	for j := range s.parts[i].offers {
		p, q := x.quantity(j), y.quantity(j)
		if p == q {
			continue
		}
		var d int64
		for k := range x.picks {
			if x.picks[k].offer == j {
				d += x.picks[k].home
			}
		}
		for k := range y.picks {
			if y.picks[k].offer == j {
				d -= y.picks[k].home
			}
		}
		if d = max(d, -d); d > most {
			most, offer, from, to = d, j, p, q
		}
	}
	return offer, from, to
}
