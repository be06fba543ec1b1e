// Package money shares money out, and takes measured figures into it.
//
//  1. [Apportion] shares an amount out by weights so that the shares add up to it.
//  2. [FromFloat] is where a time, a mass or an energy, which are floating point,
//     becomes a decimal.
//
// It holds no exchange rates and knows no country's cash habits: minor units are
// those of ISO 4217.
package money

import (
	"math"
	"math/big"
	"slices"

	"github.com/shopspring/decimal"
)

// Apportion shares total, a multiple of the minor unit, out by weights: each
// share is a multiple of the minor unit and the shares add up to total (largest
// remainder method; of equal remainders the earlier share gets the unit).
// Weights are not negative; where all are zero the first share takes all.
func Apportion(total decimal.Decimal, weights []decimal.Decimal, digits int32) []decimal.Decimal {
	shares := make([]decimal.Decimal, len(weights))
	if len(weights) == 0 || total.IsZero() {
		return shares
	}
	parts, sum := wholes(weights)
	if sum.Sign() == 0 {
		shares[0] = total
		return shares
	}
	units := total.Shift(digits).BigInt()
	rest := new(big.Int).Set(units)
	quotients, remainders := make([]big.Int, len(weights)), make([]big.Int, len(weights))
	order := make([]int, len(weights))
	var product big.Int
	for i := range parts {
		// QuoRem truncates towards zero: the remainder has the sign of the total.
		quotients[i].QuoRem(product.Mul(units, parts[i]), sum, &remainders[i])
		rest.Sub(rest, &quotients[i])
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return remainders[b].CmpAbs(&remainders[a]) })
	one := big.NewInt(int64(rest.Sign()))
	for _, i := range order[:new(big.Int).Abs(rest).Int64()] {
		quotients[i].Add(&quotients[i], one)
	}
	for i := range shares {
		shares[i] = decimal.NewFromBigInt(&quotients[i], -digits)
	}
	return shares
}

// wholes brings weights to whole numbers in the same proportions, with their sum.
func wholes(weights []decimal.Decimal) (parts []*big.Int, sum *big.Int) {
	finest := weights[0].Exponent()
	for _, w := range weights {
		finest = min(finest, w.Exponent())
	}
	parts, sum = make([]*big.Int, len(weights)), new(big.Int)
	for i, w := range weights {
		parts[i] = w.Shift(-finest).BigInt()
		sum.Add(sum, parts[i])
	}
	return parts, sum
}

// floatDigits is far below what a second, a gram or a kilowatt-hour is worth
// and above the noise of adding thousands of floating-point terms: rounding to
// it makes 4499.999999999999 s the 4500 s that it stands for, so that a tie in
// money rounds as exact arithmetic would.
const floatDigits = 9

// FromFloat takes a floating-point quantity into decimal arithmetic, to nine
// decimals. NaN and infinities, which no reader lets in, give zero and false.
func FromFloat(f float64) (decimal.Decimal, bool) {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return decimal.Zero, false
	}
	return decimal.NewFromFloat(f).Round(floatDigits), true
}
