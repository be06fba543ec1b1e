package cost_test

import (
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/rulecost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
)

// TestWhatIf: ten units, worked by hand. A is 1.00 at Near and 1.50 at Far, whose delivery is
// 2.00; of B eight are left, which the cheapest offer has.
func TestWhatIf(t *testing.T) {
	run := typed.TwoShops().Read(t)
	run.Batches = []int{8, 10}
	dry, left := cost.Scarcity{Dry: []string{"near"}}, cost.Scarcity{Left: []cost.Left{{Part: "B", Pieces: bom.Whole(8)}}}
	for _, row := range []struct {
		why    string
		scarce cost.Scarcity
		cash   [2]string
		extras int
		said   string
	}{
		{"as it is", cost.Scarcity{}, [2]string{"10.4", "13"}, 0, ""},
		{"one supplier has nothing: all at the other", dry, [2]string{"17.2", "21"}, 1, "what if: nothing left at near"},
		{"eight are left, at 0.30", left, [2]string{"10.4", "?"}, 1, "what if: 8 left of B"},
		{"both: the eight are left at the supplier that has nothing", cost.Scarcity{dry.Dry, left.Left}, [2]string{"?", "?"}, 2, "what if: 8 left of B"},
	} {
		run.Scarce = row.scarce
		e, extras := compute(t, run), rulecost.Extras(run)
		curve, problems := sweep.Run(run, sweep.Request{From: 8, To: 10})
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		for i, want := range row.cash {
			swept := curve.Points[2*i].Total
			if total := e.Batches[i].Total; total.Unpriced != (want == "?") || swept.Unpriced != total.Unpriced {
				t.Errorf("%s: at %d %+v, %+v in the sweep", row.why, run.Batches[i], total, swept)
			} else if want != "?" {
				equal(t, row.why, total.Cash, want)
				equal(t, row.why+", swept", swept.Cash, want)
			}
		}
		if len(extras) != row.extras || row.extras == 0 && len(e.Warnings) > 0 || !slices.ContainsFunc(e.Warnings, func(w string) bool { return strings.Contains(w, row.said) }) && row.said != "" {
			t.Errorf("%s: %+v, %q", row.why, extras, e.Warnings)
		}
	}
	run.Scarce = dry
	equal(t, "what the supplier adds", rulecost.Extras(run)[0].Batches[1].Cash, "8")
}
