package sheet

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

func dec(s string) decimal.Decimal { return decimal.RequireFromString(s) }

// same compares two decimals by value: 1.0 and 1.00 are not deeply equal.
func same(a, b any) bool { return asJSON(a) == asJSON(b) }

const home = "Setting,Value\nHome currency,EUR\nBoard fabricator,Alder Boards\n"

// read reads tabs given as name and text, with a home currency of EUR unless
// settings are among them.
func read(opt Options, tabs ...string) (*bom.Prices, bom.Problems) {
	var tables []bom.Table
	settings := false
	for i := 0; i+1 < len(tabs); i += 2 {
		tables = append(tables, csvTable("p/"+tabs[i]+".csv", tabs[i+1]))
		settings = settings || tabs[i] == "settings"
	}
	if !settings {
		tables = append(tables, csvTable("p/settings.csv", home))
	}
	return ReadPrices(tables, "p", opt)
}

// example is what the documentation shows as an example of a column.
func example(tab, heading string) string {
	t, _ := bom.PriceTab(tab)
	c, _ := t.Column(heading)
	return c.Example
}

func TestReadPricesFillsEveryField(t *testing.T) {
	got, problems := read(Options{},
		"settings", "Setting,Value,Low,High,As of,Note\nHome currency,eur\nLabour rate per hour,€18.50,15,22,2026-03-01,club\nEnergy price per kWh,0.31\n"+
			"Confidence %,90 %\nUnit yield %,98\nAssembler,birch assembly\nThrough-hole at,Cheapest\nBoard fabricator,Alder Boards\nPrice age limit days,60\nThin cover,2.5\nFewest sources,3\nStock age limit days,14\n"+
			"Customs basis,cif\nTax recovered,yes\nLabour paid,yes\nSales tax %,20\nFree units,all\nSurplus worth %,90\nBoard surplus worth %,5\nMargin %,10\nPayment fee %,2.9\nPayment fee fixed,0.35\nRound price up to,0.50\nPost to,inland\nRecipients,members\nPlate spacing mm,4\nBench hours per day,3.5\nWorking days,Mo-Fr\nQuote from,Fen Club\nQuote valid days,14\nQuote payment terms,in cash\n",
		"exchange", "Currency,Rate,As of,Note\nUSD,0.92,2026-03-01,bank\nGBP,1.17\n",
		"suppliers", "Supplier,Currency,Delivery,Free delivery over,Minimum order,Lead days,Duty %,Import tax %,Duty free up to,Tax free up to,Handling fee,Consignment fee per line,As of,Note\n"+
			"Larch & Fen,USD,12,100,20,5,3.7 %,21,150,22,8,2.5,2026-02-01,far\nBirch Assembly,GBP\n",
		"offers", "Part number,Supplier,Order code,Stock,MOQ,Multiple,Pieces,From,Price,Currency,Surplus worth %,As of,Note\n"+
			"QX-1,larch & fen,C-1,4000,10,10,1,10,0.05,,40,2026-02-03,a\nQX-1,Larch & Fen,C-1,,,,,100,0.03,,,2026-02-01,b\nQX-SC,Moor Fixings,S-1,,,,100,,3.20\n",
		"boards", "Board,Fabricator,Lot,Price,Currency,Length mm,Width mm,Option,Set-up,Per dm2,Surplus worth %,As of,Note\n"+
			"MAIN,,50,62,USD,80,50,2 layers,,,25,2026-02-01,n\nMAIN,Alder Boards,,,,80,50,,30,4.5\n",
		"panels", "Panel,Board,Per panel,Across,Gap mm,Border mm,X-outs,As of,Note\nM4,MAIN,4,2,2.5,5,1,2026-02-01,n\nM6,MAIN,6\n",
		"assembly", "Assembler,Currency,Set-up,Stencil,Second side,Per line,Per placement,Per joint,Per board,Hand set-up,Per hand joint,Minimum,DPMO,As of,Note\n"+
			"Birch Assembly,,40,15,20,1,0.015,0.004,0.3,25,0.05,60,100,2026-02-01,n\nLarch & Fen,EUR,10\n",
		"assembly quotes", "Assembler,Board,From,Price each,Set-up,Parts,Hand-fit,Currency,Lead days,As of,Note\n"+
			"birch assembly,M4,50,8.24,,Included,yes,USD,9,2026-02-01,n\nBirch Assembly,M4,10,15,60,included,yes,USD,\nbirch  assembly,MAIN,,4\n",
		"attrition", "Applies to,Package,Percent,Pieces,As of,Note\nsmt,0603,2 %,5,2026-02-01,n\nfastener,,5,\n",
		"hand-work", "Operation,Applies to,Basis,Seconds,Learning %,Timed at,Done before,Share %,As of,Note\nsolder,tht,joint,6.5,95,20,40,12.5,2026-02-01,n\ntest,test,unit,90\n",
		"materials", "Material,Density g/cm3,Diameter mm,Spool g,Spool price,Currency,Supplier,Surplus worth %,As of,Note\nPETG,1.27,1.75,1000,22.9,,Larch & Fen,80,2026-02-01,n\n",
		"printers", "Printer,Count,Bed X mm,Bed Y mm,Bed Z mm,Power W,Hourly rate,Failure %,Attended from,Attended to,Max speed X mm/s,Junction deviation mm,As of,Note\n"+
			"shed,2,220,210,250,110,0.2,4,08:00,22:30,200,0.02,2026-02-01,n\nhut,,,,,,,,,\n",
		"print recipes", "Recipe,Layer mm,Line width mm,Walls,Solid layers,Infill %,Wall speed mm/s,Solid speed mm/s,Infill speed mm/s,Travel speed mm/s,Flow limit mm3/s,"+
			"Acceleration mm/s2,Start seconds,Layer change seconds,Skirt loops,Support %,As of,Note,"+
			"First layer mm,Top layers,Bottom layers,Outer wall speed mm/s,Small outline speed mm/s,First layer speed mm/s,Top speed mm/s,Least layer seconds,Slowest speed mm/s,Prime mm,Infill linked,Solid under mm2,Infill line mm,First layer line mm,Outline inset mm,Bridge speed mm/s,Bridge strand mm,Gap speed mm/s,First layer fill speed mm/s,Pull-back seconds,Pull back inside,Restart mm,Top line mm,Flow %,First layer acceleration mm/s2\n"+
			"strong,0.3,0.6,3,5,40,30,35,40,150,0,2000,0,0,0,12.5,2026-02-01,n,0.35,6,0,22,15,18,28,12,8,40,yes,15,0.7,0.5,0.05,24,0.4,0,20,0.12,yes,0.1,0.35,95 %,300\ndraft,,,,,,,,,,,,,,,,,,,,,,,,,,,,,\n",
		"print-log", "File,Part,Measured g,Measured hours,Printer,Recipe,Date,Note\ncase.stl,,38.9,2.4,Shed,Strong,2026-02-03,n\n,QX-LID,12,,,,,\n",
		"postage", "Service,To,Max g,Max length mm,Max width mm,Max height mm,Max value,Excludes,Price,Currency,Volumetric divisor,As of,Note\n"+
			"parcel,inland,2000,600,300,150,500,\"Lithium cells, magnets,lithium  cells,\",5.49,,5000,2026-02-01,n\n",
		"recipients", "Zone,Count,Units per parcel,Carton g,Carton length mm,Carton width mm,Carton height mm,As of,Note\n"+
			"inland,34,6,380,400,290,180,2026-02-01,n\nNext door,0\n",
		"on hand", "Part number,Quantity,Unit value,Given by,As of,Note\nQX-1,12,0.05,school,2026-02-01,n\nPETG,0\n",
		"substitutes", "Part number,Substitute,Extra per unit,Extra per batch,Extra seconds per unit,Allowed,Mix,As of,Note\nQX-1,QX-2,0.1,5,20,no,yes,2026-02-01,n\nQX-1,QX-3\n",
		"who-pays", "Applies to,Payer,Share %,As of,Note\nbare board,sponsor,60,2026-02-01,n\nBare board,maker,40 %\n",
	)
	expect(t, problems,
		`warning: p/offers.csv:4:2: no row in the tab suppliers, so taken as home currency without delivery, duty or tax ("Moor Fixings"); add a row for it`,
		`warning: p/boards.csv:2:2: no row in the tab suppliers, so taken as home currency without delivery, duty or tax ("Alder Boards"); add a row for it`)
	eur, usd, gbp := bom.Currency{Code: "EUR", Digits: 2}, bom.Currency{Code: "USD", Digits: 2}, bom.Currency{Code: "GBP", Digits: 2}
	day := func(d int8) bom.Date { return bom.Date{Year: 2026, Month: 2, Day: d} }
	// at takes the place over from what was read; TestPlaces checks it.
	s := got.Settings
	wantSettings := bom.Settings{Home: eur, LabourRate: dec("18.5"), EnergyPrice: dec("0.31"), Confidence: dec("90"), UnitYield: dec("98"),
		Assembler: "Birch Assembly", ThroughHole: bom.FitCheapest, Fabricator: "Alder Boards", PriceAgeDays: 60, OldSpread: dec("10"), ThinCover: dec("2.5"), FewSources: 3, StockAgeDays: 14, CIF: true, TaxRecovered: true, LabourPaid: true, SalesTax: dec("20"), FreeUnits: bom.AllFree, SurplusWorth: dec("90"), BoardWorth: dec("5"), Margin: dec("10"),
		PaymentFee: dec("2.9"), PaymentFixed: dec("0.35"), RoundUpTo: dec("0.5"), SpacingMM: 4, PostTo: "inland", Recipients: "members", BenchHours: dec("3.5"), WorkingDays: 0b11111, QuoteFrom: "Fen Club", QuoteDays: 14, QuoteTerms: "in cash", All: s.All}
	if !same(s, wantSettings) {
		t.Errorf("settings %s", asJSON(s))
	}
	if l := s.All[1]; l.Name != "Labour rate per hour" || l.Text != "€18.50" || l.Default || l.Low != "15" || l.High != "22" ||
		!l.Range.Least.Decimal.Equal(dec("15")) || !l.Range.Most.Valid || !l.Range.Most.Decimal.Equal(dec("22")) || s.All[2].Range.Given() ||
		l.AsOf.String() != "2026-03-01" || l.Note != "club" || l.Row != 3 {
		t.Errorf("labour rate %+v", l)
	}
	check := func(what string, got, want any) {
		t.Helper()
		if !same(got, want) {
			t.Errorf("%s\n%s\nwant\n%s", what, asJSON(got), asJSON(want))
		}
	}
	check("exchange", got.Exchange, []bom.Rate{
		{Dated: bom.Dated{Origin: got.Exchange[0].Origin, AsOf: bom.Date{Year: 2026, Month: 3, Day: 1}, Note: "bank"}, Currency: usd, Rate: dec("0.92")},
		{Dated: bom.Dated{Origin: got.Exchange[1].Origin}, Currency: gbp, Rate: dec("1.17")}})
	check("suppliers", got.Suppliers, []bom.Supplier{
		{Dated: bom.Dated{Origin: got.Suppliers[0].Origin, AsOf: day(1), Note: "far"}, Name: "Larch & Fen", Currency: usd, Delivery: dec("12"), FreeOver: decimal.NewNullDecimal(dec("100")),
			MinOrder: dec("20"), LeadDays: 5, LeadKnown: true, Duty: dec("3.7"), Tax: dec("21"), DutyFreeUpTo: dec("150"), TaxFreeUpTo: dec("22"),
			Handling: dec("8"), ConsignPerLine: dec("2.5")},
		{Dated: bom.Dated{Origin: got.Suppliers[1].Origin}, Name: "Birch Assembly", Currency: gbp}})
	check("offers", got.Offers, []bom.Offer{
		{Dated: bom.Dated{Origin: got.Offers[0].Origin, AsOf: day(1), Note: "a; b"}, Rows: []int{2, 3}, Part: "QX-1", Supplier: "Larch & Fen", Code: "C-1", Stock: 4000, MOQ: 10, Multiple: 10, Pieces: bom.One, Currency: usd,
			Breaks: []bom.Break{
				{Origin: got.Offers[0].Origin, Heading: "Price", From: 10, Price: dec("0.05")},
				{Origin: got.Offers[0].Breaks[1].Origin, Heading: "Price", From: 100, Price: dec("0.03")}}, Worth: decimal.NewNullDecimal(dec("40"))},
		{Dated: bom.Dated{Origin: got.Offers[1].Origin}, Rows: []int{4}, Part: "QX-SC", Supplier: "Moor Fixings", Code: "S-1", Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.Whole(100), Currency: eur,
			Breaks: []bom.Break{{Origin: got.Offers[1].Origin, Heading: "Price", From: 1, Price: dec("3.2")}}}})
	check("boards", got.Quotes, []bom.Quote{
		{Dated: bom.Dated{Origin: got.Quotes[0].Origin, AsOf: day(1), Note: "n"}, Board: "MAIN", Fabricator: "Alder Boards", Lot: 50, Price: dec("62"), Currency: usd,
			LengthMM: bom.Known(80), WidthMM: bom.Known(50), Option: "2 layers", Worth: decimal.NewNullDecimal(dec("25"))},
		{Dated: bom.Dated{Origin: got.Quotes[1].Origin}, Board: "MAIN", Fabricator: "Alder Boards", Currency: eur, LengthMM: bom.Known(80), WidthMM: bom.Known(50),
			SetUp: dec("30"), PerDM2: dec("4.5")}})
	check("panels", got.Panels, []bom.PanelRow{
		{Dated: bom.Dated{Origin: got.Panels[0].Origin, AsOf: day(1), Note: "n"}, Panel: "M4", Board: "MAIN", Per: 4, Across: 2, GapMM: 2.5, BorderMM: 5, XOuts: 1},
		{Dated: bom.Dated{Origin: got.Panels[1].Origin}, Panel: "M6", Board: "MAIN", Per: 6}})
	check("assembly", got.Assemblers, []bom.Assembler{
		{Dated: bom.Dated{Origin: got.Assemblers[0].Origin, AsOf: day(1), Note: "n"}, Name: "Birch Assembly", Currency: gbp, SetUp: dec("40"),
			Stencil: dec("15"), SecondSide: dec("20"), PerLine: dec("1"), PerPlacement: dec("0.015"), PerJoint: dec("0.004"), PerBoard: dec("0.3"),
			HandSetUp: dec("25"), PerHandJoint: decimal.NewNullDecimal(dec("0.05")), Minimum: dec("60"), DPMO: dec("100")},
		{Dated: bom.Dated{Origin: got.Assemblers[1].Origin}, Name: "Larch & Fen", Currency: eur, SetUp: dec("10")}})
	check("assembly quotes", got.AssemblyQuotes, []bom.AssemblyQuote{
		{Dated: bom.Dated{Origin: got.AssemblyQuotes[0].Origin}, Assembler: "Birch Assembly", Board: "M4", From: 10, Each: dec("15"), SetUp: dec("60"), SetUpAt: got.AssemblyQuotes[0].Origin, Included: true, HandFit: true, Currency: usd},
		{Dated: bom.Dated{Origin: got.AssemblyQuotes[1].Origin, AsOf: day(1), Note: "n"}, Assembler: "Birch Assembly", Board: "M4", From: 50, Each: dec("8.24"), SetUp: dec("60"), SetUpAt: got.AssemblyQuotes[0].Origin, Included: true, HandFit: true, Currency: usd,
			LeadDays: 9, LeadKnown: true},
		{Dated: bom.Dated{Origin: got.AssemblyQuotes[2].Origin}, Assembler: "Birch Assembly", Board: "MAIN", From: 1, Each: dec("4"), SetUpAt: got.AssemblyQuotes[2].Origin, Currency: gbp}})
	if at := got.AssemblyQuotes[1].SetUpAt.At("Set-up").String(); at != "p/assembly quotes.csv:3:5" {
		t.Errorf("the set-up of the second tier stands at %s", at)
	}
	check("attrition", got.Allowances, []bom.Allowance{
		{Dated: bom.Dated{Origin: got.Allowances[0].Origin, AsOf: day(1), Note: "n"}, AppliesTo: "smt", Package: "0603", Percent: dec("2"), Pieces: 5},
		{Dated: bom.Dated{Origin: got.Allowances[1].Origin}, AppliesTo: "fastener", Percent: dec("5")}})
	check("hand work", got.HandWork, []bom.Operation{
		{Dated: bom.Dated{Origin: got.HandWork[0].Origin, AsOf: day(1), Note: "n"}, Name: "solder", AppliesTo: "tht", Basis: "joint", Seconds: 6.5, Learning: 95, TimedAt: 20, Before: 40, Share: dec("12.5")},
		{Dated: bom.Dated{Origin: got.HandWork[1].Origin}, Name: "test", AppliesTo: "test", Basis: "unit", Seconds: 90, Learning: 100, TimedAt: 1, Share: dec("100")}})
	check("materials", got.Materials, []bom.Material{{Dated: bom.Dated{Origin: got.Materials[0].Origin, AsOf: day(1), Note: "n"}, Name: "PETG", Density: 1.27, DiameterMM: 1.75,
		SpoolG: bom.Whole(1000), SpoolPrice: dec("22.9"), Currency: usd, Supplier: "Larch & Fen", Worth: decimal.NewNullDecimal(dec("80"))}})
	check("printers", got.Printers, []bom.Printer{
		{Dated: bom.Dated{Origin: got.Printers[0].Origin, AsOf: day(1), Note: "n"}, Name: "shed", Count: 2, BedMM: [3]bom.Measure{bom.Known(220), bom.Known(210), bom.Known(250)}, PowerW: 110,
			HourlyRate: dec("0.2"), Failure: dec("4"), AttendedMin: [2]int{480, 1350},
			Limits: map[string]float64{"Max speed X mm/s": 200, "Junction deviation mm": 0.02}},
		{Dated: bom.Dated{Origin: got.Printers[1].Origin}, Name: "hut", Count: 1, AttendedMin: [2]int{0, 1440}}})
	draft := bom.DefaultRecipe() // blank cells
	draft.Origin, draft.Name = got.Recipes[1].Origin, "draft"
	check("recipes", got.Recipes, []bom.Recipe{
		{Dated: bom.Dated{Origin: got.Recipes[0].Origin, AsOf: day(1), Note: "n"}, Name: "strong", LayerMM: 0.3, LineMM: 0.6, Walls: 3, SolidLayers: 5, Infill: 40, Flow: 95, WallSpeed: 30, SolidSpeed: 35,
			InfillSpeed: 40, TravelSpeed: 150, Acceleration: 2000, Support: 12.5, LeastS: 12, SlowestSpeed: 8, PrimeMM: 40, InfillLinked: true, PullBackS: 0.12, PullInside: true, RestartMM: 0.1, SolidUnder: 15, InsetMM: 0.05, Special: bom.SpecialLines{
				FirstLayerMM: bom.Known(0.35), FillLineMM: bom.Known(0.7), TopLayers: bom.Known(6), BottomLayers: bom.Known(0), OuterSpeed: bom.Known(22), SmallSpeed: bom.Known(15),
				FirstSpeed: bom.Known(18), FirstFillSpeed: bom.Known(20), TopSpeed: bom.Known(28), FirstLineMM: bom.Known(0.5), BridgeSpeed: bom.Known(24), BridgeMM: bom.Known(0.4), GapSpeed: bom.Known(0), TopLineMM: bom.Known(0.35), FirstAcceleration: bom.Known(300)}}, draft})
	check("print log", got.PrintLog, []bom.PrintLog{
		{Dated: bom.Dated{Origin: got.PrintLog[0].Origin, AsOf: day(3), Note: "n"}, File: "case.stl", MeasuredG: bom.Known(38.9), MeasuredH: bom.Known(2.4), Printer: "Shed", Recipe: "Strong"},
		{Dated: bom.Dated{Origin: got.PrintLog[1].Origin}, Part: "QX-LID", MeasuredG: bom.Known(12)}})
	check("postage", got.Postage, []bom.Service{{Dated: bom.Dated{Origin: got.Postage[0].Origin, AsOf: day(1), Note: "n"}, Name: "parcel", To: "inland", MaxG: bom.Known(2000),
		MaxMM: [3]bom.Measure{bom.Known(600), bom.Known(300), bom.Known(150)}, MaxValue: decimal.NewNullDecimal(dec("500")),
		Excludes: []string{"Lithium cells", "magnets"}, Price: dec("5.49"), Currency: eur, Divisor: 5000}})
	check("recipients", got.Recipients, []bom.Recipient{
		{Dated: bom.Dated{Origin: got.Recipients[0].Origin, AsOf: day(1), Note: "n"}, Zone: "inland", Count: 34, UnitsPer: 6, CartonG: bom.Known(380),
			CartonMM: [3]bom.Measure{bom.Known(400), bom.Known(290), bom.Known(180)}},
		{Dated: bom.Dated{Origin: got.Recipients[1].Origin}, Zone: "Next door", UnitsPer: 1}})
	check("on hand", got.OnHand, []bom.OnHand{
		{Dated: bom.Dated{Origin: got.OnHand[0].Origin, AsOf: day(1), Note: "n"}, Part: "QX-1", Quantity: bom.Whole(12), UnitValue: dec("0.05"), GivenBy: "school"},
		{Dated: bom.Dated{Origin: got.OnHand[1].Origin}, Part: "PETG"}})
	check("substitutes", got.Substitutes, []bom.Substitute{
		{Dated: bom.Dated{Origin: got.Substitutes[0].Origin, AsOf: day(1), Note: "n"}, Part: "QX-1", Substitute: "QX-2", ExtraPerUnit: dec("0.1"), ExtraPerBatch: dec("5"), ExtraSeconds: 20, Mix: true},
		{Dated: bom.Dated{Origin: got.Substitutes[1].Origin}, Part: "QX-1", Substitute: "QX-3", Allowed: true}})
	check("who pays", got.WhoPays, []bom.Share{
		{Dated: bom.Dated{Origin: got.WhoPays[0].Origin, AsOf: day(1), Note: "n"}, AppliesTo: "bare board", Payer: "sponsor", Percent: dec("60")},
		{Dated: bom.Dated{Origin: got.WhoPays[1].Origin}, AppliesTo: "Bare board", Payer: "maker", Percent: dec("40")}})
}

