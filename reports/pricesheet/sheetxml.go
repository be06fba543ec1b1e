package pricesheet

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// sheetWriter finds what changes in the XML of a sheet (ECMA-376 part 1, 18.3.1).
type sheetWriter struct {
	*Edit
	dates    map[int]bool // styles that show dates
	date1904 bool
	replaced []string // cells whose formulas are replaced

	*walk
	prefix  string // of the elements of the sheet
	cols    []colStyle
	rows    []sheetRow
	data    piece // sheetData
	splices []splice
}

// colStyle is a run of columns with a style of their own.
type colStyle struct{ first, last, style int }

// sheetRow is a row as it stands in the XML.
type sheetRow struct {
	piece
	number int
	cells  []sheetCell
}

// sheetCell is a cell as it stands in the XML.
type sheetCell struct {
	at      span
	col     int
	style   int
	formula string // its kind: normal, shared, master, array; empty where it has none
}

// write gives what changes.
func (s *sheetWriter) write(k *walk) ([]splice, error) {
	s.walk = k
	if err := s.readAll(); err != nil {
		return nil, err
	}
	if err := s.fillRows(); err != nil {
		return nil, err
	}
	return s.splices, nil
}

// readAll walks through the sheet, and refuses what cannot be written into.
func (s *sheetWriter) readAll() error {
	for {
		if err := s.next(); err != nil {
			return err
		}
		switch {
		case s.token.Kind == markup.Done:
			return nil
		case s.token.Kind != markup.Start:
			continue
		case s.Depth() == 1:
			s.prefix = s.tagPrefix()
		}
		if s.Depth() < 2 {
			continue
		}
		if err := s.element2(s.token.Name); err != nil {
			return err
		}
	}
}

// element2 reads an element of the sheet.
func (s *sheetWriter) element2(name string) error {
	switch {
	case s.Depth() == 2 && name == "sheetProtection" && s.Truth("sheet"):
		return refuse("lift the protection in the spreadsheet", "the sheet %s is protected", s.table.Sheet)
	case s.Depth() == 2 && name == "dimension":
		s.moveRef(func(b block) block {
			b.bottom, b.right = max(b.bottom, s.lastRow()), max(b.right, s.lastCol())
			return b
		})
	case s.Depth() == 2 && name == "autoFilter":
		s.moveRef(s.grown)
	case s.Depth() == 3 && name == "col":
		style, _ := strconv.Atoi(string(s.Bare("style"))) // 0 where there is none
		s.cols = append(s.cols, colStyle{number(string(s.Bare("min"))), number(string(s.Bare("max"))), style})
	case s.Depth() == 3 && name == "mergeCell":
		b, ok := readBlock(string(s.Bare("ref")))
		if ok && b.bottom > s.head.Row && b.top <= s.lastRow() && b.left <= s.lastCol() && len(s.Cells) > 0 && s.touches(b) {
			return refuse("unmerge them", "the cells %s of the sheet %s are merged", b, s.table.Sheet)
		}
	case s.Depth() == 2 && name == "sheetData":
		return s.readRows()
	}
	return nil
}

// touches tells whether merged cells are among the offers or where rows are
// added.
func (s *sheetWriter) touches(b block) bool {
	if b.bottom > s.last {
		return b.top <= s.lastRow()
	}
	return b.top > s.head.Row || b.bottom > s.head.Row+1
}

// moveRef replaces the range of the element that just started.
func (s *sheetWriter) moveRef(move func(block) block) {
	if b, ok := readBlock(string(s.Bare("ref"))); ok && move(b) != b {
		s.splices = append(s.splices, splice{s.tag(), withAttribute(s.walk.text(s.tag()), "ref", move(b).String())})
	}
}

// lastCol is the last column that is written into.
func (e *Edit) lastCol() int {
	last := e.width
	for _, c := range e.Cells {
		last = max(last, c.Col)
	}
	return last
}

// readRows reads where the rows and cells stand.
func (s *sheetWriter) readRows() error {
	var err error
	s.data, err = s.walk.element(func() error {
		if s.token.Name != "row" {
			return nil
		}
		r := sheetRow{number: 1}
		if n := len(s.rows); n > 0 {
			r.number = s.rows[n-1].number + 1
		}
		if at := s.Bare("r"); at != nil {
			r.number = number(string(at))
		}
		r.piece, err = s.walk.element(func() error {
			if s.token.Name != "c" {
				return nil
			}
			c, err := s.readCell(&r)
			r.cells = append(r.cells, c)
			return err
		})
		s.rows = append(s.rows, r)
		return err
	})
	return err
}

