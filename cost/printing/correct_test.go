package printing_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"tenoff/cost/printing"
)

func TestCorrect(t *testing.T) {
	log := func(measured ...float64) (out []printing.Compared) {
		for _, m := range measured {
			out = append(out, printing.Compared{Printer: "P", Recipe: "R", MeasuredG: m, ComputedG: 10})
		}
		return out
	}
	for _, c := range []struct {
		why            string
		log            []printing.Compared
		factor, spread float64
		prints         int
	}{
		{"no prints change nothing", nil, 1, 1, 0},
		{"one print is followed", log(11), 1.1, 1, 1},
		{"the middle one of three", log(10.5, 11, 14), 1.1, math.Exp(1.482602218505602 * math.Log(11/10.5)), 3},
		{"one botched print moves little", log(11, 11, 11, 11, 90), 1.1, 1, 5},
		{"twice and half are even", log(5, 20), 1, math.Exp(1.482602218505602 * math.Log(2)), 2},
		{"a figure of nothing is left out", append(log(0, -1, math.NaN(), math.Inf(1)), log(12)...), 1.2, 1, 1},
	} {
		got := printing.Correct(c.log).For("P", "R").G
		if !near(got.Factor, c.factor, 1e-12) || !near(got.Spread, c.spread, 1e-12) || got.Prints != c.prints {
			t.Errorf("%s: %+v, want %v, %v, %d", c.why, got, c.factor, c.spread, c.prints)
		}
	}
}

func TestCorrectKeepsPrintersAndRecipesApart(t *testing.T) {
	log := []printing.Compared{
		{Printer: "B", Recipe: "fine", MeasuredG: 11, ComputedG: 10, MeasuredH: 3, ComputedH: 2},
		{Printer: "A", Recipe: "fine", MeasuredG: 9, ComputedG: 10},
		{Printer: "A", Recipe: "coarse", MeasuredH: 1, ComputedH: 2},
	}
	cs := printing.Correct(log)
	var names []string
	for _, c := range cs {
		names = append(names, fmt.Sprintf("%s %s: %.2f from %d, %.2f from %d", c.Printer, c.Recipe, c.G.Factor, c.G.Prints, c.Hours.Factor, c.Hours.Prints))
	}
	want := []string{"A coarse: 1.00 from 0, 0.50 from 1", "A fine: 0.90 from 1, 1.00 from 0", "B fine: 1.10 from 1, 1.50 from 1"}
	if !slices.Equal(names, want) {
		t.Error(names)
	}
	if c := cs.For("B", "coarse"); c.G.Factor != 1 || c.G.Prints != 0 || c.Hours.Factor != 1 {
		t.Errorf("never printed, but %+v", c)
	}
}

// The median deviation times 1.4826 is the standard deviation of a normal
// distribution: quantiles of a log-normal one with σ = 0.1 give it back.
func TestSpreadOfALogNormalDistribution(t *testing.T) {
	var log []printing.Compared
	const n = 2001
	for i := range n {
		p := (float64(i) + 0.5) / n
		q := math.Sqrt2 * math.Erfinv(2*p-1)
		log = append(log, printing.Compared{MeasuredH: 1.07 * math.Exp(0.1*q), ComputedH: 1})
	}
	r := printing.Correct(log).For("", "").Hours
	if !near(r.Factor, 1.07, 1e-9) || !near(math.Log(r.Spread), 0.1, 1e-4) {
		t.Errorf("%+v, want 1.07 and %v", r, math.Exp(0.1))
	}
}
