package pricesheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/bom/table"
	"tenoff/fixtures/checks"
)

// kept is a workbook as somebody keeps one, with all that must not be lost.
func kept(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	check(t, f.SetSheetName("Sheet1", "offers"))
	for _, name := range []string{"settings", "exchange", "suppliers", "my sums", "lists"} {
		_, err := f.NewSheet(name)
		check(t, err)
	}
	fill := func(sheet, at string, rows ...[]any) {
		col, row, err := excelize.CellNameToCoordinates(at)
		check(t, err)
		for i := range rows {
			cell, err := excelize.CoordinatesToCellName(col, row+i)
			check(t, err)
			check(t, f.SetSheetRow(sheet, cell, &rows[i]))
		}
	}
	fill("settings", "A1", []any{"Setting", "Value"}, []any{"Home currency", "EUR"})
	fill("exchange", "A1", []any{"Currency", "Rate"}, []any{"GBP", 1.25})
	fill("suppliers", "A1", []any{"Supplier", "Delivery"}, []any{"Corner Parts", 4.5})
	fill("lists", "A1", []any{"Corner Parts"}, []any{"Far Shore"})
	check(t, f.SetSheetVisible("lists", false))
	fill("offers", "A1", []any{"what we pay for parts"}, nil,
		[]any{"Part number", "Supplier", "Order code", "Stock", "From", "Price", "As of", "Note", "twice"},
		[]any{"RS-10", "Corner Parts", "10-1", 70, 1, 0.1, 46082, "reel & tape", nil},
		[]any{"RS-10", "Corner Parts", "10-1", 70, 10, 0.08, 46082, nil, nil},
		[]any{"SC-3", "Far Shore", "S-1", nil, 1, 2.4, 46082, "of steel", nil})
	check(t, f.SetCellFormula("offers", "I4", "F4*2"))
	check(t, f.SetCellFormula("offers", "I5", "F5*2"))
	check(t, f.MergeCell("offers", "A1", "C1"))
	style := func(s excelize.Style) int {
		id, err := f.NewStyle(&s)
		check(t, err)
		return id
	}
	money, day := "#,##0.000", "yyyy-mm-dd"
	head := style(excelize.Style{Font: &excelize.Font{Bold: true}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"DDDDDD"}}})
	tinted := style(excelize.Style{Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFFFDD"}}})
	check(t, f.SetCellStyle("offers", "A3", "I3", head))
	check(t, f.SetCellStyle("offers", "A4", "E6", tinted))
	check(t, f.SetCellStyle("offers", "F4", "F6", style(excelize.Style{CustomNumFmt: &money})))
	check(t, f.SetCellStyle("offers", "G4", "G6", style(excelize.Style{CustomNumFmt: &day})))
	check(t, f.SetCellStyle("offers", "H4", "H6", tinted))
	check(t, f.SetRowHeight("offers", 6, 21))
	check(t, f.SetColWidth("offers", "A", "A", 23.5))
	check(t, f.SetColWidth("offers", "H", "H", 40))
	check(t, f.AddComment("offers", excelize.Comment{Cell: "F3", Author: "me", Text: "of one order unit"}))
	check(t, f.AddComment("suppliers", excelize.Comment{Cell: "A1", Author: "me", Text: "who"}))
	rule := excelize.NewDataValidation(true)
	rule.SetSqref("B4:B500")
	rule.SetSqrefDropList("lists!$A$1:$A$2")
	check(t, f.AddDataValidation("offers", rule))
	dear, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: "AA0000"}})
	check(t, err)
	check(t, f.SetConditionalFormat("offers", "F4:F500", []excelize.ConditionalFormatOptions{{Type: "cell", Criteria: ">", Value: "5", Format: &dear}}))
	check(t, f.SetDefinedName(&excelize.DefinedName{Name: "prices", RefersTo: "offers!$F$4:$F$6"}))
	check(t, f.SetPanes("offers", &excelize.Panes{Freeze: true, YSplit: 3, TopLeftCell: "A4", ActivePane: "bottomLeft"}))
	fill("my sums", "A1", []any{"all"}, []any{"half"})
	check(t, f.SetCellFormula("my sums", "B1", "SUM(offers!F4:F6)"))
	check(t, f.SetCellFormula("my sums", "B2", "B1/2"))
	check(t, f.AddChart("my sums", "D2", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Name: "prices", Values: "offers!$F$4:$F$6"}}}))
	check(t, f.SetDocProps(&excelize.DocProperties{Title: "our prices", Creator: "me"}))
	var b bytes.Buffer
	check(t, f.Write(&b))
	return b.Bytes()
}

