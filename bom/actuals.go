package bom

import (
	"strings"

	"github.com/shopspring/decimal"
)

// Actuals is a run as it was planned and what became of it: a workbook that is filled in
// while the run is made. A figure of what happened that is not valid was left blank.
type Actuals struct {
	Product    string
	Level      string
	Home       Currency
	PlannedOn  Date
	LabourPaid bool
	LabourRate RunFigure // home currency per hour
	Good       RunFigure // units
	Started    RunFigure // units
	Yield      decimal.Decimal
	Products   []RunMade // of a run of several; else none
	Purchases  []RunPurchase
	Charges    []RunCharge
	Exchange   []RunRate
	Work       []RunWork
	Printers   []RunPrinter
	Prints     []RunPrint
	Boards     []RunBoard
	Parts      []RunPart
	Left       []RunLeft
}

// RunMade is one of several products that were made together. Where the run is of several,
// the units of all are those of each added up.
type RunMade struct {
	Origin
	Name     string
	Level    string
	Good     RunFigure
	Started  RunFigure
	Consumed decimal.Decimal // by the plan, home currency
}

// RunShares are what of something is for each product, one as against another; none: as of
// the whole plan.
type RunShares []decimal.Decimal

func (s RunShares) String() string {
	return strings.Join(Each(s, func(w *decimal.Decimal) string { return w.String() }), "; ")
}

// Rounded are shares of a hundredth of a millionth of what they come to.
func (s RunShares) Rounded() RunShares {
	sum := decimal.Zero
	for _, w := range s {
		sum = sum.Add(w)
	}
	if !sum.IsPositive() {
		return nil
	}
	out := make(RunShares, len(s))
	for i, w := range s {
		out[i] = decimal.RequireFromString(w.Shift(2).DivRound(sum, 6).String())
	}
	return out
}

// RunFigure is a figure as it was planned and as it came.
type RunFigure struct {
	Origin
	Planned decimal.Decimal
	Actual  decimal.NullDecimal
}

// Is is the figure as it came, as planned where that is blank.
func (f RunFigure) Is() decimal.Decimal { return Either(f.Actual, f.Planned) }

// Either is a figure that may be blank, or what stands for it.
func Either(d decimal.NullDecimal, blank decimal.Decimal) decimal.Decimal {
	if d.Valid {
		return d.Decimal
	}
	return blank
}

// The kinds of what is bought.
const (
	BoughtPart     = "part"
	BoughtBoard    = "bare board"
	BoughtFilament = "filament"
)

// RunPurchase is one line of an order. Quantities count order units; money is in Currency
// but for Worth.
type RunPurchase struct {
	Origin
	Supplier      string
	Part          string
	Code          string
	Kind          string
	Currency      Currency
	Pieces        Quantity        // in one order unit
	Unplanned     bool            // the plan does not hold it
	Quantity      decimal.Decimal // planned, like Price and Fee
	Price         decimal.Decimal
	Fee           decimal.Decimal // set-up and line fee
	Ordered       decimal.NullDecimal
	Received      decimal.NullDecimal
	Invoiced      decimal.NullDecimal
	InvoicedPrice decimal.NullDecimal
	InvoicedFee   decimal.NullDecimal
	Worth         decimal.Decimal // of a surplus piece, home currency
	Note          string
	For           RunShares
}

// WasOrdered, WasReceived and WasInvoiced are order units: what is blank is as the step before it, and
// the first of them as planned.
func (p *RunPurchase) WasOrdered() decimal.Decimal { return Either(p.Ordered, p.Quantity) }

// WasReceived is what came.
func (p *RunPurchase) WasReceived() decimal.Decimal { return Either(p.Received, p.WasOrdered()) }

// WasInvoiced is what is paid for.
func (p *RunPurchase) WasInvoiced() decimal.Decimal { return Either(p.Invoiced, p.WasReceived()) }

