package workbook

import (
	"cmp"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
)

// InputsOptions tells WriteInputs what the tables are.
type InputsOptions struct {
	// Title names the run in the page footers and the document's properties;
	// it may be empty.
	Title string
	// BOM says that the tables are bills of materials, the unit's own first, each
	// of which becomes a sheet named as its file. A cell under File that names
	// another of them names its sheet in the workbook instead, "#main-board".
	// Unless BOM or Run is set, the tables are tabs of one price sheet.
	BOM bool
	// Run says that the tables are the tabs of an actuals workbook.
	Run bool
	// Starter lists on each sheet the documented columns that the table leaves
	// out, for somebody who begins with it.
	Starter bool
}

// WriteInputs writes bills of materials or the tabs of a price sheet as one
// workbook that a person can keep filling in, and that reads back as the tables
// it was made from. Tabs stand in their documented order.
//
// Headings, cells and their order stay as they stand in the tables. A table that
// begins with its headings gets a title and a line of guidance above them; one
// that has title rows of its own keeps those. Figures, dates and percentages
// become stored numbers with the digits that were typed; what is no figure, reads
// two ways or would lose digits stays text, as part numbers, designators, order
// codes and values always do. Headings carry notes, columns drop-downs and input
// checks, all from the documented columns of package bom.
//
// The same tables give the same bytes. An error names the table that is no tab of
// a price sheet, stands there twice or has no heading row, or the cell that is too
// long for a workbook; nothing is written then.
func WriteInputs(w io.Writer, tables []bom.Table, opt InputsOptions) error {
	sheets, err := inputSheets(tables, opt)
	if err != nil {
		return err
	}
	return write(w, &cost.Estimate{}, Options{}, func(b *book) error {
		b.keep(b.f.SetDocProps(&excelize.DocProperties{Title: opt.Title, Creator: application, LastModifiedBy: application}))
		for _, s := range sheets {
			s.page = b.newPage(s.name, "")
			b.addSheet(s.page)
			s.write(opt)
		}
		return b.err
	})
}

// inputSheet is one table on its way into the workbook.
type inputSheet struct {
	*page // where it is written
	name  string
	title string
	tab   *bom.Tab
	table *bom.Table
	head  int           // index of the heading row in the table
	cols  []inputColumn // from column 1 on, without gaps
	mark  bom.DecimalMark
	typed bool // figures with a mark in them stay as typed

	run   bool              // it is a tab of an actuals workbook
	links map[string]string // cell under File -> the sheet that it stands for

	guide []string // lines above the table
}

// inputColumn is one column of the sheet.
type inputColumn struct {
	heading string      // as it stands in the table
	def     *bom.Column // nil where the heading is not known
	step    bool        // a price-break column
}

// form is how cells of the column are written.
func (c inputColumn) form() bom.Form {
	switch {
	case c.step:
		return bom.FormMoney
	case c.def == nil:
		return bom.FormText
	}
	return c.def.Form
}

// inputSheets matches tables with tabs and puts them in order.
func inputSheets(tables []bom.Table, opt InputsOptions) ([]*inputSheet, error) {
	if len(tables) == 0 {
		return nil, fmt.Errorf("no table to write")
	}
	var sheets []*inputSheet
	taken := map[string]bool{}
	for i := range tables {
		s := &inputSheet{table: &tables[i], run: opt.Run}
		name := cmp.Or(tables[i].Sheet, bom.Stem(tables[i].File))
		if opt.BOM {
			s.tab, s.name = &bom.BOMTab, freeName(name, taken)
			s.title = "bill of materials: " + name
		} else {
			find, of := bom.PriceTab, "a price sheet"
			if opt.Run {
				find, of = bom.RunTab, "an actuals workbook"
			}
			tab, ok := find(name)
			if !ok {
				return nil, fmt.Errorf("%s: %s is no tab of %s", tables[i].At(0, 0), bom.Shown(name), of)
			}
			if taken[tab.Name] {
				return nil, fmt.Errorf("%s: the tab %s stands there twice", tables[i].At(0, 0), tab.Name)
			}
			taken[tab.Name] = true
			s.tab, s.name, s.title = tab, tab.Name, tab.Name
		}
		if err := s.readColumns(); err != nil {
			return nil, err
		}
		sheets = append(sheets, s)
	}
	if opt.BOM {
		linkSheets(sheets)
		return sheets, nil
	}
	order := bom.PriceTabs
	if opt.Run {
		order = bom.RunTabs
	}
	at := func(s *inputSheet) int {
		return slices.IndexFunc(order, func(t bom.Tab) bool { return t.Name == s.name })
	}
	slices.SortStableFunc(sheets, func(a, b *inputSheet) int { return at(a) - at(b) })
	return sheets, nil
}

// sheetMark opens a cell under File that names a sheet of the same workbook.
const sheetMark = "#"

