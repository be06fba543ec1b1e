package reports

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
)

// Every size of the sweep stands in the table, in the CSV and in the JSON with
// the same figures; without a sweep JSON has no such key.
func TestSweepEverywhere(t *testing.T) {
	e := &Report{Estimate: typed.Frost(t, 10, 40), Curve: swept(t, 1, 60)}
	table := Sweep(e)
	if len(table.Rows) != 60 {
		t.Fatalf("%d rows for 60 sizes", len(table.Rows))
	}
	var b bytes.Buffer
	if err := WriteJSON(&b, e); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Sweep []struct {
			Batch, Starts int
			Total, Unit   map[string]string
			Categories    []map[string]string
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for i, row := range table.Rows {
		p, cells := got.Sweep[i], row.Values
		for j, want := range []string{p.Unit["consumed"], p.Unit["cash"], p.Total["cash"], p.Total["surplus"]} {
			if got := cells[j+1].Exact(table.Columns[j+1].Format); got != want || want == "" {
				t.Errorf("size %d: %s in the table, %q in the JSON", p.Batch, got, want)
			}
		}
		if p.Batch != i+1 || p.Starts == 0 || len(p.Categories) != len(cost.Categories) {
			t.Errorf("point %d: batch %d, starts %d, %d categories", i, p.Batch, p.Starts, len(p.Categories))
		}
	}
	b.Reset()
	if err := WriteJSON(&b, &Report{Estimate: typed.Frost(t, 10)}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), `"sweep"`) {
		t.Error("the key sweep stands without a sweep")
	}
}

// What is said of a curve, in each case that it can be.
func TestCurveNotes(t *testing.T) {
	e := &Report{Estimate: typed.Frost(t, 10, 400), Curve: swept(t, 1, 60)}
	with := func(change func(*sweep.Curve)) string {
		c := *e.Curve
		c.Points = append([]sweep.Point(nil), c.Points...)
		change(&c)
		f := *e
		f.Curve = &c
		return strings.Join(CurveNotes(&f), "\n")
	}
	low := e.Curve.Points[59].PerUnit(e.Curve.Points[59].Total.Consumed)
	for _, row := range []struct {
		why, want string
		change    func(*sweep.Curve)
	}{
		{"a wanted size beyond the sweep", "400 is not among the sizes of the sweep", func(*sweep.Curve) {}},
		{"a target far too low", "0.01 EUR per unit: not reached up to 60",
			func(c *sweep.Curve) { c.Targets = []decimal.Decimal{decimal.RequireFromString("0.01")} }},
		{"a target that all meet", "9,999.00 EUR per unit: first reached at 1, and always from there",
			func(c *sweep.Curve) { c.Targets = []decimal.Decimal{decimal.NewFromInt(9999)} }},
		{"a target met, and lost at the end", ", but not by every larger batch, nor by 60", func(c *sweep.Curve) {
			c.Targets = []decimal.Decimal{low.Add(decimal.NewFromInt(1))}
			c.Points[59].Total.Consumed = decimal.NewFromInt(1_000_000)
		}},
		{"a target met, lost, and met again", ", always from 60", func(c *sweep.Curve) {
			c.Targets = []decimal.Decimal{low.Add(decimal.NewFromInt(1))}
			c.Points[58].Total.Consumed = decimal.NewFromInt(1_000_000)
		}},
		{"a target that those of a price miss", "0.01 EUR per unit: not reached up to 59; not known for 2 of 60 sizes, which cannot be bought", func(c *sweep.Curve) {
			c.Targets = []decimal.Decimal{decimal.RequireFromString("0.01")}
			c.Points[4].Total.Unpriced, c.Points[59].Total.Unpriced = true, true
		}},
		{"a target that those of a price meet", "9,999.00 EUR per unit: first reached at 3, and always from there; not known for 2 of 60 sizes, which cannot be bought", func(c *sweep.Curve) {
			c.Targets = []decimal.Decimal{decimal.NewFromInt(9999)}
			c.Points[0].Total.Unpriced, c.Points[1].Total.Unpriced = true, true
		}},
		{"a target that the last of a price misses", ", but not by every larger batch, nor by 59; not known for 1 of 60 sizes, which cannot be bought", func(c *sweep.Curve) {
			c.Targets = []decimal.Decimal{low.Add(decimal.NewFromInt(1))}
			c.Points[58].Total.Consumed = decimal.NewFromInt(1_000_000)
			c.Points[59].Total.Unpriced = true
		}},
		{"nothing has a price", "no size of the sweep has a price", func(c *sweep.Curve) {
			for i := range c.Points {
				c.Points[i].Total.Unpriced = true
			}
		}},
		{"ten more for nothing", "12 instead of 10 costs no more in all", func(c *sweep.Curve) {
			c.Points[10].Total.Cash, c.Points[11].Total.Cash = c.Points[9].Total.Cash, c.Points[9].Total.Cash
		}},
	} {
		if got := with(row.change); !strings.Contains(got, row.want) {
			t.Errorf("%s: %q is not in\n%s", row.why, row.want, got)
		}
	}
}

