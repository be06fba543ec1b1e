package buy

import "math/bits"

// lookahead knows, for an order within one mode, how much its roundings and its share of
// what candidates are over their parts' least add at least to what the bound counts, given
// the goods so far and the candidates of the last parts that touch it. The sums that those
// can reach are few, and most round badly: a combination can be dropped before it is
// complete.
type lookahead struct {
	from   int         // first layer that it covers
	low    []int64     // by layer from there on: home goods of the first entry
	least  [][]float64 // by layer and home goods before the layer
	beyond int         // first layer after it
}

// How many sums are worked out at most, with one candidate each, how many are held of a
// layer, and how many are worked out in one step.
const aheadWork, aheadSums, sumsPerStep = 1 << 18, 1 << 14, 8

// lookAhead fills the tables of an order backwards from its last layer.
func (c *combiner) lookAhead(w *watched) {
	w.ahead = lookahead{}
	if !w.dull {
		return
	}
	sup := &c.s.m.suppliers[w.supplier]
	md := &c.s.modes[w.supplier][bits.TrailingZeros64(w.mask)]
	if md.back > 0 {
		return
	}
	last := w.last
	after := func(home int64) float64 {
		t := total{own: md.lo.own, home: home + w.least[last+1].home}
		return max(0, float64(c.s.m.order(sup, t, w.heads))-w.weight.of(t.home, t.own)-w.relaxed)
	}
	var tables [][]float64
	var lows []int64
	from, work := last+1, 0
	for k := last; k >= 0; k-- {
		list := c.lists[c.order[k]]
		low := w.start.home + w.least[0].home - w.least[k].home
		size := w.most[0].home - w.most[k].home - (w.least[0].home - w.least[k].home) + 1
		work += int(min(size, aheadSums)) * len(list)
		if size > aheadSums || work > aheadWork || c.s.tick(int(size)*(len(list)+1)/sumsPerStep) {
			break
		}
		goods, shares := c.shares(w.supplier, list)
		row := make([]float64, size)
		for i := range row {
			row[i] = inf
			for o := range list {
				home := low + int64(i) + goods[o]
				v := 0.0
				if k == last {
					v = after(home)
				} else {
					v = tables[len(tables)-1][home-lows[len(lows)-1]]
				}
				row[i] = min(row[i], v+shares[o])
			}
		}
		tables, lows, from = append(tables, row), append(lows, low), k
	}
	w.ahead = lookahead{from: from, low: lows, least: tables, beyond: last + 1}
}

// shares gives what the candidates of a part add to an order, and the order's share of their
// values: each is divided between the orders that it changes, of those in which only
// roundings are open.
func (c *combiner) shares(supplier int, list []candidate) (goods []int64, shares []float64) {
	for o := range list {
		goods = append(goods, list[o].at(supplier).home)
		count, share := 0, 0.0
		for k := range c.watch {
			w := &c.watch[k]
			if w.dull && list[o].goods[k] != list[0].goods[k] {
				if count++; w.supplier == supplier {
					share = list[o].over
				}
			}
		}
		shares = append(shares, share/float64(max(1, count)))
	}
	return goods, shares
}

// at is the least that roundings add when layer k is next.
func (a *lookahead) at(k int, home int64) float64 {
	if k < a.from || k >= a.beyond {
		return 0
	}
	i := a.beyond - 1 - k // tables run backwards
	return a.least[i][home-a.low[i]]
}
