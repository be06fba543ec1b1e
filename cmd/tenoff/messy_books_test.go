package main

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// messyBooks are the workbooks of fixtures/messy, made by this code.
var messyBooks = []struct {
	name    string
	content func(testing.TB) []byte
}{
	{"opendocument.bom.ods", odsParts},
	{"opendocument-faults.bom.ods", odsFaults},
	{"opendocument-currencies.prices.ods", odsPrices},
	{"merged-headings.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Frost alarm, main board"},
				{"Designator", "Quantity", "Part", nil, "Placing", nil},
				{nil, nil, "Part number", "Package", "Mount", "Side"},
				{"R1, R2", 2, "RS-0010", "0603", "SMT", "top"},
			})
			for _, block := range [][2]string{{"A1", "F1"}, {"A2", "A3"}, {"B2", "B3"}, {"C2", "D2"}, {"E2", "F2"}} {
				check(t, f.MergeCell("Sheet1", block[0], block[1]))
			}
		})
	}},
	{"numbers-and-text.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Quantity", "Part number", "Kind", "Mass g"},
				{"12", 4711, "fastener", "1.5"},
				{" 3 ", "000471", "fastener", 1.1},
				{4, 472, "fastener", "0,25"},
			})
		})
	}},
	{"padded-numbers.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{{"Quantity", "Part number", "Kind"}, {1, 471, "fastener"}})
			format(t, f, "Sheet1", "B2", "000000")
		})
	}},
	{"dates.bom.xlsx", func(t testing.TB) []byte {
		day := time.Date(2026, 10, 12, 0, 0, 0, 0, time.UTC)
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Designator", "Quantity", "Part number", "Value", "Package", "Mount"},
				{"R1", 1, day, "10k", "0603", "SMT"},
				{"R2", 1, "RS-0011", day, "0603", "SMT"},
				{day, 1, "RS-0012", "47k", "0603", "SMT"},
				{"R4", day, "RS-0013", "1k", "0603", "SMT"},
			})
		})
	}},
	{"hidden.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Designator", "Quantity", "Part number", "Mount", "Seen by"},
				{"R1", 1, "RS-0010", "SMT", "Ada"},
				{"R2", 1, "RS-0011", "SMT", "Ada"},
				{"R3", 1, "RS-0012", "SMT", "Ada"},
			})
			check(t, f.SetRowVisible("Sheet1", 3, false))
			check(t, f.SetColVisible("Sheet1", "D:E", false))
			_, err := f.NewSheet("lists")
			check(t, err)
			rows(t, f, "lists", "A1", [][]any{{"SMT"}, {"THT"}})
			check(t, f.SetSheetVisible("lists", false))
		})
	}},
	{"filtered.prices.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			settings(t, f)
			check(t, f.SetSheetName("Sheet1", "offers"))
			rows(t, f, "offers", "A1", [][]any{
				{"Part number", "Supplier", "Price"},
				{"RS-0010", "Larkfield Parts", 0.012},
				{"RS-0010", "Dunmere Supply", 0.011},
			})
			check(t, f.AutoFilter("offers", "A1:C3", []excelize.AutoFilterOptions{{Column: "B", Expression: `x == "Larkfield Parts"`}}))
			check(t, f.SetRowVisible("offers", 3, false))
		})
	}},
	{"second-sheet.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "B2", [][]any{{"revision", "date"}, {"C", "2026-11-02"}})
			_, err := f.NewSheet("parts list")
			check(t, err)
			rows(t, f, "parts list", "C5", [][]any{
				{"Designator", "Quantity", nil, "Part number", "Mount"},
				{"R1", 1, nil, "RS-0010", "SMT"},
			})
		})
	}},
	{"empty-rows.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{{"Designator", "Quantity", "Part number", "Mount"}, {"R1", 1, "RS-0010", "SMT"}})
			style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
			check(t, err)
			check(t, f.SetCellStyle("Sheet1", "A3", "D4000", style))
		})
	}},
	{"truth-values.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Designator", "Quantity", "Part number", "Mount", "DNP"},
				{"R1", 1, "RS-0010", "SMT", false},
				{"R2", 1, "RS-0011", "SMT", true},
				{"R3", 1, true, "SMT", false},
			})
		})
	}},
	{"long-numbers.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Quantity", "Part number", "Kind"},
				{1, int64(1234567890123), "fastener"},
				{1, int64(4006381333931000), "fastener"},
				{1, "1.23457E+12", "fastener"},
				{1, 47.5, "fastener"},
			})
			format(t, f, "Sheet1", "B2", "0.00E+00")
		})
	}},
	{"line-ends.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			rows(t, f, "Sheet1", "A1", [][]any{
				{"Refe-\nrence", "Quantity\n(pcs)", "Part\nnumber", "Mount"},
				{"R1,\nR2\nR3-R4", 4, "RS-0010\nrev. B", "SMT"},
			})
		})
	}},
	{"names-of-tabs.prices.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			for _, tab := range []struct {
				name string
				rows [][]any
			}{
				{"SETTINGS", [][]any{{"Setting", "Value"}, {"Home currency", "EUR"}, {"Unit yield %", 0.97}}},
				{"Hand-Work", [][]any{{"Operation", "Applies to", "Basis", "Seconds"}, {"solder", "THT", "joint", 6}}},
				{"On_Hand ", [][]any{{"Part number", "Quantity"}, {"SC-M3-10", 120}}},
				{"Offers 2026", [][]any{{"Part number", "Supplier", "Price"}, {"RS-0010", "Larkfield Parts", 0.012}}},
			} {
				_, err := f.NewSheet(tab.name)
				check(t, err)
				rows(t, f, tab.name, "A1", tab.rows)
			}
			check(t, f.DeleteSheet("Sheet1"))
			format(t, f, "SETTINGS", "B3", "0%")
		})
	}},
	{"break-columns.prices.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			settings(t, f)
			check(t, f.SetSheetName("Sheet1", "offers"))
			rows(t, f, "offers", "B3", [][]any{
				{"Part number", "Supplier", "@1", "@10", "@100"},
				{"RS-0010", "Larkfield Parts", 0.02, 0.018, nil},
				{"RS-0011", "Larkfield Parts", nil, 0.017, "0.015 €"},
			})
		})
	}},
	{"currency-formats.prices.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			settings(t, f)
			check(t, f.SetSheetName("Sheet1", "offers"))
			rows(t, f, "offers", "A1", [][]any{
				{"Part number", "Supplier", "Price", "Currency"},
				{"RS-0010", "Larkfield Parts", 0.012, "EUR"},
				{"RS-0011", "Dunmere Supply", 0.02, "EUR"},
				{"RS-0012", "Dunmere Supply", 0.02, "USD"},
				{"RS-0013", "Dunmere Supply", 0.02, "EUR"},
			})
			format(t, f, "offers", "C2", `#,##0.000\ [$€-407]`)
			format(t, f, "offers", "C3", `[$$-409]#,##0.000`)
			format(t, f, "offers", "C4", `"$"#,##0.000`)
			format(t, f, "offers", "C5", `[$USD] #,##0.000`)
		})
	}},
	{"formulas.bom.xlsx", func(t testing.TB) []byte {
		return rawBook(t, headRow("Quantity", "Part number", "Kind")+
			`<row r="2"><c r="A2"><f>2*3</f><v>6</v></c><c r="B2" t="str"><f>"SC-"&amp;"M3"</f><v>SC-M3</v></c><c r="C2" t="inlineStr"><is><t>fastener</t></is></c></row>`+
			`<row r="3"><c r="A3"><f t="shared" ref="A3:A4" si="0">A2*1.1</f><v>6.6000000000000005</v></c><c r="B3" t="inlineStr"><is><t>WR-05</t></is></c><c r="C3" t="inlineStr"><is><t>wire</t></is></c></row>`)
	}},
	{"formulas-without-results.bom.xlsx", func(t testing.TB) []byte {
		return rawBook(t, headRow("Quantity", "Part number", "Kind", "Description")+
			`<row r="2"><c r="A2"><f>2*3</f></c><c r="B2"><f>"SC-"&amp;"M3"</f></c><c r="C2" t="inlineStr"><is><t>fastener</t></is></c><c r="D2"><f>E2</f></c></row>`)
	}},
	{"error-cells.bom.xlsx", func(t testing.TB) []byte {
		return rawBook(t, headRow("Quantity", "Part number", "Kind", "Description", "Link")+
			`<row r="2"><c r="A2" t="e"><f>VLOOKUP(B2,x,2)</f><v>#N/A</v></c><c r="B2" t="inlineStr"><is><t>SC-M3-10</t></is></c><c r="C2" t="inlineStr"><is><t>fastener</t></is></c></row>`+
			`<row r="3"><c r="A3"><v>1</v></c><c r="B3" t="e"><v>#REF!</v></c><c r="C3" t="inlineStr"><is><t>fastener</t></is></c></row>`+
			`<row r="4"><c r="A4"><v>1</v></c><c r="B4" t="inlineStr"><is><t>NT-M3</t></is></c><c r="C4" t="inlineStr"><is><t>fastener</t></is></c><c r="D4" t="e"><v>#N/A</v></c><c r="E4" t="e"><v>#N/A</v></c></row>`)
	}},
	{"several-lists.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			heads := []any{"Designator", "Qty", "Value", "Package"}
			rows(t, f, "Sheet1", "A1", [][]any{{"Frost alarm"}})
			for _, board := range []string{"main board", "sensor board"} {
				_, err := f.NewSheet(board)
				check(t, err)
				rows(t, f, board, "A1", [][]any{heads, {"R1, R2", 2, "10k", "0603"}})
			}
		})
	}},
	{"board-sheet.bom.xlsx", func(t testing.TB) []byte {
		return madeBook(t, func(f *excelize.File) {
			check(t, f.SetSheetName("Sheet1", "sensor board"))
			rows(t, f, "sensor board", "A1", [][]any{{"Designator", "Qty", "Value", "Package"}, {"R1, R2", 2, "10k", "0603"}})
			_, err := f.NewSheet("unit")
			check(t, err)
			rows(t, f, "unit", "A1", [][]any{
				{"Quantity", "Part number", "Kind", "File"},
				{3, "SB-1", "board", "#sensor board"},
				{1, "CS-1", "other"},
			})
		})
	}},
}

