package buy

import (
	"math/bits"
	"slices"
)

// Where duty is flat for each heading of a small order, the lines of a heading share
// it: a fixed charge. A node whose order is small in any case decides heading by heading
// whether it is paid for, or no line has it. Until then the lines of a heading bear the
// charge as tolls, each part no more than what the heading saves it (a dual ascent as for
// the location of plants; Erlenkotter, Operations Research 26, 1978, cited from memory).

// toll is what each offer of a part bears in a node; nil: nothing.
func (n *node) toll(part int) []float64 {
	if n.tolls == nil {
		return nil
	}
	return n.tolls[part]
}

// counts is how many headings of an order are paid for in a node.
func (n *node) counts(supplier int) int {
	if n.paid == nil {
		return 0
	}
	return bits.OnesCount64(n.paid[supplier])
}

// headings is how many the order counts at least; those that are not decided on are
// left to the tolls.
func headings(s *search, n *node, supplier int) int {
	if s.m.suppliers[supplier].flat == 0 {
		return 0
	}
	if k := n.counts(supplier); k > 0 || byHeading(s, n, supplier) {
		return k
	}
	return 1
}

// byHeading tells whether duty is flat in all modes that an order has left.
func byHeading(s *search, n *node, supplier int) bool {
	if s.m.suppliers[supplier].flat == 0 {
		return false
	}
	least := flat(s, n, supplier)
	return least > 0 && least < inf
}

// flat is the least that a heading costs in the modes that an order has left; inf where
// it is not placed.
func flat(s *search, n *node, supplier int) float64 {
	out := inf
	for md := range s.placed(supplier, n.mask[supplier]) {
		out = min(out, md.flat)
	}
	return out
}

// undecidedHeadings runs through the headings that a node may yet decide on.
func undecidedHeadings(s *search, n *node, each func(supplier, head int)) {
	if !s.m.heads {
		return
	}
	for i := range s.m.suppliers {
		if n.open>>i&1 == 0 || !byHeading(s, n, i) {
			continue
		}
		for h := range s.m.suppliers[i].heads {
			if (n.paid[i]|n.shut[i])>>h&1 == 0 {
				each(i, h)
			}
		}
	}
}

// uses counts the lines that an option has under a heading.
func (o *option) uses(supplier, head int) (n int) {
	for i := range o.picks {
		if o.picks[i].supplier == supplier && o.picks[i].head == head {
			n++
		}
	}
	return n
}

// under counts the offers of a part under a heading that a node leaves.
func under(s *search, n *node, part, supplier, head int) (count int) {
	for j := range s.parts[part].offers {
		o := &s.parts[part].offers[j]
		if o.supplier != supplier || o.head != head {
			continue
		}
		if _, hi := n.rule(part).bounds(j); hi > 0 {
			count++
		}
	}
	return count
}

// levy sets the tolls of a node at its prices.
func levy(s *search, n *node) {
	n.tolls = nil
	undecidedHeadings(s, n, func(supplier, head int) {
		flat := flat(s, n, supplier)
		savings, sum := make([]float64, len(s.parts)), 0.0
		for i := range s.parts {
			if under(s, n, i, supplier, head) > 0 {
				savings[i] = saving(s, n, i, supplier, head, flat)
				sum += savings[i]
			}
		}
		if sum < slack {
			return
		}
		if n.tolls == nil {
			n.tolls = make([][]float64, len(s.parts))
		}
		for i := range s.parts {
			if savings[i] > 0 {
				impose(s, n, i, supplier, head, savings[i]*flat/sum)
			}
		}
	})
}

// saving is how much dearer a part is, at most by the flat duty, without lines under a
// heading, of the options that were met so far.
func saving(s *search, n *node, part, supplier, head int, flat float64) float64 {
	with, without := inf, inf
	r, w, toll := n.rule(part), s.work.prove.weight, n.toll(part)
	for j := range s.pool[part] {
		o := &s.pool[part][j]
		if !o.within(n.open, r) {
			continue
		}
		if v := o.weigh(w, toll); o.uses(supplier, head) > 0 {
			with = min(with, v)
		} else {
			without = min(without, v)
		}
	}
	s.tick(len(s.pool[part])/optionsPerStep + 1)
	if with == inf {
		return 0
	}
	return min(max(0, without-with), flat)
}

// impose makes a part pay for its lines under a heading, no more than once in all.
func impose(s *search, n *node, part, supplier, head int, toll float64) {
	offers := s.parts[part].offers
	list := make([]float64, len(offers))
	copy(list, n.tolls[part])
	count := under(s, n, part, supplier, head)
	for j := range offers {
		if offers[j].supplier == supplier && offers[j].head == head {
			list[j] += toll / float64(count)
		}
	}
	n.tolls[part] = list
}

// decide divides a node at a heading that is not decided on: the one whose duty the
// tolls miss most of what is used. Nil where there is none.
func decide(s *search, n *node) (paid, shut *node) {
	if !s.m.heads {
		return nil, nil
	}
	st := &s.work.split
	s.size(st)
	s.relax(n, n.price, st)
	supplier, at, worst := -1, 0, -1.0
	undecidedHeadings(s, n, func(i, h int) {
		possible, used, missed := false, false, flat(s, n, i)
		for part := range s.parts {
			if possible = possible || under(s, n, part, i, h) > 0; !possible {
				continue
			}
			o := s.option(n, part, st.pick[part])
			for k := range o.picks {
				if p := &o.picks[k]; p.supplier == i && p.head == h {
					used = true
					if toll := n.toll(part); toll != nil {
						missed -= toll[p.offer]
					}
				}
			}
		}
		switch {
		case !possible:
			return
		case !used:
			missed = 0
		default:
			missed = max(missed, slack)
		}
		if missed > worst {
			supplier, at, worst = i, h, missed
		}
	})
	if supplier < 0 {
		return nil, nil
	}
	if paid = s.newNode(n, slices.Clone(n.mask), n.rules); paid != nil {
		paid.paid = slices.Clone(n.paid)
		paid.paid[supplier] |= 1 << at
	}
	if shut = s.newNode(n, slices.Clone(n.mask), withoutHeading(s, n, supplier, at)); shut != nil {
		shut.shut = slices.Clone(n.shut)
		shut.shut[supplier] |= 1 << at
	}
	return paid, shut
}

// withoutHeading narrows the rules of a node to lines that are not under a heading.
func withoutHeading(s *search, n *node, supplier, head int) []rule {
	rules := make([]rule, len(s.parts))
	copy(rules, n.rules)
	for i, p := range s.parts {
		for j := range p.offers {
			if p.offers[j].supplier == supplier && p.offers[j].head == head {
				rules[i] = rules[i].with(len(p.offers), j, 0, 0)
			}
		}
	}
	return rules
}
