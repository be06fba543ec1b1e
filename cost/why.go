package cost

import (
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/cost/buy"
)

// Why tells, for one batch, what buying otherwise would cost.
type Why struct {
	Parts     []OtherOffer    // one for each part that is bought
	Suppliers []OtherSupplier // one for each supplier of parts
}

// OtherOffer is a part bought as planned, and as it would be if the offers of
// the plan were not there.
type OtherOffer struct {
	Part   string
	Chosen string          // supplier and order code, several where the demand is split
	Next   string          // the same of the next best; empty where nothing else covers the demand
	More   decimal.Decimal // what the whole run would cost more, home currency
	OffBy  decimal.Decimal // how far More can be off, since a plan is not proven
}

// OtherSupplier is a supplier of parts, and what buying no parts there would
// cost.
type OtherSupplier struct {
	Supplier string
	More     decimal.Decimal // what the whole run would cost more, home currency
	OffBy    decimal.Decimal // how far More can be off, since a plan is not proven
	Needed   []string        // parts that are to be had nowhere else
}

// why makes the plan of a batch anew without each of its choices.
func (m *Model) why(b *Batch) (Why, error) {
	m.solver.Effort = b.effort
	found, err := m.solver.Why(m.demandsAndFixed(b, b.boards))
	if err != nil {
		return Why{}, err
	}
	var w Why
	for _, p := range found.Parts {
		other := OtherOffer{Part: m.parts[p.Part].Key, Chosen: m.offerNames(found.Plan.Lines, p.Part)}
		if !p.None {
			other.Next, other.More, other.OffBy = m.offerNames(p.Lines, p.Part), p.Extra, p.OffBy
		}
		w.Parts = append(w.Parts, other)
	}
	for _, s := range found.Suppliers {
		other := OtherSupplier{Supplier: m.suppliers[s.Supplier].Name, More: s.Extra, OffBy: s.OffBy}
		for _, p := range s.Short {
			other.Needed = append(other.Needed, m.parts[p].Key)
		}
		w.Suppliers = append(w.Suppliers, other)
	}
	return w, nil
}

// offerNames names the offers that some lines buy a part from.
func (m *Model) offerNames(lines []buy.Line, part int) string {
	var names []string
	for _, l := range lines {
		if l.Part == part {
			o := m.parts[part].offers[l.Offer]
			names = append(names, strings.TrimSpace(m.suppliers[o.Supplier].Name+" "+o.Code))
		}
	}
	return strings.Join(names, " + ")
}
