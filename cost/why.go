package cost

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// Why tells, for one batch, what buying otherwise would cost.
type Why struct {
	Parts     []OtherOffer    // one for each part that is bought
	Suppliers []OtherSupplier // one for each order
}

// OtherOffer is a part bought as planned, and as it would be if the offers of
// the plan were not there.
type OtherOffer struct {
	Part   string
	Chosen string          // supplier and order code, several where the demand is split
	Next   string          // the same of the next best; empty where nothing else covers the demand
	More   decimal.Decimal // what the whole run would cost more, home currency
}

// OtherSupplier is an order, and what leaving its supplier out would cost.
type OtherSupplier struct {
	Supplier string
	More     decimal.Decimal // what the whole run would cost more, home currency
	Needed   bool            // something cannot be had elsewhere
}

// why makes the plan of a batch anew without each of its choices.
func (m *Model) why(b *Batch) Why {
	var w Why
	for i := range m.parts {
		if b.Parts[i].Demand > 0 && !b.Parts[i].Unpriced {
			w.Parts = append(w.Parts, m.otherOffer(b, i))
		}
	}
	for _, o := range b.Orders {
		other := OtherSupplier{Supplier: o.Supplier}
		run := m.run
		run.Rules.Without = append(slices.Clone(run.Rules.Without), o.Supplier)
		run.Batches = []int{b.Size}
		without := cashOf(run, run.Rules)[0]
		other.Needed = without.Unpriced
		other.More = without.Cash.Sub(b.Total.Cash)
		w.Suppliers = append(w.Suppliers, other)
	}
	return w
}

// otherOffer plans the batch as if the offers that a part is bought from were
// not there.
func (m *Model) otherOffer(b *Batch, part int) OtherOffer {
	p := &m.parts[part]
	out := OtherOffer{Part: p.Key}
	var chosen []string
	for _, l := range b.Purchases {
		if l.Kind != Lots && l.Index == part {
			chosen = append(chosen, m.offerName(l.Supplier, l.OrderCode))
		}
	}
	out.Chosen = strings.Join(chosen, " + ")
	problem := m.buying
	problem.Parts = slices.Clone(problem.Parts)
	problem.Parts[part].Offers = slices.DeleteFunc(slices.Clone(p.offers), func(o buy.Offer) bool {
		return slices.Contains(chosen, m.offerName(m.suppliers[o.Supplier].Name, o.Code))
	})
	solver, err := buy.New(problem)
	if err != nil {
		return out
	}
	plan, err := m.planWith(solver, b, b.boards)
	if err != nil || plan.TooFewOrders || slices.ContainsFunc(plan.Short, func(s buy.Shortage) bool { return s.Part == part }) {
		return out
	}
	var next []string
	for _, l := range plan.Lines {
		if l.Part == part {
			next = append(next, m.offerName(m.suppliers[l.Supplier].Name, problem.Parts[part].Offers[l.Offer].Code))
		}
	}
	out.Next = strings.Join(next, " + ")
	out.More = plan.Landed.Sub(b.Landed)
	return out
}

func (m *Model) offerName(supplier, code string) string {
	return strings.TrimSpace(supplier + " " + bom.Printable(code))
}
