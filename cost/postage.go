package cost

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
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
	for i := range m.products {
		for _, r := range rows {
			m.zones = append(m.zones, newZone(m, i, r, r.Zone))
		}
	}
	if len(rows) > 0 {
		if to != "" {
			m.problems.Warnf(m.prices.SettingPlace("Post to"), to, "leave it blank, or take the tab recipients away",
				"not used: the tab recipients says where parcels go")
		}
		return
	}
	for i := range m.products {
		m.zones = append(m.zones, newZone(m, i, nil, to))
	}
	if len(m.prices.Postage) > 0 {
		checkDestinations(m)
	}
}

// newZone lists the services that go to a place and take a parcel of one unit, the
// cheapest first, of equal ones by name; and those that take none.
func newZone(m *Model, product int, row *bom.Recipient, to string) zone {
	z := zone{product: product, mass: &m.products[product].mass, row: row, per: 1}
	if row != nil {
		z.per = int(min(max(row.UnitsPer, 1), MaxBatch))
	}
	least := z.parcel(1)
	home := map[*bom.Service]decimal.Decimal{}
	for i := range m.prices.Postage {
		s := &m.prices.Postage[i]
		switch {
		case !goesTo(s, to):
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

// destinationsOf are the destinations that services name.
func destinationsOf(m *Model) []string {
	var places []string
	for _, s := range m.prices.Postage {
		if s.To != "" && !slices.ContainsFunc(places, func(p string) bool { return bom.Fold(p) == bom.Fold(s.To) }) {
			places = append(places, s.To)
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

// isServed tells whether some service goes to a place.
func isServed(m *Model, to string) bool {
	return slices.ContainsFunc(m.prices.Postage, func(s bom.Service) bool { return goesTo(&s, to) })
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

// statePostage sends the good units by the cheapest services to their zones (5.8): in full
// parcels, the last one with the rest.
func statePostage(s *sums, problems *bom.Problems) {
	w := make([]worth, len(s.b.Products))
	for p := range w {
		w[p] = unitWorth(s, p)
	}
	for i, n := range unitsByZone(s.m, s.b) {
		z := &s.m.zones[i]
		w := w[z.product]
		full, rest := n/z.per, n%z.per
		sent := true
		if full > 0 || rest == 0 {
			sent = postParcels(s, i, full, z.per, w, problems)
		}
		switch {
		case rest == 0:
		case sent:
			postParcels(s, i, 1, rest, w, problems)
		default: // that the zone has no service is told once
			postParcels(s, i, 1, rest, w, &bom.Problems{})
		}
	}
}

// unitWorth is what a unit of a product is worth in the post: the given price without sales tax, else
// what the batch consumes besides postage. It is needed before postage is known, and so is
// the sum of all that is stated before; where no service asks for it, it is not worked out.
func unitWorth(s *sums, product int) worth {
	if !slices.ContainsFunc(s.m.prices.Postage, func(p bom.Service) bool { return p.MaxValue.Valid }) {
		return worth{}
	}
	if prices := s.m.run.Price; prices != nil {
		return worth{prices[product].Mul(hundred), s.m.prices.Settings.SalesTax.Add(hundred)}
	}
	return worth{productWorth(s, product), decimal.NewFromInt(int64(s.b.Products[product].Size))}
}

// postParcels pays for parcels of so many units each to a zone; sent tells that some
// service takes them.
func postParcels(s *sums, at, parcels, units int, w worth, problems *bom.Problems) (sent bool) {
	m, z := s.m, &s.m.zones[at]
	handed := z.parcel(units)
	p := Post{Parcels: parcels, Units: parcels * units, MassG: handed.grams, SizeMM: handed.size, Unknown: z.mass.unknown, Product: z.product}
	if z.row != nil {
		p.Zone = z.row.Zone
	}
	by := z.cheapest(m, &handed, w)
	if by != nil {
		p.Service, p.To, p.Chargeable = by.Name, by.To, handed.chargeable(by)
		p.Price, p.Currency, p.Place = by.Price, by.Currency, by.At("Price")
	}
	out := postSums{zone: at}
	if parcels > 0 && (z.row != nil || len(m.prices.Postage) > 0) {
		postFee(s, &p, z, by, &out)
		if by == nil {
			problems.Add(noService(m, z, &handed, w))
		}
	}
	s.posts, s.b.Posts = append(s.posts, out), append(s.b.Posts, p)
	return by != nil
}

// postFee pays for parcels, which are the next of the batch.
func postFee(s *sums, p *Post, z *zone, by *bom.Service, out *postSums) {
	i := len(s.b.Posts)
	fee := Fee{Category: Postage, What: z.parcelsOf(p), Kind: PostageFee, Index: i}
	if by == nil {
		p.Unpriced = true
		fee.Payee, fee.Currency = "?", s.m.home
		s.unpricedFee(fee)
		return
	}
	fee.Payee, fee.Currency, fee.Place = p.Service, p.Currency, p.Place
	price := s.Figure(sum.Figure{Key: sum.Key{Of: OfParcel, At: i, What: "price"}, Value: p.Price, Unit: p.Currency.Code, Place: p.Place, AsOf: by.AsOf,
		Row: strings.TrimSpace(p.Service + " " + p.To), Note: by.Note})
	parcels := s.counted(OfParcel, i, "parcels", p.Parcels)
	out.units = s.counted(OfParcel, i, "units", p.Units)
	s.fee(fee, s.Round(s.Mul(price, parcels), p.Currency.Digits))
	out.cash = s.money(OfParcel, i, "cash", s.fees[len(s.fees)-1].cash)
	p.Cash = s.Value(out.cash)
}

// parcelsOf is "12 parcels to inland", without the zone where none is given, and with the
// units in each where the zone's parcels hold several.
func (z *zone) parcelsOf(p *Post) string {
	text := counted(p.Parcels, "parcel")
	if z.per > 1 {
		text += " of " + counted(p.Units/p.Parcels, "unit")
	}
	if p.Zone != "" {
		text += " to " + p.Zone
	}
	return text
}

// counted is "1 parcel" or "12 parcels".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// warnOfProportion says once for which batches the counts of the zones are not taken
// as they are.
func warnOfProportion(m *Model, batches []Batch) bom.Problems {
	if m.zones[0].row == nil {
		return nil
	}
	var sum int64
	first := m.zones[0].row
	for _, z := range m.zones[:len(m.zones)/len(m.products)] {
		sum += z.row.Count
		if z.row.Row < first.Row {
			first = z.row
		}
	}
	var sizes []string
	for _, b := range batches {
		if int64(b.Size) != sum {
			sizes = append(sizes, string(b.ID()))
		}
	}
	var problems bom.Problems
	if len(sizes) > 0 && len(m.zones) > len(m.products) {
		problems.Warnf(first.At("Count"), "", "if that is wrong, make the counts add up to the batch",
			"the tab recipients lists %s; in proportion for batch %s", counted(int(sum), "unit"), strings.Join(sizes, ", "))
	}
	return problems
}
