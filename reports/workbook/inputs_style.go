package workbook

import (
	"math"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

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

// inputStyle is all that tells one cell's look from another's.
type inputStyle struct {
	format string // number format; empty: as the spreadsheet likes
	fill   string
	colour string
	size   float64
	bold   bool
	italic bool
	wrap   bool
	line   bool
	number bool // flush right
}

// inputStyles makes each style once.
type inputStyles struct {
	f   *excelize.File
	ids map[inputStyle]int
}

func (st *inputStyles) id(s inputStyle) (int, error) {
	if id, ok := st.ids[s]; ok {
		return id, nil
	}
	size := s.size
	if size == 0 {
		size = inputSize
	}
	style := &excelize.Style{
		Font:      &excelize.Font{Family: inputFont, Size: size, Bold: s.bold, Italic: s.italic, Color: s.colour},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: s.wrap},
	}
	if s.number {
		style.Alignment.Horizontal = "right"
	} else if s.line {
		// Off the edge, so that a number in the column before does not run into it.
		style.Alignment.Horizontal, style.Alignment.Indent = "left", 1
	}
	if s.format != "" {
		style.CustomNumFmt = &s.format
	}
	if s.fill != "" {
		style.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.fill}}
	}
	if s.line {
		for _, side := range []string{"left", "top", "right", "bottom"} {
			style.Border = append(style.Border, excelize.Border{Type: side, Color: inputLine, Style: 1})
		}
	}
	id, err := st.f.NewStyle(style)
	st.ids[s] = id
	return id, err
}

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

// lineCount is how many lines text takes in a column.
func lineCount(text string, width float64) int {
	lines := 0
	for paragraph := range strings.SplitSeq(text, "\n") {
		lines += linesIn(paragraph, width)
	}
	return lines
}

// setWidths makes each column as wide as its text, within bounds; longer text is
// wrapped.
func (s *inputSheet) setWidths() {
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

func (s *inputSheet) totalWidth() float64 {
	total := 0.0
	for _, w := range s.widths {
		total += w
	}
	return total
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
func (s *inputSheet) writeColumns(f *excelize.File, styles *inputStyles) error {
	for i, c := range s.cols {
		name := bom.ColumnLetters(i + 1)
		format := blankFormat(c.form())
		if (s.tab.Name == bom.TabSettings || s.tab.Name == bom.TabRun) && c.form() == bom.FormText && c.heading != "Note" {
			format = "" // values of settings and the like: text or numbers
		}
		id, err := styles.id(inputStyle{format: format, wrap: c.form() == bom.FormText, number: c.form().Numeric()})
		if err != nil {
			return err
		}
		if err := f.SetColStyle(s.name, name, id); err != nil {
			return err
		}
		if err := f.SetColWidth(s.name, name, name, s.widths[i]); err != nil {
			return err
		}
	}
	return nil
}

// writeGuide writes the lines above the table: the first is its title.
func (s *inputSheet) writeGuide(f *excelize.File, styles *inputStyles) error {
	look := inputStyle{format: formatText, bold: true, size: 14, colour: inputDark}
	for i, text := range s.guide {
		if err := s.putRow(f, styles, i+1, []bom.Cell{{Col: 1, Text: text}}, look); err != nil {
			return err
		}
		look = inputStyle{format: formatText, colour: inputGrey}
	}
	if len(s.guide) == 0 {
		return nil
	}
	return f.SetRowHeight(s.name, 1, titleHeight)
}

// putRow writes cells as text in one look.
func (s *inputSheet) putRow(f *excelize.File, styles *inputStyles, row int, cells []bom.Cell, look inputStyle) error {
	id, err := styles.id(look)
	if err != nil {
		return err
	}
	for _, c := range cells {
		cell := at(c.Col, row)
		if err := put(f, s.name, cell, storedCell{storeText, c.Text}); err != nil {
			return err
		}
		if err := f.SetCellStyle(s.name, cell, cell, id); err != nil {
			return err
		}
	}
	return nil
}

// at names a cell.
func at(col, row int) string { return bom.Place{Row: row, Col: col}.Cell() }

// writeRows writes the table: its own title rows, the headings and the data.
func (s *inputSheet) writeRows(f *excelize.File, styles *inputStyles) error {
	for _, r := range s.table.Rows[:s.head] {
		if err := s.putRow(f, styles, r.Number+s.shift(), r.Cells, inputStyle{format: formatText, colour: inputGrey}); err != nil {
			return err
		}
	}
	if err := s.writeHeadings(f, styles); err != nil {
		return err
	}
	for _, r := range s.data() {
		if err := s.writeRow(f, styles, r); err != nil {
			return err
		}
	}
	return nil
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

func (s *inputSheet) writeHeadings(f *excelize.File, styles *inputStyles) error {
	row, lines := s.headRow(), 1
	for i, c := range s.cols {
		look := inputStyle{format: formatText, fill: inputPale, bold: true, wrap: true, line: true}
		if s.dark(c) {
			look.fill, look.colour = inputDark, "FFFFFF"
		}
		var cells []bom.Cell
		if c.heading != "" {
			cells = []bom.Cell{{Col: i + 1, Text: c.heading}}
		}
		if err := s.putRow(f, styles, row, cells, look); err != nil {
			return err
		}
		lines = max(lines, lineCount(c.heading, (s.widths[i]-filterRoom)/boldInk))
	}
	return f.SetRowHeight(s.name, row, headingRoom+lineHeight*float64(lines))
}

// writeRow writes one row of data, with a frame around empty cells as well.
func (s *inputSheet) writeRow(f *excelize.File, styles *inputStyles, r bom.Row) error {
	look := inputStyle{line: true}
	if s.isExample(r) {
		look.fill, look.italic = inputExample, true
	}
	row, lines := r.Number+s.shift(), 1
	cells := map[int]bom.Cell{}
	for _, c := range r.Cells {
		cells[c.Col] = c
	}
	for col := 1; col <= len(s.cols); col++ {
		form := s.formAt(r, col)
		cell, look := at(col, row), look
		look.format, look.number = blankFormat(form), form.Numeric()
		if s.fillsIn(r, col) {
			look.fill = inputExample
		}
		look.wrap = form == bom.FormText || form == bom.FormKey
		if c, ok := cells[col]; ok {
			if link := s.links[c.Text]; link != "" && col == s.index("File") {
				c.Text = link
			}
			stored := s.store(c, form)
			look.format, look.number = cellFormat(stored), stored.as == storeNumber
			if look.wrap {
				lines = max(lines, lineCount(c.Text, s.widths[col-1]-cellRoom))
			}
			if err := put(f, s.name, cell, stored); err != nil {
				return err
			}
		}
		id, err := styles.id(look)
		if err != nil {
			return err
		}
		if err := f.SetCellStyle(s.name, cell, cell, id); err != nil {
			return err
		}
	}
	if lines == 1 {
		return nil // the height that the spreadsheet gives one line
	}
	return f.SetRowHeight(s.name, row, min(tallestRow, lineHeight*float64(lines)))
}
