package table

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom/markup"
)

// sample is a workbook with enough in it to be damaged.
func sample(t testing.TB) []byte {
	return write(t, func(f *excelize.File) {
		must(t, f.SetSheetRow("Sheet1", "A1", &[]any{"Part number", "Quantity", "Note"}))
		for r := 2; r <= 60; r++ {
			cell, _ := excelize.CoordinatesToCellName(1, r)
			must(t, f.SetSheetRow("Sheet1", cell, &[]any{fmt.Sprintf("P-%04d", r), r, "invented"}))
		}
	})
}

// repack copies a zip archive and changes one part.
func repack(t testing.TB, content []byte, name string, change func([]byte) []byte) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	must(t, err)
	var list []part
	found := false
	for _, f := range z.File {
		r, err := f.Open()
		must(t, err)
		var b bytes.Buffer
		_, err = b.ReadFrom(r)
		must(t, err)
		text := b.Bytes()
		if f.Name == name {
			text, found = change(text), true
		}
		list = append(list, part{f.Name, string(text)})
	}
	if !found {
		t.Fatalf("no part %s", name)
	}
	return pack(t, list...)
}

// breakPart flips a bit in the packed bytes of a part that is stored as it is,
// so that only the checksum can tell.
func breakPart(t testing.TB, list []part, name, from, to string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range list {
		w, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Store})
		must(t, err)
		_, err = w.Write([]byte(p.text))
		must(t, err)
	}
	must(t, z.Close())
	if bytes.Count(b.Bytes(), []byte(from)) != 1 || len(from) != len(to) {
		t.Fatalf("%s does not stand once in %s", from, name)
	}
	return bytes.Replace(b.Bytes(), []byte(from), []byte(to), 1)
}

