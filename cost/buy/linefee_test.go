package buy

import (
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/fixtures/checks"
)

// lineFees has half of the offers ask a fee for the line of an order.
func lineFees(r *rand.Rand, p *Problem) {
	for i := range p.Parts {
		for j := range p.Parts[i].Offers {
			if r.IntN(2) == 0 {
				p.Parts[i].Offers[j].LineFee = decimal.New(int64(1+r.IntN(80)), -2)
			}
		}
	}
}

// lineFeeRun is a run of forty parts at five suppliers with such fees.
func lineFeeRun(seed int) Problem {
	r := rand.New(rand.NewPCG(uint64(seed), 51))
	sh := usual(40, 5)
	sh.demand, sh.price, sh.decimals, sh.packs, sh.foreign = [2]int{1, 8}, [2]float64{0.2, 4}, 2, 0, 0
	p := randomRun(r, sh)
	lineFees(r, &p)
	return p
}

// TestLineFeesAgainstReference: forty parts at five suppliers, where a line of an order
// costs something by itself. What is proven is what the reference finds; what is not lies
// no further off than it says.
func TestLineFeesAgainstReference(t *testing.T) {
	checks.Program(t, "cbc")
	runs, proven := checks.Runs(20), 0
	for seed := range runs {
		p := lineFeeRun(seed)
		plan := mustSolve(t, p)
		q, _, whole := reference(t, p, enough)
		want, err := ledger(p, q)
		switch {
		case err != nil:
			t.Fatalf("run %d: the reference's plan breaks the rules: %v", seed, err)
		case plan.Proven:
			proven++
		}
		if whole && (plan.Proven && !want.landed.Equal(plan.Landed) || want.landed.GreaterThan(plan.Landed)) || want.landed.LessThan(plan.Bound) {
			t.Errorf("run %d: landed %s (proven %v, nothing under %s), reference %s", seed, plan.Landed, plan.Proven, plan.Bound, want.landed)
		}
	}
	if proven < runs*9/10 {
		t.Errorf("%d of %d runs are proven", proven, runs)
	}
}