// parts gives the parts of a workbook, and how each is packed.
func parts(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	check(t, err)
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		check(t, err)
		text, err := io.ReadAll(r)
		check(t, err)
		out[f.Name] = string(text)
	}
	return out
}

// changed lists the parts that differ.
func changed(was, is map[string]string) []string {
	var out []string
	for name, text := range was {
		if now, ok := is[name]; !ok || now != text {
			out = append(out, name)
		}
	}
	for name := range is {
		if _, ok := was[name]; !ok {
			out = append(out, "new: "+name)
		}
	}
	slices.Sort(out)
	return out
}

// sheetCells gives the cells of a workbook as excelize reads them: what stands
// there, the formula and the style.
func sheetCells(t testing.TB, data []byte) map[string]string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	check(t, err)
	defer f.Close()
	out := map[string]string{}
	for _, name := range f.GetSheetList() {
		for row := 1; row <= 20; row++ {
			for col := 1; col <= 14; col++ {
				cell, err := excelize.CoordinatesToCellName(col, row)
				check(t, err)
				value, err := f.GetCellValue(name, cell, excelize.Options{RawCellValue: true})
				check(t, err)
				formula, err := f.GetCellFormula(name, cell)
				check(t, err)
				style, err := f.GetCellStyle(name, cell)
				check(t, err)
				out[name+"!"+cell] = fmt.Sprintf("%s|%s|%d", value, formula, style)
			}
		}
	}
	return out
}

var quoteOfTwo = []string{"RS-10 10-1|@1 0.11 @10 0.08 @100 0.055|stock 60", "NEW-7 77|3 1.25|moq 3"}

func quotes(t testing.TB, texts []string) []bom.QuotedPart {
	var out []bom.QuotedPart
	for _, text := range texts {
		out = append(out, priced(t, text))
	}
	return out
}

// TestWorkbook: after entering, only the XML of one sheet and the mark that has
// formulas worked out anew are other bytes, and only the cells that were meant
// are other cells, whoever reads them.
func TestWorkbook(t *testing.T) {
	data := kept(t)
	out, said := put(t, "prices.xlsx", data, quotes(t, quoteOfTwo))
	if said != "" {
		t.Errorf("said %q", said)
	}
	if got := changed(parts(t, data), parts(t, out)); !slices.Equal(got, []string{"xl/workbook.xml", "xl/worksheets/sheet1.xml"}) {
		t.Errorf("other parts: %v", got)
	}
	want := map[string]string{
		"offers!F4": "0.11", "offers!D4": "60", "offers!D5": "60", "offers!G4": "46328", "offers!G5": "46328",
		"offers!A7": "RS-10", "offers!B7": "Corner Parts", "offers!C7": "10-1", "offers!D7": "60", "offers!E7": "100", "offers!F7": "0.055", "offers!G7": "46328",
		"offers!A8": "NEW-7", "offers!B8": "Corner Parts", "offers!C8": "77", "offers!E8": "3", "offers!F8": "1.25", "offers!G8": "46328",
	}
	was, is := sheetCells(t, data), sheetCells(t, out)
	for cell, old := range was {
		value, ok := want[cell]
		like := cell
		if strings.HasPrefix(cell, "offers!") && (strings.HasSuffix(cell, "7") || strings.HasSuffix(cell, "8")) && len(cell) == len("offers!A7") {
			like = cell[:len(cell)-1] + "6" // as the row above is formatted
		}
		style := was[like][strings.LastIndex(was[like], "|"):]
		switch {
		case !ok && like == cell && is[cell] != old:
			t.Errorf("%s was %s and is %s", cell, old, is[cell])
		case ok && is[cell] != value+"|"+style:
			t.Errorf("%s is %s, %s%s is wanted", cell, is[cell], value, style)
		case !ok && like != cell && is[cell] != "|"+style:
			t.Errorf("%s is %s", cell, is[cell])
		}
	}
	f, err := excelize.OpenReader(bytes.NewReader(out))
	check(t, err)
	defer f.Close()
	if height, err := f.GetRowHeight("offers", 8); err != nil || height != 21 {
		t.Errorf("row 8 is %v high (%v)", height, err)
	}
	if ref, err := f.GetSheetDimension("offers"); err != nil || ref != "A1:I8" {
		t.Errorf("the sheet holds %s (%v)", ref, err)
	}
	if again, _ := put(t, "prices.xlsx", out, quotes(t, quoteOfTwo)); !bytes.Equal(again, out) {
		t.Errorf("entered again, other parts: %v", changed(parts(t, out), parts(t, again)))
	}
}

