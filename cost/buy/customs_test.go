package buy

import (
	"testing"

	"tenoff/fixtures/checks"
)

// TestCustomsProofs: runs of sixty parts and five suppliers with flat duty for each
// heading, duty of lines' own, line fees and parts sent are proven, nearly all of them.
func TestCustomsProofs(t *testing.T) {
	runs, open := checks.Runs(60)+3, 0
	for seed := range runs {
		p := customsRun(60, 5, seed)
		p.Effort = DefaultEffort
		plan := mustSolve(t, p)
		if plan.Proven {
			continue
		}
		open++
		if off := plan.Landed.Sub(plan.Bound); off.GreaterThan(plan.Landed.Div(dec("2000"))) {
			t.Errorf("seed %d: landed %s, bound %s", seed, plan.Landed, plan.Bound)
		}
	}
	if open > runs/7 {
		t.Errorf("%d of %d are not proven", open, runs)
	}
}
