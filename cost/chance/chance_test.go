package chance

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tenoff/fixtures/checks"
)

// draws is how often each distribution is drawn to be held against its
// reference.
func draws() int { return checks.Runs(10_000_000) }

// bound is what the largest distance between a sample's distribution and the
// true one exceeds in one of a thousand samples (Kolmogorov and Smirnov; the
// asymptotic value, 1.95 / √n).
func bound(n int) float64 { return 1.95 / math.Sqrt(float64(n)) }

// reference is gonum's beta distribution of a figure, and mean that of the
// figure, (a + 4m + b)/6 (Malcolm et al., Operations Research 7, 1959).
func reference(p Pert) distuv.Beta {
	alpha, beta := p.shape()
	return distuv.Beta{Alpha: alpha, Beta: beta}
}

func mean(p Pert) float64 { return (p.Low + 4*p.Mode + p.High) / 6 }

// TestPert: mean, standard deviation and quantiles of two cases, computed from
// the published formula (Malcolm et al., Operations Research 7, 1959); the curve
// keeps to them within 0.00002 of its width.
func TestPert(t *testing.T) {
	for _, row := range []struct {
		p                       Pert
		mean, sd, p10, p50, p90 float64
	}{
		{Pert{2, 4, 12}, 5, 1.732051, 2.899021, 4.766723, 7.453341},
		{Pert{0, 5, 10}, 5, 1.889822, 2.466365, 5, 7.533635},
	} {
		c, width := NewCurve(row.p), row.p.High-row.p.Low
		const n = 100_000
		values := make([]float64, n)
		for i := range values {
			values[i] = c.At((float64(i) + 0.5) / n)
		}
		gotMean, gotSD := stat.MeanStdDev(values, nil)
		for _, f := range []struct{ got, want float64 }{
			{mean(row.p), row.mean}, {gotMean, row.mean}, {gotSD, row.sd}, {c.At(0.1), row.p10}, {c.At(0.5), row.p50}, {c.At(0.9), row.p90},
		} {
			if math.Abs(f.got-f.want) > 2e-5*width {
				t.Errorf("%v: %.6f, want %.6f", row.p, f.got, f.want)
			}
		}
	}
	if !(Pert{3, 3, 3}).Certain() || (Pert{3, 3, 4}).Certain() {
		t.Error("what is certain is not told")
	}
}

// shapes are three-point figures of every kind.
var shapes = []Pert{
	{2, 4, 12},      // leans to the left, as times do
	{0, 5, 10},      // even
	{95, 98, 99},    // leans to the right, as yields do
	{1, 1, 3},       // falls from its lowest value on
	{1, 3, 3},       // rises up to its highest
	{0, 0.001, 1},   // nearly so, where the curve is steepest
	{0, 0.025, 1},   // and where a step holds it worst
	{0.9, 0.97, 1},  // no short binary fraction
	{1e6, 1e6, 1e9}, // large
}

// TestCurve: the steps of a curve lie on the distribution to the last digits,
// with gonum's beta distribution as reference, and between them a value is never
// further off than NewCurve says.
func TestCurve(t *testing.T) {
	for _, p := range shapes {
		c := NewCurve(p)
		reference := reference(p)
		for i, got := range c.below {
			if want := reference.CDF(float64(i) / cells); math.Abs(got-want) > 1e-12 {
				t.Fatalf("%v: below step %d lies %.15g, want %.15g", p, i, got, want)
			}
		}
		worst, last := 0.0, math.Inf(-1)
		for i := range 100_000 {
			u := (float64(i) + 0.5) / 100_000
			v := c.At(u)
			if v < p.Low || v > p.High || v < last {
				t.Fatalf("%v: at %g stands %g after %g", p, u, v, last)
			}
			last = v
			worst = max(worst, math.Abs(reference.CDF((v-p.Low)/(p.High-p.Low))-u))
		}
		if worst > 0.0004 {
			t.Errorf("%v: a probability is off by %g", p, worst)
		}
	}
	if low := NewCurve(Pert{2, 4, 12}).At(0); low != 2 {
		t.Errorf("starts at %g", low)
	}
}

// TestDrawsFollowTheReference holds the draws against gonum's beta distribution
// by the test of Kolmogorov and Smirnov, and mean and standard deviation against
// the formulas of the three-point figure.
func TestDrawsFollowTheReference(t *testing.T) {
	for _, p := range shapes {
		d, c := NewDraws(1, "reference"), NewCurve(p)
		x := make([]float64, draws())
		for i := range x {
			x[i] = d.From(c)
		}
		slices.Sort(x)
		reference := reference(p)
		worst := 0.0
		for i, v := range x {
			if i%10 != 0 { // the distance between two neighbours is far under the bound
				continue
			}
			f := reference.CDF((v - p.Low) / (p.High - p.Low))
			worst = max(worst, math.Abs(f-float64(i)/float64(len(x))), math.Abs(f-float64(i+1)/float64(len(x))))
		}
		if worst > bound(len(x)) {
			t.Errorf("%v: off by %g, bound %g", p, worst, bound(len(x)))
		}
		// μ and σ: (a + 4m + b)/6 and √((μ−a)(b−μ)/7), which is that of the beta distribution with α + β = 6.
		gotMean, sd := stat.MeanStdDev(x, nil)
		wantSD := math.Sqrt((mean(p) - p.Low) * (p.High - mean(p)) / 7)
		if off := 5 * wantSD / math.Sqrt(float64(len(x))); math.Abs(gotMean-mean(p)) > off || math.Abs(sd-wantSD) > off {
			t.Errorf("%v: mean %g and standard deviation %g, want %g and %g", p, gotMean, sd, mean(p), wantSD)
		}
	}
}

