// Package quoting works out what suppliers' quotes change in the offers of a price sheet.
// [Enter] is all there is to call: the lines that it gives tell what became of each part,
// and the offers what is to be written.
package quoting

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// Kind is what a quote means to the price sheet.
type Kind int

// The kinds, in the order in which they are told.
const (
	Dearer Kind = iota
	Cheaper
	New
	Unpriced // a known part that nothing is asked for
	Unknown  // no part of the price sheet
	Unchanged
)

// Kinds lists the kinds in order.
var Kinds = []Kind{Dearer, Cheaper, New, Unpriced, Unknown, Unchanged}

var kindNames = [...]string{"dearer", "cheaper", "new", "no price", "unknown", "unchanged"}

// String gives the kind's name.
func (k Kind) String() string { return kindNames[k] }

// Entered is what quotes change in the tab offers.
type Entered struct {
	Lines  []Line  // by kind, the greatest changes first, else as in the quotes
	Offers []Offer // to be written, as in the quotes
}

// Count counts the lines of a kind.
func (e *Entered) Count(kind Kind) int {
	n := 0
	for _, l := range e.Lines {
		if l.Kind == kind {
			n++
		}
	}
	return n
}

// Line tells of one part of a quote.
type Line struct {
	Kind     Kind
	Part     string // as the price sheet names it, else as the quote does
	Supplier string
	Code     string
	From     int64           // order units at which the prices are compared; 0: there are none
	Was      decimal.Decimal // of an order unit, in WasIn
	WasIn    bom.Currency    // zero: there was no price
	Is       decimal.Decimal // of an order unit, in IsIn
	IsIn     bom.Currency
	Percent  decimal.NullDecimal // by which a piece is dearer or cheaper, one decimal
	Besides  []string            // what else is said or changes
}

// Offer is an offer as it shall stand in the tab offers. What is 0 or
// empty stays as it is there.
type Offer struct {
	Old      *bom.Offer // nil: it is new
	Part     string
	Supplier string
	Code     string
	Currency bom.Currency
	Breaks   []Break // all that shall hold, by rising From

	StockSaid bool
	Stock     int64 // -1: enough
	MOQ       int64
	Multiple  int64
	Pieces    bom.Quantity
	AsOf      bom.Date
	At        bom.Place // in the quote
}

// Break is a price of an offer from a number of order units on.
type Break struct {
	From  int64
	Price decimal.Decimal
	Fresh bool // the quote says so; else it stands in the price sheet and stays
	Asked bool // for that quantity alone, not in a list of breaks
}

// enterer works out what quotes change.
type enterer struct {
	run      Entering
	names    *partname.Known
	rates    map[string]decimal.Decimal
	offers   map[[2]string][]int // part and supplier, folded -> offers
	result   Entered
	problems bom.Problems
	told     map[string]bool // complaints that are given once

	suppliers    map[string]string // folded -> as the price sheet spells it
	supplierList []string
}

// draft is what quotes say of one offer.
type draft struct {
	part, supplier, code string
	old                  *bom.Offer // nil: a new one
	quoted               []*bom.QuotedPart
}

// Entering is what is to be entered into a price sheet.
type Entering struct {
	Prices     *bom.Prices
	Unit       *bom.Assembly // parts of it are known besides those of the price sheet; nil: none
	Quoted     []bom.QuotedPart
	Supplier   string       // of parts whose quote names none
	Currency   bom.Currency // of prices whose quote names none; zero: the supplier's
	Today      bom.Date     // the date of prices whose quote gives none
	AddUnknown bool         // parts that nothing knows are entered under their own part number
}

// once tells whether a complaint has not been given yet.
func (e *enterer) once(key string) bool {
	if e.told[key] {
		return false
	}
	e.told[key] = true
	return true
}

// warn tells of something that may be met in many offers; about names this one.
func (e *enterer) warn(at bom.Place, what, want, about string) {
	e.problems.Add(bom.Problem{Place: at, Severity: bom.Warning, What: what, Found: about, Want: want, Each: about})
}