func TestDamagedWorkbook(t *testing.T) {
	const path = "xl/worksheets/sheet1.xml"
	good := sample(t)
	cut := func(b []byte) []byte { return b[:len(b)/2] }
	sheet := func(rows string) []byte { return pack(t, book(data(rows))...) }
	without := func(i int) []byte {
		list := book(data(""))
		return pack(t, append(list[:i:i], list[i+1:]...)...)
	}
	change := func(i int, from, to string) []byte {
		list := book(data(""))
		list[i].text = strings.Replace(list[i].text, from, to, 1)
		return pack(t, list...)
	}
	tests := []struct {
		why     string
		content []byte
		want    string
	}{
		{"a download that stopped", good[:len(good)*2/3], "x.xlsx: the workbook is cut short or damaged: its zip archive cannot be read"},
		{"its first bytes alone", good[:10], "x.xlsx: the workbook is cut short or damaged"},
		{"an empty archive", pack(t), "x.xlsx: the file is a zip archive without a workbook in it"},
		{"an archive of something else", pack(t, part{"a.csv", "a,b"}), "x.xlsx: the file is a zip archive without a workbook in it"},
		{"a binary workbook", pack(t, part{"[Content_Types].xml", typesXML}, part{"_rels/.rels", strings.Replace(rootRels, "workbook.xml", "workbook.bin", 1)}, part{"xl/workbook.bin", ""}), "x.xlsx: the file is a binary workbook (.xlsb)"},
		{"a letter", pack(t, part{"[Content_Types].xml", typesXML}, part{"_rels/.rels", strings.Replace(rootRels, "xl/workbook.xml", "word/document.xml", 1)}, part{"word/document.xml", "<a/>"}), "x.xlsx: the file is a zip archive without a workbook in it"},
		{"an encrypted workbook", encryptedBook(t), "x.xlsx: the workbook is encrypted; a workbook without a password, or CSV"},
		{"an old workbook", compound(t, "\x05SummaryInformation", "Workbook"), "x.xlsx: the file is an old binary workbook (.xls); the table saved as .xlsx, .ods or .csv"},
		{"an older one", compound(t, "Book"), "x.xlsx: the file is an old binary workbook (.xls)"},
		{"an old letter", compound(t, "WordDocument"), "x.xlsx: the file is an old binary document that holds no workbook; the table saved as .xlsx, .ods or .csv"},
		{"an old workbook that is cut", compound(t, "Workbook")[:1000], "x.xlsx: the file is an old binary document, or an encrypted one, and damaged; the table saved as .xlsx, .ods or .csv"},
		{"its first bytes alone", []byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"), "x.xlsx: the file is an old binary document, or an encrypted one, and damaged"},

		{"one bit of a figure turned, seen by the checksum", breakPart(t, book(data(`<row r="1"><c r="A1"><v>1234</v></c></row>`)), path, "<v>1234</v>", "<v>1834</v>"), "x.xlsx:unit: the sheet is damaged: the checksum of the part xl/worksheets/sheet1.xml is wrong"},
		{"damage in a part that is not needed", breakPart(t, book(data(""), part{"xl/media/logo.png", "12345678"}), "xl/media/logo.png", "12345678", "12345679"), "x.xlsx: the workbook is damaged: the checksum of the part xl/media/logo.png is wrong"},
		{"the list of sheets damaged", breakPart(t, book(data("")), "xl/workbook.xml", `name="unit"`, `name="anit"`), "x.xlsx: the workbook is damaged: the checksum of the part xl/workbook.xml is wrong"},
		{"the sheet's XML cut in the middle", repack(t, good, path, cut), "the sheet is damaged here or after this"},
		{"the shared texts cut in the middle", repack(t, good, "xl/sharedStrings.xml", cut), "x.xlsx: the workbook is damaged: the part xl/sharedStrings.xml is broken: it ends in the middle"},
		{"the styles cut in the middle", repack(t, good, "xl/styles.xml", cut), "the part xl/styles.xml is broken: it ends in the middle"},
		{"the list of sheets cut in the middle", repack(t, good, "xl/workbook.xml", cut), "the part xl/workbook.xml is broken: it ends in the middle"},
		{"the sheet cut after a whole row", pack(t, book(sheetOpen+`<sheetData><row r="1"><c r="A1"><v>1</v></c></row>`)...), `x.xlsx:unit:1: the sheet is damaged here or after this: it ends in the middle`},
		{"something after the end of the sheet", pack(t, book(data("")+"<worksheet/>")...), "it has two root elements"},
		{"a sheet that is none", pack(t, book("<html></html>")...), "not a worksheet"},
		{"an empty sheet part", pack(t, book("")...), "it ends in the middle"},
		{"a document type, which could hold a bomb of entities", pack(t, book(`<!DOCTYPE x [<!ENTITY a "aaaa">]>`+data(""))...), "it declares a document type"},
		{"an entity that means nothing", sheet(`<row r="1"><c r="A1" t="str"><v>&lol;</v></c></row>`), "means nothing"},
		{"a character that XML does not allow", sheet("<row r=\"1\"><c r=\"A1\" t=\"str\"><v>a\x01</v></c></row>"), "U+0001"},
		{"text that is not UTF-8", sheet("<row r=\"1\"><c r=\"A1\" t=\"str\"><v>\xff\xfe</v></c></row>"), "its text is not UTF-8"},
		{"elements that end out of order", sheet(`<row r="1"><c r="A1"><v>1</c></v></row>`), "does not fit"},
		{"junk nested without end", pack(t, book(sheetOpen+strings.Repeat("<a>", 100_000))...), "elements nest deeper than 200"},
		{"rows out of order, which other readers move about", sheet(`<row r="2"><c r="A2"><v>1</v></c></row><row r="1"><c r="A1"><v>1</v></c></row>`), `x.xlsx:unit:2: the sheet is damaged here or after this: row \"1\" stands after row 2`},
		{"one row twice", sheet(`<row r="2"/><row r="2"/>`), `row \"2\" stands after row 2`},
		{"cells out of order, which other readers move to other columns", sheet(`<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>2</v></c></row>`), `cell \"A1\" stands in row 1 after column 2`},
		{"a cell of another row", sheet(`<row r="1"><c r="A2"><v>1</v></c></row>`), `cell \"A2\" stands in row 1`},
		{"a cell beyond the last column", sheet(`<row r="1"><c r="XFE1"><v>1</v></c></row>`), "column 16385 is beyond"},
		{"a row beyond the last", sheet(`<row r="1048577"><c><v>1</v></c></row>`), "row 1048577 is beyond"},
		{"a row that is no number", sheet(`<row r="-1"/>`), `row \"-1\" stands after row 0`},
		{"a shared text thatis missing", sheet(`<row r="1"><c r="A1" t="s"><v>7</v></c></row>`), `cell A1 names the shared text \"7\" of 0`},
		{"a shared text by no number", sheet(`<row r="1"><c r="A1" t="s"><v>-1</v></c></row>`), `names the shared text \"-1\" of 0`},
		{"a truth value that is none", sheet(`<row r="1"><c r="A1" t="b"><v>2</v></c></row>`), `\"2\" is no truth value`},
		{"a kind of cell that is none", sheet(`<row r="1"><c r="A1" t="q"><v>2</v></c></row>`), `no cell is of the kind \"q\"`},
		{"merged cells that are no block", pack(t, book(sheetOpen+`<sheetData/><mergeCells><mergeCell ref="B2:A1"/></mergeCells>`+sheetClose)...), `the merged cells \"B2:A1\" are no block`},
		{"no list of sheets", without(2), "x.xlsx: the file is a zip archive without a workbook in it"},
		{"no word on where the sheets are", without(3), "the part xl/_rels/workbook.xml.rels is missing"},
		{"a sheet that is listed and not there", without(4), `x.xlsx:unit: the sheet is damaged: its part is missing`},
		{"a sheet whose relationshipis missing", change(3, `Id="rId1"`, `Id="rId9"`), `x.xlsx:unit: the sheet is damaged: its part is missing`},
		{"a part that stands twice", pack(t, append(book(data("")), part{"XL/workbook.xml", bookXML})...), "one part stands in it twice"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			p := oneError(t, "x.xlsx", tt.content, Limits{})
			if !strings.Contains(p.String(), strings.ReplaceAll(tt.want, `\"`, `"`)) {
				t.Errorf("got  %s\nwant %s", p, tt.want)
			}
			if p.Want == "" {
				t.Error("it does not say what would be right")
			}
			if tables, _ := Read("x.xlsx", tt.content, Limits{}); len(tables) > 0 && !strings.Contains(tt.why, "not needed") {
				t.Errorf("a sheet that is cut short must not come back as a short one:\n%s", show(tables))
			}
		})
	}
}

