package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Amounts is what one thing costs in one batch, in home currency and whole
// minor units. Always Cash + Own + Stock = Consumed + Surplus + Reclaim. Where
// Unpriced is set, something has no price: the figures hold only what is known, and
// writers show "?" in their place.
type Amounts struct {
	Cash     decimal.Decimal // paid to others
	Own      decimal.Decimal // value of labour that nobody is paid for, and of wear of one's own printers
	Stock    decimal.Decimal // value of what is taken from stock on hand
	Consumed decimal.Decimal // what the batch costs
	Surplus  decimal.Decimal // of the cash, what stays behind as stock is worth
	Reclaim  decimal.Decimal // of the cash, import tax that comes back
	Unpriced bool
}

// Category is one of the headings that money falls under.
type Category int

// Categories lists the categories in order.
var Categories = func() []Category {
	all := make([]Category, categoryCount)
	for i := range all {
		all[i] = Category(i)
	}
	return all
}()

var categoryNames = [categoryCount]string{
	"bare boards", "SMT assembly", "SMT parts", "through-hole parts", "fasteners",
	"printed parts", "other parts", "tooling", "packing", "postage", "delivery", "duty and tax", "labour",
}

// categoryCalled finds a category by its name.
func categoryCalled(name string) (Category, bool) {
	for _, c := range Categories {
		if bom.Fold(c.String()) == bom.Fold(name) {
			return c, true
		}
	}
	return 0, false
}

// String gives the category's name.
func (c Category) String() string { return categoryNames[c] }

// Value is what goes into something in all: paid, worked or taken from stock on hand.
func (a Amounts) Value() decimal.Decimal { return decimal.Sum(a.Cash, a.Own, a.Stock) }

// Plus adds two amounts.
func (a Amounts) Plus(b Amounts) Amounts {
	return Amounts{
		Cash:     a.Cash.Add(b.Cash),
		Own:      a.Own.Add(b.Own),
		Stock:    a.Stock.Add(b.Stock),
		Consumed: a.Consumed.Add(b.Consumed),
		Surplus:  a.Surplus.Add(b.Surplus),
		Reclaim:  a.Reclaim.Add(b.Reclaim),
		Unpriced: a.Unpriced || b.Unpriced,
	}
}

// The categories, in the order in which they are shown.
const (
	BareBoard Category = iota
	SMTAssembly
	SMTParts
	ThroughHoleParts
	Fasteners
	PrintedParts
	OtherParts
	Tooling
	Packing
	Postage
	Delivery
	DutyAndTax
	Labour
	categoryCount
)
