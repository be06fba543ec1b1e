package table

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// offers invents rows of a price sheet, eight cells each.
func offers(n int) [][]any {
	rnd := rand.New(rand.NewPCG(1, 2))
	rows := [][]any{{"Part number", "Supplier", "Order code", "Stock", "MOQ", "From", "Price", "Note"}}
	for i := range n {
		rows = append(rows, []any{fmt.Sprintf("P-%05d", i/3), "Larkfield Parts", fmt.Sprintf("LP%08d", rnd.IntN(1e8)),
			rnd.IntN(10_000), 1, 10, float64(rnd.IntN(1000)) / 1000, "reel, \"cut\""})
	}
	return rows
}

func offersCSV(n int) []byte {
	var b bytes.Buffer
	for _, row := range offers(n) {
		for i, v := range row {
			if i > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, `"%s"`, strings.ReplaceAll(fmt.Sprint(v), `"`, `""`))
		}
		b.WriteByte('\n')
	}
	return b.Bytes()
}

func offersXLSX(t testing.TB, n int) []byte {
	return write(t, func(f *excelize.File) {
		w, err := f.NewStreamWriter("Sheet1")
		must(t, err)
		for i, row := range offers(n) {
			cell, _ := excelize.CoordinatesToCellName(1, i+1)
			must(t, w.SetRow(cell, row))
		}
		must(t, w.Flush())
	})
}

// offersODS writes them as LibreOffice does, whose cells are long.
func offersODS(t testing.TB, n int) []byte {
	var b strings.Builder
	for _, row := range offers(n) {
		b.WriteString(`<table:table-row table:style-name="ro1">`)
		for _, v := range row {
			kind := `office:value-type="string" calcext:value-type="string"`
			if _, text := v.(string); !text {
				kind = fmt.Sprintf(`office:value-type="float" office:value="%v" calcext:value-type="float"`, v)
			}
			fmt.Fprintf(&b, `<table:table-cell %s><text:p>%v</text:p></table:table-cell>`, kind, v)
		}
		b.WriteString(`<table:table-cell table:number-columns-repeated="16376"/></table:table-row>`)
	}
	return ods(t, sheetOf(b.String()))
}

func bench(b *testing.B, content []byte, rows int) {
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	before := cpuTime(b)
	for b.Loop() {
		tables, probs := Read("x", content, Limits{})
		if rows > 0 && (probs.Failed() || len(tables[0].Rows) != rows) {
			b.Fatal(said(probs))
		}
	}
	b.ReportMetric((cpuTime(b)-before).Seconds()*1000/float64(b.N), "cpu-ms/op")
}

func BenchmarkReadCSV10000(b *testing.B)  { bench(b, offersCSV(10_000), 10_001) }
func BenchmarkReadXLSX10000(b *testing.B) { bench(b, offersXLSX(b, 10_000), 10_001) }

func BenchmarkReadODS10000(b *testing.B) { bench(b, offersODS(b, 10_000), 10_001) }

func BenchmarkEmptyRows50000(b *testing.B) {
	bench(b, pack(b, book(data(`<row r="1"><c r="A1"><v>1</v></c></row>`+emptyRows(50_000)))...), 1)
}

