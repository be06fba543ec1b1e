package settling_test

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/learning"
	"tenoff/cost/settling"
)

func proposal(s *settling.Settlement, heading string) *settling.Proposal {
	for _, p := range s.Proposals() {
		if p.Heading == heading {
			return &p
		}
	}
	return nil
}

// Learning is told from the hours of two lots: those that Wright's law gives at a rate lead
// back to the rate and to the seconds.
func TestLearningIsFound(t *testing.T) {
	for _, rate := range []float64{0.75, 0.8, 0.9, 0.97} {
		const seconds, units, first = 120.0, 40, 12
		hours := func(n int) string { return decimalOf(seconds * learning.Lot(5, n, 1, rate) / 3600) }
		a := run()
		a.Good.Planned, a.Started.Planned = d("40"), d("40")
		planned := 100 * learning.Lot(5, units, 1, 0.95) / 3600
		a.Work = []bom.RunWork{{Operation: "solder", Basis: "unit", Seconds: d("100"), Learning: d("95"), TimedAt: 1, Before: 5,
			Planned: d(decimalOf(planned)), Hours: is(hours(units)), First: is("12"), FirstH: is(hours(first))}}
		s := settling.Settle(a)
		if p := proposal(s, "Learning %"); p == nil || math.Abs(p.Is.InexactFloat64()-100*rate) > 0.2 {
			t.Errorf("learning of %v: %+v", rate, p)
		}
		if p := proposal(s, "Seconds"); p == nil || math.Abs(p.Is.InexactFloat64()-seconds) > 2 {
			t.Errorf("seconds at a learning of %v: %+v", rate, p)
		}
	}
}

func decimalOf(f float64) string { return decimal.NewFromFloat(f).String() }

// A share of none in n has Wilson's interval up to z² / (n + z²) (E. B. Wilson, Journal of
// the American Statistical Association 22, 1927; with z = 1.645 that is 21.3 % of 10), and
// counts beside the ten of the plan: 10 × 4 % / 20 = 2 %.
func TestNoFailureIsNotNever(t *testing.T) {
	a := run()
	a.Printers = []bom.RunPrinter{{Printer: "bench", Failure: d("4"), Printed: is("10"), Failed: is("0")}}
	p := proposal(settling.Settle(a), "Failure %")
	if p == nil || p.Observations != 10 {
		t.Fatalf("%+v", p)
	}
	equal(t, "failure", p.Is, "2")
	equal(t, "low", p.Low, "0")
	equal(t, "high", p.High, "21.3")
}

// The attrition of a row is the median over its parts, and is not told of fewer than three.
func TestAttritionIsTheMedian(t *testing.T) {
	a := run()
	for i, left := range []string{"18", "16", "0", "40"} { // of 120, 100 required: 2, 4, 20 and none lost
		part := string(rune('A' + i))
		a.Parts = append(a.Parts, bom.RunPart{Part: part, Kind: bom.BoughtPart, Required: bom.Whole(100), Spares: bom.Whole(5), AppliesTo: "smt"})
		a.Purchases = append(a.Purchases, bom.RunPurchase{Part: part, Kind: bom.BoughtPart, Currency: eur, Pieces: bom.One, Quantity: d("120"), Price: d("1")})
		a.Left = append(a.Left, bom.RunLeft{Part: part, Value: d("1"), Surplus: bom.Whole(15), Counted: is(left)})
	}
	p := proposal(settling.Settle(a), "Percent")
	if p == nil || p.Observations != 4 {
		t.Fatalf("%+v", p)
	}
	equal(t, "attrition", p.Is, "3")
	equal(t, "planned", p.Was, "5")
	a.Left[0].Counted.Valid, a.Left[1].Counted.Valid = false, false
	if p := proposal(settling.Settle(a), "Percent"); p != nil {
		t.Errorf("told of two parts: %+v", p)
	}
}

// Units that were not started leave their parts: bought ones beside the surplus, others in
// the stock they were to be taken of.
func TestUnstartedUnitsLeaveParts(t *testing.T) {
	a := run()
	a.Started.Actual, a.Good.Actual = is("6"), is("6")
	a.Parts = []bom.RunPart{{Part: "A", Kind: bom.BoughtPart, Required: bom.Whole(25)}, {Part: "B", Kind: bom.BoughtPart, Required: bom.Whole(20)}}
	a.Purchases = []bom.RunPurchase{{Part: "A", Kind: bom.BoughtPart, Currency: eur, Pieces: bom.One, Quantity: d("25"), Price: d("1"), Received: is("22"), Worth: d("0.9")}}
	a.Left = []bom.RunLeft{{Part: "B", Value: d("0.5"), Before: bom.Whole(30), Taken: bom.Whole(20)}}
	s := settling.Settle(a)
	equal(t, "B on hand", s.Left[0].Is, "18") // 10 and 20 × 4/10
	equal(t, "A on hand", s.Left[1].Is, "7")  // 25 × 4/10 − 3
	equal(t, "stock variance", s.By[settling.Stock], "-10.3")
}

// TestOneOffAtItsPrice: a jig of 60.00 over 24 units that came at 72.00: the eight good ones bear
// 72 × 8 / 24 = 24.00, and the other sixteen the 48.00 that are left where later runs reckon
// with 72.00.
func TestOneOffAtItsPrice(t *testing.T) {
	a := run()
	a.Good.Actual = is("8")
	a.Charges = []bom.RunCharge{{What: "jig", Currency: eur, Planned: d("60"), Invoiced: is("72"), Kept: d("58.333333333"), Over: 24}}
	s := settling.Settle(a)
	equal(t, "consumed", s.Actual.Consumed, "24")
	var got []string
	for _, p := range s.Proposals() {
		if p.Tab == bom.TabOneOff {
			got = append(got, p.Heading+" "+p.Is.String()+" by "+p.Seen())
		}
	}
	if want := []string{"Units before 8 by 8 units", "Price 72 by 1 invoice"}; !slices.Equal(got, want) {
		t.Errorf("proposed are %q; want %q", got, want)
	}
}
