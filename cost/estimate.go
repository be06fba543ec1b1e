package cost

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Estimate is the whole answer: what one run costs at each batch size.
type Estimate struct {
	Name        string       // of the unit: its BOM's file name without the ending
	Currency    bom.Currency // home
	Level       bom.Level    // that of all products; none where they differ
	Products    []Product    // one, but of a programme
	Complete    bool         // nothing lacks a price
	Today       bom.Date     // day 0 of the plans; none where it is not known
	WorkingDays bom.Workdays // on which orders move and hands work
	Entries     []Entry      // BOM lines, flattened, in BOM order
	Unfitted    []Entry      // lines that are not fitted, or not at this level
	Boards      []Board      // board types
	Parts       []Part       // what is bought under one key
	Batches     []Batch
	RunningOut  []StockCover // parts whose cover is thin, the least first
	Assumptions []string     // what was guessed where the lists do not say it, grouped
	Warnings    []string
	Cautions    []Caution
	Sources     []Source
	Terms       *Terms // what formulas start from; nil where an estimate was not computed from a run
	picked      *picked
}

// Placed tells whether the assembler places or fits a line in every batch.
func (e *Estimate) Placed(line *Entry) bool {
	return !slices.ContainsFunc(e.Batches, func(b Batch) bool { return !b.Places(line) })
}

// Uses tells whether some batch has any of a line.
func (e *Estimate) Uses(at int) bool {
	return slices.ContainsFunc(e.Batches, func(b Batch) bool { return b.Uses(&e.Entries[at], at) })
}

// Shape is what a board is beside its parts: the boards that a panel holds.
func (e *Estimate) Shape(board int) string {
	if board >= len(e.Boards) {
		return ""
	}
	held := func(h *Held) string { return fmt.Sprintf("%d × %s", h.Per, e.Boards[h.Board].Name) }
	return strings.Join(bom.Each(e.Boards[board].Holds, held), ", ")
}

// Caution is a warning about safety or law that the run gives reason for.
type Caution struct {
	Text   string
	Source string // standard or law it comes from
	User   string // what it means for who gets a unit; empty: nothing
}

// Source is one figure of the price sheet that the estimate rests on.
type Source struct {
	What  string // "setting", "exchange", "supplier", "offer", "board", …
	Name  string
	Value string // in words, where it is not one figure
	AsOf  bom.Date
	Place bom.Place // zero for a default
	Note  string    // "default" or the note in the sheet

	Amount decimal.NullDecimal // the figure, where it is one
	Unit   string              // what Amount is counted in
}

// Terms are the figures of the price sheet that the sums start from, for
// writers that show how a sum is made.
type Terms struct {
	Settings   bom.Settings
	Rates      []TermRate           // home currency first
	Suppliers  []bom.Supplier       // all that an order goes to, or could go to
	Offers     []Offer              // all offers of what the run may buy, numbered from 1 in this order
	Assemblers []*bom.Assembler     // whose rates may be paid
	Tiers      []*bom.AssemblyQuote // that may be paid
	Shares     []string             // what the rules of who pays apply to
}

// TermRate is what one unit of a currency is worth at home.
type TermRate struct {
	Currency bom.Currency
	Rate     decimal.Decimal
	Place    bom.Place // zero for the home currency
	AsOf     bom.Date
}

// Offer is a price of a part, a lot of boards or a spool, whether it was taken
// or not.
type Offer struct {
	Kind     string // Goods, Lots or Filament
	Index    int    // into Estimate.Parts; into Estimate.Boards for bare boards
	Part     string
	Supplier int // index into Terms.Suppliers
	Code     string
	Pieces   bom.Quantity // in one order unit
	MOQ      int64        // fewest order units that are sold
	Multiple int64        // order units are sold in multiples of it
	Most     int64        // order units that can be had; -1: any number
	Currency bom.Currency
	SetUp    decimal.Decimal     // once, in Currency
	LineFee  decimal.Decimal     // once, in Currency; no goods
	Heading  int                 // number of the customs heading, from 1; 0: none
	Duty     decimal.NullDecimal // %; null: the supplier's
	Row      bom.Origin
	Worth    Worth
	Breaks   []OfferBreak // by rising From
	AsOf     bom.Date
}

// Worth is what a surplus of an offer is worth, in % of what it costs.
type Worth struct {
	Percent decimal.Decimal
	Place   bom.Place // of the percentage; zero where the setting holds
	Setting string    // that holds; empty where the offer says it
}

// OfferBreak is the price of one order unit from a number of them on.
type OfferBreak struct {
	From  int64
	Price decimal.Decimal
	Place bom.Place
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
