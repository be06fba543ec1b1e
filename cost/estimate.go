package cost

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// Estimate is the whole answer: what one run costs at each batch size.
type Estimate struct {
	Name        string       // of the unit: its BOM's file name without the ending
	Currency    bom.Currency // home
	Level       bom.Level    // that of all products; none where they differ
	Products    []Product    // one, but of a programme
	Complete    bool         // nothing lacks a price
	Today       bom.Date     // day 0 of the plans; none where it is not known
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

// Entry is one line of a bill of materials with its place in the unit.
type Entry struct {
	Line     *bom.Line
	Category Category
	Path     string       // boards and assemblies above it, "sensor board" or "stand / sensor board", of several products the name first; empty on the unit itself
	Product  int          // index into Estimate.Products
	PerUnit  bom.Quantity // of its product through all nesting; for machine-placed lines per unit as well
	Board    int          // index into Estimate.Boards of the board it sits on, or is; -1 for none
	PerBoard bom.Quantity // on one board, where Board ≥ 0
	Machine  bool         // placed by the assembler
	Part     int          // index into Estimate.Parts; -1 where nothing is bought under a key (printed parts, boards)
	Why      string       // in Unfitted: why it costs nothing

	fits   bool         // a through-hole part on a board, which the assembler may fit at the level of the product
	weighs bom.Quantity // of PerUnit, what no mass of a populated board holds

	StandsFor int  // 1 + index of the entry whose part it may stand in for; 0: for none
	Replaced  bool // others may stand in for its part; of it and of those a batch takes what it decides on
}

// Product is one of what is made together.
type Product struct {
	Name  string
	Level bom.Level
}

// Board is a board type.
type Board struct {
	Name       string
	PerUnit    int // of the products that have it; 0 where these differ
	Placements int // machine-placed, on one board
	Joints     int // of those
	Sides      int // with machine-placed parts
	HandParts  int // through-hole, on one board
	HandJoints int // of those
	Entry      int // the first line that names it; of a panel, its first board

	Holds []Held // of a panel: its boards; none of a board type

	rows      []*bom.PanelRow // of Holds
	partLines int             // distinct part numbers that an assembler places, without substitutes
	on        []boardOn       // by product
}

// boardOn is a board type in one product.
type boardOn struct {
	perUnit    int
	entry      int // the first line that names it; -1: none does
	handParts  int // through-hole, on one board
	handJoints int // through-hole, on one board
}

// ID tells the batch from the others of its run.
func (b *Batch) ID() BatchID {
	if b.alike {
		return BatchID(b.Name)
	}
	return BatchID(strconv.Itoa(b.Size))
}

// Batch is the answer for one batch size.
type Batch struct {
	Size       int            // good units wanted
	Name       string         // of a programme's plan; empty: it has none
	alike      bool           // another plan has as many units in all
	Starts     int            // units begun
	Products   []ProductRun   // one for each Estimate.Products, which Size and Starts are the sums over
	Assembler  string         // who populates boards; empty: nobody
	Fitted     bool           // the assembler fits their through-hole parts too
	Panels     []string       // that are made
	Boards     []BoardRun     // one for each Estimate.Boards; panels that are not made have none
	Lines      []Amounts      // one for each Estimate.Entries
	Needs      []bom.Quantity // one for each Estimate.Entries
	Parts      []PartRun      // one for each Estimate.Parts
	Cuts       []CutRing      // how rings are cut, part by part
	Purchases  []Purchase
	Orders     []Order
	Fees       []Fee
	Plates     []PlateRun   // one for each printed line and printer that prints some of it
	Groups     []PlateGroup // plates that parts share, or of one part
	Printed    float64      // plates expected to be printed until all that are wanted come out
	Printing   Printing
	Work       []Work
	Plan       Plan
	Categories [categoryCount]Amounts
	Total      Amounts
	WrittenOff decimal.Decimal // of what is consumed: what the surplus cost but is not worth
	Payers     []Payer
	Pots       []Pot
	Splits     []Split
	Ask        Ask
	Posts      []Post // at least one for each zone that recipients live in; for one where no zones are given
	Till       Till
	Charge     Charge
	Quote      Quote
	Sums       *sum.Sheet   // how every amount comes about; nil in a sweep and the like
	Why        Why          // where the run asks for it
	Record     *bom.Actuals // the plan to fill in, where the run asks for it; nil where something has no price
	dear       []dearStock  // stock on hand without which it would be cheaper
	boards     []boardOrder // as they are bought
	Others     []Making     // other ways to have its boards made, the best of each kind
	Full       int          // plans of purchases that were made in full to find it
	way        int          // the making by which its boards are made, of several
	till       tillSums
	effort     int64           // that their plan was given
	made       madeFor         // what of it is for which product, where a plan to fill in is asked for
	Swaps      []Taken         // substitutes that were decided on
	taken      []int           // by swap: the units begun that take the substitute
	takenBy    [][]int         // by swap and product: the same
	takes      []bom.Quantity  // by swap: the pieces that are of the substitute, where that was decided on
	beds       []bed           // what lies on the plates, by printer
	Proven     bool            // the purchases are proven cheapest; else see OffBy
	Bound      decimal.Decimal // no plan has a landed cash below this
	Landed     decimal.Decimal // of the purchases: goods, delivery, top-up, duty, tax, handling, consign fees
}

// PerUnit divides by the batch size.
func (b *Batch) PerUnit(amount decimal.Decimal) decimal.Decimal {
	return PerUnit(amount, b.Size)
}

// Places tells whether the assembler places or fits a line.
func (b *Batch) Places(e *Entry) bool { return e.Machine || b.Fitted && e.fits }

// Placed tells whether the assembler places or fits a line in every batch.
func (e *Estimate) Placed(line *Entry) bool {
	return !slices.ContainsFunc(e.Batches, func(b Batch) bool { return !b.Places(line) })
}

// Provides tells whether the assembler buys a line that it places.
func (b *Batch) Provides(e *Entry) bool {
	if !b.Places(e) {
		return false
	}
	r := &b.Boards[e.Board]
	return r.Provided && (e.Machine || r.HandFit)
}

// unitDecimals tell a part of any batch from the half of a minor unit, and from that of
// a hundredth of it.
const unitDecimals = 12

func PerUnit(amount decimal.Decimal, size int) decimal.Decimal {
	if size == 0 {
		return decimal.Zero
	}
	return amount.DivRound(decimal.NewFromInt(int64(size)), unitDecimals)
}

// ProductRun is one product in one batch.
type ProductRun struct {
	Size   int // good units wanted
	Starts int // units begun
	Amounts
	Categories [categoryCount]Amounts // of these, each falls in
	Alone      decimal.NullDecimal    // landed cash of its purchases if it is bought by itself; null: not known
	Paying     int                    // of the good units, those that are paid for
	Ask        Ask                    // of their recipients
	Charge     Charge                 // of a unit that is paid for, but for the income
}

// PerUnit divides by the units that are wanted of the product.
func (p *ProductRun) PerUnit(amount decimal.Decimal) decimal.Decimal { return PerUnit(amount, p.Size) }

// BoardRun is one board type in one batch.
type BoardRun struct {
	Wanted    int     // starts × boards per unit
	Yield     float64 // share of good boards
	Starts    int     // bare boards populated
	Of        []int   // of those, how many each product has; of panels none
	OnHand    int     // of those, taken from stock
	Provided  bool    // the assembler buys the parts that it places on it
	HandFit   bool    // its quote is for those that are fitted by hand as well
	PartLines int     // distinct part numbers that are machine-placed on it
	Panel     int     // 1 + index of the panel that it is made on; 0: singly. Then none is bought
	Bought    int     // bare boards bought
	Amounts           // of the bare boards
}

// Bare is how many bare boards of the type it takes itself: none where they stand on a panel.
func (r *BoardRun) Bare() int {
	if r.Panel > 0 {
		return 0
	}
	return r.Starts
}

// Idle tells whether it is a panel that is not made.
func (r *BoardRun) Idle() bool { return r.Starts == 0 }

// Shape is what a board is beside its parts: the boards that a panel holds.
func (e *Estimate) Shape(board int) string {
	var held []string
	if board >= len(e.Boards) {
		return ""
	}
	for _, h := range e.Boards[board].Holds {
		held = append(held, fmt.Sprintf("%d × %s", h.Per, e.Boards[h.Board].Name))
	}
	return strings.Join(held, ", ")
}

// PartRun is one part in one batch, in pieces (or grams).
type PartRun struct {
	Need      bom.Quantity
	Allowance bom.Quantity
	OnHand    bom.Quantity // taken from stock
	Demand    bom.Quantity // to be bought
	Takes     bom.Quantity // of what is bought; the same but for filament, which is also bought for plates that may fail
	Bought    bom.Quantity
	Amounts
}

// CutRing is how some rings of a part are cut, all alike.
type CutRing struct {
	Part   int // index into Estimate.Parts
	RingMM bom.Quantity
	Times  int
	Leads  []CutLeads // the longest first
	RestMM bom.Quantity
}

// CutLeads are leads of one length.
type CutLeads struct {
	MM    bom.Quantity
	Count int
}

// Stock kinds of a purchase.
const (
	Goods    = "part"
	Lots     = "bare board"
	Filament = "filament"
)

// Purchase is one line of an order.
type Purchase struct {
	Kind       string // Goods, Lots or Filament
	Supplier   string
	OrderCode  string
	Part       string          // part key, board name or material
	Index      int             // into Estimate.Parts; into Estimate.Boards for bare boards
	Demand     bom.Quantity    // of the part in all, pieces
	Quantity   int64           // order units, lots or spools
	Pieces     bom.Quantity    // in one order unit
	SetUp      decimal.Decimal // once, in Currency: boards priced by area
	UnitPrice  decimal.Decimal // of one order unit, in Currency
	LineFee    decimal.Decimal // of the line, in Currency; part of Cash alone
	Currency   bom.Currency
	Goods      decimal.Decimal // SetUp + Quantity × UnitPrice, rounded, in Currency
	Cash       decimal.Decimal
	Consumed   decimal.Decimal // of the cash, without what is on hand
	Surplus    decimal.Decimal
	WrittenOff decimal.Decimal // of what is consumed: what the surplus cost but is not worth
	AsOf       bom.Date
	Place      bom.Place // of the price
	Remark     string    // why more is ordered than needed
	SizeMM     string    // of boards and panels: length × width, as quoted or worked out
	Unpriced   bool      // nothing can be bought: only Part and Demand are known
	Offer      int       // number of the offer in Terms, from 1; 0 where there are no terms
	variant    int       // of a board's quotes: whose lots
	choice     int       // the offer among those of its part, the lot among those of its variant
	offer      *bom.Offer
}

// Order is all that goes to one supplier. Money is in home currency but for
// the fields that say otherwise.
type Order struct {
	Supplier  string
	Currency  bom.Currency
	Goods     decimal.Decimal // parts, boards, spools and assembly fees
	GoodsOwn  decimal.Decimal // the same in the supplier's currency
	Delivery  decimal.Decimal
	TopUp     decimal.Decimal // to the minimum order
	Value     decimal.Decimal // for customs
	Consign   decimal.Decimal
	Duty      decimal.Decimal
	Tax       decimal.Decimal
	Reclaim   decimal.Decimal // of the tax, what comes back
	Handling  decimal.Decimal
	Asked     OrderAsked // what the supplier asks besides the goods, in Currency
	LeadDays  int
	LeadKnown bool
	Terms     int // index into Terms.Suppliers
}

// OrderAsked are the charges that a supplier asks itself, in its own currency.
type OrderAsked struct{ Delivery, TopUp, Consign decimal.Decimal }

// Total is what the order costs in all, home currency.
func (o Order) Total() decimal.Decimal {
	return decimal.Sum(o.Goods, o.Delivery, o.TopUp, o.Consign, o.Duty, o.Tax, o.Handling)
}

// Fee is money for something that leaves no stock.
type Fee struct {
	Category Category
	Payee    string
	What     string
	Amount   decimal.Decimal // in Currency, rounded
	Currency bom.Currency
	Amounts
	Place bom.Place
	Kind  FeeKind
	Index int   // into Batch.Boards of an assembly, into Batch.Plates of printing
	entry int   // 1 + index of the line that it is for; 0: for no single line
	swap  bool  // it is for a substitute
	units []int // of each product that it is for; nil: for what is said of its kind
}

// FeeKind tells what a fee is worked out from.
type FeeKind int

// The kinds of fee.
const (
	OtherFee FeeKind = iota
	AssemblyFee
	PostageFee
	MachineFee // printer hours
	EnergyFee
	OneOffFee
)

// Line is the line of the bills of materials that the fee is for; -1 for none.
func (f Fee) Line() int { return f.entry - 1 }

// PlateRun is the printing of one printed line on one printer.
type PlateRun struct {
	Entry     int
	Part      string
	Material  string
	Printer   string  // empty where none is known
	Recipe    string  // as the line names it
	Group     int     // index into Batch.Groups
	Pieces    int     // wanted
	PerPlate  int     // the most on one plate
	Plates    int     // that must come out good, on which it lies alone or with others
	Expected  float64 // plates printed until they are
	Planned   int     // plates begun so that enough come out, at the confidence of the settings
	PieceG    float64
	PieceH    float64 // without the start of the plate
	StartH    float64 // its share of the starts of the plates that must come out good
	PrimeG    float64 // its share of what is pressed out at them
	FilamentG float64 // of the plates expected
	Hours     float64 // of the plates expected
	Machine   decimal.Decimal
	Energy    decimal.Decimal
	From      string         // where mass and hours come from
	Others    []PieceFigures // what other sources say
	Laid      float64        // pieces on the plates expected, also on those that fail
	printer   *bom.Printer
}

// PieceFigures is what a source that is not used says of a piece; a figure that
// is used, or that it does not know, is left out.
type PieceFigures struct {
	From               string
	G, Hours           bom.Measure
	DiffersG, DiffersH float64 // from what is used, as a share of it
}

// PlateGroup are the plates of parts that share them: of the same material,
// recipe and printer; or those of one part.
type PlateGroup struct {
	Runs      []int // indices into Batch.Plates
	Plates    int   // that must come out good
	Packed    bool  // laid out by the size of the pieces; the next two hold only then
	AreaBound int   // as few plates as the area alone would take
	Proven    bool  // fewer plates are not possible
}

// Printing is when all plates are through, in hours from the midnight at which
// the first day begins.
type Printing struct {
	Known   bool
	FinishH float64
	BoundH  float64 // no plan ends before
	IdleH   float64 // in which printers stand still until then, from when each could first start, summed over them
}

// Work is one row of hand work.
type Work struct {
	Operation string
	AppliesTo string
	Basis     string
	Product   int     // whose units it is done to; -1: those of several
	Starts    int     // units that it is done to
	Count     float64 // joints or pieces per unit, or 1
	Times     float64 // how many times the seconds count in all, learning included
	Seconds   float64 // of one
	Learning  float64 // %
	TimedAt   int
	Before    int             // units done before
	Share     decimal.Decimal // %
	Hours     float64
	Cash      decimal.Decimal // where labour is paid
	Own       decimal.Decimal // where it is not
	Place     bom.Place
}

// Payer is what one payer bears of a batch. Over all payers, the amounts come to those
// of the batch.
type Payer struct {
	Name string
	Amounts
	Categories [categoryCount]Amounts
	Bears      [categoryCount]bool // something of the category falls to the payer, or would
}

// Ask is what the recipients of the units are asked for.
type Ask struct {
	Payer    string          // what they are called in the tab who pays; empty: they bear nothing
	Each     decimal.Decimal // asked of who pays for a unit besides, in whole steps
	Free     decimal.Decimal // asked of who is given one
	Unpriced bool
}

// Post is parcels to one zone that hold as many units, and how they are sent. Those of a
// zone stand together, the one with the rest of the units last.
type Post struct {
	Zone       string // in the tab recipients; empty where it tells none
	Product    int    // index into Batch.Products
	Parcels    int
	Units      int             // in all of them
	Service    string          // empty where the price sheet has none, or none holds the parcel
	To         string          // of the service; empty: anywhere
	MassG      float64         // of one parcel
	SizeMM     [3]bom.Measure  // its length, width, height
	Chargeable float64         // g, of one parcel
	Price      decimal.Decimal // of one parcel, in Currency
	Currency   bom.Currency
	Cash       decimal.Decimal // of all parcels, home currency
	Asked      decimal.Decimal // of each recipient in the zone, where they bear something and there are zones
	Unpriced   bool            // parcels go there and no service takes them
	Unknown    int             // lines without a mass
	Place      bom.Place
}

// InZones tells whether the units of a batch go to several zones.
func (b *Batch) InZones() bool {
	return slices.ContainsFunc(b.Posts, func(p Post) bool { return p.Zone != b.Posts[0].Zone })
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

// Pot is one amount that several payers share.
type Pot struct {
	What     string
	Category Category
	Payers   []string
}

// addNew appends to a short list what is not in it yet.
func addNew[T comparable](list []T, x T) []T {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}

// boardOrder is a way to buy n bare boards.
type boardOrder struct {
	supplier  int
	purchases []Purchase
	own, cash decimal.Decimal // goods in the supplier's currency and at home
	held      int64
}

// dearStock is stock on hand without which the landed cash of a batch is lower.
type dearStock struct {
	row  *bom.OnHand
	save decimal.Decimal
}

// Plan is when a batch is ready. Days are counted from the start of day 0, on
// which everything is ordered: what is 12 days on the way is there when day 12
// begins.
type Plan struct {
	Tasks []Task
	Ready bom.Quantity // days; no earlier than that where Known is false
	Known bool
	Gaps  []Gap // what is not known; none where Known is true
	Path  []int // a critical path through Tasks, first to last
}

// Gap is something without which it cannot be said how long a task takes.
type Gap struct {
	What  string
	Place bom.Place // where it is to be filled in
}

// TaskKind is what sort of task it is.
type TaskKind int

// Task is one thing that takes time. Where Placed or Known is false, Start and End
// are no earlier than they stand; where the plan is not known, Slack and Critical
// are as if what is not known took no time.
type Task struct {
	Kind     TaskKind
	Name     string // the supplier, or what the hand work applies to
	Takes    bom.Quantity
	Sure     bool // Takes is known
	Quoted   bool // Takes is of a quote, and not the lead days of the supplier
	Start    bom.Quantity
	End      bom.Quantity
	Slack    bom.Quantity
	Placed   bool // Start is known: how long everything takes that it waits for
	Known    bool // Placed and Sure
	Critical bool
	After    []int // tasks that it waits for directly; indices into Plan.Tasks
}

// Why tells, for one batch, what buying otherwise would cost.
type Why struct {
	Parts     []OtherOffer    // one for each part that is bought
	Suppliers []OtherSupplier // one for each supplier of parts
}

// OtherOffer is a part bought as planned, and as it would be if the offers of
// the plan were not there.
type OtherOffer struct {
	Part   string
	Chosen string          // supplier and order code, several where the demand is split
	Next   string          // the same of the next best; empty where nothing else covers the demand
	More   decimal.Decimal // what the whole run would cost more, home currency
	OffBy  decimal.Decimal // how far More can be off, since a plan is not proven
}

// OtherSupplier is a supplier of parts, and what buying no parts there would
// cost.
type OtherSupplier struct {
	Supplier string
	More     decimal.Decimal // what the whole run would cost more, home currency
	OffBy    decimal.Decimal // how far More can be off, since a plan is not proven
	Needed   []string        // parts that are to be had nowhere else
}

// load is what lies on one plate, or on several alike.
type load struct {
	times  int       // how many plates are alike
	pieces []int     // of each line of the group
	size   bom.Point // mm of the bed that it takes; nothing where that is not known
	hours  float64   // on the printer that it is laid for
}

// loads are the plates of a group that must come out good.
type loads struct {
	list      []load
	areaBound int // 0 where plates are not packed
	proven    bool
}

// bed is a load, or some of the plates of one, on the printer that prints it.
type bed struct {
	load
	group   int // index into Batch.Groups
	printer *bom.Printer
}

// OffBy is the most that the purchases of the batch may be over the cheapest, in
// home currency; 0 where they are proven.
func (b *Batch) OffBy() decimal.Decimal {
	if b.Proven || b.Total.Unpriced {
		return decimal.Zero
	}
	return b.Landed.Sub(b.Bound)
}

// MoreEffort says what helps against purchases that are not proven.
const MoreEffort = "a larger --effort proves more"

// madeFor is what of the things of a batch is for each of several products.
type madeFor struct{ purchases, orders, fees, work, parts, boards []bom.RunShares }

// tillSums are what comes in and goes out of a batch whatever the price.
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

// Multiple is what order units come in multiples of; 1 where in any number.
func (p *Purchase) Multiple() int64 {
	if p.offer == nil {
		return 1
	}
	return max(1, p.offer.Multiple)
}
