package buy

import (
	"math/rand/v2"
	"testing"
)

// However soon the search is stopped, where a plan within the bound on orders
// exists one is given, no cheaper than the proven one, with a bound that is no
// higher than that; where none exists that is said.
func TestStoppedAtOnce(t *testing.T) {
	stopped, kept := 0, 0
	randomRuns(t, 2_000, 29, func(r *rand.Rand, p Problem) {
		p.AtMost = 1 + r.IntN(len(p.Suppliers))
		proven, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		p.Effort = 1
		plan, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		if plan.TooFewOrders != proven.TooFewOrders || plan.Fewest != proven.Fewest {
			t.Fatalf("stopped: too few orders %v, fewest %d; proven: %v, %d", plan.TooFewOrders, plan.Fewest, proven.TooFewOrders, proven.Fewest)
		}
		if plan.TooFewOrders {
			return
		}
		kept++
		mustSolve(t, p) // holds by the ledger
		if !plan.Proven {
			stopped++
		}
		if plan.Landed.LessThan(proven.Landed) || plan.Bound.GreaterThan(proven.Landed) {
			t.Errorf("stopped: landed %s, bound %s; proven: %s", plan.Landed, plan.Bound, proven.Landed)
		}
	})
	if kept < 10 || stopped < 5 {
		t.Errorf("%d runs can be bought, %d of them were stopped", kept, stopped)
	}
}