// RunCharge is a charge of an order, or a fee.
type RunCharge struct {
	Origin
	Payee    string
	What     string
	Currency Currency
	Planned  decimal.Decimal
	Invoiced decimal.NullDecimal
	Kept     decimal.Decimal // %, of it: not consumed by this run
	Stock    decimal.Decimal // consumed by this run and paid before it, home currency
	Over     int64           // of a one-off cost that is spread: good units that bear it, and those of them made before
	Before   int64
	Note     string
	For      RunShares
}

// RunRate is what one unit of a currency costs at home.
type RunRate struct {
	Origin
	Payee    string
	Currency Currency
	Planned  decimal.Decimal
	Paid     decimal.NullDecimal
}

// RunWork is a row of hand work.
type RunWork struct {
	Origin
	Operation string
	AppliesTo string
	Basis     string
	Seconds   decimal.Decimal
	Learning  decimal.Decimal // %
	TimedAt   int64
	Before    int64 // units done before the run
	Planned   decimal.Decimal
	Cost      decimal.Decimal // planned, home currency
	Hours     decimal.NullDecimal
	First     decimal.NullDecimal // units, of those done first
	FirstH    decimal.NullDecimal // hours that they took
	For       RunShares
}

// RunPrinter is what plates a printer printed.
type RunPrinter struct {
	Origin
	Printer string
	Plates  int64           // that must come out good
	Failure decimal.Decimal // %, planned
	Planned decimal.Decimal // plates until they do
	Printed decimal.NullDecimal
	Failed  decimal.NullDecimal // of those
}

// RunPrint is the printing of one part on one printer.
type RunPrint struct {
	Origin
	Part     string
	File     string // the mesh or toolpath, as the bill of materials names it
	Material string
	Printer  string
	Recipe   string
	Pieces   int64
	Laid     decimal.Decimal // pieces planned, those on plates that fail with them
	StartH   decimal.Decimal // of Planned, starts of plates
	PrimeG   decimal.Decimal // of PlannedG, pressed out at them
	Planned  decimal.Decimal // hours
	PlannedG decimal.Decimal
	Wear     decimal.Decimal // planned own work, home currency
	Energy   decimal.Decimal // planned, home currency
	Hours    decimal.NullDecimal
	Grams    decimal.NullDecimal
	For      RunShares
}

// RunBoard is a type of populated board.
type RunBoard struct {
	Origin
	Board     string
	Assembler string
	Chances   int64 // of a defect, on one board: placements and joints
	DPMO      decimal.Decimal
	Planned   int64 // populated
	Populated decimal.NullDecimal
	Good      decimal.NullDecimal
}

// RunPart is what the run needs of a part, in pieces or grams.
type RunPart struct {
	Origin
	Part      string
	Kind      string
	Required  Quantity
	Spares    Quantity
	AppliesTo string // of the rows of the tab attrition that the spares come from; empty: none
	Package   string
	For       RunShares // of Required
}

// RunLeft is stock of a part of one giver and value, in pieces or grams.
type RunLeft struct {
	Origin
	Part    string
	Named   string          // as the price sheet names it, where it has stock of it and names it otherwise
	GivenBy string          // empty: the maker
	Value   decimal.Decimal // of one, home currency
	Before  Quantity
	Taken   Quantity // of that
	Surplus Quantity // bought and not taken
	Counted decimal.NullDecimal
	For     RunShares // of the part
}

// Planned is what the plan leaves.
func (l *RunLeft) Planned() Quantity { return l.Before - l.Taken + l.Surplus }

// The names of the tabs of an actuals workbook.
const (
	TabRun       = "run"
	TabPurchases = "purchases"
	TabCharges   = "charges"
	TabRates     = "rates"
	TabHours     = "hours"
	TabPlates    = "plates"
	TabPrints    = "prints"
	TabPopulated = "boards made"
	TabNeeded    = "required"
	TabLeft      = "on hand after"
	TabProducts  = "products"
)

// The rows of the tab run.
const (
	RunProduct    = "Product"
	RunLevel      = "Level"
	RunHome       = "Home currency"
	RunPlannedOn  = "Planned on"
	RunPaid       = "Labour paid"
	RunRatePaid   = "Labour rate per hour"
	RunGood       = "Good units"
	RunStarted    = "Units started"
	RunUnitsYield = "Unit yield %"
)

