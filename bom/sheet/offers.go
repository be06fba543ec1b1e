package sheet

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// offerRow is what one row of the tab offers says of which offer it is of.
type offerRow struct {
	index                int // into reg.rows
	offer                int // which of the offers it is of
	part, supplier, code string
	waits                bool // nothing of its offer has a price yet
}

// offerGroup is the rows that make one offer: those of one part, supplier and
// order code. It does not depend on their order.
type offerGroup struct {
	*decoder
	rows []offerRow
}

// each goes to the rows one by one.
func (g offerGroup) each(yield func(*offerRow) bool) {
	for i := range g.rows {
		if g.row = g.rows[i].index; !yield(&g.rows[i]) {
			return
		}
	}
}

// offers reads the tab offers.
func (p *priceReader) offers() {
	d, ok := p.reader(bom.TabOffers)
	if !ok {
		return
	}
	rows, count := group(d)
	p.prices.Offers = make([]bom.Offer, 0, count)
	for len(rows) > 0 && !d.tooMany() {
		n := 1
		for n < len(rows) && rows[n].offer == rows[0].offer {
			n++
		}
		p.prices.Offers = append(p.prices.Offers, p.offer(offerGroup{d, rows[:n]}))
		rows = rows[n:]
	}
}

// group gives the rows with those of one offer together, and the number of
// offers, which come in the order of their first rows. A row without an order
// code belongs to the one offer of its part and supplier.
func group(d *decoder) (rows []offerRow, count int) {
	all, codes := namedRows(d)
	index := map[[3]string]int{}
	rows = all[:0]
	for _, r := range all {
		code := bom.Fold(r.code)
		if code == "" && len(codes) > 0 && !r.waits {
			switch known := codes[r.pair()]; len(known) {
			case 0:
			case 1:
				code = slices.Collect(maps.Keys(known))[0]
			default:
				d.row = r.index
				d.wrong(d.cell("Order code"), "the order code", "is blank, and the supplier has several offers of the part")
				continue
			}
		}
		id := [3]string{sameName(r.part), bom.Fold(r.supplier), code}
		offer, ok := index[id]
		if !ok {
			offer = len(index)
			index[id] = offer
		}
		r.offer = offer
		rows = append(rows, r)
	}
	slices.SortFunc(rows, func(a, b offerRow) int {
		return cmp.Or(cmp.Compare(a.offer, b.offer), cmp.Compare(a.index, b.index))
	})
	return rows, len(index)
}

// sameName folds the case of a part's name, in which rows of one offer may differ by a
// slip, but not of a value: 1m is not 1M.
func sameName(part string) string {
	if _, value := bom.ParseValue(part); value {
		return bom.ExactKey(part)
	}
	return bom.Fold(part)
}

// pair is the part and the supplier of a row, in the form in which they are
// compared.
func (r *offerRow) pair() [2]string { return [2]string{sameName(r.part), bom.Fold(r.supplier)} }

// id is what the row says of which offer it is of, in the form in which that is compared.
func (r *offerRow) id() [3]string {
	return [3]string{sameName(r.part), bom.Fold(r.supplier), bom.Fold(r.code)}
}

// namedRows gives the rows that name a part and a supplier, and the order codes
// of each pair of them.
func namedRows(d *decoder) ([]offerRow, map[[2]string]map[string]bool) {
	var rows, unpriced []offerRow
	codes := map[[2]string]map[string]bool{}
	priced, parts := map[[3]string]bool{}, map[string]bool{}
	d.eachRow(func() {
		if !d.need(d.cell("Part number")) {
			return
		}
		r := offerRow{index: d.row, part: d.key(d.cell("Part number")), supplier: d.key(d.cell("Supplier")), code: d.key(d.cell("Order code"))}
		if noneOf(d, "From", "Price", "Low", "High") {
			unpriced = append(unpriced, r)
			return
		}
		if r.supplier == "" {
			d.warn(d.cell("Supplier"), "no supplier is given", "a name under Supplier", r.part)
		}
		rows = append(rows, r)
		priced[r.id()], parts[sameName(r.part)] = true, true
		if r.code == "" {
			return
		}
		if codes[r.pair()] == nil {
			codes[r.pair()] = map[string]bool{}
		}
		codes[r.pair()][bom.Fold(r.code)] = true
	})
	for _, r := range unpriced {
		// A row too many of an offer with prices is none that waits.
		if r.waits = !priced[r.id()]; r.waits && !parts[sameName(r.part)] {
			d.row = r.index
			noPrice(d, "Price", r.part)
		}
		rows = append(rows, r)
	}
	slices.SortFunc(rows, func(a, b offerRow) int { return cmp.Compare(a.index, b.index) })
	return rows, codes
}

