package bom

import (
	"math/bits"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

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
func (q Quantity) String() string {
	if q.IsWhole() { // nearly all are
		return strconv.FormatInt(int64(q/One), 10)
	}
	s := q.Decimal().StringFixed(6)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// Times multiplies by a count; ok is false beyond MaxQuantity.
func (q Quantity) Times(n int64) (product Quantity, ok bool) {
	hi, lo := bits.Mul64(uint64(q), uint64(n))
	if q < 0 || n < 0 || hi != 0 || lo > uint64(MaxQuantity) {
		return 0, false
	}
	return Quantity(lo), true
}

// Mul multiplies two quantities (pieces per assembly times assemblies); ok is
// false beyond MaxQuantity or where the product has more than six decimals.
func (q Quantity) Mul(r Quantity) (product Quantity, ok bool) {
	hi, lo := bits.Mul64(uint64(q), uint64(r))
	if q < 0 || r < 0 || hi >= uint64(One) {
		return 0, false
	}
	quo, rem := bits.Div64(hi, lo, uint64(One))
	if rem != 0 || quo > uint64(MaxQuantity) {
		return 0, false
	}
	return Quantity(quo), true
}

// pieceUnits are words for pieces beside a quantity; common practice, no source.
var pieceUnits = map[string]bool{"pcs": true, "pc": true, "pce": true, "piece": true, "pieces": true, "ea": true, "each": true,
	"x": true, "off": true, "nos": true, "no": true, "stk": true, "st": true, "stück": true, "unit": true, "units": true,
	"个": true, "個": true, "只": true, "颗": true, "片": true, "枚": true, "本": true, "шт": true}

// setUnits are words for several pieces that are bought as one; common practice, no
// source.
var setUnits = map[string]bool{"set": true, "sets": true, "pair": true, "pairs": true, "kit": true, "kits": true, "pack": true, "packs": true,
	"pkg": true, "packet": true, "packets": true, "box": true, "boxes": true, "bag": true, "bags": true, "roll": true, "rolls": true, "reel": true,
	"reels": true, "spool": true, "spools": true, "strip": true, "strips": true, "sheet": true, "sheets": true, "bottle": true, "tube": true,
	"satz": true, "sätze": true, "paar": true, "rolle": true, "rollen": true, "jeu": true, "paire": true, "paires": true, "lot": true,
	"juego": true, "par": true, "pares": true, "rollo": true, "套": true, "对": true, "组": true, "卷": true, "包": true, "盒": true, "条": true,
	"张": true, "袋": true, "セット": true, "組": true, "комплект": true, "пара": true}

// lengthUnits give the metres of a unit of length. Inch and foot: NIST SP 811
// (2008), appendix B.8, exactly 0.0254 m and 0.3048 m.
var lengthUnits = map[string]decimal.Decimal{"m": decimal.New(1, 0), "metre": decimal.New(1, 0), "metres": decimal.New(1, 0),
	"meter": decimal.New(1, 0), "meters": decimal.New(1, 0), "cm": decimal.New(1, -2), "mm": decimal.New(1, -3),
	"in": decimal.New(254, -4), "inch": decimal.New(254, -4), "inches": decimal.New(254, -4),
	"ft": decimal.New(3048, -4), "foot": decimal.New(3048, -4), "feet": decimal.New(3048, -4)}

// Amount is a quantity as people type it: "2 pcs", "x4", "1 pair" or "30 cm".
type Amount struct {
	Figure string          // as it stands there: "30"
	Scale  decimal.Decimal // what the figure is multiplied by: 1 for pieces, metres for a length
	Length bool            // it is a length
	Sets   string          // the word for several pieces that are bought as one: "pair"
}

// SplitQuantity parts a quantity into its figure and the unit beside it. ok is false
// where something else stands with the figure.
func SplitQuantity(text string) (a Amount, ok bool) {
	s := strings.TrimSpace(foldWidth(text))
	if rest, cut := strings.CutPrefix(strings.ToLower(s), "x"); cut {
		s = strings.TrimSpace(rest)
	}
	i := 0
	for i < len(s) && (isDigit(s[i]) || strings.IndexByte(".,' ", s[i]) >= 0) {
		i++
	}
	unit := strings.ToLower(strings.TrimRight(strings.TrimSpace(s[i:]), ".)"))
	unit = strings.TrimLeft(unit, "(")
	a = Amount{Figure: strings.TrimSpace(s[:i]), Scale: decimal.New(1, 0)}
	if metres, known := lengthUnits[unit]; known {
		a.Scale, a.Length = metres, true
	}
	if setUnits[unit] {
		a.Sets = unit
	}
	return a, a.Figure != "" && isDigit(a.Figure[0]) && (unit == "" || a.Length || a.Sets != "" || pieceUnits[unit])
}