func (s *sheetWriter) readCell(r *sheetRow) (sheetCell, error) {
	c := sheetCell{col: 1}
	if n := len(r.cells); n > 0 {
		c.col = r.cells[n-1].col + 1
	}
	if b, ok := readBlock(string(s.Bare("r"))); ok {
		c.col = b.left
	}
	c.style, _ = strconv.Atoi(string(s.Bare("s"))) // 0 where there is none
	p, err := s.walk.element(func() error {
		if s.token.Name != "f" {
			return nil
		}
		c.formula = cmp.Or(string(s.Bare("t")), "normal")
		if c.formula == "shared" && s.Bare("ref") != nil {
			c.formula = "master"
		}
		return nil
	})
	c.at = span{p.tag.start, p.end}
	return c, err
}

// fillRows writes the cells into their rows.
func (s *sheetWriter) fillRows() error {
	at := map[int]int{} // row -> index
	for i, r := range s.rows {
		at[r.number] = i
	}
	for i := 0; i < len(s.Cells); {
		cells := s.inRow(s.Cells[i].Row)
		i += len(cells)
		number := cells[0].Row
		if k, ok := at[number]; ok {
			if err := s.fillRow(&s.rows[k], cells); err != nil {
				return err
			}
			continue
		}
		s.insertRow(number, s.whole(number, cells))
	}
	if !s.data.closed() {
		return nil
	}
	return s.openData()
}

// openData puts rows into a sheet that has had none.
func (s *sheetWriter) openData() error {
	text := ""
	s.splices = slices.DeleteFunc(s.splices, func(p splice) bool {
		if p.at.start != s.data.end || p.at.end != s.data.end {
			return false
		}
		text += p.text
		return true
	})
	tag := strings.TrimRight(strings.TrimSuffix(s.walk.text(s.data.tag), "/>"), " \t\r\n")
	s.splices = append(s.splices, splice{s.data.tag, tag + ">" + text + "</" + s.prefix + "sheetData>"})
	return nil
}

// insertRow puts a row that the sheet does not have before the next that it has.
func (s *sheetWriter) insertRow(number int, text string) {
	i, _ := slices.BinarySearchFunc(s.rows, number, func(r sheetRow, n int) int { return r.number - n })
	at := s.data.inner.end
	if i < len(s.rows) {
		at = s.rows[i].tag.start
	}
	s.splices = append(s.splices, splice{span{at, at}, text})
}

// fillRow writes cells into a row that the sheet has.
func (s *sheetWriter) fillRow(r *sheetRow, cells []Cell) error {
	if r.closed() {
		text := s.walk.text(r.tag)
		tag := strings.TrimRight(strings.TrimSuffix(text, "/>"), " \t\r\n") + ">"
		for _, c := range cells {
			tag += s.cellXML(c, s.styleFor(c))
		}
		s.splices = append(s.splices, splice{r.tag, tag + "</" + s.prefix + "row>"})
		return nil
	}
	if spans := s.spansOf(r, cells[len(cells)-1].Col); spans != "" {
		s.splices = append(s.splices, splice{r.tag, withAttribute(s.walk.text(r.tag), "spans", spans)})
	}
	for _, c := range cells {
		i, found := slices.BinarySearchFunc(r.cells, c.Col, func(had sheetCell, col int) int { return had.col - col })
		switch {
		case !found && c.Value.Kind == Blank:
		case !found:
			at := r.inner.end
			if i < len(r.cells) {
				at = r.cells[i].at.start
			}
			s.splices = append(s.splices, splice{span{at, at}, s.cellXML(c, s.styleFor(c))})
		default:
			had := r.cells[i]
			if had.formula == "master" || had.formula == "array" || had.formula == "dataTable" {
				return refuse("type a figure in its place", "the formula in %s of the sheet %s is shared by other cells", cellName(c.Row, c.Col), s.table.Sheet)
			}
			if had.formula != "" {
				s.replaced = append(s.replaced, cellName(c.Row, c.Col))
			}
			s.splices = append(s.splices, splice{had.at, s.cellXML(c, had.style)})
		}
	}
	return nil
}

// spansOf is the hint of a row about its columns, where it has one that a new
// cell lies beyond.
func (s *sheetWriter) spansOf(r *sheetRow, col int) string {
	tag := s.walk.text(r.tag)
	i := strings.Index(tag, ` spans="`)
	if i < 0 {
		return ""
	}
	value, _, _ := strings.Cut(tag[i+len(` spans="`):], `"`)
	first, last, ok := strings.Cut(value, ":")
	if !ok || strings.Contains(last, " ") || number(last) >= col {
		return ""
	}
	return first + ":" + strconv.Itoa(col)
}

