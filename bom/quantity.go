package bom

import "github.com/shopspring/decimal"

// Quantity is a number of pieces, or of metres or grams where that is what a
// part is counted in, in exact millionths. Fixed point keeps the counting exact
// and an order of magnitude faster than decimals.
type Quantity int64

// One is one piece.
const One Quantity = 1_000_000

// MaxQuantity bounds what a run may need of one part: far over any small
// series, and low enough that sums cannot overflow.
const MaxQuantity = 1_000_000_000 * One

// Whole makes a quantity of n pieces.
func Whole(n int64) Quantity { return Quantity(n) * One }

// QuantityOf converts a decimal; ok is false where it has more than six
// decimals, is negative or exceeds MaxQuantity.
func QuantityOf(d decimal.Decimal) (q Quantity, ok bool) {
	s := d.Shift(6)
	if s.IsNegative() || !s.IsInteger() || s.GreaterThan(decimal.NewFromInt(int64(MaxQuantity))) {
		return 0, false
	}
	return Quantity(s.IntPart()), true
}

// IsWhole tells whether the quantity is a whole number of pieces.
func (q Quantity) IsWhole() bool { return q%One == 0 }

// Ceil is the number of whole pieces that hold q.
func (q Quantity) Ceil() int64 { return int64((q + One - 1) / One) }

// Decimal gives the quantity as a decimal number.
func (q Quantity) Decimal() decimal.Decimal { return decimal.New(int64(q), -6) }

// Float gives the quantity for geometry and time.
func (q Quantity) Float() float64 { return float64(q) / float64(One) }

// String writes the quantity without trailing zeros: "12", "0.35".
func (q Quantity) String() string { return q.Decimal().String() }

// Times multiplies by a count; ok is false beyond MaxQuantity.
func (q Quantity) Times(n int64) (product Quantity, ok bool) {
	if q < 0 || n < 0 || q > 0 && n > int64(MaxQuantity/q) {
		return 0, false
	}
	return q * Quantity(n), true
}

// Mul multiplies two quantities (pieces per assembly times assemblies); ok is
// false beyond MaxQuantity or where the product has more than six decimals.
func (q Quantity) Mul(r Quantity) (product Quantity, ok bool) {
	if q < 0 || r < 0 {
		return 0, false
	}
	return QuantityOf(q.Decimal().Mul(r.Decimal()))
}
