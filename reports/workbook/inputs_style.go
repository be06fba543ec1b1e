package workbook

import (
	"math"
	"slices"
	"strings"

	"tenoff/bom"
)

// The look: one dark colour for what must be filled in, a pale one for what may,
// and a tint with italics, which also show in black and white, for examples.
const (
	inputFont    = "Arial"
	inputSize    = 10
	inputDark    = "31504A"
	inputPale    = "DDE7E2"
	inputExample = "FAF1D9"
	inputLine    = "C9D1CD"
	inputInk     = "1F4E8C" // of a figure that may be changed
	inputGrey    = "5A6561"
)

// The number formats of cells that are not plain numbers.
const (
	formatText = "@"
	formatDate = "yyyy-mm-dd"
)

// blankFormat is the number format of cells that are still to be filled in.
// Numbers get none: a fixed number of decimals would hide what is typed.
func blankFormat(form bom.Form) string {
	switch {
	case form == bom.FormDate:
		return formatDate
	case form.Numeric():
		return ""
	}
	return formatText
}

// cellFormat is the number format of a stored cell; a number shows all the
// decimals that were typed.
func cellFormat(c storedCell) string {
	switch c.as {
	case storeDate:
		return formatDate
	case storeText:
		return formatText
	}
	_, decimals, dot := strings.Cut(c.text, ".")
	if !dot {
		return "0"
	}
	return "0." + strings.Repeat("0", len(decimals))
}

// Widths of columns, in widths of a digit.
const (
	narrowest  = 8.0
	widestKey  = 30.0
	widestText = 50.0
	noteWidth  = 36.0 // of the column for notes, at least
	cellRoom   = 2.5  // for the gap at either side
	filterRoom = 3.0  // for the button that filters
	boldInk    = 1.08 // of bold text against plain
)

// Heights of rows, in points.
const (
	titleHeight = 21
	lineHeight  = 12.75
	tallestRow  = 409 // of a workbook
	headingRoom = 5
)

// fitColumns makes each column as wide as its text, within bounds; longer text is
// wrapped.
func (s *inputSheet) fitColumns() {
	s.widths = make([]float64, len(s.cols))
	for i, c := range s.cols {
		least, most := narrowest, widestKey
		for word := range strings.FieldsSeq(c.heading) {
			least = max(least, inkWidth(word)*boldInk+filterRoom)
		}
		if c.form() == bom.FormText {
			most = widestText
		}
		if c.def != nil && c.def.Heading == "Note" {
			least = noteWidth
		}
		wide := least
		for _, r := range s.data() {
			wide = max(wide, inkWidth(textIn(r, i+1))+cellRoom)
		}
		s.widths[i] = math.Ceil(min(wide, max(most, least)))
	}
}

// wrapWords breaks text into lines of at most a width where words allow it.
func wrapWords(text string, width float64) []string {
	var lines []string
	for word := range strings.FieldsSeq(text) {
		if n := len(lines); n > 0 && inkWidth(lines[n-1]+" "+word) <= width {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// writeColumns sets widths and the look of cells that are still empty: cells for
// text are text before anything is typed, so that no spreadsheet takes 10-12 for
// a date.
func (s *inputSheet) writeColumns() {
	s.keep(s.setWidths())
	for i, c := range s.cols {
		format := blankFormat(c.form())
		if (s.tab.Name == bom.TabSettings || s.tab.Name == bom.TabRun) && c.form() == bom.FormText && c.heading != "Note" {
			format = "" // values of settings and the like: text or numbers
		}
		id, err := s.makeStyle(look{format: format, wrap: c.form() == bom.FormText, right: c.form().Numeric()})
		s.keep(err)
		s.keep(s.f.SetColStyle(s.name, bom.ColumnLetters(i+1), id))
	}
}

// writeGuide writes the lines above the table: the first is its title.
func (s *inputSheet) writeGuide() {
	l := look{format: formatText, bold: true, size: 14, colour: inputDark}
	for i, text := range s.guide {
		s.text(1, i+1, text, l)
		l = look{format: formatText, colour: inputGrey}
	}
	if len(s.guide) > 0 {
		s.height(1, titleHeight)
	}
}

// at names a cell.
func at(col, row int) string { return bom.Place{Row: row, Col: col}.Cell() }

// writeRows writes the table: its own title rows, the headings and the data.
func (s *inputSheet) writeRows() {
	for _, r := range s.table.Rows[:s.head] {
		for _, c := range r.Cells {
			s.put(c.Col, r.Number+s.shift(), storedCell{storeText, c.Text}, look{format: formatText, colour: inputGrey})
		}
	}
	s.writeHeadings()
	for _, r := range s.data() {
		s.writeRow(r)
	}
}

// fills tells whether some columns are filled in while a run is made.
func (s *inputSheet) fills() bool {
	return slices.ContainsFunc(s.cols, func(c inputColumn) bool { return c.def != nil && c.def.Fill })
}

// fillsIn tells whether a cell is filled in while a run is made.
func (s *inputSheet) fillsIn(r bom.Row, col int) bool {
	def := s.cols[col-1].def
	if def == nil || !def.Fill || s.tab.Name != bom.TabRun {
		return def != nil && def.Fill
	}
	return slices.ContainsFunc(bom.RunItems, func(i bom.RunItem) bool { return i.Fill && i.Name == textIn(r, s.index("Item")) })
}

// dark tells whether a heading is dark: what must be filled in, or what is while a run is
// made.
func (s *inputSheet) dark(c inputColumn) bool {
	if c.def == nil {
		return false
	}
	return c.def.Fill || c.def.Required && !s.run
}

func (s *inputSheet) writeHeadings() {
	row, lines := s.headRow(), 1
	for i, c := range s.cols {
		l := look{format: formatText, fill: inputPale, bold: true, wrap: true, box: inputLine, indent: true}
		if s.dark(c) {
			l.fill, l.colour = inputDark, "FFFFFF"
		}
		if c.heading != "" {
			s.put(i+1, row, storedCell{storeText, c.heading}, l)
		}
		lines = max(lines, linesIn(c.heading, (s.widths[i]-filterRoom)/boldInk))
	}
	s.height(row, headingRoom+lineHeight*float64(lines))
}

// writeRow writes one row of data, with a frame around empty cells as well.
func (s *inputSheet) writeRow(r bom.Row) {
	like := look{box: inputLine}
	if s.isExample(r) {
		like.fill, like.italic = inputExample, true
	}
	row, lines := r.Number+s.shift(), 1
	cells := map[int]bom.Cell{}
	for _, c := range r.Cells {
		cells[c.Col] = c
	}
	for col := 1; col <= len(s.cols); col++ {
		form, l := s.formAt(r, col), like
		l.format, l.right = blankFormat(form), form.Numeric()
		if s.fillsIn(r, col) {
			l.fill = inputExample
		}
		l.wrap = form == bom.FormText || form == bom.FormKey
		c, ok := cells[col]
		if !ok {
			l.indent = !l.right
			s.paint(col, row, l)
			continue
		}
		if link := s.links[c.Text]; link != "" && col == s.index("File") {
			c.Text = link
		}
		stored := s.store(c, form)
		l.format, l.right = cellFormat(stored), stored.as == storeNumber
		l.indent = !l.right // off the edge, so that a number in the column before does not run into it
		if l.wrap {
			lines = max(lines, linesIn(c.Text, s.widths[col-1]-cellRoom))
		}
		s.put(col, row, stored, l)
	}
	if lines > 1 { // else the height that the spreadsheet gives one line
		s.height(row, min(tallestRow, lineHeight*float64(lines)))
	}
}
