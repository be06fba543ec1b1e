package sweep_test

import (
	"fmt"
	"strings"
	"sync/atomic"
	"testing"

	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/checks"
	"tenoff/fixtures/typed"
)

func swept(t testing.TB, run cost.Run, from, to int) *sweep.Curve {
	t.Helper()
	c, problems := sweep.Run(run, sweep.Request{From: from, To: to})
	if problems.Failed() || c == nil {
		t.Fatalf("unexpected: %s", typed.Said(problems))
	}
	return c
}

// TestSweepEqualsSingles: each point of a curve is the estimate of its size
// alone, made from a fresh model.
func TestSweepEqualsSingles(t *testing.T) {
	for _, name := range []string{"frost-alarm", "morse-kit"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			run := typed.Demo(t, name).Read(t)
			each := 8 / checks.Runs(8) // all where runs are long, else one in eight
			for i, p := range swept(t, run, 1, 200).Points {
				if i%each > 0 {
					continue
				}
				b := typed.One(t, run, i+1)
				where := fmt.Sprintf("batch %d", i+1)
				if p.Size != b.Size || p.Starts != b.Starts || p.Proven != b.Proven || p.Total.Unpriced != b.Total.Unpriced {
					t.Fatalf("%s: size %d, starts %d, proven %v, against %d, %d, %v", where, p.Size, p.Starts, p.Proven, b.Size, b.Starts, b.Proven)
				}
				typed.Same(t, where, p.Total, b.Total)
				for c := range p.Categories {
					typed.Same(t, where+", "+cost.Category(c).String(), p.Categories[c], b.Categories[c])
				}
			}
		})
	}
}

// TestBreakEven: with fixed cost F and unit cost v, price p is reached at
// F / (p − v) units (break-even analysis, as in Heizer & Render, Operations
// Management, chapter on capacity; cited from memory).
func TestBreakEven(t *testing.T) {
	c := swept(t, typed.Steady.Read(t), 1, 1000)
	for _, row := range []struct {
		price string
		want  sweep.Under
		why   string
	}{
		{"4", sweep.Under{First: 50, Always: 50}, "100 / (4 − 2)"},
		{"3.99", sweep.Under{First: 51, Always: 51}, "100 / 1.99 = 50.25, and only whole units"},
		{"2.10", sweep.Under{First: 1000, Always: 1000}, "100 / 0.1, the last size"},
		{"2.09", sweep.Under{}, "beyond the last size"},
		{"200", sweep.Under{First: 1, Always: 1}, "the first size"},
	} {
		if got := c.Under(0, typed.D(row.price)); got != row.want {
			t.Errorf("%s: %+v at %s; want %+v", row.why, got, row.price, row.want)
		}
	}
	// Doubling n takes 50/n off 2 + 100/n: 5 % at n = 450, less beyond.
	if got := c.Flat(); got != 451 {
		t.Errorf("flat from %d; want 451", got)
	}
	if got := swept(t, typed.Steady.Read(t), 1, 900).Flat(); got != 0 {
		t.Errorf("flat from %d though twice 451 is not on the curve", got)
	}
	if got := c.Lowest(); got.Size != 1000 {
		t.Errorf("lowest at %d; the cost falls to the end", got.Size)
	}
	if len(c.Jumps) != 0 || len(c.Near(100)) != 0 {
		t.Errorf("a steady cost jumps: %v, %v", c.Jumps, c.Near(100))
	}
}

// Thousands are grouped in the steps as everywhere.
func TestStepsGroupThousands(t *testing.T) {
	in := typed.Steady.With("prices/offers.csv", "Part number,Supplier,Pieces,Price\nTHING,Corner Parts,1000,20\n")
	c := swept(t, in.Read(t), 1000, 1001)
	if len(c.Jumps) != 1 || c.Jumps[0].From != "1 × 1,000" || c.Jumps[0].To != "2 × 1,000" {
		t.Errorf("jumps are %+v", c.Jumps)
	}
}