func TestPlaces(t *testing.T) {
	got, problems := read(Options{}, "offers", "prices of March\n\nPart number,Supplier,@1,@10\nA,Larch,2,1\n")
	expect(t, problems)
	if at := got.Offers[0].At("Supplier").String(); at != "p/offers.csv:4:2" {
		t.Errorf("supplier at %s", at)
	}
	if b := got.Offers[0].Breaks[1]; b.At(b.Heading).String() != "p/offers.csv:4:4" || b.From != 10 {
		t.Errorf("break %+v at %s", b, b.At(b.Heading))
	}
}

func TestDefaultsOfSettings(t *testing.T) {
	got, problems := read(Options{}, "settings", "Setting,Value\nHome currency,EUR\nConfidence %,\n")
	expect(t, problems)
	s := got.Settings
	if s.Confidence.String() != "95" || s.UnitYield.String() != "100" || s.PriceAgeDays != 90 || s.ThinCover.String() != "1.5" || s.FewSources != 2 || s.StockAgeDays != 7 || s.SpacingMM != 5 || s.BenchHours.String() != "2" || s.CIF || s.TaxRecovered || !s.LabourRate.IsZero() {
		t.Errorf("%+v", s)
	}
	var names []string
	for i, set := range s.All {
		names = append(names, set.Name)
		if set.Default != (i > 0) || set.Default && set.Text != bom.SettingDefs[i].Default {
			t.Errorf("%+v", set)
		}
	}
	if !slices.Equal(names, bom.SettingNames()) {
		t.Errorf("settings %q, want all that are documented", names)
	}
}

