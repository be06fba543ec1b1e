package table

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

func TestCells(t *testing.T) {
	tests := []struct {
		why, row, want string
	}{
		{"a number", `<c r="A1"><v>16.5</v></c>`, "1: A#=\"16.5\"\n"},
		{"the noise of a binary fraction goes", `<c r="A1"><v>16.500000000000004</v></c>`, "1: A#=\"16.5\"\n"},
		{"0.1 + 0.2 as a spreadsheet shows it", `<c r="A1"><v>0.30000000000000004</v></c>`, "1: A#=\"0.3\"\n"},
		{"exponents are written out", `<c r="A1"><v>1E-3</v></c><c r="B1"><v>1.5e+12</v></c>`, "1: A#=\"0.001\" B#=\"1500000000000\"\n"},
		{"fifteen digits stay", `<c r="A1"><v>123456789.012345</v></c>`, "1: A#=\"123456789.012345\"\n"},
		{"large whole numbers stay plain", `<c r="A1"><v>4006381333931</v></c>`, "1: A#=\"4006381333931\"\n"},
		{"far out the exponent stands, for the reader to refuse", `<c r="A1"><v>1E+300</v></c>`, "1: A#=\"1e300\"\n"},
		{"beyond what a number can be it is kept as text", `<c r="A1"><v>1e999999999</v></c>`, "1: A=\"1e999999999\"\n"},
		{"words are no numbers", `<c r="A1"><v>NaN</v></c><c r="B1"><v>0x1p3</v></c>`, "1: A=\"NaN\" B=\"0x1p3\"\n"},
		{"minus, and minus nothing", `<c r="A1"><v>-2.50</v></c><c r="B1"><v>-0</v></c>`, "1: A#=\"-2.5\" B#=\"0\"\n"},
		{"truth", `<c r="A1" t="b"><v>1</v></c><c r="B1" t="b"><v>0</v></c>`, "1: A?=\"yes\" B?=\"no\"\n"},
		{"error values", `<c r="A1" t="e"><v>#N/A</v></c><c r="B1" t="e"><f>1/0</f><v>#DIV/0!</v></c>`, "1: A!=\"#N/A\" B!=\"#DIV/0!\"\n"},
		{"a formula counts by its stored result", `<c r="A1"><f>B1*2</f><v>7</v></c><c r="B1" t="str"><f>"x"</f><v>x</v></c>`, "1: A#=\"7\" B=\"x\"\n"},
		{"a formula without one is stale", `<c r="A1"><f>B1*2</f></c><c r="B1" t="str"><f>C1&amp;"x"</f></c>`, "1: A~=\"=B1*2\" B~=\"=C1&\\\"x\\\"\"\n"},
		{"a formula whose result is the empty text is an empty cell", `<c r="A1" t="str"><f>""</f><v></v></c><c r="B1"><v>1</v></c>`, "1: B#=\"1\"\n"},
		{"a formula shared and stale names the cell that has it", `<c r="A1"><f t="shared" ref="A1:B1" si="0">C1</f></c><c r="B1"><f t="shared" si="0"/></c>`, "1: A~=\"=C1\" B~=\"=… as in A1\"\n"},
		{"inline text, rich text, no reading aid", `<c r="A1" t="inlineStr"><is><t>a</t></is></c><c r="B1" t="inlineStr"><is><r><t>b</t></r><r><rPr><b/></rPr><t xml:space="preserve"> c</t></r><rPh sb="0" eb="1"><t>no</t></rPh></is></c>`, "1: A=\"a\" B=\"b c\"\n"},
		{"references, sections and hidden characters", `<c r="A1" t="inlineStr"><is><t>&lt;&#181;&#x3A9;&amp;amp;<![CDATA[<&]]>_x000D__x005F_x_xx</t></is></c>`, "1: A=\"<µΩ&amp;<&\\r_x_xx\"\n"},
		{"ISO date of the strict dialect", `<c r="A1" t="d"><v>2026-11-25T00:00:00</v></c><c r="B1" t="d"><v>soon</v></c>`, "1: A@=\"2026-11-25\" B=\"soon\"\n"},
		{"cells and rows without names follow on", `<c><v>1</v></c><c r="C1"><v>2</v></c><c><v>3</v></c></row><row><c><v>4</v></c></row><row r="9"><c><v>5</v></c>`, "1: A#=\"1\" C#=\"2\" D#=\"3\"\n2: A#=\"4\"\n9: A#=\"5\"\n"},
		{"formatted empty cells are nothing", `<c r="A1" s="1"/><c r="B1" s="1"><v></v></c><c r="C1" t="inlineStr"><is><t> </t></is></c>`, ""},
		{"shared text", `<c r="A1" t="s"><v>1</v></c>`, "1: A=\"two\"\n"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			content := pack(t, book(data(`<row r="1">`+tt.row+`</row>`), part{"xl/sharedStrings.xml", `<sst><si><t>one</t></si><si><r><t> t</t></r><r><t>wo </t></r></si></sst>`})...)
			tables, probs := Read("x.xlsx", content, Limits{})
			if got := show(tables); got != "[unit]\n"+tt.want || len(probs) > 0 {
				t.Errorf("got\n%swant\n%s%s", got, tt.want, said(probs))
			}
		})
	}
}