// TestUnderWithSteps: a price that is reached, lost again at the next pack, and
// reached for good.
func TestUnderWithSteps(t *testing.T) {
	in := typed.Steady.With("prices/suppliers.csv", "Supplier,Delivery\nCorner Parts,0\n",
		"prices/offers.csv", "Part number,Supplier,Pieces,Price\nTHING,Corner Parts,10,20\n",
		"prices/postage.csv", "Service,Max g,Price\npost,1000,1\n")
	c := swept(t, in.Read(t), 1, 40)
	// What is used of a pack counts by the piece: 2 + 1 at every size.
	if got := c.Under(0, typed.D("3")); got != (sweep.Under{First: 1, Always: 1}) {
		t.Errorf("got %+v", got)
	}
	var packs []string
	for _, j := range c.Jumps {
		packs = append(packs, fmt.Sprintf("%d %s %s: %s -> %s %s", j.Size, j.Kind, j.What, j.From, j.To, j.Cash))
	}
	want := "11 pack THING: 1 × 10 -> 2 × 10 20|21 pack THING: 2 × 10 -> 3 × 10 20|31 pack THING: 3 × 10 -> 4 × 10 20"
	if got := strings.Join(packs, "|"); got != want {
		t.Errorf("jumps are %s; want %s", got, want)
	}
	// 21 begins a pack: 20 saves it, and up to 27, as far as is near, six more
	// cost postage alone.
	near := c.Near(21)
	if len(near) != 2 || near[0].Size != 20 || near[1].Size != 27 {
		t.Fatalf("near 21: %+v", near)
	}
	typed.Equal(t, "20 instead of 21", near[0].Cash, "-21")
	near = c.Near(24)
	if len(near) != 2 || near[0].Size != 20 || near[1].Size != 30 {
		t.Fatalf("near 24: %+v", near)
	}
	typed.Equal(t, "30 instead of 24", near[1].Cash, "6")
}

// TestPullUp: at 5.00, and 4.80 from 1000 on, 970 pieces cost less as 1000
// (Heizer & Render, Inventory, quantity discounts; the same figures as in the
// plan's own test). So from 960 to 1000 the cash stands still.
func TestPullUp(t *testing.T) {
	in := typed.Steady.With("prices/suppliers.csv", "Supplier,Delivery\nCorner Parts,0\n",
		"prices/offers.csv", "Part number,Supplier,From,Price\nTHING,Corner Parts,1,5.00\nTHING,Corner Parts,1000,4.80\nTHING,Corner Parts,2000,4.75\n")
	c := swept(t, in.Read(t), 900, 1300)
	typed.Equal(t, "959", c.At(959).Total.Cash, "4795")
	for _, size := range []int{961, 970, 1000} {
		typed.Equal(t, fmt.Sprint(size), c.At(size).Total.Cash, "4800")
	}
	near := c.Near(970)
	if len(near) != 1 || near[0].Size != 1000 || !near[0].Cash.IsZero() {
		t.Errorf("near 970: %+v; want 1000 for nothing", near)
	}
	if len(c.Jumps) != 1 || c.Jumps[0].Kind != sweep.NewBreak || c.Jumps[0].From != "5" || c.Jumps[0].To != "4.8" {
		t.Errorf("jumps: %+v; want the break alone", c.Jumps)
	}
}

// TestJumpKinds: every kind of jump is found, at the size where it happens.
func TestJumpKinds(t *testing.T) {
	in := typed.Lamp.With("prices/suppliers.csv", strings.ReplaceAll(typed.Lamp["prices/suppliers.csv"], "\r", ""))
	seen := map[sweep.JumpKind]bool{}
	for _, in := range []typed.Input{in, typed.Demo(t, "frost-alarm"), typed.Demo(t, "morse-kit"), {
		// Two on hand; delivery is free over 30; duty from 50 on; one in twenty fails.
		"unit.csv":             "Quantity,Part number,Kind\n1,THING,other\n1,OTHER,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nUnit yield %,95\n",
		"prices/suppliers.csv": "Supplier,Delivery,Free delivery over,Duty %,Duty free up to\nCorner Parts,5,30,4,50\nFar Parts,0,,,\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nTHING,Corner Parts,2\nOTHER,Far Parts,3\n",
		"prices/on-hand.csv":   "Part number,Quantity,Unit value\nTHING,2,1\n",
	}} {
		c := swept(t, in.Read(t), 1, 80)
		for _, j := range c.Jumps {
			seen[j.Kind] = true
			if j.From == j.To && j.Kind != sweep.NewBreak || j.What == "" || j.Size < 2 || j.Size > 80 {
				t.Errorf("an odd jump: %+v", j)
			}
		}
	}
	for kind := sweep.NewSupplier; kind <= sweep.NewSpare; kind++ {
		if !seen[kind] {
			t.Errorf("no jump of kind %s", kind)
		}
	}
}

