package bom

import (
	"slices"
	"strings"
	"unicode"
)

// Form is how the cells of a column, or the value of a setting, are written.
type Form int

// The forms.
const (
	FormText     Form = iota // free text
	FormKey                  // text that is looked for elsewhere: never a date, never an error value
	FormNumber               // a number of 0 or more, in the column's unit
	FormWhole                // a whole number of 0 or more
	FormMoney                // a number of 0 or more; a currency sign may stand with it
	FormPercent              // a number of 0 or more; a percent sign may stand with it
	FormDate                 // YYYY-MM-DD
	FormYesNo                // yes or no
	FormChoice               // one of the column's choices
	FormCurrency             // a code of ISO 4217
	FormClock                // a time of day, 08:00
)

// Numeric tells whether cells of the form are read as figures.
func (f Form) Numeric() bool {
	return f == FormNumber || f == FormWhole || f == FormMoney || f == FormPercent
}

// Column is one documented column of a tab.
type Column struct {
	Heading  string   // as it is documented, and the key of Heading.Col
	Synonyms []string // other headings that are read alike
	Doc      string   // one sentence, with the unit where there is one
	Unit     string   // empty where there is none
	Form     Form
	Required bool     // a row without it is an error
	Fill     bool     // of an actuals workbook: filled in while the run is made
	Default  string   // what a blank cell means; empty where it means nothing is known
	Choices  []string // closed; empty where the cell is free
	Example  string   // what an example row shows
}

// Tab is one documented table: the bill of materials or a tab of the price
// sheet.
type Tab struct {
	Name    string
	Doc     string // one sentence
	Columns []Column
}

// Column finds a column by its documented heading.
func (t *Tab) Column(heading string) (*Column, bool) {
	c := First(t.Columns, func(c *Column) bool { return c.Heading == heading })
	return c, c != nil
}

// Find gives the column that a heading names, whether by its documented
// heading or by a synonym.
func (t *Tab) Find(heading string) (*Column, bool) {
	c := First(t.Columns, func(c *Column) bool {
		_, named := Choice(heading, append([]string{c.Heading}, c.Synonyms...))
		return named
	})
	return c, c != nil
}

// Headings lists the documented headings in order.
func (t *Tab) Headings() []string {
	return Each(t.Columns, func(c *Column) string { return c.Heading })
}

// BreakMark opens the heading of a column of the tab offers that holds the
// price from a number of order units on: "@10".
const BreakMark = "@"

// The names of the tabs of the price sheet.
const (
	TabSettings       = "settings"
	TabExchange       = "exchange"
	TabSuppliers      = "suppliers"
	TabOffers         = "offers"
	TabBoards         = "boards"
	TabPanels         = "panels"
	TabAssembly       = "assembly"
	TabAssemblyQuotes = "assembly quotes"
	TabAttrition      = "attrition"
	TabHandWork       = "hand work"
	TabMaterials      = "materials"
	TabPrinters       = "printers"
	TabPostage        = "postage"
	TabRecipients     = "recipients"
	TabOnHand         = "on hand"
	TabSubstitutes    = "substitutes"
	TabWhoPays        = "who pays"
	TabOneOff         = "one-off"
	TabParts          = "parts"
)

var yesNo = []string{"yes", "no"}

// The closed choices.
var (
	AllowanceKinds = []string{"smt", "tht", "fastener", "packing", "other"}
	WorkKinds      = []string{"smt", "tht", "fastener", "insert", "wire", "printed", "test", "bagging", "packing"}
	WorkBases      = []string{"joint", "piece", "unit", "batch", "plate"}
	CustomsBases   = []string{"CIF", "FOB"}
	Fittings       = []string{string(FitBench), string(FitAssembler), string(FitCheapest)}
	PartsFrom      = []string{PartsSent, PartsIncluded}
)

// Whose machine-placed parts an assembler's quote is for.
const (
	PartsSent     = "sent"     // by the maker, who buys them
	PartsIncluded = "included" // in the price
)

func kindNames() []string {
	return Each(Kinds, func(k *Kind) string { return string(*k) })
}

// FindLevel gives the level of a word.
func FindLevel(word string) (Level, bool) {
	level := Level(slices.Index(LevelNames(), word) + 1)
	return level, level > 0
}

// LevelNames are the words for the levels.
func LevelNames() []string { return Each(Levels, func(l *Level) string { return l.String() }) }

