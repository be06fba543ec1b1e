package workbook_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/reports"
	"tenoff/reports/workbook"
)

// The program's own readers find in the workbook what they find in the files it
// was made from, and have nothing to say about it that they do not say of those.
func TestInputsReadByProgram(t *testing.T) {
	for _, j := range jobs(t) {
		t.Run(j.name, func(t *testing.T) {
			read, problems := table.Read("run.xlsx", writeBytes(t, j.tables, j.opt), table.Limits{})
			if len(problems) > 0 {
				t.Fatalf("the workbook is complained of: %v", problems)
			}
			switch {
			case j.opt.BOM:
				sameLists(t, j.tables, read)
			case j.opt.Run:
				sameRun(t, j.tables, read)
			default:
				samePrices(t, j.tables, read)
			}
		})
	}
}

func sameRun(t *testing.T, typed, read []bom.Table) {
	t.Helper()
	want, before := sheet.ReadActuals(typed, "made", sheet.Options{})
	got, after := sheet.ReadActuals(read, "run.xlsx", sheet.Options{})
	if len(before)+len(after) > 0 {
		t.Errorf("complaints of the workbook: %v\nof the files: %v", after, before)
	}
	if a, b := reports.ActualsTables(want), reports.ActualsTables(got); !reflect.DeepEqual(a, b) {
		t.Errorf("the workbook reads\n%v\nand the files\n%v", b, a)
	}
}

func samePrices(t *testing.T, typed, read []bom.Table) {
	t.Helper()
	want, before := sheet.ReadPrices(typed, "prices", sheet.Options{})
	got, after := sheet.ReadPrices(read, "run.xlsx", sheet.Options{})
	if len(before) != len(after) || after.Failed() {
		t.Errorf("complaints of the workbook: %v\nof the files: %v", after, before)
	}
	if len(want.Offers) == 0 {
		t.Fatal("no offers to compare")
	}
	if a, b := figures(want), figures(got); a != b {
		t.Errorf("the workbook reads\n%s\nand the files\n%s", b, a)
	}
}

// figures writes a price sheet without the places that its figures came from.
func figures(p *bom.Prices) string {
	p.Name, p.Heads = "", nil
	for i := range p.Offers {
		p.Offers[i].Rows = nil
	}
	for i := range p.Settings.All {
		s := &p.Settings.All[i]
		for _, text := range []*string{&s.Text, &s.Low, &s.High} {
			// A stored number is read without the zeros at its end.
			if f, err := bom.ParseFigure(*text, bom.MarkDot); err == nil {
				*text = f.Value.String()
			}
		}
	}
	return withoutPlaces(*p)
}

func sameLists(t *testing.T, typed, read []bom.Table) {
	t.Helper()
	want, before := sheet.ReadBOM("unit.csv", func(path string) ([]bom.Table, bom.Problems) {
		for _, table := range typed {
			if table.File == path {
				return []bom.Table{table}, nil
			}
		}
		return nil, bom.Problems{{Place: bom.Place{File: path}, What: "no such file"}}
	}, sheet.Options{})
	got, after := sheet.ReadBOM("run.xlsx", func(string) ([]bom.Table, bom.Problems) { return read, nil }, sheet.Options{})
	if len(before) != len(after) || after.Failed() {
		t.Errorf("complaints of the workbook: %v\nof the files: %v", after, before)
	}
	if len(want.Lines) == 0 {
		t.Fatal("no lines to compare")
	}
	if a, b := lines(want), lines(got); a != b {
		t.Errorf("the workbook reads\n%s\nand the files\n%s", b, a)
	}
}

// lines writes a bill of materials and all below it, without files and places.
func lines(a *bom.Assembly) string {
	var b strings.Builder
	for _, line := range a.Lines {
		l := *line
		sub := l.Sub
		l.Sub = nil
		if sub != nil {
			l.File = ""
		}
		b.WriteString(withoutPlaces(l) + "\n")
		if sub != nil {
			b.WriteString(lines(sub))
		}
	}
	return b.String()
}

// withoutPlaces writes a value in full, all Origins in it left out and decimals
// as numbers.
func withoutPlaces(v any) string {
	var b strings.Builder
	dump(&b, reflect.ValueOf(v))
	return b.String()
}

func dump(b *strings.Builder, v reflect.Value) {
	switch x := v.Interface().(type) {
	case bom.Origin:
		return
	case fmt.Stringer:
		fmt.Fprintf(b, "%s ", x)
		return
	case decimal.NullDecimal:
		fmt.Fprintf(b, "%v %s ", x.Valid, x.Decimal)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			fmt.Fprintf(b, "%s:", v.Type().Field(i).Name)
			dump(b, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			dump(b, v.Index(i))
		}
	default:
		fmt.Fprintf(b, "%v ", v)
	}
}

// FuzzInputsCell writes one cell of any text under headings of each form: it
// reads back as it was typed, or as the same number.
func FuzzInputsCell(f *testing.F) {
	for _, s := range []string{"1.10", "4 %", "10-12", "=1+1", "1,234", "2026-03-01", "€1.20", "007", "1e5", "0603",
		"_x0041_", "_x0041_x0042_", "__x000D_", "a\rb", "\x01\uFFFF", "a\nb", "#N/A", "TRUE", "-1", "µ", "&<>\"'"} {
		f.Add(s)
	}
	headings := []string{"Part number", "Note", "Price", "Stock", "As of", "Currency", "Shelf"}
	f.Fuzz(func(t *testing.T, text string) {
		text = strings.TrimSpace(text)
		if text == "" || len(text) > 1000 || !utf8.ValidString(text) {
			return
		}
		var head, row bom.Row
		head.Number, row.Number = 1, 2
		for i, h := range headings {
			head.Cells = append(head.Cells, bom.Cell{Col: i + 1, Text: h})
			row.Cells = append(row.Cells, bom.Cell{Col: i + 1, Text: text})
		}
		typed := bom.Table{File: "offers.csv", Rows: []bom.Row{head, row}}
		read, problems := table.Read("run.xlsx", writeBytes(t, []bom.Table{typed}, workbook.InputsOptions{}), table.Limits{})
		if problems.Failed() {
			t.Fatalf("the workbook cannot be read: %v", problems)
		}
		rows := read[0].Rows
		for i, c := range rows[len(rows)-1].Cells {
			if c.Col != i+1 || c.Text != text && !sameNumber(c.Text, text) {
				t.Errorf("%s: %q was read back as %q", headings[i], text, c.Text)
			}
		}
	})
}

func sameNumber(stored, typed string) bool {
	a, err := bom.ParseFigure(stored, bom.MarkDot)
	b, err2 := bom.ParseFigure(typed, bom.MarkUnknown)
	return err == nil && err2 == nil && a.Value.Equal(b.Value)
}
