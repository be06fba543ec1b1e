package yield_test

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"tenoff/cost/yield"
)

// IPC-7912A, (1 − DPMO/10⁶)^opportunities; the formula is cited from memory, the
// values are computed from it in exact arithmetic.
func TestBoard(t *testing.T) {
	for _, row := range []struct {
		dpmo          float64
		opportunities int
		want          float64
	}{
		{50, 1000, 0.951228235},
		{500, 200, 0.904814790},
		{1000, 100, 0.904792147},
		{0, 1000, 1},
		{50, 0, 1},
	} {
		if got := yield.Board(row.dpmo, row.opportunities); math.Abs(got-row.want) > 1e-9 {
			t.Errorf("%v DPMO over %d opportunities: %.9f; want %.9f", row.dpmo, row.opportunities, got, row.want)
		}
	}
}

// Smallest n with P(Binomial(n, y) ≥ N) ≥ c, computed from the definition in
// exact rationals.
func TestEnough(t *testing.T) {
	confidences := []float64{0.90, 0.95, 0.99}
	for _, row := range []struct {
		yield float64
		good  int
		want  [3]int
	}{
		{0.90, 10, [3]int{13, 13, 14}},
		{0.90, 25, [3]int{30, 31, 33}},
		{0.90, 50, [3]int{59, 60, 62}},
		{0.90, 100, [3]int{116, 117, 120}},
		{0.98, 10, [3]int{11, 11, 12}},
		{0.98, 50, [3]int{52, 53, 54}},
		{0.98, 100, [3]int{104, 105, 106}},
		{1, 40, [3]int{40, 40, 40}},
		{0.5, 0, [3]int{0, 0, 0}},
	} {
		for i, c := range confidences {
			if got, err := yield.Enough(row.good, row.yield, c); err != nil || got != row.want[i] {
				t.Errorf("%d good at %v and %v: %d, %v; want %d", row.good, row.yield, c, got, err, row.want[i])
			}
		}
	}
}

// TestEnoughTies: a probability equal to the confidence is enough, which
// floating point alone does not see.
func TestEnoughTies(t *testing.T) {
	for _, row := range []struct {
		good              int
		yield, confidence float64
		want              int
	}{
		{1, 0.95, 0.95, 1},
		{1, 0.9, 0.99, 2}, // 1 − 0.1²
		{1, 0.8, 0.992, 3},
		{2, 0.9, 0.81, 2},
		{3, 0.7, 0.343, 3},
		{1, 0.5, 0.9375, 4},
	} {
		if got, err := yield.Enough(row.good, row.yield, row.confidence); err != nil || got != row.want {
			t.Errorf("%d good at %v and %v: %d, %v; want %d", row.good, row.yield, row.confidence, got, err, row.want)
		}
	}
}

// TestEnoughAgainstRationals compares with the definition summed in rationals.
func TestEnoughAgainstRationals(t *testing.T) {
	confidence := big.NewRat(95, 100)
	for _, percent := range []int64{50, 73, 88, 95, 99} {
		y := big.NewRat(percent, 100)
		for good := 1; good <= 40; good += 3 {
			want := good
			for atLeast(want, good, y).Cmp(confidence) < 0 {
				want++
			}
			if got, err := yield.Enough(good, float64(percent)/100, 0.95); err != nil || got != want {
				t.Errorf("%d good at %d %%: %d, %v; want %d", good, percent, got, err, want)
			}
		}
	}
}

func atLeast(n, good int, y *big.Rat) *big.Rat {
	sum := new(big.Rat)
	bad := new(big.Rat).Sub(big.NewRat(1, 1), y)
	for k := good; k <= n; k++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(k)))
		for range k {
			term.Mul(term, y)
		}
		for range n - k {
			term.Mul(term, bad)
		}
		sum.Add(sum, term)
	}
	return sum
}

func TestEnoughIsMonotone(t *testing.T) {
	last := 0
	for good := 1; good <= 2000; good++ {
		n, err := yield.Enough(good, 0.93, 0.95)
		if err != nil || n <= last-1 || n < good {
			t.Fatalf("%d good need %d, %v after %d", good, n, err, last)
		}
		last = n
	}
}

func TestHopeless(t *testing.T) {
	for _, y := range []float64{0, -1, 1e-9, math.NaN()} {
		if _, err := yield.Enough(10, y, 0.95); !errors.Is(err, yield.ErrHopeless) {
			t.Errorf("yield %v: %v", y, err)
		}
	}
	if _, err := yield.Enough(10, 0.9, 1); !errors.Is(err, yield.ErrHopeless) {
		t.Errorf("certainty: %v", err)
	}
}

func BenchmarkEnough(b *testing.B) {
	for b.Loop() {
		if _, err := yield.Enough(200, 0.97, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
