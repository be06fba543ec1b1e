package workbook_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/fixtures"
	"tenoff/reports/workbook"
)

// csvTable reads a comma-separated file as it stands.
func csvTable(t *testing.T, files fs.FS, name string) bom.Table {
	t.Helper()
	data, err := fs.ReadFile(files, name)
	if err != nil {
		t.Fatal(err)
	}
	return csvText(t, name, string(data))
}

func csvText(t *testing.T, name, text string) bom.Table {
	t.Helper()
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	table := bom.Table{File: name, Separator: ','}
	for i, record := range records {
		row := bom.Row{Number: i + 1}
		for j, text := range record {
			if text = strings.TrimSpace(text); text != "" {
				row.Cells = append(row.Cells, bom.Cell{Col: j + 1, Text: text})
			}
		}
		if len(row.Cells) > 0 {
			table.Rows = append(table.Rows, row)
		}
	}
	return table
}

// job is one call of WriteInputs on files that come with the program.
type job struct {
	name   string
	tables []bom.Table
	opt    workbook.InputsOptions
}

// tab finds the tab that a sheet holds.
func (j job) tab(sheet string) (*bom.Tab, bool) {
	if j.opt.Run {
		return bom.RunTab(sheet)
	}
	return bom.PriceTab(sheet)
}

