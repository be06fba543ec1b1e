package table

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestDocumentCells(t *testing.T) {
	text := func(s string) string {
		return `<table:table-cell office:value-type="string">` + s + `</table:table-cell>`
	}
	number := func(value, shown string) string {
		return `<table:table-cell office:value-type="float" office:value="` + value + `"><text:p>` + shown + `</text:p></table:table-cell>`
	}
	money := func(attrs, shown string) string {
		return `<table:table-cell ` + attrs + ` office:value="0.02"><text:p>` + shown + `</text:p></table:table-cell>`
	}
	// the values are those of OpenDocument 1.3 part 3, 19.389, table 14, where it has one
	tests := []struct{ why, row, want, signs string }{
		{"a number", number("12.345", "12.35"), "1: A#=\"12.345\"\n", ""},
		{"the noise of a binary fraction goes", number("0.30000000000000004", "0.3"), "1: A#=\"0.3\"\n", ""},
		{"exponents are written out", number("1.5E-05", "1.50E-05"), "1: A#=\"0.000015\"\n", ""},
		{"noughts before a number that are shown", number("471", "000471"), "1: A#=\"000471\"\n", ""},
		{"nothing but noughts", number("0", "000"), "1: A#=\"000\"\n", ""},
		{"a nought that is shown for another number", number("0.3", "00"), "1: A#=\"0.3\"\n", ""},
		{"noughts before another number than is stored", number("5", "007"), "1: A#=\"5\"\n", ""},
		{"a number that is rounded where it is shown", number("1.5", "02"), "1: A#=\"1.5\"\n", ""},
		{"beyond what a number can be it is kept as text", number("1e999999999", ""), "1: A=\"1e999999999\"\n", ""},
		{"words are no numbers", number("NaN", ""), "1: A=\"NaN\"\n", ""},
		{"a percentage", `<table:table-cell office:value-type="percentage" office:value="0.50"/>`, "1: A%=\"50%\"\n", ""},
		{"7 % is not 7.000000000000001 %", `<table:table-cell office:value-type="percentage" office:value="0.07"/>`, "1: A%=\"7%\"\n", ""},
		{"a currency that is named", money(`office:value-type="currency" office:currency="USD"`, "$0.02"), "1: A#=\"0.02\"\n", "USD"},
		{"the same before a sign that is shown", money(`office:value-type="currency" office:currency="CAD"`, "$0.02"), "1: A#=\"0.02\"\n", "CAD"},
		{"a currency that is shown alone", money(`office:value-type="currency"`, "0.02 €"), "1: A#=\"0.02\"\n", "€"},
		{"a currency that is typed into a format", money(`office:value-type="float"`, "-$0.020"), "1: A#=\"0.02\"\n", "$"},
		{"a code that is typed into a format", money(`office:value-type="float"`, "EUR\u00a01'000.02"), "1: A#=\"0.02\"\n", "EUR"},
		{"a unit is no currency", money(`office:value-type="float"`, "0.02 m"), "1: A#=\"0.02\"\n", ""},
		{"a currency that is none", money(`office:value-type="currency" office:currency="wheat"`, "0.02"), "1: A#=\"0.02\"\n", ""},
		{"a date", `<table:table-cell office:value-type="date" office:date-value="2003-04-17"><text:p>17 Apr 03</text:p></table:table-cell>`, "1: A@=\"2003-04-17\"\n", ""},
		{"a date and a time of day", `<table:table-cell office:value-type="date" office:date-value="2026-11-25T17:30:00"/>`, "1: A@=\"2026-11-25\"\n", ""},
		{"a date that is none", `<table:table-cell office:value-type="date" office:date-value="soon"/>`, "1: A=\"soon\"\n", ""},
		{"a time", `<table:table-cell office:value-type="time" office:time-value="PT03H30M00S"/>`, "1: A=\"03:30\"\n", ""},
		{"a time with seconds", `<table:table-cell office:value-type="time" office:time-value="PT08H00M06.000000001S"/>`, "1: A=\"08:00:06\"\n", ""},
		{"more than a day", `<table:table-cell office:value-type="time" office:time-value="PT36H00M00S"/>`, "1: A=\"36:00\"\n", ""},
		{"a length of time of another form", `<table:table-cell office:value-type="time" office:time-value="P1Y2M"/>`, "1: A=\"P1Y2M\"\n", ""},
		{"truth", `<table:table-cell office:value-type="boolean" office:boolean-value="true"/><table:table-cell office:value-type="boolean" office:boolean-value="false"/>`, "1: A?=\"yes\" B?=\"no\"\n", ""},
		{"truth without a format", `<table:table-cell table:formula="of:=TRUE()" office:value-type="float" office:value="1"/><table:table-cell table:formula="of:=FALSE()" office:value-type="float" office:value="0"/>`, "1: A?=\"yes\" B?=\"no\"\n", ""},
		{"no kind, and the kind of nothing", `<table:table-cell><text:p>a</text:p></table:table-cell><table:table-cell office:value-type="void"/><table:table-cell/>`, "1: A=\"a\"\n", ""},

		{"text", text("<text:p>a &amp; b</text:p>"), "1: A=\"a & b\"\n", ""},
		{"text that is given apart from what is shown", `<table:table-cell office:value-type="string" office:string-value="abc def"><text:p>ABC</text:p></table:table-cell>`, "1: A=\"abc def\"\n", ""},
		{"several paragraphs, one of them empty", text("<text:p>a</text:p><text:p/><text:h>b</text:h>"), "1: A=\"a\\n\\nb\"\n", ""},
		{"white space counts once", text("<text:p>\n  a \t\n b\n\t</text:p>\n<text:p>c\r\n</text:p>"), "1: A=\"a b\\nc\"\n", ""},
		{"blanks alone stay", text("<text:p>a  b</text:p><text:p> c </text:p><text:p>d</text:p>"), "1: A=\"a  b\\n c \\nd\"\n", ""},
		{"blanks, tabs and line ends", text(`<text:p>a<text:s text:c="3"/>b<text:s/>c<text:tab/>d<text:line-break/>e <text:s/>f</text:p>`), "1: A=\"a   b c\\td\\ne  f\"\n", ""},
		{"runs and links are part of the text", text(`<text:p><text:span>a<text:span>b</text:span></text:span> <text:a>c</text:a><![CDATA[<]]></text:p>`), "1: A=\"ab c<\"\n", ""},
		{"lists", text(`<text:list><text:list-item><text:p>a</text:p></text:list-item><text:list-item><text:p>b</text:p></text:list-item></text:list>`), "1: A=\"a\\nb\"\n", ""},
		{"a reading aid is none", text(`<text:p><text:ruby><text:ruby-base>a</text:ruby-base><text:ruby-text>no</text:ruby-text></text:ruby></text:p>`), "1: A=\"a\"\n", ""},
		{"annotations, notes and drawings are none", text(`<office:annotation><text:p>no</text:p></office:annotation><text:p>a<office:annotation><text:p>no</text:p></office:annotation>` +
			`<text:note><text:note-body><text:p>no</text:p></text:note-body></text:note><draw:a>no</draw:a></text:p><draw:frame><draw:text-box><text:p>no</text:p></draw:text-box></draw:frame>`), "1: A=\"a\"\n", ""},
		{"a table in a cell is none", text(`<table:table><table:table-row><table:table-cell><text:p>no</text:p></table:table-cell></table:table-row></table:table><text:p>a</text:p>`), "1: A=\"a\"\n", ""},

		{"a formula counts by its stored result", `<table:table-cell table:formula="of:=[.B1]*2" office:value-type="float" office:value="7"><text:p>7</text:p></table:table-cell>`, "1: A#=\"7\"\n", ""},
		{"a formula without one is stale", `<table:table-cell table:formula="of:=SUM([.B1:.C2])*[$parts.D3]"/><table:table-cell table:formula="of:=[.B1]" office:value-type="float"/>`, "1: A~=\"=SUM(B1:C2)*$parts.D3\" B~=\"=B1\"\n", ""},
		{"one that shows what is not stored is stale", `<table:table-cell table:formula="of:=[.B1]" office:value-type="float"><text:p>7</text:p></table:table-cell>`, "1: A~=\"=B1\"\n", ""},
		{"a formula whose result is the empty text", `<table:table-cell table:formula="of:=&quot;&quot;"><text:p/></table:table-cell><table:table-cell table:formula="of:=&quot;&quot;" office:value-type="string" office:string-value=""/>`, "", ""},
		{"an error value", `<table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>`, "1: A!=\"#DIV/0!\"\n", ""},
		{"an error value in another language", `<table:table-cell table:formula="of:=NA()" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#NV</text:p></table:table-cell>`, "1: A!=\"#NV\"\n", ""},
		{"an error value that nothing shows", `<table:table-cell table:formula="of:=NA()" office:value-type="string" calcext:value-type="error"/>`, "1: A!=\"error\"\n", ""},
		{"an error value beside a figure, as other programs keep it", `<table:table-cell table:formula="of:=NA()" office:value-type="float" office:value="0"><text:p>#N/A</text:p></table:table-cell><table:table-cell table:formula="of:=SQRT(-1)" office:value-type="float" office:value="0"><text:p>Err:502</text:p></table:table-cell>`, "1: A!=\"#N/A\" B!=\"Err:502\"\n", ""},
		{"text that looks like one", text("<text:p>#N/A</text:p>"), "1: A=\"#N/A\"\n", ""},

		{"cells that stand there several times", `<table:table-cell table:number-columns-repeated="2"/><table:table-cell office:value-type="float" office:value="5" table:number-columns-repeated="3"/><table:table-cell/>` + number("6", "6"), "1: C#=\"5\" D#=\"5\" E#=\"5\" G#=\"6\"\n", ""},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			tables, probs := Read("x.ods", ods(t, sheetOf(`<table:table-row>`+tt.row+`</table:table-row>`)), Limits{})
			if got := show(tables); got != "[unit]\n"+tt.want || len(probs) > 0 {
				t.Fatalf("got\n%swant\n%s%s", got, tt.want, said(probs))
			}
			if tt.want == "" {
				return
			}
			if got := tables[0].Sign(tables[0].Rows[0].Cells[0]); got != tt.signs {
				t.Errorf("currency %q, want %q", got, tt.signs)
			}
		})
	}
}

