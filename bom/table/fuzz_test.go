package table

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/encoding/japanese"

	"tenoff/bom"
)

// fuzzLimits keep a fuzzed input cheap; the real ones are tried in TestLimits.
var fuzzLimits = Limits{UnzipBytes: 4 * mebi, Rows: 5_000, Cells: 50_000}

// FuzzRead holds every input against what Read promises.
func FuzzRead(f *testing.F) {
	names, err := filepath.Glob(filepath.Join(badDir, "*"))
	must(f, err)
	messy, err := filepath.Glob(filepath.Join(badDir, "..", "messy", "*.[cox]*"))
	must(f, err)
	for _, name := range append(names, messy...) {
		content, err := os.ReadFile(name)
		must(f, err)
		f.Add(content)
	}
	f.Add([]byte("Parts\n\nPart  Value  Part number\n----  -----\nR1    470Ω   RS-1 A\nR2    a-long-value\nSee the drawing.\n"))
	f.Add(sample(f))
	for _, tt := range japaneseTexts {
		f.Add(encoded(f, japanese.ShiftJIS, tt.in))
	}
	f.Add(compound(f, "Workbook"))
	f.Add([]byte(pointerText))
	f.Add(ods(f, sheetOf(`<table:table-row>`+oneCell+`</table:table-row>`)))
	f.Add(pack(f, book(data(`<row r="1"><c r="A1" t="s"><v>0</v></c></row>`), part{"xl/sharedStrings.xml", "<sst><si><t>a</t></si></sst>"})...))
	f.Fuzz(func(t *testing.T, content []byte) {
		tables, probs := Read("x", content, fuzzLimits)
		promises(t, tables, probs)
		again, probs2 := Read("x", content, fuzzLimits)
		if !reflect.DeepEqual(tables, again) || !reflect.DeepEqual(probs, probs2) {
			t.Error("the same bytes are read in two ways")
		}
		if len(tables) == 1 && tables[0].Separator != 0 && !probs.Failed() {
			sameAgain(t, tables[0])
		}
	})
}

// promises checks what every result must be.
func promises(t *testing.T, tables []bom.Table, probs bom.Problems) {
	if len(tables) == 0 && !probs.Failed() {
		t.Error("neither a table nor an error")
	}
	for _, p := range probs {
		if p.Place.File != "x" || p.What == "" || p.Severity == bom.Error && p.Want == "" {
			t.Errorf("a message that lacks something: %#v", p)
		}
		if strings.Contains(p.What, "keeps it from being read") {
			t.Errorf("a panic was caught: %s", p)
		}
	}
	for _, table := range tables {
		row := 0
		for _, r := range table.Rows {
			if r.Number <= row || len(r.Cells) == 0 {
				t.Errorf("row %d after row %d with %d cells", r.Number, row, len(r.Cells))
			}
			row = r.Number
			col := 0
			for _, c := range r.Cells {
				if c.Col <= col || c.Text == "" || trim(c.Text) != c.Text || !utf8.ValidString(c.Text) {
					t.Errorf("row %d: %+v after column %d", r.Number, c, col)
				}
				col = c.Col
			}
		}
	}
}

// sameAgain writes a table as CSV by the standard library and reads it again.
func sameAgain(t *testing.T, table bom.Table) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma = table.Separator
	b.WriteString("sep=" + string(table.Separator) + "\n")
	for _, r := range table.Rows {
		var fields []string
		for _, c := range r.Cells {
			for len(fields) < c.Col-1 {
				fields = append(fields, "")
			}
			fields = append(fields, c.Text)
		}
		must(t, w.Write(fields))
	}
	w.Flush()
	again, probs := Read("x", b.Bytes(), Limits{})
	if len(again) != 1 || len(again[0].Rows) != len(table.Rows) {
		t.Fatalf("written and read again, %d rows are\n%s%s", len(table.Rows), show(again), said(probs))
	}
	for i, r := range table.Rows {
		if !reflect.DeepEqual(again[0].Rows[i].Cells, r.Cells) {
			t.Fatalf("written and read again, %+v is %+v", r.Cells, again[0].Rows[i].Cells)
		}
	}
}

// FuzzSheet gives the walk over a sheet XML that no zip archive stands before.
func FuzzSheet(f *testing.F) {
	f.Add(data(`<row r="1" hidden="1"><c r="A1" s="1"><f>B1</f><v>16.500000000000004</v></c><c r="B1" t="s"><v>0</v></c><c t="inlineStr"><is><r><t>a&amp;</t></r></is></c></row>`))
	f.Add(sheetOpen + `<cols><col min="1" max="2" hidden="1"/></cols><sheetData><row><c t="b"><v>1</v></c><c t="e"><v>#N/A</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells>` + sheetClose)
	f.Add(data(`<row r="3"><c r="C3" t="d"><v>2026-11-25</v></c><c><f t="shared" si="0">A1</f></c><c><f t="shared" si="0"/></c><c><v>1e999999999</v></c></row>`))
	f.Fuzz(func(t *testing.T, sheet string) {
		content := pack(t, book(sheet, part{"xl/sharedStrings.xml", "<sst><si><t>a</t></si></sst>"})...)
		tables, probs := Read("x", content, fuzzLimits)
		promises(t, tables, probs)
		if len(tables) > 0 && !standardTakes(sheet) {
			t.Errorf("encoding/xml refuses what was read as\n%s", show(tables))
		}
	})
}

