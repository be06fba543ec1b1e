package cost

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// Batch is the answer for one batch size.
type Batch struct {
	Size       int            // good units wanted
	Name       string         // of a programme's plan; empty: it has none
	alike      bool           // another plan has as many units in all
	Starts     int            // units begun
	Products   []ProductRun   // one for each Estimate.Products, which Size and Starts are the sums over
	Making                    // of its boards
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
	Sums       *sum.Sheet    // how every amount comes about; nil in a sweep and the like
	Why        Why           // where the run asks for it
	Record     *bom.Actuals  // the plan to fill in, where the run asks for it; nil where something has no price
	dear       []dearStock   // stock on hand without which it would be cheaper
	boards     []boardOrder  // as they are bought
	Others     []OtherMaking // other ways to have its boards made, the best of each kind
	Full       int           // plans of purchases that were made in full to find it
	way        int           // the making by which its boards are made, of several
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
	Landed     decimal.Decimal // of the purchases: goods, delivery, top-up, duty, tax, handling, consignment fees
}

// ID tells the batch from the others of its run.
func (b *Batch) ID() BatchID {
	if b.alike {
		return BatchID(b.Name)
	}
	return BatchID(strconv.Itoa(b.Size))
}

// BatchID tells a batch from the others of its run, and heads it: its size, or where several
// plans have as many units in all the name of its plan.
type BatchID string

// Size is the size that it is; not ok where it is the name of a plan.
func (id BatchID) Size() (size int, ok bool) {
	size, err := strconv.Atoi(string(id))
	return size, err == nil
}

// Shown is the batch as a reader sees it, thousands grouped.
func (id BatchID) Shown() string {
	if _, sized := id.Size(); !sized {
		return string(id)
	}
	return bom.Grouped(string(id))
}

// PerUnit divides by the batch size.
func (b *Batch) PerUnit(amount decimal.Decimal) decimal.Decimal {
	return PerUnit(amount, b.Size)
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

// Places tells whether the assembler places or fits a line.
func (b *Batch) Places(e *Entry) bool { return e.Machine || b.Fitted && e.fits }

// Provides tells whether the assembler buys a line that it places.
func (b *Batch) Provides(e *Entry) bool {
	if !b.Places(e) {
		return false
	}
	r := &b.Boards[e.Board]
	return r.Provided && (e.Machine || r.HandFit)
}

// InZones tells whether the units of a batch go to several zones.
func (b *Batch) InZones() bool {
	return slices.ContainsFunc(b.Posts, func(p Post) bool { return p.Zone != b.Posts[0].Zone })
}

// Uses tells whether a batch has any of a line, given with its index: of a part and its
// substitutes it may have the one or the other.
func (b *Batch) Uses(e *Entry, at int) bool {
	return !e.Replaced && e.StandsFor == 0 || b.Needs[at] > 0
}

// unitDecimals tell a part of any batch from the half of a minor unit, and from that of
// a hundredth of it.
const unitDecimals = 12

// PerUnit divides by a number of units, to unitDecimals decimals; 0 by none.
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
	Categories [categoryCount]Amounts // what of these falls in each
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

// String is what a ring is cut to: "7 × 1300 mm".
func (l CutLeads) String() string { return fmt.Sprintf("%d × %s mm", l.Count, l.MM) }

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
	TooFew     bool      // since suppliers have too few of it, and not for want of a price
	Offer      int       // number of the offer in Terms, from 1; 0 where there are no terms
	variant    int       // of a board's quotes: whose lots
	choice     int       // the offer among those of its part, the lot among those of its variant
	offer      *bom.Offer
}

// Multiple is what order units come in multiples of; 1 where in any number.
func (p *Purchase) Multiple() int64 {
	if p.offer == nil {
		return 1
	}
	return max(1, p.offer.Multiple)
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
	Packed    bool  // laid out by the size of the pieces; the next holds only then
	AreaBound int   // as few plates as the area alone would take
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

// Pot is one amount that several payers share.
type Pot struct {
	What     string
	Category Category
	Payers   []string
}

// Split is an amount that several products share: what one payer bears of something, or
// without a payer the boards of a type.
type Split struct {
	What     string
	Category Category
	Payer    string
}

// Taken is a substitute that a batch takes because that is cheaper, or because it cannot be
// bought otherwise.
type Taken struct {
	Part, Substitute string
	Pieces, Of       bom.Quantity    // that are of the substitute, of all that the lines of the part need
	Units            int             // begun that have some of it
	Saves            decimal.Decimal // landed cash and hand work against the part alone, all else as it is
	Wanted           bool            // the batch cannot be bought without
	Lines            []int           // with the substitute, indices into Estimate.Entries
}

// Making is a way to have the boards of a batch made.
type Making struct {
	Assembler string   // who populates boards; empty: nobody
	Fitted    bool     // it fits their through-hole parts too
	Panels    []string // that are made
}

// OtherMaking is a way to have the boards of a batch made, beside the one that is taken.
type OtherMaking struct {
	Making
	More     decimal.Decimal // landed cash and hand work over those of the batch
	Landed   decimal.Decimal // of that, landed cash
	Hours    float64         // of hand work over those of the batch; negative: fewer
	Unpriced bool            // something cannot be bought
}

// Post is parcels to one zone that hold as many units, and how they are sent. Those of a
// zone stand together, the one with the rest of the units last.
type Post struct {
	Zone       string // in the tab recipients, else the setting Post to; empty where neither tells one
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
	AskedFree  decimal.Decimal // of who is given a unit there, where others pay for theirs
	Unpriced   bool            // parcels go there and no service takes them
	Unknown    int             // lines without a mass
	Place      bom.Place
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

// load is what lies on one plate, or on several alike.
type load struct {
	times  int       // how many plates are alike
	pieces []int     // of each line of the group
	size   bom.Point // mm of the bed that it takes; nothing where that is not known
	hours  float64   // on the printer that it is laid for
}

// bed is a load, or some of the plates of one, on the printer that prints it.
type bed struct {
	load
	group   int // index into Batch.Groups
	printer *bom.Printer
}

// madeFor is what of the things of a batch is for each of several products.
type madeFor struct{ purchases, orders, fees, work, parts, boards []bom.RunShares }
