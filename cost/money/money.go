// Package money rounds, converts and shares out money.
//
// 1. [Round] takes an exact figure to the minor unit of its currency, half away
// from zero (commercial rounding).
// 2. [Amount.In] takes an amount into another currency at a rate, rounding once.
// 3. [Apportion] shares an amount out by weights so that the shares add up to it.
// 4. [Sum] adds up many amounts.
// 5. [Part] and [Worth] multiply, divide and round in one.
// 6. [FromFloat] is the one place where a time, a mass or an energy, which are
// floating point, becomes a decimal.
//
// It holds no exchange rates and knows no country's cash habits: minor units are
// those of ISO 4217.
package money

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Amount is money in one currency, already rounded to its minor unit.
type Amount struct {
	value    decimal.Decimal
	currency bom.Currency
}

// Round rounds an exact figure to the currency's minor unit, half away from zero.
func Round(exact decimal.Decimal, currency bom.Currency) Amount {
	return Amount{exact.Round(currency.Digits), currency}
}

// Decimal gives the amount as a plain number.
func (a Amount) Decimal() decimal.Decimal { return a.value }

// In converts the amount at a rate (one unit of its currency in the other) and
// rounds to the other's minor unit. In its own currency an amount stays as it is.
func (a Amount) In(other bom.Currency, rate decimal.Decimal) Amount {
	if a.currency == other {
		return a
	}
	return Round(a.value.Mul(rate), other)
}

