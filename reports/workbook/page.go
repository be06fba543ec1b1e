package workbook

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/bom/markup"
	"tenoff/cost/sum"
	"tenoff/cost/workers"
	"tenoff/reports"
)

// page is one sheet: a title, and blocks of rows one below the other.
type page struct {
	*book
	name     string
	title    string
	grid     *grid
	blocks   []*block
	rests    []rest
	sections []section
	sums     []orderSum
	orders   []orderTitle
	heads    []head
	remarks  []section
	charts   []int // rows at which charts stand
	widths   []float64
	filter   bool        // the rows of its one block can be filtered
	left     int         // columns that stay in sight
	beside   float64     // width of charts beside the blocks, in characters
	merged   [][2]string // first and last cell of what is one cell
	next     int         // the first row that is free
	paper

	draw    func(p *page) // fills what is no block; writes to nothing but the page
	furnish func(p *page) // charts
}

// block is some rows of a table under its headings. All blocks of a table on a sheet show
// the same columns.
type block struct {
	laid     *laid
	rows     []int // indices of rows
	title    string
	notes    []string
	label    string // between the headings and the rows
	bare     bool   // no headings
	newPage  bool
	hideZero bool             // rows without money are there and not seen
	unseen   bool             // no row of it is seen
	marked   func(i int) bool // rows that stand out

	top, said, head, body int // rows of the sheet: of the title, the notes, the headings and the first row; 0: none
}

// section is a title that no table has.
type section struct {
	row   int
	title string
}

// Widths of columns and heights of rows, in characters and points.
const (
	leastWidth   = 7.0
	mostWidth    = 60.0 // of text in a column, where the sheet is wide
	padding      = 1.0  // within a cell, in all
	widthMargin  = 2.0  // at either side of the text, together
	indentWidth  = 1.0
	boldWider    = 1.1 // how much wider bold text is
	workingWidth = 12.0
	rowHeight    = 12.75
	titleRow     = 21.0
	mostHeight   = 400.0 // a workbook allows 409
	firstRow     = 3     // below the title of a sheet
)

// newPage begins a sheet.
func (b *book) newPage(name, title string) *page {
	return &page{book: b, name: name, title: title, grid: newGrid(), next: firstRow}
}

// place gives the rows and columns of a block their cells below what is there.
func (p *page) place(bl *block) {
	if bl.newPage && len(p.blocks) > 0 {
		p.breaks = append(p.breaks, p.next)
	}
	if bl.title != "" {
		bl.top = p.next
		p.next++
	}
	bl.said = p.next
	p.next += len(bl.notes)
	if !bl.bare {
		bl.head = p.next
		p.next++
	}
	if bl.label != "" {
		p.next++
	}
	bl.body = p.next
	bl.laid.sheet = p.name
	for k, i := range bl.rows {
		bl.laid.rowAt[i] = bl.body + k
	}
	p.next += len(bl.rows) + 1
	for col, j := range bl.laid.order {
		bl.laid.colAt[j] = col + 1
	}
	p.blocks = append(p.blocks, bl)
}

// show picks the columns that a table shows, in their order; none for all.
func (s *laid) show(keys ...string) *laid {
	s.order = nil
	if len(keys) == 0 {
		for i := range s.table.Columns {
			s.order = append(s.order, i)
		}
	}
	for _, key := range keys {
		for j, c := range s.table.Columns {
			if c.Key == key && !slices.Contains(s.order, j) {
				s.order = append(s.order, j)
			}
		}
	}
	clear(s.shown)
	for _, j := range s.order {
		s.shown[j] = true
	}
	return s
}

// addSheets makes a sheet for each page, in order. Their cells and widths, which do not
// hang on one another, are worked out on all processors; for the rest the library
// wants one sheet after the other.
func (b *book) addSheets(pages ...*page) {
	for _, p := range pages {
		b.addSheet(p)
	}
	failed := make([]error, len(pages))
	workers.AtOnce(len(pages), func(_, i int) bool {
		pages[i].fill()
		failed[i] = pages[i].setWidths()
		return true
	})
	b.keep(errors.Join(failed...))
	for _, p := range pages {
		p.setUp()
	}
}