func jobs(t *testing.T) []job {
	t.Helper()
	var out []job
	add := func(name string, files fs.FS, starter bool) {
		var lists, tabs, made []bom.Table
		err := fs.WalkDir(files, ".", func(p string, d fs.DirEntry, err error) error {
			switch {
			case err != nil || path.Ext(p) != ".csv" || path.Dir(p) == "quotes" || p == fixtures.RunFile:
			case path.Dir(p) == "prices":
				tabs = append(tabs, csvTable(t, files, p))
			case path.Dir(p) == "made":
				made = append(made, csvTable(t, files, p))
			case p == "unit.csv":
				lists = append([]bom.Table{csvTable(t, files, p)}, lists...)
			default:
				lists = append(lists, csvTable(t, files, p))
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out,
			job{name + " bill of materials", lists, workbook.InputsOptions{Title: name, BOM: true, Starter: starter}},
			job{name + " price sheet", tabs, workbook.InputsOptions{Title: name, Starter: starter}})
		if made != nil {
			out = append(out, job{name + " as it was made", made, workbook.InputsOptions{Title: name, Run: true}})
		}
	}
	for _, d := range fixtures.Demos() {
		add(d.Name, d.Files, false)
	}
	add("start", fixtures.Starter(), true)
	return out
}

func write(t *testing.T, tables []bom.Table, opt workbook.InputsOptions) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(writeBytes(t, tables, opt)))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func writeBytes(t *testing.T, tables []bom.Table, opt workbook.InputsOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := workbook.WriteInputs(&b, tables, opt); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// headRow finds the row whose cells are those of the table's first row.
func headRow(t *testing.T, f *excelize.File, sheet, first string) int {
	t.Helper()
	for row := 1; row <= 30; row++ {
		if raw(t, f, sheet, 1, row) == first {
			return row
		}
	}
	t.Fatalf("%s: no row begins with %s", sheet, first)
	return 0
}

func raw(t *testing.T, f *excelize.File, sheet string, col, row int) string {
	t.Helper()
	v, err := f.GetCellValue(sheet, cellName(col, row), excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func cellName(col, row int) string { return bom.ColumnLetters(col) + strconv.Itoa(row) }

func isNumber(t *testing.T, f *excelize.File, sheet string, col, row int) bool {
	t.Helper()
	kind, err := f.GetCellType(sheet, cellName(col, row))
	if err != nil {
		t.Fatal(err)
	}
	return kind == excelize.CellTypeUnset || kind == excelize.CellTypeNumber
}

// What is written reads back cell by cell, digits and all, from every table that
// comes with the program.
func TestInputsReadBack(t *testing.T) {
	for _, j := range jobs(t) {
		t.Run(j.name, func(t *testing.T) {
			f := write(t, j.tables, j.opt)
			if got := len(f.GetSheetList()); got != len(j.tables) {
				t.Fatalf("%d sheets for %d tables", got, len(j.tables))
			}
			cells := 0
			for _, table := range j.tables {
				sheet := strings.TrimSuffix(path.Base(table.File), ".csv")
				if !j.opt.BOM {
					tab, _ := j.tab(sheet)
					sheet = tab.Name
				}
				shift := headRow(t, f, sheet, table.Rows[0].Cells[0].Text) - 1
				for _, r := range table.Rows {
					for _, c := range r.Cells {
						got := raw(t, f, sheet, c.Col, r.Number+shift)
						if _, ok := bom.ParseDate(c.Text); ok {
							got = dateOf(t, got)
						}
						if name, ok := strings.CutPrefix(got, "#"); ok && j.opt.BOM {
							got = name + ".csv" // a list that is a sheet of the same workbook
						}
						if got != c.Text {
							t.Errorf("%s %s: %q became %q", sheet, cellName(c.Col, r.Number+shift), c.Text, got)
						}
						cells++
					}
				}
			}
			if cells < 40 {
				t.Errorf("only %d cells were compared", cells)
			}
		})
	}
}

func dateOf(t *testing.T, serial string) string {
	t.Helper()
	days, err := strconv.ParseFloat(serial, 64)
	if err != nil {
		t.Fatalf("%q is not stored as a date", serial)
	}
	when, err := excelize.ExcelDateToTime(days, false)
	if err != nil {
		t.Fatal(err)
	}
	return when.Format(time.DateOnly)
}

// Tabs come in documented order whatever order the files were listed in.
func TestInputsTabOrder(t *testing.T) {
	for _, j := range jobs(t) {
		if j.opt.BOM {
			continue
		}
		f := write(t, j.tables, j.opt)
		next := 0
		names := bom.TabNames()
		if j.opt.Run {
			names = nil
			for _, tab := range bom.RunTabs {
				names = append(names, tab.Name)
			}
		}
		for _, sheet := range f.GetSheetList() {
			for next < len(names) && names[next] != sheet {
				next++
			}
			if next == len(names) {
				t.Errorf("%s: %s stands out of order in %v", j.name, sheet, f.GetSheetList())
				break
			}
		}
	}
}

func TestInputsStable(t *testing.T) {
	for _, j := range jobs(t) {
		first := writeBytes(t, j.tables, j.opt)
		for range 5 {
			if !bytes.Equal(first, writeBytes(t, j.tables, j.opt)) {
				t.Errorf("%s: the bytes differ from one writing to the next", j.name)
				break
			}
		}
	}
}

// Every heading explains itself, and what is closed or numeric is checked.
func TestInputsNotesAndChecks(t *testing.T) {
	for _, j := range jobs(t) {
		f := write(t, j.tables, j.opt)
		for _, sheet := range f.GetSheetList() {
			tab := &bom.BOMTab
			if !j.opt.BOM {
				tab, _ = j.tab(sheet)
			}
			notes, err := f.GetComments(sheet)
			if err != nil {
				t.Fatal(err)
			}
			text := map[string]string{}
			for _, n := range notes {
				for _, p := range n.Paragraph {
					text[n.Cell] += p.Text
				}
			}
			checks, err := f.GetDataValidations(sheet)
			if err != nil {
				t.Fatal(err)
			}
			checked := map[string]string{}
			for _, c := range checks {
				if !c.AllowBlank {
					t.Errorf("%s: %s may not be left blank", sheet, c.Sqref)
				}
				checked[strings.Split(c.Sqref, ":")[0]] = c.Type + " " + c.Formula1
			}
			head := 1
			for tabColumn(tab, raw(t, f, sheet, 2, head)) == nil {
				head++
			}
			for col := 1; raw(t, f, sheet, col, head) != ""; col++ {
				c := tabColumn(tab, raw(t, f, sheet, col, head))
				if c == nil {
					continue // a price break
				}
				if !strings.Contains(text[cellName(col, head)], c.Doc) {
					t.Errorf("%s: the note of %s lacks %q: %q", sheet, c.Heading, c.Doc, text[cellName(col, head)])
				}
				got := checked[cellName(col, head+1)]
				want := ""
				switch {
				case len(c.Choices) > 0:
					want = fmt.Sprintf("list %q", strings.Join(c.Choices, ","))
				case c.Form == bom.FormDate:
					want = "date 36526"
				case c.Form == bom.FormWhole && c.Default == "1":
					want = "whole 1"
				case c.Form == bom.FormWhole:
					want = "whole 0"
				case c.Form.Numeric():
					want = "decimal 0"
				}
				if want != "" && got != want {
					t.Errorf("%s: %s is checked as %q, want %q", sheet, c.Heading, got, want)
				}
			}
		}
	}
}

func tabColumn(tab *bom.Tab, heading string) *bom.Column {
	c, _ := tab.Find(heading)
	return c
}

// How one cell is stored, by its column and by what was typed.
func TestInputsStorage(t *testing.T) {
	const number, text = true, false
	for _, c := range []struct {
		why, heading, typed string
		stored              string
		number              bool
	}{
		{"a price keeps the zero at its end", "Price", "1.10", "1.10", number},
		{"a price below a cent keeps its decimals", "Price", "0.0045", "0.0045", number},
		{"fifteen digits are what a spreadsheet keeps", "Price", "123456789.123456", "123456789.123456", number},
		{"the sixteenth digit would be lost", "Price", "123456789.1234567", "123456789.1234567", text},
		{"zeros at the end are no digits to lose", "Price", "1000000000000000000", "1000000000000000000", number},
		{"a currency sign says more than a number", "Price", "€1.20", "€1.20", text},
		{"thousands in groups, dot decimals", "Price", "1,234.50", "1234.5", number},
		{"which of two readings is for the reader to ask", "Price", "1,234", "1,234", text},
		{"a negative price is the reader's to refuse", "Price", "-1", "-1", text},
		{"what is no number stays for the reader to refuse", "Price", "about 2", "about 2", text},
		{"a percentage is a plain number", "Duty %", "4 %", "4", number},
		{"a per cent sign elsewhere is the reader's to refuse", "Price", "4 %", "4 %", text},
		{"an order code is no date", "Order code", "10-12", "10-12", text},
		{"an order code keeps its zeros", "Order code", "0603", "0603", text},
		{"an order code that looks like a number", "Order code", "1e5", "1e5", text},
		{"a formula is text", "Part number", "=1+1", "=1+1", text},
		{"a plus sign is text", "Part number", "+X1", "+X1", text},
		{"a minus sign is text", "Note", "-X1", "-X1", text},
		{"an at sign is text", "Note", "@X1", "@X1", text},
		{"2000-01-01 is day 36526 of spreadsheets (from memory)", "As of", "2000-01-01", "36526", number},
		{"1970-01-01 is day 25569 of spreadsheets (from memory)", "As of", "1970-01-01", "25569", number},
		{"days before March 1900 are counted differently", "As of", "1900-02-28", "1900-02-28", text},
		{"a date in other words is the reader's to refuse", "As of", "1 March", "1 March", text},
		{"leading zeros are not plain", "Stock", "007", "7", number},
		{"white space within a cell is kept", "Note", "two\nlines", "two\nlines", text},
	} {
		tab := bom.TabOffers
		if c.heading == "Duty %" {
			tab = bom.TabSuppliers
		}
		table := bom.Table{File: tab + ".csv", Rows: []bom.Row{
			{Number: 1, Cells: []bom.Cell{{Col: 1, Text: "Supplier"}, {Col: 2, Text: c.heading}}},
			{Number: 3, Cells: []bom.Cell{{Col: 2, Text: c.typed}}},
		}}
		f := write(t, []bom.Table{table}, workbook.InputsOptions{})
		row := headRow(t, f, tab, "Supplier") + 2
		if got := raw(t, f, tab, 2, row); got != c.stored {
			t.Errorf("%s: %q is stored as %q, want %q", c.why, c.typed, got, c.stored)
		}
		if got := isNumber(t, f, tab, 2, row); got != c.number {
			t.Errorf("%s: %q stored as a number: %v", c.why, c.typed, got)
		}
		if formula, _ := f.GetCellFormula(tab, cellName(2, row)); formula != "" {
			t.Errorf("%s: %q became the formula %q", c.why, c.typed, formula)
		}
	}
}

// A file that types decimal commas throughout gives the numbers that were meant;
// one in which a figure can only be read beside the others stays as typed.
func TestInputsDecimalComma(t *testing.T) {
	for _, c := range []struct{ why, first, second, storedFirst, storedSecond string }{
		{"commas throughout", "0,40", "1.234,5", "0.4", "1234.5"},
		{"three decimals are read with the mark of the file", "0,40", "1,234", "0.4", "1.234"},
		{"a figure that stays text needs the others as evidence", "0,40", "1,234 EUR", "0,40", "1,234 EUR"},
	} {
		table := csvText(t, "offers.csv", fmt.Sprintf("Part number,Price\nA,%q\nB,%q\n", c.first, c.second))
		f := write(t, []bom.Table{table}, workbook.InputsOptions{})
		row := headRow(t, f, "offers", "Part number")
		if got := raw(t, f, "offers", 2, row+1); got != c.storedFirst {
			t.Errorf("%s: %s is stored as %s, want %s", c.why, c.first, got, c.storedFirst)
		}
		if got := raw(t, f, "offers", 2, row+2); got != c.storedSecond {
			t.Errorf("%s: %s is stored as %s, want %s", c.why, c.second, got, c.storedSecond)
		}
	}
}

// A table that comes from a workbook keeps what its cells were.
func TestInputsStoredKinds(t *testing.T) {
	table := bom.Table{File: "prices.xlsx", Sheet: "suppliers", Rows: []bom.Row{
		{Number: 2, Cells: []bom.Cell{{Col: 1, Text: "My suppliers"}}},
		{Number: 4, Cells: []bom.Cell{{Col: 1, Text: "Supplier"}, {Col: 2, Text: "Duty %"}, {Col: 3, Text: "Delivery"},
			{Col: 4, Text: "As of"}, {Col: 5, Text: "Shelf"}}},
		{Number: 5, Cells: []bom.Cell{{Col: 1, Kind: bom.Native, Text: "4711"}, {Col: 2, Kind: bom.Percent, Text: "2.5%"},
			{Col: 3, Kind: bom.Native, Text: "1.234"}, {Col: 4, Kind: bom.DateISO, Text: "2026-03-01"}, {Col: 5, Kind: bom.Native, Text: "12"}}},
		{Number: 6, Cells: []bom.Cell{{Col: 1, Kind: bom.Fault, Text: "#N/A"}, {Col: 3, Kind: bom.Stale, Text: "=A1"}}},
	}}
	f := write(t, []bom.Table{table}, workbook.InputsOptions{})
	for _, c := range []struct {
		why      string
		col, row int
		text     string
		number   bool
	}{
		{"titles of its own stay where they were, with none of ours above", 1, 2, "My suppliers", false},
		{"a name of digits is text", 1, 5, "4711", false},
		{"a shown percentage is a plain number", 2, 5, "2.5", true},
		{"a stored number reads one way only", 3, 5, "1.234", true},
		{"a stored date", 4, 5, "46082", true},
		{"a number in a column of one's own", 5, 5, "12", true},
		{"an error value is text", 1, 6, "#N/A", false},
		{"a formula without a result is text", 3, 6, "=A1", false},
	} {
		if got := raw(t, f, "suppliers", c.col, c.row); got != c.text || isNumber(t, f, "suppliers", c.col, c.row) != c.number {
			t.Errorf("%s: %s holds %q", c.why, cellName(c.col, c.row), got)
		}
	}
}

// Cells that are still empty are text where text belongs, so that 10-12 typed
// into them stays what it is.
func TestInputsBlankCells(t *testing.T) {
	table := csvText(t, "offers.csv", "Part number,Order code,Price,As of\nA,1,2,2026-01-01\n")
	f := write(t, []bom.Table{table}, workbook.InputsOptions{})
	for col, want := range map[int]string{1: "@", 2: "@", 3: "", 4: "yyyy-mm-dd"} {
		id, err := f.GetCellStyle("offers", cellName(col, 400))
		if err != nil {
			t.Fatal(err)
		}
		style, err := f.GetStyle(id)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if style.CustomNumFmt != nil {
			got = *style.CustomNumFmt
		} else if style.NumFmt == 49 { // text, ECMA-376 part 1, 18.8.30
			got = "@"
		}
		if got != want {
			t.Errorf("blank cells of column %d have the format %q, want %q", col, got, want)
		}
	}
}

func TestInputsSheetNames(t *testing.T) {
	list := "Designator,Part number\nR1,A\n"
	f := write(t, []bom.Table{
		csvText(t, "a/unit.csv", list), csvText(t, "b/Unit.csv", list), csvText(t, "it's  [new] #1.csv", list),
		csvText(t, "a name that is much longer than a sheet may have.csv", list), csvText(t, ".csv", list),
		csvText(t, "boards.csv", list), // a list may be called as a tab of the price sheet
	}, workbook.InputsOptions{BOM: true})
	want := []string{"unit", "Unit 2", "it-s -new- -1", "a name that is much longer than", ".csv", "boards"}
	if got := f.GetSheetList(); strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("sheets are named %q, want %q", got, want)
	}
}

// Lists that name one another still do as sheets of one workbook.
func TestInputsLinks(t *testing.T) {
	for _, c := range []struct {
		why          string
		first, other bom.Table
		want         string
	}{
		{"a file beside it", csvText(t, "a/unit.csv", "Part number,File\nB,main.csv\n"),
			csvText(t, "a/main.csv", "Designator,Part number\nR1,A\n"), "#main"},
		{"a file in another folder, typed the other way round", csvText(t, "a/unit.csv", "Part number,File\nB,..\\b\\unit.csv\n"),
			csvText(t, "b/unit.csv", "Designator,Part number\nR1,A\n"), "#unit 2"},
		{"a file of the same name elsewhere is another one", csvText(t, "a/unit.csv", "Part number,File\nB,main.csv\n"),
			csvText(t, "b/main.csv", "Designator,Part number\nR1,A\n"), "main.csv"},
		{"a mesh is no table", csvText(t, "unit.csv", "Part number,File\nB,main.stl\n"),
			csvText(t, "main.csv", "Designator,Part number\nR1,A\n"), "main.stl"},
		{"a sheet that had to be renamed", sheetOf(csvText(t, "run.xlsx", "Part number,File\nB,#it's\n"), "unit"),
			sheetOf(csvText(t, "run.xlsx", "Designator,Part number\nR1,A\n"), "it's"), "#it-s"},
	} {
		f := write(t, []bom.Table{c.first, c.other}, workbook.InputsOptions{BOM: true})
		if got := raw(t, f, "unit", 2, headRow(t, f, "unit", "Part number")+1); got != c.want {
			t.Errorf("%s: File reads %q, want %q", c.why, got, c.want)
		}
	}
}

func sheetOf(t bom.Table, name string) bom.Table {
	t.Sheet = name
	return t
}

func TestInputsRefuses(t *testing.T) {
	offers := csvText(t, "offers.csv", "Part number,Price\nA,1\n")
	long := csvText(t, "offers.csv", "Part number,Note\nA,"+strings.Repeat("x", excelize.TotalCellChars+1)+"\n")
	for _, c := range []struct {
		why    string
		tables []bom.Table
		want   string
	}{
		{"nothing to write", nil, "no table to write"},
		{"no such tab", []bom.Table{csvText(t, "ofers.csv", "Part number,Price\nA,1\n")}, `ofers.csv: "ofers" is no tab of a price sheet`},
		{"one tab twice", []bom.Table{offers, offers}, "offers.csv: the tab offers stands there twice"},
		{"an empty table", []bom.Table{{File: "offers.csv"}}, "offers.csv: no heading row for offers was found"},
		{"no known headings", []bom.Table{csvText(t, "offers.csv", "what,how much\nA,1\n")}, "offers.csv: no heading row for offers was found"},
		{"a text that would be cut", []bom.Table{long}, "the text is longer than a cell of a workbook holds"},
	} {
		var b bytes.Buffer
		err := workbook.WriteInputs(&b, c.tables, workbook.InputsOptions{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %s", c.why, err, c.want)
		}
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes were written all the same", c.why, b.Len())
		}
	}
}