// RunItem is a row of the tab run.
type RunItem struct {
	Name string
	Form Form
	Fill bool // Actual is filled in
}

// RunItems are the rows of the tab run in order.
var RunItems = []RunItem{{RunProduct, FormKey, false}, {RunLevel, FormKey, false}, {RunHome, FormKey, false}, {RunPlannedOn, FormDate, false},
	{RunPaid, FormKey, false}, {RunRatePaid, FormMoney, true}, {RunGood, FormWhole, true}, {RunStarted, FormWhole, true}, {RunUnitsYield, FormPercent, false}}

func runItemNames() []string {
	return Each(RunItems, func(i *RunItem) string { return i.Name })
}

// PurchaseKinds are the closed choices of what is bought.
var PurchaseKinds = []string{BoughtPart, BoughtBoard, BoughtFilament}

// RunTabs documents the actuals workbook, which an estimate writes for a plan and which is
// filled in while the run is made.
var RunTabs = []Tab{
	{Name: TabRun, Doc: "The run as planned; fill in the column Actual. What is left blank in any tab counts as planned.", Columns: []Column{
		{Heading: "Item", Form: FormChoice, Choices: runItemNames(), Required: true, Doc: "What the row is about.", Example: RunGood},
		{Heading: "Planned", Doc: "As it was planned.", Example: "40"},
		{Heading: "Actual", Fill: true, Doc: "As it came: of the labour rate, the units that are good and the units started.", Example: "38"},
		noteColumn(),
	}},
	{Name: TabProducts, Doc: "Of a run of several products, the units of each.", Columns: []Column{
		{Heading: "Product", Form: FormKey, Required: true, Doc: "What the product is called.", Example: "alarm kit"},
		{Heading: "Level", Form: FormKey, Doc: "How far it is made.", Example: "kit"},
		{Heading: "Planned good", Form: FormWhole, Unit: "units", Default: "0", Doc: "Good units of the plan.", Example: "20"},
		{Heading: "Planned starts", Form: FormWhole, Unit: "units", Default: "0", Doc: "Units that the plan starts.", Example: "21"},
		money("Planned consumed", "0", "What the plan consumes for it, in home currency.", ""),
		{Heading: "Good", Fill: true, Form: FormWhole, Unit: "units", Default: "as planned", Doc: "Units that are good.", Example: "19"},
		{Heading: "Started", Fill: true, Form: FormWhole, Unit: "units", Default: "as planned", Doc: "Units that were started.", Example: "21"},
		noteColumn(),
	}},
	{Name: TabPurchases, Doc: "What was ordered, line by line; add a row for what was bought besides. Quantities and prices are of order units, in the row's currency.", Columns: []Column{
		{Heading: "Supplier", Form: FormKey, Required: true, Doc: "Who sold it.", Example: "example parts"},
		{Heading: "Part number", Form: FormKey, Required: true, Doc: "The part, board or material.", Example: "RES-4K7-0805"},
		{Heading: "Order code", Form: FormKey, Doc: "What it was ordered by.", Example: "10-4711"},
		{Heading: "Kind", Form: FormChoice, Choices: PurchaseKinds, Default: BoughtPart, Doc: "What it is.", Example: BoughtPart},
		{Heading: "Pack size", Form: FormNumber, Unit: "pieces", Default: "1", Doc: "Pieces in one order unit; grams on a spool.", Example: "1"},
		currencyColumn("Currency of the line, a code of ISO 4217.", "home currency"),
		{Heading: "Planned quantity", Form: FormWhole, Unit: "order units", Default: "not planned", Doc: "Order units of the plan.", Example: "100"},
		{Heading: "Planned price", Form: FormMoney, Doc: "Price of one, as planned.", Example: "0.012"},
		money("Planned fee", "0", "Set-up and line fee, as planned.", ""),
		{Heading: "Ordered", Fill: true, Form: FormNumber, Unit: "order units", Default: "as planned", Doc: "Order units that were ordered.", Example: "100"},
		{Heading: "Received", Fill: true, Form: FormNumber, Unit: "order units", Default: "as ordered", Doc: "Order units that came; part of a pack as a decimal.", Example: "80"},
		{Heading: "Invoiced", Fill: true, Form: FormNumber, Unit: "order units", Default: "as received", Doc: "Order units that are paid for.", Example: "80"},
		{Heading: "Invoiced price", Fill: true, Form: FormMoney, Default: "as planned", Doc: "Price of one by the invoice.", Example: "0.013"},
		{Heading: "Invoiced fee", Fill: true, Form: FormMoney, Default: "as planned", Doc: "Set-up and line fee by the invoice.", Example: ""},
		{Heading: "Worth each", Form: FormMoney, Default: "0", Doc: "What a surplus piece is worth, in home currency.", Example: "0.012"},
		noteColumn(),
		forProducts(),
	}},
	{Name: TabCharges, Doc: "What is paid besides goods: delivery, minimum-order surcharge, duty, tax, handling and fees; add a row for what was charged besides.", Columns: []Column{
		{Heading: "Payee", Form: FormKey, Doc: "Who is paid.", Example: "example parts"},
		{Heading: "Charge", Form: FormKey, Required: true, Doc: "What for.", Example: "delivery"},
		currencyColumn("Currency of the charge, a code of ISO 4217.", "home currency"),
		money("Planned", "0", "As planned.", "6.50"),
		{Heading: "Invoiced", Fill: true, Form: FormMoney, Default: "as planned", Doc: "As charged; 0 where it was not.", Example: "8.00"},
		percent("Not consumed %", "0", "How much of it the run does not consume: tax that comes back, what later batches bear of a one-off cost.", ""),
		money("From stock", "0", "What the run consumes of it and was paid before, in home currency.", ""),
		{Heading: "Spread over", Form: FormWhole, Unit: "units", Default: "not spread", Doc: "Of a one-off cost: good units that bear it.", Example: ""},
		{Heading: "Units before", Form: FormWhole, Unit: "units", Default: "0", Doc: "Units of those that were made before this run.", Example: ""},
		noteColumn(),
		forProducts(),
	}},
	{Name: TabRates, Doc: "What other currencies cost, for each payee.", Columns: []Column{
		{Heading: "Payee", Form: FormKey, Doc: "Who is paid in it.", Example: "example boards"},
		{Heading: "Currency", Form: FormCurrency, Required: true, Doc: "The other currency, a code of ISO 4217.", Example: "USD"},
		{Heading: "Planned rate", Form: FormNumber, Default: "the rate paid", Unit: "home currency for one", Doc: "What one of it costs in home currency, as planned.", Example: "0.92"},
		{Heading: "Rate paid", Fill: true, Form: FormNumber, Default: "as planned", Unit: "home currency for one", Doc: "What one of it cost when it was paid.", Example: "0.95"},
		noteColumn(),
	}},
	{Name: TabHours, Doc: "Hours of hand work by operation.", Columns: []Column{
		{Heading: "Operation", Form: FormKey, Required: true, Doc: "What is done.", Example: "solder through-hole joints"},
		{Heading: "Applies to", Form: FormKey, Doc: "The lines it is counted over.", Example: "tht"},
		{Heading: "Basis", Form: FormKey, Doc: "What the seconds are for.", Example: "joint"},
		{Heading: "Seconds", Form: FormNumber, Unit: "s", Doc: "Time for one, as planned.", Example: "6"},
		{Heading: "Learning %", Form: FormPercent, Unit: "%", Default: "100", Doc: "As planned: each doubling of the number made takes this share of the time.", Example: "95"},
		{Heading: "Timed at", Form: FormWhole, Unit: "units", Default: "1", Doc: "The unit at which the seconds were taken.", Example: "1"},
		{Heading: "Done before", Form: FormWhole, Unit: "units", Default: "0", Doc: "Units that were made before this run.", Example: "0"},
		{Heading: "Planned hours", Form: FormNumber, Unit: "h", Default: "0", Doc: "Hours of the plan.", Example: "4.5"},
		money("Planned cost", "0", "What they cost by the plan, in home currency.", ""),
		{Heading: "Hours", Fill: true, Form: FormNumber, Unit: "h", Default: "as planned", Doc: "Hours that it took.", Example: "5"},
		{Heading: "First units", Fill: true, Form: FormWhole, Unit: "units", Doc: "To tell how fast it is learnt: units that were done first.", Example: ""},
		{Heading: "First hours", Fill: true, Form: FormNumber, Unit: "h", Doc: "Hours that these took, of all hours.", Example: ""},
		noteColumn(),
		forProducts(),
	}},
	{Name: TabPlates, Doc: "Plates by printer.", Columns: []Column{
		{Heading: "Printer", Form: FormKey, Required: true, Doc: "The printer.", Example: "small printer"},
		{Heading: "Good plates", Form: FormWhole, Unit: "plates", Default: "0", Doc: "Plates that must come out good.", Example: "10"},
		{Heading: "Failure %", Form: FormPercent, Unit: "%", Default: "0", Doc: "Plates that fail, as planned.", Example: "4"},
		{Heading: "Planned plates", Form: FormNumber, Unit: "plates", Default: "0", Doc: "Plates printed until those come out, on average.", Example: "10.4"},
		{Heading: "Printed", Fill: true, Form: FormWhole, Unit: "plates", Default: "as planned", Doc: "Plates that were printed, those that failed with them.", Example: "11"},
		{Heading: "Failed", Fill: true, Form: FormWhole, Unit: "plates", Doc: "Plates of those that failed.", Example: "1"},
		noteColumn(),
	}},
	{Name: TabPrints, Doc: "Hours and filament of printed parts.", Columns: []Column{
		{Heading: "Part number", Form: FormKey, Required: true, Doc: "The printed part.", Example: "CASE"},
		{Heading: "File", Form: FormKey, Doc: "Its mesh or toolpath.", Example: "case.stl"},
		{Heading: "Material", Form: FormKey, Doc: "What it is printed in.", Example: "PETG"},
		{Heading: "Printer", Form: FormKey, Doc: "What it is printed on.", Example: "small printer"},
		{Heading: "Recipe", Form: FormKey, Doc: "The recipe it is printed with.", Example: ""},
		{Heading: "Pieces", Form: FormWhole, Unit: "pieces", Default: "0", Doc: "Pieces that must come out good.", Example: "40"},
		{Heading: "Planned pieces", Form: FormNumber, Unit: "pieces", Default: "0", Doc: "Pieces laid on plates until they do, on average.", Example: "41.7"},
		{Heading: "Planned hours", Form: FormNumber, Unit: "h", Default: "0", Doc: "Hours of the plan.", Example: "62"},
		{Heading: "Start hours", Form: FormNumber, Unit: "h", Default: "0", Doc: "Hours of those for starting plates.", Example: ""},
		{Heading: "Planned g", Form: FormNumber, Unit: "g", Default: "0", Doc: "Filament of the plan.", Example: "980"},
		{Heading: "Prime g", Form: FormNumber, Unit: "g", Default: "0", Doc: "Filament of that pressed out when plates start.", Example: ""},
		money("Planned wear", "0", "Wear of the printer by the plan, in home currency.", ""),
		money("Planned energy", "0", "Energy by the plan, in home currency.", ""),
		{Heading: "Hours", Fill: true, Form: FormNumber, Unit: "h", Default: "as planned for the plates printed", Doc: "Hours that all its plates took.", Example: "65"},
		{Heading: "Filament g", Fill: true, Form: FormNumber, Unit: "g", Default: "as planned for the plates printed", Doc: "Filament that all of it took.", Example: "1010"},
		noteColumn(),
		forProducts(),
	}},
	{Name: TabPopulated, Doc: "Boards that were populated, and how many of them work.", Columns: []Column{
		{Heading: "Board", Form: FormKey, Required: true, Doc: "The board.", Example: "main board"},
		{Heading: "Assembler", Form: FormKey, Doc: "Who populates it; blank: the bench.", Example: "example assembly"},
		{Heading: "Opportunities", Form: FormWhole, Default: "0", Doc: "Of a defect, on one board: placements and joints (IPC-7912).", Example: "240"},
		{Heading: "DPMO", Form: FormNumber, Default: "0", Doc: "Defects per million opportunities, as planned.", Example: "100"},
		{Heading: "Planned", Form: FormWhole, Unit: "boards", Default: "0", Doc: "Boards of the plan.", Example: "41"},
		{Heading: "Populated", Fill: true, Form: FormWhole, Unit: "boards", Default: "as planned", Doc: "Boards that were populated.", Example: "41"},
		{Heading: "Good", Fill: true, Form: FormWhole, Unit: "boards", Doc: "Boards of those that work without rework.", Example: "40"},
		noteColumn(),
	}},
	{Name: TabLeft, Doc: "What is on hand after the run; add a row for what is not listed.", Columns: []Column{
		{Heading: "Part number", Form: FormKey, Required: true, Doc: "The part, board or material.", Example: "RES-4K7-0805"},
		{Heading: "Given by", Form: FormKey, Default: "the maker", Doc: "Whose it is.", Example: "sponsor"},
		money("Unit value", "0", "What one is worth, in home currency.", "0.03"),
		{Heading: "Before", Form: FormNumber, Unit: "pieces", Default: "0", Doc: "On hand before the run.", Example: "50"},
		{Heading: "Taken", Form: FormNumber, Unit: "pieces", Default: "0", Doc: "What the plan takes of it.", Example: "50"},
		{Heading: "Surplus", Form: FormNumber, Unit: "pieces", Default: "0", Doc: "What the plan buys and does not take.", Example: "13"},
		{Heading: "Named", Form: FormKey, Default: "as here", Doc: "What the price sheet calls it.", Example: ""},
		{Heading: "Counted", Fill: true, Form: FormNumber, Unit: "pieces", Default: "as planned for what came", Doc: "What is there after the run.", Example: "12"},
		noteColumn(),
		forProducts(),
	}},
	{Name: TabNeeded, Doc: "What the run needs of each part; nothing to fill in.", Columns: []Column{
		{Heading: "Part number", Form: FormKey, Required: true, Doc: "The part, board or material.", Example: "RES-4K7-0805"},
		{Heading: "Kind", Form: FormChoice, Choices: PurchaseKinds, Default: BoughtPart, Doc: "What it is.", Example: BoughtPart},
		{Heading: "Required", Form: FormNumber, Unit: "pieces", Default: "0", Doc: "Pieces, or grams, without spares.", Example: "82"},
		{Heading: "Spares", Form: FormNumber, Unit: "pieces", Default: "0", Doc: "Allowed over that because some is lost.", Example: "5"},
		{Heading: "Applies to", Form: FormKey, Doc: "The row of the tab attrition that the spares come from.", Example: "smt"},
		{Heading: "Package", Form: FormKey, Doc: "The package that row names.", Example: "0805"},
		noteColumn(),
		forProducts(),
	}},
}

// ForProducts heads what of a row is for each product, in a run of several.
const ForProducts = "For products"

func forProducts() Column {
	return Column{Heading: ForProducts, Form: FormKey, Default: "as of the whole plan", Doc: "What of it is for each product, in the order of the tab products, one as against another.", Example: "80; 20"}
}

func noteColumn() Column {
	return Column{Heading: "Note", Doc: "Anything worth keeping.", Example: "example"}
}

// RunTab finds a tab of an actuals workbook by its name, without regard to case, spaces
// and hyphens.
func RunTab(name string) (*Tab, bool) { return tabNamed(RunTabs, name) }

func tabNamed(tabs []Tab, name string) (*Tab, bool) {
	want := NormalHeading(name)
	tab := First(tabs, func(t *Tab) bool { return NormalHeading(t.Name) == want })
	return tab, tab != nil
}
