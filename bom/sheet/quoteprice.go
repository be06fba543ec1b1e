package sheet

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// priceDecimals is to how many decimals a price is worked out that does not stand
// in the quote as one of an order unit.
const priceDecimals = 9

// asked is a price as it stands in a quote.
type asked struct {
	cell     bom.Cell        // where it stands
	price    decimal.Decimal // of one order unit
	decimals int32           // to which it is given
}

// unpricedWords stand where no price is asked, in the normal form of headings;
// common practice, no source.
var unpricedWords = bom.WordSet("onrequest request priceonrequest call callforprice poa priceonapplication onapplication ask askforprice quote tba tbd tbc " +
	"na n/a none – — - outofstock soldout notavailable unavailable discontinued obsolete noprice nobid noquote")

func unpriced(text string) bool {
	word := strings.ToLower(strings.TrimSpace(text))
	return unsure[word] || unpricedWords[word] || unpricedWords[bom.NormalHeading(text)]
}

// perPieces is what follows a price in its cell: "/pc", "per 100", "each".
var perPieces = regexp.MustCompile(`(?i)\s*(?:(?:/|\bper\b)\s*([0-9]*)\s*(pcs?|pieces?|units?|ea|each|off)?|\b(each|ea))\.?\s*$`)

// price reads a price of one order unit; ok is false where none stands there or
// after a complaint.
func (q *quoteReader) price(p *bom.QuotedPart, raw *rawQuoted, c bom.Cell) (a asked, ok bool) {
	if c.Blank() || !q.sound(c) {
		return asked{}, false
	}
	if unpriced(c.Text) {
		p.Unpriced = c.Text
		return asked{}, false
	}
	head := q.headOf(q.name(c))
	per := max(1, head.per)
	figure := c
	if m := perPieces.FindStringSubmatchIndex(c.Text); m != nil {
		figure.Text = c.Text[:m[0]]
		if m[2] < m[3] {
			if n, ok := headNumber(c.Text[m[2]:m[3]]); ok {
				per = n
			}
		}
	}
	if n := q.whole(q.ofUnits(raw.Per), 0, 1); n > 0 {
		per = n
	}
	f, ok := q.figure(figure, bom.FormMoney)
	if !ok {
		return asked{}, false
	}
	if f.Value.IsZero() {
		p.Unpriced = "out of stock"
		if !p.StockSaid || p.Stock != 0 { // owned, or a sample
			p.Unpriced = "price of 0"
			q.warn(c, "a price of 0 is left out", "the price where it is bought; the tab on hand for what is there already", p.Names())
		}
		return asked{}, false
	}
	var sign []string
	if f.Sign != "" {
		sign = bom.CurrencySigns(f.Sign)
	}
	q.oneCurrency(p, c, sign, head.codes)
	a = asked{c, f.Value, q.decimals(figure, f.Value)}
	if per > 1 {
		n := decimal.NewFromInt(per)
		a.price = f.Value.DivRound(n, priceDecimals)
		a.decimals = min(priceDecimals, a.decimals+int32(len(n.String()))-1)
	}
	return a, true
}

// headOf is what the heading of a column says besides its name.
func (q *quoteReader) headOf(name string) quoteHead {
	h, known := q.heads[name]
	if !known {
		h = readQuoteHead(q.reg.head.Text[name])
		q.heads[name] = h
	}
	return h
}

// decimals counts those that a figure is given to: at least those of the minor
// unit, for spreadsheets and people leave noughts out.
func (q *quoteReader) decimals(c bom.Cell, value decimal.Decimal) int32 {
	n := -value.Exponent()
	if i := strings.LastIndexAny(c.Text, ".,"); !value.IsInteger() {
		typed := int32(0)
		for _, r := range c.Text[i+1:] {
			if r < '0' || r > '9' {
				break
			}
			typed++
		}
		n = max(n, typed)
	}
	return max(n, 2)
}

// prices reads what is asked for a part, by the row that names it.
func (q *quoteReader) prices(p *bom.QuotedPart, raw *rawQuoted) {
	p.Codes = nil
	if cur := q.currency(raw.Currency, bom.Currency{}); cur.Code != "" {
		p.Codes = []string{cur.Code}
	} else if codes := bom.CurrencySigns(raw.Currency.Text); len(codes) > 1 {
		p.Codes = codes
	}
	before := len(*q.problems)
	q.stepPrices(p, raw)
	unit, priced := q.price(p, raw, raw.Price)
	if unit, priced = q.checkTotal(p, raw, unit, priced); q.failedSince(before) {
		return
	}
	if priced {
		q.addUnitPrice(p, raw, unit)
	}
	slices.SortFunc(p.Breaks, func(a, b bom.Break) int { return cmp.Compare(a.From, b.From) })
	q.settleCurrency(p, raw)
	if len(p.Breaks) > 0 {
		p.Unpriced = ""
	} else if p.Unpriced == "" {
		p.Unpriced = "no price"
	}
}

