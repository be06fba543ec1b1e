package buy

import (
	"math/bits"
)

// exhaust goes through all plans of a node that could be as good as the best,
// where they are so few that no more thought is needed: for most runs the
// cheapest way to buy each part, and nothing else. It tells whether it did.
func exhaust(s *search, n *node) bool {
	if s.best == nil || !fewNear(s, n) || openHeadings(s, n) || s.m.atMost > 0 && bits.OnesCount64(n.open) > s.m.atMost {
		return false
	}
	base := s.prove(n)
	n.bound = max(n.bound, base)
	gap := float64(s.best.cash) - base
	if gap < -slack {
		return true
	}
	// The node is not looked at again: what is as good is of interest too.
	defer func(was bool) { s.ties = was }(s.ties)
	s.ties = true
	c := &combiner{s: s, n: n, bounded: feesBound(s, n), base: base, width: gap, effort: int64(len(s.parts) + fewOptions)}
	if !c.collect() {
		return false
	}
	c.effort = fewPlans
	return c.run()
}

// fewNear tells whether few options may lie between the bound of a node and the best
// plan: of many parts, some always have another option at a price a little higher.
func fewNear(s *search, n *node) bool {
	return len(s.parts) <= fewOptions || float64(s.best.cash)-n.guess <= clearOver
}

// openHeadings tells whether an order of a node may have headings that are not decided on:
// combinations do not count those.
func openHeadings(s *search, n *node) bool {
	for i := range s.m.suppliers {
		sup := &s.m.suppliers[i]
		if sup.flat == 0 || n.open>>i&1 == 0 || bits.OnesCount64(n.paid[i]|n.shut[i]) == len(sup.heads) {
			continue
		}
		for md := range s.placed(i, n.mask[i]) {
			if md.flat > 0 {
				return true
			}
		}
	}
	return false
}

// How many options there may be besides the best of each part, and how many steps of
// combining them are tried.
const fewOptions, fewPlans = 16, 5000