// BOMTab documents the bill of materials.
var BOMTab = Tab{
	Name: "BOM",
	Doc:  "One row for each part, board, printed piece or packing of one unit, or of one board in a board's own file.",
	Columns: []Column{
		{Heading: "Designator", Synonyms: []string{"Designators", "Reference designator", "RefDes"}, Form: FormKey,
			Doc: "The places on the board, as a list or with ranges.", Example: "R1, R4-R7"},
		{Heading: "Quantity", Synonyms: []string{"Qty", "Qty per unit"}, Form: FormNumber, Unit: "pieces",
			Doc: "Pieces per board on a board's list, else per unit; blank where the designators say it.", Example: "5"},
		{Heading: "Part number", Synonyms: []string{"MPN", "Manufacturer part number", "Part no", "P/N"}, Form: FormKey,
			Doc: "The key into the price sheet; without one, value and package are the key (with the description where lines of one value and no package differ in it), without those the description.", Example: "RES-4K7-0805"},
		{Heading: "Manufacturer", Synonyms: []string{"Mfr"}, Doc: "Who makes the part; shown, not used.", Example: "any"},
		{Heading: "Description", Doc: "What the line is, in words.", Example: "resistor 1 %"},
		{Heading: "Value", Form: FormKey, Doc: "The value in RKM or SI writing (IEC 60062).", Example: "4k7"},
		{Heading: "Package", Synonyms: []string{"Footprint", "Case"}, Form: FormKey,
			Doc: "The package or chip size.", Example: "0805"},
		{Heading: "Kind", Form: FormChoice, Choices: kindNames(),
			Doc: "What the line is; blank: settled from the other columns.", Example: "part"},
		{Heading: "Mount", Synonyms: []string{"Mounting", "Technology"}, Form: FormChoice, Choices: []string{string(SMT), string(THT)},
			Doc: "How the part sits on the board; blank: settled from the package, the description or the designator.", Example: "SMT"},
		{Heading: "Joints", Synonyms: []string{"Pins", "Leads"}, Form: FormWhole, Unit: "joints",
			Doc: "Solder joints of one piece; blank: settled from the package, else assumed.", Example: "2"},
		{Heading: "Side", Form: FormChoice, Choices: []string{string(Top), string(Bottom)}, Default: string(Top),
			Doc: "The side of the board that the part sits on.", Example: "top"},
		{Heading: "Fitted", Synonyms: []string{"Fit", "Populate"}, Form: FormYesNo, Choices: yesNo, Default: "yes",
			Doc: "Whether the line is fitted; a line that is not costs nothing and is listed.", Example: "yes"},
		{Heading: "DNP", Synonyms: []string{"DNF", "DNI"}, Form: FormYesNo, Choices: yesNo, Default: "no",
			Doc: "The other way round to Fitted: yes leaves the line out; have one of the two columns.", Example: "no"},
		{Heading: "Level", Synonyms: []string{"From level"}, Form: FormChoice, Choices: LevelNames(),
			Doc: "The first level at which the line is included; blank: packing, boards and SMT parts at board, the rest at kit.", Example: "kit"},
		{Heading: "File", Synonyms: []string{"BOM file"}, Form: FormKey,
			Doc: "Beside this file: the list of a board or assembly, or the mesh or toolpath of one printed part, both with a semicolon between; case.3mf#2 names a piece of a file that holds several.", Example: "main-board.csv"},
		{Heading: "Material", Form: FormKey, Doc: "What a printed part is printed in.", Example: "PETG"},
		{Heading: "Filament g", Form: FormNumber, Unit: "g",
			Doc: "Filament of one piece as measured, in g; blank: from the file.", Example: "23.5"},
		{Heading: "Print hours", Form: FormNumber, Unit: "h",
			Doc: "Print time of one piece as measured, in hours; blank: from the file.", Example: "1.75"},
		{Heading: "Per plate", Form: FormWhole, Unit: "pieces",
			Doc: "Pieces that are printed in one go; blank: as many as the bed holds where a file tells the size, shared with parts of the same material, recipe and printer, else one.", Example: "4"},
		{Heading: "Printer", Form: FormKey, Doc: "Which printer prints it; blank: laid out for the first that it fits, and printed by whichever it fits that is free first.", Example: "small printer"},
		{Heading: "Recipe", Form: FormKey, Doc: "The row of the tab print recipes for a part that is computed from its mesh; blank: the first row.", Example: "strong"},
		{Heading: "Cut mm", Form: FormNumber, Unit: "mm",
			Doc: "What each piece is cut to from a ring or a roll, in mm: Quantity then counts the leads.", Example: "250"},
		{Heading: "Mass g", Synonyms: []string{"Weight g"}, Form: FormNumber, Unit: "g",
			Doc: "Mass of one piece for postage, in g; that of a board is the populated board's, and its parts then need none.", Example: "0.3"},
		{Heading: "Length mm", Form: FormNumber, Unit: "mm",
			Doc: "Outer length of the parcel, on a packing line, in mm.", Example: "180"},
		{Heading: "Width mm", Form: FormNumber, Unit: "mm",
			Doc: "Outer width of the parcel, on a packing line, in mm.", Example: "120"},
		{Heading: "Height mm", Form: FormNumber, Unit: "mm",
			Doc: "Outer height of the parcel, on a packing line, in mm; of a part how far it stands off its board.", Example: "60"},
		{Heading: "Bench s", Form: FormNumber, Unit: "s",
			Doc: "Hand work on each piece, in seconds, without learning, instead of the rows by joint and by piece of the tab hand work.", Example: "20"},
		{Heading: "Hazard", Synonyms: []string{"Hazards"}, Form: FormKey,
			Doc: "What a postal service may refuse, in words of your own with commas between them: Excludes of the tab postage names them.", Example: "lithium cells"},
		{Heading: "Supplier", Form: FormKey, Doc: "Who sells the part; start --bom and an estimate without a price sheet take it over.", Example: "example parts"},
		{Heading: "Order code", Form: FormKey, Doc: "What the supplier sells it by; taken over likewise.", Example: "10-4711"},
		{Heading: "Price", Synonyms: []string{"Unit price"}, Form: FormMoney, Doc: "What one piece costs, or so many as a column Unit says (100 pcs); columns headed @1, @10 hold price breaks; taken over likewise.", Example: "0.012"},
		currencyColumn("Currency of the price, a code of ISO 4217; taken over likewise.", "its sign, else home currency"),
		{Heading: "Stock", Form: FormWhole, Unit: "pieces", Doc: "How many the supplier has; taken over likewise.", Example: "4000"},
		{Heading: "MOQ", Form: FormWhole, Unit: "pieces", Doc: "The fewest that are sold; taken over likewise.", Example: "10"},
	},
}

