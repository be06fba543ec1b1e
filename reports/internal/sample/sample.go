// Package sample makes small estimates by hand for the tests of the report
// writers. All names, prices and times in it are invented.
package sample

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

var (
	eur = bom.Currency{Code: "EUR", Digits: 2}
	usd = bom.Currency{Code: "USD", Digits: 2}
	// newest is the date of the newest price.
	newest = bom.Date{Year: 2026, Month: 3, Day: 14}
	rate   = decimal.RequireFromString("0.92")
)

const prices = "prices.xlsx"

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }
func n(i int) decimal.Decimal    { return decimal.NewFromInt(int64(i)) }

func cell(sheet string, row, col int) bom.Place {
	return bom.Place{File: prices, Sheet: sheet, Row: row, Col: col}
}

// item is one line that is bought under its own key.
type item struct {
	part, text, value, pack string
	path                    string
	designators             []string
	category                cost.Category
	kind                    bom.Kind
	mount                   bom.Mount
	perUnit                 int
	supplier, code          string
	pieces                  int // in one order unit
	price                   string
	currency                bom.Currency
	onHand                  int
	worth                   string // of one on hand
}

// items hold on purpose: text that looks like a formula, a quote and a comma,
// wide characters, a pack, a drawer, two currencies, many decimals.
var items = []item{
	{part: "RC-4K7-0603", value: "4k7", pack: "0603", path: "main board", designators: []string{"R1", "R2", "R3", "R4", "R7"},
		category: cost.SMTParts, kind: bom.KindPart, mount: bom.SMT, perUnit: 5,
		supplier: "Alderholt Components", code: "AC-10447", pieces: 1, price: "0.0123", currency: usd},
	{part: "FS-8", text: "frost sensor, ±0.5 K", path: "sensor board", designators: []string{"U1"},
		category: cost.SMTParts, kind: bom.KindPart, mount: bom.SMT, perUnit: 2,
		supplier: "Alderholt Components", code: "AC-20008", pieces: 1, price: "1.184", currency: usd},
	{part: "-12V-TERM", text: `=terminal, "two way"`, path: "main board", designators: []string{"J1", "J2"},
		category: cost.ThroughHoleParts, kind: bom.KindPart, mount: bom.THT, perUnit: 2,
		supplier: "Brennick & Low", code: "+7701", pieces: 10, price: "3.40", currency: eur, onHand: 6, worth: "0.31"},
	{part: "SCREW-M3X8", text: "pan head screw M3 × 8", category: cost.Fasteners, kind: bom.KindFastener, perUnit: 4,
		supplier: "Brennick & Low", code: "38-100", pieces: 100, price: "2.75", currency: eur},
	{part: "BOX-霜", text: "padded box 霜警報", category: cost.Packing, kind: bom.KindPacking, perUnit: 1,
		supplier: "Brennick & Low", code: "BX-2", pieces: 25, price: "11.20", currency: eur},
}

