package cost

import (
	"strings"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// explainWhy makes the plan of a batch anew without each of its choices.
func explainWhy(m *Model, b *Batch) (Why, error) {
	m = m.of(b)
	m.solver.Effort = b.effort
	found, err := m.solver.Why(demandsAndFixed(m, b, b.boards))
	if err != nil {
		return Why{}, err
	}
	var w Why
	for _, p := range found.Parts {
		other := OtherOffer{Part: m.parts[p.Part].Key, Chosen: offerNames(m, found.Plan.Lines, p.Part)}
		if !p.None {
			other.Next, other.More, other.OffBy = offerNames(m, p.Lines, p.Part), p.Extra, p.OffBy
		}
		w.Parts = append(w.Parts, other)
	}
	for _, s := range found.Suppliers {
		w.Suppliers = append(w.Suppliers, OtherSupplier{Supplier: m.supply.list[s.Supplier].Name, More: s.Extra, OffBy: s.OffBy,
			Needed: bom.Each(s.Short, func(p *int) string { return m.parts[*p].Key })})
	}
	return w, nil
}

// offerNames names the offers that some lines buy a part from.
func offerNames(m *Model, lines []buy.Line, part int) string {
	var names []string
	for _, l := range lines {
		if l.Part == part {
			o := m.parts[part].offers[l.Offer]
			names = append(names, strings.TrimSpace(m.supply.list[o.Supplier].Name+" "+o.Code))
		}
	}
	return strings.Join(names, " + ")
}
