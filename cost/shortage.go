package cost

import (
	"cmp"
	"slices"

	"tenoff/bom"
)

// Limit is how many units the stock of one part builds.
type Limit struct {
	Part  string
	Units int
	Stock bom.Quantity // offers and drawer together
}

// Limits gives, for the parts whose stock does not build a batch of the given
// size, how many good units it builds, the scarcest first. Parts are looked at
// one by one, as if all others were there.
func (m *Model) Limits(size int) []Limit {
	short := m.shortAt(size)
	out := make([]Limit, len(short))
	for i, p := range short {
		out[i] = Limit{m.parts[p].Key, m.builds(p, size), m.reach(p)}
	}
	slices.SortFunc(out, func(a, b Limit) int {
		return cmp.Or(cmp.Compare(a.Units, b.Units), cmp.Compare(a.Part, b.Part))
	})
	return out
}

// shortAt lists the parts of which a batch wants more than can be had.
func (m *Model) shortAt(size int) []int {
	runs, ok := m.demandsAt(size)
	var out []int
	for i := range m.parts {
		if !ok || runs[i].Demand > m.canBuy(i) {
			out = append(out, i)
		}
	}
	return out
}

// demandsAt computes what has to be bought for a batch and no more.
func (m *Model) demandsAt(size int) ([]PartRun, bool) {
	var problems bom.Problems
	b := Batch{Size: size}
	m.needs(&b, &problems)
	if problems.Failed() {
		return nil, false
	}
	m.plates(&b, &problems)
	m.demands(&b)
	return b.Parts, !problems.Failed()
}

// builds is the largest batch under size that the stock of a part covers.
func (m *Model) builds(part, size int) int {
	low, high := 0, size // low can be built, high cannot
	for high-low > 1 {
		mid := low + (high-low)/2
		if runs, ok := m.demandsAt(mid); ok && runs[part].Demand <= m.canBuy(part) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// canBuy is the most that the offers of a part hold, in whole orders: what
// cannot be ordered since the minimum or the multiple exceeds the stock does
// not count.
func (m *Model) canBuy(part int) bom.Quantity {
	var sum bom.Quantity
	for _, o := range m.parts[part].offers {
		if o.Stock < 0 {
			return bom.MaxQuantity
		}
		multiple := max(1, o.Multiple)
		if most := o.Stock / multiple * multiple; most >= max(o.MOQ, o.Breaks[0].From) {
			if held, ok := o.Pieces.Times(most); ok {
				sum = min(bom.MaxQuantity, sum+held)
			} else {
				return bom.MaxQuantity
			}
		}
	}
	return sum
}

// reach is what can be bought and what is in the drawer.
func (m *Model) reach(part int) bom.Quantity {
	sum := m.canBuy(part)
	if oh := m.parts[part].onHand; oh != nil {
		sum = min(bom.MaxQuantity, sum+oh.Quantity)
	}
	return sum
}
