package cost_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom/sheet"
	"tenoff/cost"
	"tenoff/cost/settling"
	"tenoff/fixtures/checks"
	"tenoff/reports"
)

// A plan to fill in holds the batch's money to the cent, and one that nobody filled in
// settles as planned.
func TestRecordIsTheBatch(t *testing.T) {
	for name, run := range runs(t) {
		run.Record = true
		for _, b := range compute(t, run).Batches {
			checkRecord(t, fmt.Sprintf("%s, batch %d", name, b.Size), &b)
		}
	}
}

func checkRecord(t *testing.T, where string, b *cost.Batch) {
	t.Helper()
	s := settling.Settle(b.Record)
	if !s.Planned.Cash.Equal(b.Total.Cash) || !s.Planned.Own.Equal(b.Total.Own) || !s.Planned.Consumed.Equal(b.Total.Consumed) {
		t.Errorf("%s: planned %+v; the batch is %+v", where, s.Planned, b.Total)
	}
	if !s.Actual.Consumed.Equal(s.Planned.Consumed) || !s.Actual.Spent().Equal(s.Planned.Spent()) {
		t.Errorf("%s: not as planned without actuals: %+v, %+v", where, s.Planned, s.Actual)
	}
	left, taken := decimal.Zero, decimal.Zero
	for _, l := range b.Record.Left {
		left = left.Add(l.Value.Mul(l.Surplus.Decimal()).Round(b.Record.Home.Digits))
		taken = taken.Add(l.Value.Mul(l.Taken.Decimal()).Round(b.Record.Home.Digits))
	}
	oneOffs, paidBefore := decimal.Zero, decimal.Zero
	for _, f := range b.Fees {
		if f.Kind == cost.OneOffFee {
			oneOffs, paidBefore = oneOffs.Add(f.Surplus), paidBefore.Add(f.Stock)
		}
	}
	if !left.Add(oneOffs).Equal(b.Total.Surplus) || !taken.Add(paidBefore).Equal(b.Total.Stock) {
		t.Errorf("%s: surplus of %s and %s from stock; the batch has %s and %s", where, left, taken, b.Total.Surplus, b.Total.Stock)
	}
}

// The same of runs drawn at random, after the plan was written as tables and read again.
func TestRecordOfAnyRun(t *testing.T) {
	for seed := range checks.Runs(1_000) {
		for _, level := range []string{"board", "kit", "built"} {
			run := anyJob(uint64(seed), level).run(t)
			run.Record = true
			b := compute(t, run).Batches[0]
			where := fmt.Sprintf("job %d at level %s", seed, level)
			checkRecord(t, where, &b)
			again, problems := sheet.ReadActuals(reports.ActualsTables(b.Record), "run.xlsx", sheet.Options{})
			if problems.Failed() {
				t.Fatalf("%s: %v", where, problems)
			}
			b.Record = again
			checkRecord(t, where+", read again", &b)
			if t.Failed() {
				t.Fatal(anyJob(uint64(seed), level))
			}
		}
	}
}

// The plan of several products holds the money of each; what becomes of it falls on the
// products to the cent, and what a part comes dearer on those alone that take it.
func TestRecordOfProgrammes(t *testing.T) {
	settled, alone := 0, 0
	for seed := range checks.Runs(300) {
		p := makeProgramme(uint64(seed), anyLevel)
		run := p.run(t)
		if run == nil {
			continue
		}
		run.Record = true
		e, problems := cost.Compute(*run)
		if problems.Failed() || !e.Complete {
			continue
		}
		settled++
		b := &e.Batches[0]
		where := fmt.Sprintf("programme %d", seed)
		checkRecord(t, where, b)
		again, more := sheet.ReadActuals(reports.ActualsTables(b.Record), "run.xlsx", sheet.Options{})
		if more.Failed() {
			t.Fatalf("%s: %v\n%s", where, more, p)
		}
		s := settling.Settle(again)
		for i, product := range s.Products {
			if !product.Actual.Equal(b.Products[i].Consumed) || !product.Good.Planned.Equal(decimal.NewFromInt(int64(b.Products[i].Size))) {
				t.Errorf("%s: product %d is %+v, that of the batch %+v", where, i, product, b.Products[i])
			}
		}
		for i := range again.Purchases {
			line := &again.Purchases[i]
			only := slices.IndexFunc(line.For, func(w decimal.Decimal) bool { return w.Equal(decimal.NewFromInt(100)) })
			if only < 0 || !line.Price.IsPositive() {
				continue
			}
			alone++
			line.InvoicedPrice = decimal.NewNullDecimal(line.Price.Mul(decimal.NewFromInt(3)))
			dear := settling.Settle(again)
			for j := range dear.Products {
				over := dear.Products[j].Actual.Sub(s.Products[j].Actual)
				if want := dear.Actual.Consumed.Sub(s.Actual.Consumed); j == only && !over.Equal(want) || j != only && !over.IsZero() {
					t.Errorf("%s: %s of product %d comes dearer by %s; product %d bears %s", where, line.Part, only, want, j, over)
				}
			}
			line.InvoicedPrice = decimal.NullDecimal{}
			break
		}
		happen(rand.New(rand.NewPCG(uint64(seed), 3)), again)
		sum, closed := decimal.Zero, settledClosed(t, where, again)
		for _, product := range closed.Products {
			sum = sum.Add(product.Actual)
		}
		if !sum.Equal(closed.Actual.Consumed) {
			t.Errorf("%s: the products consumed %s, the run %s", where, sum, closed.Actual.Consumed)
		}
		if t.Failed() {
			t.Fatal(p)
		}
	}
	if settled == 0 || alone == 0 {
		t.Errorf("%d programmes were settled, %d of a part of one product", settled, alone)
	}
}
