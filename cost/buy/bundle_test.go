package buy

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestBundleShares: the shares are those at which no plane that has one pulls more
// than any other plane does (Karush, Kuhn and Tucker's conditions).
func TestBundleShares(t *testing.T) {
	for seed := range 300 {
		r := rand.New(rand.NewPCG(uint64(seed), 31))
		suppliers, planes := 1+r.IntN(6), 1+r.IntN(20)
		c := &climber{s: &search{effort: 1 << 40}, n: &node{price: make([]float64, suppliers)}}
		b := &c.bundle
		b.reset(suppliers)
		b.reach = math.Pow(10, -6*r.Float64())
		for k := range planes {
			slope := make([]float64, suppliers)
			for i := range slope {
				slope[i] = math.Round(1000 * r.NormFloat64())
			}
			b.planes = append(b.planes, plane{slope: slope, height: float64(r.IntN(200))})
			b.share = append(b.share, 0)
			if k == 0 {
				b.share[0] = 1
			}
		}
		b.solve(c)
		sum, low, high := 0.0, inf, math.Inf(-1)
		for k, x := range b.share {
			if x < 0 {
				t.Fatalf("seed %d: a share of %g", seed, x)
			}
			if sum += x; x > 0 {
				high = max(high, b.pull(k))
			}
			low = min(low, b.pull(k))
		}
		if math.Abs(sum-1) > 1e-6 || high-low > climbLeast {
			t.Errorf("seed %d: shares add up to %g; pulls from %g to %g", seed, sum, low, high)
		}
	}
}

// TestBundleUsedUp: a plane without a share that is to get none stops the others at once; 0/0
// would leave them without any number. The rest is by hand.
func TestBundleUsedUp(t *testing.T) {
	for _, c := range []struct{ share, best, want float64 }{
		{0, 0, 0}, {0, -0.5, 0}, {0, 1e-13, 0}, {0.5, 0, 1}, {0.5, -0.5, 0.5}, {0.25, 1e-13, 1},
	} {
		if got := usedUp(c.share, c.best); got != c.want {
			t.Errorf("from %g to %g: %g, want %g", c.share, c.best, got, c.want)
		}
	}
}