func TestSettingRules(t *testing.T) {
	for _, c := range []struct {
		why, rows string
		want      []string
	}{
		{"unknown, near one", "Home currency,EUR\nLabor rate per hour,5", []string{
			`p/settings.csv:3:1: Setting: not a setting that is known ("Labor rate per hour"); did you mean Labour rate per hour`}},
		{"unknown, near none", "Home currency,EUR\nColour,5", []string{
			`p/settings.csv:3:1: Setting: not a setting that is known ("Colour"); one of ` + strings.Join(bom.SettingNames(), ", ")}},
		{"twice", "Home currency,EUR\nMargin %,5\nmargin percent,6", []string{
			`p/settings.csv:4:1: Setting: the setting Margin % stands twice, here and in row 3 ("margin percent"); keep one row for it`}},
		{"no home currency", "Margin %,5", []string{
			"p/settings.csv: the home currency is not given; a row with Home currency and a code of ISO 4217 such as EUR"}},
		{"a blank home currency", "Home currency,", []string{
			"p/settings.csv:2:2: Home currency is blank; a code of ISO 4217 such as EUR"}},
		{"a home currency that is none", "Home currency,Taler", []string{
			`p/settings.csv:2:2: Value: not a currency of ISO 4217 ("Taler"); a code of ISO 4217 such as EUR`}},
		{"a sign for one currency only", "Home currency,€", nil},
		{"a sign for many", "Home currency,$", []string{
			`p/settings.csv:2:2: Value: not a currency of ISO 4217 ("$"); a code of ISO 4217 such as EUR`}},
		{"sure of everything", "Home currency,EUR\nConfidence %,100", []string{
			`p/settings.csv:3:2: Value: out of range ("100"); a percentage over 0 and under 100`}},
		{"sure of nothing", "Home currency,EUR\nConfidence %,0 %", []string{
			`p/settings.csv:3:2: Value: out of range ("0 %"); a percentage over 0 and under 100`}},
		{"no unit comes out", "Home currency,EUR\nUnit yield %,0", []string{
			`p/settings.csv:3:2: Value: out of range ("0"); a percentage over 0 and up to 100`}},
		{"more than all come out", "Home currency,EUR\nUnit yield %,101", []string{
			`p/settings.csv:3:2: Value: out of range ("101"); a percentage from 0 to 100`}},
		{"a day without work", "Home currency,EUR\nBench hours per day,0", []string{
			`p/settings.csv:3:2: Value: out of range ("0"); hours over 0 and up to 24`}},
		{"a day that is too long", "Home currency,EUR\nBench hours per day,25", []string{
			`p/settings.csv:3:2: Value: out of range ("25"); hours over 0 and up to 24`}},
		{"days that are none", "Home currency,EUR\nWorking days,weekdays", []string{
			`p/settings.csv:3:2: Value: not days of the week ("weekdays"); days such as Mon-Fri or Tue, Sat, or every day`}},
		{"a cover under one", "Home currency,EUR\nThin cover,0.9", []string{
			`p/settings.csv:3:2: Value: out of range ("0.9"); a number of 1 or more`}},
		{"part of a source", "Home currency,EUR\nFewest sources,1.5", []string{
			`p/settings.csv:3:2: Value: not a whole number ("1.5"); a whole number such as 12`}},
		{"an age that is none", "Home currency,EUR\nStock age limit days,week", []string{
			`p/settings.csv:3:2: Value: not a number ("week"); a number such as 1234.56`}},
		{"a basis that is none", "Home currency,EUR\nCustoms basis,CIP", []string{
			`p/settings.csv:3:2: Value: not one of the choices ("CIP"); one of CIF, FOB; did you mean CIF`}},
		{"neither yes nor no", "Home currency,EUR\nTax recovered,perhaps", []string{
			`p/settings.csv:3:2: Value: neither yes nor no ("perhaps"); yes or no`}},
		{"half a day", "Home currency,EUR\nPrice age limit days,90.5", []string{
			`p/settings.csv:3:2: Value: not a whole number ("90.5"); a whole number such as 12`}},
		{"a rate in another currency", "Home currency,EUR\nLabour rate per hour,£20", []string{
			`p/settings.csv:3:2: Value: typed in £ where the amount is in EUR ("£20"); an amount in EUR, or the other currency in the column for it`}},
		{"margin and fee eat the price", "Home currency,EUR\nMargin %,98\nPayment fee %,2", []string{
			`p/settings.csv:3:2: Value: margin and payment fee come to 100 % ("98"); a margin and a payment fee that come to less than 100 % of the price`}},
		{"bounds the wrong way round", "Home currency,EUR,,\nMargin %,5,6,4", []string{
			`p/settings.csv:3:3: Low: lowest is over the value ("6"); no more than the value, 5`,
			`p/settings.csv:3:4: High: highest is under the value ("4"); no less than the value, 5`}},
		{"bounds of a default", "Home currency,EUR,,\nUnit yield %,,90,100", nil},
		{"an assembler without prices", "Home currency,EUR\nAssembler,Birch", []string{
			`p/settings.csv:3:2: the assembler has no prices ("Birch"); add a row for it to the tab assembly or assembly quotes`}},
		{"a bench that is misspelt", "Home currency,EUR\nAssembler,bensch", []string{
			`p/settings.csv:3:2: the assembler has no prices ("bensch"); add a row for it to the tab assembly or assembly quotes; did you mean bench`}},
		{"SMT parts by hand", "Home currency,EUR\nAssembler,Bench", nil},
		{"through-hole parts at nobody", "Home currency,EUR\nThrough-hole at,assembly", []string{
			`p/settings.csv:3:2: Value: not one of the choices ("assembly"); one of bench, assembler, cheapest; did you mean assembler`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			head := "Setting,Value\n"
			if strings.Contains(c.rows, ",,") {
				head = "Setting,Value,Low,High\n"
			}
			_, problems := read(Options{}, "settings", head+c.rows)
			expect(t, problems, c.want...)
		})
	}
}