// Frost makes an estimate of an invented frost alarm at each batch size.
func Frost(sizes ...int) *cost.Estimate {
	e := &cost.Estimate{Name: "frost-alarm", Currency: eur, Level: bom.LevelBuilt, Complete: true}
	for i, it := range items {
		line := &bom.Line{Part: it.part, Description: it.text, Value: it.value, Package: it.pack, Kind: it.kind,
			Mount: it.mount, Designators: it.designators, Fitted: true, Quantity: bom.Whole(int64(it.perUnit))}
		board := -1
		if it.path != "" {
			board = 0
		}
		e.Entries = append(e.Entries, cost.Entry{Line: line, Category: it.category, Path: it.path,
			PerUnit: bom.Whole(int64(it.perUnit)), Board: board, Machine: it.mount == bom.SMT, Part: i})
		e.Parts = append(e.Parts, cost.Part{Key: it.part, Description: it.text, Unit: "pieces", Entries: []int{i}})
	}
	e.Entries = append(e.Entries,
		cost.Entry{Line: &bom.Line{Part: "main board", Kind: bom.KindBoard, File: "main.csv", Fitted: true}, Category: cost.BareBoard,
			PerUnit: bom.Whole(1), Board: 0, PerBoard: bom.Whole(1), Part: -1},
		cost.Entry{Line: &bom.Line{Part: "case", Kind: bom.KindPrinted, Description: "case, lower half", Fitted: true},
			Category: cost.PrintedParts, PerUnit: bom.Whole(1), Board: -1, Part: len(e.Parts)})
	e.Parts = append(e.Parts, cost.Part{Key: "PETG grey", Description: "filament", Unit: "g", Entries: []int{len(e.Entries) - 1}})
	e.Boards = []cost.Board{{Name: "main board", PerUnit: 1, Placements: 7, Joints: 26, Sides: 1, Entry: len(items)}}
	e.Unfitted = []cost.Entry{{Line: &bom.Line{Part: "LED-G", Designators: []string{"D3"}, Description: "green lamp"}, Path: "main board", Board: 0, Part: -1, Why: "not fitted"}}
	e.Warnings = []string{"prices.xlsx:offers:E14: price is 120 days old; ask again"}
	e.Cautions = []cost.Caution{{Text: "rosin flux fume can cause asthma: extract it", Source: "UK HSE INDG249"}}
	e.Sources = sources()
	for _, size := range sizes {
		e.Batches = append(e.Batches, batch(e, size))
	}
	if len(sizes) > 0 {
		e.RunningOut = []cost.StockCover{thin(e)}
	}
	return e
}

// thin is how far the stock of a part goes that has three to spare for the last batch.
func thin(e *cost.Estimate) cost.StockCover {
	const resistor = 0
	c := cost.StockCover{Part: e.Parts[resistor], Sources: 1, FewSources: true, MayRunOut: true, OldDays: 41}
	for _, b := range e.Batches {
		c.Stock = b.Parts[resistor].Demand + bom.Whole(3)
	}
	for _, b := range e.Batches {
		demand := b.Parts[resistor].Demand
		c.Batches = append(c.Batches, cost.BatchCover{Batch: b.ID(), Size: b.Size, Demand: demand, Cover: decimal.NewNullDecimal(c.Stock.Decimal().DivRound(demand.Decimal(), 2))})
	}
	c.Offers = []cost.StockOffer{{Supplier: items[resistor].supplier, Code: items[resistor].code, Stock: c.Stock, Most: c.Stock, AsOf: newest, OldDays: 41}}
	return c
}

func sources() []cost.Source {
	return []cost.Source{
		{What: "setting", Name: "Home currency", Value: "EUR", Place: cell("settings", 2, 2)},
		{What: "setting", Name: "Confidence %", Amount: decimal.NewNullDecimal(d("95")), Unit: "%", Note: "default"},
		{What: "exchange", Name: "USD", Amount: decimal.NewNullDecimal(d("0.92")), Unit: "EUR", AsOf: newest, Place: cell("exchange", 2, 2)},
		{What: "offer", Name: "=HYPERLINK(\"x\")", Amount: decimal.NewNullDecimal(d("1.184")), Unit: "USD for 10 pieces", AsOf: bom.Date{Year: 2025, Month: 12, Day: 1},
			Place: cell("offers", 3, 9), Note: "asked by post"},
	}
}

// batch adds up one batch size from the items above.
func batch(e *cost.Estimate, size int) cost.Batch {
	b := cost.Batch{Size: size, Starts: size + 1, Proven: true}
	b.Lines = make([]cost.Amounts, len(e.Entries))
	b.Needs = make([]bom.Quantity, len(e.Entries))
	b.Parts = make([]cost.PartRun, len(e.Parts))
	for i, it := range items {
		buy(&b, i, it)
	}
	boards(&b)
	printed(e, &b)
	b.Orders = []cost.Order{
		order(&b, "Alderholt Components", usd, "14.00", 9),
		order(&b, "Brennick & Low", eur, "6.50", 4),
		order(&b, "Copperway Boards", eur, "12.00", 0),
	}
	b.Orders[0].Duty, b.Orders[0].Tax, b.Orders[0].Handling = d("3.11"), d("21.40"), d("5.00")
	b.Fees = append(b.Fees,
		cost.Fee{Category: cost.SMTAssembly, Payee: "Copperway Boards", What: "assembly of main board",
			Amount: d("48.00").Add(n(size).Mul(d("0.85"))), Currency: eur, Place: cell("assembly", 2, 3)},
		cost.Fee{Category: cost.Postage, Payee: "postal service", What: "small parcel", Amount: n(size).Mul(d("4.35")), Currency: eur, Place: cell("postage", 2, 7)})
	work(&b)
	plan(&b)
	settle(&b)
	return b
}

