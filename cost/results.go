package cost

import (
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Limit is how many units the stock of one part builds.
type Limit struct {
	Part     string
	Units    int          // fewer than were asked about
	Stock    bom.Quantity // pieces that can be had, on hand included
	Required bom.Quantity // pieces for the units that were asked about, with the allowance; 0 of filament
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
