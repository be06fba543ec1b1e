package sheet

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// rawNames are the cells of a row of the tab offers that tell which offer it is
// of.
type rawNames struct {
	Part     Cell `csv:"Part number"`
	Supplier Cell `csv:"Supplier"`
	Code     Cell `csv:"Order code"`
}

// rawOffer is what else stands in such a row.
type rawOffer struct {
	Stock    Cell `csv:"Stock"`
	MOQ      Cell `csv:"MOQ"`
	Multiple Cell `csv:"Multiple"`
	Pieces   Cell `csv:"Pieces"`
	CutFrom  Cell `csv:"Cut from m"`
	From     Cell `csv:"From"`
	Price    Cell `csv:"Price"`
	Low      Cell `csv:"Low"`
	High     Cell `csv:"High"`
	Currency Cell `csv:"Currency"`
	Worth    Cell `csv:"Surplus worth %"`
	LineFee  Cell `csv:"Line fee"`
	Heading  Cell `csv:"Heading"`
	Duty     Cell `csv:"Duty %"`
	More     Cell `csv:"More"`
	MoreOn   Cell `csv:"More on"`
	Dated
}

// offerRow is one row of the tab offers. All of them stand in memory, but
// nothing of them besides their names: that is read when the offer is made.
type offerRow struct {
	*rawOffer                // while its offer is made
	index                int // into reg.rows
	offer                int // which of the offers it is of
	part, supplier, code string
	waits                bool // nothing of its offer has a price yet
}

// offerGroup is the rows that make one offer: those of one part, supplier and
// order code. It does not depend on their order.
type offerGroup struct {
	*decoder
	rows  []offerRow
	found *rowPrices // of the row that is read
}

