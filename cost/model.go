package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/lots"
	"tenoff/cost/partname"
	"tenoff/cost/plan"
	"tenoff/cost/printing"
	"tenoff/cost/sum"
)

// Model is a run with everything worked out that does not depend on the batch
// size. It is not safe for concurrent use, since the solver of the purchases
// keeps its scratch space from one batch to the next: see twin.
type Model struct {
	run    Run
	prices *bom.Prices
	home   bom.Currency

	products productList
	plan     *bom.Plan // of a programme: the one that is worked out

	entries   []Entry
	unfitted  []Entry
	boards    []Board
	parts     []part
	partOf    map[string]int // folded key of a part -> index into parts
	spelled   map[string]int // the same by all names that lines give it, or severalParts
	described map[string]int // the same by descriptions that were taken for values

	supply supply
	buyers []buy.Supplier // suppliers, without their fixed goods

	making  making   // of the boards; of several, the first
	makings []making // all ways to have them made
	ways    []*Model // one for each of several

	solver    *buy.Solver
	costsOnly bool // the days of printing, which cost nothing, are left out, and the sums are not kept
	spare     *sum.Sheet

	bareBoards []bareBoard // one for each board type
	printed    []printedLine
	groups     []plateGroup
	work       []workRow
	swaps      []swap
	swapped    []bom.Quantity        // by swap: the pieces of the substitute; nil: not decided yet, and none
	decided    map[planSize]decision // where it is not in here it is yet to be
	payers     payerRules
	shareRows  []bom.Share // of the price sheet, by payer
	zones      []zone      // at least one for each product, which follow each other
	oneOffs    []oneOff

	terms *termList // suppliers and offers, numbered

	problems bom.Problems
}

// Prices is the price sheet that the model goes by: of a run in which something is taken for
// gone, with what is left.
func (m *Model) Prices() *bom.Prices { return m.prices }

// week is on which days from the day of the run on orders move and hands work.
func (m *Model) week() plan.Week { return m.prices.Settings.WorkingDays.From(m.run.Today) }

// productList are the products of a run: one, but of a programme.
type productList []product

// product is what is made, with what the post has to know of it.
type product struct {
	name  string
	level bom.Level
	unit  *bom.Assembly
	mass  mass
}

// part is a Part with its offers and what is on hand.
type part struct {
	Part
	canon      partname.Meaning // of value and package where there is no part number
	allowances []allowance
	offers     []buy.Offer
	cheapest   float64         // of a piece, at home, at the last break of some offer; 0 where there are none
	rows       []*bom.Offer    // offers came from these; nil for a spool
	spools     []*bom.Material // offers came from these; nil for a part
	ruledOut   bool            // the rules left none of its offers
	onHand     []*bom.OnHand   // in the order of the file
	sent       bool            // some of it is placed by the assembler, who does not provide it
	cuts       []cutLength     // that it is cut to, the longest first; none where it is not cut
	ringMM     bom.Quantity    // that leads of several lengths are cut from; 0 where nobody offers one
	in         []categoryLines // its lines by category, in the categories' order
	paidAs     [][]int         // the lines of each of PaidAs
}

// categoryLines are the lines of a part that fall in one category.
type categoryLines struct {
	category Category
	lines    []int
}

// bareBoard is what is known of one board type's bare boards: its quotes, by
// fabricator and option, and what is on hand.
type bareBoard struct {
	variants []variant
	onHand   []*bom.OnHand // in the order of the file
}

// variant is one fabricator's way of making a board. Lots of different options
// are different boards, so they are never mixed.
type variant struct {
	fabricator string
	option     string
	lots       []bom.Quote // by rising size
	cover      lots.Cover  // of the lots, home currency in units of 10⁻⁶, not rounded to the minor unit
	area       *bom.Quote  // set-up and rate for what is not quoted
}

// printedLine is one printed entry with all that its plates need.
type printedLine struct {
	pieceOn            // the printer that its plates are laid for
	others   []pieceOn // that may print it as well, in the order of the tab
	entry    int
	material int       // index into parts
	perPlate int       // as given or as the bed holds; 1 where neither is known
	packed   bool      // laid on beds by its size, with others of its group
	size     bom.Point // mm; where packed
	alone    bool      // one to a plate, since nothing says how many it holds
}

// pieceOn is what a piece takes on a printer; without one where no printer is known.
type pieceOn struct {
	printer *bom.Printer
	sources []printing.Piece // by precedence
	g       *printing.Piece  // what its mass is taken from
	hours   *printing.Piece  // what its hours are taken from
}

// by is what a piece takes on a printer; nil where that cannot print it.
func (pl *printedLine) by(p *bom.Printer) *pieceOn {
	if pl.printer == p {
		return &pl.pieceOn
	}
	return bom.First(pl.others, func(o *pieceOn) bool { return o.printer == p })
}

// grams is what filament is counted in.
const grams = "g"

// plateGroup are lines that share plates: packed ones of several parts, or those of
// one piece.
type plateGroup struct {
	lines   []int // indices into printed
	printer *bom.Printer
	packed  bool
}