// One damaged sheet does not hide what is wrong with another.
func TestOtherSheetsAreStillRead(t *testing.T) {
	list := book(data(`<row r="1"><c r="B1"><v>1</v></c><c r="A1"><v>2</v></c></row>`), part{"xl/worksheets/sheet2.xml", data(`<row r="1"><c t="b"><v>1</v></c></row>`)})
	list[2].text = strings.Replace(list[2].text, "</sheets>", `<sheet name="two" sheetId="2" r:id="rId7"/></sheets>`, 1)
	list[3].text = strings.Replace(list[3].text, "</Relationships>", `<Relationship Id="rId7" Type="x/worksheet" Target="worksheets/sheet2.xml"/></Relationships>`, 1)
	tables, probs := Read("x.xlsx", pack(t, list...), Limits{})
	if got := show(tables); got != "[two]\n1: A?=\"yes\"\n" || len(probs) != 1 {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}

func TestLimits(t *testing.T) {
	rows := func(n int) string {
		var b strings.Builder
		for i := 1; i <= n; i++ {
			fmt.Fprintf(&b, `<row r="%d"><c r="A%d"><v>1</v></c><c r="B%d"><v>2</v></c></row>`, i, i, i)
		}
		return data(b.String())
	}
	long := strings.Repeat("µ", 1<<20)
	shared := part{"xl/sharedStrings.xml", "<sst><si><t>" + long + "</t></si></sst>"}
	tests := []struct {
		why     string
		content []byte
		lim     Limits
		want    string
	}{
		{"a cell of a million characters in CSV", []byte("a,b\n1," + long + "\n"), Limits{}, `x:2:2: the cell holds 1048576 characters, over the limit of 32767 ("` + strings.Repeat("µ", 60) + `"… 1048576 characters); raise the limit with --limit cell=1048576 if the file is right`},
		{"the same in quotes", []byte("a,b\n1,\"" + long + "\"\n"), Limits{}, `x:2:2: the cell holds 1048576 characters`},
		{"the same as a whole file", []byte(long), Limits{}, `x:1:1: the cell holds 1048576 characters`},
		{"the same in a workbook, inline", pack(t, book(data(`<row r="3"><c r="C3" t="inlineStr"><is><t>`+long+`</t></is></c></row>`))...), Limits{}, `x:unit:3:3: the cell holds 1048576 characters`},
		{"the same in a workbook, shared", pack(t, book(data(`<row r="3"><c r="C3" t="s"><v>0</v></c></row>`), shared)...), Limits{}, `x:unit:3:3: the cell holds 1048576 characters, over the limit of 32767`},
		{"rows in CSV", []byte("a\n\nb\nc\n"), Limits{Rows: 2}, "x:4: the table has more than 2 rows, the limit; raise the limit with --limit rows=…"},
		{"rows in a workbook", pack(t, book(rows(3))...), Limits{Rows: 2}, "x:unit:3: the table has more than 2 rows, the limit"},
		{"columns in CSV", []byte("a,b,c,d\n"), Limits{Columns: 3}, `x:1:4: a cell stands in column 4, over the limit of 3 columns ("d"); raise the limit with --limit columns=4`},
		{"columns in a workbook: one cell in the last there can be", pack(t, book(data(`<row r="1"><c r="XFD1"><v>1</v></c></row>`))...), Limits{}, `x:unit:1:16384: a cell stands in column 16384, over the limit of 1000 columns ("1" in XFD1); raise the limit with --limit columns=16384`},
		{"cells", pack(t, book(rows(3))...), Limits{Cells: 5}, `x:unit:3:2: the table has more than 5 cells, the limit ("2" in B3); raise the limit with --limit cells=…`},
		{"shared texts", pack(t, book(data(""), part{"xl/sharedStrings.xml", "<sst><si/><si/></sst>"})...), Limits{Cells: 1}, `x: the workbook has more than 1 shared texts, the limit; raise the limit with --limit cells=…`},
		{"the size of the file", make([]byte, 3*mebi), Limits{FileBytes: 2 * mebi}, "x: the file is over the limit of 2 MiB; raise the limit with --limit file-mb=3"},
		{"unpacked size", pack(t, book(data("")+strings.Repeat(" ", 3*mebi))...), Limits{UnzipBytes: 2 * mebi}, "x: the workbook unpacks to 4 MiB or more, over the limit of 2 MiB; raise the limit with --limit unzip-mb=4"},
		{"a bomb by its expansion", pack(t, book(data("")+strings.Repeat(" ", 20*mebi))...), Limits{}, "over the limit of 40 times; raise the limit with --limit unzip-mb=21"},
		{"a part that describes the workbook", pack(t, book(data(""), part{"xl/styles.xml", "<styleSheet>" + strings.Repeat(" ", 5*mebi) + "</styleSheet>"})...), Limits{}, "x: the part xl/styles.xml of the workbook unpacks to 6 MiB, over the limit of 4 MiB; raise the limit with --limit unzip-mb=96"},
		{"sheets", write(t, func(f *excelize.File) {
			for i := range 3 {
				_, err := f.NewSheet(fmt.Sprint("s", i))
				must(t, err)
			}
		}), Limits{Sheets: 3}, "x: the workbook has 4 sheets, over the limit of 3; raise the limit with --limit sheets=4"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			p := oneError(t, "x", tt.content, tt.lim)
			if !strings.Contains(p.String(), tt.want) {
				t.Errorf("got  %s\nwant %s", p, tt.want)
			}
			if tables, _ := Read("x", tt.content, tt.lim); len(tables) > 0 {
				t.Error("what is over a limit is not handed on cut short")
			}
		})
	}
}

