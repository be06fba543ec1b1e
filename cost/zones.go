package cost

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// prepareZones finds what services go to each zone of the tab recipients. A tab whose
// counts are all 0 is none; then everything goes where the setting Post to says.
func prepareZones(m *Model) {
	to := m.prices.Settings.PostTo
	var rows []*bom.Recipient
	for i := range m.prices.Recipients {
		if r := &m.prices.Recipients[i]; r.Count > 0 {
			rows = append(rows, r)
		}
	}
	// The order of the rows decides nothing: of equal remainders the zone with the most gets
	// the unit.
	slices.SortStableFunc(rows, func(a, b *bom.Recipient) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), byName(a.Zone, b.Zone))
	})
	switch {
	case len(rows) == 0:
		if rows = []*bom.Recipient{nil}; len(m.prices.Postage) > 0 {
			checkDestinations(m)
		}
	case to != "":
		m.problems.Warnf(m.prices.SettingPlace("Post to"), to, "leave it blank, or take the tab recipients away",
			"not used: the tab recipients says where parcels go")
	}
	for i := range m.products {
		for _, r := range rows {
			m.zones = append(m.zones, newZone(m, i, r))
		}
	}
}

// newZone lists the services that go to a place and take a parcel of one unit, the
// cheapest first, of equal ones by name; and those that take none.
func newZone(m *Model, product int, row *bom.Recipient) zone {
	z := zone{product: product, mass: &m.products[product].mass, row: row, to: m.prices.Settings.PostTo, per: 1}
	if row != nil {
		z.to, z.per = row.Zone, int(min(max(row.UnitsPer, 1), MaxBatch))
	}
	least := z.parcel(1)
	home := map[*bom.Service]decimal.Decimal{}
	for _, s := range bom.Refs(m.prices.Postage) {
		switch {
		case !goesTo(s, z.to):
		case against(&m.supply, s, &least, worth{}) != 0:
			z.others = append(z.others, s)
		default:
			home[s] = s.Price.Mul(m.supply.rate(s.Currency, s.At("Currency")))
			z.services = append(z.services, s)
		}
	}
	slices.SortStableFunc(z.services, func(a, b *bom.Service) int { return cmp.Or(home[a].Cmp(home[b]), cmp.Compare(a.Name, b.Name)) })
	return z
}

// cheapest is the service of the least price that takes a parcel; nil where none does.
func (z *zone) cheapest(m *Model, p *parcel, w worth) *bom.Service {
	for _, s := range z.services {
		if against(&m.supply, s, p, w) == 0 {
			return s
		}
	}
	return nil
}

// inUse are the services that may take a parcel of some batch: no dearer one is looked at
// where one takes a full parcel of whatever worth.
func (z *zone) inUse(m *Model) []*bom.Service {
	full := z.parcel(z.per)
	for i, s := range z.services {
		if !s.MaxValue.Valid && against(&m.supply, s, &full, worth{}) == 0 {
			return z.services[:i+1]
		}
	}
	return z.services
}

// goesTo tells whether a service goes to a place; one to no named place goes
// anywhere, and no named place is any.
func goesTo(s *bom.Service, to string) bool {
	return to == "" || s.To == "" || bom.Fold(s.To) == bom.Fold(to)
}

// isServed tells whether some service goes to a place.
func isServed(m *Model, to string) bool {
	return slices.ContainsFunc(m.prices.Postage, func(s bom.Service) bool { return goesTo(&s, to) })
}

// destinationsOf are the destinations that services name.
func destinationsOf(m *Model) []string {
	var places []string
	for _, s := range m.prices.Postage {
		if s.To != "" {
			places = addNames(places, []string{s.To})
		}
	}
	return places
}

// checkDestinations warns where services to several places compete for the cheapest,
// and refuses a place that none goes to.
func checkDestinations(m *Model) {
	places, to := destinationsOf(m), m.prices.Settings.PostTo
	switch {
	case to == "" && len(places) > 1:
		m.problems.Warnf(m.prices.Postage[0].At("To"), "", "name one in the setting Post to: "+strings.Join(places, ", "),
			"services to %d destinations are compared with each other", len(places))
	case to != "" && !isServed(m, to):
		m.problems.Errorf(m.prices.SettingPlace("Post to"), to, "one of: "+strings.Join(places, ", "), "no postal service to this destination")
	}
}

// unitsByZone shares the units of each product out over its zones: as they are counted
// where that comes to them, else in proportion (largest remainder).
func unitsByZone(m *Model, b *Batch) (out []int) {
	zones := len(m.zones) / len(m.products)
	for i := range b.Products {
		weights := []int{1}
		if zones > 1 {
			weights = make([]int, zones)
			for j := range weights {
				weights[j] = int(m.zones[j].row.Count)
			}
		}
		out = append(out, apportioned(b.Products[i].Size, weights)...)
	}
	return out
}