// addSheet makes a sheet for a page. The first is there from the start.
func (b *book) addSheet(p *page) {
	if len(b.grids) == 0 {
		b.keep(b.f.SetSheetName(b.f.GetSheetName(0), p.name))
	} else {
		_, err := b.f.NewSheet(p.name)
		b.keep(err)
	}
	if b.live != nil && b.live.written[p.name] != nil {
		p.grid.formulas = *b.live.written[p.name]
	}
	b.grids = append(b.grids, p.grid)
}

// fill lays out the cells of a page. It writes to nothing but the page.
func (p *page) fill() {
	p.measure()
	if p.title != "" {
		p.text(1, 1, p.title, look{size: 13, bold: true, colour: inputDark})
		p.height(1, titleRow)
	}
	if p.screen {
		p.text(1, 2, "for the screen: this sheet is not printed", look{colour: inputGrey})
	}
	for _, bl := range p.blocks {
		p.fillBlock(bl)
	}
	for _, r := range p.rests {
		fillRest(p, r)
	}
	for _, r := range p.remarks {
		p.note(r.row, r.title)
	}
	for _, s := range p.sections {
		p.text(1, s.row, s.title, look{size: 13, bold: true, colour: inputDark})
		p.height(s.row, titleRow)
	}
	if p.draw != nil {
		p.draw(p)
	}
}

// setUp gives the sheet of a page all that is neither cells nor widths.
func (p *page) setUp() {
	for _, m := range p.merged {
		p.keep(p.f.MergeCell(p.name, m[0], m[1]))
	}
	if p.furnish != nil {
		p.furnish(p)
	}
	p.setPaper()
	p.validate()
}

func (p *page) fillBlock(bl *block) {
	if bl.top > 0 {
		p.text(1, bl.top, bl.title, look{size: 11, bold: true, colour: inputDark, low: true})
		p.height(bl.top, 18)
	}
	for i, n := range bl.notes {
		p.note(bl.said+i, n)
	}
	if bl.head > 0 {
		p.headings(bl)
	}
	if bl.label != "" {
		p.text(1, bl.body-1, bl.label, look{bold: true, colour: inputDark})
	}
	for _, i := range bl.rows {
		p.row(bl, i)
	}
}

// note writes a line that explains, as wide as the sheet.
func (p *page) note(row int, s string) {
	last, width := 0, 0.0
	for last < len(p.widths) && (last == 0 || width+p.widths[last] <= p.roomy()) { // on one page across
		width += p.widths[last]
		last++
	}
	p.text(1, row, s, look{colour: inputGrey, wrap: true})
	if last > 1 {
		p.merge(row, last)
	}
	if lines := linesIn(s, width-widthMargin); lines > 1 {
		p.height(row, min(float64(lines)*rowHeight, mostHeight))
	}
}

// width is that of all columns.
func (p *page) width() float64 {
	total := 0.0
	for _, w := range p.widths {
		total += w
	}
	return total
}

// text writes text into a cell; what it starts with makes it no formula.
func (p *page) text(col, row int, s string, l look) {
	p.grid.put(row, gridCell{col, p.grid.look(l), true, markup.Hide(clipped(s))})
}

// height sets a row's height, in points.
func (p *page) height(row int, points float64) { p.grid.row(row).height = points }