// madeBook makes a workbook.
func madeBook(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	check(t, f.Write(&b))
	return b.Bytes()
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// rows writes a table with its upper left cell at a place.
func rows(t testing.TB, f *excelize.File, sheet, at string, table [][]any) {
	t.Helper()
	col, row, err := excelize.CellNameToCoordinates(at)
	check(t, err)
	for i, values := range table {
		cell, err := excelize.CoordinatesToCellName(col, row+i)
		check(t, err)
		check(t, f.SetSheetRow(sheet, cell, &values))
	}
}

// settings adds the tab that no price sheet can do without.
func settings(t testing.TB, f *excelize.File) {
	t.Helper()
	_, err := f.NewSheet("settings")
	check(t, err)
	rows(t, f, "settings", "A1", [][]any{{"Setting", "Value"}, {"Home currency", "EUR"}})
	_, err = f.NewSheet("exchange")
	check(t, err)
	rows(t, f, "exchange", "A1", [][]any{{"Currency", "Rate"}, {"USD", 0.92}})
}

func format(t testing.TB, f *excelize.File, sheet, cell, code string) {
	t.Helper()
	style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
	check(t, err)
	check(t, f.SetCellStyle(sheet, cell, cell, style))
}

func headRow(names ...string) string {
	row := `<row r="1">`
	for i, name := range names {
		row += `<c r="` + string(rune('A'+i)) + `1" t="inlineStr"><is><t>` + name + `</t></is></c>`
	}
	return row + `</row>`
}

// openXML begins the names of the spaces of a workbook (ECMA-376).
const openXML = `http://schemas.openxmlformats.org/`

// rawBook packs the XML of rows that no library writes as the one sheet of a
// workbook, and another part where there is one.
func rawBook(t testing.TB, sheetRows string, more ...string) []byte {
	t.Helper()
	parts := append(bookParts(`<sheet name="parts" sheetId="1" r:id="rId1"/>`,
		`<Relationship Id="rId1" Type="`+openXML+`officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/>`),
		[2]string{"xl/worksheets/sheet1.xml", worksheet(sheetRows)})
	for _, text := range more {
		parts = append(parts, [2]string{"xl/media/more.bin", text})
	}
	return packed(t, parts...)
}

func worksheet(rows string) string {
	return `<worksheet xmlns="` + openXML + `spreadsheetml/2006/main"><sheetData>` + rows + `</sheetData></worksheet>`
}

// bookParts are the parts of a workbook but for its sheets.
func bookParts(sheets, rels string) [][2]string {
	return [][2]string{
		{"[Content_Types].xml", `<Types xmlns="` + openXML + `package/2006/content-types"/>`},
		{"_rels/.rels", `<Relationships xmlns="` + openXML + `package/2006/relationships"><Relationship Id="rId1" Type="` + openXML +
			`officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + openXML + `spreadsheetml/2006/main" xmlns:r="` + openXML +
			`officeDocument/2006/relationships"><sheets>` + sheets + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + openXML + `package/2006/relationships">` + rels + `</Relationships>`},
	}
}

// packed makes a zip archive.
func packed(t testing.TB, parts ...[2]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, part := range parts {
		w, err := z.Create(part[0])
		check(t, err)
		_, err = io.WriteString(w, part[1])
		check(t, err)
	}
	check(t, z.Close())
	return b.Bytes()
}
