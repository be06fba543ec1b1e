package buy

import (
	"math"
	"math/bits"
	"slices"
)

// Up to its minimum an order costs the same whatever goods stand on it, but for
// roundings: what it costs goes by its value for customs alone, minor unit by minor unit.
// Once the gap to the best plan is as narrow as that, the modes of such an order are
// divided at each of these steps. Over them its cash is known to the minor unit, and the
// relaxed problem finds the envelope of them (a disjunction; Balas, Discrete Applied
// Mathematics 89, 1998, cited from memory).

// step divides the value of an order of a node into its steps; nil where no order needs it.
func step(s *search, n *node) *node {
	gap := s.target() - n.bound
	if gap > stepWithin || s.ties || !s.hard() {
		return nil
	}
	for i := range n.mask {
		if steps := stepped(s, n, i, gap); steps != 0 {
			mask := slices.Clone(n.mask)
			mask[i] = steps
			return s.newNode(n, mask, n.rules)
		}
	}
	return nil
}

// stepWithin is from how small a gap on, in home minor units, values are divided into
// steps, and mostSteps how many of them at most.
const stepWithin, mostSteps = 6, 16

// stepped gives the modes of an order with one that is topped up divided into its steps;
// 0 where there is nothing to divide.
func stepped(s *search, n *node, i int, gap float64) uint64 {
	sup := &s.m.suppliers[i]
	if sup.tied || sup.mixed || sup.flat > 0 {
		return 0
	}
	goods := n.goods[i]
	value := int64(math.Floor(goods.home + sup.rate.value*max(0, float64(sup.minOwn)-goods.own)))
	held := false
	var wide uint64 // modes that hold the value, and others
	for left := n.mask[i]; left != 0; left &= left - 1 {
		k := bits.TrailingZeros64(left)
		if md := &s.modes[i][k]; !md.closed && md.from <= value+1 && value <= md.to && md.from < md.to {
			wide |= 1 << k
			held = held || n.price[i] < heldUnder*md.tilt && (md.topped || md.lo.own > sup.fixedOwn)
		}
	}
	if !held {
		return 0
	}
	out := n.mask[i]
	for left := wide; left != 0; left &= left - 1 {
		k := bits.TrailingZeros64(left)
		steps := stepsOf(s, i, k, value, gap)
		if steps == 0 {
			return 0
		}
		out = out&^(1<<k) | steps
	}
	return out
}

// stepsOf gives the modes that one is divided into: what is below some steps, each of
// them, and what is above.
func stepsOf(s *search, i, k int, value int64, gap float64) (out uint64) {
	if s.modes[i][k].steps != 0 {
		return s.modes[i][k].steps
	}
	md, sup := s.modes[i][k], &s.m.suppliers[i]
	delivery := int64(0)
	if md.lo.own < sup.freeOwn {
		delivery = sup.delivery
	}
	first := min(max(md.from, value-stepsBelow), md.to)
	last, cash := first, s.m.valued(sup, first, delivery)
	for last < md.to && last-first < mostSteps && float64(s.m.valued(sup, last, delivery)-cash) <= gap+stepsBelow+stepsOver {
		last++
	}
	if len(s.modes[i])+int(last-first)+3 > mostModes {
		return 0
	}
	add := func(from, to int64) {
		part := md
		part.from, part.to, part.steps, part.group = from, to, 0, md.group%stepGroup+stepGroup*int(from+1)
		if !part.topped {
			part.lo.home, part.hi.home = max(part.lo.home, from), min(part.hi.home, to)
		}
		if part.plain = false; from == to {
			part.base, part.slope, part.back = float64(s.m.valued(sup, from, delivery)), 0, 0
		}
		if from > to || part.lo.home > part.hi.home {
			return
		}
		if part.corners = sup.corners(&part, s.reached[i].beside); len(part.corners) > 0 {
			out |= 1 << len(s.modes[i])
			s.modes[i] = append(s.modes[i], part)
		}
	}
	add(md.from, first-1)
	for v := first; v <= last; v++ {
		add(v, v)
	}
	add(last+1, md.to)
	s.modes[i][k].steps = out
	return out
}

// heldUnder is the price of goods, of what they cost, under which a threshold holds them.
const heldUnder = 0.5

// stepsBelow is how many steps below the value of the relaxed problem there are.
const stepsBelow, stepsOver = 3, 4

// stepGroup keeps the groups of steps apart from all others.
const stepGroup = 1000

// valued is what an order costs at a value, goods and all.
func (m *model) valued(s *supplier, value, delivery int64) int64 {
	b := bill{delivery: delivery}
	b.duty, b.tax = m.dues(s, value, delivery, 0, 0)
	if b.duty > 0 || b.tax > 0 {
		b.handling = s.handling
	}
	return value + m.sum(b)
}

// below gives the steps up to one, or those below it where that is all.
func below(s *search, i int, mask, one uint64) uint64 {
	at := s.modes[i][bits.TrailingZeros64(one)].from
	var upTo, under uint64
	for left := mask; left != 0; left &= left - 1 {
		k := bits.TrailingZeros64(left)
		if from := s.modes[i][k].from; from <= at {
			if upTo |= 1 << k; from < at {
				under |= 1 << k
			}
		}
	}
	if upTo == mask {
		return under
	}
	return upTo
}

// divided tells whether the value of an order of a node has been divided into steps.
func divided(s *search, n *node) bool {
	for i, left := range n.mask {
		if s.modes[i][bits.TrailingZeros64(left)].group >= stepGroup {
			return true
		}
	}
	return false
}