func TestTabs(t *testing.T) {
	for name, want := range map[string]string{"x/hand-work.csv": "hand work", "Who_Pays.CSV": "who pays", `x\offers.csv`: "offers", "x/notes.csv": "notes"} {
		if got := TabOf(bom.Table{File: name}); got != want {
			t.Errorf("TabOf(%q) = %q, want %q", name, got, want)
		}
	}
	if got := TabOf(bom.Table{File: "offers.xlsx", Sheet: "On Hand"}); got != "on hand" {
		t.Errorf("a sheet goes by its own name, not by its file's: %q", got)
	}
	_, problems := ReadPrices([]bom.Table{csvTable("p/ofers.csv", "a"), csvTable("p/readme.csv", "b"), csvTable("p/settings.csv", home)}, "p", Options{})
	expect(t, problems, `note: p/ofers.csv: "ofers" is not a tab of the price sheet and is ignored; did you mean offers`,
		`note: p/readme.csv: "readme" is not a tab of the price sheet and is ignored`)
	_, problems = ReadPrices(nil, "p.xlsx", Options{})
	expect(t, problems, "p.xlsx: no tab of a price sheet stands here; tenoff start --bom LIST DIR writes a price sheet, and tenoff enter takes a price list into it")
	_, problems = ReadPrices([]bom.Table{csvTable("prices.csv", "Part,Supplier,Price\nRES-1,north parts,0.20")}, "prices.csv", Options{})
	expect(t, problems, "prices.csv: no tab of a price sheet stands here; tenoff start --bom LIST DIR writes a price sheet, and tenoff enter takes a price list into it")
	_, problems = ReadPrices([]bom.Table{csvTable("p/ofers.csv", "a")}, "p", Options{})
	expect(t, problems, `note: p/ofers.csv: "ofers" is not a tab of the price sheet and is ignored; did you mean offers`,
		"p: no tab of a price sheet stands here; tenoff start --bom LIST DIR writes a price sheet, and tenoff enter takes a price list into it")
	_, problems = ReadPrices([]bom.Table{csvTable("p/offers.csv", "Part number,Supplier,Price\nRES-1,north parts,0.20")}, "p", Options{})
	expect(t, problems, "p: the price sheet has no tab settings; a tab settings with a row for Home currency")
	_, problems = ReadPrices([]bom.Table{csvTable("p/settings.csv", "x")}, "p", Options{})
	expect(t, problems, `p/settings.csv:1: no heading row of the tab settings was found; this row looks most like one ("x"); a row among the first 30 with at least two of Setting, Value, Low, High, As of, Note`)
	_, problems = ReadPrices([]bom.Table{csvTable("p/settings.csv", home), workbookTable("p/x.xlsx", "Settings")}, "p", Options{})
	expect(t, problems, "p/x.xlsx:Settings: the tab settings stands twice, here and in p/settings.csv; keep one table for it")
	_, problems = read(Options{}, "exchange", "Currency,Note\nUSD,x")
	expect(t, problems, "p/exchange.csv:1: no column is headed Rate; a column headed Rate, or --heading 'Their name=Rate'")
	_, problems = read(Options{}, "exchange", "Currency,Rate,Bank\nUSD,0.9,x")
	expect(t, problems, `note: p/exchange.csv:1:3: the heading "Bank" is not known, its column is ignored`)
}

func TestHeadingsOfTheUsers(t *testing.T) {
	got, problems := read(Options{Headings: map[string]string{"shop": "Supplier", "each": "price"}}, "offers", "MPN,Shop,Each\nA,Larch,1\n")
	expect(t, problems)
	if at := got.Offers[0].At("Supplier"); at.Col != 2 || got.Offers[0].Head.Text["Supplier"] != "Shop" {
		t.Errorf("supplier at %s", at)
	}
}

func TestCurrencies(t *testing.T) {
	_, problems := read(Options{}, "suppliers", "Supplier,Currency\nLarch,USD\nMoor,USD\n", "offers", "Part number,Supplier,Price,Currency\nA,Larch,1,\nA,Moor,1,GBP\nB,Moor,1,XYZ\n")
	expect(t, problems,
		`p/suppliers.csv:2:2: no rate into the home currency EUR is known ("USD"); a row for USD in the tab exchange`,
		`p/offers.csv:3:4: no rate into the home currency EUR is known ("GBP"); a row for GBP in the tab exchange`,
		`p/offers.csv:4:4: Currency: not a currency of ISO 4217 ("XYZ"); a code of ISO 4217 such as EUR`)
	_, problems = read(Options{}, "exchange", "Currency,Rate\nUSD,0.9\nusd,0.8\nGBP,0\nEUR,1.1\nJPY,\n")
	expect(t, problems,
		`p/exchange.csv:3:1: Currency: the currency USD stands twice, here and in row 2 ("usd"); keep one row for it`,
		`p/exchange.csv:4:2: Rate: a rate of 0 ("0"); what one GBP costs in home currency`,
		`p/exchange.csv:5:2: Rate: the home currency costs 1 of itself ("1.1"); 1, or no row for the home currency`,
		`p/exchange.csv:6:2: Rate is blank; such as `+example("exchange", "Rate"))
	_, problems = read(Options{}, "exchange", "Currency,Rate\nUSD,0.9\n", "suppliers", "Supplier,Currency\nLarch,USD\nMoor,\n",
		"offers", "Part number,Supplier,Price\nA,Larch,$1\nB,Larch,€1\nC,Larch,1 USD\nD,Moor,£1\n")
	expect(t, problems,
		`p/offers.csv:3:3: Price: typed in € where the amount is in USD ("€1"); an amount in USD, or the other currency in the column for it`,
		`p/offers.csv:5:3: Price: typed in £ where the amount is in EUR ("£1"); an amount in EUR, or the other currency in the column for it`)
}

func TestOffers(t *testing.T) {
	const head = "Part number,Supplier,Order code,Stock,MOQ,Multiple,Pieces,From,Price,Currency,As of,Note\n"
	for _, c := range []struct {
		why, text string
		offer     string // the first offer, by showOffer
		want      []string
	}{
		{"one row", head + "A,Larch,c,,,,,,0.10", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:0.1", nil},
		{"the words of suppliers' quotes", "MPN,Vendor,SKU,In stock,Minimum quantity,Order multiple,Pack size,Qty from,Unit price,Price date\nA,Larch,c,50,4,2,10,4,0.10,2026-02-01",
			"A/Larch/c stock 50 moq 4×2 of 10 EUR 4:0.1 2026-02-01", nil},
		{"a power of ten", head + "1E+05,Larch,c,,,,,,0.10", "/Larch/c stock -1 moq 1×1 of 1 EUR 1:0.1", []string{
			`p/offers.csv:2:1: Part number: a spreadsheet turned this into a power of ten ("1E+05"); the name in full; format the column as text`}},
		{"breaks in rows, not in order", head + "A,Larch,c,50,,,,10,0.08\nA,Larch,c,,,,,1,0.10", "A/Larch/c stock 50 moq 1×1 of 1 EUR 1:0.1 10:0.08", nil},
		{"what a later row leaves blank", head + "A,Larch,c,,,,,1,0.10\nA,Larch,c,50,2,2,3,10,0.08,EUR", "A/Larch/c stock 50 moq 2×2 of 3 EUR 1:0.1 10:0.08", nil},
		{"a row without the code of the only offer", head + "A,Larch,,,,,,10,0.08\nA,Larch,c,,,,,1,0.10", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:0.1 10:0.08", nil},
		{"a row without code beside two offers", head + "A,Larch,c,,,,,1,0.10\nA,Larch,d,,,,,1,0.10\nA,Larch,,,,,,10,0.08", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:0.1", []string{
			"p/offers.csv:4:3: Order code: is blank, and the supplier has several offers of the part; the order code"}},
		{"two stocks", head + "A,Larch,c,50,,,,1,0.10\nA,Larch,c,60,,,,10,0.08", "A/Larch/c stock 50 moq 1×1 of 1 EUR 1:0.1 10:0.08", []string{
			`p/offers.csv:3:4: Stock: differs from D2 ("50") of the same offer ("60"); the same in all rows of the offer, or blank`}},
		{"two packs", head + "A,Larch,c,,,,100,1,0.10\nA,Larch,c,,,,50,10,0.08", "A/Larch/c stock -1 moq 1×1 of 100 EUR 1:0.1 10:0.08", []string{
			`p/offers.csv:3:7: Pieces: differs from G2 ("100") of the same offer ("50"); the same in all rows of the offer, or blank`}},
		{"two currencies", head + "A,Larch,c,,,,,1,0.10,EUR\nA,Larch,c,,,,,10,0.08,USD", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:0.1 10:0.08", []string{
			`p/offers.csv:3:10: no rate into the home currency EUR is known ("USD"); a row for USD in the tab exchange`,
			`p/offers.csv:3:10: Currency: differs from J2 ("EUR") of the same offer ("USD"); the same in all rows of the offer, or blank`}},
		{"the same break twice at one price", head + "A,Larch,c,,,,,1,0.10\nA,Larch,c,,,,,1,0.1", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:0.1", nil},
		{"the same break at two prices", head + "A,Larch,c,,,,,10,0.10\nA,Larch,c,,,,,10,0.08", "A/Larch/c stock -1 moq 10×1 of 1 EUR 10:0.1", []string{
			`p/offers.csv:3:9: the price from 10 on differs from that in I2, 0.1 ("0.08"); one price from each number of order units`}},
		{"the fewest is that of the first break", head + "A,Larch,c,,5,,,10,0.10", "A/Larch/c stock -1 moq 10×1 of 1 EUR 10:0.1", nil},
		{"no price", head + "A,Larch,c,,,,,1,", "A/Larch/c stock -1 moq 1×1 of 1 EUR", []string{
			"p/offers.csv:2:9: the offer has no price; the price of one order unit; 0 where it is free"}},
		{"a gift", head + "A,Larch,c,,,,,1,0", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:0", nil},
		{"a negative price", head + "A,Larch,c,,,,,1,-0.10", "A/Larch/c stock -1 moq 1×1 of 1 EUR", []string{
			`p/offers.csv:2:9: Price: a negative number ("-0.10"); a number of 0 or more`}},
		{"a price of no end", head + "A,Larch,c,,,,,1,1e999999999", "A/Larch/c stock -1 moq 1×1 of 1 EUR", []string{
			`p/offers.csv:2:9: Price: exponent out of range ("1e999999999"); an exponent from -12 to 12`}},
		{"too high a price", head + "A,Larch,c,,,,,1,9e12", "A/Larch/c stock -1 moq 1×1 of 1 EUR", []string{
			`p/offers.csv:2:9: Price: too large a number ("9e12"); a number up to 1000000000000`}},
		{"a percentage for a price", head + "A,Larch,c,,,,,1,4 %", "A/Larch/c stock -1 moq 1×1 of 1 EUR", []string{
			`p/offers.csv:2:9: Price: a per cent sign stands with a figure that is not a percentage ("4 %"); a bare number, in the unit of the heading`}},
		{"a multiple of 0", head + "A,Larch,c,,,0,,1,1", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:1", []string{
			`p/offers.csv:2:6: Multiple: too small a number ("0"); a whole number of 1 or more`}},
		{"an empty pack", head + "A,Larch,c,,,,0,1,1", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:1", []string{
			`p/offers.csv:2:7: Pieces: a quantity of 0 ("0"); a quantity over 0`}},
		{"sold out", head + "A,Larch,c,0,,,,1,1", "A/Larch/c stock 0 moq 1×1 of 1 EUR 1:1", nil},
		{"no supplier and no part", head + "A,,c,,,,,1,1\n,Larch,c,,,,,1,1\nB,Larch,c,,,,,1,1", "A//c stock -1 moq 1×1 of 1 EUR 1:1", []string{
			"warning: p/offers.csv:2:2: no supplier is given; a name under Supplier", "p/offers.csv:3:1: Part number is blank; such as " + example("offers", "Part number")}},
		{"break columns", "Part number,Supplier,@1,@10,@ 1000\nA,Larch,0.10,,0.05", "A/Larch/ stock -1 moq 1×1 of 1 EUR 1:0.1 1000:0.05", nil},
		{"no price yet", "Part number,Supplier,@1,@10,Note\nA,Larch,,,R1\nB,,,,R2\nC,Larch,1", "A/Larch/ stock -1 moq 1×1 of 1 EUR", []string{
			"note: p/offers.csv:2: no price yet", "note: p/offers.csv:3: no price yet"}},
		{"a row that waited, and the part has a price by now", "Part number,Supplier,Order code,@1,Note\nA,,,,R1\nA,Larch,,\nA,Larch,c,1\nB,Larch,,", "A// stock -1 moq 1×1 of 1 EUR", []string{
			"note: p/offers.csv:5: no price yet"}},
		{"an offer with a row without a price", "Part number,Supplier,Order code,@1\nA,Larch,c,1\nA,Larch,c,", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:1", []string{
			"p/offers.csv:3: the offer has no price; the price of one order unit; 0 where it is free"}},
		{"both ways", "Part number,Supplier,From,Price,@100\nA,Larch,10,0.10,0.05", "A/Larch/ stock -1 moq 10×1 of 1 EUR 10:0.1 100:0.05", nil},
		{"both ways that differ", "Part number,Supplier,From,Price,@100\nA,Larch,100,0.10,0.05", "A/Larch/ stock -1 moq 100×1 of 1 EUR 100:0.1", []string{
			`p/offers.csv:2:5: the price from 100 on differs from that in D2, 0.1 ("0.05"); one price from each number of order units`}},
		{"a break without its price", "Part number,Supplier,From,Price,@100\nA,Larch,10,,0.05", "A/Larch/ stock -1 moq 100×1 of 1 EUR 100:0.05", []string{
			`p/offers.csv:2:3: From: no price stands with it ("10"); the price in the same row`}},
		{"a heading that is no break", "Part number,Supplier,@1,@ten\nA,Larch,0.10,0.05", "A/Larch/ stock -1 moq 1×1 of 1 EUR 1:0.1", []string{
			`p/offers.csv:1:4: not a heading for a price break ("@ten"); @ and a whole number of order units, such as @10`}},
		{"a break headed twice", "Part number,Supplier,@1,@ 1\nA,Larch,0.10,0.05", "A/Larch/ stock -1 moq 1×1 of 1 EUR 1:0.1", []string{
			`p/offers.csv:1:4: @1 is headed twice, as "@1" in C1 and here ("@ 1"); keep one column for it; --heading '@ 1=' ignores this one`}},
		{"a bad price under a break", "Part number,Supplier,@1\nA,Larch,cheap", "A/Larch/ stock -1 moq 1×1 of 1 EUR", []string{
			`p/offers.csv:2:3: @1: not a number ("cheap"); a number such as 1234.56`}},
		{"neither prices nor breaks", "Part number,Supplier\nA,Larch", "A/Larch/ stock -1 moq 1×1 of 1 EUR", []string{
			"p/offers.csv:1: no column is headed Price; a column headed Price, or --heading 'Their name=Price'"}},
		{"the oldest date counts", head + "A,Larch,c,,,,,1,1,,2026-03-01\nA,Larch,c,,,,,10,1,,2026-01-31", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:1 10:1 2026-01-31", nil},
		{"a date that reads two ways", head + "A,Larch,c,,,,,1,1,,03/04/2026", "A/Larch/c stock -1 moq 1×1 of 1 EUR 1:1", []string{
			`p/offers.csv:2:11: As of: not a date that reads one way ("03/04/2026"); a date written YYYY-MM-DD`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			got, problems := read(Options{}, "offers", c.text)
			expect(t, problems, c.want...)
			if s := showOffer(got.Offers[0]); s != c.offer {
				t.Errorf("offer %s, want %s", s, c.offer)
			}
		})
	}
}

