package table

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"tenoff/bom"
)

func TestText(t *testing.T) {
	tests := []struct {
		why, in, want string
	}{
		// RFC 4180 section 2, rules 1 to 7, in its own examples
		{"rule 1: records end with CRLF", "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "1: A=\"aaa\" B=\"bbb\" C=\"ccc\"\n2: A=\"zzz\" B=\"yyy\" C=\"xxx\"\n"},
		{"rule 2: the last may lack it", "aaa,bbb,ccc\r\nzzz,yyy,xxx", "1: A=\"aaa\" B=\"bbb\" C=\"ccc\"\n2: A=\"zzz\" B=\"yyy\" C=\"xxx\"\n"},
		{"rule 5: any field may be quoted", "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "1: A=\"aaa\" B=\"bbb\" C=\"ccc\"\n2: A=\"zzz\" B=\"yyy\" C=\"xxx\"\n"},
		{"rule 6: a quoted line end belongs to the field", "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", "1: A=\"aaa\" B=\"b\\nbb\" C=\"ccc\"\n3: A=\"zzz\" B=\"yyy\" C=\"xxx\"\n"},
		{"rule 7: a quote inside is doubled", "\"aaa\",\"b\"\"bb\",\"ccc\"", "1: A=\"aaa\" B=\"b\\\"bb\" C=\"ccc\"\n"},

		{"line ends of LF alone", "a,b\nc,d\n", "1: A=\"a\" B=\"b\"\n2: A=\"c\" B=\"d\"\n"},
		{"line ends of CR alone", "a,b\rc,d\r", "1: A=\"a\" B=\"b\"\n2: A=\"c\" B=\"d\"\n"},
		{"mixed line ends count each once", "a,b\r\n\r\nc,d\n\ne,f\r\rg,h", "1: A=\"a\" B=\"b\"\n3: A=\"c\" B=\"d\"\n5: A=\"e\" B=\"f\"\n7: A=\"g\" B=\"h\"\n"},
		{"empty cells and rows are left out, columns stay true", ",,\n,x,\n\n", "2: B=\"x\"\n"},
		{"a row number is the line where the record starts", "a,\"1\n2\n3\"\n\nb,c\n", "1: A=\"a\" B=\"1\\n2\\n3\"\n5: A=\"b\" B=\"c\"\n"},
		{"white space at both ends goes, no-break, narrow and ideographic too", "\u00a0a\u202f,\u3000b \n c\t,\ufeffd\u200b", "1: A=\"a\" B=\"b\"\n2: A=\"c\" B=\"d\"\n"},
		{"white space inside stays", "M3 x 8,1 234", "1: A=\"M3 x 8\" B=\"1 234\"\n"},
		{"a quote inside a plain field means inches", "19\" rack,5\n", "1: A=\"19\\\" rack\" B=\"5\"\n"},
		{"blanks around a quoted field are passed over", "R1, \"a,b\" ,c", "1: A=\"R1\" B=\"a,b\" C=\"c\"\n"},
		{"an empty quoted field is empty", "\"\",x", "1: B=\"x\"\n"},
		{"leading zeros are text in CSV", "0402,007", "1: A=\"0402\" B=\"007\"\n"},
		{"a formula's look is text in CSV", "=1+1,+2", "1: A=\"=1+1\" B=\"+2\"\n"},
		{"right-to-left text comes as it stands", "לוח,1", "1: A=\"לוח\" B=\"1\"\n"},
		{"sep= is obeyed, and is no row", "sep=|\na|b,c\n", "2: A=\"a\" B=\"b,c\"\n"},
		{"sep= with upper case and CRLF", "SEP=;\r\na,b;c\r\n", "2: A=\"a,b\" B=\"c\"\n"},
		{"sep= with nothing that parts is a cell like others", "sep=x\na,b\n", "1: A=\"sep=x\"\n2: A=\"a\" B=\"b\"\n"},
		{"an old end-of-file mark is no binary", "a,b\n1,2\n\x1a", "1: A=\"a\" B=\"b\"\n2: A=\"1\" B=\"2\"\n3: A=\"\\x1a\"\n"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			tables, probs := Read("x.csv", []byte(tt.in), Limits{})
			if got := show(tables); got != tt.want || len(probs) > 0 {
				t.Errorf("got\n%swant\n%s%s", got, tt.want, said(probs))
			}
		})
	}
}

