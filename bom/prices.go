package bom

import (
	"cmp"
	"math"
	"slices"

	"github.com/shopspring/decimal"
)

// NoPriceYet is what is noted of a row of the price sheet that waits for its price.
const NoPriceYet = "no price yet"

// Money figures below are exact as typed and not yet rounded. A currency is an
// ISO 4217 code; readers fill it in with the default that the field names.

// Prices is one price sheet: a workbook, or a folder with one table per tab.
type Prices struct {
	Name           string // file or folder, as the user named it
	Settings       Settings
	Exchange       []Rate
	Suppliers      []Supplier
	Offers         []Offer
	Heads          map[string]*Heading `json:"-"` // by tab, where its headings were found
	Quotes         []Quote
	Panels         []PanelRow
	Assemblers     []Assembler
	AssemblyQuotes []AssemblyQuote
	Allowances     []Allowance
	HandWork       []Operation
	Materials      []Material
	Printers       []Printer
	Recipes        []Recipe
	PrintLog       []PrintLog
	Postage        []Service
	Recipients     []Recipient
	OnHand         []OnHand
	Substitutes    []Substitute
	WhoPays        []Share
	OneOffs        []OneOff
	Parts          []PartRule
}

// Settings are the figures that hold for the whole run, defaults applied.
// Percentages are as typed: 95 is 95 %. The tags say what the settings are called.
type Settings struct {
	Home         Currency        `setting:"Home currency"`        // Home currency; required
	LabourRate   decimal.Decimal `setting:"Labour rate per hour"` // per hour, home currency
	EnergyPrice  decimal.Decimal `setting:"Energy price per kWh"` // per kWh, home currency
	Confidence   decimal.Decimal `setting:"Confidence %"`         // %
	UnitYield    decimal.Decimal `setting:"Unit yield %"`         // %
	Assembler    string          `setting:"Assembler"`            // empty: whichever lands cheapest of those with prices; AtBench: SMT parts are soldered by hand
	ThroughHole  Fitting         `setting:"Through-hole at"`      // who fits through-hole parts
	Fabricator   string          `setting:"Board fabricator"`     // who makes the boards; empty: whoever lands cheapest
	PriceAgeDays int             `setting:"Price age limit days"`
	OldSpread    decimal.Decimal `setting:"Old price spread %"`   // %, how far a price older than that may turn out otherwise
	ThinCover    decimal.Decimal `setting:"Thin cover"`           // times what a batch requires; stock under it may run out
	FewSources   int             `setting:"Fewest sources"`       // suppliers; fewer are too few
	StockAgeDays int             `setting:"Stock age limit days"` // older stock figures are not relied on
	CIF          bool            `setting:"Customs basis"`        // customs value holds the delivery
	TaxRecovered bool            `setting:"Tax recovered"`
	LabourPaid   bool            `setting:"Labour paid"`
	SalesTax     decimal.Decimal `setting:"Sales tax %"`           // %
	FreeUnits    int64           `setting:"Free units"`            // given away; AllFree: all of them
	SurplusWorth decimal.Decimal `setting:"Surplus worth %"`       // %
	BoardWorth   decimal.Decimal `setting:"Board surplus worth %"` // of surplus boards, %
	Margin       decimal.Decimal `setting:"Margin %"`              // %
	PaymentFee   decimal.Decimal `setting:"Payment fee %"`         // %
	PaymentFixed decimal.Decimal `setting:"Payment fee fixed"`     // home currency
	RoundUpTo    decimal.Decimal `setting:"Round price up to"`     // step of prices; 0: the minor unit
	SpacingMM    float64         `setting:"Plate spacing mm"`      // kept free between pieces on one plate
	PostTo       string          `setting:"Post to"`               // destination whose services count; empty: all
	Recipients   string          `setting:"Recipients"`            // the payer who is the recipients of the units; empty: one called recipient or recipients
	BenchHours   decimal.Decimal `setting:"Bench hours per day"`   // of hand work in a day; over 0
	WorkingDays  Workdays        `setting:"Working days"`          // on which orders move and hands work
	QuoteFrom    string          `setting:"Quote from"`            // who quotes come from
	QuoteDays    int             `setting:"Quote valid days"`      // that quotes are valid
	QuoteTerms   string          `setting:"Quote payment terms"`   // how quotes are to be paid
	All          []Setting       // every setting that is documented, in documented order
}

// Setting is one row of the tab settings, or a default.
type Setting struct {
	Dated
	Name    string
	Text    string // as typed; the default where Default is true
	Default bool   // not in the sheet
	Low     string // as typed, empty where not given
	High    string
	Range   Range // Low and High as figures, in what the setting is counted in
}

// Range is how far a figure may turn out otherwise: Least ≤ the figure ≤ Most,
// in what the figure is counted in. A side that is not given is the figure
// itself.
type Range struct{ Least, Most decimal.NullDecimal }

// Given tells whether there is a range at all.
func (r Range) Given() bool { return r.Least.Valid || r.Most.Valid }

