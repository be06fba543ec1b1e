package cost

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
	"tenoff/cost/sum"
)

// prepareZones finds the cheapest service to each zone of the tab recipients. A
// tab whose counts are all 0 is none; then everything goes where the setting
// Post to says.
func prepareZones(m *Model) {
	to := m.prices.Settings.PostTo
	for i := range m.prices.Recipients {
		if r := &m.prices.Recipients[i]; r.Count > 0 {
			m.zones = append(m.zones, cheapestService(m, r.Zone))
			m.zones[len(m.zones)-1].row = r
		}
	}
	// The order of the rows decides nothing: of equal remainders the zone with the most gets
	// the parcel.
	slices.SortStableFunc(m.zones, func(a, b zone) int {
		return cmp.Or(cmp.Compare(b.row.Count, a.row.Count), byName(a.row.Zone, b.row.Zone))
	})
	if len(m.zones) > 0 {
		if to != "" {
			m.problems.Warnf(m.settingPlace("Post to"), to, "leave it blank, or take the tab recipients away",
				"not used: the tab recipients says where parcels go")
		}
		return
	}
	m.zones = []zone{cheapestService(m, to)}
	if len(m.prices.Postage) > 0 {
		checkDestinations(m)
	}
}

// cheapestService finds the service of the least price for one parcel; of equal ones
// the first by name.
func cheapestService(m *Model, to string) zone {
	var z zone
	var least decimal.Decimal
	for i := range m.prices.Postage {
		s := &m.prices.Postage[i]
		chargeable, ok := parcelFits(m, *s)
		if !ok || !goesTo(s, to) {
			continue
		}
		home := s.Price.Mul(m.rate(s.Currency, s.At("Currency")))
		if z.service == nil || home.LessThan(least) || home.Equal(least) && s.Name < z.service.Name {
			z.service, z.chargeable, least = s, chargeable, home
		}
	}
	return z
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
		m.problems.Errorf(m.settingPlace("Post to"), to, "one of: "+strings.Join(places, ", "), "no postal service to this destination")
	}
}

// isServed tells whether some service goes to a place.
func isServed(m *Model, to string) bool {
	return slices.ContainsFunc(m.prices.Postage, func(s bom.Service) bool { return goesTo(&s, to) })
}

// parcelsByZone shares the units of a batch out over the zones: as they are counted
// where that comes to the batch, else in proportion (largest remainder).
func parcelsByZone(m *Model, size int) []int {
	if len(m.zones) == 1 {
		return []int{size}
	}
	weights := make([]decimal.Decimal, len(m.zones))
	for i, z := range m.zones {
		weights[i] = decimal.NewFromInt(z.row.Count)
	}
	out := make([]int, len(m.zones))
	for i, n := range money.Apportion(decimal.NewFromInt(int64(size)), weights, 0) {
		out[i] = int(n.IntPart())
	}
	return out
}

// statePostage sends one parcel for each good unit by the cheapest service to its
// zone (5.8).
func statePostage(s *sums, problems *bom.Problems) {
	mass := &s.m.mass
	for i, n := range parcelsByZone(s.m, s.b.Size) {
		z := &s.m.zones[i]
		p := Post{Parcels: n, MassG: mass.grams, SizeMM: mass.size, Unknown: mass.unknown}
		if z.row != nil {
			p.Zone = z.row.Zone
		}
		if by := z.service; by != nil {
			p.Service, p.To, p.Chargeable = by.Name, by.To, z.chargeable
			p.Price, p.Currency, p.Place = by.Price, by.Currency, by.At("Price")
		}
		s.posts = append(s.posts, postFee(s, &p, z, problems))
		s.b.Posts = append(s.b.Posts, p)
	}
}

// postFee pays for the parcels to one zone, which is the next of the batch.
func postFee(s *sums, p *Post, z *zone, problems *bom.Problems) (out postSums) {
	if p.Parcels == 0 || z.row == nil && len(s.m.prices.Postage) == 0 {
		return out
	}
	i := len(s.b.Posts)
	fee := Fee{Category: Postage, What: parcelsTo(p.Parcels, p.Zone), Kind: PostageFee, Index: i}
	if z.service == nil {
		problems.Add(noService(s.m, z))
		p.Unpriced = true
		fee.Payee, fee.Currency = "?", s.m.home
		s.unpricedFee(fee)
		return out
	}
	fee.Payee, fee.Currency, fee.Place = p.Service, p.Currency, p.Place
	price := s.Figure(sum.Figure{Key: sum.Key{Of: OfParcel, At: i, What: "price"}, Value: p.Price, Unit: p.Currency.Code, Place: p.Place, AsOf: z.service.AsOf})
	out.parcels = s.counted(OfParcel, i, "parcels", p.Parcels)
	s.fee(fee, s.Round(s.Mul(price, out.parcels), p.Currency.Digits))
	out.cash = s.money(OfParcel, i, "cash", s.fees[len(s.fees)-1].cash)
	p.Cash = s.Value(out.cash)
	return out
}

// parcelsTo is "12 parcels to inland", or without the zone where none is given.
func parcelsTo(n int, to string) string {
	text := fmt.Sprintf("%d parcels", n)
	if n == 1 {
		text = "1 parcel"
	}
	if to != "" {
		text += " to " + to
	}
	return text
}

// noService says that nobody takes the parcel.
func noService(m *Model, z *zone) bom.Problem {
	size := ""
	if volume(m.mass.size) > 0 {
		size = fmt.Sprintf(", %g × %g × %g mm", m.mass.size[0].Value, m.mass.size[1].Value, m.mass.size[2].Value)
	}
	parcel := fmt.Sprintf("holds the parcel of %.1f g%s", m.mass.grams, size)
	switch {
	case z.row == nil:
		return bom.Problem{Place: m.prices.Postage[0].At(""), Severity: m.gap(), What: "no postal service " + parcel, Want: "a row of the tab postage with higher limits"}
	case !isServed(m, z.row.Zone):
		return bom.Problem{Place: z.row.At("Zone"), Severity: m.gap(), Found: z.row.Zone, What: "no postal service goes to this zone",
			Want: "a row of the tab postage with it in To", Hint: suggest(z.row.Zone, destinationsOf(m))}
	}
	return bom.Problem{Place: z.row.At("Zone"), Severity: m.gap(), Found: z.row.Zone, What: "no postal service to this zone " + parcel,
		Want: "a row of the tab postage to it with higher limits"}
}

// warnOfProportion says once for which batches the counts of the zones are not taken
// as they are.
func warnOfProportion(m *Model, batches []Batch) bom.Problems {
	if m.zones[0].row == nil {
		return nil
	}
	var sum int64
	first := m.zones[0].row
	for _, z := range m.zones {
		sum += z.row.Count
		if z.row.Row < first.Row {
			first = z.row
		}
	}
	var sizes []string
	for _, b := range batches {
		if int64(b.Size) != sum {
			sizes = append(sizes, fmt.Sprint(b.Size))
		}
	}
	var problems bom.Problems
	if len(sizes) > 0 && len(m.zones) > 1 {
		problems.Warnf(first.At("Count"), "", "counts that come to the batch",
			"the tab recipients counts %s; batch %s is sent in proportion", parcelsTo(int(sum), ""), strings.Join(sizes, ", "))
	}
	return problems
}