func TestSeparator(t *testing.T) {
	many := func(head, row string, n int) string { return head + "\n" + strings.Repeat(row+"\n", n) }
	tests := []struct {
		why, in string
		want    rune
	}{
		{"comma", "Ref,Qty\nR1,2\n", ','},
		{"semicolon", "Ref;Qty\nR1;2\n", ';'},
		{"tab", "Ref\tQty\nR1\t2\n", '\t'},
		{"decimal commas in every price do not win over semicolons", many("Teil;Preis", "R1;1,25", 20), ';'},
		{"semicolons between designators do not win over commas", many("Ref,Qty", "R1;R2;R3;R4,4", 20), ','},
		{"commas between designators do not win over semicolons", many("Reference;Qty;Price", "R1, R2, R3, R4, R5, R6, R7;7;0,1", 29), ';'},
		{"the same with headings that are not known", many("Platz;Zahl;Preis", "R1, R2, R3;3;0,1", 29), ';'},
		{"commas in titles do not win", "Frost alarm, rev B, 2026\nAllotment society, Lower End, north\nA, b, c\n" + many("Reference;Qty;Value;Package", "R1;1;10k;0603", 4), ';'},
		{"titles and blank rows above do not count", "Frost alarm\n\nrev B\n\n\n" + many("Reference\tQty\tNote", "R1\t1\ta, b; c", 3), '\t'},
		{"separators in quotes do not count", many("Ref,Qty,Note", "R1,1,\"a; b; c; d; e\"", 5), ','},
		{"quoted lines do not count as records", "Ref;Note\nR1;\"a, b\nc, d\ne, f\"\nR2;\"g, h\"\n", ';'},
		{"doubled quotes keep a field together", "Ref;Note\nR1;\"say \"\"a, b, c\"\" now\"\n", ';'},
		{"rows that lose their empty ends are still of one table", "Designator,Qty,Value,Package,Note\nR1,1\nR2,1,4k7\nR3,1,4k7,0603\nR4,1,4k7,0603,x;y\n", ','},
		{"two words and no more: one heading row decides", "Setting;Value\nLabour rate per hour;18,50\nConfidence %;95,0\nMargin %;5,0\n", ';'},
		{"a semicolon is likelier than a decimal comma", "1,5;2\n", ';'},
		{"one column has the separator of the standard", "Setting\nx\n", ','},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			tables, probs := Read("x.csv", []byte(tt.in), Limits{})
			if len(tables) != 1 || tables[0].Separator != tt.want {
				t.Errorf("separator %q in\n%s%s", tables[0].Separator, show(tables), said(probs))
			}
		})
	}
}

// utf16Bytes writes UTF-16 by the standard library.
func utf16Bytes(s string, big, mark bool) []byte {
	units := utf16.Encode([]rune(s))
	if mark {
		units = append([]uint16{0xFEFF}, units...)
	}
	var b []byte
	for _, u := range units {
		if big {
			b = append(b, byte(u>>8), byte(u))
		} else {
			b = append(b, byte(u), byte(u>>8))
		}
	}
	return b
}

