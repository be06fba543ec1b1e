package workbook

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/reports"
)

// page is one table on its way onto a sheet: where its rows and columns stand.
type page struct {
	*book
	grid   *grid
	t      reports.Table
	head   int // row of the headings
	body   int // row of the first row of the table
	widths []float64
	indent []bool      // columns of text that stand off the column before
	beside float64     // width of a chart beside the table, in characters; 0: none
	laid   *laid       // formulas and inputs; nil where there are none
	merged [][2]string // first and last cell of what is one cell
}

// rowOf is the row of the sheet that holds the table's row of that key, or 0.
func (p *page) rowOf(key string) int {
	for i, r := range p.t.Rows {
		if r.Key == key {
			return p.body + i
		}
	}
	return 0
}

// Widths of columns and heights of rows, in characters and points.
const (
	leastWidth  = 7.0
	mostWidth   = 44.0  // of text, where the sheet is wide
	roomyWidth  = 130.0 // of a sheet: up to here long text gets more
	widthMargin = 2.0   // at either side of the text, together
	indentWidth = 1.0
	boldWider   = 1.1 // how much wider bold text is
	rowHeight   = 13.5
	titleRow    = 21.0
	mostHeight  = 400.0 // a workbook allows 409
)

// page begins the page of a table.
func (b *book) page(t reports.Table) *page {
	s := b.laid(t.Name)
	head, body := rowsOf(&t)
	return &page{book: b, grid: newGrid(len(t.Columns), s), t: t, head: head, body: body, laid: s}
}

// rowsOf gives the row of a sheet that holds its table's headings, and the row
// of the first row of the table.
func rowsOf(t *reports.Table) (head, body int) {
	switch t.Name {
	case onUnit:
		return rowSizes, rowTable
	case onQuote:
		return quoteHead, quoteHead + 1
	}
	head = len(t.Notes) + 3
	return head, head + 1
}

// add makes a sheet for each page, in order. Their cells and widths, which do not
// hang on one another, are worked out on all processors; for the rest the library
// wants one sheet after the other.
func (b *book) add(pages ...*page) {
	for _, p := range pages {
		b.addSheet(p)
	}
	failed := make([]error, len(pages))
	atOnce(len(pages), func(next <-chan int) {
		for i := range next {
			pages[i].fill()
			failed[i] = pages[i].setWidths()
		}
	})
	b.keep(errors.Join(failed...))
	for _, p := range pages {
		p.setUp()
	}
}

// addSheet makes a sheet for a page. The first is there from the start.
func (b *book) addSheet(p *page) {
	if len(b.grids) == 0 {
		b.keep(b.f.SetSheetName(b.f.GetSheetName(0), p.t.Name))
	} else {
		_, err := b.f.NewSheet(p.t.Name)
		b.keep(err)
	}
	b.grids = append(b.grids, p.grid)
}

// fill lays out the cells of a page. It writes to nothing but the page.
func (p *page) fill() {
	switch p.t.Name {
	case onUnit:
		fillFirst(p)
	case onQuote:
		fillQuote(p)
	case onBars:
		fillBars(p)
	default:
		p.fillTable()
	}
}

// setUp gives the sheet of a page all that is neither cells nor widths.
func (p *page) setUp() {
	for _, m := range p.merged {
		p.keep(p.f.MergeCell(p.t.Name, m[0], m[1]))
	}
	switch p.t.Name {
	case onUnit:
		setUpFirst(p)
	case onQuote:
		setUpQuote(p)
	case onBars:
		setUpBars(p)
	default:
		p.setUpTable()
	}
}

// fillTable fills title and notes, headings, rows and working columns.
func (p *page) fillTable() {
	p.measure()
	p.text(1, 1, p.t.Title, look{size: 13, bold: true, colour: inputDark})
	p.height(1, titleRow)
	for i, n := range p.t.Notes {
		p.text(1, 2+i, n, look{colour: inputGrey})
	}
	p.headings()
	for i, r := range p.t.Rows {
		p.row(p.body+i, r)
	}
	p.working()
}

// setUpTable draws the charts beside a table and sets up its sheet.
func (p *page) setUpTable() {
	switch p.t.Name {
	case reports.SweepName:
		curveChart(p)
	case reports.SpreadName:
		spreadBars(p)
	}
	p.setUpSheet()
	p.setUpWorking()
	if p.t.Name == onSums { // nothing of it but what it is
		p.printArea(len(p.t.Columns), p.head-2)
	}
}

func (b *book) laid(table string) *laid {
	if b.live == nil {
		return nil
	}
	return b.live.sheets[table]
}

// text writes text into a cell; what it starts with makes it no formula.
func (p *page) text(col, row int, s string, l look) {
	p.grid.put(row, gridCell{col, p.grid.look(l), true, escaped(clipped(s))})
}

// height sets a row's height, in points.
func (p *page) height(row int, points float64) { p.grid.row(row).height = points }

// merge makes one cell of those of a row.
func (p *page) merge(from, row, to int) {
	p.merged = append(p.merged, [2]string{at(from, row), at(to, row)})
}

// clipped keeps text within what a cell can hold.
func clipped(s string) string {
	if len(s) <= excelize.TotalCellChars {
		return s
	}
	if r := []rune(s); len(r) > excelize.TotalCellChars/2 {
		return string(r[:excelize.TotalCellChars/2]) + "…"
	}
	return s
}

func (p *page) paint(col, row int, l look) {
	p.grid.put(row, gridCell{col: col, look: p.grid.look(l)})
}