// PriceTabs documents the tabs of the price sheet in their documented order.
var PriceTabs = []Tab{
	priceTab(TabSettings, "The figures that hold for the whole run; a blank value takes the default.",
		Column{Heading: "Setting", Form: FormKey, Required: true, Doc: "The name of the setting.", Example: "Home currency"},
		Column{Heading: "Value", Doc: "Its value.", Example: "EUR"},
		Column{Heading: "Low", Doc: "The lowest that the value may turn out to be; blank: the value.", Example: ""},
		Column{Heading: "High", Doc: "The highest that the value may turn out to be; blank: the value.", Example: ""},
	),
	priceTab(TabExchange, "What other currencies cost.",
		Column{Heading: "Currency", Form: FormCurrency, Required: true, Doc: "The other currency, a code of ISO 4217.", Example: "USD"},
		Column{Heading: "Rate", Form: FormNumber, Required: true, Unit: "home currency for one",
			Doc: "What one of it costs in home currency.", Example: "0.92"},
		low("Low", FormNumber, "", "the rate"), high("High", FormNumber, "", "the rate"),
	),
	priceTab(TabSuppliers, "Everybody an order goes to: of parts, boards, assembly or filament; money in the supplier's currency unless it says otherwise.",
		Column{Heading: "Supplier", Form: FormKey, Required: true, Doc: "The supplier's name.", Example: "example parts"},
		currencyColumn("The supplier's currency, a code of ISO 4217.", "home currency"),
		money("Delivery", "0", "Charge for delivering one order.", "6.50"),
		money("Free delivery over", "", "Goods from which delivery is free; blank: never.", "50"),
		money("Minimum order", "0", "The least that an order must come to; what lacks is paid on top.", "10"),
		Column{Heading: "Lead days", Form: FormWhole, Unit: "days", Doc: "Days from order to arrival.", Example: "5"},
		percent("Duty %", "0", "Customs duty on lines that have none of their own, and on what is no line, in %.", "0"),
		percent("Import tax %", "0", "Tax that is added to what an order comes to: on import, or by a supplier of your own country whose prices are without it, in %.", "0"),
		money("Duty free up to", "0", "Value of an order up to which no duty by its value falls due, that value included, in home currency; the delivery does not count.", "150"),
		money("Tax free up to", "0", "Value up to which no tax is added, that value included, in home currency.", "0"),
		money("Flat duty per heading", "0", "Duty for each different customs heading in an order that is free of duty by its value, in home currency; what has no heading counts as one.", "0"),
		money("Handling fee", "0", "What the carrier asks for clearing customs, once where duty or tax falls due, in home currency.", "0"),
		money("Consignment fee per line", "0", "On the assembler's row: what it asks for each part number that it fits and does not sell the run itself, or not all of it.", "0"),
		Column{Heading: "Parts sent count", Form: FormYesNo, Choices: yesNo, Default: "no",
			Doc: "On the assembler's row: whether customs count what others send there, and stock, to the value of the populated boards.", Example: "no"},
	),
	priceTab(TabOffers, "What suppliers ask for parts: a row for each price break, or one row with columns headed @1, @10, @100. Stock, MOQ, Multiple, From and prices all count order units.",
		Column{Heading: "Part number", Synonyms: []string{"MPN", "Manufacturer part number", "Part no", "P/N"}, Form: FormKey, Required: true,
			Doc: "The part as the bill of materials names it.", Example: "RES-4K7-0805"},
		Column{Heading: "Supplier", Synonyms: quoteWords("Supplier", "Supplier"), Form: FormKey, Required: true, Doc: "Who sells it.", Example: "example parts"},
		Column{Heading: "Order code", Synonyms: quoteWords("Order code", "Order code"), Form: FormKey, Doc: "What to order it by; tells several offers of one supplier apart.", Example: "10-4711"},
		Column{Heading: "Stock", Synonyms: quoteWords("Stock", "Stock"), Form: FormWhole, Unit: "order units", Doc: "How many there are; blank: enough.", Example: "4000"},
		Column{Heading: "MOQ", Synonyms: quoteWords("MOQ", "MOQ"), Form: FormWhole, Unit: "order units", Default: "1",
			Doc: "The fewest that are sold.", Example: "10"},
		Column{Heading: "Multiple", Synonyms: quoteWords("Multiple", "Multiple"), Form: FormWhole, Unit: "order units", Default: "1",
			Doc: "Sold in multiples of this many.", Example: "10"},
		Column{Heading: "Pieces", Synonyms: quoteWords("Pieces", "Pieces"), Form: FormNumber, Unit: "pieces", Default: "1",
			Doc: "Pieces in one order unit: 100 for a pack of a hundred screws.", Example: "1"},
		Column{Heading: "Cut from m", Form: FormNumber, Unit: "m",
			Doc: "Length of a ring or roll that leads are cut from (Cut mm in the bill of materials), in m; blank: it is not cut.", Example: ""},
		Column{Heading: "From", Synonyms: quoteWords("From", "From"), Form: FormWhole, Unit: "order units", Default: "1",
			Doc: "The number of order units from which the price holds.", Example: "100"},
		Column{Heading: "Price", Synonyms: quoteWords("Price", "Unit price"), Form: FormMoney, Unit: "per order unit", Required: true,
			Doc: "Price of one order unit; a price of 0 must be typed.", Example: "0.012"},
		low("Low", FormMoney, "", "the price in the row, the first of its @ columns,"), high("High", FormMoney, "", "that price"),
		currencyColumn("Currency of the price, a code of ISO 4217.", "the supplier's"),
		Column{Heading: "Surplus worth %", Form: FormPercent, Unit: "%", Default: "the setting Surplus worth %", Doc: "What surplus pieces are worth, in % of what they cost.", Example: ""},
		money("Line fee", "0", "Charge for the line of the order, once, in the currency of the price; free delivery and minimum order do not count it.", ""),
		Column{Heading: "Heading", Synonyms: []string{"Customs heading", "Tariff heading", "HS code", "Commodity code"}, Form: FormKey,
			Doc: "The customs heading of the goods: flat duty falls on each different one.", Example: ""},
		Column{Heading: "Duty %", Form: FormPercent, Unit: "%", Default: "the supplier's", Doc: "Customs duty on the goods, in %.", Example: ""},
		Column{Heading: "More", Form: FormWhole, Unit: "order units", Doc: "How many more are expected to come in.", Example: ""},
		Column{Heading: "More on", Form: FormDate, Doc: "The day on which they come in, YYYY-MM-DD: an order that waits for them leaves on that day.", Example: ""},
	),
	priceTab(TabBoards, "What fabricators quote for bare boards: a row for each lot; a row without a lot gives set-up and rate by area for what is not quoted.",
		Column{Heading: "Board", Form: FormKey, Required: true, Doc: "The board as its line in the bill of materials names it, or a panel of the tab panels.", Example: "main board"},
		Column{Heading: "Fabricator", Form: FormKey, Default: "the setting Board fabricator", Doc: "Who makes it.", Example: "example boards"},
		Column{Heading: "Lot", Form: FormWhole, Unit: "boards", Doc: "Boards in the lot; blank on a row with set-up and rate.", Example: "50"},
		money("Price", "", "Price of the whole lot.", "62.00"),
		low("Low", FormMoney, "", "the price of the lot, or Per dm2 on a row without one,"), high("High", FormMoney, "", "that money"),
		currencyColumn("Currency of the money on the row, a code of ISO 4217.", "the fabricator's"),
		Column{Heading: "Length mm", Form: FormNumber, Unit: "mm", Doc: "Length of one board or panel, in mm; that of a panel with one board type follows from the board's.", Example: "80"},
		Column{Heading: "Width mm", Form: FormNumber, Unit: "mm", Doc: "Width of one board or panel, in mm.", Example: "50"},
		Column{Heading: "Option", Form: FormKey, Doc: "What the quote is for: layers, thickness, finish.", Example: "2 layers, 1.6 mm"},
		money("Set-up", "0", "Set-up charge on a row without a lot.", ""),
		money("Per dm2", "0", "Price of one square decimetre on a row without a lot.", ""),
		Column{Heading: "At most", Form: FormWhole, Unit: "lots", Default: "any number", Doc: "How many such lots are sold at most: 1 for a price that holds once.", Example: ""},
		Column{Heading: "Surplus worth %", Form: FormPercent, Unit: "%", Default: "the setting Board surplus worth %", Doc: "What surplus boards are worth, in % of what they cost.", Example: ""},
	),
	priceTab(TabPanels, "Boards that are made and populated several in one piece: a row for each board type on a panel. The panel has its prices in the tab boards, under its name.",
		Column{Heading: "Panel", Form: FormKey, Required: true, Doc: "The panel's name.", Example: "panel of four"},
		Column{Heading: "Board", Form: FormKey, Required: true, Doc: "A board on it, as its line in the bill of materials names it.", Example: "main board"},
		Column{Heading: "Per panel", Synonyms: []string{"Boards per panel"}, Form: FormWhole, Unit: "boards", Required: true, Doc: "How many of the board are on it.", Example: "4"},
		Column{Heading: "Across", Form: FormWhole, Unit: "boards", Default: "so that the panel is nearest to a square",
			Doc: "How many of them lie side by side along the board's length: with Length mm and Width mm of the board it gives the panel's size, where a panel holds one board type and the tab boards does not give its size.", Example: "2"},
		Column{Heading: "Gap mm", Form: FormNumber, Unit: "mm", Default: "0", Doc: "Between two boards, in mm.", Example: "2"},
		Column{Heading: "Border mm", Form: FormNumber, Unit: "mm", Default: "0", Doc: "Around the boards, on each side, in mm.", Example: "5"},
		Column{Heading: "X-outs", Form: FormWhole, Unit: "boards", Default: "0", Doc: "Positions of the board on a panel that the fabricator may mark as bad: they are not populated.", Example: "0"},
	),
	priceTab(TabAssembly, "What machine assemblers ask by rates, for each board type or panel; a row for each assembler.",
		Column{Heading: "Assembler", Form: FormKey, Required: true, Doc: "The assembler's name.", Example: "example assembly"},
		currencyColumn("Currency of the money on the row, a code of ISO 4217.", "that of the supplier of the same name"),
		money("Set-up", "0", "Set-up charge for each board type.", "40"),
		money("Stencil", "0", "Stencil, for each side that has parts.", "15"),
		Column{Heading: "Stencil kept", Form: FormYesNo, Default: "no", Choices: yesNo, Doc: "Whether stencils of an earlier batch are there, so that none are paid, with --repeat or without.", Example: "no"},
		money("Second side", "0", "Extra charge where both sides have parts.", "20"),
		money("Per line", "0", "Charge for each different machine-placed part number.", "1.00"),
		money("Per placement", "0", "Charge for each placed part.", "0.015"),
		money("Per joint", "0", "Charge for each solder joint of placed parts.", "0"),
		money("Per board", "0", "Charge for each board that is populated.", "0"),
		money("Hand set-up", "0", "Set-up charge for each board type where through-hole parts are fitted too.", "0"),
		money("Per hand joint", "", "Charge for each solder joint of through-hole parts; blank: they are not fitted.", "0.05"),
		money("Minimum", "0", "The least that a board type costs.", "0"),
		Column{Heading: "DPMO", Form: FormNumber, Unit: "defects per million opportunities", Default: "0",
			Doc: "Defects per million opportunities (placements and joints of SMT parts, IPC-7912).", Example: "100"},
	),
	priceTab(TabAssemblyQuotes, "What machine assemblers quote for a board or panel: a row for each number from which a price holds. It competes with the rates of the tab assembly.",
		Column{Heading: "Assembler", Form: FormKey, Required: true, Doc: "The assembler's name.", Example: "example assembly"},
		Column{Heading: "Board", Form: FormKey, Required: true, Doc: "The board as its line in the bill of materials names it, or the panel.", Example: "main board"},
		Column{Heading: "From", Synonyms: []string{"Quantity", "Qty"}, Form: FormWhole, Unit: "boards or panels", Default: "1", Doc: "The number from which the price holds; so many are paid for where that costs less.", Example: "50"},
		Column{Heading: "Price each", Synonyms: []string{"Unit price", "Price"}, Form: FormMoney, Required: true, Doc: "Price of populating one.", Example: "8.24"},
		Column{Heading: "Set-up", Form: FormMoney, Default: "that of another row of the quote, else 0", Doc: "Charged once; the same in all rows of a quote.", Example: "60"},
		Column{Heading: "Parts", Form: FormChoice, Choices: PartsFrom, Default: PartsSent, Doc: "Whether the parts that are fitted there are sent or included in the price.", Example: PartsSent},
		Column{Heading: "Hand-fit", Form: FormYesNo, Choices: yesNo, Default: "no", Doc: "Whether through-hole parts are fitted.", Example: "no"},
		currencyColumn("Currency of the money on the row, a code of ISO 4217.", "that of the supplier of the same name"),
		Column{Heading: "Lead days", Form: FormWhole, Unit: "days", Default: "the supplier's", Doc: "Days from when all is there to when the boards are delivered.", Example: "10"},
	),
	priceTab(TabAttrition, "What is bought over what is required because some is lost: the greater of percent and pieces; a row that names the package wins.",
		Column{Heading: "Applies to", Form: FormChoice, Choices: AllowanceKinds, Required: true, Doc: "The mount or kind the row is for.", Example: "smt"},
		Column{Heading: "Package", Form: FormKey, Default: "any", Doc: "The package the row is for; blank: any.", Example: "0805"},
		percent("Percent", "0", "Allowance over what is required, in %.", "2"),
		Column{Heading: "Pieces", Form: FormWhole, Unit: "pieces", Default: "0", Doc: "The least allowance, in pieces.", Example: "5"},
		Column{Heading: "At least", Form: FormWhole, Unit: "pieces", Default: "0", Doc: "The least that is supplied of a part in all, such as a strip that a machine can feed, in pieces.", Example: ""},
	),
	priceTab(TabParts, "What the lists do not say of a part, or of every part in a package; the first row that fits counts, rows with a part number before rows with a package.",
		Column{Heading: "Part number", Synonyms: []string{"MPN", "Manufacturer part number", "Part no", "P/N"}, Form: FormKey,
			Doc: "The part as the bill of materials names it; * stands for anything.", Example: "BRAK-T*"},
		Column{Heading: "Package", Synonyms: []string{"Footprint"}, Form: FormKey, Doc: "Every part in this package, where Part number is blank; * stands for anything.", Example: ""},
		Column{Heading: "Mount", Form: FormChoice, Choices: []string{string(SMT), string(THT)}, Doc: "How it sits on the board.", Example: "THT"},
		Column{Heading: "Joints", Form: FormWhole, Unit: "joints", Doc: "Solder joints of one piece.", Example: "3"},
		Column{Heading: "Side", Form: FormChoice, Choices: []string{string(Top), string(Bottom)}, Doc: "The side of the board that it sits on.", Example: "top"},
		Column{Heading: "Kind", Form: FormChoice, Choices: kindNames(), Doc: "What the line is.", Example: "part"},
		Column{Heading: "Mass g", Form: FormNumber, Unit: "g", Doc: "Mass of one piece, in g.", Example: "2.9"},
		Column{Heading: "Height mm", Form: FormNumber, Unit: "mm", Doc: "How far it stands off its board, in mm: low parts are fitted first.", Example: "14"},
		Column{Heading: "Hazard", Form: FormKey, Doc: "What a postal service may refuse, in words with commas between them.", Example: ""},
	),
	priceTab(TabHandWork, "Bench time.",
		Column{Heading: "Operation", Form: FormKey, Required: true, Doc: "What is done.", Example: "solder through-hole joints"},
		Column{Heading: "Applies to", Form: FormChoice, Choices: WorkKinds, Required: true, Doc: "The lines it is counted over; of bagging all but SMT parts, packing and what an assembler fits, and each board as one piece.", Example: "tht"},
		Column{Heading: "Basis", Form: FormChoice, Choices: WorkBases, Required: true, Doc: "What the seconds are for.", Example: "joint"},
		Column{Heading: "Seconds", Form: FormNumber, Unit: "s", Required: true, Doc: "Time for one, the first time it is done or at the unit of Timed at, in seconds.", Example: "6"},
		low("Low", FormNumber, "s", "the seconds"), high("High", FormNumber, "s", "the seconds"),
		Column{Heading: "Learning %", Form: FormPercent, Unit: "%", Default: "100",
			Doc: "Each doubling of the number made takes this share of the time; 100 is no learning.", Example: "95"},
		Column{Heading: "Timed at", Form: FormWhole, Unit: "units", Default: "1", Doc: "The unit at which the seconds were taken, where they were not taken at the first.", Example: "1"},
		Column{Heading: "Done before", Form: FormWhole, Unit: "units", Default: "0", Doc: "Units that were made before this run: learning goes on from there.", Example: "0"},
		percent("Share %", "100", "How many of the times that it could fall due it does: a sample that is tested, units that need rework.", "100"),
	),
	priceTab(TabMaterials, "Filament as it is sold, a row for each spool.",
		Column{Heading: "Material", Form: FormKey, Required: true, Doc: "The material as the bill of materials names it.", Example: "PETG"},
		Column{Heading: "Density g/cm3", Form: FormNumber, Unit: "g/cm3", Doc: "Density, in g/cm3, for parts that are measured from a file.", Example: "1.27"},
		Column{Heading: "Diameter mm", Form: FormNumber, Unit: "mm", Doc: "Diameter of the filament, in mm, for parts that are measured from a toolpath.", Example: "1.75"},
		Column{Heading: "Spool g", Form: FormNumber, Unit: "g", Required: true, Doc: "Filament on one spool, in g.", Example: "1000"},
		Column{Heading: "Spool price", Form: FormMoney, Required: true, Doc: "Price of one spool.", Example: "22.90"},
		low("Low", FormMoney, "", "the price of a spool"), high("High", FormMoney, "", "the price of a spool"),
		currencyColumn("Currency of the price, a code of ISO 4217.", "the supplier's"),
		Column{Heading: "Supplier", Form: FormKey, Doc: "Who sells it.", Example: "example parts"},
		Column{Heading: "Surplus worth %", Form: FormPercent, Unit: "%", Default: "the setting Surplus worth %", Doc: "What surplus grams are worth, in % of what they cost.", Example: ""},
	),
	priceTab(TabPrinters, "The printers there are.",
		Column{Heading: "Printer", Form: FormKey, Required: true, Doc: "The printer's name.", Example: "small printer"},
		Column{Heading: "Count", Form: FormWhole, Unit: "printers", Default: "1", Doc: "How many of the kind there are.", Example: "2"},
		Column{Heading: "Bed X mm", Form: FormNumber, Unit: "mm", Doc: "Usable width of the bed, in mm.", Example: "220"},
		Column{Heading: "Bed Y mm", Form: FormNumber, Unit: "mm", Doc: "Usable depth of the bed, in mm.", Example: "220"},
		Column{Heading: "Bed Z mm", Form: FormNumber, Unit: "mm", Doc: "Usable height, in mm.", Example: "250"},
		Column{Heading: "Power W", Form: FormNumber, Unit: "W", Default: "0", Doc: "Average power while printing, in W.", Example: "110"},
		low("Power low W", FormNumber, "W", "the power"), high("Power high W", FormNumber, "W", "the power"),
		money("Hourly rate", "0", "What an hour of printing costs but for energy: wear and spare parts, in home currency.", "0.20"),
		percent("Failure %", "0", "Plates that fail, in %.", "4"),
		low("Failure low %", FormPercent, "%", "Failure %"), high("Failure high %", FormPercent, "%", "Failure %"),
		Column{Heading: "Attended from", Form: FormClock, Default: "00:00", Doc: "Time of day from which a plate can be started.", Example: "08:00"},
		Column{Heading: "Attended to", Form: FormClock, Default: "24:00", Doc: "Time of day until which a plate can be started; it may pass midnight: 22:00 to 06:00.", Example: "22:00"},
		Column{Heading: "Runs on unattended", Form: FormYesNo, Choices: yesNo, Default: "yes", Doc: "Whether a plate may run on after the attended hours; no: it ends within them as well.", Example: "yes"},
		limit("Max speed X mm/s", "mm/s", "200"), limit("Max speed Y mm/s", "mm/s", "200"),
		limit("Max speed Z mm/s", "mm/s", "12"), limit("Max speed E mm/s", "mm/s", "50"),
		limit("Max acceleration X mm/s2", "mm/s2", "1500"), limit("Max acceleration Y mm/s2", "mm/s2", "1500"),
		limit("Max acceleration Z mm/s2", "mm/s2", "100"), limit("Max acceleration E mm/s2", "mm/s2", "3000"),
		limit("Junction deviation mm", "mm", "0.02"),
	),
	RecipeTab,
	PrintLogTab,
	priceTab(TabPostage, "Postal services; the cheapest that holds the parcel, carries its hazards and its value is taken. A blank limit is none.",
		Column{Heading: "Service", Form: FormKey, Required: true, Doc: "The service's name.", Example: "small parcel"},
		Column{Heading: "To", Form: FormKey, Doc: "Where it goes; blank: anywhere.", Example: "inland"},
		Column{Heading: "Max g", Form: FormNumber, Unit: "g", Doc: "Heaviest parcel, in g; where there is a divisor, by volume as well.", Example: "2000"},
		Column{Heading: "Max length mm", Form: FormNumber, Unit: "mm", Doc: "Longest side of the parcel, in mm.", Example: "600"},
		Column{Heading: "Max width mm", Form: FormNumber, Unit: "mm", Doc: "Middle side of the parcel, in mm.", Example: "300"},
		Column{Heading: "Max height mm", Form: FormNumber, Unit: "mm", Doc: "Shortest side of the parcel, in mm.", Example: "150"},
		Column{Heading: "Max value", Form: FormMoney, Doc: "The most that the units of a parcel may be worth: the price that estimate --price gives, before tax, else what they cost without postage.", Example: ""},
		Column{Heading: "Excludes", Form: FormKey, Doc: "Hazards that it does not carry, as lists or the tab parts name them, with commas between them.", Example: ""},
		Column{Heading: "Price", Form: FormMoney, Required: true, Doc: "Price of one parcel.", Example: "5.49"},
		currencyColumn("Currency of the price and of Max value, a code of ISO 4217.", "home currency"),
		Column{Heading: "Volumetric divisor", Form: FormNumber, Unit: "cm3/kg",
			Doc: "Cubic centimetres that count as one kg (common practice: 5000 or 6000); blank: only the mass counts.", Example: ""},
	),
	priceTab(TabRecipients, "How many units go to each zone, and how they are put in parcels; where they do not come to the batch they are taken in proportion. Without it, or with counts of 0 alone, all go where the setting Post to says.",
		Column{Heading: "Zone", Form: FormKey, Required: true, Doc: "The zone, as the column To of the tab postage names it; services to no named place go to all.", Example: "inland"},
		Column{Heading: "Count", Form: FormWhole, Unit: "units", Required: true, Doc: "Units that go there; 0: none.", Example: "30"},
		Column{Heading: "Units per parcel", Form: FormWhole, Unit: "units", Default: "1", Doc: "Units that go in one parcel; the last one holds the rest.", Example: ""},
		Column{Heading: "Carton g", Form: FormNumber, Unit: "g", Doc: "Mass of the carton around the units of a parcel, in g; blank: there is none.", Example: ""},
		Column{Heading: "Carton length mm", Form: FormNumber, Unit: "mm", Doc: "Outer length of the carton, in mm; blank: where a parcel holds one unit, that of its packing.", Example: ""},
		Column{Heading: "Carton width mm", Form: FormNumber, Unit: "mm", Doc: "Outer width of the carton, in mm.", Example: ""},
		Column{Heading: "Carton height mm", Form: FormNumber, Unit: "mm", Doc: "Outer height of the carton, in mm.", Example: ""},
	),
	priceTab(TabOnHand, "What is there already and need not be bought: a row for each part, giver and unit value, of which the first is taken first.",
		Column{Heading: "Part number", Synonyms: []string{"MPN", "Manufacturer part number", "Part no", "P/N"}, Form: FormKey, Required: true,
			Doc: "The part, board or material as the bill of materials names it; printed parts are printed anew.", Example: "SC-M3-10"},
		Column{Heading: "Quantity", Synonyms: []string{"Qty", "Count"}, Form: FormNumber, Unit: "pieces", Required: true,
			Doc: "How many there are, in pieces; of a material in g; of what is cut to one length in leads of it, to several in whole rings.", Example: "120"},
		money("Unit value", "0", "What one piece is worth, in home currency.", "0.03"),
		Column{Heading: "Given by", Form: FormKey, Default: "the maker", Doc: "Who gives it: its value is shown as theirs.", Example: "sponsor"},
	),
	priceTab(TabSubstitutes, "Parts that may stand in for another.",
		Column{Heading: "Part number", Synonyms: []string{"MPN", "Manufacturer part number", "Part no", "P/N"}, Form: FormKey, Required: true,
			Doc: "The part as the bill of materials names it.", Example: "BZ-12"},
		Column{Heading: "Substitute", Form: FormKey, Required: true, Doc: "The part that may take its place.", Example: "BZ-14"},
		money("Extra per unit", "0", "What the change costs besides the part, for each unit, in home currency.", "0"),
		money("Extra per batch", "0", "What the change costs once, in home currency.", "0"),
		Column{Heading: "Extra seconds per unit", Form: FormNumber, Unit: "s", Default: "0", Doc: "Bench time that the change adds to a unit, in seconds.", Example: "20"},
		Column{Heading: "Allowed", Form: FormYesNo, Choices: yesNo, Default: "yes", Doc: "Whether it may be used; no keeps it on the list with its note.", Example: "yes"},
		Column{Heading: "Mix", Form: FormYesNo, Choices: yesNo, Default: "no", Doc: "Whether some units of a batch may have the part and the others the substitute; no: all have the same.", Example: "no"},
	),
	priceTab(TabOneOff, "What falls due once, however many units are made: a jig, an approval, artwork, a programming fixture.",
		Column{Heading: "What", Form: FormKey, Required: true, Doc: "What is paid for.", Example: "test jig"},
		Column{Heading: "Category", Form: FormKey, Default: "tooling", Doc: "The category that it counts in.", Example: "tooling"},
		Column{Heading: "Payee", Form: FormKey, Doc: "Who is paid.", Example: "example workshop"},
		Column{Heading: "Price", Form: FormMoney, Required: true, Doc: "What it costs in all.", Example: "60.00"},
		currencyColumn("Currency of the price, a code of ISO 4217.", "that of the supplier of the payee's name"),
		Column{Heading: "Spread over", Form: FormWhole, Unit: "units", Default: "this batch", Doc: "Good units that bear it, those of later batches included.", Example: "200"},
		Column{Heading: "Units before", Form: FormWhole, Unit: "units", Default: "0", Doc: "Units of those that were made before.", Example: "0"},
		Column{Heading: "Paid already", Form: FormYesNo, Default: "no", Choices: yesNo, Doc: "Whether it was paid for an earlier batch; no money leaves then.", Example: "no"},
	),
	priceTab(TabWhoPays, "Who bears what; without a row the maker pays. The shares of one thing come to 100 %.",
		Column{Heading: "Applies to", Form: FormKey, Required: true, Doc: "A part (of a printed one: its filament and energy), a supplier, a category, or everything: what no other row names.", Example: "bare boards"},
		Column{Heading: "Payer", Form: FormKey, Required: true, Doc: "Who pays.", Example: "sponsor"},
		Column{Heading: "Share %", Form: FormPercent, Unit: "%", Required: true, Doc: "The payer's share, in %.", Example: "100"},
	),
}

