package buy

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Problem is what a batch has to buy and where it can be bought.
type Problem struct {
	Home         bom.Currency
	CIF          bool // the value that duty is worked out from holds the delivery
	TaxRecovered bool // import tax is not counted, but its handling is
	Suppliers    []Supplier
	Parts        []Part
	Assembler    int // index of the supplier that places the parts, -1: none
	AtMost       int // orders at most, one of fixed goods included; 0: no bound

	// Effort is how many steps the proof of one plan may take; then the best
	// plan found so far is returned with its bound. A step is a fixed piece of
	// work, so that the same problem stops at the same place on any machine.
	// 0: DefaultEffort.
	Effort int64

	// Stop is asked now and then; true gives the plan up as if its effort were
	// spent. It is for a run whose result nobody waits for any more. Nil: never.
	Stop func() bool
}

// DefaultEffort is the number of steps that are spent on one plan where nothing
// else is said: at most two seconds of a slow core.
const DefaultEffort = 5_400_000

// Supplier is somebody an order goes to, with the charges of that order.
type Supplier struct {
	Name         string
	Currency     bom.Currency
	Rate         decimal.Decimal     // home currency for one; not read where Currency is home
	Delivery     decimal.Decimal     // supplier's currency
	FreeOver     decimal.NullDecimal // goods from which delivery is free, supplier's currency
	MinOrder     decimal.Decimal     // goods below which the difference is paid, supplier's currency
	Duty         decimal.Decimal     // % of the value, of lines that have none of their own and of what is no line
	Tax          decimal.Decimal     // % of value, delivery and duty
	DutyFreeUpTo decimal.Decimal     // value, home currency; up to there only FlatDuty is asked
	TaxFreeUpTo  decimal.Decimal     // value, home currency
	FlatDuty     decimal.Decimal     // for each different heading of the lines, home currency
	Handling     decimal.Decimal     // once where duty or tax falls due, home currency
	Fixed        Fixed
	Consign      decimal.Decimal // per part number, supplier's currency; read for the assembler only
	PartsSent    bool            // what others send for the run counts to the value; read for the assembler only
}

// Fixed is what stands on an order already: boards, assembly fees, which have no
// heading. Amounts are rounded to their currency.
type Fixed struct {
	Ordered bool            // the order is made whatever else goes on it
	Amount  decimal.Decimal // supplier's currency
	Home    decimal.Decimal
	Sent    decimal.Decimal // at home: of boards and stock sent to the assembler, which then has an order; read where PartsSent
}

// Part is a part number with what the run needs of it.
type Part struct {
	Name    string
	Demand  bom.Quantity // 0: nothing to buy
	Offers  []Offer
	Machine bool // placed by machine: costs a consignment fee unless the assembler buys it
}

// Offer is one supplier's price for a part. Stock, MOQ, Multiple and the
// breaks count order units, each of which holds Pieces.
type Offer struct {
	Supplier int // index into Problem.Suppliers
	Code     string
	Currency bom.Currency
	Rate     decimal.Decimal // home currency for one; not read where Currency is home
	Pieces   bom.Quantity
	MOQ      int64
	Multiple int64
	Stock    int64 // -1: enough
	Breaks   []bom.Break
	LineFee  decimal.Decimal     // once on the line, offer's currency; no threshold of delivery or minimum counts it
	Heading  string              // for customs; empty: none. The same text is the same heading
	Duty     decimal.NullDecimal // %; null: the supplier's
	Worth    decimal.NullDecimal // % of what it cost that a surplus is worth; null: all of it
}

// Plan is what to order.
type Plan struct {
	Lines []Line     // by part, then offer, in the order of the problem
	Short []Shortage // parts that no combination covers; nothing of them is bought

	Landed decimal.Decimal // cash of all orders, home currency
	Bound  decimal.Decimal // no plan can cost less than this; equal to Landed where Proven
	Proven bool
	Steps  int64 // of the proof; see Problem.Effort

	// NotUnder is set where no plan costs less than Solver.Under; the plan is then empty but
	// for Short and Bound.
	NotUnder bool

	// TooFewOrders is set where Problem.AtMost orders cannot hold the
	// demand; the plan is then empty. Fewest is the least number that can.
	TooFewOrders bool
	Fewest       int
}

// Line is one line of an order.
type Line struct {
	Part     int   // index into Problem.Parts
	Offer    int   // index into Part.Offers
	Supplier int   // index into Problem.Suppliers
	Quantity int64 // order units
	Home     decimal.Decimal
}

// Shortage is a part whose demand no combination of offers covers.
type Shortage struct {
	Part   int
	Demand bom.Quantity
	Most   bom.Quantity // what can be bought at most
}
