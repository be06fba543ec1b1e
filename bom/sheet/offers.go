package sheet

import (
	"cmp"
	"slices"
	"strings"

	"tenoff/bom"
)

type rawOffer struct {
	Part     Cell `csv:"Part number"`
	Supplier Cell `csv:"Supplier"`
	Code     Cell `csv:"Order code"`
	Stock    Cell `csv:"Stock"`
	MOQ      Cell `csv:"MOQ"`
	Multiple Cell `csv:"Multiple"`
	Pieces   Cell `csv:"Pieces"`
	From     Cell `csv:"From"`
	Price    Cell `csv:"Price"`
	Low      Cell `csv:"Low"`
	High     Cell `csv:"High"`
	Currency Cell `csv:"Currency"`
	Dated
}

// offerRow is one row of the tab offers.
type offerRow struct {
	rawOffer
	index                int
	part, supplier, code string
}

// offerGroup is the rows that make one offer: those of one part, supplier and
// order code. It does not depend on their order.
type offerGroup struct {
	*decoder
	rows []*offerRow
}

// offers reads the tab offers.
func (p *priceReader) offers() {
	d, ok := p.reader(bom.TabOffers)
	if !ok {
		return
	}
	groups := group(d)
	p.prices.Offers = make([]bom.Offer, 0, len(groups))
	for i, g := range groups {
		if d.tooMany() {
			return
		}
		p.prices.Offers = append(p.prices.Offers, p.offer(g))
		groups[i].rows = nil // they take more room than what is made of them
	}
}

// group gathers the rows of each offer, in the order of their first rows. A row
// without an order code belongs to the one offer of its part and supplier.
func group(d *decoder) []offerGroup {
	rows, codes := namedRows(d)
	groups := make([]offerGroup, 0, len(rows))
	index := make(map[[3]string]int, len(rows))
	for _, r := range rows {
		code, known := fold(r.code), codes[r.pair()]
		if code == "" && len(known) == 1 {
			code = sortedKeys(known)[0]
		} else if code == "" && len(known) > 1 {
			d.row = r.index
			d.wrong(r.Code, "the order code", "is blank, and the supplier has several offers of the part")
			continue
		}
		id := [3]string{fold(r.part), fold(r.supplier), code}
		at, ok := index[id]
		if !ok {
			at = len(groups)
			index[id] = at
			groups = append(groups, offerGroup{decoder: d})
		}
		groups[at].rows = append(groups[at].rows, r)
	}
	return groups
}

// pair is the part and the supplier of a row, in the form in which they are
// compared.
func (r *offerRow) pair() [2]string { return [2]string{fold(r.part), fold(r.supplier)} }

// namedRows gives the rows that name a part and a supplier, and the order codes
// of each pair of them.
func namedRows(d *decoder) ([]*offerRow, map[[2]string]map[string]bool) {
	var rows []*offerRow
	codes := map[[2]string]map[string]bool{}
	readRows(d, func(raw *rawOffer) {
		named := d.need(raw.Part)
		if named = d.need(raw.Supplier) && named; !named {
			return
		}
		r := &offerRow{*raw, d.row, d.key(raw.Part), d.key(raw.Supplier), d.key(raw.Code)}
		rows = append(rows, r)
		if r.code == "" {
			return
		}
		if codes[r.pair()] == nil {
			codes[r.pair()] = map[string]bool{}
		}
		codes[r.pair()][fold(r.code)] = true
	})
	return rows, codes
}

// offer makes one offer of its rows. What one row says holds for all.
func (p *priceReader) offer(g offerGroup) bom.Offer {
	first := g.rows[0]
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
	o.Currency = p.offerCurrency(g, first)
	o.Breaks = g.breaks(o.Currency)
	if len(o.Breaks) > 0 {
		o.MOQ = max(o.MOQ, o.Breaks[0].From)
	}
	o.AsOf, o.Note = g.oldest(), g.note()
	return o
}

// spelling is how a name that the rows may spell otherwise is spelled: the first
// in the order of the alphabet, so that the order of the rows does not matter.
func (g offerGroup) spelling(name func(*offerRow) string) string {
	least := ""
	for _, r := range g.rows {
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
	for _, r := range g.rows {
		c := cell(r)
		if c.Blank() {
			continue
		}
		g.row = r.index
		v := read(c)
		switch {
		case !ok:
			value, from, ok = v, c, true
		case v != value && fold(c.Text) != fold(from.Text):
			g.wrong(c, "the same in all rows of the offer, or blank", "differs from %s (%q) of the same offer",
				g.place(from).Cell(), clip(from.Text, 40))
		}
	}
	return value, ok
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
	var out []bom.Break
	at := map[int64]int{}
	for _, r := range g.rows {
		if g.row = r.index; g.tooMany() {
			break
		}
		for _, b := range g.rowBreaks(r, cur) {
			i, doubled := at[b.From]
			if !doubled {
				at[b.From] = len(out)
				out = append(out, b)
				continue
			}
			switch had := &out[i]; {
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
	}
	slices.SortFunc(out, func(a, b bom.Break) int { return cmp.Compare(a.From, b.From) })
	return out
}

// typedPrice is a price as it stands in a row.
type typedPrice struct {
	cell    Cell
	heading string
	from    int64
}

// typedPrices are the prices of one row: that under Price and those under the
// headings @n.
func (g offerGroup) typedPrices(r *offerRow) []typedPrice {
	var out []typedPrice
	if !r.Price.Blank() {
		out = append(out, typedPrice{r.Price, "Price", g.whole(r.From, 1, 1)})
	}
	for _, c := range g.reg.rows[r.index].Cells {
		if from, ok := g.reg.steps[c.Col]; ok {
			out = append(out, typedPrice{newCell(g.reg.origin(r.index).Row, c), stepHeading(from), from})
		}
	}
	return out
}

// rowBreaks reads the prices of one row. Low and High are about the price under
// Price, or without one about that from the fewest order units on.
func (g offerGroup) rowBreaks(r *offerRow, cur bom.Currency) []bom.Break {
	typed := g.typedPrices(r)
	switch {
	case len(typed) == 0 && (r.Price.Col != 0 || len(g.reg.steps) > 0):
		g.problems.Errorf(g.place(r.Price), "", "the price of one order unit; 0 where it is free", "the offer has no price")
	case r.Price.Blank() && !r.From.Blank():
		g.wrong(r.From, "the price in the same row", "no price stands with it")
	}
	if len(typed) == 0 {
		return nil
	}
	lead := 0
	for i := range typed {
		if r.Price.Blank() && typed[i].from < typed[lead].from {
			lead = i
		}
	}
	var out []bom.Break
	for i, t := range typed {
		before := len(*g.problems)
		b := bom.Break{Origin: g.reg.origin(r.index), Heading: t.heading, From: t.from, Price: g.money(t.cell, cur)}
		if i == lead {
			b.Range = g.bounds(bom.FormMoney, t.cell, r.Low, r.High, limits{})
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
	for _, r := range g.rows {
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
	for _, r := range g.rows {
		if !r.Note.Blank() {
			notes[g.text(r.Note)] = true
		}
	}
	return strings.Join(sortedKeys(notes), "; ")
}