// swap is a Swap with what it costs besides the part.
type swap struct {
	Swap
	row  *bom.Substitute // of the price sheet; nil where it has none
	like *bom.Line       // a line of the run with the substitute; nil where there is none
	used bool

	products []int // that have the part; of one that a batch may take, none are noted

	number   int   // of the row, where it is optional
	optional bool  // each batch decides how much of it is taken
	lines    []int // entries with the substitute, where not all units of all batches take it
}

// shareRule is how the money of one part, supplier or category is shared out.
type shareRule struct {
	number   int   // among the rules
	payers   []int // indices into payerRules.names
	names    []string
	percents []decimal.Decimal
	places   []bom.Place // of the percentages
}

// payerRules are looked through by part, then supplier, then category (6).
type payerRules struct {
	names                    []string     // of all payers, the maker first, then by name
	parts, boards, suppliers []*shareRule // nil where no row names it
	printed                  []*shareRule // by entry; nil where no row names the printed part
	categories               [categoryCount]*shareRule
	givers                   map[string]*shareRule // folded name: of what comes from stock
	maker, rest              *shareRule            // the maker bears all; whoever bears what no other rule is of
	of                       []string              // by the number of a rule: what it applies to
	recipients               int                   // index into names of the payer who is the recipients of the units; -1: none
}

// mass is what postage has to know of one packed unit.
type mass struct {
	grams   float64
	lines   int
	unknown int      // lines without a mass
	lacking []string // the first few of them
	size    [3]bom.Measure
	hazards []string // of all lines, each once
}

// zone is where parcels of a product go.
type zone struct {
	product  int
	mass     *mass
	row      *bom.Recipient // nil: no zones are given
	to       string         // its name, or the setting Post to
	per      int            // units that a full parcel holds
	services []*bom.Service // that go there and take a parcel of one unit, the cheapest first
	others   []*bom.Service // that go there and take none
}

// workRow is one row of hand work that counts at the level of the run.
type workRow struct {
	op    *bom.Operation
	count float64   // joints or pieces per unit, or 1
	place bom.Place // of the seconds
	swap  int       // 1 + index of the swap whose units it is done to; 0: to all

	of     []int // products whose units it is done to
	before []int // those whose units it is done to before
}

// termList are the terms of a run with what finds them.
type termList struct {
	Terms
	supplier []int          // by supplier of the model: its place among the terms'; -1: none
	first    []int          // by part: number of its first offer
	lots     map[lotKey]int // -> number
	breaks   []tableRow     // of all offers
	headings []string       // for customs, in the form in which they are compared
	fees     bool           // some lines cost a fee
	duties   bool           // some lines have a duty of their own
	table    *sum.Table     // of the breaks, by number of the offer and quantity
}

// tableRow is one break of one offer.
type tableRow struct{ offer, of int }

// lotKey finds the number of an offer of boards.
type lotKey struct{ board, variant, choice int }

// allowance is a row of the tab attrition.
type allowance struct {
	*bom.Allowance
	percent int64 // in millionths
}

// cutLength is a length that a part is cut to, with the lines that want it.
type cutLength struct {
	mm      bom.Quantity
	entries []int
}

// making is one way to have the boards of a run made: who populates them and at
// whose price, who fits their through-hole parts, and which of them stand on panels.
type making struct {
	assembler int            // index into suppliers; -1: SMT parts are hand work
	asks      *bom.Assembler // what it asks where it does not quote; nil: nothing
	quotes    []*quoted      // by board: at which it is populated; nil: by rates, or not at all
	fitted    bool           // the assembler fits the through-hole parts too
	panel     []int          // by board: index into boards of the panel that it is made on; -1: singly
}

// quoted are the tiers of an assembler's quote for a board or panel, by rising From.
type quoted struct {
	tiers    []*bom.AssemblyQuote
	included bool // the parts that it places are in the price
	handFit  bool
}

// oneOff is a row of the tab one-off with its category.
type oneOff struct {
	*bom.OneOff
	category Category
}

var hundred = decimal.NewFromInt(100)

const secondsPerHour = 3600

// level is how far the products are made, where all are as far.
func (ps productList) level() (level bom.Level) {
	for i := range ps {
		if i > 0 && ps[i].level != level {
			return 0
		}
		level = ps[i].level
	}
	return level
}

// furthest is how far the product is made that is made furthest.
func (ps productList) furthest() (level bom.Level) {
	for i := range ps {
		level = max(level, ps[i].level)
	}
	return level
}

// supply are the suppliers of a run, and what their currencies are worth.
type supply struct {
	list      []bom.Supplier             // those with a row first, then those only named
	keys      []string                   // folded names
	of        map[string]int             // folded name -> index into list
	namesakes map[string]int             // name as it is written -> index into list
	ruledOut  []string                   // why nothing is ordered from a supplier; empty: it may be
	rates     map[string]decimal.Decimal // currency code -> home for one
	problems  *bom.Problems              // of the model
}
