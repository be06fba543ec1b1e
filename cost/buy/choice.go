package buy

import (
	"cmp"
	"slices"
)

// choice is a whole plan: one option per part of the model that is bought.
type choice struct {
	options []option
	totals  []total // by supplier, fixed goods included
	lines   []int   // by supplier
	cash    int64
	orders  int
	spare   int64 // Σ over the parts, home minor units
	excess  int64 // Σ over the parts, millionths of a piece
}

// exists tells whether a supplier gets an order.
func (s *supplier) exists(lines int) bool { return s.forced || lines > 0 }

// reckon works the cash and the ties of a choice out from its options. idle is
// the sum of the consign fees of parts that are not bought.
func (c *choice) reckon(m *model, idle int64) {
	c.totals, c.lines = c.totals[:0], c.lines[:0]
	c.cash, c.spare, c.orders, c.excess = idle, 0, 0, 0
	for i := range m.suppliers {
		c.totals = append(c.totals, total{m.suppliers[i].fixedOwn, m.suppliers[i].fixedHome})
		c.lines = append(c.lines, 0)
	}
	for i := range c.options {
		c.cash += c.options[i].fee
		c.spare += c.options[i].spare
		c.excess += c.options[i].excess
		for j := range c.options[i].picks {
			p := &c.options[i].picks[j]
			c.totals[p.supplier].own += p.own
			c.totals[p.supplier].home += p.home
			c.lines[p.supplier]++
		}
	}
	for i := range m.suppliers {
		if s := &m.suppliers[i]; s.exists(c.lines[i]) {
			c.cash += m.order(s, c.totals[i])
			c.orders++
		}
	}
}

// copy takes another choice over; the lines of its options are shared.
func (c *choice) copy(d *choice) {
	c.options = append(c.options[:0], d.options...)
	c.totals = append(c.totals[:0], d.totals...)
	c.lines = append(c.lines[:0], d.lines...)
	c.cash, c.spare, c.orders, c.excess = d.cash, d.spare, d.orders, d.excess
}

// compare puts the better plan first: less cash, more surplus, fewer orders,
// fewer pieces, then the order of the names: of suppliers for the parts in turn.
func (c *choice) compare(d *choice) int {
	if by := cmp.Or(cmp.Compare(c.cash, d.cash), cmp.Compare(d.spare, c.spare), cmp.Compare(c.orders, d.orders), cmp.Compare(c.excess, d.excess)); by != 0 {
		return by
	}
	return slices.CompareFunc(c.options, d.options, func(a, b option) int {
		return cmp.Or(cmp.Compare(len(a.picks), len(b.picks)),
			slices.CompareFunc(a.picks, b.picks, func(x, y pick) int {
				return cmp.Or(cmp.Compare(x.offer, y.offer), cmp.Compare(x.q, y.q))
			}))
	})
}
