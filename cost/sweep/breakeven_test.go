package sweep_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
)

// priced sweeps a run and looks at a price.
func priced(t *testing.T, run cost.Run, from, to int, price string) *sweep.Pricing {
	t.Helper()
	return sweep.BreakEven(typed.Compute(t, run), swept(t, run, from, to), []decimal.Decimal{typed.D(price)})
}

// TestCoveredAgainstSingles holds the sizes that are found against single estimates of
// every size, reckoned here: income after fees, less what is to be covered.
func TestCoveredAgainstSingles(t *testing.T) {
	for name, row := range map[string]struct {
		in    typed.Input
		price string
	}{
		"a fee and one payer":                       {typed.Demo(t, "morse-kit"), "16"},
		"never":                                     {typed.Demo(t, "morse-kit"), "9"},
		"boards are sponsored and post is paid":     {typed.Demo(t, "frost-alarm"), "27"},
		"a price that some larger batches undercut": {typed.Lamp, "13.20"},
	} {
		t.Run(name, func(t *testing.T) {
			run := row.in.Read(t)
			none := int64(0)
			run.Batches, run.Free = []int{10, 40}, &none
			const last = 60
			got := priced(t, run, 1, last, row.price)
			var want sweep.Pricing
			for size := 1; size <= last; size++ {
				b := typed.One(t, run, size)
				n := decimal.NewFromInt(int64(size))
				asked, ours := b.Ask.Each.Mul(n), decimal.Zero
				if b.InZones() && b.Categories[cost.Postage].Cash.IsPositive() {
					asked = decimal.Zero
					for _, p := range b.Posts {
						asked = asked.Add(p.Asked.Mul(decimal.NewFromInt(int64(p.Units))))
					}
				}
				in := typed.D(row.price).Mul(n).Add(asked)
				fees := in.Mul(run.Prices.Settings.PaymentFee).Div(typed.D("100")).Add(run.Prices.Settings.PaymentFixed.Mul(n)).Round(2)
				net := in.Sub(fees)
				for _, p := range b.Payers {
					if p.Name == cost.Maker || p.Name == b.Ask.Payer {
						ours = ours.Add(p.Cash).Sub(p.Reclaim)
					}
				}
				for _, c := range []struct {
					at   *sweep.Under
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
	in := typed.Input{
		"unit.csv":             "Quantity,Part number,Kind\n1,BELL,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nLabour rate per hour,100\nLabour paid,yes\nPayment fee %,2.5\nPayment fee fixed,0.10\n",
		"prices/offers.csv":    "Part number,Supplier,Pieces,Price\nBELL,Corner Parts,10,60\n",
		"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\nset up,test,batch,3600\n",
	}
	run := in.Read(t)
	run.Batches = []int{15}
	got := priced(t, run, 1, 40, "16")
	if want := (sweep.Under{First: 15, Always: 15}); got.Cash != want || got.MakerCash != want {
		t.Errorf("cash covered %v, the maker's %v, want %v", got.Cash, got.MakerCash, want)
	}
	if want := (sweep.Under{First: 11, Always: 11}); got.Consumed != want {
		t.Errorf("used covered %v, want %v", got.Consumed, want)
	}
	typed.Equal(t, "income of 15", got.Incomes[0].Net, "232.50")
	typed.Equal(t, "payment fees", got.Incomes[0].Fees, "7.50")
	// Without a fixed order it is 9.90 × 0.975 − 0.10 = 9.5525: used is covered
	// from 100 / 3.5525 = 29 on; cash at 29 and 30 (280 < 286.58 at 30), not at
	// 31 to 35 (340), and again from 36 (343.89) to 40.
	got = priced(t, run, 1, 40, "9.90")
	if want := (sweep.Under{First: 30, Always: 36}); got.Cash != want {
		t.Errorf("cash covered %v, want %v", got.Cash, want)
	}
	if want := (sweep.Under{First: 29, Always: 29}); got.Consumed != want {
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
		if from, to, ok := sweep.BreakEvenSizes(&cost.Run{Batches: row.batches}); from != 1 || to != row.to || !ok {
			t.Errorf("%s: %d to %d, want 1 to %d", row.why, from, to, row.to)
		}
	}
}