func showOffer(o bom.Offer) string {
	var b strings.Builder
	b.WriteString(o.Part + "/" + o.Supplier + "/" + o.Code + " stock " + decimal.NewFromInt(o.Stock).String() +
		" moq " + decimal.NewFromInt(o.MOQ).String() + "×" + decimal.NewFromInt(o.Multiple).String() + " of " + o.Pieces.String() + " " + o.Currency.Code)
	for _, br := range o.Breaks {
		b.WriteString(" " + decimal.NewFromInt(br.From).String() + ":" + br.Price.String())
	}
	if !o.AsOf.IsZero() {
		b.WriteString(" " + o.AsOf.String())
	}
	return b.String()
}

func TestRulesOfTheOtherTabs(t *testing.T) {
	for _, c := range []struct {
		why, tab, text string
		want           []string
	}{
		{"a supplier twice", "suppliers", "Supplier,Delivery\nLarch,1\nlarch,2", []string{
			`p/suppliers.csv:3:1: Supplier: the supplier stands twice, here and in row 2 ("larch"); keep one row for it`}},
		{"a supplier without a name", "suppliers", "Supplier,Delivery\n,1", []string{"p/suppliers.csv:2:1: Supplier is blank; such as " + example("suppliers", "Supplier")}},
		{"thresholds are in home currency", "suppliers", "Supplier,Duty free up to,Handling fee\nLarch,$150,£8", []string{
			`p/suppliers.csv:2:2: Duty free up to: typed in $ where the amount is in EUR ("$150"); an amount in EUR, or the other currency in the column for it`,
			`p/suppliers.csv:2:3: Handling fee: typed in £ where the amount is in EUR ("£8"); an amount in EUR, or the other currency in the column for it`}},
		{"a lot without a price", "boards", "Board,Lot,Price\nM,50,", []string{"note: p/boards.csv:2:3: no price yet"}},
		{"a price without a lot", "boards", "Board,Lot,Price\nM,,62", []string{
			`p/boards.csv:2:3: Price: a price is that of a lot, and the row has none ("62"); the number of boards in Lot, or Set-up and Per dm2 instead of a price`}},
		{"a lot of none", "boards", "Board,Lot,Price\nM,0,62", []string{`p/boards.csv:2:2: Lot: too small a number ("0"); a whole number of 1 or more`}},
		{"both at once", "boards", "Board,Lot,Price,Set-up\nM,50,62,20", []string{
			`p/boards.csv:2:4: Set-up: the row quotes a lot ("20"); a row of its own, without a lot`}},
		{"nothing asked", "boards", "Board,Lot,Price,Set-up\nM,,,", []string{"note: p/boards.csv:2:3: no price yet"}},
		{"a rate by area without a size", "boards", "Board,Length mm,Width mm,Per dm2\nM,80,,4", []string{
			`p/boards.csv:2:4: Per dm2: a rate by area needs the size of the board ("4"); Length mm and Width mm of the board`}},
		{"a lot twice", "boards", "Board,Lot,Price\nM,50,62\nM,50,61", []string{
			`p/boards.csv:3:1: Board: the same lot of the board stands twice, here and in row 2 ("M"); keep one row for it`}},
		{"an assembler twice", "assembly", "Assembler,Set-up\nBirch,1\nBirch,2", []string{
			`p/assembly.csv:3:1: Assembler: the assembler stands twice, here and in row 2 ("Birch"); keep one row for it`}},
		{"an assembler called the bench", "assembly", "Assembler,Set-up\nBench,1", []string{
			`p/assembly.csv:2:1: Assembler: the setting Assembler means hand work by this name ("Bench"); another name`}},
		{"a set-up for fitting what is not fitted", "assembly", "Assembler,Hand set-up,Per hand joint\nBirch,20,\nLarch,20,0\nFen,0,", []string{
			`p/assembly.csv:2:2: Hand set-up: Per hand joint is blank, so no through-hole parts are fitted ("20"); a price in Per hand joint; 0 where the set-up is all that is asked`}},
		{"a panel of nothing", "panels", "Panel,Board,Per panel\nP,M,0\nQ,M,\nR,,2\n,M,2", []string{
			`p/panels.csv:2:3: Per panel: too small a number ("0"); a whole number of 1 or more`,
			"p/panels.csv:3:3: Per panel is blank; such as " + example("panels", "Per panel"),
			"p/panels.csv:4:2: Board is blank; such as " + example("panels", "Board"),
			"p/panels.csv:5:1: Panel is blank; such as " + example("panels", "Panel")}},
		{"all positions may be bad", "panels", "Panel,Board,Per panel,X-outs\nP,M,4,4\nQ,M,4,3", []string{
			`p/panels.csv:2:4: X-outs: no position of the panel would be left ("4"); fewer than the 4 on the panel`}},
		{"wider than the panel", "panels", "Panel,Board,Per panel,Across\nP,M,4,5\nQ,M,4,4", []string{
			`p/panels.csv:2:4: Across: more than there are on the panel ("5"); how many of the 4 lie side by side`}},
		{"a panel of itself", "panels", "Panel,Board,Per panel\nP,P,4", []string{
			`p/panels.csv:2:2: Board: the panel is its own board ("P"); a board`}},
		{"a panel on a panel", "panels", "Panel,Board,Per panel\nP,M,4\nQ,P,2", []string{
			`p/panels.csv:3:2: Board: a panel on a panel ("P"); the boards of that panel themselves`}},
		{"a board twice on a panel", "panels", "Panel,Board,Per panel\nP,M,4\nP,S,2\nP,M,1\nQ,M,1", []string{
			`p/panels.csv:4:2: Board: the board on the panel "P" stands twice, here and in row 2 ("M"); keep one row for it`}},
		{"a layout of several boards", "panels", "Panel,Board,Per panel,Gap mm,Border mm\nP,M,4,2,5\nP,S,2,,\nQ,S,2,2,5", []string{
			`warning: p/panels.csv:2:4: Gap mm: not used, since several board types are on the panel ("2"); leave it blank; the panel's size stands in the tab boards`}},
		{"a quote without a price", "assembly quotes", "Assembler,Board,From,Price each\nBirch,M,1,\nBirch,,1,2\n,M,1,2", []string{
			"p/assembly quotes.csv:2:4: Price each is blank; such as " + example("assembly quotes", "Price each"),
			"p/assembly quotes.csv:3:2: Board is blank; such as " + example("assembly quotes", "Board"),
			"p/assembly quotes.csv:4:1: Assembler is blank; such as " + example("assembly quotes", "Assembler")}},
		{"a quote for none", "assembly quotes", "Assembler,Board,From,Price each\nBirch,M,0,3\nBirch,M,1,3", []string{
			`p/assembly quotes.csv:2:3: From: too small a number ("0"); a whole number of 1 or more`}},
		{"a number quoted twice", "assembly quotes", "Assembler,Board,From,Price each,Parts,Hand-fit\nBirch,M,50,3,,\nBirch,M,10,4,,\nbirch,M,50,2,sent,no\nBirch,M,50,2,included,\nBirch,M,50,2,,yes", []string{
			`p/assembly quotes.csv:4:3: From: the price of "M" from 50 on stands twice, here and in row 2 ("50"); keep one row for it`}},
		{"two set-ups of one quote", "assembly quotes", "Assembler,Board,From,Price each,Set-up,Parts\nBirch,M,1,3,,\nBirch,M,10,3,40,\nBirch,M,50,3,50,\nBirch,M,100,3,40,\nBirch,M,1,5,0,included", []string{
			`p/assembly quotes.csv:4:5: the set-up differs from that in row 3 of the same quote ("50"); the same in all its rows, or blank in all but one`}},
		{"parts by nobody", "assembly quotes", "Assembler,Board,Price each,Parts\nBirch,M,3,some", []string{
			`p/assembly quotes.csv:2:4: Parts: not one of the choices ("some"); one of sent, included`}},
		{"nothing but defects", "assembly", "Assembler,DPMO\nBirch,1000000", []string{
			`p/assembly.csv:2:2: DPMO: nothing would come out good ("1000000"); less than 1000000`}},
		{"an allowance for nothing known", "attrition", "Applies to,Percent\nsmd,2", []string{
			`p/attrition.csv:2:1: Applies to: not one of the choices ("smd"); one of smt, tht, fastener, packing, other; did you mean smt`}},
		{"an allowance twice, the package spelt otherwise", "attrition", "Applies to,Package,Percent\ntht,TO-92,2\ntht,to 92,3", []string{
			`p/attrition.csv:3:1: Applies to: the allowance stands twice, here and in row 2 ("tht"); keep one row for it`}},
		{"an operation with blanks", "hand work", "Operation,Applies to,Basis,Seconds\n,,,", nil},
		{"nothing but a name, in a table that asks for more", "hand work", "Operation,Applies to,Basis,Seconds\nsolder,,,", []string{
			`p/hand work.csv:2: nothing else stands in the row ("solder"); a whole row; a remark belongs above the headings`}},
		{"an operation that lacks basis and time", "hand work", "Operation,Applies to,Basis,Seconds\nsolder,tht,,", []string{
			"p/hand work.csv:2:3: Basis is blank; one of joint, piece, unit, batch, plate",
			"p/hand work.csv:2:4: Seconds is blank; such as " + example("hand work", "Seconds")}},
		{"an operation twice", "hand work", "Operation,Applies to,Basis,Seconds\nsolder,tht,joint,6\nSolder,tht,joint,7", []string{
			`p/hand work.csv:3:1: Operation: the operation stands twice, here and in row 2 ("Solder"); keep one row for it`}},
		{"plates of what is not printed", "hand work", "Operation,Applies to,Basis,Seconds\nsolder,tht,plate,6", []string{
			`p/hand work.csv:2:3: Basis: only printed parts come on plates ("plate"); joint, piece, unit or batch, or printed in Applies to`}},
		{"timed at no unit, done to none", "hand work", "Operation,Applies to,Basis,Seconds,Timed at,Share %\nsolder,tht,joint,6,0,0", []string{
			`p/hand work.csv:2:5: Timed at: too small a number ("0"); a whole number of 1 or more`, `p/hand work.csv:2:6: Share %: out of range ("0"); a percentage over 0 and up to 100, or no row`}},
		{"done before in parts", "hand work", "Operation,Applies to,Basis,Seconds,Done before\nsolder,tht,joint,6,1.5", []string{
			`p/hand work.csv:2:5: Done before: not a whole number ("1.5"); a whole number such as 12`}},
		{"learning everything at once", "hand work", "Operation,Applies to,Basis,Seconds,Learning %\nsolder,tht,joint,6,0", []string{
			`p/hand work.csv:2:5: Learning %: out of range ("0"); a percentage over 0 and up to 100; 100 is no learning`}},
		{"a spool twice", "materials", "Material,Spool g,Spool price,Supplier\nPLA,1000,20,Larch\nPLA,1000,21,Larch\nPLA,500,12,Larch", []string{
			`p/materials.csv:3:1: Material: the same spool of the material stands twice, here and in row 2 ("PLA"); keep one row for it`}},
		{"an empty spool", "materials", "Material,Spool g,Spool price\nPLA,0,20", []string{
			`p/materials.csv:2:2: Spool g: a quantity of 0 ("0"); a quantity over 0`}},
		{"a printer twice", "printers", "Printer,Count\nshed,1\nshed,2", []string{
			`p/printers.csv:3:1: Printer: the printer stands twice, here and in row 2 ("shed"); keep one row for it`}},
		{"a printer that always fails", "printers", "Printer,Failure %\nshed,100", []string{
			`p/printers.csv:2:2: Failure %: no plate would ever come out ("100"); a percentage under 100`}},
		{"attended over midnight", "printers", "Printer,Attended from,Attended to\nshed,22:00,06:00", nil},
		{"attended at no time", "printers", "Printer,Attended from,Attended to\nshed,08:00,08:00", []string{
			`p/printers.csv:2:3: Attended to: the attended hours end as they begin ("08:00"); another time than Attended from; 00:00 to 24:00 is always`}},
		{"runs on or not", "printers", "Printer,Runs on unattended\nshed,sometimes", []string{
			`p/printers.csv:2:2: Runs on unattended: neither yes nor no ("sometimes"); yes or no`}},
		{"a time that is none", "printers", "Printer,Attended from\nshed,25:00", []string{
			`p/printers.csv:2:2: Attended from: not a time of day ("25:00"); a time of day such as 08:00`}},
		{"a recipe twice", "print recipes", "Recipe,Walls\nstrong,2\nStrong,3", []string{
			`p/print recipes.csv:3:1: Recipe: the recipe stands twice, here and in row 2 ("Strong"); keep one row for it`}},
		{"a layer of nothing", "print recipes", "Recipe,Layer mm\nstrong,0", []string{
			`p/print recipes.csv:2:2: Layer mm: 0 where something is measured ("0"); a number over 0, or a blank cell`}},
		{"a layer as high as a brick", "print recipes", "Recipe,Layer mm\nstrong,200", []string{
			`p/print recipes.csv:2:2: Layer mm: too large a number ("200"); a number up to 10`}},
		{"half a wall", "print recipes", "Recipe,Walls\nstrong,2.5", []string{
			`p/print recipes.csv:2:2: Walls: not a whole number ("2.5"); a whole number such as 12`}},
		{"a first layer as high as a brick", "print recipes", "Recipe,First layer mm\nstrong,200", []string{
			`p/print recipes.csv:2:2: First layer mm: too large a number ("200"); a number up to 10`}},
		{"a line that stands still", "print recipes", "Recipe,Outer wall speed mm/s\nstrong,0", []string{
			`p/print recipes.csv:2:2: Outer wall speed mm/s: 0 where something is measured ("0"); a number over 0, or a blank cell`}},
		{"outlines that meet", "print recipes", "Recipe,Outline inset mm\nstrong,5", []string{
			`p/print recipes.csv:2:2: Outline inset mm: too large a number ("5"); a number up to 1`}},
		{"a bridge that stands still", "print recipes", "Recipe,Bridge speed mm/s\nstrong,0", []string{
			`p/print recipes.csv:2:2: Bridge speed mm/s: 0 where something is measured ("0"); a number over 0, or a blank cell`}},
		{"a strand as thick as a brick", "print recipes", "Recipe,First layer line mm,Bridge strand mm\nstrong,50,40", []string{
			`p/print recipes.csv:2:2: First layer line mm: too large a number ("50"); a number up to 20`,
			`p/print recipes.csv:2:3: Bridge strand mm: too large a number ("40"); a number up to 20`}},
		{"a minute and a metre at each way", "print recipes", "Recipe,Pull-back seconds,Restart mm,Pull back inside\nstrong,-1,1000,inside", []string{
			`p/print recipes.csv:2:2: Pull-back seconds: a negative number ("-1"); a number of 0 or more`,
			`p/print recipes.csv:2:3: Restart mm: too large a number ("1000"); a number up to 100`,
			`p/print recipes.csv:2:4: Pull back inside: neither yes nor no ("inside"); yes or no`}},
		{"nothing flows", "print recipes", "Recipe,Flow %\nstrong,0\nweak,250", []string{
			`p/print recipes.csv:2:2: Flow %: out of range ("0"); a percentage over 0`,
			`p/print recipes.csv:3:2: Flow %: out of range ("250"); a percentage from 0 to 200`}},
		{"half a solid layer", "print recipes", "Recipe,Top layers\nstrong,2.5", []string{
			`p/print recipes.csv:2:2: Top layers: not a whole number ("2.5"); a whole number such as 12`}},
		{"a layer of a day", "print recipes", "Recipe,Least layer seconds\nstrong,86400", []string{
			`p/print recipes.csv:2:2: Least layer seconds: too large a number ("86400"); a number up to 3600`}},
		{"endless walls", "print recipes", "Recipe,Walls\nstrong,100000", []string{
			`p/print recipes.csv:2:2: Walls: too large a number ("100000"); a whole number up to 1000`}},
		{"filled more than wholly", "print recipes", "Recipe,Infill %\nstrong,120", []string{
			`p/print recipes.csv:2:2: Infill %: out of range ("120"); a percentage from 0 to 100`}},
		{"a print of nothing", "print log", "File,Part number,Measured g\n,,12", []string{
			`p/print log.csv:2:1: nothing says what was printed; the mesh or toolpath in File, or a part number`}},
		{"a print that nobody measured", "print log", "File,Measured g,Measured hours\ncase.stl,,", []string{
			`p/print log.csv:2:2: nothing was measured; Measured g, Measured hours or both, of one piece`}},
		{"a print on no printer, by no recipe", "print log", "File,Measured g,Printer,Recipe\ncase.stl,12,shed,strong", []string{
			`p/print log.csv:2:3: Printer: not in the tab printers ("shed"); the name of a row of the tab printers`,
			`p/print log.csv:2:4: Recipe: not in the tab print recipes ("strong"); the name of a row of the tab print recipes`}},
		{"a service twice", "postage", "Service,To,Max g,Price\np,a,500,3\np,a,500,4\np,a,1000,5\np,b,500,6", []string{
			`p/postage.csv:3:1: Service: the same service stands twice, here and in row 2 ("p"); keep one row for it`}},
		{"a service without a price", "postage", "Service,Price\np,", []string{"p/postage.csv:2:2: Price is blank; such as " + example("postage", "Price")}},
		{"a part on hand twice", "on hand", "Part number,Quantity,Unit value\nA,1,0\nA,2,0", []string{
			`p/on hand.csv:3:1: Part number: the part with this unit value and giver stands twice, here and in row 2 ("A"); keep one row for it`}},
		{"a part on hand without a value", "on hand", "Part number,Quantity\nA,3", []string{
			"warning: p/on hand.csv:2: A has no unit value, so what is taken from stock counts as nothing; what one piece is worth; 0 if it is worth nothing"}},
		{"a learning rate typed as a share", "hand work", "Operation,Applies to,Basis,Seconds,Learning %\nx,test,unit,9,0.9", []string{
			`warning: p/hand work.csv:2:5: Learning % is read as 0.9 % ("0.9"); 90 if that was meant`}},
		{"a part on hand uncounted", "on hand", "Part number,Quantity\nA,", []string{"p/on hand.csv:2:2: Quantity is blank; such as " + example("on hand", "Quantity")}},
		{"a substitute twice", "substitutes", "Part number,Substitute\nA,B\nA,B", []string{
			`p/substitutes.csv:3:2: Substitute: the substitute for "A" stands twice, here and in row 2 ("B"); keep one row for it`}},
		{"a part that replaces itself", "substitutes", "Part number,Substitute\nA,A", []string{
			`p/substitutes.csv:2:2: Substitute: the part is its own substitute ("A"); another part`}},
		{"more that come in on no day", "offers", "Part number,Supplier,Price,Stock,More,More on\nA,s,1,5,20,", []string{
			"p/offers.csv:2:6: 20 more of A are expected, and no day stands with them; the day on which they come in, YYYY-MM-DD"}},
		{"a day on which nothing comes in", "offers", "Part number,Supplier,Price,Stock,More,More on\nA,s,1,5,,2026-03-01", []string{
			"p/offers.csv:2:5: nothing says how many more of A are expected; how many come in on 2026-03-01"}},
		{"more where there is enough", "offers", "Part number,Supplier,Price,Stock,More,More on\nA,s,1,,20,2026-03-01", []string{
			"p/offers.csv:2:4: more of A are expected, and a blank stock means that there is enough; how many there are until 2026-03-01"}},
		{"rows of an offer that expect otherwise", "offers", "Part number,Supplier,From,Price,Stock,More,More on\nA,s,1,1,5,20,2026-03-01\nA,s,9,0.9,,30,2026-03-01", []string{
			`p/offers.csv:3:6: More: differs from F2 ("20") of the same offer ("30"); the same in all rows of the offer, or blank`}},
		{"shares that fall short", "who pays", "Applies to,Payer,Share %\nbare board,sponsor,60\nbare board,maker,39.9", []string{
			`p/who pays.csv:3:3: the shares of one thing do not come to 100 % ("bare board, 99.9 %"); a row for each who pays some of it, of the maker as well`}},
		{"shares that cannot be read are not summed", "who pays", "Applies to,Payer,Share %\nbare board,sponsor,x\nbare board,maker,40", []string{
			`p/who pays.csv:2:3: Share %: not a number ("x"); a number such as 1234.56`}},
		{"a payer twice", "who pays", "Applies to,Payer,Share %\nbare board,sponsor,60\nbare board,sponsor,40", []string{
			`p/who pays.csv:3:2: Payer: the payer for "bare board" stands twice, here and in row 2 ("sponsor"); keep one row for it`}},
		{"a row of totals", "on hand", "Part number,Quantity,Unit value\nA,1,0\nTotal,1,0", []string{"note: p/on hand.csv:3: a row of totals is ignored (\"Total, 1, 0\")"}},
	} {
		t.Run(c.why, func(t *testing.T) {
			_, problems := read(Options{}, c.tab, c.text)
			expect(t, problems, c.want...)
		})
	}
}