// put writes one value of the table with the look of its row.
func (p *page) put(col, row int, v reports.Value, l look) {
	c := p.t.Columns[col-1]
	f := v.FormatIn(c)
	l.right = c.Format.Numeric() || v.IsUnknown()
	l.indent = p.indent[col-1] && !l.right
	if p.laid != nil {
		if p.laid.inputs[spot{row, col}] {
			l.fill, l.colour = inputExample, inputInk
		}
		if p.laid.formulas.at(spot{row, col}).isStr {
			l.wrap = true
		}
	}
	switch day, isDay := v.Day(); {
	case v.IsNothing():
		l.box = f.Kind == reports.KindTick
		p.paint(col, row, l)
	case isDay:
		if serial, ok := dateSerial(day.String()); ok {
			l.format, l.indent = formatDate, true
			p.number(col, row, strconv.Itoa(serial), l)
			return
		}
		p.text(col, row, day.String(), l)
	case v.IsText() || v.IsUnknown():
		l.format = formatText
		l.wrap = l.wrap || v.IsText()
		p.text(col, row, v.Exact(f), l)
	default:
		exact := v.Exact(f)
		l.format = numberFormat(f, exact)
		p.number(col, row, p.stored(v, exact), l)
	}
}

// stored is the number as a cell keeps it: as files do, but times and masses,
// which formulas go on from, with all the decimals that count.
func (p *page) stored(v reports.Value, exact string) string {
	if p.laid == nil {
		return exact
	}
	const decimals = 12
	d, _ := v.Decimal()
	if int(-d.Exponent()) <= decimalsIn(exact) {
		return exact
	}
	if full := d.Round(decimals); !full.Equal(d.Round(int32(decimalsIn(exact)))) {
		return full.String()
	}
	return exact
}

// number stores a number with the digits of its own text.
func (p *page) number(col, row int, exact string, l look) {
	p.grid.put(row, gridCell{col, p.grid.look(l), false, exact})
}

func (p *page) headings() {
	lines := 1
	for i, c := range p.t.Columns {
		right := c.Format.Numeric()
		p.text(i+1, p.head, c.Label(), look{bold: true, fill: inputPale, wrap: true, below: 2, right: right, indent: p.indent[i] && !right})
		lines = max(lines, linesIn(c.Label(), (p.widths[i]-widthMargin)/boldWider))
	}
	// One line more than the text takes, for the buttons that filter.
	p.height(p.head, float64(lines+1)*rowHeight)
}

// row writes one row of the table; a total stands out and has a rule above.
func (p *page) row(row int, r reports.Row) {
	l := look{rule: true}
	if r.Role == reports.Total {
		l.bold, l.above = true, 1
	}
	lines := 1
	for i, v := range r.Values {
		p.put(i+1, row, v, l)
		if v.IsText() {
			lines = max(lines, linesIn(v.Shown(reports.AsText), p.widths[i]-widthMargin))
		}
	}
	if lines > 1 {
		p.height(row, min(float64(lines)*rowHeight, mostHeight))
	}
}

// linesIn counts the lines that text takes when it is wrapped at blanks.
func linesIn(s string, width float64) int {
	lines, used := 1, 0.0
	blank := inkWidth(" ")
	for _, word := range strings.Fields(s) {
		w := inkWidth(word)
		if used > 0 && used+blank+w <= width {
			used += blank + w
			continue
		}
		if used > 0 {
			lines++
		}
		for ; w > width && width >= 1; w -= width {
			lines++
		}
		used = w
	}
	return lines
}

// measure gives each column the width of its longest text, within bounds; no
// word of a heading and no number is ever cut.
func (p *page) measure() {
	p.widths, p.indent = make([]float64, len(p.t.Columns)), make([]bool, len(p.t.Columns))
	wanted := make([]float64, len(p.t.Columns))
	total := 0.0
	for i, c := range p.t.Columns {
		p.indent[i] = i > 0 && !c.Format.Numeric() && p.t.Columns[i-1].Format.Numeric()
		p.widths[i], wanted[i] = p.columnWidth(i, c)
		total += p.widths[i]
	}
	for i := range p.widths {
		if more := min(wanted[i]-p.widths[i], roomyWidth-total); more > 0 {
			p.widths[i] += more
			total += more
		}
	}
}

// columnWidth is the width a column gets, and the one at which none of its
// text needs a second line.
func (p *page) columnWidth(i int, c reports.Column) (width, wanted float64) {
	width = leastWidth
	for _, word := range strings.Fields(c.Label()) {
		width = max(width, inkWidth(word)*boldWider+widthMargin)
	}
	if p.indent[i] {
		width += indentWidth
	}
	for _, r := range p.t.Rows {
		v := r.Values[i]
		room := shownWidth(v, v.FormatIn(c))
		if r.Role == reports.Total {
			room *= boldWider
		}
		room += widthMargin
		if p.indent[i] {
			room += indentWidth
		}
		wanted = max(wanted, room)
		if v.IsText() {
			room = min(room, mostWidth)
		}
		width = max(width, room)
	}
	return math.Ceil(width), math.Ceil(wanted)
}

// setWidths sets the widths of the columns, which the library allows for several
// sheets at the same time.
func (p *page) setWidths() error {
	for i, w := range p.widths {
		if err := p.setWidth(i+1, w); err != nil {
			return err
		}
	}
	if p.laid == nil {
		return nil
	}
	for _, key := range p.laid.extras {
		if err := p.setWidth(p.laid.cols[key], workingWidth); err != nil {
			return err
		}
	}
	return nil
}

func (p *page) setWidth(col int, width float64) error {
	name := bom.ColumnLetters(col)
	return p.f.SetColWidth(p.t.Name, name, name, width)
}