// plan is that of a batch whose boards come nobody knows when.
func plan(b *cost.Batch) {
	days := func(d float64) bom.Quantity { return bom.Quantity(d * float64(bom.One)) }
	b.Plan = cost.Plan{
		Tasks: []cost.Task{
			{Kind: cost.OrderTask, Name: "Alderholt Components", Takes: days(9), Sure: true, End: days(9), Placed: true, Known: true, Critical: true},
			{Kind: cost.OrderTask, Name: "Brennick & Low", Takes: days(4), Sure: true, End: days(4), Slack: days(2.9), Placed: true, Known: true},
			{Kind: cost.AssemblyTask, Name: "Copperway Boards", Start: days(9), End: days(9), Placed: true, Critical: true, After: []int{0}},
			{Kind: cost.PrintTask, Takes: days(2.05625), Sure: true, Start: days(4), End: days(6.05625), Slack: days(2.9), Placed: true, Known: true, After: []int{1}},
			{Kind: cost.BenchTask, Name: "tht", Takes: days(0.04), Sure: true, Start: days(9), End: days(9.04), Critical: true, After: []int{1, 2}},
			{Kind: cost.BenchTask, Name: "packing", Takes: days(0.5), Sure: true, Start: days(9.04), End: days(9.54), Critical: true, After: []int{3, 4}},
		},
		Ready: days(9.54), Path: []int{0, 2, 4, 5},
		Gaps: []cost.Gap{{What: "lead days of Copperway Boards", Place: cell("suppliers", 4, 6)}},
	}
}

func buy(b *cost.Batch, i int, it item) {
	need := it.perUnit * b.Starts
	demand := max(0, need-it.onHand)
	taken := need - demand
	units := (demand + it.pieces - 1) / it.pieces
	p := cost.Purchase{Kind: cost.Goods, Supplier: it.supplier, OrderCode: it.code, Part: it.part, Index: i,
		Demand: bom.Whole(int64(demand)), Quantity: int64(units), Pieces: bom.Whole(int64(it.pieces)), UnitPrice: d(it.price),
		Currency: it.currency, AsOf: newest, Place: cell("offers", i+2, 9)}
	p.Goods = d(it.price).Mul(n(units)).Round(2)
	p.Cash = p.Goods
	if it.currency == usd {
		p.Cash = p.Goods.Mul(rate).Round(2)
	}
	stock := decimal.Zero
	if taken > 0 {
		stock = d(it.worth).Mul(n(taken)).Round(2)
	}
	if units > 0 {
		p.Consumed = p.Cash.Mul(n(demand)).DivRound(n(units*it.pieces), 2)
		p.Surplus = p.Cash.Sub(p.Consumed)
		b.Purchases = append(b.Purchases, p)
	}
	b.Needs[i] = bom.Whole(int64(need))
	b.Lines[i] = cost.Amounts{Cash: p.Cash, Consumed: p.Consumed.Add(stock), Surplus: p.Surplus, Stock: stock}
	b.Parts[i] = cost.PartRun{Need: b.Needs[i], OnHand: bom.Whole(int64(taken)), Demand: p.Demand, Takes: p.Demand,
		Bought: bom.Whole(int64(units * it.pieces)), Amounts: b.Lines[i]}
	b.Categories[it.category] = b.Categories[it.category].Plus(b.Lines[i])
}

