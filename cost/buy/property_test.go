package buy

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"sync"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

func randomRuns(t *testing.T, long, salt int, each func(r *rand.Rand, p Problem)) {
	t.Helper()
	for seed := range checks.Runs(long) {
		r := rand.New(rand.NewPCG(uint64(seed), uint64(salt)))
		each(r, randomRun(r, small(r)))
	}
}

func TestCheaperOfferNeverCostsMore(t *testing.T) {
	randomRuns(t, 3_000, 21, func(r *rand.Rand, p Problem) {
		before := mustSolve(t, p)
		part := &p.Parts[r.IntN(len(p.Parts))]
		// A lower price alone can cost more: it can take an order below a
		// threshold. Offering the old price too keeps every old plan.
		o := part.Offers[r.IntN(len(part.Offers))]
		o.Code += " reduced"
		o.Breaks = append([]bom.Break(nil), o.Breaks...)
		for i := range o.Breaks {
			o.Breaks[i].Price = o.Breaks[i].Price.Mul(dec("0.8"))
		}
		part.Offers = append(part.Offers, o)
		if after := mustSolve(t, p); after.Landed.GreaterThan(before.Landed) {
			t.Errorf("landed %s, with a cheaper offer more %s", before.Landed, after.Landed)
		}
	})
}

func TestMoreDemandNeverCostsLess(t *testing.T) {
	randomRuns(t, 2_000, 22, func(r *rand.Rand, p Problem) {
		before := mustSolve(t, p)
		i := r.IntN(len(p.Parts))
		if p.Parts[i].Demand == 0 {
			return
		}
		p.Parts[i].Demand += bom.One
		if after := mustSolve(t, p); after.Landed.LessThan(before.Landed) {
			t.Errorf("landed %s, for one more %s", before.Landed, after.Landed)
		}
	})
}

func TestOrderOfInputDoesNotMatter(t *testing.T) {
	randomRuns(t, 2_000, 23, func(r *rand.Rand, p Problem) {
		plan := mustSolve(t, p)
		q := p
		q.Parts = append([]Part(nil), p.Parts...)
		r.Shuffle(len(q.Parts), func(i, j int) { q.Parts[i], q.Parts[j] = q.Parts[j], q.Parts[i] })
		for i := range q.Parts {
			offers := append([]Offer(nil), q.Parts[i].Offers...)
			r.Shuffle(len(offers), func(i, j int) { offers[i], offers[j] = offers[j], offers[i] })
			q.Parts[i].Offers = offers
		}
		type bought struct {
			part, code string
			quantity   int64
		}
		list := func(p Problem, plan Plan) map[bought]bool {
			out := map[bought]bool{}
			for _, l := range plan.Lines {
				out[bought{p.Parts[l.Part].Name, p.Parts[l.Part].Offers[l.Offer].Code, l.Quantity}] = true
			}
			return out
		}
		if a, b := list(p, plan), list(q, mustSolve(t, q)); !reflect.DeepEqual(a, b) {
			t.Errorf("plan %v, shuffled %v", a, b)
		}
	})
}

func TestSolverAgainIsTheSame(t *testing.T) {
	// One solver over several batch sizes gives what fresh ones give.
	randomRuns(t, 800, 24, func(r *rand.Rand, p Problem) {
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		base, fixed := demands(p)
		for _, n := range []bom.Quantity{3, 1, 2, 1} {
			demand := make([]bom.Quantity, len(base))
			for i := range base {
				demand[i] = n * base[i]
				p.Parts[i].Demand = demand[i]
			}
			again, err := s.Solve(demand, nil, fixed)
			if err != nil {
				t.Fatal(err)
			}
			if fresh := mustSolve(t, p); !reflect.DeepEqual(again, fresh) {
				t.Errorf("again %v, fresh %v", again, fresh)
			}
		}
	})
}

// TestTwin: twins at work at the same time give what fresh solvers give. (What
// they share shows under the race detector.)
func TestTwin(t *testing.T) {
	randomRuns(t, 400, 28, func(r *rand.Rand, p Problem) {
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		base, fixed := demands(p)
		plans, errs := make([]Plan, 4), make([]error, 4)
		var all sync.WaitGroup
		for n := range plans {
			twin, demand := s.Twin(), slices.Clone(base)
			for i := range demand {
				demand[i] *= bom.Quantity(n + 1)
			}
			all.Go(func() { plans[n], errs[n] = twin.Solve(demand, nil, fixed) })
		}
		all.Wait()
		for n, plan := range plans {
			if errs[n] != nil {
				t.Fatal(errs[n])
			}
			for i := range base {
				p.Parts[i].Demand = base[i] * bom.Quantity(n+1)
			}
			if fresh := mustSolve(t, p); !reflect.DeepEqual(plan, fresh) {
				t.Errorf("twin %v, fresh %v", plan, fresh)
			}
		}
	})
}

func TestEffort(t *testing.T) {
	// Wherever the effort ends, the plan holds and the bound is true.
	randomRuns(t, 1_200, 25, func(r *rand.Rand, p Problem) {
		if r.IntN(2) == 0 {
			p.AtMost = len(p.Suppliers)
		}
		best := mustSolve(t, p)
		p.Effort = int64(1 + r.IntN(20_000))
		plan := mustSolve(t, p)
		if plan.Bound.GreaterThan(best.Landed) || plan.Landed.LessThan(best.Landed) || plan.Proven && !plan.Landed.Equal(best.Landed) {
			t.Errorf("stopped: landed %s, bound %s, proven %v; cheapest %s", plan.Landed, plan.Bound, plan.Proven, best.Landed)
		}
	})
}

func TestWhy(t *testing.T) {
	randomRuns(t, 800, 26, func(r *rand.Rand, p Problem) {
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		demand, fixed := demands(p)
		why, err := s.Why(demand, nil, fixed)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range why.Parts {
			q := p
			q.Parts = append([]Part(nil), p.Parts...)
			q.Parts[a.Part].Offers = nil
			for j, o := range p.Parts[a.Part].Offers {
				if quantities(p, why.Plan)[a.Part][j] == 0 {
					q.Parts[a.Part].Offers = append(q.Parts[a.Part].Offers, o)
				}
			}
			checkChange(t, q, why.Plan, a.Change)
		}
		for _, a := range why.Suppliers {
			q := p
			q.Parts = append([]Part(nil), p.Parts...)
			for i := range q.Parts {
				q.Parts[i].Offers = nil
				for _, o := range p.Parts[i].Offers {
					if o.Supplier != a.Supplier {
						q.Parts[i].Offers = append(q.Parts[i].Offers, o)
					}
				}
			}
			checkChange(t, q, why.Plan, a.Change)
		}
	})
}

// checkChange solves the changed run as a run of its own.
func checkChange(t *testing.T, p Problem, plan Plan, c Change) {
	t.Helper()
	other, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if c.None != (len(other.Short) > 0) {
		t.Fatalf("none %v, short %v", c.None, other.Short)
	}
	if !c.None && (!c.Extra.Equal(other.Landed.Sub(plan.Landed)) || c.Extra.LessThan(decimal.Zero)) {
		t.Errorf("change %+v, solved alone %s, plan %s", c, other.Landed, plan.Landed)
	}
}