// noneOf tells whether nothing stands under the headings of a row's prices, price
// breaks included, though the table has some of them.
func noneOf(d *decoder, headings ...string) bool {
	some := len(d.reg.steps) > 0
	for _, h := range headings {
		some = some || d.reg.head.Col[h] != 0
		if c := d.cell(h); !c.Blank() {
			return false
		}
	}
	for col := range d.reg.steps {
		if c := find(d.reg.rows[d.row], col); !c.Blank() {
			return false
		}
	}
	return some
}

// noPrice notes a row that waits for its price.
func noPrice(d *decoder, heading, what string) {
	d.problems.Add(bom.Problem{Place: d.place(d.cell(heading)), Severity: bom.Note, What: bom.NoPriceYet, Each: what})
}

// offer makes one offer of its rows. What one row says holds for all.
func (p *priceReader) offer(g offerGroup) bom.Offer {
	o := bom.Offer{
		Dated:    bom.Dated{Origin: g.reg.origin(g.rows[0].index), AsOf: g.oldest(), Note: g.note()},
		Part:     g.spelling(func(r *offerRow) string { return r.part }),
		Supplier: g.spelling(func(r *offerRow) string { return r.supplier }),
		Code:     g.spelling(func(r *offerRow) string { return r.code }),
		Pieces:   bom.One,
	}
	for r := range g.each {
		o.Rows = append(o.Rows, g.reg.rows[r.index].Number)
	}
	o.Stock, o.MOQ, o.Multiple = g.whole("Stock", -1, 0), g.whole("MOQ", 1, 1), g.whole("Multiple", 1, 1)
	if q, ok := common(g, "Pieces", g.pack); ok {
		o.Pieces = q
	}
	o.CutFromM, _ = common(g, "Cut from m", g.pack)
	o.Worth = g.percent("Surplus worth %", 100)
	o.Currency = p.offerCurrency(g)
	p.offerCustoms(g, &o)
	g.expected(&o)
	o.Breaks = g.breaks(o.Currency)
	if len(o.Breaks) > 0 {
		o.MOQ = max(o.MOQ, o.Breaks[0].From)
	}
	return o
}

// mostDutyDecimals is how exactly a duty is told: lines are compared by them.
const mostDutyDecimals = 4

// offerCustoms reads what a line of an offer is charged beside its price.
func (p *priceReader) offerCustoms(g offerGroup, o *bom.Offer) {
	if fee, ok := common(g, "Line fee", func(c bom.Cell) string { return g.money(c, o.Currency).String() }); ok {
		o.LineFee = decimal.RequireFromString(fee)
	}
	o.Heading, _ = common(g, "Heading", g.key)
	o.Duty = g.percent("Duty %", mostDuty)
	if !o.Duty.Decimal.Equal(o.Duty.Decimal.Truncate(mostDutyDecimals)) {
		g.problems.Errorf(o.At("Duty %"), o.Duty.Decimal.String(), "at most four decimals", "too many decimals in the duty")
	}
}

// expected reads how many more come in, and when.
func (g offerGroup) expected(o *bom.Offer) {
	more, some := common(g, "More", func(c bom.Cell) int64 { return g.decoder.whole(c, 0, 1) })
	day, dated := common(g, "More on", g.date)
	switch {
	case some && !dated:
		g.problems.Errorf(o.At("More on"), "", "the day on which they come in, YYYY-MM-DD", "%d more of %s are expected, and no day stands with them", more, o.Part)
	case dated && !some:
		g.problems.Errorf(o.At("More"), "", "how many come in on "+day.String(), "nothing says how many more of %s are expected", o.Part)
	case some && o.Stock < 0:
		g.problems.Errorf(o.At("Stock"), "", "how many there are until "+day.String(), "more of %s are expected, and a blank stock means that there is enough", o.Part)
	default:
		o.More, o.MoreOn = more, day
	}
}

// spelling is how a name that the rows may spell otherwise is spelled: the first
// in the order of the alphabet, so that the order of the rows does not matter.
func (g offerGroup) spelling(name func(*offerRow) string) string {
	least := ""
	for r := range g.each {
		if s := name(r); least == "" || s != "" && s < least {
			least = s
		}
	}
	return least
}

// pack reads the pieces in an order unit.
func (g offerGroup) pack(c bom.Cell) bom.Quantity {
	q, _ := g.quantity(c, bom.One, false)
	return q
}

// common reads the cells that must agree over the rows of an offer; ok is false
// where all are blank.
func common[T comparable](g offerGroup, heading string, read func(bom.Cell) T) (value T, ok bool) {
	var from bom.Cell
	var at bom.Place // of it
	for range g.each {
		c := g.cell(heading)
		if c.Blank() {
			continue
		}
		v := read(c)
		switch {
		case !ok:
			value, from, at, ok = v, c, g.place(c), true
		case v != value && bom.Fold(c.Text) != bom.Fold(from.Text):
			g.wrong(c, "the same in all rows of the offer, or blank", "differs from %s (%q) of the same offer",
				at.Cell(), clip(from.Text, 40))
		}
	}
	return value, ok
}

