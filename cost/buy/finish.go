package buy

import (
	"math"
	"slices"
)

// finish looks for plans of a node that cost at most a little more than its
// bound: for each part the options whose value is within that width of the
// part's least, then all their combinations whose values together are. Where
// none is found the node comes back with a higher bound; where there are too
// many to run through, it comes back divided.
func finish(s *search, n *node) []*node {
	if n.core != nil {
		return finishCore(s, n)
	}
	base := s.prove(n)
	n.bound = max(n.bound, base)
	gap := s.target() - base
	if gap < -slack {
		return nil
	}
	if grant(s, n) {
		return nil
	}
	base = s.prove(n)
	if out, ok := enlist(s, n, base); ok {
		return out
	}
	a, b := divide(s, n, gap)
	effort := int64(tooMuch)
	if a != nil || b != nil {
		if effort = finishEffort; divided(s, n) {
			effort = dividedEffort
		}
		if gap > divideOver || gap > divideSoon && !s.after(listFrom) {
			return steppedOr(s, n, a, b)
		}
	}
	for began := s.steps; s.steps-began <= againWithin; {
		n.width = max(firstWidth, 2*n.width)
		width := min(gap, n.width)
		done := enumerate(s, n, base, width, effort)
		if gap = s.target() - base; gap < -slack {
			return nil
		}
		if !done {
			return steppedOr(s, n, a, b)
		}
		n.bound = max(n.bound, base+width)
		if width >= gap {
			return nil
		}
	}
	n.guess = n.bound
	return []*node{n}
}

// enumerate runs through the combinations of a node that cost at most so much more
// than its bound at the prices; false where they are too many.
func enumerate(s *search, n *node, base, width float64, effort int64) bool {
	c := &combiner{s: s, n: n, bounded: feesBound(s, n), base: base, width: width, effort: tooMuch}
	if effort < tooMuch {
		c.effort = effort / combinationsPerCandidate
	}
	if !c.collect() {
		return false
	}
	c.effort = effort
	return c.run()
}

// How far above the bound plans are looked for at first, in home minor units;
// from which gap on a node is rather divided, also as long as options are not listed;
// and how many combinations are tried before it is.
const (
	firstWidth   = 1.5
	divideOver   = 2.5
	divideSoon   = 1.5
	finishEffort = 300_000
	// and how many of one whose values have been divided into steps
	dividedEffort = 60_000
	// and how many of them are tried for each candidate that is collected
	combinationsPerCandidate = 20
	// how many steps a node may have taken to be looked through again, further off
	againWithin = 20_000
	// of nodes that are divided, one in so many is at the part that is undecided most
	undecidedEvery = 4
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

// divide splits a node at the part that the relaxed problem buys in two ways, at
// the quantity that it buys on the average; now and then at the part that could
// best be bought otherwise, which leads to plans that lie further off. Nil where
// no part has two options that could both stand in a better plan.
func divide(s *search, n *node, gap float64) (*node, *node) {
	st := &s.work.prove
	tear := n.torn
	if tear.share == 0 || n.seq%undecidedEvery == 0 {
		s.relax(n, n.price, st)
		if part, other := undecided(s, n, gap, st); part >= 0 {
			tear = torn{part, st.pick[part], other, 0.5}
		}
	}
	if tear.share == 0 {
		return nil, nil
	}
	part := tear.part
	offer, at := apart(s, tear, &s.pool[part][tear.one], &s.pool[part][tear.other])
	with := func(lo, hi int64) *node {
		rules := make([]rule, len(s.parts))
		copy(rules, n.rules)
		rules[part] = rules[part].with(len(s.parts[part].offers), offer, lo, hi)
		m := s.newNode(n, slices.Clone(n.mask), rules)
		if m != nil {
			m.spread = n.spread
		}
		return m
	}
	return with(0, at), with(at+1, tooMuch)
}

// undecided is the part that could best be bought in another way in a better
// plan, where the relaxed problem has decided on all; -1 where there is none.
func undecided(s *search, n *node, gap float64, st *state) (part, other int) {
	part, worst := -1, 0.0
	for i := range s.parts {
		at := st.pick[i]
		least := s.pool[i][at].weigh(st.weight, n.toll(i))
		for j := range s.pool[i] {
			o := &s.pool[i][j]
			if j == at || !o.within(n.open, n.rule(i)) {
				continue
			}
			over := o.weigh(st.weight, n.toll(i)) - least
			if torn := moves(&s.pool[i][at], o) * (1 - over/(gap+1)); torn > worst {
				part, other, worst = i, j, torn
			}
		}
	}
	return part, other
}

// moves is how much goods change their supplier between two options.
func moves(x, y *option) float64 {
	var out float64
	for _, p := range x.picks {
		out += float64(max(0, p.home-y.at(p.supplier).home))
	}
	for _, p := range y.picks {
		out += float64(max(0, p.home-x.at(p.supplier).home))
	}
	return out
}

// apart is the offer by which the two ways of a part that is torn differ most, and the
// quantity that both together buy of it, which is less than the larger one.
func apart(s *search, t torn, x, y *option) (offer int, at int64) {
	most, from, to := int64(-1), int64(0), int64(0)
	for j := range s.parts[t.part].offers {
		a, b := x.line(j), y.line(j)
		if d := max(a.home-b.home, b.home-a.home); a.q != b.q && d > most {
			most, offer, from, to = d, j, a.q, b.q
		}
	}
	at = from + int64(math.Floor(t.share*float64(to-from)))
	return offer, min(max(at, min(from, to)), max(from, to)-1)
}

// steppedOr is a node with an order divided into steps; where there is none to divide, the
// nodes that it falls into.
func steppedOr(s *search, n *node, a, b *node) []*node {
	if m := step(s, n); m != nil {
		return []*node{m}
	}
	return some(a, b)
}
