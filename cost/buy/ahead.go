package buy

import "math/bits"

// lookahead knows, for an order within one mode, how much its roundings add at
// least to what the bound counts, given the goods so far and the candidates of
// the last parts that touch it. The sums that those can reach are few, and most
// round badly: a combination can be dropped before it is complete.
type lookahead struct {
	from   int         // first layer that it covers
	low    []int64     // by layer from there on: home goods of the first entry
	least  [][]float64 // by layer and home goods before the layer
	beyond int         // first layer after it
}

// How many layers it looks ahead, how many sums it holds of each, and how many of them
// are worked out in one step, with one candidate each.
const aheadLayers, aheadSums, sumsPerStep = 8, 1 << 14, 8

// lookAhead fills the tables of an order backwards from its last layer.
func (c *combiner) lookAhead(w *watched) {
	w.ahead = lookahead{}
	if !w.dull || w.eased != nil {
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
	from := last + 1
	for k := last; k >= 0 && k > last-aheadLayers; k-- {
		low := w.start.home + w.least[0].home - w.least[k].home
		size := w.most[0].home - w.most[k].home - (w.least[0].home - w.least[k].home) + 1
		if size > aheadSums {
			break
		}
		if c.s.tick(int(size) * (len(c.lists[c.order[k]]) + 1) / sumsPerStep) {
			break
		}
		row := make([]float64, size)
		for i := range row {
			row[i] = inf
			for o := range c.lists[c.order[k]] {
				home := low + int64(i) + c.lists[c.order[k]][o].at(w.supplier).home
				v := 0.0
				if k == last {
					v = after(home)
				} else {
					v = tables[len(tables)-1][home-lows[len(lows)-1]]
				}
				row[i] = min(row[i], v)
			}
		}
		tables, lows, from = append(tables, row), append(lows, low), k
	}
	w.ahead = lookahead{from: from, low: lows, least: tables, beyond: last + 1}
}

// at is the least that roundings add when layer k is next.
func (a *lookahead) at(k int, home int64) float64 {
	if k < a.from || k >= a.beyond {
		return 0
	}
	i := a.beyond - 1 - k // tables run backwards
	return a.least[i][home-a.low[i]]
}
