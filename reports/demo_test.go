package reports

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures"
	"tenoff/fixtures/typed"
)

// demo computes a demo run at batch sizes of its own and at others.
func demo(t *testing.T, d fixtures.Demo, level bom.Level, sizes []int) *cost.Estimate {
	t.Helper()
	return computed(t, demoRun(t, d, level, sizes))
}

func computed(t *testing.T, r cost.Run) *cost.Estimate {
	t.Helper()
	return typed.Compute(t, r)
}

// demoRun reads a demo run.
func demoRun(t *testing.T, d fixtures.Demo, level bom.Level, sizes []int) cost.Run {
	t.Helper()
	run := typed.Demo(t, d.Name).Read(t)
	run.Name, run.Level, run.Batches = d.Unit, level, sizes
	return run
}

// On whole runs, at every level: purchases, fees and hand work add up to the
// total cash in the JSON, and each table to what the estimate says.
func TestDemosAddUp(t *testing.T) {
	for _, d := range fixtures.Demos() {
		for _, level := range bom.Levels {
			e := demo(t, d, level, []int{1, 3, 10, 25, 40, 100, 200})
			var b bytes.Buffer
			if err := WriteJSON(&b, &Report{Estimate: e}); err != nil {
				t.Fatal(err)
			}
			var got jsonMoney
			if err := json.Unmarshal(b.Bytes(), &got); err != nil {
				t.Fatal(err)
			}
			for i, batch := range got.Batches {
				left, own := decimal.RequireFromString(batch.Total["cash"]), decimal.RequireFromString(batch.Total["own"])
				for _, p := range batch.Purchases {
					left = left.Sub(decimal.RequireFromString(p["cash"].(string)))
				}
				for _, f := range batch.Fees {
					left, own = left.Sub(decimal.RequireFromString(f["cash"])), own.Sub(decimal.RequireFromString(f["own"]))
				}
				for _, w := range batch.HandWork {
					left, own = left.Sub(decimal.RequireFromString(w["cash"].(string))), own.Sub(decimal.RequireFromString(w["own"].(string)))
				}
				if !left.IsZero() || !own.IsZero() {
					t.Errorf("%s, %s, batch %d: the total cash is missed by %s, own work by %s", d.Name, level, e.Batches[i].Size, left, own)
				}
			}
			tablesAddUp(t, d.Name+", "+level.String(), e)
		}
	}
}

func tablesAddUp(t *testing.T, run string, e *cost.Estimate) {
	t.Helper()
	for i := range e.Batches {
		b := &e.Batches[i]
		for _, row := range []struct {
			table Table
			key   string
			want  decimal.Decimal
		}{
			{BatchCost(e), "cash", b.Total.Cash},
			{BatchCost(e), "consumed", b.Total.Consumed},
			{BatchCost(e), "own", b.Total.Own},
			{BatchCost(e), "surplus", b.Total.Surplus},
			{BatchCost(e), "stock", b.Total.Stock},
			{Surplus(e), "surplus", b.Total.Surplus},
			{Surplus(e), "stock", b.Total.Stock},
			{WhoPays(e), "cash", b.Total.Cash},
			{Work(e), "own", b.Categories[cost.Labour].Own},
		} {
			if !slices.ContainsFunc(row.table.Columns, func(c Column) bool { return c.Key == row.key }) && row.want.IsZero() {
				continue // nothing of it, so no column
			}
			if got := column(t, row.table, row.key, b.Size); !got.Equal(row.want) {
				t.Errorf("%s, batch %d: %s, %s adds up to %s, want %s", run, b.Size, row.table.Name, row.key, got, row.want)
			}
		}
	}
}
