package buy

import (
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/fixtures/checks"
)

// A ratio is the fraction in lowest terms, which math/big works out, and the
// float64 nearest to it.
func TestRatioOf(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	figures := []decimal.Decimal{decimal.Zero, dec("1"), dec("0.5"), dec("25"), dec("100000"), dec("0.00625"), dec("999999999999999")}
	for range checks.Runs(100_000) {
		figures = append(figures, decimal.New(r.Int64N(1<<(1+r.IntN(52))), int32(r.IntN(30))-18))
	}
	for _, d := range figures {
		for _, shift := range []int32{-2, 0, 2, 3} {
			got, exact := ratioOf(d, shift), d.Shift(shift).Rat()
			if value, _ := exact.Float64(); got.rat().Cmp(exact) != 0 || got.value != value {
				t.Fatalf("%s × 10^%d is %s, %v", d, shift, got.rat(), got.value)
			}
			if got.wide == nil && (got.num != exact.Num().Uint64() || got.den != exact.Denom().Uint64()) {
				t.Fatalf("%s × 10^%d is %d / %d, not in lowest terms", d, shift, got.num, got.den)
			}
		}
	}
}
