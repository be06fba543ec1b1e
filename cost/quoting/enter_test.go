package quoting_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/quoting"
)

var (
	enterEUR, _ = bom.FindCurrency("EUR")
	enterGBP, _ = bom.FindCurrency("GBP")
	enterDay    = bom.Date{Year: 2026, Month: 11, Day: 2}
)

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }

// offered is an offer with prices at rising quantities: "1 0.10, 100 0.08".
func offered(part, supplier, code, prices string) bom.Offer {
	o := bom.Offer{Part: part, Supplier: supplier, Code: code, Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One, Currency: enterEUR}
	for b := range strings.SplitSeq(prices, ", ") {
		if b == "" {
			continue
		}
		var from int64
		var price string
		fmt.Sscanf(b, "%d %s", &from, &price)
		o.Breaks = append(o.Breaks, bom.Break{From: from, Price: d(price)})
	}
	if len(o.Breaks) > 0 {
		o.MOQ = o.Breaks[0].From
	}
	return o
}

// enterSheet is a small price sheet.
func enterSheet() *bom.Prices {
	return &bom.Prices{
		Settings:  bom.Settings{Home: enterEUR},
		Exchange:  []bom.Rate{{Currency: enterGBP, Rate: d("1.25")}},
		Suppliers: []bom.Supplier{{Name: "Corner Parts", Currency: enterEUR}, {Name: "Far Shore", Currency: enterGBP}},
		Offers: []bom.Offer{
			offered("RS-10", "Corner Parts", "10-1", "1 0.10, 10 0.08, 100 0.05"),
			offered("100n 0603", "Corner Parts", "", "1 0.02"),
			offered("SC-3", "Corner Parts", "S-1", "5 2.40"),
			offered("SC-3", "Corner Parts", "S-2", "1 0.03"),
			offered("EMPTY", "Corner Parts", "", ""),
		},
		Substitutes: []bom.Substitute{{Part: "RS-10", Substitute: "RS-11"}},
		OnHand:      []bom.OnHand{{Part: "10u 0805"}},
	}
}