// TestWorkbookTable: a table and a filter hold the rows and columns that are
// added.
func TestWorkbookTable(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(kept(t)))
	check(t, err)
	defer f.Close()
	check(t, f.SetCellValue("offers", "I3", "twice"))
	check(t, f.AddTable("offers", &excelize.Table{Range: "A3:I6", Name: "offers_table", StyleName: "TableStyleLight1"}))
	var b bytes.Buffer
	check(t, f.Write(&b))
	data := b.Bytes()
	out, _ := put(t, "prices.xlsx", data, quotes(t, []string{"NEW-7 77|1 1.25|multiple 5"}))
	if got := changed(parts(t, data), parts(t, out)); !slices.Equal(got, []string{"xl/tables/table1.xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"}) {
		t.Errorf("other parts: %v", got)
	}
	text := parts(t, out)["xl/tables/table1.xml"]
	for _, want := range []string{`ref="A3:J7"`, `<autoFilter ref="A3:J7"`, `<tableColumns count="10">`, `name="Multiple"/></tableColumns>`} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not in %s", want, text)
		}
	}
	g, err := excelize.OpenReader(bytes.NewReader(out))
	check(t, err)
	defer g.Close()
	tables, err := g.GetTables("offers")
	if err != nil || len(tables) != 1 || tables[0].Range != "A3:J7" {
		t.Errorf("tables %+v (%v)", tables, err)
	}
}

func TestWorkbookFilter(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(kept(t)))
	check(t, err)
	defer f.Close()
	check(t, f.AutoFilter("offers", "A3:I6", nil))
	var b bytes.Buffer
	check(t, f.Write(&b))
	out, _ := put(t, "prices.xlsx", b.Bytes(), quotes(t, quoteOfTwo))
	p := parts(t, out)
	if !strings.Contains(p["xl/worksheets/sheet1.xml"], `<autoFilter ref="$A$3:$I$8"`) && !strings.Contains(p["xl/worksheets/sheet1.xml"], `<autoFilter ref="A3:I8"`) {
		t.Errorf("the filter was not extended: %s", p["xl/worksheets/sheet1.xml"])
	}
	if !strings.Contains(p["xl/workbook.xml"], "$A$3:$I$8") {
		t.Errorf("nor its name: %s", p["xl/workbook.xml"])
	}
}

// TestWorkbookRefused: where writing is not safe, one message says why.
func TestWorkbookRefused(t *testing.T) {
	with := func(change func(f *excelize.File)) []byte {
		f, err := excelize.OpenReader(bytes.NewReader(kept(t)))
		check(t, err)
		defer f.Close()
		change(f)
		var b bytes.Buffer
		check(t, f.Write(&b))
		return b.Bytes()
	}
	signed := func(name string) []byte {
		data := kept(t)
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		check(t, err)
		var b bytes.Buffer
		w := zip.NewWriter(&b)
		for _, f := range z.File {
			check(t, w.Copy(f))
		}
		_, err = w.Create(name)
		check(t, err)
		check(t, w.Close())
		return b.Bytes()
	}
	for _, c := range []struct {
		why  string
		data []byte
		said string
	}{
		{"a protected sheet", with(func(f *excelize.File) {
			check(t, f.ProtectSheet("offers", &excelize.SheetProtectionOptions{Password: "x"}))
		}), "the sheet offers is protected; lift the protection in the spreadsheet"},
		{"merged cells", with(func(f *excelize.File) { check(t, f.MergeCell("offers", "H4", "H5")) }),
			"the cells H4:H5 of the sheet offers are merged; unmerge them"},
		{"merged cells where rows are added", with(func(f *excelize.File) { check(t, f.MergeCell("offers", "A7", "B9")) }),
			"the cells A7:B9 of the sheet offers are merged; unmerge them"},
		{"something below", with(func(f *excelize.File) { check(t, f.SetCellValue("offers", "F8", 5)) }),
			`prices.xlsx:offers:8:6: something stands below the offers, where rows would be added ("5" in F8); move it above the headings or to another sheet`},
		{"a signature of the package", signed("_xmlsignatures/origin.sigs"), "the workbook is signed, and writing into it would break that; save a copy without the signature"},
		{"a signature of macros", signed("xl/vbaProjectSignature.bin"), "the workbook is signed, and writing into it would break that; save a copy without the signature"},
		{"a formula that others share", with(func(f *excelize.File) {
			kind, ref := excelize.STCellFormulaTypeShared, "F4:F5"
			check(t, f.SetCellFormula("offers", "F4", "E4*0.1", excelize.FormulaOpts{Type: &kind, Ref: &ref}))
		}), "the formula in F4 of the sheet offers is shared by other cells; type a figure in its place"},
	} {
		t.Run(c.why, func(t *testing.T) {
			out, said := put(t, "prices.xlsx", c.data, quotes(t, quoteOfTwo))
			if out != nil || said != c.said+"\n" {
				t.Errorf("said %q, %q is wanted", said, c.said)
			}
		})
	}
}

