package buy

import (
	"math"
	"math/big"
	"math/bits"

	"github.com/shopspring/decimal"
)

// tooMuch is the amount, in minor units, at which counting stops: no run comes
// near it, and sums of such amounts still fit an int64. Results saturate there.
const tooMuch = int64(1) << 50

// ratio is an exact non-negative factor by which whole amounts are multiplied
// and rounded half away from zero. Prices, rates and percentages nearly always
// fit two machine words; those that do not are kept as big numbers.
type ratio struct {
	num, den uint64
	wide     *big.Rat
	value    float64
}

// unchanged is the factor 1.
var unchanged = ratio{num: 1, den: 1, value: 1}

// ratioOf makes d × 10^shift.
func ratioOf(d decimal.Decimal, shift int32) ratio {
	digits, exponent := int32(d.NumDigits()), d.Exponent()+shift
	if digits <= exactDigits && digits+exponent <= exactDigits && exponent >= -exactDigits && !d.IsNegative() {
		num, den := uint64(d.CoefficientInt64()), uint64(1)
		for ; exponent > 0; exponent-- {
			num *= 10
		}
		for ; exponent < 0; exponent++ {
			den *= 10
		}
		value := float64(num) / float64(den)
		// A power of ten has no other factors than twos and fives.
		twos := min(bits.TrailingZeros64(num), bits.TrailingZeros64(den))
		num, den = num>>twos, den>>twos
		for den%5 == 0 && num%5 == 0 {
			num, den = num/5, den/5
		}
		return ratio{num: num, den: den, value: value}
	}
	return ratioFrom(d.Shift(shift).Rat())
}

// exactDigits is how many digits a float64 holds of any whole number, so that a
// quotient of two such numbers is rounded only once.
const exactDigits = 15

// over makes the inverse; r must not be zero.
func (r ratio) over() ratio {
	return ratioFrom(new(big.Rat).Inv(r.rat()))
}

func ratioFrom(x *big.Rat) ratio {
	r := ratio{wide: x}
	r.value, _ = x.Float64()
	if x.Num().IsUint64() && x.Denom().IsUint64() {
		r.num, r.den, r.wide = x.Num().Uint64(), x.Denom().Uint64(), nil
	}
	return r
}

func (r ratio) rat() *big.Rat {
	if r.wide != nil {
		return r.wide
	}
	return new(big.Rat).SetFrac(new(big.Int).SetUint64(r.num), new(big.Int).SetUint64(r.den))
}

func (r ratio) zero() bool { return r.wide == nil && r.num == 0 }

// whole tells whether every product is whole, so that nothing is rounded.
func (r ratio) whole() bool { return r.wide == nil && r.den == 1 }

// times is round(x × r), half away from zero, for x ≥ 0.
func (r ratio) times(x int64) int64 {
	if r.wide != nil {
		return r.timesWide(x)
	}
	hi, lo := bits.Mul64(uint64(x), r.num)
	if hi >= r.den {
		return tooMuch
	}
	var quo, rem uint64
	if hi == 0 {
		quo, rem = lo/r.den, lo%r.den
	} else {
		quo, rem = bits.Div64(hi, lo, r.den)
	}
	if rem >= r.den-rem {
		quo++
	}
	if quo > uint64(tooMuch) {
		return tooMuch
	}
	return int64(quo)
}

func (r ratio) timesWide(x int64) int64 {
	n := new(big.Int).Mul(big.NewInt(x), r.wide.Num())
	n.Lsh(n, 1).Add(n, r.wide.Denom())
	n.Quo(n, new(big.Int).Lsh(r.wide.Denom(), 1))
	if !n.IsInt64() || n.Int64() > tooMuch {
		return tooMuch
	}
	return n.Int64()
}

// gain is the most that rounding can take off a product.
func (r ratio) gain() float64 {
	if r.whole() {
		return 0
	}
	if r.wide == nil && r.den == 2 {
		return 0 // halves go up
	}
	return 0.5
}

// minor rounds an amount to whole minor units, half away from zero.
func minor(d decimal.Decimal, digits int32) int64 {
	return saturate(d.Shift(digits).Round(0))
}

// minorDown is the largest whole amount within a limit.
func minorDown(d decimal.Decimal, digits int32) int64 {
	return saturate(d.Shift(digits).Floor())
}

// minorUp is the least whole amount that reaches a threshold.
func minorUp(d decimal.Decimal, digits int32) int64 {
	return saturate(d.Shift(digits).Ceil())
}

func saturate(d decimal.Decimal) int64 {
	if d.GreaterThan(decimal.NewFromInt(tooMuch)) {
		return tooMuch
	}
	return d.IntPart()
}

func money(x int64, digits int32) decimal.Decimal {
	if x == 0 { // most charges of most orders
		return decimal.Decimal{}
	}
	return decimal.New(x, -digits)
}

func ceilDiv(a, b int64) int64 {
	if a <= 0 {
		return 0
	}
	return (a-1)/b + 1
}

var inf = math.Inf(1)
