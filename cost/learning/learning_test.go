package learning_test

import (
	"math"
	"testing"

	"tenoff/cost/learning"
)

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
		if got := learning.Total(row.n, row.rate) - learning.Total(row.n-1, row.rate); math.Abs(got-row.unit) > row.digits {
			t.Errorf("unit %d at %v takes %.9f; want %v", row.n, row.rate, got, row.unit)
		}
		if got := learning.Total(row.n, row.rate); math.Abs(got-row.total) > row.digits {
			t.Errorf("%d units at %v take %.9f; want %v", row.n, row.rate, got, row.total)
		}
	}
	if learning.Total(0, 0.8) != 0 {
		t.Error("no units take time")
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
			if got := learning.Total(i, rate); math.Abs(got-sum) > 1e-12*sum {
				t.Errorf("%d units at %v take %.12f; the plain sum is %.12f", i, rate, got, sum)
			}
		}
	}
}