// The worst that one megabyte was found to do, by kind. Each must stay under a
// second and 200 MB.
func BenchmarkWorst(b *testing.B) {
	fill := func(s string, bytes int) string { return strings.Repeat(s, bytes/len(s)) }
	noise := func(n int) string { // keeps a workbook's packed size at a megabyte
		rnd := rand.New(rand.NewPCG(3, 4))
		raw := make([]byte, n)
		for i := range raw {
			raw[i] = byte(rnd.Uint32())
		}
		return string(raw)
	}
	const expanded = 40 * (mebi - 100_000) // all that a megabyte may unpack to
	workbook := func(sheet string, more ...part) []byte {
		return pack(b, book(sheet, append(more, part{"xl/media/noise.bin", noise(mebi - 100_000)})...)...)
	}
	const written = documentExpansion * expanded
	document := func(content string) []byte {
		room := max(0, mebi-len(ods(b, content)))
		return pack(b, document(content, part{"Pictures/noise.bin", noise(room)})...)
	}
	for _, c := range []struct {
		name    string
		content []byte
	}{
		{"csv of one-letter cells", []byte(fill("1,1,1,1,1,1,1,1,1\n", mebi))},
		{"csv of faults", []byte(fill("\"a\"b,\n", mebi))},
		{"csv of open quotes", []byte(fill("\"a\n\"", mebi))},
		{"csv of line ends", []byte(fill("a\n\r\n\r", mebi))},
		{"csv of Windows-1252", []byte(fill("\xb5,\xf6\n", mebi))},
		{"csv of one cell", []byte(fill("a", mebi))},
		{"sheet of numbers", workbook(data(fill(`<row><c><v>1.25</v></c><c><v>2</v></c><c><v>3</v></c></row>`, expanded)))},
		{"sheet of few rows and numbers", workbook(data(fill(`<row>`+fill(`<c><v>123</v></c>`, 16_000)+`</row>`, expanded)))},
		{"sheet of empty rows", workbook(data(fill(`<row/>`, expanded)))},
		{"sheet of empty cells", workbook(data(fill(`<row><c/><c/><c/><c/><c/><c/><c/></row>`, expanded)))},
		{"sheet of attributes", workbook(data(fill(`<row a="" b="" c="" d="" e="" f="" g=""/>`, expanded)))},
		{"sheet of inline texts", workbook(data(fill(`<row><c t="inlineStr"><is><t>a &amp; b</t></is></c></row>`, expanded)))},
		{"sheet of comments in a value", workbook(data(`<row><c><v>` + fill(`1<!---->`, expanded) + `</v></c></row>`))},
		{"shared texts", workbook(data(""), part{"xl/sharedStrings.xml", `<sst>` + fill(`<si><t>ab</t></si>`, expanded) + `</sst>`})},
		{"one long shared text in every cell", workbook(data(fill(`<row><c t="s"><v>0</v></c></row>`, 6*mebi)), part{"xl/sharedStrings.xml", `<sst><si><t>` + fill("µ", 65_000) + `</t></si></sst>`})},
		{"merged cells", workbook(sheetOpen + `<sheetData>` + fill(`<row><c><v>1</v></c></row>`, 5*mebi) + `</sheetData><mergeCells>` + fill(`<mergeCell ref="A1:ALL1048576"/>`, expanded-6*mebi) + `</mergeCells>` + sheetClose)},
		{"styles", workbook(data(""), part{"xl/styles.xml", `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs>` + fill(`<xf/>`, 500_000) + `</cellXfs></styleSheet>`})},
		{"styles of long texts", workbook(data(""), part{"xl/styles.xml", `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts>` + fill(`<numFmt numFmtId="200" formatCode="&quot;some text&quot;"/>`, 4*mebi-200) + `</numFmts></styleSheet>`})},
		{"document of numbers", document(sheetOf(fill(`<table:table-row><table:table-cell office:value-type="float" office:value="1.25"><text:p>1.25</text:p></table:table-cell></table:table-row>`, written)))},
		{"document of cells that are written short", document(sheetOf(fill(`<table:table-row>`+fill(`<table:table-cell><text:p>a</text:p></table:table-cell>`, 50_000)+`</table:table-row>`, written)))},
		{"document of empty rows", document(sheetOf(fill(`<table:table-row/>`, written)))},
		{"document of blanks", document(sheetOf(fill(`<table:table-row><table:table-cell><text:p>a<text:s text:c="90"/>b</text:p></table:table-cell></table:table-row>`, written)))},
		{"document of one long text in every cell", document(sheetOf(`<table:table-row table:number-rows-repeated="2000"><table:table-cell table:number-columns-repeated="1000"><text:p>` + fill("µ", 65_000) + `</text:p></table:table-cell></table:table-row>`))},
		{"document of one paragraph", document(sheetOf(`<table:table-row><table:table-cell>` + fill(`<text:p>a </text:p>`, written) + `</table:table-cell></table:table-row>`))},
		{"relationships", pack(b, append(book(data(""), part{"xl/media/noise.bin", noise(mebi - 100_000)})[:3:3], part{"xl/_rels/workbook.xml.rels", `<Relationships>` + fill(`<Relationship Id="a" Type="b" Target="c"/>`, 3*mebi) + `</Relationships>`})...)},
	} {
		b.Run(c.name, func(b *testing.B) {
			if len(c.content) > mebi+200_000 {
				b.Fatalf("%d bytes are no megabyte", len(c.content))
			}
			bench(b, c.content, 0)
		})
	}
}
