package settling_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/settling"
)

var eur, usd = bom.Currency{Code: "EUR", Digits: 2}, bom.Currency{Code: "USD", Digits: 2}

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func is(s string) decimal.NullDecimal { return decimal.NewNullDecimal(d(s)) }

func equal(t *testing.T, what string, got decimal.Decimal, want string) {
	t.Helper()
	if !got.Equal(d(want)) {
		t.Errorf("%s is %s; want %s", what, got, want)
	}
}

// run is a run of 10 units in which nothing else was planned.
func run() *bom.Actuals {
	return &bom.Actuals{Home: eur, Good: bom.RunFigure{Planned: d("10")}, Started: bom.RunFigure{Planned: d("10")}}
}

// Price and quantity variances of published exercises in standard costing: an accounting
// textbook, Exercise 23-5 (450 at 6.50 against 430 at 6.90), and 2,750 lb at 8.10 against
// 2,800 lb at 8.00.
func TestPublishedMaterialVariances(t *testing.T) {
	for _, c := range []struct{ why, planned, planPrice, actual, price, priceVariance, quantityVariance, both string }{
		{"cheaper and more", "430", "6.90", "450", "6.50", "-180", "138", "-42"},
		{"dearer and less", "2800", "8.00", "2750", "8.10", "275", "-400", "-125"},
	} {
		a := run()
		a.Purchases = []bom.RunPurchase{{Part: "A", Currency: eur, Pieces: bom.One, Quantity: d(c.planned), Price: d(c.planPrice),
			Invoiced: is(c.actual), InvoicedPrice: is(c.price)}}
		s := settling.Settle(a)
		equal(t, c.why+": price variance", s.By[settling.Price], c.priceVariance)
		equal(t, c.why+": quantity variance", s.By[settling.Quantity], c.quantityVariance)
		equal(t, c.why+": actual − plan", s.Actual.Spent().Sub(s.Planned.Spent()), c.both)
	}
}

// Labour variances of two published exercises in standard costing: 590 hours at 19.90
// against 500 at 20.00 (efficiency 1,800 unfavourable), and 11,700 hours for 128,300
// against 10,350 at 12.80 (21,460 favourable and 17,280 unfavourable, 4,180 favourable).
func TestPublishedLabourVariances(t *testing.T) {
	for _, c := range []struct{ why, planned, planRate, actual, rate, rateVariance, efficiency string }{
		{"slower", "500", "20", "590", "19.90", "-59", "1800"},
		{"slower and cheaper", "10350", "12.80", "11700", d("128300").DivRound(d("11700"), 12).String(), "-21460", "17280"},
	} {
		a := run()
		a.LabourRate = bom.RunFigure{Planned: d(c.planRate), Actual: is(c.rate)}
		a.Work = []bom.RunWork{{Operation: "assemble", Planned: d(c.planned), Cost: d(c.planned).Mul(d(c.planRate)), Hours: is(c.actual)}}
		s := settling.Settle(a)
		equal(t, c.why+": labour rate variance", s.By[settling.LabourRate], c.rateVariance)
		equal(t, c.why+": labour efficiency variance", s.By[settling.LabourEfficiency], c.efficiency)
		equal(t, c.why+": own work", s.Actual.Own.Sub(s.Planned.Own), d(c.rateVariance).Add(d(c.efficiency)).String())
	}
}

// An exchange rate that moved is told apart from a price that did: 100 at 2.00 USD and
// 0.90 are 180.00, 110 at 2.10 USD and 0.95 are 219.45. At the plan's rate those are
// 207.90: price 110 × 0.10 × 0.90 = 9.90, quantity 10 × 2.00 × 0.90 = 18.00, exchange
// 219.45 − 207.90 = 11.55. By hand.
func TestExchangeApart(t *testing.T) {
	a := run()
	a.Exchange = []bom.RunRate{{Payee: "Far Glass", Currency: usd, Planned: d("0.90"), Paid: is("0.95")}}
	a.Purchases = []bom.RunPurchase{{Supplier: "far  glass", Part: "A", Currency: usd, Pieces: bom.One, Quantity: d("100"), Price: d("2"),
		Fee: d("1"), InvoicedFee: is("1"), Ordered: is("110"), InvoicedPrice: is("2.10")}}
	a.Purchases[0].Fee, a.Purchases[0].InvoicedFee = d("0"), decimal.NullDecimal{}
	s := settling.Settle(a)
	equal(t, "price variance", s.By[settling.Price], "9.90")
	equal(t, "quantity variance", s.By[settling.Quantity], "18.00")
	equal(t, "exchange variance", s.By[settling.Exchange], "11.55")
	equal(t, "actual", s.Actual.Cash, "219.45")
}

