package sheet

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// ReadActuals reads an actuals workbook from its tables: the plan of a run, and what was
// filled in while it was made. The name is that of the workbook or folder. What was left
// blank is not valid; a row without planned figures is one that the plan does not hold.
func ReadActuals(tables []bom.Table, name string, opt Options) (*bom.Actuals, bom.Problems) {
	r := &runReader{run: &bom.Actuals{Name: name}, regions: map[string]*region{}, rates: map[string]bool{}}
	r.locate(tables, opt)
	r.items(name)
	eachOfRun(r, bom.TabProducts, r.product)
	r.allUnits()
	if r.run.Home.Code == "" { // by which all money is read
		return r.run, r.problems
	}
	eachOfRun(r, bom.TabRates, r.rate)
	eachOfRun(r, bom.TabPurchases, r.purchase)
	eachOfRun(r, bom.TabCharges, r.charge)
	eachOfRun(r, bom.TabHours, r.work)
	eachOfRun(r, bom.TabPlates, r.printer)
	eachOfRun(r, bom.TabPrints, r.print)
	eachOfRun(r, bom.TabPopulated, r.board)
	eachOfRun(r, bom.TabNeeded, r.part)
	eachOfRun(r, bom.TabLeft, r.left)
	return r.run, r.problems
}

// runReader reads an actuals workbook.
type runReader struct {
	run      *bom.Actuals
	problems bom.Problems
	regions  map[string]*region
	markings map[string]marking
	rates    map[string]bool // payee and currency, folded
}

// locate finds the tabs among the tables.
func (r *runReader) locate(tables []bom.Table, opt Options) {
	var all []*region
	for i := range tables {
		t := &tables[i]
		name := tableName(*t)
		tab, ok := bom.RunTab(name)
		switch {
		case !ok:
			r.problems.Notef(t.At(0, 0), "%s is not a tab of an actuals workbook and is ignored", bom.Shown(name))
		case r.regions[tab.Name] != nil:
			r.problems.Errorf(t.At(0, 0), "", "keep one table for it", "the tab %s stands twice, here and in %s", tab.Name, r.regions[tab.Name].table.At(0, 0))
		default:
			if reg := locate(t, tab, opt.Headings, &r.problems); reg != nil {
				r.regions[tab.Name] = reg
				all = append(all, reg)
			}
		}
	}
	r.markings = markings(all, opt.Mark)
}

// tableName is the sheet's name, or the file's without its ending.
func tableName(t bom.Table) string {
	if t.Sheet != "" {
		return t.Sheet
	}
	name := path.Base(slashed(t.File))
	return strings.TrimSuffix(name, path.Ext(name))
}

// reader gives the decoder of a tab; ok is false where there is no such tab.
func (r *runReader) reader(tab string) (d *decoder, ok bool) {
	reg := r.regions[tab]
	if reg == nil {
		return nil, false
	}
	d = newDecoder(reg, r.markings[reg.table.File], &r.problems)
	var must []string
	for _, c := range reg.tab.Columns {
		if c.Required {
			must = append(must, c.Heading)
		}
	}
	d.needColumns(must...)
	return d, true
}

func eachOfRun[T any](r *runReader, tab string, read func(*decoder, *T, bom.Origin)) {
	if d, ok := r.reader(tab); ok {
		readRows(d, func(record *T) { read(d, record, d.reg.origin(d.row)) })
	}
}

// numberIfAny is number where something stands in the cell.
func (d *decoder) numberIfAny(c Cell) decimal.NullDecimal {
	f, ok := d.figure(c, bom.FormNumber)
	return decimal.NullDecimal{Decimal: f.Value, Valid: ok}
}

// wholeIfAny is whole where something stands in the cell.
func (d *decoder) wholeIfAny(c Cell) decimal.NullDecimal {
	if c.Blank() {
		return decimal.NullDecimal{}
	}
	return decimal.NewNullDecimal(decimal.NewFromInt(d.whole(c, 0, 0)))
}