// TestCalculationChain: a cell whose formula is replaced leaves the order of
// calculation, and the entries after it still name their sheets; a chain without
// entries goes with all that names it.
func TestCalculationChain(t *testing.T) {
	chain := func(entries string) map[string]string {
		sheet := `<row r="1">` + texts("A1 Part number", "B1 Supplier", "C1 Price", "D1 As of") + `</row>` +
			`<row r="2">` + texts("A2 RS-10", "B2 Corner Parts") + `<c r="C2"><f>1+1</f><v>2</v></c><c r="D2"/></row>`
		data := packed(t, sheet, [2]string{"xl/calcChain.xml", `<calcChain xmlns="` + mainSpace + `">` + entries + `</calcChain>`})
		out, said := put(t, "prices.xlsx", data, quotes(t, []string{"RS-10|1 3"}))
		if said != "" {
			t.Fatal(said)
		}
		return parts(t, out)
	}
	p := chain(`<c r="A9" i="2"/><c r="C2" i="1"/><c r="D9"/><c r="E9" i="2"/>`)
	if want := `<c r="A9" i="2"/><c r="D9" i="1"/><c r="E9" i="2"/></calcChain>`; !strings.HasSuffix(p["xl/calcChain.xml"], want) {
		t.Errorf("the order is %s", p["xl/calcChain.xml"])
	}
	p = chain(`<c r="C2" i="1"/>`)
	_, there := p["xl/calcChain.xml"]
	if there || strings.Contains(p["[Content_Types].xml"], "calcChain") || strings.Contains(p["xl/_rels/workbook.xml.rels"], "calcChain") {
		t.Errorf("the order stays, or something names it: %s", slices.Sorted(maps.Keys(p)))
	}
	if !strings.Contains(p["xl/workbook.xml"], `<calcPr fullCalcOnLoad="1"/>`) {
		t.Errorf("formulas would not be worked out: %s", p["xl/workbook.xml"])
	}
	if strings.Contains(p["xl/worksheets/sheet1.xml"], "<f>") {
		t.Error("the formula stays")
	}
}

const (
	openXML   = `http://schemas.openxmlformats.org/`
	mainSpace = openXML + `spreadsheetml/2006/main`
)

// texts writes cells that hold text: "A1 Part number".
func texts(cells ...string) string {
	out := ""
	for _, c := range cells {
		at, text, _ := strings.Cut(c, " ")
		out += `<c r="` + at + `" t="inlineStr"><is><t>` + text + `</t></is></c>`
	}
	return out
}

// packed makes a workbook of the rows of the tab offers by hand.
func packed(t testing.TB, rows string, more ...[2]string) []byte {
	t.Helper()
	return packedSheet(t, `<worksheet xmlns="`+mainSpace+`"><sheetData>`+rows+`</sheetData></worksheet>`, more...)
}

