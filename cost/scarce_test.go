package cost_test

import (
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
	"tenoff/cost/rulecost"
	"tenoff/cost/sweep"
)

// twoShops: a part at two suppliers, the dearer of which asks for delivery.
func twoShops() input {
	return input{
		"unit.csv":             "Part number,Quantity,Kind\nA,1,other\nB,1,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv": "Supplier,Delivery\nNear,0\nFar,2\n",
		"prices/offers.csv":    "Part number,Supplier,Stock,Price\nA,Near,,1.00\nA,Far,,1.50\nB,Near,20,0.30\nB,Far,20,0.40\n",
	}
}

// TestWhatIf: ten units, worked by hand. A is 1.00 at Near and 1.50 at Far, whose delivery is
// 2.00; of B eight are left, which the cheapest offer has.
func TestWhatIf(t *testing.T) {
	run := twoShops().read(t)
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

// TestWhatIfOfADifference: the step of a price that only counts where the supplier beside
// it has nothing; a supplier that one revision alone knows.
func TestWhatIfOfADifference(t *testing.T) {
	in := twoShops()
	before := in.read(t)
	after := in.revision(t, func(text map[string]string) {
		text["prices/offers.csv"] = strings.Replace(text["prices/offers.csv"], "A,Far,,1.50", "A,Far,,1.60\nA,New,,1.55", 1)
		text["prices/offers.csv"] = strings.Replace(text["prices/offers.csv"], "B,Far,20,0.40", "B,Far,20,0.45", 1)
	})
	after.Batches = []int{10}
	for _, row := range []struct {
		dry  []string
		want string
	}{
		{nil, "0"},
		{[]string{"Near"}, "1"}, // A from 1.50 to 1.55, B from 0.40 to 0.45
		{[]string{"Near", "New"}, "1.5"},
		{[]string{"Near", "Far"}, "-"},
		{[]string{"Nobody"}, "no offer is from this supplier"},
	} {
		after.Scarce = cost.Scarcity{Dry: row.dry}
		r, problems := revision.Compare(before, after)
		switch {
		case strings.HasPrefix(row.want, "no"), row.want == "-":
			if r != nil || !strings.Contains(said(problems), strings.Trim(row.want, "-")) {
				t.Errorf("%v: %s", row.dry, said(problems))
			}
		case r == nil:
			t.Errorf("%v: %s", row.dry, said(problems))
		default:
			equal(t, strings.Join(row.dry, ", "), r.New[0].Cash.Sub(r.Old[0].Cash), row.want)
			steps := d("0")
			for _, s := range r.Steps {
				steps = steps.Add(s.Costs[0].Cash)
			}
			equal(t, "steps with "+strings.Join(row.dry, ", "), steps, row.want)
		}
	}
	after.Scarce, before.Batches = cost.Scarcity{}, after.Batches
	before.Scarce = cost.Scarcity{Dry: []string{"Near", "New"}}
	if r, problems := revision.Compare(after, before); r == nil || len(r.Steps) != 2 {
		t.Errorf("A and B are two steps back: %+v, %s", r, said(problems))
	}
}
