package cost

import (
	"slices"
	"sort"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// readRates notes what each currency is worth at home.
func readRates(m *Model) {
	m.rates = map[string]decimal.Decimal{m.home.Code: decimal.NewFromInt(1)}
	for _, r := range m.prices.Exchange {
		m.rates[r.Currency.Code] = r.Rate
	}
}

// rate is what one unit of a currency is worth at home. Readers refuse a price
// in a currency that has no rate, so that a missing one is a fault of the
// caller; it is reported all the same rather than taken for zero. New asks for
// every currency, so that none is found missing by a batch.
func (m *Model) rate(c bom.Currency, at bom.Place) decimal.Decimal {
	if r, ok := m.rates[c.Code]; ok {
		return r
	}
	m.problems.Errorf(at, c.Code, "give the tab exchange a row for it", "no exchange rate for this currency")
	m.rates[c.Code] = decimal.NewFromInt(1) // one complaint is enough
	return m.rates[c.Code]
}

// listSuppliers lists the suppliers: those with a row, then those that are only named.
func listSuppliers(m *Model) {
	m.supplierOf = map[string]int{}
	rows := append([]bom.Supplier(nil), m.prices.Suppliers...)
	sort.SliceStable(rows, func(a, b int) bool { return bom.Fold(rows[a].Name) < bom.Fold(rows[b].Name) })
	for _, s := range rows {
		addSupplier(m, s)
	}
	for _, name := range namedOnly(m) {
		if _, known := m.supplierOf[bom.Fold(name)]; known {
			continue
		}
		m.supplierOf[bom.Fold(name)] = len(m.suppliers)
		if name == "" {
			name = "supplier not named"
		}
		addSupplier(m, bom.Supplier{Name: name, Currency: m.home})
	}
	m.namesakes = map[string]int{}
	for i, s := range m.suppliers {
		m.namesakes[s.Name] = m.supplierOf[m.supplierKeys[i]]
	}
}

// supplierIndex finds a supplier by name; -1 where there is none.
func (m *Model) supplierIndex(name string) int {
	if i, ok := m.namesakes[name]; ok {
		return i
	}
	if i, ok := m.supplierOf[bom.Fold(name)]; ok {
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
		if _, known := m.supplierOf[bom.Fold(name)]; !known {
			names = append(names, name)
		}
	}
	for i := range m.prices.Offers {
		if len(m.prices.Offers[i].Breaks) > 0 {
			note(m.prices.Offers[i].Supplier)
		}
	}
	for _, q := range m.prices.Quotes {
		note(m.fabricator(q))
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
	m.supplierOf[key] = len(m.suppliers)
	m.suppliers, m.supplierKeys = append(m.suppliers, s), append(m.supplierKeys, key)
	m.buyers = append(m.buyers, buy.Supplier{
		Name: s.Name, Currency: s.Currency, Rate: m.rate(s.Currency, s.At("Currency")),
		Delivery: s.Delivery, FreeOver: s.FreeOver, MinOrder: s.MinOrder,
		Duty: s.Duty, Tax: s.Tax,
		DutyFreeUpTo: s.DutyFreeUpTo, TaxFreeUpTo: s.TaxFreeUpTo, FlatDuty: s.FlatDuty, Handling: s.Handling,
		Consign: s.ConsignPerLine, PartsSent: s.PartsSent,
	})
}

// fabricator is who a quote comes from.
func (m *Model) fabricator(q bom.Quote) string {
	if q.Fabricator != "" {
		return q.Fabricator
	}
	return m.prices.Settings.Fabricator
}