func TestEncodings(t *testing.T) {
	const text = "Value;Note\n1 µF;Löttopf 😀 Ω\n"
	const want = "1: A=\"Value\" B=\"Note\"\n2: A=\"1 µF\" B=\"Löttopf 😀 Ω\"\n"
	tests := []struct {
		why  string
		in   []byte
		want string
		note string
	}{
		{"UTF-8", []byte(text), want, ""},
		{"UTF-8 with its mark", []byte("\xEF\xBB\xBF" + text), want, ""},
		{"UTF-16, low byte first", utf16Bytes(text, false, true), want, ""},
		{"UTF-16, high byte first", utf16Bytes(text, true, true), want, ""},
		{"UTF-16 without its mark, low byte first", utf16Bytes(text, false, false), want, ""},
		{"UTF-16 without its mark, high byte first", utf16Bytes(text, true, false), want, ""},
		// RFC 2781 section 5, examples of "U+12345=Ra" (from memory)
		{"RFC 2781, high byte first", []byte("\xFE\xFF\xD8\x08\xDF\x45\x00\x3D\x00\x52\x00\x61"), "1: A=\"\U00012345=Ra\"\n", ""},
		{"RFC 2781, low byte first", []byte("\xFF\xFE\x08\xD8\x45\xDF\x3D\x00\x52\x00\x61\x00"), "1: A=\"\U00012345=Ra\"\n", ""},
		// the code page's own table: 80 is the euro, B5 the micro sign, 96 a dash
		{"Windows-1252", []byte("Price;Note\n\x80 1,20;1 \xB5F \x96 K\xF6ln\n"), "1: A=\"Price\" B=\"Note\"\n2: A=\"€ 1,20\" B=\"1 µF – Köln\"\n",
			"x.csv:2: this line is not UTF-8, so the file is read as Windows-1252\n"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			tables, probs := Read("x.csv", tt.in, Limits{})
			if got := show(tables); got != tt.want || said(probs) != tt.note {
				t.Errorf("got\n%swant\n%s%s", got, tt.want, said(probs))
			}
			if len(probs.Of(bom.Error)) > 0 {
				t.Error("a note is not an error")
			}
		})
	}
}

func TestTextRefused(t *testing.T) {
	tests := []struct {
		why  string
		in   string
		want string
	}{
		{"nothing", "", "x.csv: the file is empty; a heading row and at least one row under it"},
		{"a mark and no text", "\xEF\xBB\xBF", "x.csv: the file is empty; a heading row and at least one row under it"},
		{"blank rows and separators alone", " \n;;;\n\n", "x.csv: the file is empty; a heading row and at least one row under it"},
		{"a quote that is never closed, though more lines follow", "a,b\n1,2\n3,\"x\n4,y\n", `x.csv:3:2: the quote that opens here is never closed ("\"x 4,y "); a closing ", and "" for a quote inside the text`},
		{"text after a closing quote", "a,b\n\"x\"y,1\n", `x.csv:2:1: text stands after the closing quote ("\"x\"y"); "" for a quote inside a quoted text`},
		{"the same at the end of a field of several lines", "a,b\n\"x\nz\"y,1\n", `x.csv:3:1: text stands after the closing quote ("\"x z\"y"); "" for a quote inside a quoted text`},
		{"NUL", "a,b\n1,\x00\n", `x.csv:2: the file holds bytes that are not text`},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00", `the file holds bytes that are not text`},
		{"random bytes", "\x01\x02\xfe\x80\x03\x04\x05", `the file holds bytes that are not text`},
		{"UTF-32", "\xFF\xFE\x00\x00a\x00\x00\x00,\x00\x00\x00b\x00\x00\x00", `the file holds bytes that are not text`},
		{"UTF-16 cut in the middle of a character", "\xFF\xFEa\x00,\x00b", `x.csv:1: the UTF-16 text is cut or damaged in the middle of a character`},
		{"UTF-16 with half of a pair", "\xFE\xFF\x00a\x00\n\xD8\x08\x00b", `x.csv:2: the UTF-16 text is cut or damaged in the middle of a character`},
		{"UTF-8 but for its last byte: cut", "Value,Note\n1 µF,Köln\n2 µF,K\xc3", `x.csv:3: a character is not UTF-8, though the rest of the file is ("2 µF,K"`},
		{"UTF-8 of another script but for one byte", "Value,Note\n1 µF,Кёльн\n2 µF,K\xf6ln\n", `x.csv:3: a character is not UTF-8, though the rest of the file is ("2 µF,K"`},
		{"a web page that is named like a table", "<!DOCTYPE html><table><tr><td>1", `the file is a document or a web page, not a table`},
		{"a table of a web page that is named like a workbook", "\n<HTML xmlns:x=\"urn:x\"><table>", `the file is a document or a web page, not a table (" <HTML xmlns:x=`},
		{"a table after a remark", "<!-- saved --><table>", `the file is a document or a web page, not a table`},
		{"a pointer to large storage", pointerText, `x.csv: the file is a pointer to a file kept elsewhere ("version https://store.ex"); the file itself, fetched from there`},
		{"the same with more lines, as it may have", strings.Replace(pointerText, "oid ", "ext-0-x sha256:00\r\noid ", 1), `the file is a pointer to a file kept elsewhere`},
		{"a PDF", "%PDF-1.7\n", `the file is a document or a web page, not a table`},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			p := oneError(t, "x.csv", []byte(tt.in), Limits{})
			if !strings.Contains(p.String(), strings.ReplaceAll(tt.want, `\"`, `"`)) {
				t.Errorf("got  %s\nwant %s", p, tt.want)
			}
		})
	}
}