func boards(b *cost.Batch) {
	starts := b.Starts + 1
	lots := (starts + 24) / 25
	p := cost.Purchase{Kind: cost.Lots, Supplier: "Copperway Boards", OrderCode: "", Part: "main board", Demand: bom.Whole(int64(starts)),
		Quantity: int64(lots), Pieces: bom.Whole(25), UnitPrice: d("61.00"), Currency: eur, AsOf: newest, Place: cell("boards", 2, 4)}
	p.Goods = p.UnitPrice.Mul(n(lots))
	p.Cash = p.Goods
	p.Consumed = p.Cash.Mul(n(starts)).DivRound(n(lots*25), 2)
	p.Surplus = p.Cash.Sub(p.Consumed)
	b.Purchases = append(b.Purchases, p)
	i := len(items)
	b.Needs[i] = bom.Whole(int64(b.Starts))
	b.Lines[i] = cost.Amounts{Cash: p.Cash, Consumed: p.Consumed, Surplus: p.Surplus}
	b.Categories[cost.BareBoard] = b.Lines[i]
	b.Boards = []cost.BoardRun{{Wanted: b.Starts, Yield: 0.9875, Starts: starts, PartLines: 2, Bought: lots * 25, Amounts: b.Lines[i]}}
}

func printed(e *cost.Estimate, b *cost.Batch) {
	plates := (b.Starts + 1) / 2
	run := cost.PlateRun{Entry: len(items) + 1, Part: "case", Material: "PETG grey", Printer: "shed printer",
		Pieces: b.Starts, PerPlate: 2, Plates: plates, Expected: float64(plates) / 0.95, Planned: plates + 1, PieceG: 41.5, PieceH: 2.35, From: "bill of materials"}
	run.Laid = float64(b.Starts) / 0.95
	run.FilamentG = run.Laid * run.PieceG
	run.Hours = run.Laid * run.PieceH
	run.Machine = decimal.NewFromFloat(run.Hours).Mul(d("0.40")).Round(2)
	run.Energy = decimal.NewFromFloat(run.Hours).Mul(d("0.03")).Round(2)
	b.Plates = []cost.PlateRun{run}
	b.Groups = []cost.PlateGroup{{Runs: []int{0}, Plates: run.Plates}}
	b.Printed = run.Expected
	b.Printing = cost.Printing{Known: true, FinishH: 1.5 * run.Hours, BoundH: run.Hours, IdleH: run.Hours / 4}
	grams := decimal.NewFromFloat(run.FilamentG)
	spools := int(grams.DivRound(n(1000), 6).Ceil().IntPart())
	demand, _ := bom.QuantityOf(grams)
	p := cost.Purchase{Kind: cost.Filament, Supplier: "Brennick & Low", OrderCode: "PG-1000", Part: "PETG grey", Index: len(e.Parts) - 1,
		Demand: demand, Quantity: int64(spools), Pieces: bom.Whole(1000), UnitPrice: d("19.90"), Currency: eur, AsOf: newest, Place: cell("materials", 2, 5)}
	p.Goods = p.UnitPrice.Mul(n(spools))
	p.Cash = p.Goods
	p.Consumed = p.Cash.Mul(grams).DivRound(n(spools*1000), 2)
	p.Surplus = p.Cash.Sub(p.Consumed)
	b.Purchases = append(b.Purchases, p)
	b.Fees = append(b.Fees,
		cost.Fee{Category: cost.PrintedParts, Payee: "shed printer", What: "printer hours", Kind: cost.MachineFee, Amount: run.Machine, Currency: eur, Place: cell("printers", 2, 7)},
		cost.Fee{Category: cost.PrintedParts, Payee: "energy", What: "energy", Amount: run.Energy, Currency: eur, Place: cell("settings", 4, 2)})
	i := len(items) + 1
	b.Needs[i] = bom.Whole(int64(b.Starts))
	b.Lines[i] = cost.Amounts{Cash: p.Cash, Consumed: p.Consumed, Surplus: p.Surplus}
	b.Parts[p.Index] = cost.PartRun{Need: demand, Demand: demand, Takes: demand, Bought: bom.Whole(int64(spools * 1000)), Amounts: b.Lines[i]}
	b.Categories[cost.PrintedParts] = b.Lines[i]
}

func order(b *cost.Batch, supplier string, c bom.Currency, delivery string, lead int) cost.Order {
	o := cost.Order{Supplier: supplier, Currency: c, Delivery: d(delivery), LeadDays: lead, LeadKnown: lead > 0}
	for _, p := range b.Purchases {
		if p.Supplier == supplier {
			o.Goods = o.Goods.Add(p.Cash)
			o.GoodsOwn = o.GoodsOwn.Add(p.Goods)
		}
	}
	return o
}

