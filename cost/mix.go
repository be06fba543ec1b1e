package cost

import (
	"slices"

	"tenoff/bom"
)

// mixLines adds a line with the substitute for each line of a part whose stock is to go as
// far as it does, the substitute for the rest. Its need comes with the batch; joints,
// pieces and masses are counted with the line of the part.
func mixLines(m *Model) {
	for i := range m.swaps {
		s := &m.swaps[i]
		if !s.mixed {
			continue
		}
		for at := range m.entries {
			e := &m.entries[at]
			if e.Line.Kind == bom.KindBoard || e.Line.Kind == bom.KindPrinted || !namesLine(s.Part, e.Line) {
				continue
			}
			s.lines = append(s.lines, len(m.entries))
			m.entries = append(m.entries, Entry{Line: s.line(e.Line), Category: e.Category, Path: e.Path, Board: e.Board, Part: -1, restOf: at + 1})
		}
	}
}

// shareMixed gives the substitutes what the stock of their parts does not cover, as many
// pieces of the last lines first. Part and substitute have each its own allowance.
func shareMixed(m *Model, b *Batch) {
	b.mixed = make([]int, len(m.swaps))
	for i := range m.swaps {
		s := &m.swaps[i]
		if b.mixed[i] = b.Starts; len(s.lines) == 0 {
			continue
		}
		part := m.entries[m.entries[s.lines[0]].restOf-1].Part
		need, perUnit := bom.Quantity(0), bom.Quantity(0)
		for _, e := range m.parts[part].Entries {
			need, perUnit = need+b.Needs[e], perUnit+m.entries[e].PerUnit
		}
		rest := need - m.mostSupplied(part, need)
		if perUnit > 0 {
			b.mixed[i] = min(b.Starts, int((rest+perUnit-1)/perUnit))
		}
		for _, e := range slices.Backward(s.lines) {
			of := m.entries[e].restOf - 1
			takes := min(rest, b.Needs[of])
			b.Needs[e], b.Needs[of], rest = takes, b.Needs[of]-takes, rest-takes
		}
	}
}

// mostSupplied is how much of a need, in whole pieces, the offers of a part and what is on
// hand cover with the allowance.
func (m *Model) mostSupplied(part int, need bom.Quantity) bom.Quantity {
	p, reach := &m.parts[part], stockReach(m, part)
	if need+p.allowanceOver(need) <= reach {
		return need
	}
	low, high := int64(0), need.Ceil() // low is covered, high is not
	for high-low > 1 {
		mid := low + (high-low)/2
		if q := bom.Whole(mid); q+p.allowanceOver(q) <= reach {
			low = mid
		} else {
			high = mid
		}
	}
	return bom.Whole(low)
}

// unitsOf is how many of the units begun something is done to that comes with a swap,
// given by 1 + its index; 0 is all.
func (b *Batch) unitsOf(swap int) int {
	if swap > 0 {
		return b.mixed[swap-1]
	}
	return b.Starts
}

// among tells whether a part is one of those that are named.
func (p *part) among(names []string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return sameKey(name, p.Key) })
}

// stockOf is how many order units an offer of a part has, those included that are waited for.
func (p *part) stockOf(m *Model, o *bom.Offer) int64 {
	if o.Stock >= 0 && o.More > 0 && p.among(m.run.waitFor) {
		return o.Stock + o.More
	}
	return o.Stock
}

// waits is for how many days the order to a supplier waits for what is expected of parts
// of which it takes more than is in stock.
func (m *Model) waits(b *Batch, supplier string) (days int) {
	if len(m.run.waitFor) == 0 {
		return 0
	}
	for i := range b.Purchases {
		if o := b.Purchases[i].offer; o != nil && b.Purchases[i].Supplier == supplier && o.Stock >= 0 && b.Purchases[i].Quantity > o.Stock {
			days = max(days, m.run.Today.DaysUntil(o.MoreOn))
		}
	}
	return days
}
