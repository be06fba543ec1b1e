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

// Inch and foot are those of NIST SP 811 (2008), appendix B.8; the words are common
// practice, no source.
func TestSplitQuantity(t *testing.T) {
	for _, c := range []struct {
		text, figure, scale string
		length              bool
		sets                string
	}{
		{"4", "4", "1", false, ""},
		{"2 pcs", "2", "1", false, ""},
		{"x4", "4", "1", false, ""},
		{"12\u4e2a", "12", "1", false, ""},
		{"1 pair", "1", "1", false, "pair"},
		{"2 Sets", "2", "1", false, "sets"},
		{"1\u5957", "1", "1", false, "\u5957"},
		{"0,3 m", "0,3", "1", true, ""},
		{"30 cm", "30", "0.01", true, ""},
		{"300mm", "300", "0.001", true, ""},
		{"10 ft", "10", "0.3048", true, ""},
		{"6 in.", "6", "0.0254", true, ""},
	} {
		a, ok := SplitQuantity(c.text)
		if !ok || a.Figure != c.figure || a.Scale.String() != c.scale || a.Length != c.length || a.Sets != c.sets {
			t.Errorf("%q gives %+v %v", c.text, a, ok)
		}
	}
	for _, text := range []string{"", "some", "4 dozen", "312 g", "8-10", "1 or more", "up to 8", "pair"} {
		if a, ok := SplitQuantity(text); ok {
			t.Errorf("%q gives %+v", text, a)
		}
	}
}
