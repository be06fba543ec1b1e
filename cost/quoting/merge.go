package quoting

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// enter works out what becomes of one offer.
func (e *enterer) enter(d *draft) {
	before := len(e.problems)
	o := Offer{Old: d.old, Part: d.part, Supplier: d.supplier, Code: d.code, At: d.quoted[0].At("Unit price")}
	if d.old != nil {
		o.Part, o.Supplier, o.Code = d.old.Part, cmp.Or(d.old.Supplier, d.supplier), cmp.Or(d.old.Code, d.code)
	}
	e.takeFigures(&o, d)
	listed, asked := e.prices(d)
	if e.problems[before:].Failed() {
		return
	}
	if len(asked) == 0 {
		e.unpriced(&o, d)
		return
	}
	o.Currency = e.currency(&o, d)
	if e.problems[before:].Failed() {
		return
	}
	e.merge(&o, listed, asked)
	if o.Pieces > bom.One && (d.old == nil || d.old.Pieces != o.Pieces) {
		e.warn(d.quoted[0].At("Pieces"), "the price is taken for that of a pack", "--heading 'Their name=Multiple' if it is that of one piece",
			fmt.Sprintf("%s of %s", o.Part, o.Pieces))
	}
	if d.old != nil && o.AsOf.Before(d.old.AsOf) {
		e.warn(o.At, "the quote is older than the offer that it replaces", "put the quotes in order, or give --as-of", fmt.Sprintf("%s, %s", o.Part, d.old.AsOf))
	}
	line := e.compare(&o, asked, listed)
	if d.old != nil && o.Pieces == 0 && nearerToOne(line.Percent, d.old.Pieces) {
		e.warn(o.At, "the price is taken for that of a pack, as the offer stands, and is nearer to that of one piece", "a column headed Pieces, with 1 if it is that of one piece",
			fmt.Sprintf("%s of %s", o.Part, d.old.Pieces))
	}
	e.result.Offers = append(e.result.Offers, o)
	e.result.Lines = append(e.result.Lines, line)
}

// nearerToOne tells whether a price that changed by so much is, by its ratio, nearer to that
// of one piece of a pack than to that of the pack: common practice, no source.
func nearerToOne(percent decimal.NullDecimal, pieces bom.Quantity) bool {
	ratio := percent.Decimal.Shift(-2).Add(decimal.NewFromInt(1))
	return pieces > bom.One && percent.Valid && ratio.Mul(ratio).Mul(pieces.Decimal()).LessThan(decimal.NewFromInt(1))
}

// takeFigures takes what the quotes say of the offer besides its prices: all
// that speak of a thing must say the same.
func (e *enterer) takeFigures(o *Offer, d *draft) {
	for _, q := range d.quoted {
		date := q.AsOf
		if date.IsZero() {
			date = e.run.Today
			if at := q.At("Date"); len(q.Breaks) > 0 && e.once("today "+at.File) {
				e.problems.Notef(bom.Place{File: at.File, Sheet: at.Sheet}, "no date is given; %s is taken, and --as-of sets another", date)
			}
		}
		if o.AsOf.IsZero() || date.Before(o.AsOf) {
			o.AsOf = date
		}
		if q.StockSaid {
			if o.StockSaid && o.Stock != q.Stock {
				e.differs(q, "Stock", o)
			}
			o.StockSaid, o.Stock = true, q.Stock
		}
		o.MOQ = agreed(e, q, "MOQ", o, o.MOQ, q.MOQ)
		o.Multiple = agreed(e, q, "Multiple", o, o.Multiple, q.Multiple)
		o.Pieces = agreed(e, q, "Pieces", o, o.Pieces, q.Pieces)
	}
}

// agreed joins two figures of which one may be 0, for not said.
func agreed[T int64 | bom.Quantity](e *enterer, q *bom.QuotedPart, heading string, o *Offer, had, said T) T {
	if had != 0 && said != 0 && had != said {
		e.differs(q, heading, o)
	}
	return cmp.Or(said, had)
}

func (e *enterer) differs(q *bom.QuotedPart, heading string, o *Offer) {
	e.problems.Errorf(q.At(heading), "", "the same in all rows of the offer, or order codes that tell several apart",
		"%s of %s from %s differs from that in row %d", heading, o.Part, o.Supplier, o.At.Row)
}

// prices joins what the quotes ask for an offer. listed tells that these are all
// its price breaks.
func (e *enterer) prices(d *draft) (listed bool, all []Break) {
	for _, q := range d.quoted {
		listed = listed || q.Listed
		for _, b := range q.Breaks {
			i := slices.IndexFunc(all, func(had Break) bool { return had.From == b.From })
			switch {
			case i < 0:
				all = append(all, Break{From: b.From, Price: b.Price, Fresh: true, Asked: !q.Listed})
			case !all[i].Price.Equal(b.Price):
				e.problems.Errorf(b.At(b.Heading), b.Price.String(), "one price, or order codes that tell several offers apart",
					"another price of %s from %s for %d stands before this one, %s", d.part, d.supplier, b.From, all[i].Price)
			default:
				all[i].Asked = all[i].Asked && !q.Listed
			}
		}
	}
	slices.SortFunc(all, func(a, b Break) int { return cmp.Compare(a.From, b.From) })
	return listed, all
}

