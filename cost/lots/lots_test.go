package lots

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestCounts holds the choice against the cheapest of all that there are, found by trying
// each number of each lot.
func TestCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		all := make([]Lot, 1+r.IntN(3))
		for i := range all {
			all[i] = Lot{Holds: 1 + r.Int64N(6), Price: r.Int64N(30), AtMost: max(0, r.Int64N(5)-2)}
		}
		slices.SortFunc(all, func(a, b Lot) int { return int(a.Holds - b.Holds) })
		c := New(all)
		if r.IntN(2) == 0 {
			c.Prepare(r.Int64N(40))
		}
		for n := int64(0); n <= 40; n++ {
			want := cheapest(all, n)
			if can := want < math.MaxInt64; c.Can(n) != can {
				t.Fatalf("%v can hold %d: %v", all, n, !can)
			} else if !can {
				continue
			}
			held, cost := int64(0), int64(0)
			for i, times := range c.Counts(n) {
				held, cost = held+times*all[i].Holds, cost+times*all[i].Price
				if all[i].AtMost > 0 && times > all[i].AtMost {
					t.Fatalf("%v: %d of lot %d", all, times, i)
				}
			}
			if held < n || cost != want {
				t.Fatalf("%v: %d pieces in %d for %d, can be had for %d", all, n, held, cost, want)
			}
		}
	}
}

// cheapest tries all numbers of the last lot with the cheapest of the others.
func cheapest(all []Lot, n int64) int64 {
	if n <= 0 {
		return 0
	}
	if len(all) == 0 {
		return math.MaxInt64
	}
	l, least := all[len(all)-1], int64(math.MaxInt64)
	for times := int64(0); times <= (n+l.Holds-1)/l.Holds && (l.AtMost == 0 || times <= l.AtMost); times++ {
		if rest := cheapest(all[:len(all)-1], n-times*l.Holds); rest < math.MaxInt64 {
			least = min(least, rest+times*l.Price)
		}
	}
	return least
}