// TestSweepStock: sizes that the stock does not cover are unknown, with a
// warning, and nothing is concluded from them.
func TestSweepStock(t *testing.T) {
	in := typed.Steady.With("prices/offers.csv", "Part number,Supplier,Stock,Price\nTHING,Corner Parts,30,2\n")
	c, problems := sweep.Run(in.Read(t), sweep.Request{From: 20, To: 40})
	if !strings.Contains(typed.Said(problems), "10 of 21 batch sizes from 20 to 40 cannot be bought, first 31") {
		t.Errorf("said: %s", typed.Said(problems))
	}
	if c.At(30) == nil || c.At(31) != nil || c.Near(31) != nil || c.Lowest().Size != 30 {
		t.Error("a size without a price is taken for one")
	}
	if got := c.Under(0, typed.D("5.34")); got != (sweep.Under{First: 30, Always: 30}) { // 2 + 100/30 = 5.33…
		t.Errorf("under 5.34: %+v", got)
	}
}

func TestSweepRefuses(t *testing.T) {
	for _, row := range []struct {
		from, to int
		why      string
	}{
		{0, 10, "no batch of nothing"}, {10, 9, "backwards"}, {1, sweep.MaxSizes + 1, "too many"},
		{cost.MaxBatch, cost.MaxBatch + 1, "beyond the largest batch"},
	} {
		if c, problems := sweep.Run(typed.Steady.Read(t), sweep.Request{From: row.from, To: row.to}); c != nil || !problems.Failed() {
			t.Errorf("%s: %d:%d is swept", row.why, row.from, row.to)
		}
	}
	broken := typed.Steady.Read(t)
	broken.Rules.Without = []string{"Nobody"}
	if c, problems := sweep.Run(broken, sweep.Request{From: 1, To: 9}); c != nil || !problems.Failed() {
		t.Error("a run that cannot be estimated is swept")
	}
}

// TestSweepStops: it counts what is done, and stops when asked to.
func TestSweepStops(t *testing.T) {
	var done atomic.Int64
	c, problems := sweep.Run(typed.Steady.Read(t), sweep.Request{From: 1, To: 500,
		Done: func() { done.Add(1) },
		Stop: func() bool { return done.Load() >= 100 },
	})
	if c != nil || problems.Failed() || done.Load() < 100 || done.Load() > 200 {
		t.Errorf("%d sizes done, curve %v, %v", done.Load(), c != nil, problems)
	}
}

// TestSweepEffort: each size has an effort of its own, so that it gets the figures
// that an estimate of it alone has, also where it is too little for the proof; and
// by how much they can be off is said.
func TestSweepEffort(t *testing.T) {
	run := typed.Demo(t, "frost-alarm").Read(t)
	run.Effort = 1
	c, problems := sweep.Run(run, sweep.Request{From: 40, To: 49})
	unproven := 0
	for _, p := range c.Points {
		run.Batches = []int{p.Size}
		b := typed.Compute(t, run).Batches[0]
		if !p.Total.Cash.Equal(b.Total.Cash) || p.Proven != b.Proven || !p.OffBy.Equal(b.OffBy()) || p.Proven != p.OffBy.IsZero() {
			t.Errorf("size %d: cash %s, proven %v, off by %s; alone %s, %v, %s",
				p.Size, p.Total.Cash, p.Proven, p.OffBy, b.Total.Cash, b.Proven, b.OffBy())
		}
		if !p.Proven {
			unproven++
		}
	}
	if said := typed.Said(problems); unproven == 0 || !strings.Contains(said, fmt.Sprintf("purchases of %d of 10 batch sizes", unproven)) {
		t.Errorf("%d not proven, yet said: %s", unproven, said)
	}
}

// BenchmarkSweepLines shows the same of a sweep, here over 100 sizes.
func BenchmarkSweepLines(b *testing.B) {
	for _, lines := range []int{30, 60, 120, 240} {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			run := typed.Lines(lines).Read(b)
			b.ReportAllocs()
			for b.Loop() {
				swept(b, run, 1, 100)
			}
		})
	}
}

// BenchmarkSweep computes 500 sizes of a run of more than 60 lines.
func BenchmarkSweep(b *testing.B) {
	run := typed.Lines(60).Read(b)
	b.ReportAllocs()
	for b.Loop() {
		swept(b, run, 1, 500)
	}
}

// BenchmarkSweepDemo computes 500 sizes of the larger demo.
func BenchmarkSweepDemo(b *testing.B) {
	run := typed.Demo(b, "frost-alarm").Read(b)
	b.ReportAllocs()
	for b.Loop() {
		swept(b, run, 1, 500)
	}
}