func TestNumberFormats(t *testing.T) {
	tests := []struct {
		why    string
		id     int
		code   string
		stored string
		want   string
	}{
		{"general", 0, "", "0.04", `#0.04`},
		{"built in: 0%", 9, "", "0.04", `%4%`},
		{"built in: 0.00%", 10, "", "0.035", `%3.5%`},
		{"7 % is not 7.000000000000001 %", 9, "", "0.07", `%7%`},
		{"own format with %", 170, "0.0%;[Red]-0.0%", "-0.015", `%-1.5%`},
		{"% in quotes is a word", 170, `0.0" % of all"`, "0.5", `#0.5`},
		{"% after a backslash is a character", 170, `0.0\%`, "0.5", `#0.5`},
		{"built in: a date", 14, "", "46351", `@2026-11-25`},
		{"built in: date and time", 22, "", "46351.75", `@2026-11-25`},
		{"built in: East Asian date", 31, "", "46351", `@2026-11-25`},
		{"own date", 170, "yyyy\\-mm\\-dd", "46351", `@2026-11-25`},
		{"own date in another language", 170, "[$-407]d. mmmm yyyy;@", "46351", `@2026-11-25`},
		{"month and year", 170, "mmm yy", "46351", `@2026-11-25`},
		// ECMA-376 part 1, 18.17.4.2: 3687.4207639 is 1910-02-03T10:05:54Z (from memory)
		{"the standard's example", 22, "", "3687.4207639", `@1910-02-03`},
		{"the last day there is", 14, "", "2958465", `@9999-12-31`},
		{"a day that lacks a breath", 14, "", "46350.99999999999", `@2026-11-25`},
		{"beyond the last day it is a number", 14, "", "2958466", `#2958466`},
		{"before the first day it is a number", 14, "", "-3", `#-3`},
		{"built in: time of day", 20, "", "0.333333333333333", `08:00`},
		{"time with seconds", 21, "", "0.33340277777777777", `08:00:06`},
		{"own time: m after h are minutes", 170, "h:mm AM/PM", "0.916666666666667", `22:00`},
		{"hours that do not start again", 170, "[h]:mm", "1", `24:00`},
		{"the same, built in", 46, "", "1.5", `36:00`},
		{"colours, conditions and currencies are no dates", 170, `[Red][>100]#,##0.00 [$€-407];[Blue]0.00 "days"`, "46351", `#46351`},
		{"thousands and exponents are no dates", 170, `0.00E+00`, "46351", `#46351`},
		{"padding by a letter is no date", 170, `_-* #,##0.00_d`, "46351", `#46351`},
		{"General spelt out is no date", 170, `General" pcs"`, "46351", `#46351`},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			content := write(t, func(f *excelize.File) {
				style := &excelize.Style{NumFmt: tt.id}
				if tt.code != "" {
					style = &excelize.Style{CustomNumFmt: &tt.code}
				}
				id, err := f.NewStyle(style)
				must(t, err)
				must(t, f.SetCellDefault("Sheet1", "A1", tt.stored))
				must(t, f.SetCellStyle("Sheet1", "A1", "A1", id))
			})
			tables, probs := Read("x.xlsx", content, Limits{})
			mark, text := tt.want[:1], tt.want[1:]
			if !strings.ContainsAny(mark, "#%@") {
				mark, text = "", tt.want
			}
			if got, want := show(tables), "[Sheet1]\n1: A"+mark+"=\""+text+"\"\n"; got != want || len(probs) > 0 {
				t.Errorf("got\n%swant\n%s%s", got, want, said(probs))
			}
		})
	}
}

