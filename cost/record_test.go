package cost_test

import (
	"fmt"
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
	for seed := range checks.Runs(2000) {
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
