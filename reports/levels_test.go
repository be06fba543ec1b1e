package reports

import (
	"bytes"
	"encoding/json"
	"testing"

	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
)

// The levels stand side by side at each batch size, in table and JSON alike.
func TestLevelsTable(t *testing.T) {
	e := &Report{Estimate: typed.Frost(t, 10, 40)}
	e.Levels, _ = sweep.Levels(typed.FrostRun(t, []int{10, 40}))
	table := Levels(e)
	if got := table.headings(); len(got) != 7 || got[1] != "Batch 10 board" || got[6] != "Batch 40 built" {
		t.Fatalf("headings %q", got)
	}
	var b bytes.Buffer
	if err := WriteJSON(&b, e); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Levels []struct {
			Level   string
			Batches []struct {
				Batch int
				Unit  struct{ Consumed string }
			}
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	row := table.Find(RowUnit)
	for i, l := range got.Levels {
		for j, batch := range l.Batches {
			if cell := row.Values[1+3*j+i].Exact(AsUnitMoney(e.Currency)); cell != batch.Unit.Consumed || cell == "" {
				t.Errorf("%s, batch %d: %s in the table, %s in the JSON", l.Level, batch.Batch, cell, batch.Unit.Consumed)
			}
		}
	}
	if len(got.Levels) != 3 {
		t.Errorf("%d levels in the JSON", len(got.Levels))
	}
	e.Levels[0].Points[1].Total.Unpriced = true
	table = Levels(e)
	row = table.Find(RowUnit)
	if !row.Values[4].IsUnknown() || row.Values[5].IsUnknown() {
		t.Errorf("a level without a price shows %v", row.Values)
	}
}