// whole reads a whole number that the rows agree on.
func (g offerGroup) whole(heading string, fallback, least int64) int64 {
	if n, ok := common(g, heading, func(c bom.Cell) int64 { return g.decoder.whole(c, fallback, least) }); ok {
		return n
	}
	return fallback
}

// percent reads a percentage that the rows agree on.
func (g offerGroup) percent(heading string, most int64) (out decimal.NullDecimal) {
	common(g, heading, func(c bom.Cell) string {
		out = g.percentIfAny(c, most)
		return out.Decimal.String()
	})
	return out
}

func (p *priceReader) offerCurrency(g offerGroup) bom.Currency {
	fallback := p.currencyOf(g.rows[0].supplier)
	cur, ok := common(g, "Currency", func(c bom.Cell) bom.Currency { return p.currency(g.decoder, c, fallback) })
	if !ok {
		g.row = g.rows[0].index
		cur = p.currency(g.decoder, g.cell("Currency"), fallback)
	}
	return cur
}

// breaks reads the prices of an offer, by rising number of order units.
func (g offerGroup) breaks(cur bom.Currency) []bom.Break {
	var all []bom.Break
	at := map[int64]int{} // From -> index
	for r := range g.each {
		if g.tooMany() {
			break
		}
		for _, b := range g.rowBreaks(r, cur) {
			if i, doubled := at[b.From]; doubled {
				g.joinBreak(&all[i], b)
				continue
			}
			at[b.From] = len(all)
			all = append(all, b)
		}
	}
	slices.SortFunc(all, func(a, b bom.Break) int { return cmp.Compare(a.From, b.From) })
	return all
}

// joinBreak takes a price in that another row has given, for an offer has one from each
// number of order units on.
func (g offerGroup) joinBreak(had *bom.Break, b bom.Break) {
	switch {
	case !had.Price.Equal(b.Price):
		g.problems.Errorf(b.At(b.Heading), b.Price.String(), "one price from each number of order units",
			"the price from %d on differs from that in %s, %s", b.From, had.At(had.Heading).Cell(), had.Price)
	case !had.Range.Given():
		had.Range = b.Range
	case b.Range.Given() && !had.Range.Equal(b.Range):
		g.problems.Errorf(b.At("Low"), "", "one range for each price",
			"Low and High of the price from %d on differ from those in %s", b.From, had.At("Low").Cell())
	}
}

// typedPrice is a price as it stands in a row.
type typedPrice struct {
	cell bom.Cell
	step
}

// typedPrices finds the prices of the row that is read: that under Price and those
// under the headings @n.
func (g offerGroup) typedPrices() []typedPrice {
	var typed []typedPrice
	if price := g.cell("Price"); !price.Blank() {
		typed = append(typed, typedPrice{price, step{heading: "Price", from: g.decoder.whole(g.cell("From"), 1, 1)}})
	}
	for _, c := range g.reg.rows[g.row].Cells {
		if s, ok := g.reg.steps[c.Col]; ok {
			typed = append(typed, typedPrice{c, s})
		}
	}
	return typed
}

// rowBreaks reads the prices of one row. Low and High are about the price under
// Price, or without one about that from the fewest order units on.
func (g offerGroup) rowBreaks(r *offerRow, cur bom.Currency) []bom.Break {
	price, from := g.cell("Price"), g.cell("From")
	typed := g.typedPrices()
	switch {
	case len(typed) == 0 && !r.waits && (price.Col != 0 || len(g.reg.steps) > 0):
		g.problems.Errorf(g.place(price), "", "the price of one order unit; 0 where it is free", "the offer has no price")
	case price.Blank() && !from.Blank():
		g.wrong(from, "the price in the same row", "no price stands with it")
	}
	lead := 0
	for i := range typed {
		if price.Blank() && typed[i].from < typed[lead].from {
			lead = i
		}
	}
	var out []bom.Break
	for i, t := range typed {
		before := len(*g.problems)
		b := bom.Break{Origin: g.reg.origin(r.index), Heading: t.heading, From: t.from, Price: g.money(t.cell, cur)}
		if i == lead {
			b.Range = g.bounds(bom.FormMoney, t.cell, g.cell("Low"), g.cell("High"), limits{})
		}
		if !g.failedSince(before) {
			out = append(out, b)
		}
	}
	return out
}

// oldest is the date of the oldest row that has one.
func (g offerGroup) oldest() bom.Date {
	var oldest bom.Date
	for range g.each {
		if date := g.date(g.cell("As of")); !date.IsZero() && (oldest.IsZero() || date.Before(oldest)) {
			oldest = date
		}
	}
	return oldest
}

// note joins the notes of the rows.
func (g offerGroup) note() string {
	notes := map[string]bool{}
	for range g.each {
		if c := g.cell("Note"); !c.Blank() {
			notes[g.text(c)] = true
		}
	}
	return strings.Join(slices.Sorted(maps.Keys(notes)), "; ")
}
