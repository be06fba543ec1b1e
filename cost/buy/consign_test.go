package buy

import (
	"math/rand/v2"
	"testing"
)

// TestFeesBound: whatever a consign fee counts for, a node of the plans in which so many
// parts, or some more or less, pay one is bounded by no more than the best plan costs, which is one of them.
func TestFeesBound(t *testing.T) {
	tight := 0
	for seed := range 200 {
		p := hardRun(3+seed%6, 2+seed%3, seed)
		p.Effort = 50_000
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		demand, fixed := demands(p)
		if _, err := s.Solve(demand, nil, fixed); err != nil {
			t.Fatal(err)
		}
		x := &s.search
		count := 0
		for i := range x.best.options {
			if x.best.options[i].pays {
				count++
			}
		}
		x.out, x.effort = false, tooMuch
		n := rootNode(x)
		x.fees = second{x.prices, float64(x.m.consign)}
		x.prices++
		r := rand.New(rand.NewPCG(uint64(seed), 71))
		for range 20 {
			n.paying = paying{max(0, count-r.IntN(3)), count + r.IntN(3)}
			n.price[x.fees.at] = wanted + (dearest-wanted)*r.Float64()
			bound := x.prove(n)
			if cash := float64(x.best.cash); bound > cash+slack {
				t.Errorf("seed %d: %d parts pay a fee that counts for %.2f: bound %.2f, a plan costs %.0f", seed, count, n.price[x.fees.at], bound, cash)
			} else if bound > 0.8*cash {
				tight++
			}
		}
	}
	if tight < 200 {
		t.Errorf("%d bounds are near to the plan", tight)
	}
}
