package reports

import (
	"math"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Kind is what sort of figure a value is.
type Kind int

// The kinds of figure.
const (
	KindText Kind = iota
	KindCount
	KindQuantity // pieces, metres or grams: up to six decimals
	KindMoney
	KindPrice // as typed, any number of decimals
	KindHours
	KindGrams
	KindPercent
	KindDate
	KindTick // nothing: a box to tick on paper
)

// Format tells how a figure is written.
type Format struct {
	Kind   Kind
	Digits int32 // decimals that a reader sees
	Keep   int32 // decimals that files keep
	Trim   bool  // files drop zeros at the end beyond Digits
	All    bool  // a reader sees all that files keep
}

// The formats that do not hang on a currency.
var (
	AsText     = Format{Kind: KindText}
	AsCount    = Format{Kind: KindCount}
	AsQuantity = Format{Kind: KindQuantity, Keep: 6, Trim: true, All: true}
	AsHours    = Format{Kind: KindHours, Digits: 2, Keep: 6, Trim: true}
	AsGrams    = Format{Kind: KindGrams, Digits: 1, Keep: 3, Trim: true} // of a piece; see asBatchGrams
	AsPercent  = Format{Kind: KindPercent, Keep: 4, Trim: true, All: true}
	AsDate     = Format{Kind: KindDate}
)

// asBatchGrams is the format of what a whole batch takes.
var asBatchGrams = Format{Kind: KindGrams, Keep: 3, Trim: true}

// priceDigits bounds the decimals of a price as typed.
const priceDigits = 12

// unitDigits are the decimals kept of money per unit.
const unitDigits = 4

// AsMoney is the format of amounts in a currency: its minor digits.
func AsMoney(c bom.Currency) Format {
	return Format{Kind: KindMoney, Digits: c.Digits, Keep: c.Digits}
}

// AsUnitMoney is the format of money per unit: shown to the minor unit, kept
// to four decimals.
func AsUnitMoney(c bom.Currency) Format {
	return Format{Kind: KindMoney, Digits: c.Digits, Keep: max(unitDigits, c.Digits)}
}

// AsPrice is the format of prices as typed: all their decimals, and no fewer
// than the currency's minor digits.
func AsPrice(c bom.Currency) Format {
	return Format{Kind: KindPrice, Digits: c.Digits, Keep: priceDigits, Trim: true, All: true}
}

// Dashed tells whether a reader sees a dash where there is nothing: of amounts, counts,
// times and masses, but not of what was typed, whose 0 says something.
func (f Format) Dashed() bool {
	return f.Kind == KindMoney || f.Kind == KindCount || f.Kind == KindHours || f.Kind == KindGrams
}

// Numeric tells whether figures of the format are set flush right.
func (f Format) Numeric() bool { return f.Kind != KindText && f.Kind != KindDate && f.Kind != KindTick }

type content int

const (
	nothing content = iota
	text
	number
	date
	unknown
)

// Value is one cell: nothing, text, a number, a date, or unknown.
type Value struct {
	what   content
	text   string
	number decimal.Decimal
	date   bom.Date
	format *Format // where it differs from its column's
}

// Nothing is a cell to which nothing applies.
func Nothing() Value { return Value{} }

// Text is a cell that holds text; empty text is nothing.
func Text(s string) Value {
	if s == "" {
		return Value{}
	}
	return Value{what: text, text: s}
}

// Number is a cell that holds a number.
func Number(d decimal.Decimal) Value { return Value{what: number, number: d} }

// Count is a cell that holds a whole number.
func Count(n int) Value { return Number(decimal.NewFromInt(int64(n))) }

// Quantity is a cell that holds a quantity.
func Quantity(q bom.Quantity) Value { return Number(q.Decimal()) }

// Float is a cell that holds a time, a mass or a length; what is no number is
// unknown.
func Float(f float64) Value {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return Unknown()
	}
	return Number(decimal.NewFromFloat(f))
}

// Measure is a cell that holds a figure that may be unknown.
func Measure(m bom.Measure) Value { return Float(m.Value).unless(!m.Known) }

// Date is a cell that holds a date, or nothing where none is known.
func Date(d bom.Date) Value {
	if d.IsZero() {
		return Value{}
	}
	return Value{what: date, date: d}
}

// Unknown is a cell whose figure cannot be had.
func Unknown() Value { return Value{what: unknown} }

// known gives the number, or unknown where it cannot be relied on.
func known(d decimal.Decimal, unpriced bool) Value { return Number(d).unless(unpriced) }

// unless is the value, or unknown where it cannot be relied on.
func (v Value) unless(unknown bool) Value {
	if unknown {
		return Unknown()
	}
	return v
}

// where is the value, or nothing where there is none of it.
func (v Value) where(is bool) Value {
	if !is {
		return Nothing()
	}
	return v
}

// As gives the value a format other than its column's.
func (v Value) As(f Format) Value {
	v.format = &f
	return v
}

// FormatIn is the format that holds for a value in a column.
func (v Value) FormatIn(c Column) Format {
	if v.format != nil {
		return *v.format
	}
	return c.Format
}

// IsNothing tells whether the cell is empty.
func (v Value) IsNothing() bool { return v.what == nothing }

// IsUnknown tells whether the figure cannot be had.
func (v Value) IsUnknown() bool { return v.what == unknown }

// IsText tells whether the cell holds text.
func (v Value) IsText() bool { return v.what == text }

// Decimal gives the number; ok is false for all other cells.
func (v Value) Decimal() (d decimal.Decimal, ok bool) { return v.number, v.what == number }

// Day gives the date; ok is false for all other cells.
func (v Value) Day() (d bom.Date, ok bool) { return v.date, v.what == date }

// unknownMark stands for every figure that cannot be had.
const unknownMark = "?"

// Shown is the value as a reader sees it: thousands are grouped, and a date has its month
// in letters.
func (v Value) Shown(f Format) string {
	if v.what == date {
		return ShownDate(v.date)
	}
	d, ok := v.Decimal()
	switch {
	case ok && !f.All:
		return bom.Grouped(d.StringFixed(f.Digits))
	case ok:
		return bom.Grouped(v.Exact(f))
	}
	return v.Exact(f)
}

// ShownDate is a date as a reader sees it: "29 Dec 2026".
func ShownDate(d bom.Date) string {
	if d.IsZero() {
		return ""
	}
	return time.Date(int(d.Year), time.Month(d.Month), int(d.Day), 0, 0, 0, 0, time.UTC).Format("2 Jan 2006")
}

// ShownCount is a whole number as a reader sees it.
func ShownCount(n int) string { return bom.GroupedCount(n) }

// Exact is the value as files keep it.
func (v Value) Exact(f Format) string {
	switch v.what {
	case text:
		return v.text
	case date:
		return v.date.String()
	case unknown:
		return unknownMark
	case number:
		if f.Trim {
			return trimmed(v.number, f)
		}
		return v.number.StringFixed(f.Keep)
	}
	return ""
}

// trimmed writes up to Keep decimals without the zeros at the end that go
// beyond Digits.
func trimmed(d decimal.Decimal, f Format) string {
	places := min(f.Keep, max(f.Digits, -d.Exponent())) // the zeros beyond would go
	s := d.StringFixed(places)
	least := len(s) - int(places-f.Digits)
	for len(s) > least && s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}

// list writes whole numbers as "10, 40, 1,000".
func list(batches []cost.BatchID) string {
	return strings.Join(bom.Each(batches, func(id *cost.BatchID) string { return id.Shown() }), ", ")
}