// priceTab gives a tab the two columns that every tab of the price sheet has.
func priceTab(name, doc string, columns ...Column) Tab {
	return Tab{Name: name, Doc: doc, Columns: append(columns,
		Column{Heading: "As of", Synonyms: quoteWords("As of", "Date"), Form: FormDate, Doc: "The date of the figures, YYYY-MM-DD.", Example: "2026-03-01"},
		Column{Heading: "Note", Doc: "Anything worth keeping.", Example: "example"},
	)}
}

// quoteWords are the words that suppliers' quotes have for a column: a maker's own
// table of prices uses them too.
func quoteWords(ours, theirs string) []string {
	c, _ := QuoteTab.Find(theirs)
	return slices.DeleteFunc(append([]string{c.Heading}, c.Synonyms...), func(word string) bool { return word == ours })
}

func money(heading, defaultText, doc, example string) Column {
	return Column{Heading: heading, Form: FormMoney, Default: defaultText, Doc: doc, Example: example}
}

func percent(heading, defaultText, doc, example string) Column {
	return Column{Heading: heading, Form: FormPercent, Unit: "%", Default: defaultText, Doc: doc, Example: example}
}

func currencyColumn(doc, defaultText string) Column {
	return Column{Heading: "Currency", Form: FormCurrency, Default: defaultText, Doc: doc, Example: "EUR"}
}

