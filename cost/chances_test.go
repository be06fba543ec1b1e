package cost_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"tenoff/cost"
)

// slow takes an hour of work for a unit whose one part costs 6.
var slow = input{
	"unit.csv":             "Quantity,Part number,Kind\n1,THING,other\n",
	"prices/settings.csv":  "Setting,Value,Low,High\nHome currency,EUR,,\nLabour rate per hour,4,2,12\n",
	"prices/offers.csv":    "Part number,Supplier,Price\nTHING,Corner Parts,6\n",
	"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\ntest,test,unit,3600\n",
}

func chances(t testing.TB, in input, size int, try cost.Trying) *cost.Chances {
	t.Helper()
	run := in.read(t)
	run.Batches = []int{size}
	c, problems := cost.Try(run, compute(t, run), try)
	if problems.Failed() {
		t.Fatalf("unexpected: %s", said(problems))
	}
	return c
}

func nearly(t testing.TB, what string, got, want, off float64) {
	t.Helper()
	if math.Abs(got-want) > off {
		t.Errorf("%s is %g; want %g", what, got, want)
	}
}

// TestLabourAlone: with an hour a unit the unit cost is 6 and the labour rate,
// a beta-PERT figure of 2, 4, 12: P10, P50, P90 are 2.899, 4.767, 7.453
// (formula of Malcolm et al., Operations Research 7, 1959).
func TestLabourAlone(t *testing.T) {
	c := chances(t, slow, 10, cost.Trying{Trials: 20_000, Seed: 3, Budget: d("107.66723")})
	o := c.Batches[0]
	nearly(t, "P10", o.Unit.P10, 6+2.899021, 0.06)
	nearly(t, "P50", o.Unit.P50, 6+4.766723, 0.06)
	nearly(t, "P90", o.Unit.P90, 6+7.453341, 0.1)
	nearly(t, "cash P50", o.Cash.P50, 10*(6+4.766723), 0.6)
	nearly(t, "chance of the median as budget", o.InBudget, 0.5, 0.015)
	if o.Enough != 1 || len(o.Spreads) != 1 {
		t.Errorf("enough %g, spreads %v", o.Enough, o.Spreads)
	}
	nearly(t, "spread", o.Spreads[0].To-o.Spreads[0].From, 7.453341-2.899021, 0.15)
}

// TestEnough: at 90 % confidence 25 good units of 90 % yield need 30 starts, of
// which 25 or more come out good with a chance of 0.92745 (binomial
// distribution).
func TestEnough(t *testing.T) {
	in := slow.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nUnit yield %,90\nConfidence %,90\n")
	o := chances(t, in, 25, cost.Trying{Trials: 20_000, Seed: 1}).Batches[0]
	nearly(t, "enough", o.Enough, 0.92745, 0.008)
	// 30 parts at 6 and no labour rate, over 25 units.
	nearly(t, "P50", o.Unit.P50, 30*6.0/25, 1e-9)
	if o.InBudget != 0 {
		t.Errorf("in budget %g without a budget", o.InBudget)
	}
}

// TestRanks: of two inputs the one that moves more comes first, the same seed
// gives the same figures, and a range that is not drawn is told of.
func TestRanks(t *testing.T) {
	in := slow.with("prices/settings.csv", "Setting,Value,Low,High\nHome currency,EUR,,\nUnit yield %,90,60,99\nLabour rate per hour,4,3.9,4.1\nMargin %,5,1,9\n")
	run := in.read(t)
	run.Batches = []int{10, 40}
	e := compute(t, run)
	try := cost.Trying{Trials: 3000, Seed: 5}
	c, problems := cost.Try(run, e, try)
	if !strings.Contains(said(problems), `the range of this setting is not drawn ("Margin %")`) {
		t.Errorf("said: %s", said(problems))
	}
	for _, o := range c.Batches {
		if got := o.Spreads[0].Name; got != "Unit yield %" || o.Spreads[0].Share <= o.Spreads[1].Share {
			t.Errorf("batch %d: %s comes first, %v", o.Size, got, o.Spreads)
		}
		if o.Unit.P10 > o.Unit.P50 || o.Unit.P50 > o.Unit.P90 || o.Enough <= 0 || o.Enough >= 1 {
			t.Errorf("batch %d: %+v", o.Size, o)
		}
	}
	again, _ := cost.Try(run, e, try)
	if !reflect.DeepEqual(c, again) {
		t.Error("the same seed gives other figures")
	}
	try.Seed = 6
	if other, _ := cost.Try(run, e, try); reflect.DeepEqual(c.Batches, other.Batches) {
		t.Error("another seed gives the same figures")
	}
	for _, trials := range []int{0, -1, cost.MaxTrials + 1} {
		if c, problems := cost.Try(run, e, cost.Trying{Trials: trials}); c != nil || !problems.Failed() {
			t.Errorf("%d trials are made", trials)
		}
	}
}

// TestEnergyAlone: what is not certain but the energy price leaves the hours
// alone: unit cost moves by kWh × price.
func TestEnergyAlone(t *testing.T) {
	run := demo(t, "frost-alarm").read(t)
	run.Batches = []int{40}
	e := compute(t, run)
	c, _ := cost.Try(run, e, cost.Trying{Trials: 5000, Seed: 2})
	kWh := 0.0
	for _, p := range e.Batches[0].Plates {
		kWh += p.Energy.InexactFloat64() / 0.31 // the demo's price for each
	}
	for _, s := range c.Batches[0].Spreads {
		if s.Name == "Energy price per kWh" {
			nearly(t, "spread", s.To-s.From, kWh*(s.Quantile(0.9)-s.Quantile(0.1))/40, 0.005)
			return
		}
	}
	t.Error("the demo's energy price has a range, and it is not drawn")
}

// BenchmarkTry makes 10,000 trials of the larger demo at one batch size.
func BenchmarkTry(b *testing.B) {
	run := demo(b, "frost-alarm").read(b)
	run.Batches = []int{40}
	e := compute(b, run)
	for b.Loop() {
		if c, _ := cost.Try(run, e, cost.Trying{Trials: 10_000, Seed: 1}); c == nil {
			b.Fatal("no chances")
		}
	}
}
