package cost_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost"
	"tenoff/cost/settling"
	"tenoff/fixtures/checks"
	"tenoff/reports"
	"tenoff/reports/pricesheet"
)

// happen fills in what became of a plan, drawn at random and with gaps.
func happen(r *rand.Rand, a *bom.Actuals) {
	maybe := func(d decimal.Decimal) decimal.NullDecimal {
		return decimal.NullDecimal{Decimal: d, Valid: r.IntN(3) > 0}
	}
	near := func(d decimal.Decimal, digits int32) decimal.Decimal {
		return d.Mul(decimal.NewFromFloat(0.7 + 0.6*r.Float64()).Round(3)).Round(digits)
	}
	a.Started.Actual = maybe(decimal.NewFromInt(1 + r.Int64N(2*a.Started.Planned.IntPart())))
	a.Good.Actual = maybe(decimal.NewFromInt(r.Int64N(a.Started.Is().IntPart() + 1)))
	if !a.Good.Actual.Valid && a.Good.Planned.GreaterThan(a.Started.Is()) {
		a.Started.Actual.Valid = false
	}
	for i := range a.Products {
		p := &a.Products[i]
		p.Started.Actual = maybe(decimal.NewFromInt(r.Int64N(2*p.Started.Planned.IntPart() + 1)))
		p.Good.Actual = maybe(decimal.NewFromInt(r.Int64N(p.Started.Is().IntPart() + 1)))
	}
	a.LabourRate.Actual = maybe(near(a.LabourRate.Planned, a.Home.Digits))
	for i := range a.Exchange {
		a.Exchange[i].Paid = maybe(near(a.Exchange[i].Planned, 6))
		a.Exchange[i].Paid.Valid = a.Exchange[i].Paid.Valid && a.Exchange[i].Paid.Decimal.IsPositive()
	}
	for i := range a.Purchases {
		p := &a.Purchases[i]
		p.Ordered, p.Received, p.Invoiced = maybe(near(p.Quantity, 0)), maybe(near(p.Quantity, 0)), maybe(near(p.Quantity, 0))
		p.InvoicedPrice, p.InvoicedFee = maybe(near(p.Price, 5)), maybe(near(p.Fee, p.Currency.Digits))
	}
	for i := range a.Charges {
		a.Charges[i].Invoiced = maybe(near(a.Charges[i].Planned, a.Charges[i].Currency.Digits))
	}
	for i := range a.Work {
		a.Work[i].Hours = maybe(near(a.Work[i].Planned, 2))
	}
	for i := range a.Printers {
		p := &a.Printers[i]
		p.Printed = maybe(decimal.NewFromInt(1 + r.Int64N(20)))
		p.Failed = maybe(decimal.NewFromInt(r.Int64N(p.Printed.Decimal.IntPart() + 1)))
		p.Failed.Valid = p.Failed.Valid && p.Printed.Valid
	}
	for i := range a.Prints {
		a.Prints[i].Hours, a.Prints[i].Grams = maybe(near(a.Prints[i].Planned, 2)), maybe(near(a.Prints[i].PlannedG, 1))
	}
	for i := range a.Boards {
		b := &a.Boards[i]
		b.Good = maybe(decimal.NewFromInt(r.Int64N(b.Planned + 1)))
	}
	for i := range a.Left {
		a.Left[i].Counted = maybe(decimal.NewFromInt(r.Int64N(30)))
	}
}

// settledClosed settles a run that was written and read again, and checks that its
// variances add up to actual − plan to the cent.
func settledClosed(t *testing.T, where string, a *bom.Actuals) *settling.Settlement {
	t.Helper()
	again, problems := sheet.ReadActuals(reports.ActualsTables(a), "run.xlsx", sheet.Options{})
	if problems.Failed() {
		t.Fatalf("%s: %v", where, problems)
	}
	s := settling.Settle(again)
	spent, all := decimal.Zero, decimal.Zero
	for _, k := range settling.Kinds {
		if all = all.Add(s.By[k]); k.Spent() {
			spent = spent.Add(s.By[k])
		}
	}
	if got := s.Actual.Spent().Sub(s.Planned.Spent()); !got.Equal(spent) {
		t.Errorf("%s: spent %s over the plan; the variances come to %s", where, got, spent)
	}
	if got := s.Actual.Consumed.Sub(s.Planned.Consumed); !got.Equal(all) {
		t.Errorf("%s: consumed %s over the plan; the variances come to %s", where, got, all)
	}
	if !s.NoneGood {
		perUnit := s.Actual.Consumed.Sub(s.Planned.Consumed).DivRound(s.Good.Planned, 12).Add(s.Yield)
		if off := s.Actual.Unit.Sub(s.Planned.Unit).Sub(perUnit).Abs(); off.GreaterThan(decimal.New(1, -9)) {
			t.Errorf("%s: a unit costs %s over the plan; its variances come to %s", where, s.Actual.Unit.Sub(s.Planned.Unit), perUnit)
		}
	}
	return s
}

