package money_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost/money"
	"tenoff/fixtures/checks"
)

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }

// Largest remainder: the worked figures stand in the published descriptions of
// the method (Hamilton's; values computed from its definition).
func TestApportion(t *testing.T) {
	for _, row := range []struct {
		why     string
		total   string
		weights []string
		digits  int32
		want    []string
	}{
		{"the first of equal remainders gets the cent", "100.00", []string{"1", "1", "1"}, 2, []string{"33.34", "33.33", "33.33"}},
		{"the largest remainder gets the cent", "123.45", []string{"700", "250", "50"}, 2, []string{"86.42", "30.86", "6.17"}},
		{"no minor unit", "100", []string{"1", "1", "1"}, 0, []string{"34", "33", "33"}},
		{"nothing to share", "0", []string{"1", "2"}, 2, []string{"0", "0"}},
		{"no weight at all", "5.00", []string{"0", "0"}, 2, []string{"5", "0"}},
		{"a weight of nothing gets nothing", "0.01", []string{"0", "1"}, 2, []string{"0", "0.01"}},
		{"a credit is shared like a debit", "-100.00", []string{"1", "1", "1"}, 2, []string{"-33.34", "-33.33", "-33.33"}},
	} {
		weights := make([]decimal.Decimal, len(row.weights))
		for i, w := range row.weights {
			weights[i] = d(w)
		}
		sum := decimal.Zero
		for i, got := range money.Apportion(d(row.total), weights, row.digits) {
			sum = sum.Add(got)
			if !got.Equal(d(row.want[i])) {
				t.Errorf("%s: share %d is %s; want %s", row.why, i, got, row.want[i])
			}
		}
		if !sum.Equal(d(row.total)) {
			t.Errorf("%s: the shares add up to %s", row.why, sum)
		}
	}
	if len(money.Apportion(d("1"), nil, 2)) != 0 {
		t.Error("no weights give shares")
	}
}

func FuzzApportion(f *testing.F) {
	f.Add(int64(10000), uint16(1), uint16(1), uint16(1))
	f.Add(int64(1), uint16(0), uint16(3), uint16(65535))
	f.Fuzz(func(t *testing.T, cents int64, a, b, c uint16) {
		total := decimal.New(cents, -2)
		weights := []decimal.Decimal{decimal.NewFromInt(int64(a)), decimal.NewFromInt(int64(b)), decimal.NewFromInt(int64(c))}
		sum := decimal.Zero
		for _, s := range money.Apportion(total, weights, 2) {
			sum = sum.Add(s)
		}
		if !sum.Equal(total) {
			t.Errorf("%s by %d %d %d adds up to %s", total, a, b, c, sum)
		}
	})
}

func TestFromFloat(t *testing.T) {
	noisy := 0.0
	for range 1000 {
		noisy += 0.1 // 99.9999999999986
	}
	if got, _ := money.FromFloat(noisy); !got.Equal(d("100")) {
		t.Errorf("a thousand tenths are %s", got)
	}
	for f, want := range map[float64]string{4500: "4500", -3: "-3", 0: "0", 0.25: "0.25", 1 << 52: "4503599627370496"} {
		if got, ok := money.FromFloat(f); !ok || !got.Equal(d(want)) {
			t.Errorf("%v is %s", f, got)
		}
	}
	for _, f := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, ok := money.FromFloat(f); ok {
			t.Errorf("%v passes for a figure", f)
		}
	}
}

// Weights are proportions: a hundred trillion trillions of each give the same shares.
func TestApportionWide(t *testing.T) {
	for seed := range uint64(checks.Runs(6_000)) {
		r := rand.New(rand.NewPCG(seed, 7))
		narrow := make([]decimal.Decimal, 1+r.IntN(9))
		wide := make([]decimal.Decimal, len(narrow))
		for i := range narrow {
			narrow[i] = decimal.New(r.Int64N(1000), -int32(r.IntN(4)))
			wide[i] = narrow[i].Mul(decimal.New(1, 26))
		}
		total := decimal.New(r.Int64N(2_000_000)-1_000_000, -2)
		a, b := money.Apportion(total, narrow, 2), money.Apportion(total, wide, 2)
		for i := range a {
			if !a[i].Equal(b[i]) {
				t.Fatalf("%s by %v: %v, and by as much more %v", total, narrow, a, b)
			}
		}
	}
}