const oneCell = `<table:table-cell office:value-type="float" office:value="1"/>`

func TestDocumentSheets(t *testing.T) {
	row := func(attrs, cells string) string {
		return `<table:table-row ` + attrs + `>` + cells + `</table:table-row>`
	}
	sheet := func(name, attrs, rows string) string {
		return `<table:table table:name="` + name + `" ` + attrs + `>` + rows + `</table:table>`
	}
	tests := []struct{ why, content, want, notes string }{
		{"rows that stand there several times, and an empty end without bounds",
			sheetOf(row(`table:number-rows-repeated="2"`, `<table:table-cell/>`) + row(`table:number-rows-repeated="3"`, oneCell) +
				row(`table:number-rows-repeated="1048570"`, `<table:table-cell table:number-columns-repeated="16384"/>`) + row(`table:number-rows-repeated="99999999999999999999"`, `<table:table-cell table:number-columns-repeated="99999999999999999999"/>`)),
			"[unit]\n3: A#=\"1\"\n4: A#=\"1\"\n5: A#=\"1\"\n", ""},
		{"headings and groups are rows like others",
			sheetOf(`<table:table-header-columns><table:table-column/></table:table-header-columns><table:table-header-rows>` + row("", oneCell) + `</table:table-header-rows><table:table-rows>` + row("", oneCell) + `</table:table-rows><table:table-row-group><table:table-row-group>` + row("", oneCell) + `</table:table-row-group></table:table-row-group>`),
			"[unit]\n1: A#=\"1\"\n2: A#=\"1\"\n3: A#=\"1\"\n", ""},
		{"hidden, filtered and folded rows; those that are empty are not told of",
			sheetOf(row(`table:visibility="collapse"`, oneCell) + row(`table:visibility="visible"`, oneCell) + row(`table:visibility="filter" table:number-rows-repeated="2"`, oneCell) +
				`<table:table-row-group table:display="false">` + row("", oneCell) + `<table:table-row-group table:display="false">` + row("", oneCell) + `</table:table-row-group>` + row("", oneCell) + `</table:table-row-group>` + row("", oneCell) + row(`table:visibility="collapse"`, "")),
			"[unit]\n1: A#=\"1\"\n2: A#=\"1\"\n3: A#=\"1\"\n4: A#=\"1\"\n5: A#=\"1\"\n6: A#=\"1\"\n7: A#=\"1\"\n8: A#=\"1\"\n",
			"x.ods:unit: hidden rows are read like the others: 1, 3-7; if they are not meant, delete them\n"},
		{"hidden and folded columns",
			sheetOf(`<table:table-column/><table:table-column table:visibility="collapse" table:number-columns-repeated="2"/><table:table-column-group table:display="false"><table:table-column/></table:table-column-group><table:table-column table:visibility="collapse" table:number-columns-repeated="16000"/>` +
				row("", oneCell+oneCell+`<table:table-cell/>`+oneCell)),
			"[unit]\n1: A#=\"1\" B#=\"1\" D#=\"1\"\n", "x.ods:unit: hidden columns are read like the others: B, D; if they are not meant, delete them\n"},
		{"a hidden sheet",
			`<office:document-content` + spaces + `><office:automatic-styles><style:style style:name="ta1" style:family="table"><style:table-properties table:display="true"/></style:style>` +
				`<style:style style:name="ta2" style:family="table"><style:table-properties table:display="false"/></style:style></office:automatic-styles><office:body><office:spreadsheet>` +
				sheet("a", `table:style-name="ta1"`, row("", oneCell)) + sheet("b", `table:style-name="ta2"`, "") + `</office:spreadsheet></office:body></office:document-content>`,
			"[a]\n1: A#=\"1\"\n[b]\n", "x.ods:b: the sheet is hidden; it is read like the others\n"},
		{"text under merged cells",
			sheetOf(row("", `<table:table-cell table:number-columns-spanned="2" table:number-rows-spanned="2" office:value-type="float" office:value="1"/><table:covered-table-cell/>`+oneCell) +
				row("", `<table:covered-table-cell/><table:covered-table-cell office:value-type="string"><text:p>under</text:p></table:covered-table-cell>`+oneCell) +
				row("", `<table:covered-table-cell table:number-columns-repeated="2" office:value-type="float" office:value="7"/>`)),
			"[unit]\n1: A#=\"1\" C#=\"1\"\n2: C#=\"1\"\n", "x.ods:unit: text hidden under merged cells is not read: rows 2-3\n"},
		{"what is no sheet of the workbook: drawings, changes, links and copies of other files",
			spreadsheet(`<table:tracked-changes><table:table table:name="no"/></table:tracked-changes>` +
				sheet("unit", "", `<table:shapes><draw:frame><draw:text-box><table:table table:name="no">`+row("", oneCell)+`</table:table></draw:text-box></draw:frame></table:shapes>`+row("", oneCell)) +
				sheet("'file:///tmp/other.ods'#parts", "", `<table:table-source/>`+row("", oneCell)) +
				`<table:dde-links><table:dde-link><table:table>` + row("", oneCell) + `</table:table></table:dde-link></table:dde-links>`),
			"[unit]\n1: A#=\"1\"\n", ""},
		{"a sheet without a name", spreadsheet(`<table:table>` + row("", oneCell) + `</table:table>`), "[Sheet1]\n1: A#=\"1\"\n", ""},
		{"a name with references", spreadsheet(sheet("A &amp; B", "", "")), "[A & B]\n", ""},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			for _, content := range [][]byte{
				ods(t, tt.content),
				[]byte(`<?xml version="1.0" encoding="UTF-8"?>` + strings.ReplaceAll(tt.content, "office:document-content", "office:document")), // flat
			} {
				tables, probs := Read("x.ods", content, Limits{})
				if got := show(tables); got != tt.want || said(probs) != tt.notes || probs.Failed() {
					t.Errorf("got\n%s%swant\n%s%s", got, said(probs), tt.want, tt.notes)
				}
			}
		})
	}
}

