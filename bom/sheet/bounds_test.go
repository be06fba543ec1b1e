package sheet

import (
	"slices"
	"testing"

	"tenoff/bom"
)

// inText writes a range as low..high; a blank end is not given.
func inText(r bom.Range) string {
	low, high := "", ""
	if r.Least.Valid {
		low = r.Least.Decimal.String()
	}
	if r.Most.Valid {
		high = r.Most.Decimal.String()
	}
	return low + ".." + high
}

// Every tab whose figures may turn out otherwise reads how far.
func TestRanges(t *testing.T) {
	p, problems := read(Options{},
		"settings", "Setting,Value,Low,High\nHome currency,EUR,,\nUnit yield %,98,95 %,99\n",
		"exchange", "Currency,Rate,Low,High\nUSD,0.92,0.88,0.97\n",
		"offers", "Part number,Supplier,Price,From,Low,High\nX,A,2,1,1.50,\nX,A,1,10,,1.20\n",
		"boards", "Board,Fabricator,Lot,Price,Length mm,Width mm,Set-up,Per dm2,Low,High\n"+
			"B,F,10,40,,,,,35,50\nC,F,,,100,100,20,2,1,4\nD,F,,,,,20,,15,30\n",
		"hand work", "Operation,Applies to,Basis,Seconds,Low,High\ntest,test,unit,60,45,90\n",
		"materials", "Material,Spool g,Spool price,Low,High\nPLA,1000,20,18,25\n",
		"printers", "Printer,Power W,Power low W,Power high W,Failure %,Failure low %,Failure high %\nshed,100,80,130,4,2,9\nhut,,,50,,,5\n",
	)
	expect(t, problems)
	for _, c := range []struct {
		what string
		got  bom.Range
		want string
	}{
		{"setting", p.Settings.All[slices.IndexFunc(p.Settings.All, func(s bom.Setting) bool { return s.Name == "Unit yield %" })].Range, "95..99"},
		{"rate", p.Exchange[0].Range, "0.88..0.97"},
		{"first break", p.Offers[0].Breaks[0].Range, "1.5.."},
		{"second break", p.Offers[0].Breaks[1].Range, "..1.2"},
		{"lot", p.Quotes[0].Range, "35..50"},
		{"board by area", p.Quotes[1].Range, "1..4"},
		{"board by set-up", p.Quotes[2].Range, "15..30"},
		{"hand work", p.HandWork[0].Range, "45..90"},
		{"spool", p.Materials[0].Range, "18..25"},
		{"power", p.Printers[0].PowerRange, "80..130"},
		{"failures", p.Printers[0].FailRange, "2..9"},
		{"power of none", p.Printers[1].PowerRange, "..50"},
		{"failures of none", p.Printers[1].FailRange, "..5"},
	} {
		if got := inText(c.got); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

// Break columns: the range stands with the price from the fewest on, or with
// that under Price where there is one.
func TestRangesOfBreaks(t *testing.T) {
	for _, c := range []struct{ why, offers, want string }{
		{"columns by rising number", "Part number,Supplier,@1,@10,Low,High\nX,A,4,3,3,5\n", "1:3..5 10:.. "},
		{"columns in another order", "Part number,Supplier,@10,@1,Low,High\nX,A,3,4,3,5\n", "1:3..5 10:.. "},
		{"the first column is blank", "Part number,Supplier,@1,@10,Low,High\nX,A,,3,2,5\n", "10:2..5 "},
		{"Price with columns", "Part number,Supplier,Price,From,@1,Low,High\nX,A,3,10,4,2,5\n", "1:.. 10:2..5 "},
		{"the same price twice, the range in the second row", "Part number,Supplier,Price,Low,High\nX,A,3,,\nX,A,3,2,5\n", "1:2..5 "},
	} {
		p, problems := read(Options{}, "settings", "Setting,Value\nHome currency,EUR\n", "offers", c.offers)
		expect(t, problems)
		got := ""
		for _, b := range p.Offers[0].Breaks {
			got += bom.Whole(b.From).String() + ":" + inText(b.Range) + " "
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}

// One complaint for each end that cannot be right, in its own cell.
func TestWrongRanges(t *testing.T) {
	for _, c := range []struct {
		why, tab, text string
		want           []string
	}{
		{"both ends on the wrong side", "materials", "Material,Spool g,Spool price,Low,High\nPLA,1000,20,21,19\n", []string{
			`p/materials.csv:2:4: Low: lowest is over the value ("21"); no more than the value, 20`,
			`p/materials.csv:2:5: High: highest is under the value ("19"); no less than the value, 20`}},
		{"a word", "hand work", "Operation,Applies to,Basis,Seconds,Low\ntest,test,unit,60,short\n", []string{
			`p/hand work.csv:2:5: Low: not a number ("short"); a number such as 1234.56`}},
		{"a rate of nothing", "exchange", "Currency,Rate,Low\nUSD,0.9,0\n", []string{
			`p/exchange.csv:2:3: Low: 0 at the end of a range ("0"); a number over 0`}},
		{"plates that always fail", "printers", "Printer,Failure %,Failure high %\nshed,4,100\n", []string{
			`p/printers.csv:2:3: Failure high %: out of range ("100"); a figure under 100`}},
		{"more than all units are good", "settings", "Setting,Value,Low,High\nHome currency,EUR,,\nUnit yield %,98,,101\n", []string{
			`p/settings.csv:3:4: High: out of range ("101"); a figure up to 100`}},
		{"power where none is given", "printers", "Printer,Power low W\nshed,10\n", []string{
			`p/printers.csv:2:2: Power low W: lowest is over the value ("10"); no more than the value, 0`}},
		{"two ranges for one price", "offers", "Part number,Supplier,Price,Low,High\nX,A,3,2,5\nX,A,3,2,4\n", []string{
			`p/offers.csv:3:4: Low and High of the price from 1 on differ from those in D2; one range for each price`}},
	} {
		tabs := []string{c.tab, c.text}
		if c.tab != "settings" {
			tabs = append(tabs, "settings", "Setting,Value\nHome currency,EUR\n")
		}
		_, problems := read(Options{}, tabs...)
		t.Run(c.why, func(t *testing.T) { expect(t, problems, c.want...) })
	}
}