// Apportion shares total, a multiple of the minor unit, out by weights: each
// share is a multiple of the minor unit and the shares add up to total (largest
// remainder method; of equal remainders the earlier share gets the unit).
// Weights are not negative; where all are zero the first share takes all.
func Apportion(total decimal.Decimal, weights []decimal.Decimal, digits int32) []decimal.Decimal {
	shares := make([]decimal.Decimal, len(weights))
	switch {
	case len(weights) == 0 || total.IsZero():
		return shares
	case len(weights) == 1: // by far the most common: nothing to divide
		shares[0] = total
		return shares
	}
	if shares, ok := apportionWords(total, weights, digits); ok {
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

// apportionWords does the same in machine words, where the amount and the
// weights, of which at least one is not zero, fit them: nearly always.
func apportionWords(total decimal.Decimal, weights []decimal.Decimal, digits int32) (shares []decimal.Decimal, ok bool) {
	if total.Exponent() != -digits || total.NumDigits() > intDigits {
		return nil, false
	}
	exponent := finest(weights)
	var room [8]wordShare
	list := append(room[:0], make([]wordShare, len(weights))...)
	var sum uint64
	for i, w := range weights {
		part, fits := word(w, exponent)
		if sum += part; !fits || sum > roomFor {
			return nil, false
		}
		list[i] = wordShare{part: part, at: i}
	}
	if sum == 0 {
		return nil, false
	}
	units, sign := total.CoefficientInt64(), int64(1)
	if units < 0 {
		units, sign = -units, -1
	}
	rest := uint64(units)
	for i := range list {
		hi, lo := bits.Mul64(uint64(units), list[i].part)
		list[i].quo, list[i].rem = bits.Div64(hi, lo, sum)
		rest -= list[i].quo
	}
	slices.SortStableFunc(list, func(a, b wordShare) int { return cmp.Compare(b.rem, a.rem) })
	shares = make([]decimal.Decimal, len(weights))
	for i, s := range list {
		if uint64(i) < rest {
			s.quo++
		}
		shares[s.at] = decimal.New(sign*int64(s.quo), -digits)
	}
	return shares, true
}

// wordShare is a share in the making: the weight, and what dividing gives.
type wordShare struct {
	part, quo, rem uint64
	at             int
}

// word is a weight in units of a power of ten that divides it; ok is false where
// it has too many digits.
func word(w decimal.Decimal, exponent int32) (n uint64, ok bool) {
	if w.IsNegative() || int64(w.NumDigits())+int64(w.Exponent())-int64(exponent) > intDigits {
		return 0, false
	}
	n = uint64(w.CoefficientInt64())
	for range w.Exponent() - exponent {
		n *= 10
	}
	return n, true
}

// finest is the least exponent of some weights.
func finest(weights []decimal.Decimal) int32 {
	least := weights[0].Exponent()
	for _, w := range weights {
		least = min(least, w.Exponent())
	}
	return least
}

// wholes brings weights to whole numbers in the same proportions, with their sum.
func wholes(weights []decimal.Decimal) (parts []*big.Int, sum *big.Int) {
	exponent := finest(weights)
	parts, sum = make([]*big.Int, len(weights)), new(big.Int)
	for i, w := range weights {
		parts[i] = w.Shift(-exponent).BigInt()
		sum.Add(sum, parts[i])
	}
	return parts, sum
}

// Worth is round(quantity × price / per), half away from zero; per is positive.
func Worth(quantity, price decimal.Decimal, per int64, digits int32) decimal.Decimal {
	if d, ok := worthInWords(quantity, price, uint64(per), digits); ok {
		return d
	}
	return quantity.Mul(price).DivRound(decimal.NewFromInt(per), digits)
}

// worthInWords does the same in machine words, where the figures fit them and have
// decimals enough to be rounded.
func worthInWords(quantity, price decimal.Decimal, per uint64, digits int32) (worth decimal.Decimal, ok bool) {
	q, fits := word(quantity, quantity.Exponent())
	p, alsoFits := word(price, price.Exponent())
	over := -(quantity.Exponent() + price.Exponent() + digits) // decimals that are rounded off
	if !fits || !alsoFits || over < 0 || over > intDigits {
		return decimal.Decimal{}, false
	}
	for range over {
		if per > math.MaxInt64/10 {
			return decimal.Decimal{}, false
		}
		per *= 10
	}
	minor, ok := timesOver(q, p, per)
	return decimal.New(minor, -digits), ok
}

// timesOver is round(a × b / per), halves up; ok is false where an int64 does not
// hold it.
func timesOver(a, b, per uint64) (rounded int64, ok bool) {
	hi, lo := bits.Mul64(a, b)
	if hi >= per {
		return 0, false
	}
	quo, rem := bits.Div64(hi, lo, per)
	if rem >= per-rem {
		quo++
	}
	return int64(quo), quo <= math.MaxInt64
}

// Part is round(total × part / whole), half away from zero, and what is left of
// the total. Total is not negative and has no more digits than the minor unit;
// whole is positive, part between nothing and whole.
func Part(total decimal.Decimal, part, whole int64, digits int32) (share, rest decimal.Decimal) {
	if total.Exponent() != -digits || total.NumDigits() > intDigits || total.IsNegative() {
		share = total.Mul(decimal.NewFromInt(part)).DivRound(decimal.NewFromInt(whole), digits)
		return share, total.Sub(share)
	}
	// The usual case in whole minor units.
	units := total.CoefficientInt64()
	minor, _ := timesOver(uint64(units), uint64(part), uint64(whole)) // no more than the total
	return decimal.New(minor, -digits), decimal.New(units-minor, -digits)
}

// Sum adds up amounts of one currency whose minor unit has so many digits. It
// counts whole minor units, which nearly all amounts are, without making a
// decimal at every step; the sum is exact whatever the amounts are. The zero
// value is nothing, of a currency without a minor unit.
type Sum struct {
	Digits int32
	minor  int64
	other  decimal.Decimal // of the amounts that are not counted in minor units
}

// Add adds an amount.
func (s *Sum) Add(d decimal.Decimal) {
	if d.IsZero() {
		return
	}
	if d.Exponent() == -s.Digits && d.NumDigits() <= intDigits && s.minor < roomFor && s.minor > -roomFor {
		s.minor += d.CoefficientInt64()
		return
	}
	s.other = s.other.Add(d)
}

// Decimal is what was added up.
func (s *Sum) Decimal() decimal.Decimal {
	switch {
	case s.minor == 0:
		return s.other
	case s.other.IsZero():
		return decimal.New(s.minor, -s.Digits)
	}
	return s.other.Add(decimal.New(s.minor, -s.Digits))
}

// Or is what Decimal gives, which is known already where the sum is the same as
// another one.
func (s *Sum) Or(same *Sum, known decimal.Decimal) decimal.Decimal {
	if *s == *same {
		return known
	}
	return s.Decimal()
}

// roomFor is how far from nothing a count of minor units may be if one amount
// more shall fit.
const roomFor = 1 << 62

// intDigits is how many digits an int64 always holds.
const intDigits = 18

// maxWhole is up to where every whole number has a float64 of its own.
const maxWhole = 1 << 53

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
	if math.Abs(f) < maxWhole && f == math.Trunc(f) { // without looking for the digits of a fraction
		return decimal.NewFromInt(int64(f)), true
	}
	return decimal.NewFromFloat(f).Round(floatDigits), true
}
