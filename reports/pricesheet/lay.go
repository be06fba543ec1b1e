package pricesheet

import (
	"cmp"
	"maps"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/quoting"
)

// Edit is what changes in the table that holds a tab.
type Edit struct {
	Cells []Cell // by row and column

	table *bom.Table
	head  *bom.Heading
	last  int         // last row that holds data, or anything where none does; rows below it are new
	width int         // last column of the heading row as it stands
	like  map[int]int // new column -> the one that it looks like; 0: none
	below int         // lines of the last row of a CSV file but the first: rows that are added come so much lower
}

// Cell is what is written into one cell.
type Cell struct {
	Row, Col int // from 1
	Value    Value
}

// Kind is what sort of value is written.
type Kind int

// The kinds of value.
const (
	Blank Kind = iota
	Text
	Number
	Date
)

// Value is what stands in a cell.
type Value struct {
	Kind   Kind
	Text   string
	Number decimal.Decimal
	Digits int32 // decimals that a CSV file shows at least
	Date   bom.Date
}

// Lay finds the cells that offers go into. p and t are the price sheet and its
// tab offers as they were read. The warnings are about what had to go with a
// price. An error says why the table cannot take the offers.
func Lay(p *bom.Prices, t *bom.Table, offers []quoting.Offer) (*Edit, bom.Problems) {
	last := 0
	for i := range p.Offers {
		last = max(last, p.Offers[i].Rows[len(p.Offers[i].Rows)-1])
	}
	l := newLayout(t, p.Heads[bom.TabOffers], bom.TabOffers, last)
	l.prices = p
	for i := range offers {
		l.offer(&offers[i])
	}
	return l.laid()
}

// newLayout begins the layout of a tab whose last row of data is known, 0 where it has
// none.
func newLayout(t *bom.Table, head *bom.Heading, tab string, last int) *layout {
	l := &layout{Edit: &Edit{table: t, head: head, like: map[int]int{}, last: last}, tab: tab,
		rows: map[int]bom.Row{}, cells: map[[2]int]Value{}, cols: map[string]int{}}
	for _, row := range t.Rows {
		l.rows[row.Number] = row
		if row.Number == l.head.Row {
			l.width = row.Cells[len(row.Cells)-1].Col
		}
		if last == 0 {
			l.last = row.Number
		}
	}
	for _, col := range head.Col { // under a second row of headings
		l.width = max(l.width, col)
	}
	l.next = l.last
	return l
}

// laid gives the cells in order.
func (l *layout) laid() (*Edit, bom.Problems) {
	l.checkBelow()
	for at, v := range l.cells {
		l.Cells = append(l.Cells, Cell{at[0], at[1], v})
	}
	slices.SortFunc(l.Cells, func(a, b Cell) int { return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Col, b.Col)) })
	return l.Edit, l.problems
}

// layout lays offers out, one by one.
type layout struct {
	*Edit
	prices   *bom.Prices
	tab      string
	rows     map[int]bom.Row
	cells    map[[2]int]Value // what is written
	cols     map[string]int   // new columns
	next     int              // last row that is taken
	problems bom.Problems
}

// checkBelow refuses to add rows where something stands below the offers.
func (l *layout) checkBelow() {
	if l.next == l.last {
		return
	}
	for _, row := range l.table.Rows {
		if row.Number > l.last {
			l.problems.Errorf(l.table.At(row.Number, row.Cells[0].Col), row.Cells[0].Text, "move it above the headings or to another sheet",
				"something stands below the %s, where rows would be added", l.tab)
			return
		}
	}
}

// stands gives what stands in a cell of the table as it was read.
func (l *layout) stands(row, col int) bom.Cell {
	for _, c := range l.rows[row].Cells {
		if c.Col == col {
			return c
		}
	}
	return bom.Cell{Col: col}
}

// blank tells whether nothing stands in a cell, with what is written by now.
func (l *layout) blank(row, col int) bool {
	if v, written := l.cells[[2]int{row, col}]; written {
		return v.Kind == Blank
	}
	return l.stands(row, col).Text == ""
}

// put writes a cell, unless the same stands there.
func (l *layout) put(row, col int, v Value) {
	if c := l.stands(row, col); v.same(c, l.head.Mark) {
		delete(l.cells, [2]int{row, col})
		return
	}
	l.cells[[2]int{row, col}] = v
}

