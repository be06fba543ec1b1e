package cost_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// TestAskedByHand: 10 units; recipients pay post of 4.20 each and half of parts
// of 60.00: 72.00 in all, 7.20 each, rounded up to 0.50: 7.50. Who is given a unit pays
// the fee as well: with 2.5 % and 0.10 it is 7.30 / 0.975 = 7.4872: 7.50 too. The bell of
// stock on hand, worth 5.00, is given by a neighbour: 9 of a pack of 10 are consumed.
func TestAskedByHand(t *testing.T) {
	in := input{
		"unit.csv": "Quantity,Part number,Kind\n1,BELL,other\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\nMargin %,20\nPayment fee %,2.5\nPayment fee fixed,0.10\n" +
			"Round price up to,0.50\nRecipients,Members\n",
		"prices/offers.csv":   "Part number,Supplier,Pieces,Price\nBELL,Corner Parts,10,60\n",
		"prices/postage.csv":  "Service,Price\nletter,4.20\n",
		"prices/on-hand.csv":  "Part number,Quantity,Unit value,Given by\nBELL,1,5,Neighbour\n",
		"prices/who-pays.csv": "Applies to,Payer,Share %\npostage,members,100\nBELL,members,50\nBELL,maker,50\n",
	}
	b := one(t, in.read(t), 10)
	if b.Ask.Payer != "members" {
		t.Errorf("asked are %q", b.Ask.Payer)
	}
	equal(t, "asked of each", b.Ask.Each, "7.50")
	for _, p := range b.Payers {
		want := map[string][3]string{"maker": {"30.00", "0", "27.00"}, "members": {"72.00", "0", "69.00"}, "Neighbour": {"0", "5.00", "5.00"}}[p.Name]
		equal(t, p.Name+" pays", p.Cash, want[0])
		equal(t, p.Name+" gives", p.Stock, want[1])
		equal(t, p.Name+" of what is used", p.Consumed, want[2])
	}
	// The maker bears 27.00, 2.70 a unit; (2.70 + 0.10 + 0.025 × 7.20) / 0.775 = 3.85: 4.00.
	equal(t, "price", b.Charge.Price, "4.00")
	equal(t, "payment fee", b.Charge.Fee, "0.3875") // of 11.50
	equal(t, "margin", b.Charge.Margin, "0.80")
	equal(t, "rounding", b.Charge.Rounding, "0.1125")
	equal(t, "income", b.Charge.Income.Net, "111.12") // 40 + 75 − (2.875 + 1.00), of which 3.88
	equal(t, "cash surplus", b.Charge.Income.Stays, "9.12")
	equal(t, "margin over cost", b.Charge.Income.Over, "15.12")

	run := in.read(t)
	four, all := int64(4), int64(bom.AllFree)
	run.Free = &four
	b = one(t, run, 10)
	// 27.00 on six units: 4.50; (4.50 + 0.10 + 0.18) / 0.775 = 6.17: 6.50.
	equal(t, "price of six", b.Charge.Price, "6.50")
	equal(t, "asked of who is given one", b.Ask.Free, "7.50")
	equal(t, "sold", b.Charge.Income.Sold, "39.00")
	equal(t, "asked of all", b.Charge.Income.Asked, "75.00")
	run.Free = &all
	b = one(t, run, 10)
	if b.Till.Paying != 0 || !b.Charge.Price.IsZero() || b.Till.Payments != 10 {
		t.Errorf("all are free: %+v, price %s", b.Till, b.Charge.Price)
	}
	checkQuote(t, b, "10 of them 0.00 = 0.00, 10 of the share 7.50 = 75.00, in all 75.00, tax 0.00")
}

// TestSalesTax: cost 20.00, fixed 0.30, fee 2.9 %, margin 25 %, tax 20 %: before tax
// 20.30 / (1 − 0.25 − 0.029 × 1.2) = 28.3837, with tax 34.0604, rounded up 34.07 (worked from
// the formula of README, Sums, in exact rationals).
func TestSalesTax(t *testing.T) {
	in := input{
		"unit.csv":            "Quantity,Part number,Kind\n1,THING,other\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\nMargin %,25\nPayment fee %,2.9\nPayment fee fixed,0.30\nSales tax %,20\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nTHING,Corner Parts,20\n",
	}
	b := one(t, in.read(t), 10)
	c := b.Charge
	equal(t, "price", c.Price, "34.07")
	equal(t, "sales tax", c.Tax.Round(4), "5.6783") // 34.07 / 6
	equal(t, "margin", c.Margin.Round(4), "7.0979") // a quarter of 28.3917
	equal(t, "fee", c.Fee, "1.28803")               // 2.9 % of 34.07, and 0.30
	equal(t, "all parts", decimal.Sum(c.UnitCost, c.Fee, c.Margin, c.Tax, c.Rounding).Round(9), "34.07")
	equal(t, "sales tax of all", c.Income.Tax, "56.78") // 340.70 / 6
	equal(t, "payment fees", c.Income.Fees, "12.88")
	equal(t, "cash surplus", c.Income.Stays, "71.04") // 340.70 − 12.88 − 56.78 − 200
}

// TestShortOfCash: at the price of what is consumed, half a pack that stays behind is paid
// for by nobody, and that is said.
func TestShortOfCash(t *testing.T) {
	in := input{
		"unit.csv":            "Quantity,Part number,Kind\n1,THING,other\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\nMargin %,10\n",
		"prices/offers.csv":   "Part number,Supplier,Pieces,Price\nTHING,Corner Parts,20,200\n",
	}
	run := in.read(t)
	run.Batches = []int{10, 20}
	e := compute(t, run)
	want := "prices/settings.csv:3:2: the price leaves the maker short of cash by 88.80 EUR (batch 10); raise the margin, or find that much first"
	if !slices.Contains(e.Warnings, want) { // 10 × 11.12 − 200
		t.Errorf("got %q", e.Warnings)
	}
	run.Price = []decimal.Decimal{decimal.NewFromInt(30)}
	want = strings.Replace(want, "the price", "the price by the settings, and not the one that is tested,", 1)
	if e = compute(t, run); !slices.Contains(e.Warnings, want) {
		t.Errorf("beside a price that is tested got %q", e.Warnings)
	}
}
