package table

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

var update = flag.Bool("update", false, "write the files of fixtures/bad anew")

var badDir = filepath.Join("..", "..", "fixtures", "bad")

// badFile is one file of fixtures/bad, all of them invented. wrong is what this
// package says of it; empty where the fault lies in what the cells mean, which
// the readers of tables find.
type badFile struct {
	name  string
	make  func(t testing.TB) []byte
	wrong string
}

func text(s string) func(testing.TB) []byte {
	return func(testing.TB) []byte { return []byte(s) }
}

var badFiles = []badFile{
	{"empty.csv", text(""), "the file is empty"},
	{"blank-lines.csv", text("\n\r\n ;;\n\n"), "the file is empty"},
	{"heading-only.csv", text("Designator,Quantity,Part number,Mount\n"), ""},
	{"no-heading.csv", text("R1,1,P-0010\nR2,1,P-0010\n"), ""},
	{"unclosed-quote.csv", text("Designator,Quantity,Part number,Description\nR1,1,P-0010,\"resistor, 10 k\nR2,1,P-0010,resistor\n"), "the quote that opens here is never closed"},
	{"text-after-quote.csv", text("Designator,Quantity,Part number\nR1,1,\"P-0010\"x\n"), "text stands after the closing quote"},
	{"exponent.csv", text("Part number,Supplier,Price,Currency\nP-0010,Larkfield Parts,1e999999999,EUR\n"), ""},
	{"negative-price.csv", text("Part number,Supplier,Price,Currency\nP-0010,Larkfield Parts,-0.05,EUR\n"), ""},
	{"two-ways.csv", text("Part number,Supplier,Price,Currency\nP-0010,Larkfield Parts,\"1,234\",EUR\n"), ""},
	{"negative-quantity.csv", text("Designator,Quantity,Part number,Mount\nR1,-1,P-0010,SMT\n"), ""},
	{"zero-quantity.csv", text("Quantity,Part number,Kind\n0,P-0900,fastener\n"), ""},
	{"quantity-beyond-count.csv", text("Designator,Quantity,Part number,Mount\n\"R1, R2, R3\",4,P-0010,SMT\n"), ""},
	{"doubled-designator.csv", text("Designator,Quantity,Part number,Mount\n\"R1,R2\",2,P-0010,SMT\nR2,1,P-0011,SMT\n"), ""},
	{"huge-range.csv", text("Designator,Quantity,Part number,Mount\nR1-R999999999,1,P-0010,SMT\n"), ""},
	{"own-bom.csv", text("Designator,Quantity,Kind,File\n,1,assembly,own-bom.csv\n"), ""},
	{"outside.csv", text("Designator,Quantity,Kind,File\n,1,board,../../../outside.csv\n"), ""},
	{"binary.bin", text("\x7fBIN\x01\x00\x02\xfe\xff\x00\x13\x37\x00\x00\x80\x90\x0c\x01"), "the file holds bytes that are not text"},
	{"page.csv", text("<!DOCTYPE html><html><body>sign in to go on</body></html>\n"), "the file is a document or a web page, not a table"},
	{"mixed-encoding.csv", text("Designator,Quantity,Part number,Value\nC1,1,P-0020,1 мкФ\nC2,1,P-0021,1 \xb5F\n"), "a character is not UTF-8, though the rest of the file is"},
	{"utf16-le-cut.csv", func(testing.TB) []byte { return append(utf16Bytes("Designator;Quantity\nR1;1", false, true), 'x') }, "the UTF-16 text is cut or damaged"},
	{"utf16-be-half-pair.csv", func(testing.TB) []byte {
		return append(utf16Bytes("Designator;Quantity\nR1;", true, true), 0xD8, 0x08, 0, 'x')
	}, "the UTF-16 text is cut or damaged"},
	{"utf16-no-mark.csv", func(testing.TB) []byte { return utf16Bytes("Designator;Quantity\nR1;-1\n", false, false) }, ""},
	{"encrypted.xlsx", encryptedBook, "the workbook is encrypted"},
	{"old.xls", func(t testing.TB) []byte { return compound(t, "Workbook") }, "the file is an old binary workbook (.xls)"},
	{"page.xls", text("\r\n<meta charset=\"utf-8\"><table><tr><td>Designator</td><td>Quantity</td></tr><tr><td>R1</td><td>1</td></tr></table>\n"), "the file is a document or a web page, not a table"},
	{"pointer.csv", text(pointerText), "the file is a pointer to a file kept elsewhere"},
	{"damaged.ods", func(t testing.TB) []byte {
		return breakPart(t, document(sheetOf(`<table:table-row><table:table-cell office:value-type="float" office:value="1234"/></table:table-row>`)), "content.xml", `"1234"`, `"1834"`)
	}, "the checksum of the part content.xml is wrong"},
	{"encrypted.ods", func(t testing.TB) []byte {
		return pack(t, part{"mimetype", mimeStart + "spreadsheet"}, part{"content.xml", "\x01\x02"}, part{"META-INF/manifest.xml", lockedManifest})
	}, "the workbook is encrypted"},
	{"billion-rows.ods", func(t testing.TB) []byte {
		return ods(t, sheetOf(`<table:table-row table:number-rows-repeated="1000000000"><table:table-cell><text:p>Quantity</text:p></table:table-cell></table:table-row>`))
	}, "the table has more than 200000 rows"},
	{"truncated.xlsx", func(t testing.TB) []byte { b := sample(t); return b[:len(b)/2] }, "the workbook is cut short or damaged"},
	{"damaged.xlsx", func(t testing.TB) []byte {
		return breakPart(t, book(data(`<row r="1"><c r="A1"><v>1234</v></c></row>`)), "sheet1.xml", "<v>1234</v>", "<v>1834</v>")
	}, "the checksum of the part xl/worksheets/sheet1.xml is wrong"},
	{"cut-sheet.xlsx", func(t testing.TB) []byte {
		return pack(t, book(sheetOpen+`<sheetData><row r="1"><c r="A1"><v>1</v></c></row>`)...)
	}, "the sheet is damaged here or after this"},
	{"shuffled-cells.xlsx", func(t testing.TB) []byte {
		return pack(t, book(data(`<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>2</v></c></row>`))...)
	}, "the sheet is damaged here or after this"},
	{"bomb.xlsx", func(t testing.TB) []byte {
		return pack(t, book(data(strings.Repeat(`<row><c><v>1</v></c></row>`, 500_000)))...)
	}, "the workbook unpacks to"},
	{"last-column.xlsx", func(t testing.TB) []byte {
		return pack(t, book(data(`<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>`))...)
	}, "a cell stands in column 16384"},
	{"archive.zip", func(t testing.TB) []byte { return pack(t, part{"unit.csv", "Designator,Quantity\nR1,1\n"}) }, "the file is a zip archive without a workbook in it"},
	{"faults.xlsx", func(t testing.TB) []byte {
		return pack(t, book(data(`<row r="1"><c r="A1" t="str"><v>Designator</v></c><c r="B1" t="str"><v>Quantity</v></c><c r="C1" t="str"><v>Part number</v></c></row>`+
			`<row r="2"><c r="A2" t="str"><v>R1</v></c><c r="B2" t="e"><v>#N/A</v></c><c r="C2"><f>D2</f></c></row>`))...)
	}, ""},
	{"dated-part.xlsx", func(t testing.TB) []byte {
		return pack(t, book(data(`<row r="1"><c r="A1" t="str"><v>Quantity</v></c><c r="B1" t="str"><v>Part number</v></c></row>`+
			`<row r="2"><c r="A2"><v>1</v></c><c r="B2" t="d"><v>2026-10-12</v></c></row>`))...)
	}, ""},
	{"missing-tabs.xlsx", func(t testing.TB) []byte {
		return pack(t, book(data(`<row r="1"><c r="A1" t="str"><v>Setting</v></c><c r="B1" t="str"><v>Value</v></c></row>`))...)
	}, ""},
}