// currency settles in which of those that it may be an offer's prices are.
func (e *enterer) currency(o *Offer, d *draft) bom.Currency {
	usual := e.usual(o)
	cur, at := usual, o.At
	var codes []string
	for _, q := range d.quoted {
		switch {
		case len(q.Codes) == 0:
		case codes == nil:
			codes, at = q.Codes, q.At("Currency")
		default:
			both := slices.DeleteFunc(slices.Clone(codes), func(c string) bool { return !slices.Contains(q.Codes, c) })
			if len(both) == 0 {
				e.differs(q, "Currency", o)
				return cur
			}
			codes = both
		}
	}
	if given := e.run.Currency; given.Code != "" {
		cur = given
		if codes != nil && !slices.Contains(codes, given.Code) {
			e.problems.Errorf(at, codes[0], "the same currency, or the command without --currency", "--currency says %s, and the quote another", given.Code)
			return cur
		}
	} else if codes != nil && !slices.Contains(codes, usual.Code) {
		cur, _ = bom.FindCurrency(codes[0])
		if len(codes) > 1 {
			e.warn(o.At, "a currency sign that several use is read as that of the first of them", "--currency if it is another", o.Part+" in "+cur.Code)
		}
	} else if codes == nil && (o.Old == nil || o.Old.Currency.Code == "") && !e.sells(o.Supplier) {
		e.warn(o.At, "nothing says in which currency the price is; the home currency is taken", "--currency if it is another", o.Part+" in "+cur.Code)
	}
	if _, known := e.rates[cur.Code]; !known && e.once("rate "+cur.Code) {
		e.problems.Errorf(at, cur.Code, "a row for "+cur.Code+" in the tab exchange", "no rate into the home currency %s is known", e.run.Prices.Settings.Home)
	}
	return cur
}

// usual is the currency that an offer has where nothing says another: that of the
// offer as it stands, else its supplier's.
func (e *enterer) usual(o *Offer) bom.Currency {
	if o.Old != nil && o.Old.Currency.Code != "" {
		return o.Old.Currency
	}
	return CurrencyOf(e.run.Prices, o.Supplier)
}

// sells tells whether the tab suppliers has a row for a supplier, which says its currency.
func (e *enterer) sells(supplier string) bool {
	return slices.ContainsFunc(e.run.Prices.Suppliers, func(s bom.Supplier) bool { return bom.Fold(s.Name) == bom.Fold(supplier) })
}

// CurrencyOf is the currency of a supplier of a price sheet: the home currency
// where it has no row.
func CurrencyOf(p *bom.Prices, supplier string) bom.Currency {
	if row := supplierRow(p, supplier); row != nil {
		return row.Currency
	}
	return p.Settings.Home
}

// supplierRow is the row of a supplier; nil where there is none.
func supplierRow(p *bom.Prices, supplier string) *bom.Supplier {
	return bom.First(p.Suppliers, func(s *bom.Supplier) bool { return bom.Fold(s.Name) == bom.Fold(supplier) })
}

// unpriced tells of a part that nothing is asked for.
func (e *enterer) unpriced(o *Offer, d *draft) {
	l := Line{Kind: Unpriced, Part: o.Part, Supplier: o.Supplier, Code: o.Code}
	if why := d.quoted[0].Unpriced; why != "" && why != Unpriced.String() {
		l.Besides = append(l.Besides, why)
	}
	if o.StockSaid && o.Stock == 0 && (len(l.Besides) == 0 || l.Besides[0] != "out of stock") {
		l.Besides = append(l.Besides, "stock 0")
	}
	e.result.Lines = append(e.result.Lines, l)
}

