package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// ReadActuals reads an actuals workbook from its tables: the plan of a run, and what was
// filled in while it was made. The name is that of the workbook or folder. What was left
// blank is not valid; a row without planned figures is one that the plan does not hold.
func ReadActuals(tables []bom.Table, name string, opt Options) (*bom.Actuals, bom.Problems) {
	r := &runReader{run: &bom.Actuals{}, rates: map[string]bool{}}
	r.locate(tables, bom.RunTab, func(at bom.Place, tab string) {
		r.problems.Notef(at, "%s is not a tab of an actuals workbook and is ignored", bom.Shown(tab))
	}, opt)
	r.items(name)
	r.each(bom.TabProducts, r.product)
	r.allUnits()
	if r.run.Home.Code == "" { // by which all money is read
		return r.run, r.problems
	}
	r.each(bom.TabRates, r.rate)
	r.each(bom.TabPurchases, r.purchase)
	r.each(bom.TabCharges, r.charge)
	r.each(bom.TabHours, r.work)
	r.each(bom.TabPlates, r.printer)
	r.each(bom.TabPrints, r.print)
	r.each(bom.TabPopulated, r.board)
	r.each(bom.TabNeeded, r.part)
	r.each(bom.TabLeft, r.left)
	return r.run, r.problems
}

// runReader reads an actuals workbook.
type runReader struct {
	tabs
	run   *bom.Actuals
	rates map[string]bool // payee and currency, folded
}

// numberIfAny is number where something stands in the cell.
func (d *decoder) numberIfAny(c bom.Cell) decimal.NullDecimal {
	f, ok := d.figure(c, bom.FormNumber)
	return decimal.NullDecimal{Decimal: f.Value, Valid: ok}
}

// wholeIfAny is whole where something stands in the cell.
func (d *decoder) wholeIfAny(c bom.Cell) decimal.NullDecimal {
	if c.Blank() {
		return decimal.NullDecimal{}
	}
	return decimal.NewNullDecimal(decimal.NewFromInt(d.whole(c, 0, 0)))
}

