package money_test

import (
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost/money"
	"tenoff/fixtures/checks"
)

// The reference is decimal arithmetic (shopspring/decimal).
func TestSumIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for range checks.Runs(40_000) {
		sum, want := money.Sum{Digits: int32(r.IntN(4))}, decimal.Zero
		for range r.IntN(40) {
			d := decimal.New(r.Int64N(1<<r.IntN(63)+1)-r.Int64N(1<<r.IntN(63)+1), -sum.Digits)
			switch r.IntN(8) {
			case 0: // finer than the minor unit
				d = d.Shift(-3)
			case 1: // coarser, and more than a word holds
				d = d.Shift(int32(r.IntN(25)))
			}
			sum.Add(d)
			want = want.Add(d)
		}
		if got := sum.Decimal(); !got.Equal(want) {
			t.Fatalf("the sum is %s; want %s", got, want)
		}
	}
}

func TestSum(t *testing.T) {
	for _, row := range []struct {
		why     string
		amounts []string
		want    string
	}{
		{"nothing", nil, "0"},
		{"minor units", []string{"1.10", "2.20", "0.01"}, "3.31"},
		{"amounts that cancel out", []string{"1.10", "-1.10"}, "0"},
		{"an amount without its cents among others", []string{"1.10", "5"}, "6.1"},
		{"more than a word counts", []string{"9999999999999999.99", "9999999999999999.99", "9999999999999999.99", "9999999999999999.99", "9999999999999999.99", "9999999999999999.99"}, "59999999999999999.94"},
		{"less than one counts", []string{"-9999999999999999.99", "-9999999999999999.99", "-9999999999999999.99", "-9999999999999999.99", "-9999999999999999.99", "-9999999999999999.99"}, "-59999999999999999.94"},
	} {
		sum := money.Sum{Digits: 2}
		for _, a := range row.amounts {
			sum.Add(d(a))
		}
		if got := sum.Decimal(); !got.Equal(d(row.want)) {
			t.Errorf("%s: %s; want %s", row.why, got, row.want)
		}
	}
}
