package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// show writes tables so that a test row can say what it wants: one line per
// row, number and cells, the kind before a cell that is not text.
func show(tables []bom.Table) string {
	var b strings.Builder
	kinds := map[bom.CellKind]string{bom.Native: "#", bom.Percent: "%", bom.DateISO: "@", bom.Logic: "?", bom.Fault: "!", bom.Stale: "~"}
	for _, t := range tables {
		if t.Sheet != "" {
			fmt.Fprintf(&b, "[%s]\n", t.Sheet)
		}
		for _, r := range t.Rows {
			fmt.Fprintf(&b, "%d:", r.Number)
			for _, c := range r.Cells {
				fmt.Fprintf(&b, " %s%s=%q", bom.ColumnLetters(c.Col), kinds[c.Kind], c.Text)
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func said(probs bom.Problems) string {
	var b strings.Builder
	for _, p := range probs {
		fmt.Fprintln(&b, p)
	}
	return b.String()
}

// write makes a workbook by the hand of excelize.
func write(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	must(t, f.Write(&b))
	return b.Bytes()
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// part is one part of a workbook made by hand.
type part struct{ name, text string }

// pack makes a zip archive.
func pack(t testing.TB, list ...part) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range list {
		w, err := z.Create(p.name)
		must(t, err)
		_, err = io.WriteString(w, p.text)
		must(t, err)
	}
	must(t, z.Close())
	return b.Bytes()
}

const (
	typesXML = `<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`
	rootRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	bookXML = `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">` +
		`<sheets><sheet name="unit" sheetId="1" r:id="rId1"/></sheets></workbook>`
	bookRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/>` +
		`<Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>`
	sheetOpen  = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`
	sheetClose = `</worksheet>`
)

// book gives the parts of a workbook with one sheet, to be changed by a test.
func book(sheet string, more ...part) []part {
	return append([]part{
		{"[Content_Types].xml", typesXML},
		{"_rels/.rels", rootRels},
		{"xl/workbook.xml", bookXML},
		{"xl/_rels/workbook.xml.rels", bookRels},
		{"xl/worksheets/sheet1.xml", sheet},
	}, more...)
}

// data wraps rows as the XML of a sheet.
func data(rows string) string {
	return sheetOpen + "<sheetData>" + rows + "</sheetData>" + sheetClose
}

// oneError reads what must fail, and gives the one error that is said.
func oneError(t *testing.T, name string, content []byte, lim Limits) bom.Problem {
	t.Helper()
	tables, probs := Read(name, content, lim)
	errs := probs.Of(bom.Error)
	if len(errs) != 1 {
		t.Fatalf("%d errors, want one:\n%s%s", len(errs), said(probs), show(tables))
	}
	return errs[0]
}

// manifestXML lists the parts of a package of OpenDocument.
const manifestXML = `<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.3">` +
	`<manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>`

// spaces are the namespaces of OpenDocument that are used here.
const spaces = ` xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0"` +
	` xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"` +
	` xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0" xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" xmlns:calcext="` + calcSpace + `"`

// spreadsheet wraps tables as the content of an OpenDocument spreadsheet.
func spreadsheet(tables string) string {
	return `<office:document-content` + spaces + `><office:body><office:spreadsheet>` + tables + `</office:spreadsheet></office:body></office:document-content>`
}

// sheetOf wraps what stands in a sheet as a spreadsheet with that sheet alone.
func sheetOf(rows string) string {
	return spreadsheet(`<table:table table:name="unit">` + rows + `</table:table>`)
}

// document gives the parts of a package of OpenDocument, to be changed by a test.
func document(content string, more ...part) []part {
	return append([]part{
		{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"},
		{"content.xml", content},
		{"META-INF/manifest.xml", manifestXML},
	}, more...)
}

// ods packs a spreadsheet.
func ods(t testing.TB, content string) []byte { return pack(t, document(content)...) }