// A line that was not planned has plan quantity 0 and plan price = actual: all of it
// is quantity. One that was not sold asks no fee.
func TestUnplannedAndUnsold(t *testing.T) {
	a := run()
	a.Purchases = []bom.RunPurchase{
		{Part: "A", Currency: eur, Pieces: bom.One, Unplanned: true, Invoiced: is("2"), InvoicedPrice: is("3.50")},
		{Part: "B", Currency: eur, Pieces: bom.One, Quantity: d("4"), Price: d("1"), Fee: d("5"), Invoiced: is("0")},
	}
	s := settling.Settle(a)
	equal(t, "price variance", s.By[settling.Price], "0")
	equal(t, "quantity variance", s.By[settling.Quantity], "3") // 7.00 − 4.00
	equal(t, "charges variance", s.By[settling.Charges], "-5")
	equal(t, "actual", s.Actual.Cash, "7")
}

// What is blank is as the step before it: ordered as planned, received as ordered,
// invoiced as received.
func TestBlanksFollow(t *testing.T) {
	for _, c := range []struct {
		why                         string
		ordered, received, invoiced decimal.NullDecimal
		want                        string
	}{
		{why: "nothing known", want: "10"},
		{why: "more ordered", ordered: is("12"), want: "12"},
		{why: "less came", ordered: is("12"), received: is("8"), want: "8"},
		{why: "invoice for what did not come", received: is("8"), invoiced: is("10"), want: "10"},
	} {
		a := run()
		a.Purchases = []bom.RunPurchase{{Part: "A", Currency: eur, Pieces: bom.One, Quantity: d("10"), Price: d("1"),
			Ordered: c.ordered, Received: c.received, Invoiced: c.invoiced}}
		equal(t, c.why, settling.Settle(a).Actual.Cash, c.want)
	}
}

// Stock that came over the plan is left at what a piece is worth; what lacks is taken from
// what the plan leaves, and a count goes before both.
func TestWhatIsLeft(t *testing.T) {
	plan := func() *bom.Actuals {
		a := run()
		a.Purchases = []bom.RunPurchase{{Part: "A", Currency: eur, Pieces: bom.Whole(10), Quantity: d("2"), Price: d("5"), Worth: d("0.5")}}
		a.Left = []bom.RunLeft{{Part: "a", Value: d("0.4"), Before: bom.Whole(3), Taken: bom.Whole(3)}, {Part: "A", Value: d("0.5"), Surplus: bom.Whole(8)}}
		return a
	}
	for _, c := range []struct {
		why              string
		received         string
		counted          decimal.NullDecimal
		first, last, use string
	}{
		{"as planned", "2", decimal.NullDecimal{}, "0", "8", "0"},
		{"a pack more", "3", decimal.NullDecimal{}, "0", "18", "-5"},
		{"a pack less", "1", decimal.NullDecimal{}, "0", "0", "4"},
		{"counted", "3", is("6"), "0", "6", "1"},
	} {
		a := plan()
		a.Purchases[0].Received, a.Left[1].Counted = is(c.received), c.counted
		s := settling.Settle(a)
		equal(t, c.why+": first row", s.Left[0].Is, c.first)
		equal(t, c.why+": last row", s.Left[1].Is, c.last)
		equal(t, c.why+": stock variance", s.By[settling.Stock], c.use)
	}
}

// What came over the plan is worth what it is at the supplier who sent it: two more at 1.00 add
// 2.00 to the stock, and not 4.00 as those of the other offer would.
func TestLeftOfTwoOffers(t *testing.T) {
	a := run()
	a.Purchases = []bom.RunPurchase{
		{Supplier: "Corner Parts", Part: "A", Currency: eur, Pieces: bom.One, Quantity: d("10"), Price: d("1"), Received: is("12"), Worth: d("1")},
		{Supplier: "Far Glass", Part: "A", Currency: eur, Pieces: bom.One, Quantity: d("5"), Price: d("2"), Worth: d("2")},
	}
	s := settling.Settle(a)
	equal(t, "quantity variance", s.By[settling.Quantity], "2")
	equal(t, "stock variance", s.By[settling.Stock], "-2")
}