// whole writes a row that is new: its cells, and cells without content as they
// are formatted in the last row above.
func (s *sheetWriter) whole(number int, cells []Cell) string {
	like := s.likeRow()
	attrs := ""
	if like != nil {
		tag := s.walk.text(like.tag)
		for _, name := range []string{"s", "customFormat", "ht", "customHeight"} {
			if v, ok := attribute(tag, name); ok {
				attrs += " " + name + `="` + v + `"`
			}
		}
	}
	var b strings.Builder
	b.WriteString("<" + s.prefix + `row r="` + strconv.Itoa(number) + `"` + attrs + ">")
	k := 0
	empty := func(below int) {
		for ; like != nil && k < len(like.cells) && like.cells[k].col < below; k++ {
			if had := like.cells[k]; had.style != 0 {
				b.WriteString("<" + s.prefix + `c r="` + cellName(number, had.col) + `" s="` + strconv.Itoa(had.style) + `"/>`)
			}
		}
		if like != nil && k < len(like.cells) && like.cells[k].col == below {
			k++
		}
	}
	for _, c := range cells {
		empty(c.Col)
		b.WriteString(s.cellXML(c, s.styleFor(c)))
	}
	empty(1 << 20)
	b.WriteString("</" + s.prefix + "row>")
	return b.String()
}

// likeRow is the row that new ones look like: the last that holds an offer; nil
// where there is none.
func (s *sheetWriter) likeRow() *sheetRow {
	if r := s.rowUpTo(s.last); r != nil && r.number == s.last && s.last > s.head.Row {
		return r
	}
	return nil
}

// rowUpTo is the row of a number, or the nearest above it; nil where none is.
func (s *sheetWriter) rowUpTo(number int) *sheetRow {
	i, found := slices.BinarySearchFunc(s.rows, number, func(r sheetRow, n int) int { return r.number - n })
	if !found {
		i--
	}
	if i < 0 {
		return nil
	}
	return &s.rows[i]
}

// styleFor is the style of a cell that is new: that of the cell above it, else
// that of the column. A new column looks like another.
func (s *sheetWriter) styleFor(c Cell) int {
	col := c.Col
	if like, added := s.like[c.Col]; added {
		switch {
		case c.Row == s.head.Row && like == 0:
			col = s.width
		case like == 0:
			return 0
		default:
			col = like
		}
	}
	row := c.Row
	if col == c.Col {
		row--
	}
	if r := s.rowUpTo(min(row, max(s.last, s.head.Row))); r != nil && (r.number > s.head.Row || c.Row <= s.head.Row) {
		if k, found := slices.BinarySearchFunc(r.cells, col, func(had sheetCell, n int) int { return had.col - n }); found {
			return r.cells[k].style
		}
	}
	for _, run := range s.cols {
		if run.first <= col && col <= run.last {
			return run.style
		}
	}
	return 0
}

// attribute gives the value of an attribute of a tag as it stands.
func attribute(tag, name string) (value string, ok bool) {
	_, rest, ok := strings.Cut(tag, " "+name+`="`)
	value, _, closed := strings.Cut(rest, `"`)
	return value, ok && closed
}

// spreadsheetZero is day 0 of the spreadsheets' calendars (ECMA-376 part 1,
// 18.17.4.1).
func spreadsheetZero(date1904 bool) bom.Date {
	if date1904 {
		return bom.Date{Year: 1904, Month: 1, Day: 1}
	}
	return bom.Date{Year: 1899, Month: 12, Day: 30}
}

// cellXML writes a cell. A date is stored as one where the style shows dates, else
// as the text that the reader takes.
func (s *sheetWriter) cellXML(c Cell, style int) string {
	open := "<" + s.prefix + `c r="` + cellName(c.Row, c.Col) + `"`
	if style != 0 {
		open += ` s="` + strconv.Itoa(style) + `"`
	}
	stored := func(number string) string {
		return open + "><" + s.prefix + "v>" + number + "</" + s.prefix + "v></" + s.prefix + "c>"
	}
	switch v := c.Value; {
	case v.Kind == Blank:
		return open + "/>"
	case v.Kind == Number:
		return stored(v.Number.String())
	case v.Kind == Date && s.dates[style]:
		return stored(strconv.Itoa(spreadsheetZero(s.date1904).DaysUntil(v.Date)))
	}
	p := s.prefix
	return open + ` t="inlineStr"><` + p + "is><" + p + `t>` + escape(c.Value.plain()) + "</" + p + "t></" + p + "is></" + p + "c>"
}