// merge makes the prices that shall hold of those that stand there and the new
// ones. A list takes the place of all; so do new prices in another currency or
// for another order unit, beside which the old ones mean nothing.
func (e *enterer) merge(o *Offer, listed bool, asked []Break) {
	old := o.Old
	if old == nil || len(old.Breaks) == 0 || listed || old.Currency.Code != o.Currency.Code || o.Pieces != 0 && o.Pieces != old.Pieces {
		o.Breaks = asked
		return
	}
	o.Breaks = breaksOf(old)
	for _, a := range asked {
		held := heldAt(o.Breaks, a.From)
		switch {
		case held < 0, a.Price.LessThan(o.Breaks[held].Price) && o.Breaks[held].From != a.From:
			o.Breaks = slices.Insert(o.Breaks, held+1, a)
		default:
			o.Breaks[held].Price, o.Breaks[held].Fresh = a.Price, true
		}
		if o.MOQ == 0 && a.From < old.MOQ {
			o.MOQ = a.From // it was sold, or offered, in so small a number
		}
	}
	for i := 1; i < len(o.Breaks); i++ {
		a, b := o.Breaks[i-1], o.Breaks[i]
		if b.Price.GreaterThan(a.Price) && a.Fresh != b.Fresh {
			e.warn(old.At("Price"), "a price that stays is out of step with a new one for another quantity", "ask for the older one again",
				fmt.Sprintf("%s, %s from %d and %s from %d", o.Part, a.Price, a.From, b.Price, b.From))
			break
		}
	}
}

// breaksOf are the prices of an offer as it stands.
func breaksOf(o *bom.Offer) []Break {
	return bom.Each(o.Breaks, func(b *bom.Break) Break { return Break{From: b.From, Price: b.Price} })
}

// heldAt is the price break that holds at a quantity, -1 where none does.
func heldAt(breaks []Break, quantity int64) int {
	i := len(breaks) - 1
	for ; i >= 0 && breaks[i].From > quantity; i-- {
	}
	return i
}

// compare tells what a quote means for an offer, at the quantity at which the
// price of a piece changes most.
func (e *enterer) compare(o *Offer, asked []Break, listed bool) Line {
	l := Line{Kind: New, Part: o.Part, Supplier: o.Supplier, Code: o.Code, IsIn: o.Currency,
		From: asked[0].From, Is: asked[0].Price, Besides: e.besides(o)}
	if o.Old == nil || len(o.Old.Breaks) == 0 {
		return l
	}
	was, at := breaksOf(o.Old), asked
	if listed {
		at = slices.Concat(was, asked)
	}
	at = slices.SortedFunc(slices.Values(at), func(a, b Break) int { return cmp.Compare(a.From, b.From) })
	first := true
	for _, b := range at {
		from := b.From
		i, j := heldAt(was, from), heldAt(o.Breaks, from)
		if i < 0 || j < 0 {
			continue
		}
		old, now := e.perPiece(was[i].Price, o.Old.Currency, o.Old.Pieces), e.perPiece(o.Breaks[j].Price, o.Currency, cmp.Or(o.Pieces, o.Old.Pieces))
		change := percentOver(old, now)
		if first || change.Decimal.Abs().GreaterThan(l.Percent.Decimal.Abs()) || !change.Valid {
			l.From, l.Was, l.WasIn, l.Is, l.Percent = from, was[i].Price, o.Old.Currency, o.Breaks[j].Price, change
			l.Kind = [...]Kind{Cheaper, Unchanged, Dearer}[now.Cmp(old)+1]
		}
		first = false
	}
	if l.Kind == Unchanged {
		l.Percent = decimal.NullDecimal{}
	}
	return l
}

// perPiece is a price in home currency for a piece, to twelve decimals.
func (e *enterer) perPiece(price decimal.Decimal, cur bom.Currency, pieces bom.Quantity) decimal.Decimal {
	rate, ok := e.rates[cur.Code]
	if !ok {
		rate = decimal.NewFromInt(1)
	}
	return price.Mul(rate).DivRound(pieces.Decimal(), 12)
}

// percentOver is by how much now is over old, in percent; not valid for what was
// free.
func percentOver(old, now decimal.Decimal) decimal.NullDecimal {
	if old.IsZero() {
		return decimal.NullDecimal{Valid: now.IsZero()}
	}
	return decimal.NewNullDecimal(now.Sub(old).Shift(2).DivRound(old, 1))
}

// besides lists what changes of an offer besides its prices.
func (e *enterer) besides(o *Offer) []string {
	var out []string
	add := func(what, was, is string) {
		if was != is {
			out = append(out, what+" "+was+" → "+is)
		}
	}
	if o.Old == nil {
		return nil
	}
	if o.Old.Code == "" && o.Code != "" {
		out = append(out, "order code "+o.Code)
	}
	if o.StockSaid {
		add("stock", stockText(o.Old.Stock), stockText(o.Stock))
	}
	if o.MOQ > 0 {
		add("MOQ", strconv.FormatInt(o.Old.MOQ, 10), strconv.FormatInt(o.MOQ, 10))
	}
	if o.Multiple > 0 {
		add("multiple", strconv.FormatInt(o.Old.Multiple, 10), strconv.FormatInt(o.Multiple, 10))
	}
	if o.Pieces > 0 {
		add("pieces", o.Old.Pieces.String(), o.Pieces.String())
	}
	return out
}

func stockText(n int64) string {
	if n < 0 {
		return "enough"
	}
	return strconv.FormatInt(n, 10)
}