// settleCurrency takes what only hints at the currency where nothing says it.
func (q *quoteReader) settleCurrency(p *bom.QuotedPart, raw *rawQuoted) {
	if p.Codes != nil {
		return
	}
	hints := [][]string{q.shownIn(raw.Price), q.headOf("Line total").codes, q.shownIn(raw.Total)}
	if f, err := q.parse(raw.Total); err == nil && f.Sign != "" {
		hints = append(hints, bom.CurrencySigns(f.Sign))
	}
	for _, c := range q.stepCells(q.reg.rows[q.row]) {
		hints = append(hints, q.shownIn(c))
	}
	for _, codes := range append(hints, q.codes) {
		if codes != nil {
			p.Codes = codes
			return
		}
	}
}

// stepCells are the cells of a row under headings of price breaks.
func (q *quoteReader) stepCells(row bom.Row) []bom.Cell {
	var out []bom.Cell
	for _, c := range row.Cells {
		if s, ok := q.reg.steps[c.Col]; ok && !s.pair {
			out = append(out, c)
		}
	}
	return out
}

// stepPrices reads the prices under the headings of price breaks.
func (q *quoteReader) stepPrices(p *bom.QuotedPart, raw *rawQuoted) {
	for _, c := range q.stepCells(q.reg.rows[q.row]) {
		s := q.reg.steps[c.Col]
		a, ok := q.price(p, raw, c)
		if !ok {
			continue
		}
		from := s.from
		if col := q.reg.head.Col[stepHeading(s.from, true)]; col != 0 {
			at := find(q.reg.rows[q.row], col)
			if q.bare(at).Blank() {
				q.wrong(c, "its quantity under "+q.reg.head.Text[stepHeading(s.from, true)], "no quantity goes with this price")
				continue
			}
			from = q.whole(q.bare(at), 1, 1)
		}
		p.Listed = true
		q.addBreak(p, c, from, q.discounted(raw, a.price))
	}
}

// addBreak adds a price, which is the only one from that quantity on.
func (q *quoteReader) addBreak(p *bom.QuotedPart, c bom.Cell, from int64, price decimal.Decimal) {
	for i := range p.Breaks {
		b := &p.Breaks[i]
		if b.From != from {
			continue
		}
		if !b.Price.Equal(price) {
			q.wrong(c, "one price from each quantity", "the price from %d on differs from that in %s, %s", from, b.At(b.Heading).Cell(), b.Price)
		}
		return
	}
	p.Breaks = append(p.Breaks, bom.Break{Origin: q.reg.origin(q.row), Heading: q.name(c), From: from, Price: price})
}

// discounted takes the discount of the row off a price.
func (q *quoteReader) discounted(raw *rawQuoted, price decimal.Decimal) decimal.Decimal {
	if raw.Discount.Blank() {
		return price
	}
	off := q.percent(raw.Discount, 0, 100)
	return price.Mul(hundred.Sub(off)).DivRound(hundred, priceDecimals)
}

// addUnitPrice adds the unit price: from the quantity that it is asked for, else
// from the least that is sold. Beside price breaks it has to be one of them,
// unless it holds below the first.
func (q *quoteReader) addUnitPrice(p *bom.QuotedPart, raw *rawQuoted, unit asked) {
	from := max(1, p.MOQ, p.Quantity)
	if n := q.count(raw.From); n > 0 {
		from = n
		p.Listed = true
	} else if p.Listed {
		if held, ok := priceAt(p.Breaks, from); ok {
			if held.Sub(unit.price).Abs().GreaterThan(decimal.New(5, -unit.decimals-1)) {
				q.wrong(unit.cell, "one of them; --heading '"+q.reg.head.Text["Unit price"]+"=' leaves this column out",
					"differs from the price break from %d on, %s", from, held)
			}
			return
		}
	}
	q.addBreak(p, unit.cell, from, unit.price)
}

// priceAt is what holds at a quantity by a list of price breaks.
func priceAt(breaks []bom.Break, quantity int64) (price decimal.Decimal, ok bool) {
	best := int64(0)
	for _, b := range breaks {
		if b.From <= quantity && b.From > best {
			best, price, ok = b.From, b.Price, true
		}
	}
	return price, ok
}

