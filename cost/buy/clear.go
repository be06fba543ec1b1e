package buy

import (
	"math"
	"math/bits"
	"slices"
)

// Most orders of a large run are far above their thresholds in every plan of interest. The
// prices tell: where an order's goods count for more, the least values of the parts rise
// by as much as it has of them at least. Such an order is clear of its thresholds: modes
// below them are dropped, more than is needed is of no use on it, and its goods count for
// what they cost.

// clearOrders notes which orders of a node, all in one mode, are clear of their thresholds.
func clearOrders(s *search, n *node) {
	if s.m.sent || s.ties || s.best == nil || !s.after(clearFrom) || n.core != nil {
		return
	}
	price, candidates, near := slices.Clone(n.price), uint64(0), nearTilt
	if s.eager {
		near = 0.5
	}
	for left := n.open &^ n.clear; left != 0; left &= left - 1 {
		i := bits.TrailingZeros64(left)
		mode := topmost(s, n, i)
		if mode < 0 {
			continue
		}
		if tilt := s.modes[i][mode].tilt; n.price[i] > (1-near)*tilt && n.price[i] < (1+near)*tilt {
			candidates |= 1 << i
			n.pin(s, i, tilt)
		}
	}
	if candidates == 0 {
		return
	}
	gap := s.target() - s.prove(n)
	if gap < 0 || gap > n.tried*narrower {
		copy(n.price, price)
		return
	}
	n.tried = gap
	for left := candidates; left != 0; left &= left - 1 {
		i := bits.TrailingZeros64(left)
		mode := topmost(s, n, i)
		sup, md := &s.m.suppliers[i], &s.modes[i][mode]
		if s.leastGoods(n, i, gap, md.tilt) < float64(max(sup.fixedOwn+1, md.lo.own)) {
			continue
		}
		n.clear |= 1 << i
		n.mask = slices.Clone(n.mask)
		n.mask[i] = 1 << mode
		if md.plain && md.hi.own >= sup.fixedOwn+s.reached[i].own && i != s.m.assembler {
			n.far |= 1 << i
		}
		n.over &^= 1 << i
	}
	for left := candidates &^ n.clear; left != 0; left &= left - 1 {
		i := bits.TrailingZeros64(left)
		if n.price[i] = price[i]; s.seconds[i].at > 0 {
			n.price[s.seconds[i].at] = price[s.seconds[i].at]
		}
	}
}

// topmost is the one mode of an order, of those left, that is not topped up; -1 where there
// is no such mode, or more goods can make customs cheaper.
func topmost(s *search, n *node, i int) (mode int) {
	sup := &s.m.suppliers[i]
	mode = -1
	for left := n.mask[i]; left != 0; left &= left - 1 {
		k := bits.TrailingZeros64(left)
		md := &s.modes[i][k]
		switch {
		case md.topped && md.group < stepGroup:
		case mode >= 0 || md.closed || md.group >= stepGroup || sup.mixed || sup.flat > 0:
			return -1
		default:
			mode = k
		}
	}
	return mode
}

// pin sets the price of an order to what its goods cost.
func (n *node) pin(s *search, i int, tilt float64) {
	n.price[i] = tilt
	if at := s.seconds[i].at; at > 0 {
		n.price[at] = 0
	}
}

// leastGoods is how much goods an order has at least, in its own currency, in plans whose
// options come to at most so much more than the floors of their parts; a price of tilt is
// what goods cost.
func (s *search) leastGoods(n *node, i int, gap, tilt float64) float64 {
	w, own := slices.Clone(s.work.prove.weight), s.work.prove.weight[i].own
	goods := func(raise float64, least func(part int, w []weight) float64) float64 {
		w[i].own = own + raise
		sum := -gap
		for k, p := range s.parts {
			if p.from>>i&1 != 0 {
				sum += least(k, w) - s.floors[k].value
			}
		}
		return float64(s.m.suppliers[i].fixedOwn) + sum/raise
	}
	best, at := math.Inf(-1), 0.0
	for _, part := range raises {
		raise := part * tilt * s.m.suppliers[i].rate.value
		if g := goods(raise, func(k int, w []weight) float64 {
			s.tick(len(s.pool[k])/optionsPerStep + 1)
			v, _ := s.favourite(k, n, w)
			return v - roughly
		}); g > best {
			best, at = g, raise
		}
	}
	return goods(at, func(k int, w []weight) float64 { return s.rough(k, n, w) })
}

// rough bounds the value of a part's options from below, by little.
func (s *search) rough(i int, n *node, w []weight) float64 {
	v, _ := s.favourite(i, n, w)
	low := &s.work.lower
	*low = lower{of: &s.lister, best: v - roughly, clear: inf, margin: slack, picks: low.picks[:0]}
	s.lister.most = listedWhenHard
	s.lister.list(i, s.parts[i], w, n, low.best, low)
	if s.lister.most = 0; s.lister.gaveUp {
		return min(low.best, s.lister.fill(0, s.parts[i].demand)+s.lister.discount(false))
	}
	return low.best
}

// raises are the parts of what goods cost by which a price is raised, and roughly is how far
// below the least value of a part it is bounded then, in home minor units.
var raises = [...]float64{0.3, 0.1, 0.03}

const roughly = 2

// nearTilt is how near to what goods cost the price is of orders that may be clear, and
// clearFrom after how many steps for each part they are looked for.
const nearTilt, clearFrom = 0.02, 20_000