// low and high are the columns that say how far a figure may turn out otherwise.
func low(heading string, form Form, unit, of string) Column {
	return bound(heading, form, unit, "lowest", of)
}

func high(heading string, form Form, unit, of string) Column {
	return bound(heading, form, unit, "highest", of)
}

func bound(heading string, form Form, unit, end, of string) Column {
	return Column{Heading: heading, Form: form, Unit: unit, Doc: "The " + end + " that " + of + " may turn out to be; blank: as it stands."}
}

func limit(heading, unit, defaultText string) Column {
	return Column{Heading: heading, Form: FormNumber, Unit: unit, Default: defaultText, Example: defaultText,
		Doc: "Limit of the printer's motion, in " + unit + ", for parts that are timed from a file, whatever a recipe asks for."}
}

// LimitHeadings lists the columns of the tab printers that hold limits of
// motion: the keys of Printer.Limits.
var LimitHeadings = []string{
	"Max speed X mm/s", "Max speed Y mm/s", "Max speed Z mm/s", "Max speed E mm/s",
	"Max acceleration X mm/s2", "Max acceleration Y mm/s2", "Max acceleration Z mm/s2", "Max acceleration E mm/s2",
	"Junction deviation mm",
}

// PriceTab finds a tab of the price sheet by its name, without regard to case,
// spaces and hyphens.
func PriceTab(name string) (*Tab, bool) { return tabNamed(PriceTabs, name) }