// checkTotal holds the line total against quantity × unit price. Where the unit
// price is rounded more than the total, or missing, the total gives the price;
// where a discount is said, it tells whether that is off already.
func (q *quoteReader) checkTotal(p *bom.QuotedPart, raw *rawQuoted, unit asked, priced bool) (asked, bool) {
	net := unit
	if priced {
		net.price = q.discounted(raw, unit.price)
	}
	total, ok := decimal.Zero, false
	if !raw.Total.Blank() && !unpriced(raw.Total.Text) {
		var f bom.Figure
		if f, ok = q.figure(raw.Total, bom.FormMoney); ok {
			total = f.Value
		}
		if codes := bom.CurrencySigns(f.Sign); p.Codes != nil && codes != nil && !slices.ContainsFunc(codes, func(c string) bool { return slices.Contains(p.Codes, c) }) {
			q.warn(raw.Total, "a line total in another currency than the price is not compared", "totals in the currency of the prices", p.Names())
			ok = false
		}
	}
	quantity := decimal.NewFromInt(p.Quantity)
	switch {
	case !ok || p.Quantity == 0:
		if gross := q.gross(); priced && q.discounted(raw, gross).Sub(unit.price).Abs().LessThanOrEqual(decimal.New(5, -unit.decimals-1)) {
			return unit, true // the discount is off already
		}
		if !net.price.Equal(unit.price) {
			q.warn(raw.Discount, "the discount is taken off the unit price; no line total confirms it", "--heading '"+q.reg.head.Text["Discount %"]+"=' if it is off already", p.Names())
		}
		return net, priced
	case !priced && total.IsPositive():
		q.warn(raw.Total, "the unit price is line total ÷ quantity", "a column of unit prices", p.Names())
		return asked{raw.Total, total.DivRound(quantity, priceDecimals), priceDecimals}, true
	case !priced:
		return net, false
	}
	minor := decimal.New(1, -q.minorDigits(p))
	for _, a := range []asked{net, unit} {
		if total.Sub(quantity.Mul(a.price)).Abs().LessThan(minor) {
			return a, true
		}
	}
	for _, a := range []asked{net, unit} {
		if q.withTax(raw, total, quantity, a, minor) {
			return a, true
		}
	}
	for _, a := range []asked{net, unit} {
		rounding := quantity.Mul(decimal.New(5, -a.decimals-1)).Add(minor)
		if total.Sub(quantity.Mul(a.price)).Abs().LessThanOrEqual(rounding) {
			q.warn(a.cell, "the unit price is rounded; line total ÷ quantity is taken", "unit prices with more decimals", p.Names())
			a.price = total.DivRound(quantity, a.decimals+3)
			return a, true
		}
	}
	q.wrong(raw.Total, "correct the figure that is wrong", "%d × %s is %s", p.Quantity, net.price, quantity.Mul(net.price))
	return net, false
}

// gross is the gross price on the row, where such prices stand beside those that are taken.
func (q *quoteReader) gross() decimal.Decimal {
	f, _ := q.parse(find(q.reg.rows[q.row], q.reg.gross))
	return f.Value
}

// withTax tells whether a line total holds the tax that the row tells of besides its price.
func (q *quoteReader) withTax(raw *rawQuoted, total, quantity decimal.Decimal, a asked, minor decimal.Decimal) bool {
	rounding := quantity.Mul(decimal.New(5, -a.decimals-1)).Add(minor)
	goods, tax := quantity.Mul(a.price), q.taxIn(raw)
	for _, sum := range []decimal.Decimal{goods.Add(tax), goods.Mul(hundred.Add(tax)).DivRound(hundred, priceDecimals), goods.Add(goods.Mul(tax)), quantity.Mul(q.gross())} {
		if sum.GreaterThan(goods) && total.Sub(sum).Abs().LessThanOrEqual(rounding) {
			return true
		}
	}
	return false
}

// minorDigits are those of the currency of a row, as far as it is known.
func (q *quoteReader) minorDigits(p *bom.QuotedPart) int32 {
	for _, code := range append(slices.Clone(p.Codes), q.codes...) {
		if c, ok := bom.FindCurrency(code); ok {
			return c.Digits
		}
	}
	if q.opt.Currency.Code != "" {
		return q.opt.Currency.Digits
	}
	return 2
}

// goOn reads a row that names nothing and goes on with the prices of the part
// above it.
func (q *quoteReader) goOn(raw *rawQuoted) {
	p := &q.parts[len(q.parts)-1]
	more := *p
	more.Breaks, more.Unpriced = nil, ""
	more.Quantity = q.count(raw.Quantity)
	if raw.Per.Blank() {
		raw.Per = q.per
	}
	q.prices(&more, raw)
	for _, b := range more.Breaks {
		q.addBreak(p, find(q.reg.rows[q.row], b.Head.Col[b.Heading]), b.From, b.Price)
	}
	p.Listed, q.last = true, true
	slices.SortFunc(p.Breaks, func(a, b bom.Break) int { return cmp.Compare(a.From, b.From) })
}
