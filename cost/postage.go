package cost

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// statePostage sends the good units by the cheapest services to their zones: in full
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
	if z.row != nil || len(m.prices.Postage) > 0 {
		p.Zone = z.to
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
	text := howMany(p.Parcels, "parcel")
	if z.per > 1 {
		text += " of " + howMany(p.Units/p.Parcels, "unit")
	}
	if p.Zone != "" {
		text += " to " + p.Zone
	}
	return text
}

// warnOfProportion says once for which batches the counts of the zones are not taken
// as they are.
func warnOfProportion(m *Model, batches []Batch) (problems bom.Problems) {
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
			sizes = append(sizes, b.ID().Shown())
		}
	}
	if len(sizes) > 0 && len(m.zones) > len(m.products) {
		problems.Warnf(first.At("Count"), "", "if that is wrong, make the counts add up to the batch",
			"the tab recipients lists %s, taken in proportion for batch %s", howMany(int(sum), "unit"), strings.Join(sizes, ", "))
	}
	return problems
}
