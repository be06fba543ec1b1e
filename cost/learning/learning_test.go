package learning_test

import (
	"math"
	"testing"

	"tenoff/cost/learning"
)

// total is the time of units 1 to n as a multiple of the first unit's.
func total(n int, rate float64) float64 { return learning.Lot(0, n, 1, rate) }

// Crawford's unit theory: published totals for 80 % and 10 units, 90 % and 3 or
// 6 units (operations-management textbook, Heizer & Render, module Learning
// Curves); the rest computed from the formula.
func TestPublished(t *testing.T) {
	for _, row := range []struct {
		rate        float64
		n           int
		unit, total float64
		digits      float64
	}{
		{0.8, 2, 0.8, 1.8, 1e-12},
		{0.8, 4, 0.64, 3.142104, 5e-7},
		{0.8, 10, 0.476510, 6.315373, 5e-7},
		{0.8, 100, 0.227062, 32.650811, 5e-7},
		{0.9, 10, 0.704688, 7.994479, 5e-7},
		{0.9, 100, 0.496585, 58.141020, 5e-7},
		{0.8, 10, 0.477, 6.315, 5e-4},
		{0.9, 3, 0.846, 2.746, 5e-4},
		{0.9, 6, 0.762, 5.101, 6e-4},
		{1, 40, 1, 40, 0},
		{0.8, 1, 1, 1, 0},
	} {
		if got := total(row.n, row.rate) - total(row.n-1, row.rate); math.Abs(got-row.unit) > row.digits {
			t.Errorf("unit %d at %v takes %.9f; want %v", row.n, row.rate, got, row.unit)
		}
		if got := total(row.n, row.rate); math.Abs(got-row.total) > row.digits {
			t.Errorf("%d units at %v take %.9f; want %v", row.n, row.rate, got, row.total)
		}
	}
	if total(0, 0.8) != 0 {
		t.Error("no units take time")
	}
}

// A lot after k units takes T(n + k) − T(k) (Defense Acquisition University, learning-curve
// handout; cited from memory). 600 s at 90 %: units 1 to 40 take 4.423786 h, 41 to 80
// 3.585193 h; 100 s timed at unit 20 are 157.67 s for the first (computed from the formula).
func TestLots(t *testing.T) {
	for _, c := range []struct {
		why                string
		before, n, timedAt int
		seconds            float64
		want, off          float64 // s
	}{
		{"the first 40", 0, 40, 1, 600, 4.423786 * 3600, 2e-3},
		{"the next 40", 40, 40, 1, 600, 3.585193 * 3600, 2e-3},
		{"timed at unit 20", 0, 1, 20, 100, 157.67, 5e-3},
		{"the twentieth of them", 19, 1, 20, 100, 100, 1e-9},
		{"none", 40, 0, 1, 600, 0, 0},
	} {
		if got := c.seconds * learning.Lot(c.before, c.n, c.timedAt, 0.9); math.Abs(got-c.want) > c.off {
			t.Errorf("%s: %.6f s, want %v", c.why, got, c.want)
		}
	}
	for _, k := range []int{1, 50, 99, 100, 101, 5000, 900_000} {
		for _, n := range []int{1, 7, 60, 100, 101, 3000, 200_000} {
			want := total(k+n, 0.85) - total(k, 0.85)
			if got := learning.Lot(k, n, 1, 0.85); math.Abs(got-want) > 1e-10*total(k+n, 0.85) {
				t.Errorf("%d units after %d: %.9f, want %.9f", n, k, got, want)
			}
		}
	}
	if got := learning.Lot(7, 30, 12, 1); got != 30 {
		t.Errorf("30 units without learning: %v", got)
	}
}

// TestLong holds the formula for large numbers against the plain sum; 50 % is
// the rate at which the integral is a logarithm.
func TestLong(t *testing.T) {
	for _, rate := range []float64{0.5, 0.7, 0.8, 0.95} {
		sum := 0.0
		for i := 1; i <= 20_000; i++ {
			sum += math.Pow(float64(i), math.Log2(rate)) // Crawford's unit form
			if i != 100 && i != 101 && i != 150 && i != 1500 && i != 20_000 {
				continue
			}
			if got := total(i, rate); math.Abs(got-sum) > 1e-12*sum {
				t.Errorf("%d units at %v take %.12f; the plain sum is %.12f", i, rate, got, sum)
			}
		}
	}
}