// notOver refuses a figure that is a part of another and over it.
func notOver(d *decoder, c bom.Cell, part, all decimal.NullDecimal, of string) {
	if part.Valid && all.Valid && part.Decimal.GreaterThan(all.Decimal) {
		d.wrong(c, "no more than "+all.Decimal.String(), "more than %s", of)
	}
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
	d.eachRow(func() {
		named, planned, actual := d.cell("Item"), d.cell("Planned"), d.cell("Actual")
		item := d.choice(named)
		if item == "" {
			d.need(named)
			return
		}
		d.once(named, item, item)
		met[item] = true
		if !actual.Blank() && !slices.ContainsFunc(bom.RunItems, func(i bom.RunItem) bool { return i.Name == item && i.Fill }) {
			d.wrong(actual, "leave it blank", "nothing is filled in for %s", item)
		}
		figure := func(whole bool) bom.RunFigure {
			f := bom.RunFigure{Origin: d.reg.origin(d.row)}
			if !d.need(planned) {
				return f
			}
			if whole {
				f.Planned, f.Actual = d.wholeIfAny(planned).Decimal, d.wholeIfAny(actual)
			} else {
				f.Planned, f.Actual = d.money(planned, run.Home), d.moneyOrNone(actual, run.Home)
			}
			return f
		}
		switch item {
		case bom.RunProduct:
			run.Product = d.key(planned)
		case bom.RunLevel:
			run.Level = d.key(planned)
		case bom.RunHome:
			if d.need(planned) {
				run.Home = d.currency(planned, bom.Currency{})
			}
		case bom.RunPlannedOn:
			run.PlannedOn = d.date(planned)
		case bom.RunPaid:
			run.LabourPaid = d.yes(planned, false)
		case bom.RunRatePaid:
			run.LabourRate = figure(false)
		case bom.RunGood:
			run.Good = figure(true)
			if run.Good.Planned.IsZero() && !planned.Blank() {
				d.wrong(planned, "the units of the plan", "no unit is planned")
			}
		case bom.RunStarted:
			run.Started = figure(true)
		case bom.RunUnitsYield:
			run.Yield = d.percent(planned, 100, 100)
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

// product reads a row of the tab products.
func (r *runReader) product(d *decoder) {
	cell := d.cell
	units := func(planned, is bom.Cell) bom.RunFigure {
		return bom.RunFigure{Origin: d.reg.origin(d.row), Planned: decimal.NewFromInt(d.whole(planned, 0, 0)), Actual: d.wholeIfAny(is)}
	}
	p := bom.RunMade{Origin: d.reg.origin(d.row), Name: d.key(cell("Product")), Level: d.key(cell("Level")), Good: units(cell("Planned good"), cell("Good")), Started: units(cell("Planned starts"), cell("Started")),
		Consumed: d.money(cell("Planned consumed"), r.run.Home)}
	notOver(d, cell("Good"), p.Good.Actual, decimal.NewNullDecimal(p.Started.Is()), "the units that were started")
	d.once(cell("Product"), "the product", p.Name)
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
func (r *runReader) shares(d *decoder, c bom.Cell) bom.RunShares {
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

func (r *runReader) rate(d *decoder) {
	cell := d.cell
	rate := bom.RunRate{Origin: d.reg.origin(d.row), Payee: d.key(cell("Payee")), Currency: d.currency(cell("Currency"), bom.Currency{}), Paid: d.numberIfAny(cell("Rate paid"))}
	planned := d.numberIfAny(cell("Planned rate"))
	for _, c := range []struct {
		cell bom.Cell
		rate decimal.NullDecimal
	}{{cell("Planned rate"), planned}, {cell("Rate paid"), rate.Paid}} {
		if c.rate.Valid && c.rate.Decimal.IsZero() {
			d.wrong(c.cell, "a rate over 0, or a blank cell", "a rate of 0")
		}
	}
	if rate.Planned = bom.Either(planned, rate.Paid.Decimal); !planned.Valid && !rate.Paid.Valid {
		d.wrong(cell("Rate paid"), "what one of it cost in home currency", "neither a planned rate nor one that was paid")
	}
	d.once(cell("Currency"), "the currency", rate.Payee, rate.Currency.Code)
	r.rates[bom.Fold(rate.Payee)+"\x00"+rate.Currency.Code] = true
	r.run.Exchange = append(r.run.Exchange, rate)
}

// currencyTo is the currency of what a payee is paid, of which there must be a rate.
func (r *runReader) currencyTo(d *decoder, c bom.Cell, payee string) bom.Currency {
	cur := d.currency(c, r.run.Home)
	if cur.Code != r.run.Home.Code && !r.rates[bom.Fold(payee)+"\x00"+cur.Code] {
		d.wrong(c, "a row for "+payee+" and "+cur.Code+" in the tab "+bom.TabRates, "no rate into %s is known", r.run.Home.Code)
	}
	return cur
}

func (r *runReader) purchase(d *decoder) {
	cell := d.cell
	p := bom.RunPurchase{Origin: d.reg.origin(d.row), Supplier: d.key(cell("Supplier")), Part: d.key(cell("Part number")), Code: d.key(cell("Order code")), Kind: d.choice(cell("Kind")),
		Unplanned: cell("Planned quantity").Blank(), Quantity: decimal.NewFromInt(d.whole(cell("Planned quantity"), 0, 0)), Ordered: d.numberIfAny(cell("Ordered")),
		Received: d.numberIfAny(cell("Received")), Invoiced: d.numberIfAny(cell("Invoiced")), Note: d.text(cell("Note")), For: r.shares(d, cell("For products"))}
	p.Kind = cmp.Or(p.Kind, bom.BoughtPart)
	p.Pieces, _ = d.quantity(cell("Pack size"), bom.One, false)
	p.Currency = r.currencyTo(d, cell("Currency"), p.Supplier)
	p.Price, p.Fee = d.money(cell("Planned price"), p.Currency), d.money(cell("Planned fee"), p.Currency)
	p.InvoicedPrice, p.InvoicedFee = d.moneyOrNone(cell("Invoiced price"), p.Currency), d.moneyOrNone(cell("Invoiced fee"), p.Currency)
	p.Worth = d.money(cell("Worth each"), r.run.Home)
	switch {
	case p.Unplanned && !p.Price.IsZero():
		d.wrong(cell("Planned quantity"), "the planned quantity, or no planned price", "a price is planned and no quantity")
	case p.Unplanned && cell("Invoiced price").Blank():
		d.wrong(cell("Invoiced price"), "what one cost by the invoice", "blank in a row that was not planned")
	case p.Unplanned && !p.WasInvoiced().IsPositive() && cell("Invoiced").Blank():
		d.wrong(cell("Invoiced"), "how many were paid for", "blank in a row that was not planned")
	case !p.Unplanned && cell("Planned price").Blank():
		d.wrong(cell("Planned price"), "the planned price", "blank where a quantity is planned")
	}
	if !cell("Part number").Blank() {
		d.once(cell("Part number"), "the line", p.Supplier, p.Part, p.Code, p.Kind, cell("Pack size").Text, cell("Planned price").Text, cell("Note").Text)
		r.run.Purchases = append(r.run.Purchases, p)
	}
}

func (r *runReader) charge(d *decoder) {
	cell := d.cell
	c := bom.RunCharge{Origin: d.reg.origin(d.row), Payee: d.key(cell("Payee")), What: d.key(cell("Charge")), Kept: d.percent(cell("Not consumed %"), 0, 100),
		Stock: d.money(cell("From stock"), r.run.Home), Over: d.whole(cell("Spread over"), 0, 1), Before: d.whole(cell("Units before"), 0, 0), Note: d.text(cell("Note")), For: r.shares(d, cell("For products"))}
	c.Currency = r.currencyTo(d, cell("Currency"), c.Payee)
	c.Planned, c.Invoiced = d.money(cell("Planned"), c.Currency), d.moneyOrNone(cell("Invoiced"), c.Currency)
	d.once(cell("Charge"), "the charge", c.Payee, c.What)
	r.run.Charges = append(r.run.Charges, c)
}

// leastLearning is that of the tab hand work: a rate of 0 has no logarithm.
const leastLearning = 1

func (r *runReader) work(d *decoder) {
	cell := d.cell
	w := bom.RunWork{Origin: d.reg.origin(d.row), Operation: d.key(cell("Operation")), AppliesTo: d.key(cell("Applies to")), Basis: d.key(cell("Basis")),
		Seconds: d.number(cell("Seconds"), decimal.Zero), Learning: d.percent(cell("Learning %"), 100, 100), TimedAt: d.whole(cell("Timed at"), 1, 1),
		Before: d.whole(cell("Done before"), 0, 0), Planned: d.number(cell("Planned hours"), decimal.Zero), Cost: d.money(cell("Planned cost"), r.run.Home),
		Hours: d.numberIfAny(cell("Hours")), First: d.wholeIfAny(cell("First units")), FirstH: d.numberIfAny(cell("First hours")), For: r.shares(d, cell("For products"))}
	if w.Learning.LessThan(decimal.NewFromInt(leastLearning)) {
		d.wrong(cell("Learning %"), "a percentage from 1 to 100", "too fast a learning")
	}
	switch {
	case w.First.Valid != w.FirstH.Valid && w.First.Valid:
		d.wrong(cell("First hours"), "the hours that they took", "blank beside First units")
	case w.First.Valid != w.FirstH.Valid:
		d.wrong(cell("First units"), "the units that were done in them", "blank beside First hours")
	case w.FirstH.Valid && !w.Hours.Valid:
		d.wrong(cell("Hours"), "the hours of all units", "blank beside First hours")
	}
	notOver(d, cell("First hours"), w.FirstH, w.Hours, "all hours")
	notOver(d, cell("First units"), w.First, decimal.NewNullDecimal(r.run.Started.Is()), "the units that were started")
	d.once(cell("Operation"), "the operation", w.Operation, w.AppliesTo, w.Basis)
	r.run.Work = append(r.run.Work, w)
}

func (r *runReader) printer(d *decoder) {
	cell := d.cell
	p := bom.RunPrinter{Origin: d.reg.origin(d.row), Printer: d.key(cell("Printer")), Plates: d.whole(cell("Good plates"), 0, 0), Failure: d.percent(cell("Failure %"), 0, 100),
		Planned: d.number(cell("Planned plates"), decimal.Zero), Printed: d.wholeIfAny(cell("Printed")), Failed: d.wholeIfAny(cell("Failed"))}
	if p.Failed.Valid && !p.Printed.Valid {
		d.wrong(cell("Printed"), "the plates that were printed, those that failed with them", "blank beside Failed")
	}
	notOver(d, cell("Failed"), p.Failed, p.Printed, "the plates that were printed")
	d.once(cell("Printer"), "the printer", p.Printer)
	r.run.Printers = append(r.run.Printers, p)
}

func (r *runReader) print(d *decoder) {
	cell := d.cell
	home := r.run.Home
	p := bom.RunPrint{Origin: d.reg.origin(d.row), Part: d.key(cell("Part number")), File: d.key(cell("File")), Material: d.key(cell("Material")), Printer: d.key(cell("Printer")), Recipe: d.key(cell("Recipe")),
		Pieces: d.whole(cell("Pieces"), 0, 0), Laid: d.number(cell("Planned pieces"), decimal.Zero), Planned: d.number(cell("Planned hours"), decimal.Zero),
		StartH: d.number(cell("Start hours"), decimal.Zero), PlannedG: d.number(cell("Planned g"), decimal.Zero), PrimeG: d.number(cell("Prime g"), decimal.Zero),
		Wear: d.money(cell("Planned wear"), home), Energy: d.money(cell("Planned energy"), home), Hours: d.numberIfAny(cell("Hours")), Grams: d.numberIfAny(cell("Filament g")), For: r.shares(d, cell("For products"))}
	d.once(cell("Part number"), "the printed part", p.Part, p.File, p.Printer, p.Recipe, cell("Planned hours").Text)
	r.run.Prints = append(r.run.Prints, p)
}

func (r *runReader) board(d *decoder) {
	cell := d.cell
	b := bom.RunBoard{Origin: d.reg.origin(d.row), Board: d.key(cell("Board")), Assembler: d.key(cell("Assembler")), Chances: d.whole(cell("Opportunities"), 0, 0),
		DPMO: d.number(cell("DPMO"), decimal.Zero), Planned: d.whole(cell("Planned"), 0, 0), Populated: d.wholeIfAny(cell("Populated")), Good: d.wholeIfAny(cell("Good"))}
	all := decimal.NewNullDecimal(bom.Either(b.Populated, decimal.NewFromInt(b.Planned)))
	notOver(d, cell("Good"), b.Good, all, "the boards that were populated")
	d.once(cell("Board"), "the board", b.Board)
	r.run.Boards = append(r.run.Boards, b)
}

func (r *runReader) part(d *decoder) {
	cell := d.cell
	p := bom.RunPart{Origin: d.reg.origin(d.row), Part: d.key(cell("Part number")), Kind: d.choice(cell("Kind")), AppliesTo: d.key(cell("Applies to")), Package: d.key(cell("Package")), For: r.shares(d, cell("For products"))}
	p.Kind = cmp.Or(p.Kind, bom.BoughtPart)
	p.Required, _ = d.quantity(cell("Required"), 0, true)
	p.Spares, _ = d.quantity(cell("Spares"), 0, true)
	d.once(cell("Part number"), "the part", p.Kind, p.Part)
	r.run.Parts = append(r.run.Parts, p)
}

func (r *runReader) left(d *decoder) {
	cell := d.cell
	l := bom.RunLeft{Origin: d.reg.origin(d.row), Part: d.key(cell("Part number")), Named: d.key(cell("Named")), GivenBy: d.key(cell("Given by")), Value: d.money(cell("Unit value"), r.run.Home), For: r.shares(d, cell("For products"))}
	l.Before, _ = d.quantity(cell("Before"), 0, true)
	l.Taken, _ = d.quantity(cell("Taken"), 0, true)
	l.Surplus, _ = d.quantity(cell("Surplus"), 0, true)
	if l.Taken > l.Before {
		d.wrong(cell("Taken"), "no more than "+l.Before.String(), "more is taken than is there")
	}
	if q, ok := d.quantity(cell("Counted"), 0, true); ok {
		l.Counted = decimal.NewNullDecimal(q.Decimal())
	}
	d.once(cell("Part number"), "the part", l.Part, l.GivenBy, cell("Unit value").Text, cell("Before").Text)
	r.run.Left = append(r.run.Left, l)
}
