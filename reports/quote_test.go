package reports

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/typed"
)

func day(year, month, of int) bom.Date {
	return bom.Date{Year: int32(year), Month: int8(month), Day: int8(of)}
}

// A quote is valid for the days of the settings from its day of issue, but not longer than
// the oldest price that it rests on stays within the age limit: that of 2025-12-01 turns
// 90 days old on 2026-03-01. Dates of anything but prices do not count.
func TestQuoteUntil(t *testing.T) {
	e := typed.Frost(t, 10)
	e.Sources = append(e.Sources, cost.Source{What: "setting", Name: "Home currency", AsOf: day(2020, 1, 1)},
		cost.Source{What: "supplier", Name: "example: Lead days", AsOf: day(2020, 1, 1)})
	for _, row := range []struct {
		days, limit int
		on, want    bom.Date
		short       bool
	}{
		{30, 90, day(2026, 1, 1), day(2026, 1, 31), false},
		{30, 90, day(2026, 2, 15), day(2026, 3, 1), true},
		{30, 90, day(2026, 3, 1), day(2026, 3, 1), true},
		{30, 90, day(2026, 4, 1), day(2026, 4, 1), true},
		{60, 0, day(2026, 4, 1), day(2026, 5, 31), false},
	} {
		e.Terms = &cost.Terms{Settings: bom.Settings{QuoteDays: row.days, PriceAgeDays: row.limit}}
		until, price := QuoteUntil(e, row.on)
		if until != row.want || (price.What != "") != row.short {
			t.Errorf("%d days, limit %d, issued %s: until %s (%q), want %s", row.days, row.limit, row.on, until, price.Name, row.want)
		}
		if said := QuoteShortened(e, row.on); (said != "") != row.short {
			t.Errorf("issued %s: %q", row.on, said)
		}
	}
}

// about gives the text of a line of a quote.
func about(q QuotePaper, what string) string {
	for _, list := range [][]Remark{q.Heads, q.Offer, q.Remarks} {
		for _, r := range list {
			if r.About == what {
				return r.Text
			}
		}
	}
	return "no line"
}

// Blank fields are lines to fill in; what has no price is not quoted; the cautions are
// those of whoever gets a unit.
func TestQuotePaper(t *testing.T) {
	e := typed.Unpriced(t, 10)
	e.Cautions = append(e.Cautions, cost.Caution{Text: "for the bench", User: "for the user"})
	q := Quote(e, QuoteTerms{On: day(2026, 3, 15)})
	for what, want := range map[string]string{"From": "", "To": "", "Number": "", "Payment": "", "Date of issue": "15 Mar 2026", "Caution": "for the user",
		"Not final": "where ? stands there is no price yet"} {
		if got := about(q, what); got != want {
			t.Errorf("%s: %q, want %q", what, got, want)
		}
	}
	if got := q.Prices.Rows[0].Values[3].Exact(AsText); got != "?" {
		t.Errorf("a price of %s for what has none", got)
	}
}

// A kit whose SMT parts the maker solders says so, and never that nothing is fitted; one
// whose receiver solders all does not.
func TestQuoteOfAKit(t *testing.T) {
	kit := handFit(bom.LevelKit,
		fit{part: "SOLDERED", designator: "Q1", mount: bom.SMT, path: "main"},
		fit{part: "SOUNDER", designator: "LS1", mount: bom.THT, path: "main"},
		fit{part: "BASE", kind: bom.KindOther})
	if got := about(Quote(kit, QuoteTerms{}), "Included"); got != "all parts, in bags" {
		t.Errorf("included: %q", got)
	}
	if got, want := about(Quote(kit, QuoteTerms{}), "In one unit"), "bag main; 1 × BASE"; got != want {
		t.Errorf("in one unit: %q, want %q", got, want)
	}
	kit.Batches[0].Work = []cost.Work{{AppliesTo: "smt"}}
	if got := about(Quote(kit, QuoteTerms{}), "Included"); got != "all parts, in bags, the soldering of the SMT parts" {
		t.Errorf("included: %q", got)
	}
	if got := about(Quote(kit, QuoteTerms{}), "Not included"); !strings.Contains(got, "solder") || !strings.Contains(got, "postage") {
		t.Errorf("not included: %q", got)
	}
}

// Each zone has its own charge, and what is asked for postage alone is called so; sales
// tax stands below the total.
func TestQuoteByZone(t *testing.T) {
	d := decimal.RequireFromString
	e := typed.Frost(t, 4)
	e.Terms = &cost.Terms{Settings: bom.Settings{SalesTax: d("20")}}
	b := &e.Batches[0]
	b.Ask.Payer = "recipients"
	b.Payers = []cost.Payer{{Name: "recipients"}}
	b.Payers[0].Bears[cost.Postage] = true
	b.Quote = cost.Quote{All: d("86"), Tax: d("14.33"), Lines: []cost.QuoteLine{{Units: 4, Each: d("18"), All: d("72")},
		{Share: true, Zone: "home", Units: 3, Each: d("2"), All: d("6")}, {Share: true, Zone: "far", Units: 1, Each: d("8"), All: d("8")}}}
	prices := Quote(e, QuoteTerms{}).Prices
	want := "frost-alarm 4 18.00 72.00; postage to home 3 2.00 6.00; postage to far 1 8.00 8.00; in all   86.00; of which sales tax, 20 %   14.33"
	var got []string
	for _, r := range prices.Rows {
		var cells []string
		for i, v := range r.Values[1:] {
			cells = append(cells, v.Exact(v.FormatIn(prices.Columns[i+1])))
		}
		got = append(got, strings.Join(cells, " "))
	}
	if joined := strings.Join(got, "; "); joined != want {
		t.Errorf("got  %s\nwant %s", joined, want)
	}
}