// same tells whether a cell that was read holds the value and nothing else.
func (v Value) same(c bom.Cell, mark bom.DecimalMark) bool {
	switch v.Kind {
	case Blank:
		return c.Text == ""
	case Number:
		if c.Kind != bom.Text && c.Kind != bom.Native {
			return false
		}
		if c.Kind == bom.Native {
			mark = bom.MarkDot
		}
		f, err := bom.ParseFigure(c.Text, mark)
		return err == nil && f.Sign == "" && !f.Percent && f.Value.Equal(v.Number)
	case Date:
		return (c.Kind == bom.Text || c.Kind == bom.DateISO) && c.Text == v.Date.String()
	}
	return c.Text == v.Text
}

// column gives the column under a heading, a new one at the right where the table
// has none.
func (l *layout) column(heading string) int {
	if col := cmp.Or(l.head.Col[heading], l.cols[heading]); col != 0 {
		return col
	}
	col := l.width + len(l.cols) + 1
	for slices.ContainsFunc(l.table.Rows, func(r bom.Row) bool { return l.stands(r.Number, col).Text != "" }) || slices.Contains(slices.Collect(maps.Values(l.cols)), col) {
		col++
	}
	l.cols[heading] = col
	l.like[col] = l.lookalike(heading)
	l.put(l.head.Row, col, Value{Kind: Text, Text: heading})
	return col
}

// lookalike is the column of prices that a new one looks like.
func (l *layout) lookalike(heading string) int {
	if heading != "Price" && heading[:1] != bom.BreakMark {
		return 0
	}
	best := l.head.Col["Price"]
	for name, col := range l.head.Col {
		if name[:1] == bom.BreakMark && col > best {
			best = col
		}
	}
	return best
}

// laid is an offer on its way into its rows.
type laid struct {
	*layout
	*quoting.Offer
	rows   []int // of it
	places []place
	fresh  map[int]bool // rows whose prices the quote speaks of
}

// place is a cell that holds a price of the offer.
type place struct {
	row  int
	col  int   // of the price
	from int64 // as it stands there
	step bool  // under a heading @10, else under Price with From beside it
}

// offer lays one offer out.
func (l *layout) offer(o *quoting.Offer) {
	d := laid{layout: l, Offer: o, fresh: map[int]bool{}}
	if o.Old != nil {
		d.rows = slices.Clone(o.Old.Rows)
		d.findPlaces()
	} else {
		d.addRow()
	}
	d.putPrices()
	d.putFigures()
	for _, row := range d.rows[len(d.old()):] {
		d.copyFigures(row)
	}
	d.dropRanges()
	for _, row := range d.rows {
		if d.fresh[row] && !o.AsOf.IsZero() {
			l.put(row, l.column("As of"), Value{Kind: Date, Date: o.AsOf})
		}
	}
}

// old are the rows that the offer stands in already.
func (d *laid) old() []int {
	if d.Old == nil {
		return nil
	}
	return d.Old.Rows
}

// addRow takes the next row for the offer.
func (d *laid) addRow() int {
	d.next++
	row := d.next
	d.rows = append(d.rows, row)
	d.put(row, d.column("Part number"), Value{Kind: Text, Text: d.Part})
	d.put(row, d.column("Supplier"), Value{Kind: Text, Text: d.Supplier})
	if d.Code != "" {
		d.put(row, d.column("Order code"), Value{Kind: Text, Text: d.Code})
	}
	return row
}

// findPlaces finds the cells that hold prices. Of a price that stands twice, the
// second is no break of its own.
func (d *laid) findPlaces() {
	for _, row := range d.rows {
		if col := d.head.Col["Price"]; col != 0 && d.stands(row, col).Text != "" {
			d.places = append(d.places, place{row: row, col: col, from: d.fromOf(row)})
		}
		for _, c := range d.layout.rows[row].Cells {
			for name, col := range d.head.Col {
				if col == c.Col && name[:1] == bom.BreakMark {
					from, _ := strconv.ParseInt(name[1:], 10, 64) // the reader made it
					d.places = append(d.places, place{row, col, from, true})
				}
			}
		}
	}
}

// fromOf is the quantity from which the price of a row holds.
func (d *laid) fromOf(row int) int64 {
	for _, b := range d.Old.Breaks {
		if b.Row == row && b.Heading == "Price" {
			return b.From
		}
	}
	return d.whole(row, "From")
}

