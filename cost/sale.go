package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/cost/sum"
)

// Charge is the price of a unit that is paid for, and what becomes of the money; nothing
// where all units are free. The price is UnitCost + Fee + Margin + Tax + Rounding.
type Charge struct {
	UnitCost decimal.Decimal // what the maker's part of the batch costs, by unit that is paid for
	Fee      decimal.Decimal // of the payment, for what is asked of the recipient as well
	Margin   decimal.Decimal // the margin's share of the price before tax
	Tax      decimal.Decimal // sales tax
	Rounding decimal.Decimal // what rounding up adds
	Price    decimal.Decimal // tax included, rounded up to the step
	Income   Income          // at that price
}

// Income is both sides of the account at a price, home currency.
type Income struct {
	Sold  decimal.Decimal // of all units that are paid for
	Asked decimal.Decimal // of all recipients, for what they bear
	In    decimal.Decimal // Sold + Asked
	Fees  decimal.Decimal // of all payments
	Tax   decimal.Decimal // sales tax in what comes in
	Net   decimal.Decimal // In − Fees − Tax
	Stays decimal.Decimal // of that, less the cash that the maker and the recipients pay and do not reclaim
	Over  decimal.Decimal // the same, less what their part of the batch costs
}

// Quote is what the units of a batch are offered for, home currency, sales tax included.
type Quote struct {
	Lines []QuoteLine
	All   decimal.Decimal // of the lines that are not open
	Tax   decimal.Decimal // sales tax in it
}

// QuoteLine is one price of a quote: that of the units, or what recipients are asked for
// besides.
type QuoteLine struct {
	Product  int
	Share    bool   // what recipients bear
	Free     bool   // of units that are given away
	Zone     string // where the units go; empty: anywhere
	Units    int
	Each     decimal.Decimal
	All      decimal.Decimal
	Open     bool // how many of the units are paid for is not known, and so neither Units nor All
	Unpriced bool
}

// Ask is what the recipients of the units are asked for.
type Ask struct {
	Payer    string          // what they are called in the tab who pays; empty: they bear nothing
	Each     decimal.Decimal // asked of who pays for a unit besides, in whole steps
	Free     decimal.Decimal // asked of who is given one
	Unpriced bool
}

// Till is what comes in and goes out of a batch whatever the price.
type Till struct {
	Paying, Payments           int
	By                         []int // of Paying, those of each product
	Asked, Cash, Reclaim, Cost decimal.Decimal
}

// tillSums are the same as sums.
type tillSums struct {
	sales               []saleSums // one for each product
	paying, payments    sum.Ref    // units that are paid for; payments, those of free units included
	asked               sum.Ref    // of all recipients, for what they bear
	cash, reclaim, cost sum.Ref    // of the maker and the recipients: paid, coming back, consumed
	fee, fixed, tax     sum.Ref    // settings
}

// saleSums are what is asked for a unit of a product.
type saleSums struct {
	product          int
	at               int     // of its keys among those of the price, and of totals: see saleKey
	paying, payments sum.Ref // units that are paid for; payments, those of free units included
	each, ofFree     sum.Ref // asked of a recipient for a unit, and for a free one
	share            sum.Ref // cash that the recipients bear of a unit
	price            sum.Ref
}
