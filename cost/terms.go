package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
	"tenoff/cost/sum"
)

// prepareTerms lists the offers of everything that the run may buy, and numbers them.
func prepareTerms(m *Model) {
	t := &termList{Terms: Terms{Settings: m.prices.Settings, Shares: m.payers.of}, lots: map[lotKey]int{}, first: make([]int, len(m.parts))}
	m.terms = t
	termAssembly(m)
	termSuppliers(m)
	termHeadings(m)
	for i := range m.boards {
		termQuotes(m, i)
	}
	for i := range m.parts {
		termOffers(m, i)
	}
	termRates(m)
	t.table = &sum.Table{Columns: offerColumns, Rows: t}
	for i, o := range t.Offers {
		for j, b := range o.Breaks {
			from := int64(0) // the first break holds below its own quantity as well
			if j > 0 {
				from = b.From
			}
			t.breaks = append(t.breaks, tableRow{i, j})
			t.table.Keys = append(t.table.Keys, int64(i+1)*OfferStep+from)
		}
	}
}

// termAssembly lists the rates and quotes of assemblers that may be paid.
func termAssembly(m *Model) {
	t := m.terms
	for _, mk := range bom.Refs(m.makings) {
		if mk.asks != nil {
			t.Assemblers = addNew(t.Assemblers, mk.asks)
		}
		for _, q := range mk.quotes {
			if q != nil {
				for _, tier := range q.tiers {
					t.Tiers = addNew(t.Tiers, tier)
				}
			}
		}
	}
}

// rateNo and tierNo are the places of rates and quotes among the terms.
func (t *termList) rateNo(a *bom.Assembler) int     { return slices.Index(t.Assemblers, a) }
func (t *termList) tierNo(q *bom.AssemblyQuote) int { return slices.Index(t.Tiers, q) }

// termHeadings lists the customs headings of what the run may buy.
func termHeadings(m *Model) {
	for i := range m.parts {
		for _, row := range m.parts[i].rows {
			if h := bom.NormalHeading(row.Heading); h != "" {
				m.terms.headings = addNew(m.terms.headings, h)
			}
		}
	}
	slices.Sort(m.terms.headings)
}

// termSuppliers lists the suppliers that something can be ordered from.
func termSuppliers(m *Model) {
	used := make([]bool, len(m.supply.list))
	for i := range m.parts {
		for j := range m.parts[i].offers {
			used[m.parts[i].offers[j].Supplier] = true
		}
	}
	for i := range m.bareBoards {
		for _, v := range m.bareBoards[i].variants {
			used[m.supply.of[bom.Fold(v.fabricator)]] = true
		}
	}
	for i := range m.makings {
		if mk := &m.makings[i]; slices.ContainsFunc(m.boards, func(b Board) bool { return mk.assembler >= 0 && (b.Placements > 0 || mk.fitted && b.HandParts > 0) }) {
			used[mk.assembler] = true
		}
	}
	m.terms.supplier = make([]int, len(m.supply.list))
	for i, s := range m.supply.list {
		m.terms.supplier[i] = -1
		if used[i] {
			m.terms.supplier[i] = len(m.terms.Suppliers)
			m.terms.Suppliers = append(m.terms.Suppliers, s)
		}
	}
}

// add lists an offer and gives its number.
func (t *termList) add(o Offer) int {
	t.Offers = append(t.Offers, o)
	return len(t.Offers)
}

// termOffers lists the offers of one part or material.
func termOffers(m *Model, index int) {
	p, t := &m.parts[index], m.terms
	t.first[index] = len(t.Offers) + 1
	for i, o := range bom.Refs(p.offers) {
		out := Offer{Kind: kindOf(p), Index: index, Part: p.Key, Supplier: t.supplier[o.Supplier], Code: o.Code,
			Pieces: o.Pieces, MOQ: o.MOQ, Multiple: o.Multiple, Most: o.Stock, Currency: o.Currency,
			Breaks: bom.Each(o.Breaks, func(b *bom.Break) OfferBreak { return OfferBreak{b.From, b.Price, b.At(b.Heading)} })}
		if out.Kind == Filament {
			out.AsOf, out.Worth = p.spools[i].AsOf, worthOf(m.prices, p.spools[i].Worth, setWorth, p.spools[i].Origin)
		} else {
			row := p.rows[i]
			out.AsOf, out.Row, out.LineFee, out.Duty = row.AsOf, row.Origin, row.LineFee, row.Duty
			out.Worth = worthOf(m.prices, row.Worth, setWorth, row.Origin)
			out.Heading = 1 + slices.Index(t.headings, bom.NormalHeading(row.Heading))
			t.fees, t.duties = t.fees || row.LineFee.IsPositive(), t.duties || row.Duty.Valid
		}
		t.add(out)
	}
}

// termQuotes lists the lots of one board type, and its set-ups and rates as the
// price of one board.
func termQuotes(m *Model, board int) {
	for i, v := range m.bareBoards[board].variants {
		base := Offer{Kind: Lots, Index: board, Part: m.boards[board].Name, Code: v.option, MOQ: 1, Multiple: 1, Most: -1,
			Supplier: m.terms.supplier[m.supply.of[bom.Fold(v.fabricator)]]}
		for j, q := range v.lots {
			o := base
			o.Pieces, o.Currency, o.AsOf, o.Worth = bom.Whole(q.Lot), q.Currency, q.AsOf, worthOf(m.prices, q.Worth, setBoardWorth, q.Origin)
			o.Breaks = []OfferBreak{{1, q.Price, q.At("Price")}}
			if q.AtMost > 0 {
				o.Most = q.AtMost
			}
			m.terms.lots[lotKey{board, i, j}] = m.terms.add(o)
		}
		if q := v.area; q != nil {
			o := base
			o.Pieces, o.Currency, o.AsOf, o.SetUp, o.Worth = bom.One, q.Currency, q.AsOf, q.SetUp, worthOf(m.prices, q.Worth, setBoardWorth, q.Origin)
			o.Breaks = []OfferBreak{{1, areaPrice(*q), q.At("Per dm2")}}
			m.terms.lots[lotKey{board, i, byArea}] = m.terms.add(o)
		}
	}
}