func TestAPrintNamesThePrinterThatWasMeant(t *testing.T) {
	_, problems := read(Options{}, "printers", "Printer,Count\nShed printer,1\n", "print log", "File,Measured g,Printer\na.stl,12,shed  PRINTER\na.stl,12,Shed pinter\n")
	expect(t, problems, `p/print log.csv:3:3: Printer: not in the tab printers ("Shed pinter"); did you mean Shed printer`)
}

func TestFabricatorIsNeeded(t *testing.T) {
	_, problems := read(Options{}, "settings", "Setting,Value\nHome currency,EUR", "boards", "Board,Fabricator,Lot,Price\nM,,50,62")
	expect(t, problems, "p/boards.csv:2:2: no fabricator is given for the board; a fabricator, or the setting Board fabricator")
}

func TestTimesOfDay(t *testing.T) {
	for _, c := range []struct {
		why  string
		cell any
		want int // minutes; -1: an error
	}{
		{"as typed", "08:30", 510},
		{"one digit", "8:05", 485},
		{"with seconds", "08:30:00", 510},
		{"the hour alone", "8", 480},
		{"the hour alone, stored as a number", number("8"), 480},
		{"a fraction of a day", number("0.354166666666667"), 510},
		{"midnight", number("0"), 0},
		{"one in the morning or the end of the day", number("1"), -1},
		{"half an hour in decimals", "8.5", -1},
		{"a percentage", percent("35%"), -1},
		{"a date", day("2026-03-01"), -1},
		{"too late", "24:01", -1},
		{"too many hours", "25", -1},
		{"money", "€8", -1},
	} {
		tables := []bom.Table{csvTable("p/settings.csv", home),
			workbookTable("p.xlsx", "printers", []any{"Printer", "Attended from"}, []any{"shed", c.cell})}
		got, problems := ReadPrices(tables, "p", Options{})
		if problems.Failed() != (c.want < 0) {
			t.Errorf("%s: complaints %v", c.why, problems)
		}
		if m := got.Printers[0].AttendedMin[0]; c.want >= 0 && m != c.want {
			t.Errorf("%s: %d minutes, want %d", c.why, m, c.want)
		}
	}
}