// TabNames lists the tabs of the price sheet in order.
func TabNames() []string {
	return Each(PriceTabs, func(t *Tab) string { return t.Name })
}

// SettingDef documents one setting.
type SettingDef struct {
	Name     string
	Default  string // as it would be typed; empty where there is none
	Unit     string
	Form     Form
	Required bool
	Doc      string   // one sentence
	Source   string   // where the default comes from
	Choices  []string // closed; empty where the value is free
}

// Where a default comes from.
const (
	SourceCommon  = "common practice, no source" // a figure of the trade
	SourceNeutral = "neutral"                    // changes nothing
	SourceNone    = "must be given"
)

// SettingDefs documents every setting, in the order in which they are shown.
var SettingDefs = []SettingDef{
	{Name: "Home currency", Form: FormCurrency, Required: true, Source: SourceNone,
		Doc: "The currency that everything is reckoned in, a code of ISO 4217."},
	{Name: "Labour rate per hour", Default: "0", Unit: "home currency per h", Form: FormMoney, Source: SourceNeutral,
		Doc: "What an hour at the bench costs; at 0 the hours are still shown."},
	{Name: "Labour paid", Default: "no", Form: FormYesNo, Choices: yesNo, Source: SourceNeutral,
		Doc: "Whether somebody is paid for labour; else it is own work, and no money leaves."},
	{Name: "Energy price per kWh", Default: "0", Unit: "home currency per kWh", Form: FormMoney, Source: SourceNeutral,
		Doc: "What a kilowatt-hour costs."},
	{Name: "Confidence %", Default: "95", Unit: "%", Form: FormPercent, Source: SourceCommon,
		Doc: "How sure it must be that enough come out good; over 0 and under 100."},
	{Name: "Unit yield %", Default: "100", Unit: "%", Form: FormPercent, Source: SourceNeutral,
		Doc: "Units that come out good; over 0."},
	{Name: "Assembler", Form: FormKey, Source: SourceNeutral,
		Doc: "Who places the SMT parts: a name from the tab assembly or assembly quotes, or bench where they are hand work; blank: whichever lands cheapest of those with prices, the bench if there are none."},
	{Name: "Through-hole at", Default: string(FitBench), Form: FormChoice, Choices: Fittings, Source: SourceNeutral,
		Doc: "Who fits the through-hole parts of kits and finished units: the bench, the assembler, or for finished units whichever of the two lands cheaper with its work."},
	{Name: "Board fabricator", Form: FormKey, Source: SourceNeutral,
		Doc: "Who makes the boards: quotes of others are ignored, and those that name nobody are theirs; blank: whoever lands cheapest."},
	{Name: "Surplus worth %", Default: "100", Unit: "%", Form: FormPercent, Source: SourceNeutral,
		Doc: "What parts and filament that stay behind are worth, in % of what they cost: the lower of cost and what they would bring (IAS 2.9)."},
	{Name: "Board surplus worth %", Default: "0", Unit: "%", Form: FormPercent, Source: "a board of one's own design is worth nothing to anybody else (IAS 2.9)",
		Doc: "What bare boards that stay behind are worth, in % of what they cost."},
	{Name: "Price age limit days", Default: "90", Unit: "days", Form: FormWhole, Source: SourceCommon,
		Doc: "Prices older than this are named in a warning."},
	{Name: "Old price spread %", Default: "10", Unit: "%", Form: FormPercent, Source: SourceCommon,
		Doc: "How far, either way, a price older than that may turn out otherwise where the row gives no Low and High; under 100."},
	{Name: "Thin cover", Default: "1.5", Unit: "times what is required", Form: FormNumber, Source: SourceCommon,
		Doc: "A part may run out where the stock of all its suppliers is less than this many times what a batch requires; 1 or more."},
	{Name: "Fewest sources", Default: "2", Unit: "suppliers", Form: FormWhole, Source: SourceCommon,
		Doc: "A part that fewer suppliers have is named by tenoff stock."},
	{Name: "Stock age limit days", Default: "7", Unit: "days", Form: FormWhole, Source: SourceCommon,
		Doc: "A part that rests on older stock figures (As of in the tab offers) is named by tenoff stock."},
	{Name: "Customs basis", Default: "FOB", Form: FormChoice, Choices: CustomsBases, Source: SourceNeutral,
		Doc: "Whether the value for customs holds the delivery (CIF) or not (FOB): each country's choice."},
	{Name: "Tax recovered", Default: "no", Form: FormYesNo, Choices: yesNo, Source: SourceNeutral,
		Doc: "Whether the tax on orders comes back: it is paid first and not consumed."},
	{Name: "Sales tax %", Default: "0", Unit: "%", Form: FormPercent, Source: SourceNeutral,
		Doc: "Tax on the price before tax, which is collected and paid on; ask the tax office."},
	{Name: "Free units", Default: "0", Unit: "units", Form: FormKey, Source: SourceNeutral,
		Doc: "Units of a batch that are given away: a whole number, or all; recipients still pay what they bear."},
	{Name: "Margin %", Default: "0", Unit: "%", Form: FormPercent, Source: SourceNeutral,
		Doc: "Share of the price before tax that is kept; with the payment fee under 100."},
	{Name: "Payment fee %", Default: "0", Unit: "%", Form: FormPercent, Source: SourceNeutral,
		Doc: "Share of a payment that taking it costs."},
	{Name: "Payment fee fixed", Default: "0", Unit: "home currency", Form: FormMoney, Source: SourceNeutral,
		Doc: "What taking one payment costs besides."},
	{Name: "Round price up to", Default: "0", Unit: "home currency", Form: FormMoney, Source: SourceNeutral,
		Doc: "Step that prices are rounded up to; 0: the minor unit."},
	{Name: "Post to", Form: FormKey, Source: SourceNeutral,
		Doc: "Destination whose postal services count; blank: all. Not used where the tab recipients says where parcels go."},
	{Name: "Recipients", Form: FormKey, Source: SourceNeutral,
		Doc: "The payer of the tab who pays who is the recipients of the units; blank: one called recipient or recipients."},
	{Name: "Plate spacing mm", Default: "5", Unit: "mm", Form: FormNumber, Source: SourceCommon,
		Doc: "Kept free between pieces that are printed on one plate, where Per plate is blank."},
	{Name: "Bench hours per day", Default: "2", Unit: "h", Form: FormNumber, Source: SourceCommon,
		Doc: "Hours of hand work that get done in a day, an evening where it is blank; over 0 and up to 24."},
	{Name: "Working days", Default: "every day", Form: FormKey, Source: SourceNeutral,
		Doc: "Days of the week on which orders move and hands work, such as Mon-Fri or Tue, Sat; printers run every day. Lead days and days of hand work are then working days."},
	{Name: "Quote from", Form: FormText, Source: SourceNeutral,
		Doc: "Who a quote comes from: name and address; blank: a line to fill in."},
	{Name: "Quote valid days", Default: "30", Unit: "days", Form: FormWhole, Source: SourceCommon,
		Doc: "Days from its day of issue that a quote is valid, unless a price that it rests on gets older than Price age limit days before."},
	{Name: "Quote payment terms", Form: FormText, Source: SourceNeutral,
		Doc: "How and when a quote is to be paid; blank: a line to fill in."},
}