// numberOf is the number of the offer that a purchase is of.
func (t *termList) numberOf(p *Purchase) int {
	if p.Kind == Lots {
		return t.lots[lotKey{p.Index, p.variant, p.choice}]
	}
	return t.first[p.Index] + p.choice
}

// OfferStep keeps the numbers of offers apart from quantities in the key that a
// price is looked up by: number × OfferStep + quantity.
const OfferStep int64 = 10_000_000_000

// Columns of the table of offers.
const (
	offerSupplier = iota
	offerPrice
	offerSetUp
	offerPieces
	offerDigits
	offerRate
	offerOwn
	offerOwnRate
	offerOwnDigits
	offerWorth
	offerFee
	offerHeading
	offerDutied
	offerDuty
)

var offerColumns = []string{"Supplier no.", "price", "setup", "pieces", "Digits", "Rate", "Own currency", "Supplier's rate", "Supplier's digits", "Surplus worth %",
	"Line fee", "Heading no.", "Duty of its own", "Duty %"}

// Figure is what stands in a column of the table of offers: the supplier's number,
// price and set-up, what one order unit holds, the currency's decimals and what it is
// worth, 1 where it is the supplier's currency, and the same of that.
func (t *termList) Figure(column, row int) sum.Figure {
	at := t.breaks[row]
	o := &t.Offers[at.offer]
	s, b := &t.Suppliers[o.Supplier], &o.Breaks[at.of]
	f := sum.Figure{Key: sum.Key{Of: OfBreak, At: row, What: offerColumns[column]}}
	switch column {
	case offerSupplier:
		f.Value = decimal.NewFromInt(int64(o.Supplier + 1))
	case offerPrice:
		f.Value, f.Unit, f.Place, f.AsOf = b.Price, o.Currency.Code, b.Place, o.AsOf
	case offerSetUp:
		f.Value, f.Unit, f.Place, f.AsOf = o.SetUp, o.Currency.Code, b.Place, o.AsOf
	case offerPieces:
		f.Value, f.Place, f.AsOf = o.Pieces.Decimal(), b.Place, o.AsOf
		f.Place.Col = 0 // somewhere in the row of the price
	case offerDigits:
		f.Value = decimal.NewFromInt(int64(o.Currency.Digits))
	case offerRate:
		return t.rate(o.Currency)
	case offerOwn:
		if o.Currency == s.Currency {
			f.Value = decimal.NewFromInt(1)
		}
	case offerFee:
		f.Value, f.Unit, f.Place, f.AsOf = o.LineFee, o.Currency.Code, o.Row.At("Line fee"), o.AsOf
	case offerHeading:
		f.Value, f.Place = decimal.NewFromInt(int64(o.Heading)), o.Row.At("Heading")
	case offerDutied:
		if o.Duty.Valid {
			f.Value = decimal.NewFromInt(1)
		}
	case offerDuty:
		f.Value, f.Unit, f.Place, f.AsOf = o.Duty.Decimal, "%", o.Row.At("Duty %"), o.AsOf
	case offerOwnRate:
		return t.rate(s.Currency)
	case offerOwnDigits:
		f.Value = decimal.NewFromInt(int64(s.Currency.Digits))
	case offerWorth:
		if o.Worth.Setting != "" {
			f.Key = sum.Key{Of: OfSetting, What: o.Worth.Setting}
		}
		f.Value, f.Unit, f.Place = o.Worth.Percent, "%", o.Worth.Place
	}
	return f
}

// termRates lists the currencies of suppliers, offers and fees.
func termRates(m *Model) {
	used := []bom.Currency{m.home}
	note := func(c bom.Currency) { used = addNew(used, c) }
	for _, s := range m.terms.Suppliers {
		note(s.Currency)
	}
	for i := range m.terms.Offers {
		note(m.terms.Offers[i].Currency)
	}
	for _, a := range m.terms.Assemblers {
		note(a.Currency)
	}
	for _, q := range m.terms.Tiers {
		note(q.Currency)
	}
	for _, o := range m.oneOffs {
		note(o.Currency)
	}
	for i := range m.zones {
		for _, s := range m.zones[i].inUse(m) {
			note(s.Currency)
		}
	}
	for _, c := range used {
		r := TermRate{Currency: c, Rate: m.supply.rate(c, bom.Place{})}
		for _, row := range m.prices.Exchange {
			if row.Currency.Code == c.Code {
				r.Place, r.AsOf = row.At("Rate"), row.AsOf
			}
		}
		m.terms.Rates = append(m.terms.Rates, r)
	}
}

// areaPrice is what one board costs by its area, without the set-up.
func areaPrice(q bom.Quote) decimal.Decimal {
	length, _ := money.FromFloat(q.LengthMM.Value)
	width, _ := money.FromFloat(q.WidthMM.Value)
	return length.Mul(width).Shift(-4).Mul(q.PerDM2)
}

// byArea stands for a variant's set-up and rate where its lots are counted.
const byArea = -1

func kindOf(p *part) string {
	if p.Unit == grams {
		return Filament
	}
	return Goods
}
