package buy

import (
	"cmp"
	"math/bits"
	"slices"
)

// choice is a whole plan: one option per part of the model that is bought.
type choice struct {
	options []option
	totals  []total  // by supplier, fixed goods included
	lines   []int    // by supplier
	heads   []uint64 // by supplier: bits of the headings, where duty is flat for each
	standing
}

// standing is what plans are compared by.
type standing struct {
	cash   int64
	spare  int64 // Σ over the parts, home minor units
	orders int
	excess int64 // Σ over the parts, millionths of a piece
}

// compare puts the better one first: less cash, more surplus, fewer orders, fewer pieces.
func (a standing) compare(b standing) int {
	return cmp.Or(cmp.Compare(a.cash, b.cash), cmp.Compare(b.spare, a.spare), cmp.Compare(a.orders, b.orders), cmp.Compare(a.excess, b.excess))
}

// exists tells whether a supplier gets an order.
func (s *supplier) exists(lines int) bool { return s.forced || lines > 0 }

// fixed is what stands on an order whatever is bought.
func (s *supplier) fixed() total { return total{own: s.fixedOwn, home: s.fixedHome} }

// fixedHeads are the headings that stand on it.
func (s *supplier) fixedHeads() uint64 {
	if s.fixedHead {
		return 1
	}
	return 0
}

// total is what a line adds to its order.
func (p *pick) total() total { return total{p.own, p.home, p.duty} }

// reckon works the cash and the ties of a choice out from its options.
func (c *choice) reckon(m *model) {
	c.totals, c.lines, c.heads = c.totals[:0], c.lines[:0], c.heads[:0]
	c.standing = standing{cash: m.idle}
	for i := range m.suppliers {
		c.totals = append(c.totals, m.suppliers[i].fixed())
		c.lines = append(c.lines, 0)
		c.heads = append(c.heads, m.suppliers[i].fixedHeads())
	}
	for i := range c.options {
		c.cash += c.options[i].fee
		c.spare += c.options[i].spare
		c.excess += c.options[i].excess
		for j := range c.options[i].picks {
			p := &c.options[i].picks[j]
			c.totals[p.supplier] = c.totals[p.supplier].plus(p.total())
			c.lines[p.supplier]++
			c.heads[p.supplier] |= 1 << p.head
		}
		if o := &c.options[i]; o.value != 0 {
			c.totals[o.to].home += o.value
		}
	}
	for i := range m.suppliers {
		if s := &m.suppliers[i]; s.exists(c.lines[i]) {
			c.cash += m.order(s, c.totals[i], bits.OnesCount64(c.heads[i]))
			c.orders++
		}
	}
}

// copy takes another choice over; the lines of its options are shared.
func (c *choice) copy(d *choice) {
	c.options = append(c.options[:0], d.options...)
	c.totals = append(c.totals[:0], d.totals...)
	c.lines = append(c.lines[:0], d.lines...)
	c.heads = append(c.heads[:0], d.heads...)
	c.standing = d.standing
}

// compare puts the better plan first, then goes by the order of the names: of suppliers
// for the parts in turn.
func (c *choice) compare(d *choice) int {
	if by := c.standing.compare(d.standing); by != 0 {
		return by
	}
	return slices.CompareFunc(c.options, d.options, func(a, b option) int {
		return cmp.Or(cmp.Compare(len(a.picks), len(b.picks)),
			slices.CompareFunc(a.picks, b.picks, func(x, y pick) int {
				return cmp.Or(cmp.Compare(x.offer, y.offer), cmp.Compare(x.q, y.q))
			}))
	})
}
