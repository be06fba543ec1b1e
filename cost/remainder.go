package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Remainder is what it takes to finish a run of which something lacks.
type Remainder struct {
	Purchases []Purchase
	Orders    []Order         // those that hold a purchase
	Cash      decimal.Decimal // of both, home currency
	Unpriced  bool            // something cannot be had
}

// Having is how many pieces or grams of a part or board a run has.
type Having struct {
	Part   string
	Pieces bom.Quantity
}

// RestOf plans the cheapest way to what a run of one batch size lacks, where it has some of
// what it takes: that is on hand, and the money for it is spent.
func RestOf(run Run, have []Having) (*Remainder, bom.Problems) {
	prices := *run.Prices
	prices.OnHand = slices.DeleteFunc(slices.Clone(run.Prices.OnHand), func(oh bom.OnHand) bool {
		return slices.ContainsFunc(have, func(h Having) bool { return bom.Fold(h.Part) == bom.Fold(oh.Part) })
	})
	prices.OnHand = append(prices.OnHand, bom.Each(have, func(h *Having) bom.OnHand { return bom.OnHand{Part: h.Part, Quantity: h.Pieces} })...)
	run.Prices = &prices
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	b, more := m.At(0).Batch(run.Batches[0])
	if problems = append(problems, more...); problems.Failed() {
		return nil, problems
	}
	r := &Remainder{Purchases: b.Purchases}
	buys := map[string]bool{}
	for _, p := range bom.Refs(b.Purchases) {
		buys[p.Supplier], r.Unpriced = true, r.Unpriced || p.Unpriced
		r.Cash = r.Cash.Add(p.Cash)
	}
	for _, o := range b.Orders {
		if buys[o.Supplier] {
			r.Orders = append(r.Orders, o)
			r.Cash = r.Cash.Add(o.Total().Sub(o.Goods))
		}
	}
	return r, problems
}