// Faults of one cell do not hide those of the next.
func TestEveryFaultIsSaid(t *testing.T) {
	tables, probs := Read("x.csv", []byte("\"a\"b,c\nd,\"e\"f\n"), Limits{})
	if len(probs) != 2 || probs[0].Place != (bom.Place{File: "x.csv", Row: 1, Col: 1}) || probs[1].Place != (bom.Place{File: "x.csv", Row: 2, Col: 2}) {
		t.Errorf("got\n%s", said(probs))
	}
	if len(tables) != 1 {
		t.Error("a table that was read to its end is given, so that its other faults can be said")
	}
}

// The standard library takes apart the same records, where its stricter rules
// let it.
func TestLikeStandardLibrary(t *testing.T) {
	for _, name := range csvFiles(t) {
		content, err := os.ReadFile(name)
		must(t, err)
		tables, probs := Read(name, content, Limits{})
		if probs.Failed() {
			continue
		}
		r := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(content), "\uFEFF")))
		r.Comma, r.FieldsPerRecord = tables[0].Separator, -1
		var want strings.Builder
		ref := bom.Table{}
		for {
			fields, err := r.Read()
			if err != nil {
				break
			}
			line, _ := r.FieldPos(0)
			row := bom.Row{Number: line}
			for i, f := range fields {
				if f = strings.TrimSpace(f); f != "" {
					row.Cells = append(row.Cells, bom.Cell{Col: i + 1, Text: f})
				}
			}
			if len(row.Cells) > 0 {
				ref.Rows = append(ref.Rows, row)
			}
		}
		want.WriteString(show([]bom.Table{ref}))
		if got := show(tables); got != want.String() {
			t.Errorf("%s: got\n%swant\n%s", name, got, want.String())
		}
	}
}

func csvFiles(t *testing.T) []string {
	t.Helper()
	var out []string
	for _, glob := range []string{"start/*.csv", "start/*/*.csv", "demo/*/*.csv", "demo/*/*/*.csv"} {
		names, err := filepath.Glob(filepath.Join("..", "..", "fixtures", glob))
		must(t, err)
		out = append(out, names...)
	}
	if len(out) == 0 {
		t.Fatal("no demo files found")
	}
	return out
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "x.xlsx") // a name that lies
	must(t, os.WriteFile(path, []byte("a;b\n1;2\n"), 0o600))
	tables, probs := Open(path, "run/x.xlsx", Limits{})
	if got := show(tables); len(probs) > 0 || got != "1: A=\"a\" B=\"b\"\n2: A=\"1\" B=\"2\"\n" || tables[0].File != "run/x.xlsx" {
		t.Errorf("%s%s", got, said(probs))
	}
	for _, tt := range []struct{ why, path, want string }{
		{"no such file", filepath.Join(dir, "y.csv"), "named: the file cannot be read: file not found; "},
		{"a folder", dir, "named: the file cannot be read: is a directory; "},
	} {
		if tables, probs := Open(tt.path, "named", Limits{}); len(tables) > 0 || len(probs) != 1 || !strings.HasPrefix(probs[0].String(), tt.want) {
			t.Errorf("%s: %s", tt.why, said(probs))
		}
	}
	if _, probs := Open(path, "", Limits{FileBytes: 4}); len(probs) != 1 || !strings.Contains(probs[0].String(), "--limit file-mb=2") && !strings.Contains(probs[0].String(), "--limit file-mb=1") {
		t.Errorf("a file over the limit is read only so far: %s", said(probs))
	}
}