// Equal tells whether two ranges are the same.
func (r Range) Equal(other Range) bool {
	same := func(a, b decimal.NullDecimal) bool { return a.Valid == b.Valid && a.Decimal.Equal(b.Decimal) }
	return same(r.Least, other.Least) && same(r.Most, other.Most)
}

// Rate is the price of one unit of a currency in home currency.
type Rate struct {
	Dated
	Currency Currency
	Rate     decimal.Decimal
	Range    Range // of Rate
}

// Supplier is somebody an order goes to: of parts, boards, assembly, spools.
// Percentages are as typed.
type Supplier struct {
	Dated
	Name           string
	Currency       Currency
	Delivery       decimal.Decimal     // supplier's currency
	FreeOver       decimal.NullDecimal // goods from which delivery is free, supplier's currency
	MinOrder       decimal.Decimal     // supplier's currency
	LeadDays       int
	LeadKnown      bool
	Duty           decimal.Decimal // %
	Tax            decimal.Decimal // %
	DutyFreeUpTo   decimal.Decimal // home currency
	TaxFreeUpTo    decimal.Decimal // home currency
	FlatDuty       decimal.Decimal // for each heading, home currency
	Handling       decimal.Decimal // home currency
	ConsignPerLine decimal.Decimal // supplier's currency
	PartsSent      bool            // customs count what others send there
}

// Offer is one supplier's price for one part. Stock, MOQ, Multiple and breaks
// count order units; an order unit holds Pieces.
type Offer struct {
	Dated
	Rows     []int // all that it stands in, rising
	Part     string
	Supplier string
	Code     string // order code
	Stock    int64  // -1: enough
	MOQ      int64
	Multiple int64
	Pieces   Quantity
	CutFromM Quantity // length of the ring that leads are cut from, m; 0: it is not cut
	Currency Currency
	LineFee  decimal.Decimal     // of the line of an order, in Currency
	Heading  string              // customs heading; empty: none
	Duty     decimal.NullDecimal // %; null: the supplier's
	More     int64               // that come in besides the stock; 0: none are expected
	MoreOn   Date                // when; none where none are expected
	Breaks   []Break             // by rising From; none where there is no price yet
	Worth    decimal.NullDecimal // Surplus worth %; not valid: the setting
}

// Break is a price per order unit from a number of order units on.
type Break struct {
	Origin
	Heading string // the column the price stands in
	From    int64
	Price   decimal.Decimal
	Range   Range // of Price; a break without one moves in proportion to the first that has one
}

// Quote is a fabricator's price for bare boards: of a lot, or a set-up with a
// rate for the area where Lot is 0.
type Quote struct {
	Dated
	Board      string
	Fabricator string
	Lot        int64
	Price      decimal.Decimal // of the lot
	Currency   Currency
	LengthMM   Measure
	WidthMM    Measure
	Option     string
	SetUp      decimal.Decimal     // where Lot is 0
	PerDM2     decimal.Decimal     // where Lot is 0
	AtMost     int64               // such lots; 0: any number
	Worth      decimal.NullDecimal // Surplus worth %; not valid: the setting
	Range      Range               // of Price; where Lot is 0 of PerDM2, or of SetUp where that is all, and the other moves in proportion
}

// AtBench is the setting Assembler where SMT parts are soldered by hand.
const AtBench = "bench"

// Fitting is who fits through-hole parts.
type Fitting string

// Those who fit through-hole parts.
const (
	FitBench     Fitting = "bench"     // hand work
	FitAssembler Fitting = "assembler" // the assembler, for a fee per joint
	FitCheapest  Fitting = "cheapest"  // whichever of the two lands cheaper with its work
)

// PanelRow is one board type on a panel: several boards made and populated as one piece.
type PanelRow struct {
	Dated
	Panel    string
	Board    string
	Per      int64 // boards of the type on a panel
	Across   int64 // of those, side by side along the panel's length; 0: not given
	GapMM    float64
	BorderMM float64 // on each side
	XOuts    int64   // positions that may be marked as bad; fewer than Per
}

// Assembler is what a machine assembler asks by rates for one board type or panel.
// Money is in Currency.
type Assembler struct {
	Dated
	Name         string
	Currency     Currency
	SetUp        decimal.Decimal
	Stencil      decimal.Decimal // per side with parts
	StencilKept  bool            // and not paid again
	SecondSide   decimal.Decimal
	PerLine      decimal.Decimal
	PerPlacement decimal.Decimal
	PerJoint     decimal.Decimal
	PerBoard     decimal.Decimal
	HandSetUp    decimal.Decimal     // where through-hole parts are fitted
	PerHandJoint decimal.NullDecimal // not valid: through-hole parts are not fitted
	Minimum      decimal.Decimal
	DPMO         decimal.Decimal // defects per million opportunities
}

// AssemblyQuote is a tier of an assembler's quote: the price of populating a board or
// panel, from a number of them on. Tiers of one quote have assembler, board, Included and
// HandFit in common and stand side by side, by rising From. Money is in Currency.
type AssemblyQuote struct {
	Dated
	Assembler string
	Board     string // or panel
	From      int64
	Each      decimal.Decimal
	SetUp     decimal.Decimal // the same for all tiers of a quote
	SetUpAt   Origin          // the row that it stands in
	Included  bool            // machine-placed parts are in the price
	HandFit   bool            // through-hole parts are fitted
	Currency  Currency
	LeadDays  int
	LeadKnown bool
}

