package chance

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// TestPert: mean (a + 4m + b)/6 and the quantiles of the two cases computed from
// the published formula (Malcolm et al., Operations Research 7, 1959).
func TestPert(t *testing.T) {
	for _, row := range []struct {
		p                   Pert
		mean, p10, p50, p90 float64
	}{
		{Pert{2, 4, 12}, 5, 2.899021, 4.766723, 7.453341},
		{Pert{0, 5, 10}, 5, 2.466365, 5, 7.533635},
		{Pert{3, 3, 3}, 3, 3, 3, 3},
	} {
		for _, c := range []struct{ got, want float64 }{
			{row.p.Mean(), row.mean}, {row.p.Quantile(0.1), row.p10}, {row.p.Quantile(0.5), row.p50}, {row.p.Quantile(0.9), row.p90},
		} {
			if math.Abs(c.got-c.want) > 1e-6 {
				t.Errorf("%v: %.6f, want %.6f", row.p, c.got, c.want)
			}
		}
	}
	if lowest, highest := (Pert{2, 2, 12}).Quantile(0), (Pert{2, 12, 12}).Quantile(1); lowest != 2 || highest != 12 {
		t.Errorf("ends at %g and %g", lowest, highest)
	}
}

// TestDrawsFollowTheReference holds the draws against gonum's beta distribution
// (Kolmogorov and Smirnov, bound at the level of one in a thousand).
func TestDrawsFollowTheReference(t *testing.T) {
	n := 20_000
	if !testing.Short() && testing.Verbose() {
		n = 1_000_000
	}
	for seed, p := range []Pert{{2, 4, 12}, {0, 5, 10}, {95, 98, 99}, {1, 1, 3}} {
		d := NewDraws(uint64(seed), 0)
		x := make([]float64, n)
		for i := range x {
			x[i] = d.Pert(p)
		}
		slices.Sort(x)
		alpha, beta := p.shape()
		reference := distuv.Beta{Alpha: alpha, Beta: beta}
		worst := 0.0
		for i, v := range x {
			f := reference.CDF((v - p.Low) / (p.High - p.Low))
			worst = max(worst, math.Abs(f-float64(i)/float64(n)), math.Abs(f-float64(i+1)/float64(n)))
		}
		if bound := 1.95 / math.Sqrt(float64(n)); worst > bound {
			t.Errorf("%v: off by %g, bound %g", p, worst, bound)
		}
		if mean := stat.Mean(x, nil); math.Abs(mean-p.Mean()) > 5*(p.High-p.Low)/math.Sqrt(float64(n)) {
			t.Errorf("%v: mean %g", p, mean)
		}
	}
}

// TestGood: of 30 at 90 % at least 25 come out good with a chance of 92.7 %
// (binomial distribution; gonum's as reference).
func TestGood(t *testing.T) {
	d := NewDraws(7, 1)
	const n = 20_000
	enough := 0
	for range n {
		if d.Good(30, 0.9) >= 25 {
			enough++
		}
	}
	want := distuv.Binomial{N: 30, P: 0.9}.Survival(24)
	if got := float64(enough) / n; math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/n) {
		t.Errorf("%g, want %g", got, want)
	}
	sum := 0.0
	for range 1000 {
		sum += float64(d.Good(20_000, 0.9))
	}
	if mean := sum / 1000; math.Abs(mean-18_000) > 6 { // σ of the mean is 1.3
		t.Errorf("of 20,000 at 90 %% %g come out good on average", mean)
	}
	if d.Good(5, 1) != 5 || d.Good(5, 0) != 0 {
		t.Error("what is certain is drawn otherwise")
	}
}

// The same seed and stream give the same draws, another stream others.
func TestSeed(t *testing.T) {
	a, b, c := NewDraws(1, 2), NewDraws(1, 2), NewDraws(1, 3)
	p := Pert{2, 4, 12}
	x, y, z := a.Pert(p), b.Pert(p), c.Pert(p)
	if x != y || x == z {
		t.Errorf("%g, %g, %g", x, y, z)
	}
}

func TestQuantiles(t *testing.T) {
	if got := Quantiles([]float64{5, 1, 4, 2, 3, 10, 9, 8, 7, 6}); got != (Three{1, 5, 9}) {
		t.Errorf("of one to ten: %v", got)
	}
	if got := Quantiles([]float64{7}); got != (Three{7, 7, 7}) {
		t.Errorf("of one value: %v", got)
	}
	if got := Quantiles(nil); got != (Three{}) {
		t.Errorf("of none: %v", got)
	}
}