// Text that went through the wrong encoding is told from text that only looks a
// little like it.
func TestGarbled(t *testing.T) {
	tests := []struct {
		why, in, want string
	}{
		{"a micro sign", "1 Âµ", "Âµ"},
		{"a Greek capital", "4.7 kÎ©", "Î©"},
		{"an umlaut", "PrÃ¼fung", "Ã¼"},
		{"a dash", "R1â€“R3", "â€“"},
		{"the letters as they should be", "1 µF, 4.7 kΩ, Prüfung, R1–R3", ""},
		{"a Portuguese capital", "SÃO", ""},
		{"a French capital before a space", "Â propos", ""},
		{"a quotation in French", "« réglé\u00a0»", ""},
		{"one of the letters at the end", "Ã", ""},
	}
	for _, tt := range tests {
		_, probs := Read("x", []byte("a,b\n"+tt.in+",1\n"), Limits{})
		got := ""
		if len(probs) > 0 {
			got = probs[0].Found
		}
		if got != tt.want || len(probs) > 0 && (probs[0].Severity != bom.Warning || probs[0].Place.Row != 2) {
			t.Errorf("%s: got %q, want %q; %s", tt.why, got, tt.want, said(probs))
		}
	}
}

// A table with a fault in each cell is not read to its end.
func TestManyFaults(t *testing.T) {
	_, probs := Read("x", []byte(strings.Repeat("\"a\"b\n", 5000)), Limits{})
	if last := probs[len(probs)-1]; len(probs) != mostFaults+1 || !strings.Contains(last.What, "1000 errors") || last.Place.Row != mostFaults {
		t.Errorf("%d complaints, the last %s", len(probs), last)
	}
}

// What begins like a pointer and is none is read as the text that it is, and so is
// text under a name that says otherwise.
func TestTextThatLooksLikeAnother(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"version https://store.example/spec/v1,2\nsize,3\n", "1: A=\"version https://store.example/spec/v1\" B=\"2\"\n2: A=\"size\" B=\"3\"\n"},
		{pointerText + "Ref,Qty\nR1,1\n", "1: A=\"version https://store.example/spec/v1\"\n2: A=\"oid sha256:4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393\"\n3: A=\"size 12345\"\n4: A=\"Ref\" B=\"Qty\"\n5: A=\"R1\" B=\"1\"\n"},
		{"Ref\tQty\r\nR1\t2\r\n", "1: A=\"Ref\" B=\"Qty\"\n2: A=\"R1\" B=\"2\"\n"},
	} {
		tables, probs := Read("export.xls", []byte(tt.in), Limits{})
		if got := show(tables); got != tt.want || len(probs) > 0 {
			t.Errorf("got\n%swant\n%s%s", got, tt.want, said(probs))
		}
	}
}

// A line that was pasted in from a file in Windows-1252 is read, and told.
func TestForeignBytes(t *testing.T) {
	tables, probs := Read("x", []byte("Value,Note\n1 µF,Köln\n2 \xb5F,K\xf6ln\n"), Limits{})
	if got, want := show(tables), "1: A=\"Value\" B=\"Note\"\n2: A=\"1 µF\" B=\"Köln\"\n3: A=\"2 µF\" B=\"Köln\"\n"; got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	if !strings.Contains(said(probs), "x:3: a character is not UTF-8, though the rest of the file is: it is read as Windows-1252") {
		t.Errorf("said %s", said(probs))
	}
}
