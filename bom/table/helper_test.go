package table

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf16"

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

// compound makes a compound file of empty streams ([MS-CFB], from memory): a
// header, a sector that tells where sectors go on, and one of directory entries,
// each but the last with the next one at its right.
func compound(t testing.TB, streams ...string) []byte {
	t.Helper()
	if len(streams) > 3 {
		t.Fatal("a sector has room for three streams")
	}
	const none = 0xFFFFFFFF
	le := binary.LittleEndian
	b := bytes.Repeat([]byte{0xFF}, 3*512)
	copy(b, make([]byte, 76))
	copy(b, "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1")
	copy(b[24:], "\x3E\x00\x03\x00\xFE\xFF\x09\x00\x06\x00") // version 3, sectors of 2^9 and 2^6 bytes
	le.PutUint32(b[44:], 1)                                  // one sector of the table
	le.PutUint32(b[48:], 1)                                  // the directory begins in sector 1
	le.PutUint32(b[56:], 4096)
	le.PutUint32(b[60:], none-1)
	le.PutUint32(b[68:], none-1)
	le.PutUint32(b[76:], 0)       // the table is sector 0
	le.PutUint32(b[512:], none-2) // which is part of the table
	le.PutUint32(b[516:], none-1) // the directory ends where it begins
	copy(b[1024:], make([]byte, 512))
	for i, name := range append([]string{"Root Entry"}, streams...) {
		entry := b[1024+128*i:]
		for k, r := range utf16.Encode([]rune(name)) {
			le.PutUint16(entry[2*k:], r)
		}
		le.PutUint16(entry[64:], uint16(2*len(name)+2))
		right, child := uint32(none), uint32(none)
		if entry[66] = 2; i == 0 {
			entry[66], child = 5, 1
		} else if i < len(streams) {
			right = uint32(i + 1)
		}
		le.PutUint32(entry[68:], none)
		le.PutUint32(entry[72:], right)
		le.PutUint32(entry[76:], child)
		le.PutUint32(entry[116:], none-1)
	}
	return b
}

// encryptedBook is a workbook with a password.
func encryptedBook(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	var b bytes.Buffer
	must(t, f.Write(&b, excelize.Options{Password: "invented"}))
	return b.Bytes()
}

// manifestXML lists the parts of a package of OpenDocument.
const manifestXML = `<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.3">` +
	`<manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>`

// lockedManifest is one of a package with a password.
var lockedManifest = strings.Replace(manifestXML, "</manifest:manifest>", `<manifest:file-entry manifest:full-path="content.xml"><manifest:encryption-data/></manifest:file-entry></manifest:manifest>`, 1)

// pointerText stands for a file that is kept elsewhere.
const pointerText = "version https://store.example/spec/v1\noid sha256:4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393\nsize 12345\n"

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
