package money_test

import (
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost/money"
	"tenoff/fixtures/checks"
)

func TestPart(t *testing.T) {
	for _, row := range []struct {
		why, total  string
		part, whole int64
		want        string
	}{
		{"a tie goes up", "0.01", 1, 2, "0.01"},
		{"below a tie goes down", "0.01", 499_999, 1_000_000, "0"},
		{"all of it", "12.34", 7, 7, "12.34"},
		{"nothing of it", "12.34", 0, 7, "0"},
		{"whole units only", "100", 1, 3, "33.33"},
		{"more than two words hold", "99999999999999999999.99", 1, 3, "33333333333333333333.33"},
		{"large figures", "1000000000000000.00", 1 << 55, 1<<55 + 1, "999999999999999.97"},
	} {
		got, rest := money.Part(d(row.total), row.part, row.whole, 2)
		if !got.Equal(d(row.want)) || !rest.Equal(d(row.total).Sub(got)) {
			t.Errorf("%s: %d/%d of %s is %s and leaves %s; want %s", row.why, row.part, row.whole, row.total, got, rest, row.want)
		}
	}
}

// The reference is decimal arithmetic (shopspring/decimal, rounding half away
// from zero).
func TestPartIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range checks.Runs(400_000) {
		total, whole := decimal.New(r.Int64N(1<<r.IntN(60)+1), -2), r.Int64N(1<<r.IntN(62)+1)+1
		part := r.Int64N(whole + 1)
		want := total.Mul(decimal.NewFromInt(part)).DivRound(decimal.NewFromInt(whole), 2)
		if got, rest := money.Part(total, part, whole, 2); !got.Equal(want) || !rest.Equal(total.Sub(want)) {
			t.Fatalf("%d/%d of %s is %s and leaves %s; want %s", part, whole, total, got, rest, want)
		}
	}
}