// The same cells come from the flat file that another program's workbook in
// testdata was made of; the two formulas in it were not yet worked out.
func TestFlatDocument(t *testing.T) {
	content, err := os.ReadFile(filepath.Join("testdata", "source.fods"))
	must(t, err)
	tables, probs := Read("x.xlsx", content, Limits{})
	want, err := os.ReadFile(filepath.Join("testdata", "otherwriter.txt"))
	must(t, err)
	worked := strings.Replace(string(want), `C!="#DIV/0!" D="ab"`, `D~="=\"a\"&\"b\""`, 1)
	if got := show(tables) + said(probs); got != worked {
		t.Errorf("got\n%swant\n%s", got, worked)
	}
}

func TestDamagedDocument(t *testing.T) {
	row := func(cells string) string { return sheetOf(`<table:table-row>` + cells + `</table:table-row>`) }
	good := row(`<table:table-cell office:value-type="float" office:value="1234"/>`)
	cell := func(attrs string) []byte { return ods(t, row(`<table:table-cell `+attrs+`/>`)) }
	without := func(i int) []byte {
		list := document(good)
		return pack(t, append(list[:i:i], list[i+1:]...)...)
	}
	tests := []struct {
		why     string
		content []byte
		want    string
	}{
		{"no content", without(1), "x: the workbook is damaged: the part content.xml is missing; a workbook that is whole: copy it again, or save it again as .xlsx or .ods"},
		{"encrypted", pack(t, part{"mimetype", mimeStart + "spreadsheet"}, part{"content.xml", "\x01\x02"}, part{"META-INF/manifest.xml", lockedManifest}), "x: the workbook is encrypted; a workbook without a password, or CSV"},
		{"a letter", ods(t, strings.ReplaceAll(good, "office:spreadsheet", "office:text")), "x: the file is an OpenDocument file without a spreadsheet in it; the table saved as .xlsx, .ods or .csv"},
		{"a flat letter", []byte(`<office:document` + spaces + `><office:body><office:text/></office:body></office:document>`), "x: the file is an OpenDocument file without a spreadsheet in it"},
		{"another archive that says what it is", pack(t, part{"mimetype", "application/epub+zip"}, part{"content.xml", good}), "x: the file is a zip archive without a workbook in it"},
		{"no sheets", ods(t, spreadsheet("")), "x: the workbook has no sheets"},
		{"another root", ods(t, "<html/>"), `x: the workbook is damaged: its content is broken: its root is "html", not a document`},
		{"one bit of a figure turned, seen by the checksum", breakPart(t, document(good), "content.xml", `"1234"`, `"1834"`), "x: the workbook is damaged: the checksum of the part content.xml is wrong"},
		{"damage in the word on what it is", breakPart(t, document(good, part{"a", ""}), "mimetype", "mimetypeapplication", "mimetypeApplication"), "x: the workbook is damaged: the checksum of the part mimetype is wrong"},
		{"damage in a part that is not needed", breakPart(t, document(good, part{"Pictures/logo.png", "12345678"}), "logo.png", "12345678", "12345679"), "x: the workbook is damaged: the checksum of the part Pictures/logo.png is wrong"},
		{"cut in a row", ods(t, good[:strings.Index(good, "</table:table-row>")]), "x:unit:1: the sheet is damaged here or after this: it ends in the middle"},
		{"cut after a row", ods(t, good[:strings.Index(good, "</table:table>")]), "x:unit:1: the sheet is damaged here or after this: it ends in the middle"},
		{"cut in the text of a cell", ods(t, strings.TrimSuffix(spreadsheet(`<table:table table:name="unit"><table:table-row><table:table-cell><text:p>ab`), `</office:spreadsheet></office:body></office:document-content>`)), "x:unit:1: the sheet is damaged here or after this: it ends in the middle"},
		{"cut after the sheets", ods(t, good[:strings.Index(good, "</office:spreadsheet>")]), "x: the workbook is damaged: its content is broken: it ends in the middle"},
		{"cut before the sheets", ods(t, good[:strings.Index(good, "<office:body>")]), "x: the workbook is damaged: its content is broken: it ends in the middle"},
		{"a flat file that is cut after its sheets", []byte(strings.ReplaceAll(good[:len(good)-40], "document-content", "document")), "x: the workbook is damaged: its content is broken: it ends in the middle"},
		{"something after its end", ods(t, good+good), "it has two root elements"},
		{"a document type, which could hold a bomb of entities", ods(t, `<!DOCTYPE x [<!ENTITY a "aaaa">]>`+good), "it declares a document type"},
		{"an entity that means nothing", ods(t, row(`<table:table-cell><text:p>&lol;</text:p></table:table-cell>`)), "means nothing"},
		{"an entity that means nothing in a value", cell(`office:value-type="string" office:string-value="&lol;"`), "means nothing"},
		{"text that is not UTF-8", ods(t, row("<table:table-cell><text:p>\xff</text:p></table:table-cell>")), "its text is not UTF-8"},
		{"junk nested without end", ods(t, row(strings.Repeat("<table:table-cell><text:p>", 1000))), "x:unit:1: the sheet is damaged here or after this: elements nest deeper than 200"},
		{"a kind that is none", cell(`office:value-type="weight"`), `no cell is of the kind "weight"`},
		{"a number without a value", cell(`office:value-type="float"`), "cell A1 has no value"},
		{"a truth value that is none", cell(`office:value-type="boolean" office:boolean-value="maybe"`), `"maybe" is no truth value`},
		{"cells that stand there no times", cell(`table:number-columns-repeated="0"`), `"0" is no number of repetitions`},
		{"rows that stand there less than no times", ods(t, sheetOf(`<table:table-row table:number-rows-repeated="-99999999999999999999"/>`)), `"-99999999999999999999" is no number of repetitions`},
		{"columns that stand there by a word", ods(t, sheetOf(`<table:table-column table:number-columns-repeated="many"/>`)), `"many" is no number of repetitions`},
		{"blanks by a word", ods(t, row(`<table:table-cell><text:p>a<text:s text:c="many"/></text:p></table:table-cell>`)), `"many" is no number of blanks`},
		{"fewer blanks than none", ods(t, row(`<table:table-cell><text:p>a<text:s text:c="-1"/></text:p></table:table-cell>`)), `"-1" is no number of blanks`},
		{"a row beyond the last", ods(t, sheetOf(`<table:table-row table:number-rows-repeated="1048576"/><table:table-row>`+oneCell+`</table:table-row>`)), "x:unit:1048577: the sheet is damaged here or after this: row 1048577 is beyond the last that a sheet can have"},
		{"blanks by the million in each of many cells", ods(t, sheetOf(strings.Repeat(`<table:table-row><table:table-cell><text:p>a<text:s text:c="32000"/>b</text:p></table:table-cell></table:table-row>`, 1000))), "more blanks stand in it than a sheet has use for"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			p := oneError(t, "x", tt.content, Limits{})
			if !strings.Contains(p.String(), tt.want) {
				t.Errorf("got  %s\nwant %s", p, tt.want)
			}
			if p.Want == "" {
				t.Error("it does not say what would be right")
			}
			if tables, _ := Read("x", tt.content, Limits{}); len(tables) > 0 && !strings.Contains(tt.why, "not needed") && !strings.Contains(tt.why, "after") {
				t.Errorf("a sheet that is cut short must not come back as a short one:\n%s", show(tables))
			}
		})
	}
}