func TestDecimalMarksOfAFolder(t *testing.T) {
	semicolons := "Part number;Supplier;Price\nA;Larch;1,234\n"
	ambiguous := func(file, text, other string) string {
		return file + `: Price: reads two ways: 1234 or 1.234 ("` + text + `"); say which mark is the decimal one: --decimal-mark dot or --decimal-mark comma`
	}
	for _, c := range []struct {
		why  string
		opt  Options
		tabs []string
		want []string
		rate string // price of the first offer where it can be read
	}{
		{"no file says", Options{}, []string{"offers", semicolons}, []string{ambiguous("p/offers.csv:2:3", "1,234", "")}, ""},
		{"another file says", Options{}, []string{"offers", semicolons, "exchange", "Currency;Rate\nUSD;0,92\n"}, nil, "1.234"},
		{"the other files disagree", Options{}, []string{"offers", semicolons, "exchange", "Currency;Rate\nUSD;0,92\n", "on hand", "Part number;Quantity;Unit value\nA;0.5;0\n"},
			[]string{ambiguous("p/offers.csv:2:3", "1,234", "")}, ""},
		{"its own figures go before", Options{}, []string{"offers", semicolons + "B;Larch;0.5\n", "exchange", "Currency;Rate\nUSD;0,92\n"}, nil, "1234"},
		{"settings show it by their figures", Options{}, []string{"offers", semicolons, "settings", "Setting;Value\nHome currency;EUR\nMargin %;2,5\n"}, nil, "1.234"},
		{"settings do not show it by their texts", Options{}, []string{"offers", semicolons, "settings", "Setting;Value\nHome currency;EUR\nPost to;2,5\n"},
			[]string{ambiguous("p/offers.csv:2:3", "1,234", "")}, ""},
		{"a comma-separated file alone", Options{}, []string{"offers", "Part number,Supplier,Price\nA,Larch,1.234\n"}, nil, "1.234"},
		{"a comma-separated file among files with a decimal comma", Options{}, []string{"offers", "Part number,Supplier,Price\nA,Larch,1.234\n", "exchange", "Currency;Rate\nUSD;0,92\n"},
			[]string{ambiguous("p/offers.csv:2:3", "1.234", "")}, ""},
		{"the user says", Options{Mark: bom.MarkDot}, []string{"offers", semicolons}, nil, "1234"},
		{"a figure that does not fit", Options{Mark: bom.MarkDot}, []string{"exchange", "Currency;Rate\nUSD;0,92\n", "offers", semicolons}, []string{
			`p/exchange.csv:2:2: Rate: does not fit the decimal dot of this file ("0,92"); the decimal dot throughout, or --decimal-mark for the other mark`}, "1234"},
	} {
		t.Run(c.why, func(t *testing.T) {
			got, problems := read(c.opt, c.tabs...)
			expect(t, problems, c.want...)
			if c.rate != "" && got.Offers[0].Breaks[0].Price.String() != c.rate {
				t.Errorf("price %s, want %s", got.Offers[0].Breaks[0].Price, c.rate)
			}
		})
	}
}