// AllFree are as many free units as there are.
const AllFree = math.MaxInt64

// OneOff is a cost that falls due once, however many units are made.
type OneOff struct {
	Dated
	What        string
	Category    string // empty: tooling
	Payee       string
	Price       decimal.Decimal // in Currency
	Currency    Currency
	SpreadOver  int64 // units that bear it; 0: the batch bears all of it
	UnitsBefore int64 // of those, made before
	PaidAlready bool
}

// Allowance is what is bought over the need: the greater of Percent and Pieces, and what
// that lacks to AtLeast.
type Allowance struct {
	Dated
	AppliesTo string // smt, tht, fastener, packing, other
	Package   string // empty: any
	Percent   decimal.Decimal
	Pieces    int64
	AtLeast   int64 // supplied in all
}

// Operation is a row of hand work.
type Operation struct {
	Dated
	Name      string
	AppliesTo string // smt, tht, fastener, insert, wire, printed, test, bagging, packing
	Basis     string // joint, piece, unit, batch, plate
	Seconds   float64
	Range     Range           // of Seconds
	Learning  float64         // %, 100: none
	TimedAt   int             // unit at which the seconds were taken, from 1
	Before    int             // units that were done before the run
	Share     decimal.Decimal // %, of the times that it falls due
}

// Material is a filament as it is sold.
type Material struct {
	Dated
	Name       string
	Density    float64 // g/cm³; 0 where not given
	DiameterMM float64 // 0 where not given
	Unpriced   bool    // no price yet: only the fields above count
	SpoolG     Quantity
	SpoolPrice decimal.Decimal
	Range      Range // of SpoolPrice
	Currency   Currency
	Supplier   string
	Worth      decimal.NullDecimal // Surplus worth %; not valid: the setting
}

// Printer is a printer, or several of one kind.
type Printer struct {
	Dated
	Name        string
	Count       int
	BedMM       [3]Measure // X, Y, Z
	PowerW      float64
	PowerRange  Range           // of PowerW
	HourlyRate  decimal.Decimal // home currency
	Failure     decimal.Decimal // %, of plates
	FailRange   Range           // of Failure
	AttendedMin [2]int          // minutes after midnight, from and to; 0 and 1440 where not given; over midnight where to is earlier
	Watched     bool            // a plate ends in attended hours as well
	Limits      map[string]float64
}

// Service is a postal service to one destination.
type Service struct {
	Dated
	Name     string
	To       string
	MaxG     Measure
	MaxMM    [3]Measure          // length, width, height
	MaxValue decimal.NullDecimal // of what a parcel holds, in Currency; not valid: any
	Excludes []string            // hazards that it does not carry
	Price    decimal.Decimal
	Currency Currency
	Divisor  float64 // cm³ per kg of volumetric mass; 0: none
}

// Recipient is a zone that parcels go to, how many units go there, and how many of
// them in a parcel.
type Recipient struct {
	Dated
	Zone     string
	Count    int64      // units
	UnitsPer int64      // that a full parcel holds; 0 is 1
	CartonG  Measure    // mass of the carton around them, g
	CartonMM [3]Measure // its length, width, height
}

// OnHand is what is there already.
type OnHand struct {
	Dated
	Part      string
	Quantity  Quantity
	UnitValue decimal.Decimal // home currency
	GivenBy   string          // who gives it; empty: the maker
}

// Substitute is a part that may stand in for another.
type Substitute struct {
	Dated
	Part          string
	Substitute    string
	ExtraPerUnit  decimal.Decimal // home currency
	ExtraPerBatch decimal.Decimal // home currency
	ExtraSeconds  float64         // per unit
	Allowed       bool
	Mix           bool // units of one batch may have the one or the other
}

// Share is a part of the money of a category, a part or a supplier that one
// payer bears.
type Share struct {
	Dated
	AppliesTo string
	Payer     string
	Percent   decimal.Decimal
}

// PartRule is a row of the tab parts: what lists do not say of a part or of every
// part in a package. A blank field says nothing.
type PartRule struct {
	Dated
	Part    string // a part number, or value and package; may hold *
	Package string // where Part is empty; may hold *
	Mount   Mount
	Joints  Joints
	Side    Side
	Kind    Kind
	MassG   Measure // of one piece, g
	Height  Measure // above the board, mm
	Hazard  []string
}

// AssemblerNames are those who have prices, by rates or quotes, in the order of the alphabet.
func (p *Prices) AssemblerNames() []string {
	names := append(Each(p.Assemblers, func(a *Assembler) string { return a.Name }),
		Each(p.AssemblyQuotes, func(q *AssemblyQuote) string { return q.Assembler })...)
	slices.Sort(names)
	return slices.Compact(names)
}

// Name is what the row is for.
func (r *PartRule) Name() string { return cmp.Or(r.Part, r.Package) }