func TestDate1904(t *testing.T) {
	content := write(t, func(f *excelize.File) {
		yes := true
		must(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
		id, err := f.NewStyle(&excelize.Style{NumFmt: 14})
		must(t, err)
		must(t, f.SetCellStyle("Sheet1", "A1", "B1", id))
		// ECMA-376 part 1, 18.17.4.2: 2225.4207639 is 1910-02-03 from 1904 on (from memory)
		must(t, f.SetCellFloat("Sheet1", "A1", 2225.4207639, 7, 64))
		must(t, f.SetCellFloat("Sheet1", "B1", 46351-1462, 0, 64)) // 1462 days between the systems
	})
	tables, probs := Read("x.xlsx", content, Limits{})
	if got := show(tables); got != "[Sheet1]\n1: A@=\"1910-02-03\" B@=\"2026-11-25\"\n" {
		t.Errorf("got %s%s", got, said(probs))
	}
}

// What excelize stores for a time.Time is read as its date.
func TestDatesOfTheCalendar(t *testing.T) {
	days := []time.Time{
		time.Date(1900, 3, 1, 0, 0, 0, 0, time.UTC), // the first after the leap day that never was
		time.Date(2000, 2, 29, 0, 0, 0, 0, time.UTC),
		time.Date(2026, 12, 31, 23, 59, 59, 0, time.UTC),
	}
	content := write(t, func(f *excelize.File) {
		for i, day := range days {
			must(t, f.SetCellValue("Sheet1", "A"+string(rune('1'+i)), day))
		}
	})
	tables, _ := Read("x.xlsx", content, Limits{})
	for i, row := range tables[0].Rows {
		if want := days[i].Format(time.DateOnly); row.Cells[0].Kind != bom.DateISO || row.Cells[0].Text != want {
			t.Errorf("got %+v, want %s", row.Cells[0], want)
		}
	}
}

func TestHiddenAndMerged(t *testing.T) {
	content := write(t, func(f *excelize.File) {
		must(t, f.SetSheetRow("Sheet1", "A1", &[]any{"Frost alarm", "under", "under"}))
		must(t, f.SetSheetRow("Sheet1", "A2", &[]any{"Ref", "Qty", "Note"}))
		for r := 3; r <= 6; r++ {
			cell, _ := excelize.CoordinatesToCellName(1, r)
			must(t, f.SetSheetRow("Sheet1", cell, &[]any{"R", r, "x"}))
		}
		must(t, f.MergeCell("Sheet1", "A1", "C1"))
		must(t, f.MergeCell("Sheet1", "C5", "C6"))
		must(t, f.SetRowVisible("Sheet1", 4, false))
		must(t, f.SetRowVisible("Sheet1", 5, false))
		must(t, f.SetRowVisible("Sheet1", 90, false)) // empty: nothing to say
		must(t, f.SetColVisible("Sheet1", "B", false))
		must(t, f.SetColVisible("Sheet1", "F:Z", false)) // empty: nothing to say
		_, err := f.NewSheet("spare")
		must(t, err)
		must(t, f.SetSheetVisible("spare", false))
	})
	tables, probs := Read("x.xlsx", content, Limits{})
	const want = "[Sheet1]\n1: A=\"Frost alarm\"\n2: A=\"Ref\" B=\"Qty\" C=\"Note\"\n3: A=\"R\" B#=\"3\" C=\"x\"\n" +
		"4: A=\"R\" B#=\"4\" C=\"x\"\n5: A=\"R\" B#=\"5\" C=\"x\"\n6: A=\"R\" B#=\"6\"\n[spare]\n"
	const notes = "x.xlsx:Sheet1: hidden rows are read like the others: 4-5; if they are not meant, delete them\n" +
		"x.xlsx:Sheet1: hidden columns are read like the others: B; if they are not meant, delete them\n" +
		"x.xlsx:spare: the sheet is hidden; it is read like the others\n"
	if got := show(tables); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	// excelize clears what merging hides, so nothing was dropped
	if got := said(probs); got != notes || probs.Failed() {
		t.Errorf("got\n%swant\n%s", got, notes)
	}
}

func TestTextUnderMergedCells(t *testing.T) {
	rows := `<row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>2</v></c></row>` +
		`<row r="2"><c r="A2"><v>3</v></c><c r="B2"><v>4</v></c><c r="C2"><v>5</v></c></row>` +
		`<row r="3"><c r="B3"><v>6</v></c></row><row r="4"><c r="B4"><v>7</v></c></row>`
	sheet := sheetOpen + "<sheetData>" + rows + "</sheetData>" +
		`<mergeCells><mergeCell ref="B2:C3"/><mergeCell ref="A1:B1"/><mergeCell ref="A4"/></mergeCells>` + sheetClose
	tables, probs := Read("x.xlsx", pack(t, book(sheet)...), Limits{})
	if got, want := show(tables), "[unit]\n1: A#=\"1\"\n2: A#=\"3\" B#=\"4\"\n4: B#=\"7\"\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	if got, want := said(probs), "x.xlsx:unit: text hidden under merged cells is not read: rows 1-3\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestChartSheetIsPassedOver(t *testing.T) {
	content := write(t, func(f *excelize.File) {
		must(t, f.SetSheetRow("Sheet1", "A1", &[]any{"a", 1}))
		must(t, f.AddChartSheet("picture", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Name: "Sheet1!$A$1", Values: "Sheet1!$B$1"}}}))
	})
	tables, probs := Read("x.xlsx", content, Limits{})
	if got := show(tables); got != "[Sheet1]\n1: A=\"a\" B#=\"1\"\n" || len(probs) > 0 {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}