// SettingNames lists the documented settings in order.
func SettingNames() []string {
	return Each(SettingDefs, func(d *SettingDef) string { return d.Name })
}

// FindSetting gives the documented setting of a name.
func FindSetting(name string) (*SettingDef, bool) {
	def, ok := settingsByName[NormalHeading(name)]
	return def, ok
}

var settingsByName = func() map[string]*SettingDef {
	out := map[string]*SettingDef{}
	for _, d := range Refs(SettingDefs) {
		out[NormalHeading(d.Name)] = d
	}
	return out
}()

// NormalHeading brings headings, tab names and names of settings to the form
// in which they are compared: without case, white space, dots, underscores,
// hyphens, brackets and typographic quotes, with % for percent.
func NormalHeading(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune("._()[]“”„- \t\n\v\f\r", r), r > unicode.MaxASCII && unicode.In(r, unicode.White_Space, unicode.Cf, unicode.Pd):
			return -1
		case r == '²':
			return '2'
		case r == '³':
			return '3'
		}
		return unicode.ToLower(r)
	}, foldWidth(s))
	return strings.ReplaceAll(s, "percent", "%")
}

// Nearest gives the known word that a mistyped one most likely stands for, or the
// only one that has all its words, as Home currency has those of Currency; ok is
// false where there is none. Of two that are equally near the first wins.
func Nearest(word string, known []string) (nearest string, ok bool) {
	w := []rune(NormalHeading(word))
	if len(w) == 0 || len(w) > nearestLimit {
		return "", false
	}
	best := max(1, len(w)/3) + 1
	if len(w) < 3 { // any other of one or two letters would do
		best = 1
	}
	for _, k := range known {
		r := []rune(NormalHeading(k))
		if len(r)-len(w) >= best || len(w)-len(r) >= best {
			continue // at least as many letters to add or drop
		}
		if d := editDistance(w, r); d < best {
			nearest, best = k, d
		}
	}
	if nearest == "" {
		nearest = fuller(word, known)
	}
	return nearest, nearest != ""
}