// merge makes one cell of the first ones of a row.
func (p *page) merge(row, to int) {
	p.merged = append(p.merged, [2]string{at(1, row), at(to, row)})
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

// put writes one figure of a table, with the look of its row, where it stands.
func (p *page) put(s *laid, i, j int, l look) {
	where := s.cell(position{i, j + 1})
	if j >= len(s.table.Columns) {
		p.work(where, *s.work(position{i, j + 1}))
		return
	}
	c, v := s.table.Columns[j], s.table.Rows[i].Values[j]
	f := v.FormatIn(c)
	l.right = c.Format.Numeric() || v.IsUnknown()
	l.indent = s.indent(j)
	if s.inputs[position{i, j + 1}] {
		l.fill, l.colour = inputExample, inputInk
	}
	p.value(where.Col, where.Row, v, f, l)
}

// work writes a figure or text that only formulas need.
func (p *page) work(where sum.Cell, v reports.Value) {
	if d, ok := v.Decimal(); ok {
		p.number(where.Col, where.Row, d.String(), look{colour: inputGrey, right: true})
	} else if v.IsText() || p.grid.formulas.at(spot{where.Row, where.Col}).isStr {
		p.text(where.Col, where.Row, v.Exact(reports.AsText), look{colour: inputGrey})
	}
}

// value writes a figure into a cell.
func (p *page) value(col, row int, v reports.Value, f reports.Format, l look) {
	switch day, isDay := v.Day(); {
	case v.IsNothing():
		if f.Kind == reports.KindTick {
			l.box = inputDark
		}
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
		if l.format = numberFormat(f, exact); l.right && l.indent {
			l.format = standOff(l.format)
		}
		p.number(col, row, p.stored(v, exact), l)
	}
}

// standOff keeps a number off the right edge of its cell by the width of a digit, as an
// indent does, which some spreadsheets forget in one cell of two.
func standOff(format string) string { return strings.ReplaceAll(format, ";", "_0;") + "_0" }

// stored is the number as a cell keeps it: as files do, but times and masses,
// which formulas go on from, with all the decimals that count.
func (p *page) stored(v reports.Value, exact string) string {
	if len(p.live.written) == 0 {
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

// says writes a text that follows other cells.
func (p *page) says(c sum.Cell, l look) {
	l.format = formatText
	if f := p.grid.formulas.at(spot{c.Row, c.Col}); f.isStr {
		p.text(c.Col, c.Row, f.str, l)
	}
}

// indent tells whether a column stands off the one beside it: text off figures before it, and
// figures off boxes after them.
func (s *laid) indent(j int) bool {
	at := slices.Index(s.order, j)
	format := func(at int) (f reports.Format) {
		if at >= 0 && at < len(s.order) && s.order[at] < len(s.table.Columns) {
			f = s.table.Columns[s.order[at]].Format
		}
		return f
	}
	switch {
	case j >= len(s.table.Columns):
		return false
	case format(at).Numeric():
		return format(at+1).Kind == reports.KindTick
	}
	return format(at - 1).Numeric()
}

// heading is that of a column, a working column among them.
func (s *laid) heading(j int) string {
	n := len(s.table.Columns)
	switch {
	case j >= n:
		return s.extras[j-n]
	case s.table.Columns[j].Format.Kind == reports.KindTick:
		return "✓"
	}
	return s.table.Columns[j].Label()
}

func (p *page) headings(bl *block) {
	s, lines := bl.laid, 1
	for _, j := range s.order {
		col, text := s.colAt[j], s.heading(j)
		right := j >= len(s.table.Columns) || s.table.Columns[j].Format.Numeric()
		p.text(col, bl.head, text, look{bold: true, fill: inputPale, wrap: true, below: 2, right: right, indent: s.indent(j) && !right})
		lines = max(lines, headLines(text, p.widths[col-1]))
	}
	if p.filter {
		lines++ // for the buttons that filter
	}
	p.height(bl.head, headHeight(lines))
}

// headLines is how many lines a heading takes in a column.
func headLines(text string, width float64) int { return linesIn(text, (width-padding)/boldWider) }

func headHeight(lines int) float64 { return float64(lines)*rowHeight + 2 }

// row writes one row of a table; a total stands out and has a rule above.
func (p *page) row(bl *block, i int) {
	s, r := bl.laid, &bl.laid.table.Rows[i]
	l := look{rule: true}
	if r.Role == reports.Total {
		l.bold, l.above = true, 1
	}
	if bl.marked != nil && bl.marked(i) {
		l.bold = true
	}
	lines := 1
	for _, j := range s.order {
		p.put(s, i, j, l)
		if j >= len(r.Values) {
			continue
		}
		if v := r.Values[j]; v.IsText() {
			lines = max(lines, linesIn(v.Shown(reports.AsText), p.widths[s.colAt[j]-1]-padding))
		}
	}
	row := s.rowAt[i]
	if lines > 1 {
		p.height(row, min(float64(lines)*rowHeight, mostHeight))
	}
	p.grid.row(row).hidden = bl.unseen || bl.hideZero && !s.anyMoney(r)
}

// anyMoney tells whether a row holds a figure that is not nothing, or one that is unknown.
func (s *laid) anyMoney(r *reports.Row) bool {
	for j, v := range r.Values {
		if d, number := v.Decimal(); v.IsUnknown() || number && !d.IsZero() && s.table.Columns[j].Batch != "" {
			return true
		}
	}
	return false
}

// linesIn counts the lines that text takes when it is wrapped at blanks.
func linesIn(s string, width float64) int {
	if first, rest, more := strings.Cut(s, "\n"); more {
		return linesIn(first, width) + linesIn(rest, width)
	}
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

// measure gives each column the width of its longest word or number, and what the paper
// has beyond that to columns whose text would take several lines, each in proportion to
// what it lacks.
func (p *page) measure() {
	var wanted []float64
	for _, bl := range p.blocks {
		for _, j := range bl.laid.order {
			col := bl.laid.colAt[j]
			for len(wanted) < col {
				wanted = append(wanted, 0)
			}
			for len(p.widths) < col {
				p.widths = append(p.widths, leastWidth)
			}
			least, all := bl.columnWidth(j)
			p.widths[col-1], wanted[col-1] = max(p.widths[col-1], least), max(wanted[col-1], all)
		}
	}
	lack := 0.0
	for i, w := range wanted {
		wanted[i] = max(0, min(w, mostWidth)-p.widths[i])
		lack += wanted[i]
	}
	defer p.partHeads()
	if lack == 0 {
		return
	}
	share := min(1, max(0, p.roomy()-p.spread())/lack)
	for i, w := range wanted {
		p.widths[i] = math.Floor(p.widths[i] + w*share)
	}
}

// partHeads widens columns whose heading of several words would fill them in one line and touch
// that of the next.
func (p *page) partHeads() {
	for _, bl := range p.blocks {
		for _, j := range bl.laid.order {
			if bl.bare || !strings.Contains(bl.laid.heading(j), " ") {
				continue
			}
			w := &p.widths[bl.laid.colAt[j]-1]
			if head := inkWidth(bl.laid.heading(j)) * boldWider; head > *w-widthMargin && head <= *w {
				*w = math.Ceil(head + widthMargin)
			}
		}
	}
}

// columnWidth is the width a column of a block gets at least, and the one at which none of
// its text needs a second line, and its heading no third.
func (bl *block) columnWidth(j int) (least, wanted float64) {
	const longWord = 24.0 // what is longer is cut within the word
	const headLines = 2   // that a heading may take
	s := bl.laid
	if j >= len(s.table.Columns) {
		return workingWidth, workingWidth
	}
	c, off := s.table.Columns[j], widthMargin
	least = leastWidth
	if c.Format.Kind == reports.KindTick {
		least = 5
	}
	if s.indent(j) && !c.Format.Numeric() {
		off += indentWidth
	}
	if !bl.bare {
		for _, word := range strings.Fields(s.heading(j)) {
			least = max(least, inkWidth(word)*boldWider+off)
		}
		for wanted = least; linesIn(s.heading(j), (wanted-padding)/boldWider) > headLines; wanted++ {
		}
	}
	for _, i := range bl.rows {
		r := &s.table.Rows[i]
		v, bold := r.Values[j], 1.0
		if r.Role == reports.Total {
			bold = boldWider
		}
		room := shownWidth(v, v.FormatIn(c))*bold + off
		wanted = max(wanted, room)
		if v.IsText() {
			room = longestWord(v.Exact(reports.AsText))*bold + off
			room = min(room, longWord)
		}
		least = max(least, room)
	}
	return math.Ceil(least), math.Ceil(wanted)
}

// longestWord is how wide the longest word of a text is.
func longestWord(s string) (width float64) {
	for _, word := range strings.Fields(s) {
		width = max(width, inkWidth(word))
	}
	return width
}

// setWidths sets the widths of the columns, which the library allows for several
// sheets at the same time.
func (p *page) setWidths() error {
	for i, w := range p.widths {
		name := bom.ColumnLetters(i + 1)
		if err := p.f.SetColWidth(p.name, name, name, w); err != nil {
			return err
		}
	}
	return nil
}
