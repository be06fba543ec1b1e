package waysout

import (
	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/partname"

	"github.com/shopspring/decimal"
)

// Shortages are the parts that run short, with every way out.
type Shortages struct {
	Parts    []Shortage // by batch, then by part
	Together []Joint    // of each batch at which several parts run short
}

// Shortage is a part that one batch wants more of than can be had, with every way out, the
// best first: by the unit cost, then by the day. All else of the run is as if in stock.
type Shortage struct {
	Part           string
	Batch          cost.BatchID
	Size           int
	Left, Required bom.Quantity // pieces that can be had, on hand included; and needed with the allowance
	Before         State        // the run with the part in stock
	Ways           []Way
	Barred         []*bom.Substitute // that the price sheet does not allow
	Lacking        []string          // substitutes of which there is not enough either
	Near           []NearMiss        // of the list or the tab offers, to think about; none is ever used
}

// WayKind is a kind of way out where a part runs short.
type WayKind int

// The ways out.
const (
	Elsewhere   WayKind = iota // offers that were left out
	Substituted                // a substitute for all units
	Mixed                      // the part as far as it goes, a substitute for the rest
	Waiting                    // what comes in later as well
	Fewer                      // as many units as there are parts for
)

// Way is a way out, and what it makes of the run, which is planned anew.
type Way struct {
	Kind       WayKind
	Substitute string
	Rule       string          // by which a passive may stand in; empty where the price sheet lists it
	Row        *bom.Substitute // where the price sheet does
	From, To   string          // land patterns of part and substitute, where they are known to differ
	Sellers    []string        // where the part is bought, or its substitute
	Expected   []*bom.Offer    // that are waited for
	State
}

// State is what matters of a batch when two ways to make it are compared. Money is in home
// currency.
type State struct {
	Size    int // units built
	Unit    decimal.Decimal
	Cash    decimal.Decimal
	Weight  decimal.Decimal // landed cash + own work, by which ways are chosen together
	Day     int             // at the start of which it is ready
	DayOpen bool            // it is not known, and not before Day
	Unknown bool            // something has no price
}

// grade puts what has a price before what has none.
func (s *State) grade() int {
	if s.Unknown {
		return 1
	}
	return 0
}

// Joint is the best choice of a way for each of several parts of one batch, by the least
// landed cash + own work and then the earliest day.
type Joint struct {
	Batch   cost.BatchID
	Size    int
	Before  State
	Parts   []string
	Ways    []Way     // one for each part, chosen
	Stuck   []string  // parts without a way out; nothing is chosen then
	Every   bool      // all choices were tried; else ways were changed one by one
	Tried   int       // choices
	Changes []Changed // what another way for one of the parts costs, the others as chosen
	State
}

// Changed is a joint choice with another way for one part.
type Changed struct {
	Part string
	Way  Way // with the state of the whole choice
}

// NearMiss is a passive that differs from another in one thing that a designer might agree to.
type NearMiss = partname.NearMiss