// Units cost what was consumed by those that are good; without a good one no unit has a
// cost. By hand: 20.00 for 10 is 2.00, for 8 2.50: yield 20 (1/8 − 1/10) = 0.50.
func TestYield(t *testing.T) {
	a := run()
	a.Charges = []bom.RunCharge{{What: "fee", Currency: eur, Planned: d("20")}}
	a.Good.Actual = is("8")
	s := settling.Settle(a)
	equal(t, "unit", s.Actual.Unit, "2.5")
	equal(t, "yield variance", s.Yield, "0.5")
	a.Good.Actual = is("0")
	if s := settling.Settle(a); !s.NoneGood || !s.Yield.IsZero() {
		t.Errorf("no good unit: %+v", s.Actual)
	}
}

// Hours of printers that were not noted are as planned for the plates that were printed;
// tax that comes back and cost that later batches bear is not consumed.
func TestPrintsAndKept(t *testing.T) {
	a := run()
	a.Printers = []bom.RunPrinter{{Printer: "bench", Plates: 10, Planned: d("12.5"), Printed: is("15")}}
	a.Prints = []bom.RunPrint{
		{Part: "CASE", Printer: "Bench", Planned: d("25"), Wear: d("5.00"), Energy: d("2.50")},
		{Part: "LID", Printer: "bench", Planned: d("5"), Wear: d("1.00"), Energy: d("0.50"), Hours: is("4")},
	}
	a.Charges = []bom.RunCharge{{What: "import tax", Currency: eur, Planned: d("10"), Invoiced: is("12"), Kept: d("100")},
		{What: "jig", Currency: eur, Planned: d("60"), Kept: d("75")}, {What: "old jig", Currency: eur, Stock: d("3")}}
	s := settling.Settle(a)
	equal(t, "printing variance", s.By[settling.Printing], "1.20") // 7.50 × 15/12.5 − 7.50 = 1.50; 1.50 × 4/5 − 1.50 = −0.30
	equal(t, "own work", s.Actual.Own, "6.80")
	equal(t, "kept", s.Actual.Kept, "57")
	equal(t, "consumed", s.Actual.Consumed, "28.2") // 6.80 + 3.40 + 72 + 3 − 57
}

// Filament that was noted is no longer there where nobody counted it; of a printer whose
// plates were noted it is as planned for those plates. By hand: 1000 g for 400 g; 6 plates of
// 5 take 480 g; half of the units started leave 200 g of what they were to take.
func TestFilamentLeft(t *testing.T) {
	for _, c := range []struct {
		why                             string
		grams, plates, counted, started decimal.NullDecimal
		want                            string
	}{
		{why: "nothing noted", want: "600"},
		{why: "grams", grams: is("450"), want: "550"},
		{why: "grams before plates", grams: is("450"), plates: is("6"), want: "550"},
		{why: "plates", plates: is("6"), want: "520"},
		{why: "counted", grams: is("450"), counted: is("580"), want: "580"},
		{why: "more than there is", grams: is("1200"), want: "0"},
		{why: "half of the units", started: is("5"), want: "800"},
		{why: "half of the units, grams noted", started: is("5"), grams: is("450"), want: "550"},
	} {
		a := run()
		a.Started.Planned, a.Started.Actual = d("10"), c.started
		a.Parts = []bom.RunPart{{Part: "PETG", Kind: "filament", Required: bom.Whole(400)}}
		a.Purchases = []bom.RunPurchase{{Part: "PETG", Currency: eur, Pieces: bom.Whole(500), Quantity: d("2"), Price: d("10"), Worth: d("0.02")}}
		a.Left = []bom.RunLeft{{Part: "PETG", Value: d("0.02"), Surplus: bom.Whole(600), Counted: c.counted}}
		a.Printers = []bom.RunPrinter{{Printer: "bench", Plates: 5, Planned: d("5"), Printed: c.plates}}
		a.Prints = []bom.RunPrint{{Part: "CASE", Material: "petg", Printer: "Bench", Planned: d("25"), PlannedG: d("400"), Grams: c.grams}}
		equal(t, c.why, settling.Settle(a).Left[0].Is, c.want)
	}
}
