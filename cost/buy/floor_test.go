package buy

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestFloorsKept: from node to node, with other modes left and other prices of orders, no
// floor that is kept is above an option that is left.
func TestFloorsKept(t *testing.T) {
	kept := 0
	for seed := range 8 {
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
		for range 60 {
			mask := slices.Clone(of.mask)
			for i := range mask {
				mask[i] = 1 << r.IntN(len(x.modes[i]))
				of.price[i] = [...]float64{-0.5, 0, 1}[r.IntN(3)]
			}
			n := x.newNode(of, mask, nil)
			n.guess = float64(x.best.cash - 10)
			x.prove(n)
			for i := range x.floors {
				f := &x.floors[i]
				now := lower{of: &x.lister, best: f.value, clear: inf, margin: f.clear - f.value}
				if f.pick >= 0 {
					now.picks = slices.Clone(x.pool[i][f.pick].picks)
				}
				x.lister.most = listedSteps
				x.lister.list(i, x.parts[i], x.work.prove.weight, n, f.clear, &now)
				x.lister.most = 0
				if now.found || now.clear < f.clear-10*floorSlack {
					t.Errorf("seed %d, part %d: the floor is %f, clear up to %f; an option comes to %f, another one to %f", seed, i, f.value, f.clear, now.best, now.clear)
				}
				if f.over != n.over&x.parts[i].from {
					kept++
				}
			}
		}
	}
	if kept < 20 {
		t.Errorf("%d floors are kept where more than is needed is of less use", kept)
	}
}
