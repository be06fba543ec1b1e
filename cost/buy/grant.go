package buy

import (
	"math"
	"math/bits"
)

// grant takes it for granted that the orders of a node whose goods count for next to
// nothing get the goods they would like best: they are held at a threshold, and what
// stands on them is open in ever so many ways that cost the same. What the other orders
// cost, to the minor unit, can settle the node without them. It tells whether it does.
func grant(s *search, n *node) bool {
	if s.ties || !s.hard() {
		return false
	}
	var granted, dear uint64
	for left := n.open; left != 0; left &= left - 1 {
		if i := bits.TrailingZeros64(left); math.Abs(n.price[i]) < grantUnder {
			granted |= 1 << i
		} else {
			dear |= 1 << i
		}
	}
	if granted == 0 || dear == 0 {
		return false
	}
	m := *n
	m.over &^= granted
	st := &s.work.prove
	s.size(st)
	s.weights(n, n.price, st.weight)
	for left := granted; left != 0; left &= left - 1 {
		i := bits.TrailingZeros64(left)
		st.weight[i] = weight{fee: st.weight[i].fee}
	}
	s.orders(n, st)
	base := st.value
	forget(s) // they are those of other options
	s.lister.granted = granted
	defer func() { s.lister.granted = 0 }()
	for i := range s.parts {
		base += s.cheapest(i, &m, st.weight)
	}
	defer forget(s)
	width := s.target() - base
	if width < -slack {
		return true
	}
	c := &combiner{s: s, n: &m, bounded: feesBound(s, n), base: base, width: width, effort: grantEffort / combinationsPerCandidate, granted: granted}
	if width > stepWithin || !c.collect() {
		return false
	}
	c.effort = grantEffort
	return c.run() && !c.found
}

// grantUnder is the price of goods, of their cash, up to which that is taken for granted,
// and grantEffort how many combinations are tried then.
const grantUnder, grantEffort = 0.02, 40_000

// forget gives up what is known of the least values of the parts.
func forget(s *search) {
	for i := range s.floors {
		s.floors[i].known = false
	}
}
