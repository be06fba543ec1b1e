package bom

import (
	"math"
	"strconv"
	"testing"
)

func TestLeadingFloat(t *testing.T) {
	for _, c := range []struct {
		text     string
		exponent bool
		want     float64
		n        int
		why      string
	}{
		{"12.5Y3", false, 12.5, 4, "ends where the number ends"},
		{"-.5", false, -0.5, 3, "no digit before the dot"},
		{"+7.", false, 7, 3, "no digit after the dot"},
		{"1E2", false, 1, 1, "in a toolpath E is the next word"},
		{"1e2", true, 100, 3, "in a mesh it is an exponent"},
		{"1e", true, 1, 1, "an exponent without digits is not one"},
		{"-1.234567e-05 ", true, -1.234567e-05, 13, "as mesh files write it"},
		{"0.1234567890123456789012", false, 0.12345678901234568, 24, "more digits than a float holds"},
		{"99999999999999999999", false, 1e20, 20, "more digits than 64 bits hold"},
		{"1e999999999999", true, math.Inf(1), 14, "out of range is an infinity, not a panic"},
		{".", false, 0, 0, "no digits"},
		{"-", false, 0, 0, "a sign alone"},
		{"nan", true, 0, 0, "words are not numbers"},
		{"", true, 0, 0, "nothing"},
	} {
		got, n := LeadingFloat([]byte(c.text), c.exponent)
		if got != c.want || n != c.n {
			t.Errorf("%q: got %v in %d bytes, want %v in %d: %s", c.text, got, n, c.want, c.n, c.why)
		}
	}
}

// Whatever the standard library reads as a plain number is read to the same bit.
func FuzzLeadingFloat(f *testing.F) {
	for _, s := range []string{"1", "0.1", "-2.5e10", "123456789012345678901234567890", "4.9e-324", "1e22", "9007199254740993"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, n := LeadingFloat([]byte(s), true)
		if n == 0 {
			return
		}
		want, err := strconv.ParseFloat(s[:n], 64)
		if err != nil && !math.IsInf(want, 0) {
			t.Fatalf("%q: took %q, which is no number", s, s[:n])
		}
		if got != want {
			t.Fatalf("%q: got %v, want %v", s[:n], got, want)
		}
	})
}