// notOver refuses a figure that is a part of another and over it.
func notOver(d *decoder, c Cell, part, all decimal.NullDecimal, of string) {
	if part.Valid && all.Valid && part.Decimal.GreaterThan(all.Decimal) {
		d.wrong(c, "no more than "+all.Decimal.String(), "more than %s", of)
	}
}

type rawItem struct {
	Item    Cell `csv:"Item"`
	Planned Cell `csv:"Planned"`
	Actual  Cell `csv:"Actual"`
}

// items reads the tab run.
func (r *runReader) items(name string) {
	d, ok := r.reader(bom.TabRun)
	if !ok {
		if !r.problems.Failed() {
			r.problems.Errorf(bom.Place{File: name}, "", "a workbook that estimate --actuals wrote", "no tab %s", bom.TabRun)
		}
		return
	}
	run, met := r.run, map[string]bool{}
	readRows(d, func(raw *rawItem) {
		item := d.choice(raw.Item)
		if item == "" {
			d.need(raw.Item)
			return
		}
		d.once(raw.Item, item, item)
		met[item] = true
		if !raw.Actual.Blank() && !slices.ContainsFunc(bom.RunItems, func(i bom.RunItem) bool { return i.Name == item && i.Fill }) {
			d.wrong(raw.Actual, "leave it blank", "nothing is filled in for %s", item)
		}
		figure := func(whole bool) bom.RunFigure {
			f := bom.RunFigure{Origin: d.reg.origin(d.row)}
			if !d.need(raw.Planned) {
				return f
			}
			if whole {
				f.Planned, f.Actual = d.wholeIfAny(raw.Planned).Decimal, d.wholeIfAny(raw.Actual)
			} else {
				f.Planned, f.Actual = d.money(raw.Planned, run.Home), d.moneyOrNone(raw.Actual, run.Home)
			}
			return f
		}
		switch item {
		case bom.RunProduct:
			run.Product = d.key(raw.Planned)
		case bom.RunLevel:
			run.Level = d.key(raw.Planned)
		case bom.RunHome:
			if d.need(raw.Planned) {
				run.Home = d.currency(raw.Planned, bom.Currency{})
			}
		case bom.RunPlannedOn:
			run.PlannedOn = d.date(raw.Planned)
		case bom.RunPaid:
			run.LabourPaid = d.yes(raw.Planned, false)
		case bom.RunRatePaid:
			run.LabourRate = figure(false)
		case bom.RunGood:
			run.Good = figure(true)
			if run.Good.Planned.IsZero() && !raw.Planned.Blank() {
				d.wrong(raw.Planned, "the units of the plan", "no unit is planned")
			}
		case bom.RunStarted:
			run.Started = figure(true)
		case bom.RunUnitsYield:
			run.Yield = d.percent(raw.Planned, 100, 100)
		}
	})
	for _, item := range []string{bom.RunHome, bom.RunGood, bom.RunStarted} {
		if !met[item] {
			r.problems.Errorf(d.reg.table.At(0, 0), "", "a row for it, as estimate --actuals writes it", "the row %s is missing", item)
		}
	}
	if started := run.Started.Is(); run.Good.Actual.Valid && run.Good.Actual.Decimal.GreaterThan(started) {
		r.problems.Errorf(run.Good.At("Actual"), run.Good.Actual.Decimal.String(), "no more than the "+started.String()+" units that were started", "more good units than were started")
	}
}

type rawMade struct {
	Product  Cell `csv:"Product"`
	Level    Cell `csv:"Level"`
	Good     Cell `csv:"Planned good"`
	Starts   Cell `csv:"Planned starts"`
	Consumed Cell `csv:"Planned consumed"`
	WasGood  Cell `csv:"Good"`
	Started  Cell `csv:"Started"`
}