func work(b *cost.Batch) {
	for _, w := range []struct {
		name, on, basis string
		count, seconds  float64
	}{{"solder by hand", "tht", "joint", 4, 6}, {"close the case", "fastener", "piece", 4, 15}, {"pack", "packing", "unit", 1, 90}} {
		run := cost.Work{Operation: w.name, AppliesTo: w.on, Basis: w.basis, Count: w.count, Seconds: w.seconds, Learning: 100,
			Times: float64(b.Starts) * w.count, Place: cell("hand work", 2, 4)}
		run.Hours = run.Times * run.Seconds / 3600
		run.Own = decimal.NewFromFloat(run.Hours).Mul(d("12")).Round(2)
		b.Work = append(b.Work, run)
	}
}

// settle brings fees, charges and hand work into categories, totals and shares.
func settle(b *cost.Batch) {
	spent := func(c cost.Category, cash decimal.Decimal) {
		b.Categories[c] = b.Categories[c].Plus(cost.Amounts{Cash: cash, Consumed: cash})
	}
	for _, f := range bom.Refs(b.Fees) {
		if f.Kind == cost.MachineFee {
			f.Own = f.Amount.Round(2)
		} else {
			f.Cash = f.Amount.Round(2)
		}
		b.Categories[f.Category] = b.Categories[f.Category].Plus(cost.Amounts{Cash: f.Cash, Own: f.Own, Consumed: f.Amount.Round(2)})
	}
	b.Orders[2].Goods = b.Orders[2].Goods.Add(b.Fees[2].Cash)
	b.Orders[2].GoodsOwn = b.Orders[2].Goods
	for i, o := range b.Orders {
		b.Orders[i].Terms = i
		spent(cost.Delivery, o.Delivery.Add(o.TopUp))
		spent(cost.DutyAndTax, decimal.Sum(o.Duty, o.Tax, o.Handling))
	}
	for _, w := range b.Work {
		b.Categories[cost.Labour] = b.Categories[cost.Labour].Plus(cost.Amounts{Own: w.Own, Consumed: w.Own})
	}
	maker, sponsor := cost.Payer{Name: "maker"}, cost.Payer{Name: "sponsor"}
	for _, c := range cost.Categories {
		b.Total = b.Total.Plus(b.Categories[c])
		p := &maker
		if c == cost.BareBoard {
			p = &sponsor
		}
		p.Categories[c], p.Bears[c] = b.Categories[c], true
		p.Amounts = p.Amounts.Plus(p.Categories[c])
	}
	b.Payers = []cost.Payer{maker, sponsor}
	b.Posts = []cost.Post{{Parcels: b.Size, Units: b.Size, Cash: b.Categories[cost.Postage].Cash, Service: "small parcel", To: "inland", MassG: 212.4, SizeMM: [3]bom.Measure{bom.Known(180), bom.Known(120), {}},
		Chargeable: 250, Price: d("4.35"), Currency: eur, Unknown: 2, Place: cell("postage", 2, 7)}}
	unit := b.PerUnit(b.Total.Consumed)
	price := unit.Mul(d("1.15")).RoundUp(0)
	all := price.Mul(n(b.Size))
	b.Till = cost.Till{Paying: b.Size, Payments: b.Size, Cash: maker.Cash, Cost: b.Total.Consumed}
	b.Charge = cost.Charge{UnitCost: unit, Price: price, Step: d("1"), Rounding: price.Sub(unit),
		Income: cost.Income{Sold: all, In: all, Net: all, Stays: all.Sub(maker.Cash), Over: all.Sub(b.Total.Consumed)}}
	b.Quote = cost.Quote{Lines: []cost.QuoteLine{{Units: b.Size, Each: price, All: all}}, All: all}
}

