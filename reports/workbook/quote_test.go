package workbook

import (
	"bytes"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// A quote is one page of prices and of what they are for: nothing of suppliers, parts'
// prices, hours or margins, and no formula.
func TestQuoteAlone(t *testing.T) {
	terms := reports.QuoteTerms{On: bom.Date{Year: 2026, Month: 11, Day: 25}, Number: "=7"}
	for name, e := range demos(t) {
		var b bytes.Buffer
		if err := WriteQuote(&b, e.Estimate, terms); err != nil {
			t.Fatal(err)
		}
		if !IsOurs(b.Bytes()) {
			t.Errorf("%s: the quote is not known as ours", name)
		}
		f := opened(t, b.Bytes())
		if sheets := f.GetSheetList(); len(sheets) != 1 || sheets[0] != quoteName {
			t.Errorf("%s: sheets %v", name, sheets)
		}
		if layout, err := f.GetPageLayout(quoteName); err != nil || *layout.FitToWidth != 1 || *layout.FitToHeight != 1 {
			t.Errorf("%s: more than one page (%v)", name, err)
		}
		xml := part(t, b.Bytes(), "xl/worksheets/sheet1.xml")
		if strings.Contains(xml, "<f>") {
			t.Errorf("%s: a formula", name)
		}
		rows, err := f.GetRows(quoteName, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		checkQuote(t, name, e.Estimate, rows)
	}
	if err := WriteQuote(&bytes.Buffer{}, &cost.Estimate{}, terms); err == nil {
		t.Error("an estimate without batches has a quote")
	}
}

// checkQuote looks at what stands on a quote.
func checkQuote(t *testing.T, name string, e *cost.Estimate, rows [][]string) {
	t.Helper()
	text := ""
	for _, r := range rows {
		text += strings.Join(r, "\t") + "\n"
	}
	for _, s := range e.Terms.Suppliers {
		if strings.Contains(text, s.Name) {
			t.Errorf("%s: %s is named", name, s.Name)
		}
	}
	for _, want := range []string{"From\t" + e.Terms.Settings.QuoteFrom, "Number\t=7", "Date of issue\t25 Nov 2026", "Payment\t" + e.Terms.Settings.QuoteTerms, "Accepted by"} {
		if !strings.Contains(text, want) {
			t.Errorf("%s: no %q in\n%s", name, want, text)
		}
	}
	for _, b := range e.Batches {
		for _, l := range b.Quote.Lines {
			found := false
			for _, r := range rows {
				found = found || len(r) == 5 && (same(r[3], l.Each.String()) || l.Free && r[3] == "–")
			}
			if !found {
				t.Errorf("%s: no price of %s each", name, l.Each)
			}
		}
	}
}