// product reads a row of the tab products.
func (r *runReader) product(d *decoder, raw *rawMade, at bom.Origin) {
	if !d.need(raw.Product) {
		return
	}
	units := func(planned, is Cell) bom.RunFigure {
		return bom.RunFigure{Origin: at, Planned: decimal.NewFromInt(d.whole(planned, 0, 0)), Actual: d.wholeIfAny(is)}
	}
	p := bom.RunMade{Origin: at, Name: d.key(raw.Product), Level: d.key(raw.Level), Good: units(raw.Good, raw.WasGood), Started: units(raw.Starts, raw.Started),
		Consumed: d.money(raw.Consumed, r.run.Home)}
	notOver(d, raw.WasGood, p.Good.Actual, decimal.NewNullDecimal(p.Started.Is()), "the units that were started")
	d.once(raw.Product, "the product", p.Name)
	r.run.Products = append(r.run.Products, p)
}

// allUnits adds the units of several products up, which the tab run tells as well, as planned.
func (r *runReader) allUnits() {
	run := r.run
	if len(run.Products) == 0 {
		return
	}
	for _, all := range []struct {
		of   *bom.RunFigure
		item string
		each func(*bom.RunMade) *bom.RunFigure
	}{{&run.Good, bom.RunGood, func(p *bom.RunMade) *bom.RunFigure { return &p.Good }}, {&run.Started, bom.RunStarted, func(p *bom.RunMade) *bom.RunFigure { return &p.Started }}} {
		if all.of.Actual.Valid {
			r.problems.Errorf(all.of.At("Actual"), all.of.Actual.Decimal.String(), "leave it blank, and fill in the tab "+bom.TabProducts, "%s of several products", all.item)
		}
		planned, is, some := decimal.Zero, decimal.Zero, false
		for i := range run.Products {
			f := all.each(&run.Products[i])
			planned, is, some = planned.Add(f.Planned), is.Add(f.Is()), some || f.Actual.Valid
		}
		if !planned.Equal(all.of.Planned) {
			r.problems.Errorf(all.of.At("Planned"), all.of.Planned.String(), planned.String()+", as in the tab "+bom.TabProducts, "%s are not those of the products", all.item)
		}
		all.of.Actual = decimal.NullDecimal{Decimal: is, Valid: some}
	}
}

// shares reads what of a row is for each product.
func (r *runReader) shares(d *decoder, c Cell) bom.RunShares {
	text := d.text(c)
	if text == "" {
		return nil
	}
	var out bom.RunShares
	sum := decimal.Zero
	for _, word := range strings.Split(text, ";") {
		f, err := bom.ParseFigure(strings.TrimSpace(word), bom.MarkDot)
		if err != nil || f.Sign != "" || f.Percent {
			d.wrong(c, "numbers such as 80; 20", "no shares")
			return nil
		}
		out, sum = append(out, f.Value), sum.Add(f.Value)
	}
	if len(out) != len(r.run.Products) || !sum.IsPositive() {
		d.wrong(c, fmt.Sprintf("%d numbers, one for each row of the tab %s, of which some is over 0", len(r.run.Products), bom.TabProducts), "not the shares of the products")
		return nil
	}
	return out
}

type rawPaidRate struct {
	Payee    Cell `csv:"Payee"`
	Currency Cell `csv:"Currency"`
	Planned  Cell `csv:"Planned rate"`
	Paid     Cell `csv:"Rate paid"`
}