// fuller gives the only known word that has all the words of another, and more.
func fuller(word string, known []string) string {
	found := ""
	words := strings.Fields(word)
	for _, k := range known {
		in := strings.Fields(k)
		if !slices.ContainsFunc(words, func(w string) bool {
			return !slices.ContainsFunc(in, func(i string) bool { return NormalHeading(i) == NormalHeading(w) })
		}) {
			if found != "" {
				return ""
			}
			found = k
		}
	}
	return found
}

// shortestMisspelt is how many letters a word has at least to be taken for another
// with a slip in it.
const shortestMisspelt = 6

// Misspelt tells whether a word is one of those known but for one letter that is
// missing, added, wrong or swapped with the next.
func Misspelt(word string, known []string) bool {
	w := []rune(NormalHeading(word))
	return len(w) >= shortestMisspelt && len(w) <= nearestLimit && slices.ContainsFunc(known, func(k string) bool {
		r := []rune(NormalHeading(k))
		return max(len(r), len(w))-min(len(r), len(w)) <= 1 && editDistance(w, r) == 1
	})
}

// nearestLimit keeps a huge cell from being compared letter by letter.
const nearestLimit = 100

// editDistance counts the letters to insert, drop, change or swap with their
// neighbour that turn a into b (optimal string alignment).
func editDistance(a, b []rune) int {
	width := len(b) + 1
	cells := make([]int, 3*width)
	before, last, row := cells[:width], cells[width:2*width], cells[2*width:]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// Choice finds what a cell of a closed choice says, without regard to case and
// spaces.
func Choice(text string, choices []string) (string, bool) {
	want := NormalHeading(text)
	i := slices.IndexFunc(choices, func(c string) bool { return NormalHeading(c) == want })
	if i < 0 {
		return "", false
	}
	return choices[i], true
}