// enterShown writes what was entered down.
func enterShown(e *quoting.Entered) string {
	var b strings.Builder
	for _, l := range e.Lines {
		fmt.Fprintf(&b, "%s %s", l.Kind, l.Part)
		if l.Code != "" {
			fmt.Fprintf(&b, " (%s)", l.Code)
		}
		if l.WasIn.Code != "" {
			fmt.Fprintf(&b, " at %d: %s %s →", l.From, l.Was, l.WasIn)
		}
		if l.IsIn.Code != "" {
			fmt.Fprintf(&b, " %s %s", l.Is, l.IsIn)
		}
		if l.Percent.Valid {
			fmt.Fprintf(&b, " %s %%", l.Percent.Decimal)
		}
		if len(l.Besides) > 0 {
			fmt.Fprintf(&b, "; %s", strings.Join(l.Besides, ", "))
		}
		b.WriteString("\n")
	}
	for _, o := range e.Offers {
		fmt.Fprintf(&b, "= %s %s %s %s %s:", o.Part, o.Supplier, o.Code, o.Currency, o.AsOf)
		for _, br := range o.Breaks {
			fmt.Fprintf(&b, " @%d %s", br.From, br.Price)
			if br.Fresh {
				b.WriteString("*")
			}
		}
		if o.MOQ > 0 {
			fmt.Fprintf(&b, " MOQ %d", o.MOQ)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func TestEnter(t *testing.T) {
	asked := func(q bom.QuotedPart, prices string) bom.QuotedPart {
		q.Breaks, q.AsOf = offered("", "", "", prices).Breaks, enterDay
		if len(q.Breaks) == 1 {
			q.Quantity = q.Breaks[0].From
		}
		return q
	}
	listed := func(q bom.QuotedPart, prices string) bom.QuotedPart {
		q = asked(q, prices)
		q.Listed, q.Quantity = true, 0
		return q
	}
	unit := &bom.Assembly{Lines: []*bom.Line{
		{Part: "10 µF 0805", Value: "10 µF", Package: "0805", Designators: []string{"C1"}},
		{Part: "4k7 0603", Value: "4k7", Package: "0603", Designators: []string{"R1"}},
		{Part: "BZ-12", Number: "BZ-12"},
	}}
	taxed := func(r *quoting.Entering) { r.Prices.Suppliers[0].Tax = d("20") }
	for _, c := range []struct {
		why    string
		quoted []bom.QuotedPart
		change func(*quoting.Entering)
		want   string
	}{
		{"a list takes the place of what stands there",
			[]bom.QuotedPart{listed(bom.QuotedPart{Part: "RS-10"}, "1 0.11, 25 0.08, 100 0.05")}, nil,
			"dearer RS-10 (10-1) at 10: 0.08 EUR → 0.11 EUR 37.5 %\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.11* @25 0.08* @100 0.05*\n"},
		{"a dearer price for one quantity goes up where it holds",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "rs-10"}, "40 0.09")}, nil,
			"dearer RS-10 (10-1) at 40: 0.08 EUR → 0.09 EUR 12.5 %\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1 @10 0.09* @100 0.05\n"},
		{"a cheaper one holds from its quantity on",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "40 0.06")}, nil,
			"cheaper RS-10 (10-1) at 40: 0.08 EUR → 0.06 EUR -25 %\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1 @10 0.08 @40 0.06* @100 0.05\n"},
		{"our part number where the order code stands is the one offer that there is",
			[]bom.QuotedPart{asked(bom.QuotedPart{Code: "RS-10"}, "40 0.06")}, nil,
			"cheaper RS-10 (10-1) at 40: 0.08 EUR → 0.06 EUR -25 %\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1 @10 0.08 @40 0.06* @100 0.05\n"},
		{"a code of its own beside the part number is another offer",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Code: "10-2"}, "1 0.06")}, nil,
			"new RS-10 (10-2) 0.06 EUR\n= RS-10 Corner Parts 10-2 EUR 2026-11-02: @1 0.06*\n"},
		{"the same price only has a new date",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "40 0.08")}, nil,
			"unchanged RS-10 (10-1) at 40: 0.08 EUR → 0.08 EUR\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1 @10 0.08* @100 0.05\n"},
		{"fewer than the least so far",
			[]bom.QuotedPart{asked(bom.QuotedPart{Code: "S-1"}, "2 2.60")}, nil,
			"new SC-3 (S-1) 2.6 EUR; MOQ 5 → 2\n= SC-3 Corner Parts S-1 EUR 2026-11-02: @2 2.6* @5 2.4 MOQ 2\n"},
		{"an old price that is out of step is told of",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "40 0.12")}, nil,
			"dearer RS-10 (10-1) at 40: 0.08 EUR → 0.12 EUR 50 %\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1 @10 0.12* @100 0.05\n" +
				"warning: a price that stays is out of step with a new one for another quantity (\"RS-10, 0.1 from 1 and 0.12 from 10\"); ask for the older one again\n"},
		{"by value and package, and the order code is new",
			[]bom.QuotedPart{asked(bom.QuotedPart{Code: "77", Value: "0.1 µF", Package: "0603"}, "1 0.02")}, nil,
			"unchanged 100n 0603 (77) at 1: 0.02 EUR → 0.02 EUR; order code 77\n= 100n 0603 Corner Parts 77 EUR 2026-11-02: @1 0.02*\n"},
		{"by what the description says in the manner of the price sheet",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "QQ-104", Description: "100 nF 0603"}, "1 0.02")}, nil,
			"unchanged 100n 0603 at 1: 0.02 EUR → 0.02 EUR\n= 100n 0603 Corner Parts  EUR 2026-11-02: @1 0.02*\n"},
		{"by the first or last word of the description, which is told",
			[]bom.QuotedPart{asked(bom.QuotedPart{Code: "77", Description: "Larkfield RS-10"}, "1 0.02"), asked(bom.QuotedPart{Description: "BZ-12, buzzer"}, "1 1"),
				asked(bom.QuotedPart{Description: "board for BZ-12 with cable"}, "1 1"), asked(bom.QuotedPart{Description: "EMPTY"}, "1 1")}, nil,
			"new RS-10 (77) 0.02 EUR\nnew BZ-12 1 EUR\nnew EMPTY 1 EUR\nunknown board for BZ-12 with cable 1 EUR\n" +
				"= RS-10 Corner Parts 77 EUR 2026-11-02: @1 0.02*\n= BZ-12 Corner Parts  EUR 2026-11-02: @1 1*\n= EMPTY Corner Parts  EUR 2026-11-02: @1 1*\n" +
				"warning: the part is known by a word of its description alone (\"RS-10 in Larkfield RS-10\"); a column of part numbers, if it is another\n" +
				"warning: the part is known by a word of its description alone (\"BZ-12 in BZ-12, buzzer\"); a column of part numbers, if it is another\n"},
		{"names that speak of two parts are left",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Code: "S-1"}, "1 0.02"), asked(bom.QuotedPart{Part: "SC-3"}, "1 0.02")}, nil,
			"unknown RS-10 (S-1) 0.02 EUR; part number says RS-10, order code says SC-3\nunknown SC-3 0.02 EUR; the supplier has several offers of it, and no order code is given\n"},
		{"a part that nothing knows is left, with the nearest",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-100"}, "1 0.02"), asked(bom.QuotedPart{Description: "knob"}, "1 0.02")}, nil,
			"unknown RS-100 0.02 EUR; did you mean RS-10\nunknown knob 0.02 EUR\n"},
		{"unless it is wanted",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "ZZ"}, "1 0.02"), asked(bom.QuotedPart{Description: "knob"}, "1 0.02")},
			func(r *quoting.Entering) { r.AddUnknown = true },
			"new ZZ 0.02 EUR\nunknown knob 0.02 EUR\n= ZZ Corner Parts  EUR 2026-11-02: @1 0.02*\n"},
		{"parts of the bill of materials; one that the price sheet has under its own name",
			[]bom.QuotedPart{asked(bom.QuotedPart{Value: "4700R", Package: "0603"}, "1 0.01"), asked(bom.QuotedPart{Value: "10uF", Package: "0805"}, "1 0.03"), asked(bom.QuotedPart{OurPart: "BZ-12"}, "1 1")}, nil,
			"new 4k7 0603 0.01 EUR\nnew 10u 0805 0.03 EUR\nnew BZ-12 1 EUR\n= 4k7 0603 Corner Parts  EUR 2026-11-02: @1 0.01*\n= 10u 0805 Corner Parts  EUR 2026-11-02: @1 0.03*\n= BZ-12 Corner Parts  EUR 2026-11-02: @1 1*\n"},
		{"a substitute is known, and an offer without a price takes one",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-11"}, "1 1"), asked(bom.QuotedPart{Part: "EMPTY"}, "1 2")}, nil,
			"new RS-11 1 EUR\nnew EMPTY 2 EUR\n= RS-11 Corner Parts  EUR 2026-11-02: @1 1*\n= EMPTY Corner Parts  EUR 2026-11-02: @1 2*\n"},
		{"no price: told and left",
			[]bom.QuotedPart{{Part: "RS-10", Unpriced: "on request"}, {Part: "SC-3", Code: "S-1", Unpriced: "no price", StockSaid: true}}, nil,
			"no price RS-10 (10-1); on request\nno price SC-3 (S-1); stock 0\n"},
		{"another currency takes the place of all prices",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Codes: []string{"GBP"}}, "10 0.064")}, nil,
			"unchanged RS-10 (10-1) at 10: 0.08 EUR → 0.064 GBP\n= RS-10 Corner Parts 10-1 GBP 2026-11-02: @10 0.064*\n"},
		{"the supplier's currency where nothing says one; its own spelling",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Supplier: "FAR  shore", Codes: []string{"GBP", "EGP"}}, "1 2"), asked(bom.QuotedPart{Part: "SC-3", Supplier: "Far Shore"}, "1 2")}, nil,
			"new RS-10 2 GBP\nnew SC-3 2 GBP\n= RS-10 Far Shore  GBP 2026-11-02: @1 2*\n= SC-3 Far Shore  GBP 2026-11-02: @1 2*\n"},
		{"a price of a pack is compared by the piece",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "SC-3", Code: "S-2", Pieces: bom.Whole(100), StockSaid: true, Stock: 7}, "1 3.30")}, nil,
			"dearer SC-3 (S-2) at 1: 0.03 EUR → 3.3 EUR 10 %; stock enough → 7, pieces 1 → 100\n= SC-3 Corner Parts S-2 EUR 2026-11-02: @1 3.3*\n" +
				"warning: the price is taken for that of a pack (\"SC-3 of 100\"); --heading 'Their name=Multiple' if it is that of one piece\n"},
		{"a price of one piece of what is sold in packs", // 30.00 for ten; by hand: √(30 × 3) = 9.487 is as near to 30 as to 3
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "1 9.50"), asked(bom.QuotedPart{Part: "SC-3", Code: "S-1"}, "5 9.40")},
			func(r *quoting.Entering) {
				r.Prices.Offers = []bom.Offer{offered("RS-10", "Corner Parts", "10-1", "1 30"), offered("SC-3", "Corner Parts", "S-1", "5 30")}
				r.Prices.Offers[0].Pieces, r.Prices.Offers[1].Pieces = bom.Whole(10), bom.Whole(10)
			},
			"cheaper SC-3 (S-1) at 5: 30 EUR → 9.4 EUR -68.7 %\ncheaper RS-10 (10-1) at 1: 30 EUR → 9.5 EUR -68.3 %\n" +
				"= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 9.5*\n= SC-3 Corner Parts S-1 EUR 2026-11-02: @5 9.4*\n" +
				"warning: the price is taken for that of a pack, as the offer stands, and is nearer to that of one piece (\"SC-3 of 10\"); a column headed Pieces, with 1 if it is that of one piece\n"},
		{"two prices for one quantity",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "1 0.2"), asked(bom.QuotedPart{Code: "10-1"}, "1 0.3")}, nil,
			"error: another price of RS-10 from Corner Parts for 1 stands before this one, 0.2 (\"0.3\"); one price, or order codes that tell several offers apart\n"},
		{"rows of one offer are its breaks",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "1 0.1"), asked(bom.QuotedPart{Code: "10-1"}, "200 0.04")}, nil,
			"cheaper RS-10 (10-1) at 200: 0.05 EUR → 0.04 EUR -20 %\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1* @10 0.08 @100 0.05 @200 0.04*\n"},
		{"a currency without a rate, once",
			[]bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Codes: []string{"SEK"}}, "1 0.2"), asked(bom.QuotedPart{Part: "EMPTY", Codes: []string{"SEK"}}, "1 0.3")}, nil,
			"new EMPTY 0.3 SEK\n= EMPTY Corner Parts  SEK 2026-11-02: @1 0.3*\nerror: no rate into the home currency EUR is known (\"SEK\"); a row for SEK in the tab exchange\n"},
		{"a sign that many use", []bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Codes: []string{"GBP", "EGP"}}, "1 0.2")}, nil,
			"dearer RS-10 (10-1) at 1: 0.1 EUR → 0.2 GBP 150 %\n= RS-10 Corner Parts 10-1 GBP 2026-11-02: @1 0.2*\n" +
				"warning: a currency sign that several use is read as that of the first of them (\"RS-10 in GBP\"); --currency if it is another\n"},
		{"--currency against the quote", []bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10", Codes: []string{"GBP"}}, "1 0.2")},
			func(r *quoting.Entering) { r.Currency = enterEUR },
			"error: --currency says EUR, and the quote another (\"GBP\"); the same currency, or the command without --currency\n"},
		{"nobody is named", []bom.QuotedPart{asked(bom.QuotedPart{Part: "RS-10"}, "1 0.2")},
			func(r *quoting.Entering) { r.Supplier = "" },
			"error: no supplier is given; --supplier 'NAME', or a column headed Supplier\n"},
		{"no date, and an older one",
			[]bom.QuotedPart{{Origin: bom.Origin{Head: &bom.Heading{File: "q.csv"}}, Part: "RS-10", Breaks: []bom.Break{{From: 1, Price: d("0.1")}}}},
			func(r *quoting.Entering) {
				r.Prices.Offers[0].AsOf = bom.Date{Year: 2026, Month: 12, Day: 1}
			},
			"unchanged RS-10 (10-1) at 1: 0.1 EUR → 0.1 EUR\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1* @10 0.08 @100 0.05\n" +
				"q.csv: no date is given; 2026-11-02 is taken, and --as-of sets another\n" +
				"warning: q.csv: the quote is older than the offer that it replaces (\"RS-10, 2026-12-01\"); put the quotes in order, or give --as-of\n"},
		{"tax on top, and no rate", []bom.QuotedPart{asked(bom.QuotedPart{Part: "EMPTY", Tax: bom.WithoutTax, TaxText: "VAT 20 %"}, "1 0.2")}, nil,
			"new EMPTY 0.2 EUR\n= EMPTY Corner Parts  EUR 2026-11-02: @1 0.2*\n" +
				"warning: the quote shows tax on top of its prices, and the supplier has no Import tax % (\"VAT 20 %\"); its rate in the supplier's row, unless the prices that are entered hold it\n"},
		{"tax on top, by the rate", []bom.QuotedPart{asked(bom.QuotedPart{Part: "EMPTY", Tax: bom.WithoutTax, TaxText: "VAT 20 %"}, "1 0.2")},
			taxed, "new EMPTY 0.2 EUR\n= EMPTY Corner Parts  EUR 2026-11-02: @1 0.2*\n"},
		{"tax inside, and a rate", []bom.QuotedPart{asked(bom.QuotedPart{Part: "EMPTY", Tax: bom.WithTax, TaxText: "Price incl. VAT"}, "1 0.2"),
			asked(bom.QuotedPart{Part: "RS-10", Tax: bom.WithTax, TaxText: "Price incl. VAT"}, "1 0.1")}, taxed,
			"new EMPTY 0.2 EUR\nunchanged RS-10 (10-1) at 1: 0.1 EUR → 0.1 EUR\n= EMPTY Corner Parts  EUR 2026-11-02: @1 0.2*\n= RS-10 Corner Parts 10-1 EUR 2026-11-02: @1 0.1* @10 0.08 @100 0.05\n" +
				"warning: the prices of the quote hold tax, which Import tax % of the supplier adds once more (\"Price incl. VAT\"); prices without it, or 0 there\n"},
		{"a supplier that is new", []bom.QuotedPart{asked(bom.QuotedPart{Part: "EMPTY"}, "1 0.2")},
			func(r *quoting.Entering) { r.Supplier = "Corner Part" },
			"new EMPTY 0.2 EUR\n= EMPTY Corner Part  EUR 2026-11-02: @1 0.2*\n" +
				"warning: the price sheet does not know this supplier (\"Corner Part\"); add a row for it to the tab suppliers (did you mean Corner Parts)\n" +
				"warning: nothing says in which currency the price is; the home currency is taken (\"EMPTY in EUR\"); --currency if it is another\n"},
	} {
		t.Run(c.why, func(t *testing.T) {
			run := quoting.Entering{Prices: enterSheet(), Unit: unit, Quoted: c.quoted, Supplier: "corner parts", Today: enterDay}
			if c.change != nil {
				c.change(&run)
			}
			e, problems := quoting.Enter(run)
			got := enterShown(e)
			for _, p := range problems {
				got += map[bom.Severity]string{bom.Error: "error: ", bom.Warning: "warning: "}[p.Severity] + p.String() + "\n"
			}
			if got != c.want {
				t.Errorf("entered is\n%sand should be\n%s", got, c.want)
			}
		})
	}
}