func (r *runReader) rate(d *decoder, raw *rawPaidRate, at bom.Origin) {
	if !d.need(raw.Currency) {
		return
	}
	rate := bom.RunRate{Origin: at, Payee: d.key(raw.Payee), Currency: d.currency(raw.Currency, bom.Currency{}), Paid: d.numberIfAny(raw.Paid)}
	planned := d.numberIfAny(raw.Planned)
	for _, c := range []struct {
		cell Cell
		rate decimal.NullDecimal
	}{{raw.Planned, planned}, {raw.Paid, rate.Paid}} {
		if c.rate.Valid && c.rate.Decimal.IsZero() {
			d.wrong(c.cell, "a rate over 0, or a blank cell", "a rate of 0")
		}
	}
	if rate.Planned = bom.Either(planned, rate.Paid.Decimal); !planned.Valid && !rate.Paid.Valid {
		d.wrong(raw.Paid, "what one of it cost in home currency", "neither a planned rate nor one that was paid")
	}
	d.once(raw.Currency, "the currency", rate.Payee, rate.Currency.Code)
	r.rates[bom.Fold(rate.Payee)+"\x00"+rate.Currency.Code] = true
	r.run.Exchange = append(r.run.Exchange, rate)
}

// currencyTo is the currency of what a payee is paid, of which there must be a rate.
func (r *runReader) currencyTo(d *decoder, c Cell, payee string) bom.Currency {
	cur := d.currency(c, r.run.Home)
	if cur.Code != r.run.Home.Code && !r.rates[bom.Fold(payee)+"\x00"+cur.Code] {
		d.wrong(c, "a row for "+payee+" and "+cur.Code+" in the tab "+bom.TabRates, "no rate into %s is known", r.run.Home.Code)
	}
	return cur
}

type rawPurchase struct {
	Supplier      Cell `csv:"Supplier"`
	Part          Cell `csv:"Part number"`
	Code          Cell `csv:"Order code"`
	Kind          Cell `csv:"Kind"`
	Pieces        Cell `csv:"Pack size"`
	Currency      Cell `csv:"Currency"`
	Quantity      Cell `csv:"Planned quantity"`
	Price         Cell `csv:"Planned price"`
	Fee           Cell `csv:"Planned fee"`
	Ordered       Cell `csv:"Ordered"`
	Received      Cell `csv:"Received"`
	Invoiced      Cell `csv:"Invoiced"`
	InvoicedPrice Cell `csv:"Invoiced price"`
	InvoicedFee   Cell `csv:"Invoiced fee"`
	Worth         Cell `csv:"Worth each"`
	Note          Cell `csv:"Note"`
	For           Cell `csv:"For products"`
}

func (r *runReader) purchase(d *decoder, raw *rawPurchase, at bom.Origin) {
	whole := d.need(raw.Supplier)
	whole = d.need(raw.Part) && whole
	p := bom.RunPurchase{Origin: at, Supplier: d.key(raw.Supplier), Part: d.key(raw.Part), Code: d.key(raw.Code), Kind: d.choice(raw.Kind),
		Unplanned: raw.Quantity.Blank(), Quantity: decimal.NewFromInt(d.whole(raw.Quantity, 0, 0)), Ordered: d.numberIfAny(raw.Ordered),
		Received: d.numberIfAny(raw.Received), Invoiced: d.numberIfAny(raw.Invoiced), Note: d.text(raw.Note), For: r.shares(d, raw.For)}
	if p.Kind == "" {
		p.Kind = bom.BoughtPart
	}
	p.Pieces, _ = d.quantity(raw.Pieces, bom.One, false)
	p.Currency = r.currencyTo(d, raw.Currency, p.Supplier)
	p.Price, p.Fee = d.money(raw.Price, p.Currency), d.money(raw.Fee, p.Currency)
	p.InvoicedPrice, p.InvoicedFee = d.moneyOrNone(raw.InvoicedPrice, p.Currency), d.moneyOrNone(raw.InvoicedFee, p.Currency)
	p.Worth = d.money(raw.Worth, r.run.Home)
	switch {
	case p.Unplanned && !p.Price.IsZero():
		d.wrong(raw.Quantity, "the planned quantity, or no planned price", "a price is planned and no quantity")
	case p.Unplanned && raw.InvoicedPrice.Blank():
		d.wrong(raw.InvoicedPrice, "what one cost by the invoice", "blank in a row that was not planned")
	case p.Unplanned && !p.WasInvoiced().IsPositive() && raw.Invoiced.Blank():
		d.wrong(raw.Invoiced, "how many were paid for", "blank in a row that was not planned")
	case !p.Unplanned && raw.Price.Blank():
		d.wrong(raw.Price, "the planned price", "blank where a quantity is planned")
	}
	if whole {
		d.once(raw.Part, "the line", p.Supplier, p.Part, p.Code, p.Kind, raw.Pieces.Text, raw.Price.Text, raw.Note.Text)
		r.run.Purchases = append(roomFor(r.run.Purchases, d), p)
	}
}