// Unpriced takes the price of the frost sensor away from an estimate.
func Unpriced(e *cost.Estimate) *cost.Estimate {
	const sensor = 1
	e.Complete = false
	for _, b := range bom.Refs(e.Batches) {
		gone := b.Lines[sensor]
		for j, p := range b.Purchases {
			if p.Kind == cost.Goods && p.Index == sensor {
				b.Purchases[j] = cost.Purchase{Kind: cost.Goods, Part: p.Part, Index: sensor, Demand: p.Demand, Unpriced: true}
			}
		}
		b.Orders[0].Goods = b.Orders[0].Goods.Sub(gone.Cash)
		b.Lines[sensor] = cost.Amounts{Unpriced: true}
		b.Parts[sensor].Amounts = b.Lines[sensor]
		b.Parts[sensor].Bought = 0
		less := func(a *cost.Amounts) {
			a.Cash, a.Consumed, a.Surplus = a.Cash.Sub(gone.Cash), a.Consumed.Sub(gone.Consumed), a.Surplus.Sub(gone.Surplus)
			a.Unpriced = true
		}
		less(&b.Categories[cost.SMTParts])
		less(&b.Total)
		b.Payers[0].Cash, b.Payers[0].Consumed = b.Payers[0].Cash.Sub(gone.Cash), b.Payers[0].Consumed.Sub(gone.Consumed)
		b.Payers[0].Categories[cost.SMTParts] = b.Categories[cost.SMTParts]
		b.Payers[0].Unpriced = true
	}
	return e
}

// Whole turns an estimate into one of a currency with other minor digits: each
// figure keeps its digits but loses or gains the mark.
func Whole(e *cost.Estimate, code string) *cost.Estimate {
	c, _ := bom.FindCurrency(code)
	e.Currency = c
	shift := func(a *cost.Amounts) {
		for _, x := range []*decimal.Decimal{&a.Cash, &a.Consumed, &a.Surplus, &a.Stock} {
			*x = x.Shift(2 - c.Digits)
		}
	}
	for _, b := range bom.Refs(e.Batches) {
		shift(&b.Total)
		for j := range b.Categories {
			shift(&b.Categories[j])
		}
		for j := range b.Lines {
			shift(&b.Lines[j])
		}
		b.Charge.UnitCost, b.Charge.Price = b.Charge.UnitCost.Shift(2-c.Digits), b.Charge.Price.Shift(2-c.Digits)
		b.Quote.All = b.Charge.Price.Mul(n(b.Size))
		b.Quote.Lines[0].Each, b.Quote.Lines[0].All = b.Charge.Price, b.Quote.All
	}
	return e
}

// Swept is a curve over a range of batch sizes, made of what Frost makes of each size, with
// a few jumps.
func Swept(from, to int) *sweep.Curve {
	c := &sweep.Curve{}
	for size := from; size <= to; size++ {
		b := Frost(size).Batches[0]
		c.Points = append(c.Points, sweep.Point{
			Size: size, Starts: b.Starts, Categories: b.Categories, Total: b.Total, Proven: true,
		})
	}
	for _, j := range []sweep.Jump{
		{Size: 11, Kind: sweep.NewSpare, What: "units to start", From: "10", To: "12"},
		{Size: 26, Kind: sweep.NewPack, What: "SCREW-M3X8", From: "1 × 100", To: "2 × 100", Cash: d("2.25")},
		{Size: 26, Kind: sweep.NewLot, What: "main board", From: "1 × 25", To: "1 × 50", Cash: d("31.00")},
		{Size: 30, Kind: sweep.NewBreak, What: "=FS-8", From: "1.184", To: "1.09", Cash: d("-20.11")},
	} {
		if from < j.Size && j.Size <= to {
			c.Jumps = append(c.Jumps, j)
		}
	}
	return c
}

// SideBySide are the levels of an estimate, each with a part of what the batch costs.
func SideBySide(e *cost.Estimate) (levels []sweep.LevelRun) {
	for i, level := range bom.Levels {
		l := sweep.LevelRun{Level: level}
		for _, b := range e.Batches {
			p := sweep.LevelPoint{Hours: float64(i)}
			p.Size, p.Starts = b.Size, b.Starts
			for _, c := range cost.Categories[:4*(i+1)] {
				p.Categories[c] = b.Categories[c]
				p.Total = p.Total.Plus(b.Categories[c])
			}
			l.Points = append(l.Points, p)
		}
		levels = append(levels, l)
	}
	return levels
}