func packedSheet(t testing.TB, sheetXML string, more ...[2]string) []byte {
	t.Helper()
	types, rels := "", ""
	for _, m := range more {
		kind := strings.TrimSuffix(filepath.Base(m[0]), ".xml")
		types += `<Override PartName="/` + m[0] + `" ContentType="application/xml"/>`
		rels += `<Relationship Id="rId` + kind + `" Type="` + openXML + `officeDocument/2006/relationships/` + kind + `" Target="` + kind + `.xml"/>`
	}
	sheetOf := func(rows ...string) string {
		return `<worksheet xmlns="` + mainSpace + `"><sheetData>` + strings.Join(rows, "") + `</sheetData></worksheet>`
	}
	list, sheetRels := "", ""
	sheets := []struct{ name, xml string }{
		{"offers", sheetXML},
		{"settings", sheetOf(`<row>`+texts("A1 Setting", "B1 Value")+`</row>`, `<row>`+texts("A2 Home currency", "B2 EUR")+`</row>`)},
		{"exchange", sheetOf(`<row>`+texts("A1 Currency", "B1 Rate")+`</row>`, `<row>`+texts("A2 GBP", "B2 1.25")+`</row>`)},
	}
	all := [][2]string{}
	for i, s := range sheets {
		n := fmt.Sprint(i + 1)
		list += `<sheet name="` + s.name + `" sheetId="` + n + `" r:id="rId` + n + `"/>`
		sheetRels += `<Relationship Id="rId` + n + `" Type="` + openXML + `officeDocument/2006/relationships/worksheet" Target="worksheets/sheet` + n + `.xml"/>`
		all = append(all, [2]string{"xl/worksheets/sheet" + n + ".xml", s.xml})
	}
	all = append(all, more...)
	all = append(all, [][2]string{
		{"[Content_Types].xml", `<Types xmlns="` + openXML + `package/2006/content-types">` + types + `</Types>`},
		{"_rels/.rels", `<Relationships xmlns="` + openXML + `package/2006/relationships"><Relationship Id="rId1" Type="` + openXML +
			`officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + mainSpace + `" xmlns:r="` + openXML + `officeDocument/2006/relationships"><sheets>` + list + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + openXML + `package/2006/relationships">` + sheetRels + rels + `</Relationships>`},
	}...)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range all {
		w, err := z.Create(p[0])
		check(t, err)
		_, err = io.WriteString(w, p[1])
		check(t, err)
	}
	check(t, z.Close())
	return b.Bytes()
}

// TestSheetXML: rows and cells in the forms that the standard allows.
func TestSheetXML(t *testing.T) {
	const head = `<row r="1"><c r="A1" t="inlineStr"><is><t>Part number</t></is></c><c r="B1" t="inlineStr"><is><t>Supplier</t></is></c><c r="C1" t="inlineStr"><is><t>Price</t></is></c></row>`
	sheetOf := func(body string) string { return `<worksheet xmlns="` + mainSpace + `">` + body + `</worksheet>` }
	for _, c := range []struct{ why, in, want string }{
		{"cells and rows without their names, and a hint about columns",
			sheetOf(`<dimension ref="A1:C2"/><cols><col min="1" max="9" style="0"/></cols><sheetData><row spans="1:3">` + texts("A1 Part number", "B1 Supplier", "C1 Price") + `</row><row spans="1:3"><c t="inlineStr"><is><t>RS-10</t></is></c><c t="inlineStr"><is><t>Corner Parts</t></is></c><c><v>2</v></c></row></sheetData>`),
			sheetOf(`<dimension ref="A1:D2"/><cols><col min="1" max="9" style="0"/></cols><sheetData><row spans="1:4">` + texts("A1 Part number", "B1 Supplier", "C1 Price") +
				`<c r="D1" t="inlineStr"><is><t>As of</t></is></c></row><row spans="1:4"><c t="inlineStr"><is><t>RS-10</t></is></c><c t="inlineStr"><is><t>Corner Parts</t></is></c><c r="C2"><v>3</v></c><c r="D2" t="inlineStr"><is><t>2026-11-02</t></is></c></row></sheetData>`)},
		{"no offers yet, and empty rows that wait for some",
			sheetOf(`<sheetData>` + head + `<row r="2" ht="20"/><row r="4"/></sheetData>`),
			sheetOf(`<sheetData>` + strings.Replace(head, "</row>", `<c r="D1" t="inlineStr"><is><t>As of</t></is></c></row>`, 1) +
				`<row r="2" ht="20"><c r="A2" t="inlineStr"><is><t>RS-10</t></is></c><c r="B2" t="inlineStr"><is><t>Corner Parts</t></is></c><c r="C2"><v>3</v></c><c r="D2" t="inlineStr"><is><t>2026-11-02</t></is></c></row><row r="4"/></sheetData>`)},
		{"a prefix, comments, a mark at the start, attributes in single quotes",
			"\xEF\xBB\xBF<?xml version='1.0'?><x:worksheet xmlns:x='" + mainSpace + `'><!-- <row> --><x:dimension ref='A1:C1' /><x:sheetData><x:row r='1'><x:c r="A1" t="inlineStr"><x:is><x:t>Part number</x:t></x:is></x:c><x:c r="B1" t="inlineStr"><x:is><x:t>Supplier</x:t></x:is></x:c><x:c r="C1" t="inlineStr"><x:is><x:t>Price</x:t></x:is></x:c></x:row><!-- end --></x:sheetData></x:worksheet>`,
			"\xEF\xBB\xBF<?xml version='1.0'?><x:worksheet xmlns:x='" + mainSpace + `'><!-- <row> --><x:dimension ref='A1:D2' /><x:sheetData><x:row r='1'><x:c r="A1" t="inlineStr"><x:is><x:t>Part number</x:t></x:is></x:c><x:c r="B1" t="inlineStr"><x:is><x:t>Supplier</x:t></x:is></x:c><x:c r="C1" t="inlineStr"><x:is><x:t>Price</x:t></x:is></x:c><x:c r="D1" t="inlineStr"><x:is><x:t>As of</x:t></x:is></x:c></x:row><!-- end --><x:row r="2"><x:c r="A2" t="inlineStr"><x:is><x:t>RS-10</x:t></x:is></x:c><x:c r="B2" t="inlineStr"><x:is><x:t>Corner Parts</x:t></x:is></x:c><x:c r="C2"><x:v>3</x:v></x:c><x:c r="D2" t="inlineStr"><x:is><x:t>2026-11-02</x:t></x:is></x:c></x:row></x:sheetData></x:worksheet>`},
	} {
		t.Run(c.why, func(t *testing.T) {
			data := packedSheet(t, c.in)
			out, said := put(t, "prices.xlsx", data, quotes(t, []string{"RS-10|1 3"}))
			got := parts(t, out)["xl/worksheets/sheet1.xml"]
			if got != c.want || said != "" {
				t.Errorf("%s\nis written, and should be\n%s\nsaid %s", got, c.want, said)
			}
		})
	}
}

// TestEncodings: a CSV file keeps its encoding, its byte order mark and what it is
// not asked to change.
func TestEncodings(t *testing.T) {
	const in, want = "Part number;Supplier;Price;Note\r\nRS-10;Corner Parts;2,5;µF größer\r\n", "Part number;Supplier;Price;Note;As of\r\nRS-10;Corner Parts;3,00;µF größer;2026-11-02\r\n"
	for i, c := range codings[:7] {
		encode := func(s string) []byte {
			out, err := c.encode(s)
			check(t, err)
			return out
		}
		data := encode(in)
		if tables, problems := table.Read("offers.csv", data, table.Limits{}); problems.Failed() || len(tables) == 0 {
			t.Fatalf("coding %d: %v", i, problems)
		}
		out, said := put(t, "offers.csv", data, quotes(t, []string{"RS-10|1 3"}))
		if !bytes.Equal(out, encode(want)) || said != "" {
			t.Errorf("coding %d: %q is written, %q is wanted; said %s", i, out, encode(want), said)
		}
	}
}

func TestOpenDocument(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range []string{"mimetype", "content.xml"} {
		_, err := z.Create(name)
		check(t, err)
	}
	check(t, z.Close())
	_, _, err := (&Edit{}).Write(b.Bytes())
	if want := "the file is an OpenDocument sheet, which is read and not written into; save it as XLSX"; err == nil || err.Error() != want {
		t.Errorf("%v, %s is wanted", err, want)
	}
}

// TestCheck: whatever differs from what was meant is found.
func TestCheck(t *testing.T) {
	data := kept(t)
	tables, _ := table.Read("prices.xlsx", data, table.Limits{})
	edit, _ := entered(t, tables, quotes(t, quoteOfTwo))
	out, _, err := edit.Write(data)
	check(t, err)
	for _, c := range []struct {
		why    string
		change func(tables []bom.Table)
	}{
		{"a cell of another sheet", func(all []bom.Table) { all[1].Rows[1].Cells[1].Text = "USD" }},
		{"a cell that was written", func(all []bom.Table) { all[0].Rows[2].Cells[5].Text = "0.12" }},
		{"a cell that was not", func(all []bom.Table) { all[0].Rows[2].Cells[7].Text = "reel" }},
		{"a cell more", func(all []bom.Table) {
			all[0].Rows[6].Cells = append(all[0].Rows[6].Cells, bom.Cell{Col: 20, Text: "x"})
		}},
		{"a row less", func(all []bom.Table) { all[0].Rows = all[0].Rows[:6] }},
		{"a sheet less", func(all []bom.Table) { all[5].Sheet = "list" }},
	} {
		again, problems := table.Read("prices.xlsx", out, table.Limits{})
		if problems.Failed() {
			t.Fatal(problems)
		}
		check(t, edit.Check(tables, again))
		c.change(again)
		if err := edit.Check(tables, again); err == nil {
			t.Errorf("%s is not found", c.why)
		}
	}
}

// Reference: LibreOffice opens what was written into its own workbook and into
// excelize's, and reads the cells that were meant and all others as before; in its
// own, every part but the sheet and the list of sheets is the same bytes.
func TestLibreOfficeReadsWhatWasEntered(t *testing.T) {
	const asCSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"
	old := map[string][]byte{"made": kept(t)}
	old["office"] = checks.Recalculated(t, old, "xlsx")["made.xlsx"]
	books := map[string][]byte{}
	for name, data := range old {
		out, said := put(t, "prices.xlsx", data, quotes(t, quoteOfTwo))
		if said != "" {
			t.Errorf("%s: said %q", name, said)
		}
		for _, part := range changed(parts(t, data), parts(t, out)) {
			if part != "xl/workbook.xml" && part != "xl/worksheets/sheet1.xml" {
				t.Errorf("%s: %s is other bytes", name, part)
			}
		}
		books[name+"-old"], books[name+"-new"] = data, out
	}
	sheets, again := checks.Recalculated(t, books, asCSV), checks.Recalculated(t, books, "xlsx")
	for name := range old {
		for file, text := range sheets {
			sheet, mine := strings.CutPrefix(file, name+"-old-")
			if mine && sheet != "offers.csv" && sheet != "my sums.csv" && !bytes.Equal(sheets[name+"-new-"+sheet], text) {
				t.Errorf("%s was\n%s\nand is\n%s", file, text, sheets[name+"-new-"+sheet])
			}
		}
		const want = `what we pay for parts,,,,,,,,
,,,,,,,,
Part number,Supplier,Order code,Stock,From,Price,As of,Note,twice
RS-10,Corner Parts,10-1,60,1,0.11,2026-11-02,reel & tape,0.22
RS-10,Corner Parts,10-1,60,10,0.08,2026-11-02,,0.16
SC-3,Far Shore,S-1,,1,2.4,2026-03-01,of steel,
RS-10,Corner Parts,10-1,60,100,0.055,2026-11-02,,
NEW-7,Corner Parts,77,,3,1.25,2026-11-02,,
`
		if got := strings.ReplaceAll(string(sheets[name+"-new-offers.csv"]), `"`, ""); got != want {
			t.Errorf("%s: LibreOffice reads\n%s\nand should\n%s", name, got, want)
		}
		if got, want := string(sheets[name+"-new-my sums.csv"]), "all,2.59\nhalf,1.295\n"; got != want {
			t.Errorf("%s: LibreOffice works out\n%s\nand should\n%s", name, got, want)
		}
		before, after := cellsKept(t, again[name+"-old.xlsx"]), cellsKept(t, again[name+"-new.xlsx"])
		if !reflect.DeepEqual(before, after) || before["charts"] != 1 {
			t.Errorf("%s: LibreOffice keeps\n%v\nand of the old one\n%v", name, after, before)
		}
	}
}

// cellsKept lists what LibreOffice keeps of a workbook besides cells.
func cellsKept(t *testing.T, data []byte) map[string]any {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	check(t, err)
	defer f.Close()
	out := map[string]any{}
	width, err := f.GetColWidth("offers", "H")
	check(t, err)
	out["width"] = width
	for _, name := range []string{"offers", "suppliers"} {
		comments, err := f.GetComments(name)
		check(t, err)
		out["notes "+name] = len(comments)
	}
	rules, err := f.GetDataValidations("offers")
	check(t, err)
	out["drop-downs"] = len(rules)
	formats, err := f.GetConditionalFormats("offers")
	check(t, err)
	out["formats"] = slices.Sorted(maps.Keys(formats))
	for _, n := range f.GetDefinedName() {
		out["name "+n.Name] = n.RefersTo
	}
	visible, err := f.GetSheetVisible("lists")
	check(t, err)
	out["hidden"] = !visible
	charts := 0
	for name := range parts(t, data) {
		if strings.HasPrefix(name, "xl/charts/chart") {
			charts++
		}
	}
	out["charts"] = charts
	return out
}

// FuzzSheet writes into a sheet whose rows may be anything that is read without
// an error: what comes out holds the cells that were meant and all others as
// before, and nothing is left to enter.
func FuzzSheet(f *testing.F) {
	head := `<row r="1">` + texts("A1 Part number", "B1 Supplier", "C1 Price", "D1 From", "E1 Stock") + `</row>`
	f.Add(`<sheetData>`+head+`<row r="2">`+texts("A2 RS-10", "B2 Corner Parts")+`<c r="C2"><v>2</v></c></row></sheetData><autoFilter ref="A1:E2"/>`, byte(0))
	f.Add(`<dimension ref="A1"/><cols><col min="1" max="3" style="2"/></cols><sheetData>`+head+`<row/><row spans="1:2"><c t="inlineStr"><is><t>RS-10</t></is></c><c t="inlineStr"><is><t>corner  parts</t></is></c></row></sheetData>`, byte(1))
	f.Add(`<sheetData><row r="3">`+texts("B3 Part number", "C3 Supplier", "D3 @1", "E3 @10")+`</row><row r="4"><c r="A4" s="3"/>`+texts("B4 RS-10", "C4 Corner Parts")+`<c r="D4"><f>1+1</f><v>2</v></c></row><row r="9"/></sheetData><mergeCells><mergeCell ref="A1:B1"/></mergeCells>`, byte(2))
	f.Fuzz(func(t *testing.T, body string, which byte) {
		if len(body) > 1<<13 {
			return
		}
		texts := [][]string{quoteOfTwo, {"RS-10|1 3"}, {"RS-10|@1 0.5 @50 0.25|stock 0 in GBP"}, {"YY|7 1|pieces 10 multiple 2"}}
		fuzzPut(t, "prices.xlsx", packedSheet(t, `<worksheet xmlns="`+mainSpace+`">`+body+`</worksheet>`), texts[int(which)%len(texts)])
	})
}

// FuzzCSV does the same with a CSV file.
func FuzzCSV(f *testing.F) {
	f.Add("Part number,Supplier,Price\nRS-10,Corner Parts,2\n", byte(0))
	f.Add("sep=;\r\nPart number;Supplier;@1;@10\r\n\"RS-10\";\"corner \r\n parts\";\"2,50\"; x \r\n;;\r", byte(2))
	f.Add("\xEF\xBB\xBFtitle\n\nPart number\tSupplier\tFrom\tPrice\tMOQ\nRS-10\tCorner Parts\t1\t2\t\nRS-10\tCorner Parts\t10\t1", byte(3))
	f.Fuzz(func(t *testing.T, text string, which byte) {
		if len(text) > 1<<13 {
			return
		}
		texts := [][]string{quoteOfTwo, {"RS-10|1 3"}, {"RS-10|@1 0.5 @50 0.25|stock 0 in GBP"}, {"YY|7 1|pieces 10 multiple 2"}}
		fuzzPut(t, "offers.csv", []byte(text), texts[int(which)%len(texts)])
	})
}

func fuzzPut(t *testing.T, name string, data []byte, quote []string) {
	read := func(data []byte) ([]bom.Table, *Edit) {
		tables, problems := table.Read(name, data, table.Limits{UnzipBytes: 4 << 20, Rows: 2000, Cells: 20000})
		if problems.Failed() {
			return nil, nil
		}
		return tables, laidOut(t, tables, quote)
	}
	tables, edit := read(data)
	if edit == nil {
		return
	}
	out, _, err := edit.Write(data)
	if err != nil {
		return // refused
	}
	again, next := read(out)
	if again == nil {
		t.Fatalf("what was written cannot be read: %q", out)
	}
	if err := edit.Check(tables, again); err != nil {
		t.Fatalf("%v in %q", err, out)
	}
	if next != nil && !next.Empty() {
		t.Errorf("entered again, %v is still to be written into %q", next.Cells, out)
	}
}
