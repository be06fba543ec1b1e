package buy

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/fixtures/checks"
)

// Where only plans under an amount are looked for, the plan is the cheapest one where that
// is under it, and else there is none.
func TestUnder(t *testing.T) {
	open := 0
	randomRuns(t, 40_000, 43, func(r *rand.Rand, p Problem) {
		if r.IntN(2) == 0 {
			customs(r, &p, []int{9, 20, 40}[r.IntN(3)])
		}
		s, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		demand, fixed := demands(p)
		want, err := s.Solve(demand, nil, fixed)
		if err != nil {
			t.Fatal(err)
		}
		if want.TooFewOrders || !want.Proven {
			return
		}
		cent := decimal.New(1, -p.Home.Digits)
		for _, over := range []int64{-500, -1, 0, 1, 300} {
			under := want.Landed.Add(cent.Mul(decimal.NewFromInt(over)))
			if under.IsNegative() {
				continue
			}
			s.Under = decimal.NewNullDecimal(under)
			got, err := s.Solve(demand, nil, fixed)
			if err != nil {
				t.Fatal(err)
			}
			if !got.NotUnder && !got.Proven { // a rare one takes long without a plan to begin with
				if open++; got.Bound.GreaterThan(want.Landed) {
					t.Fatalf("under %s: bound %s; the cheapest lands at %s", under, got.Bound, want.Landed)
				}
				continue
			}
			if got.NotUnder != (over <= 0) {
				t.Fatalf("under %s, the cheapest at %s: none is %v", under, want.Landed, got.NotUnder)
			}
			if got.NotUnder && !got.Bound.Equal(under) || !got.NotUnder && !got.Landed.Equal(want.Landed) {
				t.Fatalf("under %s: landed %s, bound %s; the cheapest lands at %s", under, got.Landed, got.Bound, want.Landed)
			}
			if !reflect.DeepEqual(got.Short, want.Short) {
				t.Fatalf("short of %v, and without a limit of %v", got.Short, want.Short)
			}
		}
	})
	if open > checks.Runs(40_000)/500 {
		t.Errorf("%d plans are not proven", open)
	}
}
