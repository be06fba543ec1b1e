package cost_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// runs are the runs that the properties below are held against: the demos and
// the run worked out by hand, at every level.
func runs(t testing.TB) map[string]cost.Run {
	out := map[string]cost.Run{}
	for name, in := range map[string]input{"frost": demo(t, "frost-alarm"), "morse": demo(t, "morse-kit"), "lamp": lamp} {
		for _, level := range bom.Levels {
			run := in.read(t)
			run.Level = level
			run.Batches = []int{1, 2, 7, 10, 25, 40, 99, 100, 200}
			out[fmt.Sprintf("%s at level %s", name, level)] = run
		}
	}
	return out
}

func TestAlwaysReconciles(t *testing.T) {
	for name, run := range runs(t) {
		for _, b := range compute(t, run).Batches {
			where := fmt.Sprintf("%s, batch %d", name, b.Size)
			balanced(t, where+", total", b.Total)
			var sum cost.Amounts
			for i, c := range b.Categories {
				balanced(t, fmt.Sprintf("%s, category %d", where, i), c)
				sum = sum.Plus(c)
			}
			same(t, where+": categories add up", sum, b.Total)
			linesAddUp(t, where, b)
			payersAddUp(t, where, b)
			postsAddUp(t, where, b)
			if !b.Proven {
				t.Errorf("%s: purchases are not proven", where)
			}
		}
	}
}

// postsAddUp: each unit goes somewhere, and the zones come to the postage.
func postsAddUp(t *testing.T, where string, b cost.Batch) {
	t.Helper()
	units, cash := 0, decimal.Zero
	for _, p := range b.Posts {
		units, cash = units+p.Units, cash.Add(p.Cash)
	}
	if units != b.Size || !cash.Equal(b.Categories[cost.Postage].Cash) {
		t.Errorf("%s: %d units posted for %s, postage is %s", where, units, cash, b.Categories[cost.Postage].Cash)
	}
}

// payersAddUp: over all payers the amounts are those of the batch, and what a payer bears
// is the sum over the categories, each of which is balanced.
func payersAddUp(t *testing.T, where string, b cost.Batch) {
	t.Helper()
	var all cost.Amounts
	for _, p := range b.Payers {
		var sum cost.Amounts
		for i, c := range p.Categories {
			balanced(t, fmt.Sprintf("%s, %s, category %d", where, p.Name, i), c)
			sum = sum.Plus(c)
		}
		balanced(t, where+", "+p.Name, p.Amounts)
		same(t, where+": categories of "+p.Name, sum, p.Amounts)
		all = all.Plus(p.Amounts)
	}
	same(t, where+": payers add up", all, b.Total)
}

func balanced(t *testing.T, what string, a cost.Amounts) {
	t.Helper()
	if !decimal.Sum(a.Cash, a.Own, a.Stock).Equal(decimal.Sum(a.Consumed, a.Surplus, a.Reclaim)) {
		t.Errorf("%s: cash %s + own work %s + stock %s is not consumed %s + surplus %s + to reclaim %s", what, a.Cash, a.Own, a.Stock, a.Consumed, a.Surplus, a.Reclaim)
	}
	if a.Surplus.IsNegative() || a.Consumed.IsNegative() || a.Reclaim.IsNegative() {
		t.Errorf("%s: consumed %s, surplus %s, to reclaim %s", what, a.Consumed, a.Surplus, a.Reclaim)
	}
}

// linesAddUp holds the lines against the categories that lines make up, and all
// cash against purchases, fees, charges and hand work.
func linesAddUp(t *testing.T, where string, b cost.Batch) {
	t.Helper()
	lines, ofLines := decimal.Zero, decimal.Zero
	for _, l := range b.Lines {
		balanced(t, where+", line", l)
		lines = lines.Add(l.Cash)
	}
	for _, c := range []cost.Category{cost.BareBoard, cost.SMTParts, cost.ThroughHoleParts, cost.Fasteners,
		cost.PrintedParts, cost.OtherParts, cost.Packing} {
		ofLines = ofLines.Add(b.Categories[c].Cash)
	}
	if !lines.Equal(ofLines) {
		t.Errorf("%s: lines come to %s, their categories to %s", where, lines, ofLines)
	}
	cash := decimal.Zero
	for _, p := range b.Purchases {
		cash = cash.Add(p.Cash)
		if !p.Cash.Equal(p.Consumed.Add(p.Surplus)) {
			t.Errorf("%s: purchase of %s does not reconcile", where, p.Part)
		}
	}
	for _, f := range b.Fees {
		cash = cash.Add(f.Cash)
	}
	for _, o := range b.Orders {
		cash = cash.Add(decimal.Sum(o.Delivery, o.TopUp, o.Consign, o.Duty, o.Tax, o.Handling))
	}
	for _, w := range b.Work {
		cash = cash.Add(w.Cash)
	}
	if !cash.Equal(b.Total.Cash) {
		t.Errorf("%s: all items come to %s, the total to %s", where, cash, b.Total.Cash)
	}
}