// The strict dialect of ISO/IEC 29500 differs in its namespaces.
func TestStrictDialect(t *testing.T) {
	list := book(strings.ReplaceAll(data(`<row><c t="str"><v>a</v></c></row>`), "http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main"))
	for i := range list {
		for _, r := range [][2]string{
			{"http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main"},
			{"http://schemas.openxmlformats.org/officeDocument/2006/relationships", "http://purl.oclc.org/ooxml/officeDocument/relationships"},
		} {
			list[i].text = strings.ReplaceAll(list[i].text, r[0], r[1])
		}
	}
	tables, probs := Read("x.xlsx", pack(t, list...), Limits{})
	if got := show(tables); got != "[unit]\n1: A=\"a\"\n" || len(probs) > 0 {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}

// Prefixed names, and parts named by absolute targets in another case.
func TestOtherSpellings(t *testing.T) {
	list := book(`<x:worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData><x:row r='1'><x:c r='B1' t='str'><x:v>a</x:v></x:c></x:row></x:sheetData></x:worksheet>`)
	list[3].text = strings.ReplaceAll(list[3].text, `Target="worksheets/sheet1.xml"`, `Target="/xl/Worksheets/Sheet1.xml"`)
	tables, probs := Read("x.xlsx", pack(t, list...), Limits{})
	if got := show(tables); got != "[unit]\n1: B=\"a\"\n" || len(probs) > 0 {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}

// The same content in CSV and XLSX gives the same cells at the same places.
func TestWorkbookLikeText(t *testing.T) {
	for _, name := range csvFiles(t) {
		content, err := os.ReadFile(name)
		must(t, err)
		tables, probs := Read("x", content, Limits{})
		if probs.Failed() {
			t.Fatal(said(probs))
		}
		r := csv.NewReader(bytes.NewReader(content))
		r.Comma, r.FieldsPerRecord = tables[0].Separator, -1
		book := write(t, func(f *excelize.File) {
			for {
				fields, err := r.Read()
				if err != nil {
					break
				}
				line, _ := r.FieldPos(0)
				cell, _ := excelize.CoordinatesToCellName(1, line)
				must(t, f.SetSheetRow("Sheet1", cell, &fields))
			}
		})
		same, probs := Read("x", book, Limits{})
		if got, want := show(same), "[Sheet1]\n"+show(tables); got != want || len(probs) > 0 {
			t.Errorf("%s: got\n%swant\n%s%s", name, got, want, said(probs))
		}
	}
}

// Where excelize streams rows rightly, its raw values are those read here.
func TestLikeExcelizeRows(t *testing.T) {
	content := write(t, func(f *excelize.File) {
		for r := 1; r <= 40; r += 3 {
			cell, _ := excelize.CoordinatesToCellName(r%5+1, r)
			must(t, f.SetSheetRow("Sheet1", cell, &[]any{"Löt & <b>", r, float64(r) / 8, nil, "x\ny", -r}))
		}
	})
	f, err := excelize.OpenReader(bytes.NewReader(content))
	must(t, err)
	defer f.Close()
	rows, err := f.GetRows("Sheet1", excelize.Options{RawCellValue: true})
	must(t, err)
	tables, probs := Read("x.xlsx", content, Limits{})
	seen := 0
	for _, row := range tables[0].Rows {
		for _, c := range row.Cells {
			if want := rows[row.Number-1][c.Col-1]; c.Text != want {
				t.Errorf("%d:%d: got %q, want %q", row.Number, c.Col, c.Text, want)
			}
			seen++
		}
	}
	if want := 14 * 5; seen != want || len(probs) > 0 {
		t.Errorf("%d cells, want %d\n%s", seen, want, said(probs))
	}
}

// A workbook by another program: see testdata/README.txt.
func TestOtherProgram(t *testing.T) {
	content, err := os.ReadFile(filepath.Join("testdata", "otherwriter.xlsx"))
	must(t, err)
	tables, probs := Read("x.xlsx", content, Limits{})
	want, err := os.ReadFile(filepath.Join("testdata", "otherwriter.txt"))
	must(t, err)
	if got := show(tables) + said(probs); got != string(want) {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// What number formats say besides: the currency and the noughts before a number.
func TestFormatCodes(t *testing.T) {
	tests := []struct {
		why, code, sign string
		pad             uint8
	}{
		{"a sign with a language", `#,##0.00\ [$€-407]`, "€", 0},
		{"a code with a language", `[$USD-409] 0.00`, "USD", 0},
		{"a language alone", `[$-409]d mmm`, "", 0},
		{"a sign in quotes", `"£"0.00`, "£", 0},
		{"a sign by itself", `$#,##0;[Red]-$#,##0`, "$", 0},
		{"a sign for other numbers alone", `0.00;[$€-407]0.00`, "", 0},
		{"a colour", `[Red]0.00`, "", 0},
		{"room for a sign", `0.00_€`, "", 0},
		{"a word that is no currency", `0 "pcs"`, "", 0},
		{"an open bracket", `0[$`, "", 0},
		{"an open quote", `0"`, "", 0},
		{"noughts", `00000`, "", 5},
		{"one nought", `0`, "", 0},
		{"noughts behind the mark", `0.00`, "", 0},
	}
	for _, tt := range tests {
		f := formats{}
		got := f.read(tt.code)
		sign := ""
		if got.sign > 0 {
			sign = f.signs[got.sign]
		}
		if sign != tt.sign || got.pad != tt.pad {
			t.Errorf("%s: %s shows %q and %d digits, want %q and %d", tt.why, tt.code, sign, got.pad, tt.sign, tt.pad)
		}
	}
}

// TestBuiltInFormats: ECMA-376 part 1, 18.8.30, from memory; the numbers from 27 on are those
// of Chinese and Japanese.
func TestBuiltInFormats(t *testing.T) {
	kinds := map[shown]string{
		shownNumber: "0 1 4 11 13 23 26 37 44 48 49 59", shownPercent: "9 10", shownElapsed: "46",
		shownTime: "18 21 32 35 45 47 55 56", shownDate: "14 17 22 27 31 36 50 54 57 58",
	}
	for want, ids := range kinds {
		for id := range strings.FieldsSeq(ids) {
			if n, _ := strconv.Atoi(id); builtIn(n) != want {
				t.Errorf("format %s: %v, want %v", id, builtIn(n), want)
			}
		}
	}
}