type rawCharge struct {
	Payee    Cell `csv:"Payee"`
	What     Cell `csv:"Charge"`
	Currency Cell `csv:"Currency"`
	Planned  Cell `csv:"Planned"`
	Invoiced Cell `csv:"Invoiced"`
	Kept     Cell `csv:"Not consumed %"`
	Stock    Cell `csv:"From stock"`
	Over     Cell `csv:"Spread over"`
	Before   Cell `csv:"Units before"`
	Note     Cell `csv:"Note"`
	For      Cell `csv:"For products"`
}

func (r *runReader) charge(d *decoder, raw *rawCharge, at bom.Origin) {
	if !d.need(raw.What) {
		return
	}
	c := bom.RunCharge{Origin: at, Payee: d.key(raw.Payee), What: d.key(raw.What), Kept: d.percent(raw.Kept, 0, 100),
		Stock: d.money(raw.Stock, r.run.Home), Over: d.whole(raw.Over, 0, 1), Before: d.whole(raw.Before, 0, 0), Note: d.text(raw.Note), For: r.shares(d, raw.For)}
	c.Currency = r.currencyTo(d, raw.Currency, c.Payee)
	c.Planned, c.Invoiced = d.money(raw.Planned, c.Currency), d.moneyOrNone(raw.Invoiced, c.Currency)
	d.once(raw.What, "the charge", c.Payee, c.What)
	r.run.Charges = append(roomFor(r.run.Charges, d), c)
}

type rawHours struct {
	Operation Cell `csv:"Operation"`
	AppliesTo Cell `csv:"Applies to"`
	Basis     Cell `csv:"Basis"`
	Seconds   Cell `csv:"Seconds"`
	Learning  Cell `csv:"Learning %"`
	TimedAt   Cell `csv:"Timed at"`
	Before    Cell `csv:"Done before"`
	Planned   Cell `csv:"Planned hours"`
	Cost      Cell `csv:"Planned cost"`
	Hours     Cell `csv:"Hours"`
	First     Cell `csv:"First units"`
	FirstH    Cell `csv:"First hours"`
	For       Cell `csv:"For products"`
}

// leastLearning is that of the tab hand work: a rate of 0 has no logarithm.
const leastLearning = 1

func (r *runReader) work(d *decoder, raw *rawHours, at bom.Origin) {
	if !d.need(raw.Operation) {
		return
	}
	w := bom.RunWork{Origin: at, Operation: d.key(raw.Operation), AppliesTo: d.key(raw.AppliesTo), Basis: d.key(raw.Basis),
		Seconds: d.number(raw.Seconds, decimal.Zero), Learning: d.percent(raw.Learning, 100, 100), TimedAt: d.whole(raw.TimedAt, 1, 1),
		Before: d.whole(raw.Before, 0, 0), Planned: d.number(raw.Planned, decimal.Zero), Cost: d.money(raw.Cost, r.run.Home),
		Hours: d.numberIfAny(raw.Hours), First: d.wholeIfAny(raw.First), FirstH: d.numberIfAny(raw.FirstH), For: r.shares(d, raw.For)}
	if w.Learning.LessThan(decimal.NewFromInt(leastLearning)) {
		d.wrong(raw.Learning, "a percentage from 1 to 100", "too fast a learning")
	}
	switch {
	case w.First.Valid != w.FirstH.Valid && w.First.Valid:
		d.wrong(raw.FirstH, "the hours that they took", "blank beside First units")
	case w.First.Valid != w.FirstH.Valid:
		d.wrong(raw.First, "the units that were done in them", "blank beside First hours")
	case w.FirstH.Valid && !w.Hours.Valid:
		d.wrong(raw.Hours, "the hours of all units", "blank beside First hours")
	}
	notOver(d, raw.FirstH, w.FirstH, w.Hours, "all hours")
	notOver(d, raw.First, w.First, decimal.NewNullDecimal(r.run.Started.Is()), "the units that were started")
	d.once(raw.Operation, "the operation", w.Operation, w.AppliesTo, w.Basis)
	r.run.Work = append(r.run.Work, w)
}