// A price that the last size with a price misses is not said to miss those without one.
func TestBreakEvenUpToAPrice(t *testing.T) {
	e := &Report{Estimate: typed.Frost(t, 10), Curve: swept(t, 1, 60)}
	e.Curve.Points[4].Total.Unpriced, e.Curve.Points[59].Total.Unpriced = true, true
	last, unknown := e.Curve.Priced()
	e.Pricing = &sweep.Pricing{Prices: []decimal.Decimal{decimal.NewFromInt(30)}, From: 1, To: 60, Last: last, Unknown: unknown, Consumed: sweep.Under{First: 5}}
	got := strings.Join(BreakEvenNotes(e), "\n")
	if !strings.Contains(got, "nor by 59\n") || !strings.Contains(got, "left out: 2 of the sizes") {
		t.Errorf("%s", got)
	}
}

// Jumps: the large ones are listed, the small ones counted, and no more than a
// few are picked out as the largest.
func TestJumps(t *testing.T) {
	e := &Report{Estimate: typed.Frost(t, 10), Curve: swept(t, 1, 60)}
	e.Curve.Jumps = []sweep.Jump{
		{Size: 11, Kind: sweep.NewSpare, What: "units to start", From: "10", To: "12"},
		{Size: 26, Kind: sweep.NewPack, What: "SCREW-M3X8", From: "1 × 100", To: "2 × 100", Cash: decimal.RequireFromString("2.25")},
		{Size: 26, Kind: sweep.NewLot, What: "main board", From: "1 × 25", To: "1 × 50", Cash: decimal.RequireFromString("31.00")},
		{Size: 30, Kind: sweep.NewBreak, What: "=FS-8", From: "1.184", To: "1.09", Cash: decimal.RequireFromString("-20.11")},
	}
	table := Jumps(e)
	if len(table.Rows) != 3 || !strings.Contains(strings.Join(table.Notes, "\n"), "not listed: 1 cost step of") {
		t.Fatalf("%d rows; notes %q", len(table.Rows), table.Notes)
	}
	largest := LargestJumps(e, 1)
	if len(largest.Rows) != 1 || largest.Rows[0].Values[2].Exact(AsText) != "main board" {
		t.Errorf("the largest is %+v", largest.Rows)
	}
	if got := LargestJumps(e, 9); len(got.Rows) != 3 {
		t.Errorf("%d of 3 jumps", len(got.Rows))
	}
}

// swept is the frost alarm over a range of batch sizes.
func swept(t *testing.T, from, to int) *sweep.Curve {
	t.Helper()
	curve, problems := sweep.Run(typed.FrostRun(t, []int{to}), sweep.Request{From: from, To: to})
	if problems.Failed() {
		t.Fatal(problems)
	}
	return curve
}