// linkSheets finds which cells under File name tables that become sheets here.
func linkSheets(sheets []*inputSheet) {
	for _, s := range sheets {
		s.links = map[string]string{}
		col := s.index("File")
		for _, r := range s.data() {
			text := textIn(r, col)
			if text == "" {
				continue
			}
			target := path.Join(path.Dir(s.table.File), strings.ReplaceAll(text, `\`, "/"))
			if strings.HasPrefix(text, sheetMark) {
				target = path.Clean(s.table.File) + text
			}
			for _, o := range sheets {
				if target == o.source() {
					s.links[text] = sheetMark + o.name
				}
			}
		}
	}
}

// source names the table as a cell under File would: a CSV file, or a sheet of
// a workbook.
func (s *inputSheet) source() string {
	if s.table.Sheet == "" {
		return path.Clean(s.table.File)
	}
	return path.Clean(s.table.File) + sheetMark + s.table.Sheet
}

// sheetNameLimit is the longest name of a sheet, in characters.
const sheetNameLimit = 31

// freeName makes a sheet name of a file name: without the characters that
// workbooks forbid or that would part it from a file's name, and not taken
// without regard to case.
func freeName(name string, taken map[string]bool) string {
	name = strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]'#`, r) || r < ' ' || r > 0xFFFF {
			return '-'
		}
		return r
	}, name)), " ")
	name = cmp.Or(name, bom.BOMTab.Name)
	for n := 1; ; n++ {
		tail := ""
		if n > 1 {
			tail = fmt.Sprintf(" %d", n)
		}
		runes := []rune(name)
		try := string(runes[:min(len(runes), sheetNameLimit-len(tail))]) + tail
		if !taken[strings.ToLower(try)] {
			taken[strings.ToLower(try)] = true
			return try
		}
	}
}

// headingSearch is how many rows may hold the heading row.
const headingSearch = 30

// readColumns finds the heading row and what each column is.
func (s *inputSheet) readColumns() error {
	s.head = slices.IndexFunc(s.table.Rows[:min(len(s.table.Rows), headingSearch)], func(r bom.Row) bool {
		n := 0
		for _, c := range r.Cells {
			if col := s.column(c.Text); col.def != nil || col.step {
				n++
			}
		}
		return n >= 2
	})
	if s.head < 0 {
		return fmt.Errorf("%s: no heading row for %s was found", s.table.At(0, 0), s.tab.Name)
	}
	last := 0
	for _, r := range s.table.Rows[s.head:] {
		last = max(last, r.Cells[len(r.Cells)-1].Col)
	}
	s.cols = make([]inputColumn, last)
	for _, c := range s.table.Rows[s.head].Cells {
		s.cols[c.Col-1] = s.column(c.Text)
	}
	s.readMark()
	return nil
}

func (s *inputSheet) column(heading string) inputColumn {
	c := inputColumn{heading: heading}
	if def, ok := s.tab.Find(heading); ok {
		c.def = def
		return c
	}
	if s.tab.Name == bom.TabOffers && strings.HasPrefix(heading, bom.BreakMark) {
		from, err := bom.ParseWhole(strings.TrimPrefix(heading, bom.BreakMark), bom.MarkUnknown)
		c.step = err == nil && from > 0
	}
	return c
}

// index gives the column, from 1, under a documented heading; 0 for none.
func (s *inputSheet) index(heading string) int {
	return 1 + slices.IndexFunc(s.cols, func(c inputColumn) bool { return c.def != nil && c.def.Heading == heading })
}

// data gives the rows under the headings.
func (s *inputSheet) data() []bom.Row { return s.table.Rows[s.head+1:] }

// shift is how many rows lower than in the table everything stands.
func (s *inputSheet) shift() int { return len(s.guide) }

// headRow is the row of the headings on the sheet.
func (s *inputSheet) headRow() int { return s.table.Rows[s.head].Number + s.shift() }

// lastRow is the last row on the sheet that holds anything.
func (s *inputSheet) lastRow() int { return s.table.Rows[len(s.table.Rows)-1].Number + s.shift() }

// setting gives the documented setting that a row is about, nil where the sheet
// holds none or the row names none.
func (s *inputSheet) setting(r bom.Row) *bom.SettingDef {
	if s.tab.Name != bom.TabSettings {
		return nil
	}
	def, ok := bom.FindSetting(textIn(r, s.index("Setting")))
	if !ok {
		return nil
	}
	return def
}

// valueHeadings are the columns of the tab settings that hold values of the
// row's setting.
var valueHeadings = []string{"Value", "Low", "High"}

// formAt is how the cell of a row in a column is written.
func (s *inputSheet) formAt(r bom.Row, col int) bom.Form {
	c := s.cols[col-1]
	if def := s.setting(r); def != nil && c.def != nil && slices.Contains(valueHeadings, c.def.Heading) {
		return def.Form
	}
	if s.tab.Name == bom.TabRun && c.form() == bom.FormText && c.heading != "Note" {
		for _, item := range bom.RunItems {
			if item.Name == textIn(r, s.index("Item")) {
				return item.Form
			}
		}
	}
	return c.form()
}

// textIn gives the text of a row in a column; empty where nothing stands.
func textIn(r bom.Row, col int) string {
	for _, c := range r.Cells {
		if c.Col == col {
			return c.Text
		}
	}
	return ""
}

// write fills the sheet. The order matters: a style of a column would replace
// those of its cells, and the place of a note hangs on widths and heights.
func (s *inputSheet) write(opt InputsOptions) {
	s.fitColumns()
	if s.table.Rows[s.head].Number == 1 {
		s.guide = s.guidance(opt.Starter)
	}
	s.writeColumns()
	s.writeGuide()
	s.writeRows()
	s.writeNotes()
	s.writeChecks()
	s.setUpPage(opt.Title)
}