// whole is the whole number that stands under a heading; 1 where none does.
func (d *laid) whole(row int, heading string) int64 {
	c, mark := d.stands(row, d.head.Col[heading]), d.head.Mark
	if c.Kind == bom.Native {
		mark = bom.MarkDot
	}
	if n, err := bom.ParseWhole(c.Text, mark); err == nil {
		return n
	}
	return 1
}

// putPrices gives every price a cell: the one in which it stands, a column for
// its quantity, a row whose price is no longer asked, or a row of its own.
func (d *laid) putPrices() {
	var free []place
	placed := map[int64]bool{}
	for _, p := range d.places {
		i := slices.IndexFunc(d.Breaks, func(b quoting.Break) bool { return b.From == p.from })
		switch {
		case i >= 0:
			d.setPrice(p, d.Breaks[i])
			placed[p.from] = true
		case p.step:
			d.put(p.row, p.col, Value{})
			d.fresh[p.row] = true
		default:
			free = append(free, p)
		}
	}
	for _, b := range d.Breaks {
		if placed[b.From] {
			continue
		}
		var p place
		if p, free = d.placeFor(b, free); !p.step {
			d.putFrom(p.row, b.From)
		}
		d.setPrice(p, b)
	}
	for _, p := range free { // a row that is left over says what holds at its quantity
		b := d.Breaks[0]
		for _, next := range d.Breaks {
			if next.From <= p.from {
				b = next
			}
		}
		d.putFrom(p.row, max(p.from, b.From))
		d.setPrice(p, b)
	}
}

// placeFor finds a cell for a price that stands nowhere yet.
func (d *laid) placeFor(b quoting.Break, free []place) (place, []place) {
	heading := bom.BreakMark + strconv.FormatInt(b.From, 10)
	price := d.head.Col["Price"]
	if d.head.Col[heading] != 0 || price == 0 && !b.Asked && d.hasSteps() {
		row := d.rows[0]
		for _, p := range d.places {
			if p.step {
				row = p.row
				break
			}
		}
		return place{row: row, col: d.column(heading), step: true}, free
	}
	if len(free) > 0 {
		return free[0], free[1:]
	}
	col := d.column("Price")
	for _, row := range d.rows {
		if d.blank(row, col) {
			return place{row: row, col: col}, free
		}
	}
	return place{row: d.addRow(), col: col}, free
}

// hasSteps tells whether the table has columns of price breaks.
func (d *laid) hasSteps() bool {
	for name := range d.head.Col {
		if name[:1] == bom.BreakMark {
			return true
		}
	}
	return false
}

// putFrom writes the quantity from which the price of a row holds, where it is
// not the first or the table has a column for it.
func (d *laid) putFrom(row int, from int64) {
	if from > 1 || d.head.Col["From"]+d.cols["From"] != 0 {
		d.put(row, d.column("From"), whole(from))
	}
}

func whole(n int64) Value { return Value{Kind: Number, Number: decimal.NewFromInt(n)} }

// setPrice writes a price, unless it stands there in the same currency.
func (d *laid) setPrice(p place, b quoting.Break) {
	d.fresh[p.row] = d.fresh[p.row] || b.Fresh
	if d.Old != nil && d.Old.Currency.Code == d.Currency.Code {
		for _, had := range d.Old.Breaks {
			if had.From == p.from && p.from == b.From && had.Price.Equal(b.Price) {
				return
			}
		}
	}
	d.put(p.row, p.col, Value{Kind: Number, Number: b.Price, Digits: d.Currency.Digits})
}

// common are the columns in which all rows of an offer say the same or nothing.
var common = []string{"Order code", "Stock", "MOQ", "Multiple", "Pieces", "Currency"}

