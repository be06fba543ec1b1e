package cost

import (
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Extra is what one rule, or one thing that is taken for gone, adds to the cash of each
// batch, taken alone.
type Extra struct {
	Rule    string
	Batches []ExtraCash // one for each batch of the run
}

// ExtraCash is a change of cash against the plan without any. Where it
// leaves something that cannot be bought, it is not known.
type ExtraCash struct {
	Cash     decimal.Decimal
	Unpriced bool
}

// Shortages are the parts that run short, with every way out.
type Shortages struct {
	Parts    []Shortage // by batch, then by part
	Together []Joint    // of each batch at which several parts run short
}

// Shortage is a part that one batch wants more of than can be had, with every way out, the
// best first: by the unit cost, then by the day. All else of the run is as if in stock.
type Shortage struct {
	Part           string
	Batch          BatchID
	Size           int
	Left, Required bom.Quantity // pieces that can be had, on hand included; and needed with the allowance
	Before         State        // the run with the part in stock
	Ways           []Way
	Barred         []*bom.Substitute // that the price sheet does not allow
	Lacking        []string          // substitutes of which there is not enough either
	Near           []NearMiss        // of the list or the tab offers, to think about; none is ever used
}

// NearMiss is a passive that differs from another in one thing that a designer might agree to.
type NearMiss struct{ Part, How string }

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

// Joint is the best choice of a way for each of several parts of one batch, by the least
// landed cash + own work and then the earliest day.
type Joint struct {
	Batch   BatchID
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

// Limit is how many units the stock of one part builds.
type Limit struct {
	Part  string
	Units int
	Stock bom.Quantity // offers and drawer together
}

// Costs is what one batch costs, and how far its purchases may be over the
// cheapest: 0 where they are proven.
type Costs struct {
	Amounts
	OffBy decimal.Decimal
}

// Taken is a substitute that a batch takes because that is cheaper, or because it cannot be
// bought otherwise.
type Taken struct {
	Part, Substitute string
	Row              *bom.Substitute
	Pieces, Of       bom.Quantity    // that are of the substitute, of all that the lines of the part need
	Units            int             // begun that have some of it
	Saves            decimal.Decimal // landed cash and hand work against the part alone, all else as it is
	Wanted           bool            // the batch cannot be bought without
	Lines            []int           // with the substitute, indices into Estimate.Entries
}

// StockCover is how far what suppliers have of a part goes.
type StockCover struct {
	Part        Part
	Batches     []BatchCover // one for each batch size
	Stock       bom.Quantity // that can be ordered of all offers together, pieces
	Enough      bool         // some offer states no stock, which counts as enough
	Offers      []StockOffer // by supplier and order code
	Sources     int          // suppliers that some can be ordered from
	Substitutes []string     // that may be taken, those of the price sheet first

	MayRunOut  bool // the cover of some batch is thin
	FewSources bool // fewer than the setting asks for
	OldDays    int  // age of the oldest figure that the cover rests on, where that is too old; else 0

	index int // of the part in the model
}

// BatchCover is how often the stock holds what one batch requires.
type BatchCover struct {
	Batch  BatchID
	Size   int
	Demand bom.Quantity        // to be bought, allowance included, pieces
	Cover  decimal.NullDecimal // stock ÷ demand, cut to two decimals; not valid where the stock is enough or nothing is to be bought
}

// StockOffer is what one supplier has of a part under one order code.
type StockOffer struct {
	Supplier  string
	Code      string
	Stock     bom.Quantity // as the price sheet states it, pieces; 0 where it is Enough
	Enough    bool         // the price sheet states none
	Most      bom.Quantity // of it, what can be ordered in whole orders; bom.MaxQuantity where it is Enough
	AsOf      bom.Date     // of the figure; none where the row has no date
	OldDays   int          // age of the figure, where that is over the limit of the setting; else 0
	LeadDays  int
	LeadKnown bool
}

// Making is a way to have the boards of a batch made, beside the one that is taken.
type Making struct {
	Assembler string
	Fitted    bool            // it fits the through-hole parts too
	Panels    []string        // that are made
	More      decimal.Decimal // landed cash and hand work over those of the batch
	Landed    decimal.Decimal // of that, landed cash
	Hours     float64         // of hand work over those of the batch; negative: fewer
	Unpriced  bool            // something cannot be bought
}

// Held are the boards of one type on a panel.
type Held struct {
	Board int // index into Estimate.Boards
	Per   int // on a panel
	Good  int // of those, what is not marked as bad
}

// Split is an amount that several products share: what one payer bears of something, or
// without a payer the boards of a type.
type Split struct {
	What     string
	Category Category
	Payer    string
}

// Till is the same as figures.
type Till struct {
	Paying, Payments           int
	By                         []int // of Paying, those of each product
	Asked, Cash, Reclaim, Cost decimal.Decimal
}

// held are the boards on a panel, or of a board type one.
func held(boards []Board, i int) []Held {
	if held := boards[i].Holds; len(held) > 0 {
		return held
	}
	return []Held{{Board: i}}
}

// Part is what is bought under one key: all lines of one part number, or all
// printed parts of one material.
type Part struct {
	Key         string
	Description string
	Unit        string   // what is counted: "pieces", "g"
	Entries     []int    // indices into Estimate.Entries
	Machine     bool     // some of it is placed by the assembler
	PaidAs      []string // of a material: the printed parts that rows of who pays name, by name; first, without a name, what others take

}

// BatchID tells a batch from the others of its run, and heads it: its size, or where several
// plans have as many units in all the name of its plan.
type BatchID string

// Size is the size that it is; not ok where it is the name of a plan.
func (id BatchID) Size() (size int, ok bool) {
	size, err := strconv.Atoi(string(id))
	return size, err == nil
}
