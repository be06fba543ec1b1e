package bom

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"
)

func TestQuantityOf(t *testing.T) {
	for _, c := range []struct {
		why, text, want string
		ok              bool
	}{
		{"pieces", "12", "12", true},
		{"metres", "0.35", "0.35", true},
		{"the least", "0.000001", "0.000001", true},
		{"noughts at the end", "1.500000000", "1.5", true},
		{"nothing", "0", "0", true},
		{"the most", "1000000000", "1000000000", true},
		{"over the most", "1000000000.000001", "", false},
		{"seven decimals", "0.0000001", "", false},
		{"negative", "-1", "", false},
	} {
		q, ok := QuantityOf(decimal.RequireFromString(c.text))
		if ok != c.ok || ok && q.String() != c.want {
			t.Errorf("%s: %s gives %v %v", c.why, c.text, q, ok)
		}
		if ok && !q.Decimal().Equal(decimal.RequireFromString(c.text)) {
			t.Errorf("%s: %s comes back as %v", c.why, c.text, q.Decimal())
		}
	}
}

func TestQuantityCounts(t *testing.T) {
	for _, c := range []struct {
		q     Quantity
		ceil  int64
		whole bool
	}{{0, 0, true}, {1, 1, false}, {One - 1, 1, false}, {One, 1, true}, {One + 1, 2, false}, {Whole(7), 7, true}, {MaxQuantity, 1_000_000_000, true}} {
		if c.q.Ceil() != c.ceil || c.q.IsWhole() != c.whole {
			t.Errorf("%v: %d whole pieces, whole %v", c.q, c.q.Ceil(), c.q.IsWhole())
		}
	}
	if got := (One / 4).Float(); got != 0.25 {
		t.Errorf("a quarter is %v", got)
	}
}

// TestQuantityProducts compares with exact rationals over the whole range,
// beyond the limits too.
func TestQuantityProducts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	pick := func() int64 {
		return []int64{0, 1, int64(One), int64(MaxQuantity), -1, r.Int64N(1000) * int64(One) / 8, r.Int64(),
			r.Int64N(1 << 30), r.Int64N(1 << 20), 1<<63 - 1, -1 << 63}[r.IntN(11)]
	}
	million, limit := big.NewInt(int64(One)), big.NewInt(int64(MaxQuantity))
	held, refused := 0, 0
	for range 200_000 {
		a, b := pick(), pick()
		product := new(big.Int).Mul(big.NewInt(a), big.NewInt(b))
		fits := a >= 0 && b >= 0 && product.Cmp(limit) <= 0
		if got, ok := Quantity(a).Times(b); ok != fits || ok && int64(got) != product.Int64() {
			t.Fatalf("%d times %d: %d %v", a, b, got, ok)
		}
		quotient, rest := new(big.Int).QuoRem(product, million, new(big.Int))
		fits = a >= 0 && b >= 0 && rest.Sign() == 0 && quotient.Cmp(limit) <= 0
		if got, ok := Quantity(a).Mul(Quantity(b)); ok != fits || ok && int64(got) != quotient.Int64() {
			t.Fatalf("%d by %d: %d %v", a, b, got, ok)
		}
		if fits {
			held++
		} else {
			refused++
		}
	}
	if held < 1000 || refused < 1000 {
		t.Errorf("%d products held, %d refused: the test is lopsided", held, refused)
	}
}