type rawPlates struct {
	Printer Cell `csv:"Printer"`
	Good    Cell `csv:"Good plates"`
	Failure Cell `csv:"Failure %"`
	Planned Cell `csv:"Planned plates"`
	Printed Cell `csv:"Printed"`
	Failed  Cell `csv:"Failed"`
}

func (r *runReader) printer(d *decoder, raw *rawPlates, at bom.Origin) {
	if !d.need(raw.Printer) {
		return
	}
	p := bom.RunPrinter{Origin: at, Printer: d.key(raw.Printer), Plates: d.whole(raw.Good, 0, 0), Failure: d.percent(raw.Failure, 0, 100),
		Planned: d.number(raw.Planned, decimal.Zero), Printed: d.wholeIfAny(raw.Printed), Failed: d.wholeIfAny(raw.Failed)}
	if p.Failed.Valid && !p.Printed.Valid {
		d.wrong(raw.Printed, "the plates that were printed, those that failed with them", "blank beside Failed")
	}
	notOver(d, raw.Failed, p.Failed, p.Printed, "the plates that were printed")
	d.once(raw.Printer, "the printer", p.Printer)
	r.run.Printers = append(r.run.Printers, p)
}

type rawPrinted struct {
	Part     Cell `csv:"Part number"`
	File     Cell `csv:"File"`
	Printer  Cell `csv:"Printer"`
	Recipe   Cell `csv:"Recipe"`
	Pieces   Cell `csv:"Pieces"`
	Laid     Cell `csv:"Planned pieces"`
	Planned  Cell `csv:"Planned hours"`
	StartH   Cell `csv:"Start hours"`
	PlannedG Cell `csv:"Planned g"`
	PrimeG   Cell `csv:"Prime g"`
	Wear     Cell `csv:"Planned wear"`
	Energy   Cell `csv:"Planned energy"`
	Hours    Cell `csv:"Hours"`
	Grams    Cell `csv:"Filament g"`
	For      Cell `csv:"For products"`
}

func (r *runReader) print(d *decoder, raw *rawPrinted, at bom.Origin) {
	if !d.need(raw.Part) {
		return
	}
	home := r.run.Home
	p := bom.RunPrint{Origin: at, Part: d.key(raw.Part), File: d.key(raw.File), Printer: d.key(raw.Printer), Recipe: d.key(raw.Recipe),
		Pieces: d.whole(raw.Pieces, 0, 0), Laid: d.number(raw.Laid, decimal.Zero), Planned: d.number(raw.Planned, decimal.Zero),
		StartH: d.number(raw.StartH, decimal.Zero), PlannedG: d.number(raw.PlannedG, decimal.Zero), PrimeG: d.number(raw.PrimeG, decimal.Zero),
		Wear: d.money(raw.Wear, home), Energy: d.money(raw.Energy, home), Hours: d.numberIfAny(raw.Hours), Grams: d.numberIfAny(raw.Grams), For: r.shares(d, raw.For)}
	d.once(raw.Part, "the printed part", p.Part, p.File, p.Printer, p.Recipe, raw.Planned.Text)
	r.run.Prints = append(r.run.Prints, p)
}