// offers reads the tab offers.
func (p *priceReader) offers() {
	d, ok := p.reader(bom.TabOffers)
	if !ok {
		return
	}
	rows, count := group(d)
	p.prices.Offers = make([]bom.Offer, 0, count)
	order, numbers := make([]int, len(rows)), make([]int, len(rows))
	for i, r := range rows {
		order[i], numbers[i] = r.index, d.reg.rows[r.index].Number
	}
	var found rowPrices
	first, next := 0, 0 // rows of the offer that is read: its first, and the one to come
	err := eachRecord(d.reg, order, func(_ int, raw *rawOffer) bool {
		rows[next].rawOffer = raw
		if next++; next < len(rows) && rows[next].offer == rows[first].offer {
			return true
		}
		if d.tooMany() {
			return false
		}
		o := p.offer(offerGroup{d, rows[first:next], &found})
		o.Rows = numbers[first:next:next]
		p.prices.Offers = append(p.prices.Offers, o)
		for ; first < next; first++ {
			rows[first].rawOffer = nil
		}
		return true
	})
	d.unreadable(err)
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
				code = sortedKeys(known)[0]
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
	readRows(d, func(raw *rawNames) {
		if !d.need(raw.Part) {
			return
		}
		r := offerRow{index: d.row, part: d.key(raw.Part), supplier: d.key(raw.Supplier), code: d.key(raw.Code)}
		if noneOf(d, "From", "Price", "Low", "High") {
			unpriced = append(unpriced, r)
			return
		}
		if r.supplier == "" {
			d.problems.Add(bom.Problem{Place: d.place(raw.Supplier), Severity: bom.Warning, What: "no supplier is given",
				Want: "a name under Supplier", Each: r.part})
		}
		rows = append(roomFor(rows, d), r)
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
		if c := newCell(find(d.reg.rows[d.row], col)); !c.Blank() {
			return false
		}
	}
	return some
}

// noPrice notes a row that waits for its price.
func noPrice(d *decoder, heading, what string) {
	d.problems.Add(bom.Problem{Place: d.place(d.cell(heading)), Severity: bom.Note, What: "no price yet", Each: what})
}

// offer makes one offer of its rows. What one row says holds for all.
func (p *priceReader) offer(g offerGroup) bom.Offer {
	first := &g.rows[0]
	o := bom.Offer{
		Origin:   g.reg.origin(first.index),
		Part:     g.spelling(func(r *offerRow) string { return r.part }),
		Supplier: g.spelling(func(r *offerRow) string { return r.supplier }),
		Code:     g.spelling(func(r *offerRow) string { return r.code }),
		Stock:    -1, MOQ: 1, Multiple: 1, Pieces: bom.One,
	}
	if n, ok := common(g, func(r *offerRow) Cell { return r.Stock }, func(c Cell) int64 { return g.whole(c, -1, 0) }); ok {
		o.Stock = n
	}
	if n, ok := common(g, func(r *offerRow) Cell { return r.MOQ }, func(c Cell) int64 { return g.whole(c, 1, 1) }); ok {
		o.MOQ = n
	}
	if n, ok := common(g, func(r *offerRow) Cell { return r.Multiple }, func(c Cell) int64 { return g.whole(c, 1, 1) }); ok {
		o.Multiple = n
	}
	if q, ok := common(g, func(r *offerRow) Cell { return r.Pieces }, g.pack); ok {
		o.Pieces = q
	}
	if q, ok := common(g, func(r *offerRow) Cell { return r.CutFrom }, g.pack); ok {
		o.CutFromM = q
	}
	o.Worth = g.percent(func(r *offerRow) Cell { return r.Worth }, 100)
	o.Currency = p.offerCurrency(g, first)
	p.offerCustoms(g, &o)
	g.expected(&o)
	o.Breaks = g.breaks(o.Currency)
	if len(o.Breaks) > 0 {
		o.MOQ = max(o.MOQ, o.Breaks[0].From)
	}
	o.AsOf, o.Note = g.oldest(), g.note()
	return o
}

// mostDutyDecimals is how exactly a duty is told: lines are compared by them.
const mostDutyDecimals = 4

// offerCustoms reads what a line of an offer is charged beside its price.
func (p *priceReader) offerCustoms(g offerGroup, o *bom.Offer) {
	figure := func(d decimal.Decimal) string { return d.String() }
	if fee, ok := common(g, func(r *offerRow) Cell { return r.LineFee }, func(c Cell) string { return figure(g.money(c, o.Currency)) }); ok {
		o.LineFee = decimal.RequireFromString(fee)
	}
	if heading, ok := common(g, func(r *offerRow) Cell { return r.Heading }, func(c Cell) string { return g.key(c) }); ok {
		o.Heading = heading
	}
	o.Duty = g.percent(func(r *offerRow) Cell { return r.Duty }, mostDuty)
	if !o.Duty.Decimal.Equal(o.Duty.Decimal.Truncate(mostDutyDecimals)) {
		g.problems.Errorf(o.At("Duty %"), o.Duty.Decimal.String(), "at most four decimals", "too many decimals in the duty")
	}
}

// expected reads how many more come in, and when.
func (g offerGroup) expected(o *bom.Offer) {
	more, some := common(g, func(r *offerRow) Cell { return r.More }, func(c Cell) int64 { return g.whole(c, 0, 1) })
	day, dated := common(g, func(r *offerRow) Cell { return r.MoreOn }, func(c Cell) bom.Date { return g.date(c) })
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
	for i := range g.rows {
		r := &g.rows[i]
		if s := name(r); least == "" || s != "" && s < least {
			least = s
		}
	}
	return least
}

// pack reads the pieces in an order unit.
func (g offerGroup) pack(c Cell) bom.Quantity {
	q, _ := g.quantity(c, bom.One, false)
	return q
}

// common reads the cells that must agree over the rows of an offer; ok is false
// where all are blank.
func common[T comparable](g offerGroup, cell func(*offerRow) Cell, read func(Cell) T) (value T, ok bool) {
	var from Cell
	var at bom.Place // of it
	for i := range g.rows {
		r := &g.rows[i]
		c := cell(r)
		if c.Blank() {
			continue
		}
		g.row = r.index
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

// percent reads a percentage that the rows agree on.
func (g offerGroup) percent(cell func(*offerRow) Cell, most int64) (out decimal.NullDecimal) {
	common(g, cell, func(c Cell) string {
		out = g.percentIfAny(c, most)
		return out.Decimal.String()
	})
	return out
}

func (p *priceReader) offerCurrency(g offerGroup, first *offerRow) bom.Currency {
	fallback := p.currencyOf(first.supplier)
	cur, ok := common(g, func(r *offerRow) Cell { return r.Currency },
		func(c Cell) bom.Currency { return p.currency(g.decoder, c, fallback) })
	if !ok {
		g.row = first.index
		cur = p.currency(g.decoder, first.Currency, fallback)
	}
	return cur
}

// breaks reads the prices of an offer, by rising number of order units.
func (g offerGroup) breaks(cur bom.Currency) []bom.Break {
	var out breakList
	for i := range g.rows {
		r := &g.rows[i]
		if g.row = r.index; g.tooMany() {
			break
		}
		g.readPrices(r, cur)
		out.expect(len(g.found.breaks), len(g.rows)-i)
		for _, b := range g.found.breaks {
			g.addBreak(&out, b)
		}
	}
	slices.SortFunc(out.all, func(a, b bom.Break) int { return cmp.Compare(a.From, b.From) })
	return out.all
}

// addBreak adds a price to those of its offer, which has one price from each
// number of order units on.
func (g offerGroup) addBreak(out *breakList, b bom.Break) {
	had, doubled := out.find(b.From)
	switch {
	case !doubled:
		out.add(b)
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

// breakList holds the prices of an offer in the order in which they are met.
type breakList struct {
	all []bom.Break
	at  map[int64]int // From -> index; nil as long as they come by rising From, as they mostly do
}

// manyPrices is more than one offer has prices unless something is odd.
const manyPrices = 1000

// expect makes room for the prices of one row, or of all rows that are left once
// the list has turned out to be long.
func (l *breakList) expect(prices, rows int) {
	if len(l.all) >= manyPrices {
		prices = max(prices, rows)
	}
	l.all = slices.Grow(l.all, prices)
}

// find gives the price from a number of order units on, if there is one.
func (l *breakList) find(from int64) (b *bom.Break, ok bool) {
	if l.at == nil {
		if n := len(l.all); n == 0 || l.all[n-1].From < from {
			return nil, false
		}
		l.at = make(map[int64]int, len(l.all))
		for i := range l.all {
			l.at[l.all[i].From] = i
		}
	}
	if i, ok := l.at[from]; ok {
		return &l.all[i], true
	}
	return nil, false
}

func (l *breakList) add(b bom.Break) {
	if l.at != nil {
		l.at[b.From] = len(l.all)
	}
	l.all = append(l.all, b)
}

// rowPrices holds the prices of one row. Its memory is used again for the next.
type rowPrices struct {
	typed  []typedPrice
	breaks []bom.Break
}

// typedPrice is a price as it stands in a row.
type typedPrice struct {
	cell Cell
	step
}

// typedPrices finds the prices of one row: that under Price and those under the
// headings @n.
func (g offerGroup) typedPrices(r *offerRow) {
	g.found.typed = g.found.typed[:0]
	if !r.Price.Blank() {
		g.found.typed = append(g.found.typed, typedPrice{r.Price, step{heading: "Price", from: g.whole(r.From, 1, 1)}})
	}
	if len(g.reg.steps) == 0 {
		return
	}
	for _, c := range g.reg.rows[r.index].Cells {
		if s, ok := g.reg.steps[c.Col]; ok {
			g.found.typed = append(g.found.typed, typedPrice{newCell(c), s})
		}
	}
}

// readPrices reads the prices of one row. Low and High are about the price under
// Price, or without one about that from the fewest order units on.
func (g offerGroup) readPrices(r *offerRow, cur bom.Currency) {
	g.typedPrices(r)
	g.found.breaks = g.found.breaks[:0]
	switch {
	case len(g.found.typed) == 0 && !r.waits && (r.Price.Col != 0 || len(g.reg.steps) > 0):
		g.problems.Errorf(g.place(r.Price), "", "the price of one order unit; 0 where it is free", "the offer has no price")
	case r.Price.Blank() && !r.From.Blank():
		g.wrong(r.From, "the price in the same row", "no price stands with it")
	}
	lead := 0
	for i := range g.found.typed {
		if r.Price.Blank() && g.found.typed[i].from < g.found.typed[lead].from {
			lead = i
		}
	}
	for i, t := range g.found.typed {
		before := len(*g.problems)
		b := bom.Break{Origin: g.reg.origin(r.index), Heading: t.heading, From: t.from, Price: g.money(t.cell, cur)}
		if i == lead {
			b.Range = g.bounds(bom.FormMoney, t.cell, r.Low, r.High, limits{})
		}
		if !g.failedSince(before) {
			g.found.breaks = append(g.found.breaks, b)
		}
	}
}

// oldest is the date of the oldest row that has one.
func (g offerGroup) oldest() bom.Date {
	var oldest bom.Date
	for i := range g.rows {
		r := &g.rows[i]
		g.row = r.index
		if date := g.date(r.AsOf); !date.IsZero() && (oldest.IsZero() || date.Before(oldest)) {
			oldest = date
		}
	}
	return oldest
}

// note joins the notes of the rows.
func (g offerGroup) note() string {
	notes := map[string]bool{}
	for i := range g.rows {
		r := &g.rows[i]
		if g.row = r.index; !r.Note.Blank() {
			notes[g.text(r.Note)] = true
		}
	}
	return strings.Join(sortedKeys(notes), "; ")
}
