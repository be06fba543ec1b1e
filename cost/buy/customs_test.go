package buy

import (
	"math/rand/v2"
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

// TestFreeOfDuty: where import tax is due, and handling with it, lines that are all free of
// duty make an order like any other. The ledger vouches for what these runs cost at most.
func TestFreeOfDuty(t *testing.T) {
	for seed, landed := range map[uint64]string{3147: "113.24", 3612: "180.1", 7774: "244.87"} {
		r := rand.New(rand.NewPCG(seed, 8))
		p := randomRun(r, small(r))
		customs(r, &p, 20)
		if plan := mustSolve(t, p); !plan.Proven || plan.Landed.GreaterThan(dec(landed)) {
			t.Errorf("seed %d: landed %s (proven %v), want %s", seed, plan.Landed, plan.Proven, landed)
		}
	}
}

// TestToppedUpUnderFlatDuty: an order that is topped up to its minimum stays within the value
// up to which duty is flat, top-up included. The reference finds 89.74 as well.
func TestToppedUpUnderFlatDuty(t *testing.T) {
	r := rand.New(rand.NewPCG(1026443, 77))
	p := randomRun(r, small(r))
	customs(r, &p, 40)
	if plan := mustSolve(t, p); !plan.Proven || !plan.Landed.Equal(dec("89.74")) {
		t.Errorf("landed %s (proven %v), want 89.74", plan.Landed, plan.Proven)
	}
}