// The same sheet as CSV and as a workbook with numbers, percentages and dates
// stored as such gives the same prices.
func TestPricesOfCSVAndWorkbookAgree(t *testing.T) {
	_, problems := ReadPrices([]bom.Table{
		csvTable("p", "Setting,Value,Low,High,As of\nHome currency,EUR\nUnit yield %,98%,95%,99%,2026-03-01\nTax recovered,yes\n"),
	}, "p", Options{})
	if !problems.Failed() {
		t.Fatal("a file that is named p is no tab")
	}
	a, problems := ReadPrices([]bom.Table{
		named("settings", csvTable("p", "Setting,Value,Low,High,As of\nHome currency,EUR\nUnit yield %,98%,95%,99%,2026-03-01\nTax recovered,yes\n")),
		named("suppliers", csvTable("p", "Supplier,Duty %,Lead days\nLarch,3.7,5\n")),
		named("offers", csvTable("p", "Part number,Supplier,Order code,@1,@10,As of\nA,Larch,4711,1.234,0.9,2026-03-01\n")),
		named("printers", csvTable("p", "Printer,Attended from,Attended to\nshed,08:00,18:00\n")),
	}, "p", Options{})
	expect(t, problems)
	b, problems := ReadPrices([]bom.Table{
		workbookTable("p", "settings", []any{"Setting", "Value", "Low", "High", "As of"}, []any{"Home currency", "EUR"},
			[]any{"Unit yield %", percent("98%"), percent("95%"), percent("99%"), day("2026-03-01")}, []any{"Tax recovered", logic("yes")}),
		workbookTable("p", "suppliers", []any{"Supplier", "Duty %", "Lead days"}, []any{"Larch", number("3.7"), number("5")}),
		workbookTable("p", "offers", []any{"Part number", "Supplier", "Order code", "@1", "@10", "As of"},
			[]any{"A", "Larch", number("4711"), number("1.234"), number("0.9"), day("2026-03-01")}),
		workbookTable("p", "printers", []any{"Printer", "Attended from", "Attended to"}, []any{"shed", number("0.333333333333333"), number("0.75")}),
	}, "p", Options{})
	expect(t, problems)
	if x, y := asJSON(a), asJSON(b); x != y {
		t.Errorf("CSV\n%s\nworkbook\n%s", x, y)
	}
}

func named(sheet string, t bom.Table) bom.Table {
	t.Sheet = sheet
	return t
}

// The order of rows does not matter: any order gives the same records.
func TestOrderOfRowsDoesNotMatter(t *testing.T) {
	tabs := []string{
		"settings", home + "Margin %,10\nUnit yield %,98\n",
		"exchange", "Currency,Rate\nUSD,0.9\nGBP,1.2\nCHF,1.05\n",
		"suppliers", "Supplier,Currency\nLarch & Fen,USD\nMoor,GBP\nHeath,\nHeron,\n",
		"offers", "Part number,Supplier,Order code,Stock,MOQ,From,Price\nA,larch & fen,c,,,1,0.10\nA,Larch & Fen,c,,,10,0.08\nA,Larch & Fen,,500,5,100,0.05\n" +
			"A,Moor,,,,1,0.2\nB,heron,,,,1,0.3\nB,Heron,,,,10,0.2\nC,Heath,,,,1,3\n",
		"boards", "Board,Fabricator,Lot,Price\nM,Moor,50,62\nM,Moor,100,90\nS,Moor,50,40\n",
		"panels", "Panel,Board,Per panel\nP,M,4\nP,S,2\nQ,M,6\n",
		"assembly quotes", "Assembler,Board,From,Price each,Set-up,Parts\nMoor,M,10,5,,\nmoor,M,50,4,30,\nMoor,M,100,3,,\nMoor,M,10,9,20,included\nHeath,M,10,5,0,\nHeath,P,10,5,30,\nHeath,P,50,4,30,\n",
		"who pays", "Applies to,Payer,Share %\nbare board,a,50\nbare board,b,30\nbare board,c,20\n",
	}
	first, problems := read(Options{}, tabs...)
	expect(t, problems)
	want := plain(first)
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		shuffled := slices.Clone(tabs)
		for i := 1; i < len(shuffled); i += 2 {
			lines := strings.Split(strings.TrimSpace(shuffled[i]), "\n")
			rnd.Shuffle(len(lines)-1, func(a, b int) { lines[a+1], lines[b+1] = lines[b+1], lines[a+1] })
			shuffled[i] = strings.Join(lines, "\n")
		}
		got, problems := read(Options{}, shuffled...)
		expect(t, problems)
		if !reflect.DeepEqual(plain(got), want) {
			t.Fatalf("%s\ngive\n%s\nwant\n%s", strings.Join(shuffled, "\n"), strings.Join(plain(got), "\n"), strings.Join(want, "\n"))
		}
	}
}

// plain writes each record without its place and note, sorted.
func plain(p *bom.Prices) []string {
	var out []string
	for _, r := range p.Exchange {
		out = append(out, "rate "+r.Currency.Code+" "+r.Rate.String())
	}
	for _, s := range p.Suppliers {
		out = append(out, "supplier "+s.Name+" "+s.Currency.Code)
	}
	for _, o := range p.Offers {
		// Parts are spelled alike here; an offer's own row only names its place.
		out = append(out, "offer "+showOffer(o))
	}
	for _, q := range p.Quotes {
		out = append(out, "quote "+q.Board+" "+q.Fabricator+" "+decimal.NewFromInt(q.Lot).String()+" "+q.Price.String())
	}
	for _, r := range p.Panels {
		out = append(out, fmt.Sprint("panel ", r.Panel, r.Board, r.Per))
	}
	for i, q := range p.AssemblyQuotes { // these have an order of their own
		out = append(out, fmt.Sprint("assembly ", i, q.Assembler, q.Board, q.From, q.Each, q.SetUp, q.Included))
	}
	for _, s := range p.WhoPays {
		out = append(out, "share "+s.AppliesTo+" "+s.Payer+" "+s.Percent.String())
	}
	slices.Sort(out)
	return append(out, "settings "+p.Settings.Margin.String()+" "+p.Settings.UnitYield.String()+" "+p.Settings.Fabricator)
}

// The size of a panel with one board type follows from the board's; that of a panel with
// several, and half a size, is asked for.
func TestSizeOfPanels(t *testing.T) {
	_, problems := read(Options{}, "panels", "Panel,Board,Per panel\nP4,M,4\nP6,M,6\nFAM,M,1\nFAM,S,2\n",
		"boards", "Board,Length mm,Width mm,Per dm2\nM,80,50,4\nP4,,,3\nP6,170,,3\nFAM,,,3\n")
	expect(t, problems,
		`p/boards.csv:4:4: Per dm2: a rate by area needs the size of the board ("3"); Length mm and Width mm of the board`,
		`p/boards.csv:5:4: Per dm2: a rate by area needs the size of the board ("3"); Length mm and Width mm of the board`)
}

// The assembler that is asked for counts, whatever the setting says, and must have prices as well.
func TestAssemblerAskedFor(t *testing.T) {
	for _, c := range []struct{ asked, want, complaint string }{
		{"larch", "Larch", ""}, {"BENCH", bom.AtBench, ""}, {"", "Birch", ""},
		{"Larsh", "Larsh", `--assembler: the assembler has no prices ("Larsh"); add a row for it to the tab assembly or assembly quotes; did you mean Larch`},
	} {
		got, problems := read(Options{Assembler: c.asked}, "settings", "Setting,Value\nHome currency,EUR\nAssembler,Birch\n",
			"assembly", "Assembler,Set-up\nBirch,10\n", "assembly quotes", "Assembler,Board,Price each\nLarch,M,2\n")
		var want []string
		if c.complaint != "" {
			want = append(want, c.complaint)
		}
		if expect(t, problems, want...); got.Settings.Assembler != c.want {
			t.Errorf("%q: the assembler is %q", c.asked, got.Settings.Assembler)
		}
	}
}

func TestOneCurrencyInAQuote(t *testing.T) {
	_, problems := read(Options{}, "exchange", "Currency,Rate\nUSD,0.9\n",
		"assembly quotes", "Assembler,Board,From,Price each,Currency,Parts\nBirch,M,1,3,EUR,\nBirch,M,10,3,USD,\nBirch,M,10,3,USD,included\n")
	expect(t, problems,
		`p/assembly quotes.csv:3:5: the currency differs from that in row 2 of the same quote ("USD"); one currency for all its rows`)
}

// A supplier without a row and a row that nothing names are likely one, misspelt; a row
// for later is as it should be.
func TestSuppliersThatMeetNothing(t *testing.T) {
	const suppliers = "Supplier,Currency\nLarch & Fen,EUR\nBirch,EUR\nAlder,EUR\nmoor,EUR\n"
	_, problems := read(Options{}, "suppliers", suppliers,
		"offers", "Part number,Supplier,Price\nA,Lark & Fen,1\nB,MOOR,1\n", "boards", "Board,Fabricator,Lot,Price\nM,Alder,5,20\n")
	expect(t, problems,
		`warning: p/offers.csv:2:2: no row in the tab suppliers, so taken as home currency without delivery, duty or tax ("Lark & Fen"); add a row for it (did you mean Larch & Fen)`,
		`warning: p/suppliers.csv:2:1: this supplier has no offers, while others have no row ("Larch & Fen"); its name as it stands in the offers (did you mean Lark & Fen)`,
		`warning: p/suppliers.csv:3:1: this supplier has no offers, while others have no row ("Birch"); its name as it stands in the offers`)
	_, problems = read(Options{}, "suppliers", suppliers, "offers", "Part number,Supplier,Price\nB,MOOR,1\n")
	expect(t, problems)
	_, problems = read(Options{}, "suppliers", suppliers, "offers", "Part number,Supplier,Price\nA,Larch & Fen,1\nB,MOOR,1\nC,Alder,1\n",
		"assembly", "Assembler,Set-up\nBirh,10\n", "assembly-quotes", "Assembler,Board,Price each\nBirch,M,4\nBirh,M,4\nHeron,M,4\n")
	expect(t, problems,
		`warning: p/assembly.csv:2:1: no row in the tab suppliers, so taken as home currency without delivery, duty or tax ("Birh"); add a row for it (did you mean Birch)`,
		`warning: p/assembly-quotes.csv:4:1: no row in the tab suppliers, so taken as home currency without delivery, duty or tax ("Heron"); add a row for it`)
}