// putFigures writes what changes of the offer besides its prices.
func (d *laid) putFigures() {
	o := d.Old
	if o == nil {
		o = &bom.Offer{Stock: -1, MOQ: d.Breaks[0].From, Multiple: 1, Pieces: bom.One, Currency: quoting.CurrencyOf(d.prices, d.Supplier)}
	}
	if o.Code == "" && d.Code != "" {
		for _, row := range d.rows {
			d.put(row, d.column("Order code"), Value{Kind: Text, Text: d.Code})
		}
	}
	if d.StockSaid && d.Stock != o.Stock {
		v := Value{}
		if d.Stock >= 0 {
			v = whole(d.Stock)
		}
		d.putCommon("Stock", v)
	}
	if d.MOQ > 0 && d.MOQ != max(d.typedMOQ(), d.Breaks[0].From) {
		d.putCommon("MOQ", whole(d.MOQ))
	}
	if d.Multiple > 0 && d.Multiple != o.Multiple {
		d.putCommon("Multiple", whole(d.Multiple))
	}
	if d.Pieces > 0 && d.Pieces != o.Pieces {
		d.putCommon("Pieces", Value{Kind: Number, Number: d.Pieces.Decimal()})
	}
	nobodys := d.Old != nil && d.Old.Supplier == ""
	if nobodys {
		for _, row := range d.rows {
			d.put(row, d.column("Supplier"), Value{Kind: Text, Text: d.Supplier})
		}
	}
	if col := d.head.Col["Currency"]; d.Currency.Code != o.Currency.Code || nobodys || d.Old == nil && col != 0 && d.stands(d.last, col).Text != "" {
		d.putCommon("Currency", Value{Kind: Text, Text: d.Currency.Code})
	}
}

// typedMOQ is the least order as it stands in the rows.
func (d *laid) typedMOQ() int64 {
	for _, row := range d.old() {
		if n := d.whole(row, "MOQ"); n != 1 {
			return n
		}
	}
	return 1
}

// putCommon writes what holds for the whole offer: wherever it says something of
// it, else on its first row.
func (d *laid) putCommon(heading string, v Value) {
	if v.Kind == Blank && d.head.Col[heading] == 0 {
		return
	}
	col, said := d.column(heading), false
	for _, row := range d.rows {
		if !d.blank(row, col) {
			d.put(row, col, v)
			said = true
		}
	}
	if !said {
		d.put(d.rows[0], col, v)
	}
}

// copyFigures makes a row that is added say what the first one does.
func (d *laid) copyFigures(row int) {
	first := d.rows[0]
	for _, heading := range common {
		col := cmp.Or(d.head.Col[heading], d.cols[heading])
		if col == 0 || row == first || !d.blank(row, col) {
			continue
		}
		if v, written := d.cells[[2]int{first, col}]; written {
			d.put(row, col, v)
			continue
		}
		switch c := d.stands(first, col); c.Kind {
		case bom.Native:
			if n, err := bom.ParseFigure(c.Text, bom.MarkDot); err == nil {
				d.put(row, col, Value{Kind: Number, Number: n.Value})
			}
		case bom.Text:
			d.put(row, col, Value{Kind: Text, Text: c.Text})
		}
	}
}

// dropRanges takes out the bounds of prices that no longer lie within them.
func (d *laid) dropRanges() {
	if d.Old == nil {
		return
	}
	for _, b := range d.Old.Breaks {
		v, moved := d.cells[[2]int{b.Row, d.head.Col[b.Heading]}]
		if !moved {
			continue
		}
		other := v.Kind == Blank || d.Currency.Code != d.Old.Currency.Code || d.Pieces != 0 && d.Pieces != d.Old.Pieces
		for _, side := range []struct {
			heading string
			bound   decimal.NullDecimal
			wrong   bool
		}{
			{"Low", b.Range.Least, b.Range.Least.Decimal.GreaterThan(v.Number)},
			{"High", b.Range.Most, b.Range.Most.Decimal.LessThan(v.Number)},
		} {
			if side.bound.Valid && (other || side.wrong) {
				d.put(b.Row, d.column(side.heading), Value{})
				d.problems.Warnf(b.At(side.heading), side.bound.Decimal.String(), "type a new range",
					"%s no longer fits the price of %s and is taken out", side.heading, d.Part)
			}
		}
	}
}

// Empty tells whether nothing changes.
func (e *Edit) Empty() bool { return len(e.Cells) == 0 }

// Rows counts the rows that are added, and those of others that change.
func (e *Edit) Rows() (added, changed int) {
	seen := map[int]bool{}
	for _, c := range e.Cells {
		if !seen[c.Row] && c.Row != e.head.Row {
			seen[c.Row] = true
			if c.Row > e.last {
				added++
			} else {
				changed++
			}
		}
	}
	return added, changed
}

// plain is the value as text with a decimal dot.
func (v Value) plain() string {
	switch v.Kind {
	case Number:
		return v.Number.String()
	case Date:
		return v.Date.String()
	}
	return v.Text
}