// The flag that a message names does what it says.
func TestRaisedLimit(t *testing.T) {
	bomb := pack(t, book(data(`<row><c><v>1</v></c></row>`)+strings.Repeat(" ", 20*mebi), part{"xl/styles.xml", "<styleSheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">" + strings.Repeat(" ", 5*mebi) + "</styleSheet>"})...)
	lim := DefaultLimits()
	must(t, lim.Set("unzip-mb", 96))
	tables, probs := Read("x", bomb, lim)
	if got := show(tables); got != "[unit]\n1: A#=\"1\"\n" || len(probs) > 0 {
		t.Errorf("got %s%s", got, said(probs))
	}
	for _, key := range LimitKeys {
		before := lim
		if err := lim.Set(key, 7); err != nil || lim == before {
			t.Errorf("%s: %v", key, err)
		}
	}
	for _, bad := range []struct {
		key   string
		value int64
	}{{"row", 1}, {"rows", 0}, {"rows", -1}, {"file-mb", 1 << 40}} {
		if before := lim; lim.Set(bad.key, bad.value) == nil || lim != before {
			t.Errorf("--limit %s=%d is taken", bad.key, bad.value)
		}
	}
}

// A size that the archive understates is no way around the limits.
func TestUnderstatedSize(t *testing.T) {
	content := pack(t, book(data("")+strings.Repeat(" ", 9*mebi))...)
	// the size stands in the central directory entry of the sheet, 24 bytes
	// after its signature (APPNOTE.TXT 4.3.12)
	name := []byte("xl/worksheets/sheet1.xml")
	i := bytes.LastIndex(content, name) - 46
	if string(content[i:i+4]) != "PK\x01\x02" {
		t.Fatal("no directory entry found")
	}
	binary.LittleEndian.PutUint32(content[i+24:], 1000)
	tables, probs := Read("x", content, Limits{UnzipBytes: mebi})
	if !probs.Failed() || len(tables) > 0 {
		t.Errorf("got %s", said(probs))
	}
}

// Rows that were formatted and never filled are common: a hundred thousand of
// them are no table of a hundred thousand rows.
func TestEmptyTrailingRows(t *testing.T) {
	content := pack(t, book(data(`<row r="1"><c r="A1"><v>1</v></c></row>`+emptyRows(100_000)))...)
	tables, probs := Read("x", content, Limits{})
	if got := show(tables); got != "[unit]\n1: A#=\"1\"\n" || len(probs) > 0 {
		t.Errorf("got %s%s", got, said(probs))
	}
}

// emptyRows writes rows as spreadsheets keep them where a column is formatted.
func emptyRows(n int) string {
	var b strings.Builder
	for i := 2; i < n+2; i++ {
		fmt.Fprintf(&b, `<row r="%d" spans="1:6" s="3" customFormat="1" ht="15.75" x:dyDescent="0.25">`, i)
		for _, col := range "ABCDEF" {
			fmt.Fprintf(&b, `<c r="%c%d" s="3"/>`, col, i)
		}
		b.WriteString("</row>")
	}
	return b.String()
}

func TestNoFilesLeft(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	big := pack(t, book(data(`<row><c><v>1</v></c></row>`)+strings.Repeat(" ", 7*mebi))...)
	for _, content := range [][]byte{sample(t), big, sample(t)[:3000]} {
		Read("x", content, Limits{})
	}
	left, err := os.ReadDir(dir)
	must(t, err)
	if len(left) > 0 {
		t.Errorf("%d files left, %s among them", len(left), left[0].Name())
	}
}

// The walk accepts what encoding/xml accepts of these, and refuses the rest.
func TestScanner(t *testing.T) {
	tests := []struct {
		why, in string
		ok      bool
	}{
		{"plain", `<a><b c="1" d='2'>x</b><e/></a>`, true},
		{"declaration, comments, space around", "\xEF\xBB\xBF<?xml version=\"1.0\"?>\n<!-- <x> --><a\n b = \"1\" ></a >\n<!-- y -->", true},
		{"greater sign in a value", `<a b=">"/>`, true},
		{"no root", ``, false},
		{"text before", `x<a/>`, false},
		{"text after", `<a/>x`, false},
		{"two roots", `<a/><a/>`, false},
		{"open", `<a>`, false},
		{"cut in a name", `<a><b`, false},
		{"cut in a value", `<a b="1`, false},
		{"cut at the equals sign", `<a b=`, false},
		{"cut in an end", `<a></a`, false},
		{"cut in a comment", `<a><!-- x`, false},
		{"cut in a section", `<a><![CDATA[ x`, false},
		{"cut after a slash", `<a/`, false},
		{"an end too many", `<a/></a>`, false},
		{"another end", `<a></b>`, false},
		{"value without quotes", `<a b=1/>`, false},
		{"attribute without value", `<a b/>`, false},
		{"tag in a value", `<a b="<"/>`, false},
		{"no name", `<a>< b/></a>`, false},
		{"slash in the middle", `<a / b="1">`, false},
	}
	for _, tt := range tests {
		if err := markup.EachStart([]byte(tt.in), func(*markup.Scanner, string) error { return nil }); (err == nil) != tt.ok {
			t.Errorf("%s: %v", tt.why, err)
		}
	}
}

func TestUnhide(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"a_x000D_b", "a\rb"},
		{"_x005F_x000D_", "_x000D_"}, // an escaped underscore: the text only looks hidden
		{"_x00e9_", "é"},
		{"_x00E", "_x00E"},
		{"_xD800_", "_xD800_"}, // half of a pair is no character
		{"M3_x8_long", "M3_x8_long"},
	} {
		if got := unhide(tt.in); got != tt.want {
			t.Errorf("%q: got %q, want %q", tt.in, got, tt.want)
		}
	}
}
