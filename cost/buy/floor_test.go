package buy

import (
	"math/rand/v2"
	"slices"
	"testing"

	"tenoff/fixtures/checks"
)

// TestFloorsKept: from node to node, with other modes left and other prices of orders, no
// floor that is kept is above what the part comes to when it is listed anew.
func TestFloorsKept(t *testing.T) {
	kept := 0
	for seed := range checks.Runs(200) {
		r := rand.New(rand.NewPCG(uint64(seed), 13))
		p := hardRun(8, 3, seed)
		p.Effort = 2000
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		demand, fixed := demands(p)
		if plan, err := s.Solve(demand, nil, fixed); err != nil || plan.TooFewOrders {
			t.Fatal(err)
		}
		x := &s.search
		x.effort, x.out, x.ties = tooMuch, false, false
		of := rootNode(x)
		for range 200 {
			mask := slices.Clone(of.mask)
			for i := range mask {
				mask[i] = 1 << r.IntN(len(x.modes[i]))
				of.price[i] = [...]float64{-0.5, 0, 1}[r.IntN(3)]
			}
			n := x.newNode(of, mask, nil)
			n.far, n.guess = r.Uint64()&^n.over, float64(x.best.cash-10)
			x.prove(n)
			floors := slices.Clone(x.floors)
			for i := range floors {
				now := &floor{}
				lay(x, now, i, n, x.work.prove.weight)
				if f := &floors[i]; f.value > now.value+10*floorSlack || now.clear > now.value && f.clear > now.clear+10*floorSlack {
					t.Errorf("seed %d, part %d: a floor of %f is kept, clear up to %f; anew %f, %f", seed, i, f.value, f.clear, now.value, now.clear)
				}
				if floors[i].over != n.over&x.parts[i].from {
					kept++
				}
			}
		}
	}
	if kept < checks.Runs(200) {
		t.Errorf("%d floors are kept where more than is needed is of less use", kept)
	}
}