type rawPopulated struct {
	Board     Cell `csv:"Board"`
	Assembler Cell `csv:"Assembler"`
	Chances   Cell `csv:"Opportunities"`
	DPMO      Cell `csv:"DPMO"`
	Planned   Cell `csv:"Planned"`
	Populated Cell `csv:"Populated"`
	Good      Cell `csv:"Good"`
}

func (r *runReader) board(d *decoder, raw *rawPopulated, at bom.Origin) {
	if !d.need(raw.Board) {
		return
	}
	b := bom.RunBoard{Origin: at, Board: d.key(raw.Board), Assembler: d.key(raw.Assembler), Chances: d.whole(raw.Chances, 0, 0),
		DPMO: d.number(raw.DPMO, decimal.Zero), Planned: d.whole(raw.Planned, 0, 0), Populated: d.wholeIfAny(raw.Populated), Good: d.wholeIfAny(raw.Good)}
	all := decimal.NewNullDecimal(bom.Either(b.Populated, decimal.NewFromInt(b.Planned)))
	notOver(d, raw.Good, b.Good, all, "the boards that were populated")
	d.once(raw.Board, "the board", b.Board)
	r.run.Boards = append(r.run.Boards, b)
}

type rawNeeded struct {
	Part      Cell `csv:"Part number"`
	Kind      Cell `csv:"Kind"`
	Required  Cell `csv:"Required"`
	Spares    Cell `csv:"Spares"`
	AppliesTo Cell `csv:"Applies to"`
	Package   Cell `csv:"Package"`
	For       Cell `csv:"For products"`
}

func (r *runReader) part(d *decoder, raw *rawNeeded, at bom.Origin) {
	if !d.need(raw.Part) {
		return
	}
	p := bom.RunPart{Origin: at, Part: d.key(raw.Part), Kind: d.choice(raw.Kind), AppliesTo: d.key(raw.AppliesTo), Package: d.key(raw.Package), For: r.shares(d, raw.For)}
	if p.Kind == "" {
		p.Kind = bom.BoughtPart
	}
	p.Required, _ = d.quantity(raw.Required, 0, true)
	p.Spares, _ = d.quantity(raw.Spares, 0, true)
	d.once(raw.Part, "the part", p.Kind, p.Part)
	r.run.Parts = append(roomFor(r.run.Parts, d), p)
}

type rawLeft struct {
	Part    Cell `csv:"Part number"`
	GivenBy Cell `csv:"Given by"`
	Value   Cell `csv:"Unit value"`
	Before  Cell `csv:"Before"`
	Taken   Cell `csv:"Taken"`
	Surplus Cell `csv:"Surplus"`
	Named   Cell `csv:"Named"`
	Counted Cell `csv:"Counted"`
	For     Cell `csv:"For products"`
}

func (r *runReader) left(d *decoder, raw *rawLeft, at bom.Origin) {
	if !d.need(raw.Part) {
		return
	}
	l := bom.RunLeft{Origin: at, Part: d.key(raw.Part), Named: d.key(raw.Named), GivenBy: d.key(raw.GivenBy), Value: d.money(raw.Value, r.run.Home), For: r.shares(d, raw.For)}
	l.Before, _ = d.quantity(raw.Before, 0, true)
	l.Taken, _ = d.quantity(raw.Taken, 0, true)
	l.Surplus, _ = d.quantity(raw.Surplus, 0, true)
	if l.Taken > l.Before {
		d.wrong(raw.Taken, "no more than "+l.Before.String(), "more is taken than is there")
	}
	if q, ok := d.quantity(raw.Counted, 0, true); ok {
		l.Counted = decimal.NewNullDecimal(q.Decimal())
	}
	d.once(raw.Part, "the part", l.Part, l.GivenBy, raw.Value.Text, raw.Before.Text)
	r.run.Left = append(roomFor(r.run.Left, d), l)
}
