package cost

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// readRates notes what each currency is worth at home.
func readRates(m *Model) {
	m.supply.problems = &m.problems
	m.supply.rates = map[string]decimal.Decimal{m.home.Code: decimal.NewFromInt(1)}
	for _, r := range m.prices.Exchange {
		m.supply.rates[r.Currency.Code] = r.Rate
	}
}

// rate is what one unit of a currency is worth at home. Readers refuse a price
// in a currency that has no rate, so that a missing one is a fault of the
// caller; it is reported all the same rather than taken for zero. New asks for
// every currency, so that none is found missing by a batch.
func (s *supply) rate(c bom.Currency, at bom.Place) decimal.Decimal {
	if r, ok := s.rates[c.Code]; ok {
		return r
	}
	s.problems.Errorf(at, c.Code, "give the tab exchange a row for it", "no exchange rate for this currency")
	s.rates[c.Code] = decimal.NewFromInt(1) // one complaint is enough
	return s.rates[c.Code]
}

// listSuppliers lists the suppliers: those with a row, then those that are only named.
func listSuppliers(m *Model) {
	m.supply.of = map[string]int{}
	rows := slices.Clone(m.prices.Suppliers)
	slices.SortStableFunc(rows, func(a, b bom.Supplier) int { return cmp.Compare(bom.Fold(a.Name), bom.Fold(b.Name)) })
	for _, s := range rows {
		addSupplier(m, s)
	}
	for _, name := range namedOnly(m) {
		if _, known := m.supply.of[bom.Fold(name)]; known {
			continue
		}
		m.supply.of[bom.Fold(name)] = len(m.supply.list)
		name = cmp.Or(name, "supplier not named")
		addSupplier(m, bom.Supplier{Name: name, Currency: m.home})
	}
	m.supply.namesakes = map[string]int{}
	for i, s := range m.supply.list {
		m.supply.namesakes[s.Name] = m.supply.of[m.supply.keys[i]]
	}
}

// index finds a supplier by name; -1 where there is none.
func (s *supply) index(name string) int {
	if i, ok := s.namesakes[name]; ok {
		return i
	}
	if i, ok := s.of[bom.Fold(name)]; ok {
		return i
	}
	return -1
}

// namedOnly lists, in order, the suppliers that some row names and that have no
// row of their own: home currency, no charges. A row that names nobody counts as
// naming one more.
func namedOnly(m *Model) []string {
	var names []string
	seen := map[string]bool{}
	note := func(name string) {
		if seen[name] {
			return
		}
		seen[name] = true
		if _, known := m.supply.of[bom.Fold(name)]; !known {
			names = append(names, name)
		}
	}
	for i := range m.prices.Offers {
		if len(m.prices.Offers[i].Breaks) > 0 {
			note(m.prices.Offers[i].Supplier)
		}
	}
	for _, q := range m.prices.Quotes {
		note(fabricatorOf(&m.prices.Settings, q))
	}
	for _, mat := range m.prices.Materials {
		if !mat.Unpriced {
			note(mat.Supplier)
		}
	}
	switch set := m.prices.Settings.Assembler; set {
	case bom.AtBench:
	case "":
		for i := range m.prices.Assemblers {
			note(m.prices.Assemblers[i].Name)
		}
		for i := range m.prices.AssemblyQuotes {
			note(m.prices.AssemblyQuotes[i].Assembler)
		}
	default:
		note(set)
	}
	slices.Sort(names)
	return names
}

func addSupplier(m *Model, s bom.Supplier) {
	key := bom.Fold(s.Name)
	m.supply.of[key] = len(m.supply.list)
	m.supply.list, m.supply.keys = append(m.supply.list, s), append(m.supply.keys, key)
	m.buyers = append(m.buyers, buy.Supplier{
		Name: s.Name, Currency: s.Currency, Rate: m.supply.rate(s.Currency, s.At("Currency")),
		Delivery: s.Delivery, FreeOver: s.FreeOver, MinOrder: s.MinOrder,
		Duty: s.Duty, Tax: s.Tax,
		DutyFreeUpTo: s.DutyFreeUpTo, TaxFreeUpTo: s.TaxFreeUpTo, FlatDuty: s.FlatDuty, Handling: s.Handling,
		Consign: s.ConsignPerLine, PartsSent: s.PartsSent,
	})
}

// fabricatorOf is who a quote comes from.
func fabricatorOf(s *bom.Settings, q bom.Quote) string { return cmp.Or(q.Fabricator, s.Fabricator) }