// discrete is the largest distance between the distribution of draws and that
// of a reference.
func discrete(n int, draw func() int, cdf func(float64) float64) float64 {
	count := map[int]int{}
	highest := 0
	for range n {
		k := draw()
		count[k]++
		highest = max(highest, k)
	}
	worst, sum := 0.0, 0
	for k := range highest + 1 {
		sum += count[k]
		worst = max(worst, math.Abs(float64(sum)/float64(n)-cdf(float64(k))))
	}
	return worst
}

// TestGood holds the draws against gonum's binomial distribution, and one case
// against a table: of 30 at 90 % at least 25 come out good with a chance of
// 0.926810 (1 − binomial distribution function; computed from the formula).
func TestGood(t *testing.T) {
	if want := (distuv.Binomial{N: 30, P: 0.9}).Survival(24); math.Abs(want-0.926810) > 1e-6 {
		t.Errorf("the reference gives %g", want)
	}
	for _, row := range []struct {
		n      int
		chance float64
		why    string
	}{
		{30, 0.9, "a small batch"},
		{1, 0.3, "one alone"},
		{63, 0.96, "all lanes but one"},
		{64, 0.5, "as many as are tossed at once, at a chance of one digit"},
		{65, 0.75, "one more, at a chance of two digits"},
		{1000, 0.001, "rare"},
		{200, 1.0 / 3, "a chance that no binary fraction holds"},
	} {
		d := NewDraws(7, row.why)
		reference := distuv.Binomial{N: float64(row.n), P: row.chance}
		n := draws()
		if worst := discrete(n, func() int { return d.Good(row.n, row.chance) }, reference.CDF); worst > bound(n) {
			t.Errorf("%s: off by %g, bound %g", row.why, worst, bound(n))
		}
	}
	d := NewDraws(7, "ends")
	for range 1000 {
		if d.Good(5, 1) != 5 || d.Good(5, 1.5) != 5 || d.Good(5, 0) != 0 || d.Good(5, math.NaN()) != 0 || d.Good(0, 0.5) != 0 {
			t.Fatal("what is certain is drawn otherwise")
		}
		if n := d.Good(5, 1e-300); n != 0 {
			t.Fatalf("%d come out against all odds", n)
		}
	}
}

// TestTries: m or fewer are begun for n good ones exactly where of m at least n
// are good, so that gonum's binomial distribution is the reference here too.
func TestTries(t *testing.T) {
	for _, row := range []struct {
		n       int
		failure float64
	}{{10, 0.05}, {1, 0.6}, {100, 0.3}} {
		d := NewDraws(11, "tries")
		n := draws()
		atMost := func(m float64) float64 {
			if m < float64(row.n) {
				return 0
			}
			return distuv.Binomial{N: m, P: 1 - row.failure}.Survival(float64(row.n) - 1)
		}
		if worst := discrete(n, func() int { return d.Tries(row.n, row.failure) }, atMost); worst > bound(n) {
			t.Errorf("%d with %g failing: off by %g, bound %g", row.n, row.failure, worst, bound(n))
		}
	}
	if d := NewDraws(1, ""); d.Tries(7, 0) != 7 || d.Tries(0, 0.5) != 0 {
		t.Error("what is certain is drawn otherwise")
	}
}

// TestSameEverywhere: the first draws of a seed, as every machine must give
// them, to the last bit.
func TestSameEverywhere(t *testing.T) {
	d, c := NewDraws(1, "a name"), NewCurve(Pert{0.9, 0.97, 1})
	var got []uint64
	for range 3 {
		got = append(got, math.Float64bits(d.From(c)))
	}
	got = append(got, uint64(d.Good(1000, 1.0/3)), uint64(d.Tries(1000, 0.1)))
	if want := []uint64{0x3feef33abd52a0a4, 0x3fee9927ccc01955, 0x3fef505106c0aef2, 320, 1104}; !slices.Equal(got, want) {
		t.Errorf("draws %#x, want %#x", got, want)
	}
}

// The same seed and name give the same draws, another of either others.
func TestSeed(t *testing.T) {
	c := NewCurve(Pert{2, 4, 12})
	x, y := NewDraws(1, "labour").From(c), NewDraws(1, "labour").From(c)
	other, seed := NewDraws(1, "energy").From(c), NewDraws(2, "labour").From(c)
	if x != y || x == other || x == seed {
		t.Errorf("%g, %g, %g, %g", x, y, other, seed)
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

func BenchmarkCurve(b *testing.B) {
	for b.Loop() {
		NewCurve(Pert{0.9, 0.97, 1})
	}
}

func BenchmarkFrom(b *testing.B) {
	d, c := NewDraws(1, ""), NewCurve(Pert{0.9, 0.97, 1})
	for b.Loop() {
		d.From(c)
	}
}

func BenchmarkGood(b *testing.B) {
	d := NewDraws(1, "")
	for b.Loop() {
		d.Good(100, 0.98)
	}
}