// carriedTo is the input with the tab on hand as it is after a run.
func carriedTo(t *testing.T, where string, in input, prices *bom.Prices, kept []pricesheet.Kept) input {
	t.Helper()
	const file = "prices/on-hand.csv"
	changes, problems := pricesheet.Carry(prices, kept, bom.Date{})
	if problems.Failed() {
		t.Fatalf("%s: %v", where, problems)
	}
	if len(changes) == 0 {
		return in
	}
	if _, ok := in[file]; !ok {
		tab, err := pricesheet.NewTab(bom.TabOnHand, changes)
		if err != nil {
			t.Fatal(err)
		}
		text, err := pricesheet.NewCSV(&tab)
		if err != nil {
			t.Fatal(err)
		}
		return in.with(file, string(text))
	}
	tables, _ := table.Read(file, []byte(in[file]), table.DefaultLimits())
	edit, problems := pricesheet.LayRows(&tables[0], prices.Heads[bom.TabOnHand], bom.TabOnHand, pricesheet.LastOnHand(prices), changes)
	if problems.Failed() {
		t.Fatalf("%s: %v", where, problems)
	}
	text, _, err := edit.Write([]byte(in[file]))
	if err != nil {
		t.Fatalf("%s: %v", where, err)
	}
	return in.with(file, string(text))
}

// Runs drawn at random are planned, made otherwise than planned, settled, and what is then
// on hand goes into the plan of the next run: every sum closes to the cent.
func TestChainOfRuns(t *testing.T) {
	for seed := range checks.Runs(200) {
		r := rand.New(rand.NewPCG(uint64(seed), 71))
		j := makeJob(uint64(seed), []string{"board", "kit", "built"}[seed%3])
		in := j.input()
		for link := range 3 {
			where := fmt.Sprintf("job %d, run %d", seed, link+1)
			run := j.of(t, in)
			run.Record = true
			b := compute(t, run).Batches[0]
			checkRecord(t, where, &b)
			happen(r, b.Record)
			s := settledClosed(t, where, b.Record)
			kept := make([]pricesheet.Kept, len(s.Left))
			there := map[string]decimal.Decimal{} // by part
			for i, l := range s.Left {
				kept[i] = pricesheet.Kept{RunLeft: l.RunLeft, Is: l.Is}
				there[bom.Fold(l.Part)] = there[bom.Fold(l.Part)].Add(l.Is)
			}
			in = carriedTo(t, where, in, run.Prices, kept)
			next := j.of(t, in)
			for i := range next.Prices.OnHand {
				oh := &next.Prices.OnHand[i]
				if _, ours := there[bom.Fold(oh.Part)]; ours {
					there[bom.Fold(oh.Part)] = there[bom.Fold(oh.Part)].Sub(oh.Quantity.Decimal())
				}
			}
			for part, rest := range there {
				if !rest.IsZero() {
					t.Errorf("%s: %s of %s is lost on the way to the next run", where, rest, part)
				}
			}
			if t.Failed() {
				t.Fatal(j)
			}
		}
	}
}

// of reads the job's input as it is by now.
func (j *job) of(t testing.TB, in input) cost.Run {
	run := in.read(t)
	run.Level, run.Batches = bom.Levels[levelOrder[j.level]], []int{j.size}
	run.Effort = 400_000
	return run
}

// Two runs in a row, with what the first leaves carried over, buy what one run of both
// buys, where no charge, break or allowance tells them apart: packs of several sizes, some
// paid by others.
func TestTwoRunsAreOne(t *testing.T) {
	for seed := range checks.Runs(2000) {
		r := rand.New(rand.NewPCG(uint64(seed), 72))
		unit, offers, pays, stock := "Part number,Quantity,Kind\n", "Part number,Supplier,Pieces,Price\n", "Applies to,Payer,Share %\n", "Part number,Quantity,Unit value,Given by\n"
		for i := range 1 + r.IntN(5) {
			part := fmt.Sprint("PART-", i)
			unit += fmt.Sprintf("%s,%d,other\n", part, 1+r.IntN(6))
			offers += fmt.Sprintf("%s,Larch,%d,%s\n", part, 1+r.IntN(40), cents(1+r.Int64N(900)))
			if share := 1 + r.IntN(99); r.IntN(2) == 0 {
				pays += fmt.Sprintf("%s,club,%d\n%s,maker,%d\n", part, share, part, 100-share)
			}
			if r.IntN(2) == 0 {
				stock += fmt.Sprintf("%s,%d,%s,library\n%s,%d,%s,\n", part, r.IntN(30), cents(r.Int64N(90)), part, r.IntN(30), cents(100+r.Int64N(90)))
			}
		}
		in := input{"unit.csv": unit, "prices/offers.csv": offers, "prices/who-pays.csv": pays, "prices/on-hand.csv": stock,
			"prices/suppliers.csv": "Supplier,Delivery\nLarch,0\n", "prices/settings.csv": "Setting,Value\nHome currency,EUR\n"}
		first, second := 1+r.IntN(30), 1+r.IntN(30)
		bought := map[string]int64{}
		made := func(in input, size int, sign int64) cost.Batch {
			run := in.read(t)
			run.Record = true
			b := one(t, run, size)
			for _, p := range b.Purchases {
				bought[p.Part] += sign * p.Quantity
			}
			return b
		}
		b := made(in, first, 1)
		where := fmt.Sprintf("run %d, %d and %d", seed, first, second)
		next := carriedTo(t, where, in, in.read(t).Prices, pricesheet.Planned(b.Record.Left))
		made(next, second, 1)
		made(in, first+second, -1)
		for part, n := range bought {
			if n != 0 {
				t.Fatalf("%s: %d more packs of %s in two runs than in one\n%v\n%s", where, n, part, in, next["prices/on-hand.csv"])
			}
		}
	}
}