// TestWriteBad keeps fixtures/bad equal to the list above: run it with -update
// to write the files anew. A large cell is not among them: TestLimits makes it.
func TestWriteBad(t *testing.T) {
	if *update {
		must(t, os.MkdirAll(badDir, 0o755))
		for _, f := range badFiles {
			must(t, os.WriteFile(filepath.Join(badDir, f.name), f.make(t), 0o644))
		}
	}
	entries, err := os.ReadDir(badDir)
	must(t, err)
	var on []string
	for _, e := range entries {
		on = append(on, e.Name())
	}
	var listed []string
	for _, f := range badFiles {
		listed = append(listed, f.name)
	}
	slices.Sort(listed)
	if !slices.Equal(on, listed) {
		t.Errorf("fixtures/bad holds\n%v\nand should hold\n%v", on, listed)
	}
}

// Each bad file gives its message with the file's name, or cells for the
// readers to refuse; none of them gives neither.
func TestBad(t *testing.T) {
	for _, f := range badFiles {
		t.Run(f.name, func(t *testing.T) {
			tables, probs := Open(filepath.Join(badDir, f.name), f.name, Limits{})
			errs := probs.Of(bom.Error)
			switch {
			case f.wrong == "" && (len(errs) > 0 || len(tables) == 0 || len(tables[0].Rows) == 0):
				t.Errorf("want cells, got\n%s%s", show(tables), said(probs))
			case f.wrong != "" && (len(errs) != 1 || !strings.Contains(errs[0].What, f.wrong) || errs[0].Place.File != f.name):
				t.Errorf("want %q, got\n%s", f.wrong, said(probs))
			}
		})
	}
}

// A quantity of 1e999999999 in a workbook comes as it stands.
func TestHugeExponentIsKept(t *testing.T) {
	content := write(t, func(f *excelize.File) { must(t, f.SetCellDefault("Sheet1", "A1", "1e999999999")) })
	tables, _ := Read("x", content, Limits{})
	if got := show(tables); got != "[Sheet1]\n1: A=\"1e999999999\"\n" {
		t.Errorf("got %s", got)
	}
}