// TestLargerBatchCostsNoLess: the landed cash of all orders, assembly and
// charges among it, never falls when more is made, since what the larger batch buys
// would do for the smaller one;
// duty-free thresholds aside, which the run has none of.
func TestLargerBatchCostsNoLess(t *testing.T) {
	run := lamp.read(t)
	m, problems := cost.New(run)
	if m == nil {
		t.Fatal(said(problems))
	}
	last := decimal.Zero
	for size := 1; size <= 150; size++ {
		b, problems := m.Batch(size)
		if problems.Failed() || !b.Proven {
			t.Fatalf("batch %d: proven %v; %s", size, b.Proven, said(problems))
		}
		landed := decimal.Zero
		for _, o := range b.Orders {
			landed = landed.Add(o.Total())
		}
		if landed.LessThan(last) {
			t.Errorf("all orders for %d come to %s, for %d to %s", size-1, last, size, landed)
		}
		last = landed
	}
}

// shuffledRows puts the rows of every table in another order.
func (in input) shuffledRows(r *rand.Rand) input {
	out := input{}
	for name, text := range in {
		lines := strings.SplitAfter(strings.TrimSuffix(text, "\n")+"\n", "\n")
		rows := slices.Clone(lines[1 : len(lines)-1])
		if strings.HasPrefix(name, "prices/") && name != "prices/offers.csv" && name != "prices/printers.csv" {
			r.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
		}
		out[name] = lines[0] + strings.Join(rows, "")
	}
	offers := strings.SplitAfter(in["prices/offers.csv"], "\n")
	slices.Reverse(offers[1:])
	out["prices/offers.csv"] = strings.Join(offers, "")
	return out
}

// TestOrderOfRows: where a row stands in the price sheet changes no figure.
// Printers are left alone: the first one that a part fits is taken.
func TestOrderOfRows(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range checks.Runs(100) {
		a, b := one(t, lamp.read(t), 40), one(t, lamp.shuffledRows(r).read(t), 40)
		for i := range a.Categories {
			same(t, cost.Category(i).String(), a.Categories[i], b.Categories[i])
		}
	}
}

func TestSameInputSameEstimate(t *testing.T) {
	for name, run := range runs(t) {
		if a, b := compute(t, run), compute(t, run); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two estimates of one input differ", name)
		}
	}
}

// TestChangesNothing: an unfitted line, a currency with another name at rate 1,
// and a line written as two leave every figure as it is.
func TestChangesNothing(t *testing.T) {
	want := one(t, lamp.read(t), 40)
	for why, in := range map[string]input{
		"an unfitted line": lamp.with("board.csv", strings.Replace(lamp["board.csv"], ",Side\n", ",Side,Fitted\n", 1)+
			"R9,RES-99,resistor,0603,SMT,,top,no\n"),
		"a line split in two": lamp.with("unit.csv", strings.Replace(lamp["unit.csv"], ",4,SCREW-M3,pan-head screw,fastener,,,,,,,,0.6,,,\n",
			",1,SCREW-M3,pan-head screw,fastener,,,,,,,,0.6,,,\n,3,SCREW-M3,pan-head screw,fastener,,,,,,,,0.6,,,\n", 1)),
		"a supplier in a currency at rate 1": lamp.with(
			"prices/exchange.csv", lamp["prices/exchange.csv"]+"CHF,1,2026-10-01\n",
			"prices/suppliers.csv", strings.Replace(lamp["prices/suppliers.csv"], "Corner Parts,EUR", "Corner Parts,CHF", 1)),
	} {
		got := one(t, in.read(t), 40)
		for i := range want.Categories {
			same(t, why+": "+cost.Category(i).String(), got.Categories[i], want.Categories[i])
		}
	}
}

// TestCheaperOffer: one more offer never raises the landed cash.
func TestCheaperOffer(t *testing.T) {
	run := lamp.read(t)
	for _, size := range []int{3, 10, 40} {
		before := one(t, run, size).Landed
		for _, row := range []string{"TERM-2,Far Parts,F-1,,1,1,1,1,0.10\n", "CHIP-8,Far Parts,F-2,,1,1,1,1,9\n", "BOX-S,Spool House,S-1,,1,1,25,1,6.00\n"} {
			after := one(t, lamp.with("prices/offers.csv", lamp["prices/offers.csv"]+row).read(t), size).Landed
			if after.GreaterThan(before) {
				t.Errorf("batch %d: with %q the purchases cost %s instead of %s", size, row, after, before)
			}
		}
	}
}

// TestNesting: boards inside assemblies inside assemblies multiply down.
func TestNesting(t *testing.T) {
	in := lamp.with(
		"unit.csv", "Quantity,Part number,Kind,File\n3,ARM,assembly,arm.csv\n1,LAMP-PCB,board,board.csv\n",
		"arm.csv", "Quantity,Part number,Kind,File\n2,HEAD,assembly,head.csv\n5,SCREW-M3,fastener,\n",
		"head.csv", "Quantity,Part number,Kind,File\n1,LAMP-PCB,board,board.csv\n7,SCREW-M3,fastener,\n",
	)
	e := compute(t, in.read(t))
	if got := e.Boards[0].PerUnit; got != 7 {
		t.Errorf("%d boards per unit; want 3 × 2 + 1", got)
	}
	screws := bom.Quantity(0)
	for i, entry := range e.Entries {
		if entry.Line.Part == "SCREW-M3" {
			screws += e.Batches[0].Needs[i]
		}
		if entry.Line.Part == "RES-1K" && e.Batches[0].Needs[i] != bom.Whole(140) {
			t.Errorf("%s resistors for 70 boards", e.Batches[0].Needs[i])
		}
	}
	if screws != bom.Whole(10*(3*5+3*2*7)) {
		t.Errorf("%s screws; want 570", screws)
	}
}
