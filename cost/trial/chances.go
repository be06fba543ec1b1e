package trial

import (
	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/cost/chance"
)

// Chances are what the batches may turn out to cost.
type Chances struct {
	Trials  int
	Seed    uint64
	Budget  decimal.Decimal // as asked for; 0: none
	Batches []Outlook       // one for each batch of the run
}

// Outlook is what may become of one batch when its purchases and starts are
// held as they are planned. Money is in home currency.
type Outlook struct {
	Unit     Three // used, per good unit and no more than are wanted
	Cash     Three
	InBudget float64 // share of the trials within the budget; 0 where there is none
	Enough   float64 // share of the trials in which all units that are wanted come out good
	NoneGood int     // trials in which no unit comes out good; Unit takes them for one
	Plates   bool    // some may fail
	Spreads  []Spread
}

// Three are P10, P50 and P90.
type Three = chance.Three

// Spread is how much one input carries: what becomes of the unit cost when it
// alone is drawn, with all else as planned. Money is in home currency.
type Spread struct {
	cost.Ranged
	From, To float64 // P10 and P90 of the unit cost
	OffBy    float64 // standard deviation of the unit cost: how far it typically lies off its mean
	Share    float64 // square of that as a share of the sum over all inputs; 0 where the sum is 0
}
