package cutting

import (
	"math/rand/v2"
	"testing"
)

// whole checks that a plan cuts all leads, and none that is longer than what is left.
func whole(t *testing.T, ring int64, leads []Lead, p Plan) {
	t.Helper()
	cut, rings := make([]int, len(leads)), 0
	for _, r := range p.Rings {
		rest := ring
		for k, n := range r.Leads {
			cut[k] += r.Times * n
			rest -= int64(n) * leads[k].Length
		}
		if rest != r.Rest || rest < 0 || r.Times < 1 {
			t.Fatalf("%d rings of %d cut to %v: rest %d, told is %d", r.Times, ring, r.Leads, rest, r.Rest)
		}
		rings += r.Times
	}
	for k, l := range leads {
		if cut[k] != l.Count {
			t.Fatalf("%d of %d leads of %d", cut[k], l.Count, l.Length)
		}
	}
	if rings != p.Count || p.Count < p.Bound {
		t.Fatalf("%d rings, told are %d; bound %d", rings, p.Count, p.Bound)
	}
}

func plan(t *testing.T, ring int64, leads ...Lead) Plan {
	t.Helper()
	p, err := Make(ring, leads)
	if err != nil {
		t.Fatal(err)
	}
	whole(t, ring, leads, p)
	return p
}

// The instance of the article "Cutting stock problem" (Wikipedia): rolls of 5600 mm, never
// under 73, which is the optimum. Longest first with first fit needs 82.
func TestPublishedInstance(t *testing.T) {
	leads := []Lead{{1380, 22}, {1520, 25}, {1560, 12}, {1710, 14}, {1820, 18}, {1880, 18}, {1930, 20}, {2000, 10}, {2050, 12}, {2100, 14}, {2140, 16}, {2150, 18}, {2200, 20}}
	if n := count(newCutter(5600, leads).firstFit()); n != 82 {
		t.Errorf("first fit: %d rolls", n)
	}
	if p := plan(t, 5600, leads...); p.Count > 74 || p.Bound != 73 {
		t.Errorf("%d rolls, bound %d", p.Count, p.Bound)
	} else {
		t.Logf("%d rolls", p.Count)
	}
}

func TestCuts(t *testing.T) {
	for _, c := range []struct {
		why   string
		ring  int64
		leads []Lead
		want  int
	}{
		{"nothing", 100, []Lead{{10, 0}}, 0},
		{"7 leads of 1.3 m in 10 m, where 11 rings would do by length alone", 10000, []Lead{{1300, 80}}, 12},
		{"as long as the ring", 100, []Lead{{100, 3}}, 3},
		{"two that fill it", 100, []Lead{{60, 5}, {40, 5}}, 5},
		{"over half each", 100, []Lead{{51, 4}, {52, 3}}, 7},
		{"the longest first leaves gaps: 6 + 4 and 5 + 3 + 2", 10, []Lead{{6, 1}, {5, 1}, {4, 1}, {3, 1}, {2, 1}}, 2},
		{"very many", 10000, []Lead{{1300, 7_000_000}, {900, 1_000_000}}, 1_000_000},
		{"hairs of a millimetre", 100_000_000, []Lead{{33_333_334, 3}, {33_333_333, 3}}, 3},
	} {
		if p := plan(t, c.ring, c.leads...); p.Count != c.want {
			t.Errorf("%s: %d rings of %d, want %d (bound %d)", c.why, p.Count, c.ring, c.want, p.Bound)
		}
	}
	for _, l := range []Lead{{101, 1}, {0, 1}, {-1, 1}, {10, -1}} {
		if _, err := Make(100, []Lead{l}); err == nil {
			t.Errorf("%+v is cut", l)
		}
	}
}

// Small jobs are planned as well as trying all ways could, but for one in fifty.
func TestAgainstTryingAllWays(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	worse := 0
	for range 200 {
		ring := int64(20 + r.IntN(40))
		var leads []Lead
		var all []int64
		for range 1 + r.IntN(4) {
			l := Lead{2 + r.Int64N(ring-2), 1 + r.IntN(3)}
			leads = append(leads, l)
			for range l.Count {
				all = append(all, l.Length)
			}
		}
		p := plan(t, ring, leads...)
		best := fewest(ring, all, nil, len(all))
		if p.Bound > best || p.Count < best {
			t.Fatalf("%v of %d: %d rings, bound %d, the best is %d", leads, ring, p.Count, p.Bound, best)
		}
		if p.Count > best {
			worse++
		}
	}
	if worse > 4 {
		t.Errorf("%d of 200 plans are not the best", worse)
	}
}

// fewest puts each lead into every ring that holds it, or a new one.
func fewest(ring int64, leads []int64, rest []int64, best int) int {
	if len(rest) >= best {
		return best
	}
	if len(leads) == 0 {
		return len(rest)
	}
	for i := range rest {
		if rest[i] >= leads[0] {
			rest[i] -= leads[0]
			best = min(best, fewest(ring, leads[1:], rest, best))
			rest[i] += leads[0]
		}
	}
	return min(best, fewest(ring, leads[1:], append(rest[:len(rest):len(rest)], ring-leads[0]), best))
}

func BenchmarkMake(b *testing.B) {
	leads := []Lead{{1380, 22}, {1520, 25}, {1560, 12}, {1710, 14}, {1820, 18}, {1880, 18}, {1930, 20}, {2000, 10}, {2050, 12}, {2100, 14}, {2140, 16}, {2150, 18}, {2200, 20}}
	for b.Loop() {
		if _, err := Make(5600, leads); err != nil {
			b.Fatal(err)
		}
	}
}