// FuzzDocument gives the walk over a spreadsheet of OpenDocument XML that no zip
// archive stands before.
func FuzzDocument(f *testing.F) {
	f.Add(sheetOf(`<table:table-column table:visibility="collapse" table:number-columns-repeated="3"/><table:table-row-group table:display="false"><table:table-row table:number-rows-repeated="2"><table:table-cell office:value-type="currency" office:currency="EUR" office:value="0.5" table:number-columns-repeated="2"/><table:covered-table-cell><text:p>a</text:p></table:covered-table-cell></table:table-row></table:table-row-group>`))
	f.Add(sheetOf(`<table:table-row table:number-rows-repeated="1000000000"><table:table-cell table:number-columns-repeated="1000000000"/></table:table-row><table:table-row table:visibility="filter"><table:table-cell><text:p>a<text:s text:c="9"/><text:tab/><text:line-break/> <text:span>b&amp;</text:span><office:annotation><text:p>c</text:p></office:annotation></text:p><text:p/></table:table-cell></table:table-row>`))
	f.Add(`<office:document-content` + spaces + `><office:automatic-styles><style:style style:name="a" style:family="table"><style:table-properties table:display="false"/></style:style></office:automatic-styles><office:body><office:spreadsheet>` +
		`<table:table table:name="'file:///a'#b"/><table:table table:style-name="a"><table:table-row><table:table-cell office:value-type="date" office:date-value="2026-11-25T00:00:00"/><table:table-cell office:value-type="time" office:time-value="PT8H30M"/><table:table-cell office:value-type="boolean" office:boolean-value="true"/><table:table-cell office:value-type="percentage" office:value="0.07"/>` +
		`<table:table-cell table:formula="of:=[.A1]"/><table:table-cell table:formula="of:=1/0" office:value-type="float" office:value="0"><text:p>#DIV/0!</text:p></table:table-cell><table:table-cell office:value-type="float" office:value="47"><text:p>0047</text:p></table:table-cell></table:table-row></table:table></office:spreadsheet></office:body></office:document-content>`)
	f.Fuzz(func(t *testing.T, content string) {
		tables, probs := Read("x", ods(t, content), fuzzLimits)
		promises(t, tables, probs)
		if len(tables) > 0 && !probs.Failed() && !standardTakes(content) {
			t.Errorf("encoding/xml refuses what was read as\n%s", show(tables))
		}
	})
}

// standardTakes tells whether encoding/xml takes the same part for well formed,
// but for what it asks and this package does not care about: names of letters
// alone, no bracket in running text, references in attributes that mean
// something, whole UTF-8 everywhere.
func standardTakes(s string) bool {
	d := xml.NewDecoder(strings.NewReader(s))
	d.Strict = true
	for {
		_, err := d.RawToken()
		switch {
		case err == io.EOF:
			return true
		case err != nil:
			for _, mild := range []string{"invalid XML name", "expected element name", "invalid character entity", "unescaped ]]>",
				"illegal character code", "invalid UTF-8", "inside comment", "<?", "unsupported version", "encoding", "attribute name", "xml declaration", "<! sequence"} {
				if strings.Contains(err.Error(), mild) {
					return true
				}
			}
			return false
		}
	}
}

// FuzzFormat: no format code and no stored number can be misread or do harm.
func FuzzFormat(f *testing.F) {
	for _, code := range []string{"0%", `"x"0.0`, "[h]:mm", "[$-407]d. mmm", `\%`, `[`, `"`, "General"} {
		f.Add(code, "0.07")
		f.Add(code, "-46351.5")
	}
	f.Fuzz(func(t *testing.T, code, stored string) {
		kind, got := new(formats).read(code).number(stored, false)
		want, err := strconv.ParseFloat(strings.TrimSpace(stored), 64)
		if kind != bom.Native && kind != bom.Percent || err != nil {
			return
		}
		if kind == bom.Percent {
			want *= 100
		}
		back, err := strconv.ParseFloat(strings.TrimSuffix(got, "%"), 64)
		if diff := back - want; err != nil || diff > 1e-14*abs(want) || -diff > 1e-14*abs(want) {
			t.Errorf("%s stored as %q is read as %q", code, stored, got)
		}
	})
}

func abs(x float64) float64 { return max(x, -x) }

// archiveOf keeps the fuzzed bytes of an archive a readable one, so that the
// fuzzing gets beyond its checksums.
func archiveOf(content []byte) []part {
	z, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return nil
	}
	var list []part
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			continue
		}
		text, _ := io.ReadAll(io.LimitReader(r, mebi))
		list = append(list, part{f.Name, string(text)})
	}
	return list
}

// FuzzWorkbook changes the parts that say where the sheets are and how they are
// formatted.
func FuzzWorkbook(f *testing.F) {
	var styles string
	for _, p := range archiveOf(sample(f)) {
		if p.name == "xl/styles.xml" {
			styles = p.text
		}
	}
	f.Add(bookXML, bookRels, styles, "<sst><si><t>a</t></si></sst>")
	f.Add(bookXML, bookRels, `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts><numFmt numFmtId="170" formatCode="0%"/></numFmts><cellXfs><xf numFmtId="170"/></cellXfs></styleSheet>`, "<sst/>")
	f.Fuzz(func(t *testing.T, list, rels, styles, shared string) {
		parts := book(data(`<row><c s="0"><v>1</v></c><c s="1" t="s"><v>0</v></c></row>`), part{"xl/styles.xml", styles}, part{"xl/sharedStrings.xml", shared})
		parts[2].text, parts[3].text = list, rels
		tables, probs := Read("x", pack(t, parts...), fuzzLimits)
		for _, p := range probs {
			if strings.Contains(p.What, "keeps it from being read") {
				t.Logf("caught: %s", p) // in excelize; that it is caught is what counts
				return
			}
		}
		if len(tables) > 0 || probs.Failed() {
			promises(t, tables, probs)
		}
	})
}
