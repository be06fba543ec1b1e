package cost_test

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// priced sweeps a run and looks at a price.
func priced(t *testing.T, run cost.Run, from, to int, price string) *cost.Pricing {
	t.Helper()
	return cost.BreakEven(compute(t, run), swept(t, run, from, to), []decimal.Decimal{d(price)})
}

// TestCoveredAgainstSingles holds the sizes that are found against single estimates of
// every size, reckoned here: income after fees, less what is to be covered.
func TestCoveredAgainstSingles(t *testing.T) {
	for name, row := range map[string]struct {
		in    input
		price string
	}{
		"a fee and one payer":                       {demo(t, "morse-kit"), "16"},
		"never":                                     {demo(t, "morse-kit"), "9"},
		"boards are sponsored and post is paid":     {demo(t, "frost-alarm"), "27"},
		"a price that some larger batches undercut": {lamp, "13.20"},
	} {
		t.Run(name, func(t *testing.T) {
			run := row.in.read(t)
			none := int64(0)
			run.Batches, run.Free = []int{10, 40}, &none
			const last = 60
			got := priced(t, run, 1, last, row.price)
			var want cost.Pricing
			for size := 1; size <= last; size++ {
				b := one(t, run, size)
				n := decimal.NewFromInt(int64(size))
				asked, ours := b.Ask.Each.Mul(n), decimal.Zero
				if b.InZones() && b.Categories[cost.Postage].Cash.IsPositive() {
					asked = decimal.Zero
					for _, p := range b.Posts {
						asked = asked.Add(p.Asked.Mul(decimal.NewFromInt(int64(p.Units))))
					}
				}
				in := d(row.price).Mul(n).Add(asked)
				fees := in.Mul(run.Prices.Settings.PaymentFee).Div(d("100")).Add(run.Prices.Settings.PaymentFixed.Mul(n)).Round(2)
				net := in.Sub(fees)
				for _, p := range b.Payers {
					if p.Name == cost.Maker || p.Name == b.Ask.Payer {
						ours = ours.Add(p.Cash).Sub(p.Reclaim)
					}
				}
				for _, c := range []struct {
					at   *cost.Under
					cost decimal.Decimal
				}{{&want.MakerCash, ours}, {&want.Cash, b.Total.Cash}, {&want.Consumed, b.Total.Consumed}} {
					switch {
					case net.LessThan(c.cost):
						c.at.Always = 0
						continue
					case c.at.First == 0:
						c.at.First = size
					}
					if c.at.Always == 0 {
						c.at.Always = size
					}
				}
			}
			if got.MakerCash != want.MakerCash || got.Cash != want.Cash || got.Consumed != want.Consumed {
				t.Errorf("maker %v, cash %v, used %v; single estimates give %v, %v, %v",
					got.MakerCash, got.Cash, got.Consumed, want.MakerCash, want.Cash, want.Consumed)
			}
			if got.From != 1 || got.To != last || got.Last != last || got.Unknown != 0 {
				t.Errorf("looked at %d to %d, %d unknown", got.From, got.To, got.Unknown)
			}
		})
	}
}

// TestCoveredByHand: a part at 6.00, sold in packs of 10 for 60.00, and a
// set-up of hand work of 100.00. At 16.00 with 2.5 % and 0.10 a payment leaves
// 15.50. Cash is 100 + 60 × ceil(n / 10): 15.5 n covers 160 from 11 (170.50)
// were it not for the second pack (220), so from 15 (232.50); a third pack from
// 21 (280, 325.50) is covered. Used is 100 + 6 n: 9.5 n covers 100 from 11 on.
func TestCoveredByHand(t *testing.T) {
	in := input{
		"unit.csv":             "Quantity,Part number,Kind\n1,BELL,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nLabour rate per hour,100\nLabour paid,yes\nPayment fee %,2.5\nPayment fee fixed,0.10\n",
		"prices/offers.csv":    "Part number,Supplier,Pieces,Price\nBELL,Corner Parts,10,60\n",
		"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\nset up,test,batch,3600\n",
	}
	run := in.read(t)
	run.Batches = []int{15}
	got := priced(t, run, 1, 40, "16")
	if want := (cost.Under{First: 15, Always: 15}); got.Cash != want || got.MakerCash != want {
		t.Errorf("cash covered %v, the maker's %v, want %v", got.Cash, got.MakerCash, want)
	}
	if want := (cost.Under{First: 11, Always: 11}); got.Consumed != want {
		t.Errorf("used covered %v, want %v", got.Consumed, want)
	}
	equal(t, "income of 15", got.Incomes[0].Net, "232.50")
	equal(t, "payment fees", got.Incomes[0].Fees, "7.50")
	// Without a fixed order it is 9.90 × 0.975 − 0.10 = 9.5525: used is covered
	// from 100 / 3.5525 = 29 on; cash at 29 and 30 (280 < 286.58 at 30), not at
	// 31 to 35 (340), and again from 36 (343.89) to 40.
	got = priced(t, run, 1, 40, "9.90")
	if want := (cost.Under{First: 30, Always: 36}); got.Cash != want {
		t.Errorf("cash covered %v, want %v", got.Cash, want)
	}
	if want := (cost.Under{First: 29, Always: 29}); got.Consumed != want {
		t.Errorf("used covered %v, want %v", got.Consumed, want)
	}
}

// TestBreakEvenSizes: twice the largest batch, within bounds.
func TestBreakEvenSizes(t *testing.T) {
	for _, row := range []struct {
		batches []int
		to      int
		why     string
	}{
		{[]int{10, 40}, 100, "no fewer than a hundred"},
		{[]int{10, 120}, 240, "twice the largest"},
		{[]int{5000}, 1000, "no more than a thousand"},
	} {
		if from, to, ok := cost.BreakEvenSizes(&cost.Run{Batches: row.batches}); from != 1 || to != row.to || !ok {
			t.Errorf("%s: %d to %d, want 1 to %d", row.why, from, to, row.to)
		}
	}
}

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
// the formula of 5.10 in exact rationals).
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
}