// A package that does not say what it is, as one packed anew by hand, is told by
// its parts.
func TestDocumentWithoutMimeType(t *testing.T) {
	list := document(sheetOf(`<table:table-row>` + oneCell + `</table:table-row>`))
	tables, probs := Read("x", pack(t, list[1:]...), Limits{})
	if got := show(tables); got != "[unit]\n1: A#=\"1\"\n" || len(probs) > 0 {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}

func TestDocumentLimits(t *testing.T) {
	row := func(attrs, cells string) []byte {
		return ods(t, sheetOf(`<table:table-row `+attrs+`>`+cells+`</table:table-row>`))
	}
	billion := `<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="1000000000"/>`
	long := strings.Repeat("µ", 1<<20)
	tests := []struct {
		why     string
		content []byte
		lim     Limits
		want    string
	}{
		{"a row a billion times", row(`table:number-rows-repeated="1000000000"`, oneCell), Limits{}, "x:unit:200001: the table has more than 200000 rows, the limit; raise the limit with --limit rows=…"},
		{"the same beyond every limit", row(`table:number-rows-repeated="1000000000"`, oneCell), Limits{Rows: 1 << 30}, "x:unit:1: the sheet is damaged here or after this: row 1048577 is beyond the last that a sheet can have"},
		{"a cell a billion times", row("", billion), Limits{}, `x:unit:1:1001: a cell stands in column 1001, over the limit of 1000 columns ("1" in ALM1); raise the limit with --limit columns=1001`},
		{"the same beyond every limit", row("", billion), Limits{Columns: 1 << 30}, "x:unit:1: the sheet is damaged here or after this: column 16385 is beyond the last that a sheet can have"},
		{"both", row(`table:number-rows-repeated="1000000000"`, `<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="1000"/>`), Limits{}, `x:unit:2001:1: the table has more than 2000000 cells, the limit ("1" in A2001)`},
		{"a cell of a million characters", row("", `<table:table-cell><text:p>`+long+`</text:p></table:table-cell>`), Limits{}, `x:unit:1:1: the cell holds 1048576 characters, over the limit of 32767`},
		{"the same in pieces", row("", `<table:table-cell>`+strings.Repeat(`<text:p>µ µ</text:p>`, 1<<14)+`</table:table-cell>`), Limits{}, `x:unit:1:1: the cell holds 65535 characters, over the limit of 32767`},
		{"the same as a value", row("", `<table:table-cell office:value-type="string" office:string-value="`+long+`"/>`), Limits{}, `x:unit:1:1: the cell holds 1048576 characters, over the limit of 32767`},
		{"the same of blanks", row("", `<table:table-cell><text:p>a<text:s text:c="40000"/>b</text:p></table:table-cell>`), Limits{}, `x:unit:1:1: the cell holds 40002 characters, over the limit of 32767`},
		{"sheets", ods(t, spreadsheet(strings.Repeat(`<table:table/>`, 4))), Limits{Sheets: 3}, "x: the workbook has more than 3 sheets, the limit; raise the limit with --limit sheets=…"},
		{"unpacked size", ods(t, sheetOf("")+strings.Repeat(" ", 3*mebi)), Limits{UnzipBytes: 2 * mebi}, "x: the workbook unpacks to 4 MiB or more, over the limit of 2 MiB; raise the limit with --limit unzip-mb=4"},
		{"a bomb by its expansion", ods(t, sheetOf("")+strings.Repeat(" ", 65*mebi)), Limits{}, "over the limit of 80 times; raise the limit with --limit unzip-mb=66"},
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

// A sheet over a limit does not hide the next one.
func TestOtherSheetsOfADocument(t *testing.T) {
	rows := `<table:table-row table:number-rows-repeated="3">` + oneCell + `</table:table-row>`
	tables, probs := Read("x", ods(t, spreadsheet(`<table:table table:name="a">`+rows+rows+`</table:table><table:table table:name="b">`+rows+`</table:table>`)), Limits{Rows: 4})
	if got := show(tables); got != "[b]\n1: A#=\"1\"\n2: A#=\"1\"\n3: A#=\"1\"\n" || len(probs) != 1 {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}
