package cost

import (
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
)

// Digits of the planned figures of a run that are not money.
const (
	valueDigits = 9 // of what one piece is worth: so many pieces come to the cent
	keptDigits  = 9 // of percentages of money
	hourDigits  = 6
)

// plannedRun is a batch as a plan to fill in: what became of it is blank (4, --actuals). Its
// money adds up to that of the batch to the cent. A batch that lacks prices has none.
func plannedRun(m *Model, b *Batch) *bom.Actuals {
	if b.Total.Unpriced {
		return nil
	}
	m = m.of(b)
	s := m.prices.Settings
	a := &bom.Actuals{Product: m.run.name(), Level: m.products.furthest().String(), Home: m.home, PlannedOn: m.run.Today, LabourPaid: s.LabourPaid,
		LabourRate: bom.RunFigure{Planned: s.LabourRate}, Good: bom.RunFigure{Planned: decimal.NewFromInt(int64(b.Size))},
		Started: bom.RunFigure{Planned: decimal.NewFromInt(int64(b.Starts))}, Yield: s.UnitYield}
	r := recorder{m, b, a}
	r.products()
	r.purchases()
	r.charges()
	r.fees()
	r.work()
	r.plates()
	r.boards()
	r.parts()
	a.Left = r.left()
	return a
}

// recorder writes a batch down as a plan to fill in.
type recorder struct {
	m *Model
	b *Batch
	*bom.Actuals
}

// products notes the units of each of several products.
func (r *recorder) products() {
	for i := range r.b.Products {
		p, of := &r.b.Products[i], &r.m.products[i]
		if len(r.b.Products) == 1 {
			return
		}
		r.Level = ""
		r.Products = append(r.Products, bom.RunMade{Name: of.name, Level: of.level.String(), Good: bom.RunFigure{Planned: decimal.NewFromInt(int64(p.Size))},
			Started: bom.RunFigure{Planned: decimal.NewFromInt(int64(p.Starts))}, Consumed: p.Consumed})
	}
}

// madeFor works out what of the things of a batch is for which product, for the plan to fill in.
func (s *sums) madeFor() (f madeFor) {
	if !s.several() {
		return f
	}
	list := func(n int, by func(int) byProduct) (out []bom.RunShares) {
		for i := range n {
			out = append(out, bom.RunShares(by(i).of(s, hundred)).Rounded())
		}
		return out
	}
	f.purchases = list(len(s.b.Purchases), func(i int) byProduct { return forPurchase(s, &s.b.Purchases[i]) })
	f.orders = list(len(s.orders), func(i int) byProduct { return forOrder(s, i) })
	f.fees = list(len(s.b.Fees), func(i int) byProduct { return forFee(s, &s.b.Fees[i]) })
	f.work = list(len(s.m.work), func(i int) byProduct { return forWork(s, &s.m.work[i]) })
	f.parts = list(len(s.m.parts), func(i int) byProduct { return forLines(s, s.m.parts[i].Entries) })
	f.boards = list(len(s.m.boards), func(i int) byProduct { return forBoards(s, i) })
	return f
}

// sharesAt are those of one thing; none where there is one product.
func sharesAt(of []bom.RunShares, i int) bom.RunShares {
	if of == nil {
		return nil
	}
	return of[i]
}

// plusShares adds shares of so much to others; none are no shares.
func plusShares(to, more bom.RunShares, of decimal.Decimal) bom.RunShares {
	if more == nil {
		return to
	}
	out := make(bom.RunShares, len(more))
	for p, w := range more {
		if out[p] = w.Mul(of); to != nil {
			out[p] = out[p].Add(to[p])
		}
	}
	return out
}

// rateFor notes what a currency costs, for a payee that is paid in it.
func (r *recorder) rateFor(payee string, c bom.Currency) {
	noted := func(x bom.RunRate) bool { return x.Payee == payee && x.Currency.Code == c.Code }
	if c.Code != r.Home.Code && !slices.ContainsFunc(r.Exchange, noted) {
		r.Exchange = append(r.Exchange, bom.RunRate{Payee: payee, Currency: c, Planned: r.m.supply.rates[c.Code]})
	}
}

// purchases notes the lines of all orders. The fee takes what set-up and rounding add to
// quantity × price.
func (r *recorder) purchases() {
	for i, p := range bom.Refs(r.b.Purchases) {
		quantity := decimal.NewFromInt(p.Quantity)
		line := bom.RunPurchase{Supplier: p.Supplier, Part: p.Part, Code: p.OrderCode, Kind: p.Kind, Currency: p.Currency, Pieces: p.Pieces,
			Quantity: quantity, Price: p.UnitPrice, Fee: p.Goods.Add(p.LineFee).Sub(quantity.Mul(p.UnitPrice).Round(p.Currency.Digits))}
		line.For = sharesAt(r.b.made.purchases, i)
		r.rateFor(p.Supplier, p.Currency)
		if worth, pieces := r.worthOf(p), quantity.Mul(p.Pieces.Decimal()); pieces.IsPositive() {
			line.Worth = shortest(p.Cash.Mul(worth).Shift(-2).DivRound(pieces, valueDigits))
		}
		again := 1
		for _, q := range r.Purchases {
			if q.Supplier == line.Supplier && q.Part == line.Part && q.Code == line.Code && q.Kind == line.Kind && q.Pieces == line.Pieces && q.Price.Equal(line.Price) {
				again++
			}
		}
		if again > 1 { // told apart, for rows that are alike are one too many
			line.Note = "line " + strconv.Itoa(again) + " of it"
		}
		r.Purchases = append(r.Purchases, line)
	}
}

// worthOf is what surplus pieces of a purchase are worth, in % of what they cost.
func (r *recorder) worthOf(p *Purchase) decimal.Decimal {
	if p.Offer > 0 {
		return r.m.terms.Offers[p.Offer-1].Worth.Percent
	}
	return hundred
}

// charge notes a charge. What its own currency does not give to the cent is noted in home
// currency.
func (r *recorder) charge(payee, what string, own decimal.Decimal, c bom.Currency, a Amounts, by bom.RunShares) {
	if a.Cash.IsZero() && a.Stock.IsZero() {
		return
	}
	own = own.Round(c.Digits)
	if c.Code != r.Home.Code && own.Mul(r.m.supply.rates[c.Code]).Round(r.Home.Digits).Equal(a.Cash) {
		r.rateFor(payee, c)
	} else {
		own, c = a.Cash, r.Home
	}
	x := bom.RunCharge{Payee: payee, What: what, Currency: c, Planned: own, Stock: a.Stock, For: by}
	if kept := a.Surplus.Add(a.Reclaim); a.Cash.IsPositive() {
		x.Kept = shortest(kept.Mul(hundred).DivRound(a.Cash, keptDigits))
	}
	for n := 2; slices.ContainsFunc(r.Charges, func(o bom.RunCharge) bool { return bom.SameName(o.Payee, x.Payee) && bom.SameName(o.What, x.What) }); n++ {
		x.What = what + ", " + strconv.Itoa(n)
	}
	r.Charges = append(r.Charges, x)
}

// charges notes what orders are charged besides their goods.
func (r *recorder) charges() {
	for _, o := range bom.Refs(r.b.Orders) {
		by := sharesAt(r.b.made.orders, o.Terms)
		r.charge(o.Supplier, "delivery", o.Asked.Delivery, o.Currency, Amounts{Cash: o.Delivery}, by)
		r.charge(o.Supplier, "minimum-order surcharge", o.Asked.TopUp, o.Currency, Amounts{Cash: o.TopUp}, by)
		r.charge(o.Supplier, "consignment fees", o.Asked.Consign, o.Currency, Amounts{Cash: o.Consign}, by)
		r.charge(o.Supplier, "duty", o.Duty, r.Home, Amounts{Cash: o.Duty}, by)
		r.charge(o.Supplier, "tax", o.Tax, r.Home, Amounts{Cash: o.Tax, Reclaim: o.Reclaim}, by)
		r.charge(o.Supplier, "handling", o.Handling, r.Home, Amounts{Cash: o.Handling}, by)
	}
}

// fees notes fees, but for those of printers, which hang on their hours.
func (r *recorder) fees() {
	for i := range r.b.Fees {
		if f := &r.b.Fees[i]; f.Kind != MachineFee && f.Kind != EnergyFee {
			n := len(r.Charges)
			r.charge(f.Payee, f.What, f.Amount, f.Currency, f.Amounts, sharesAt(r.b.made.fees, i))
			if f.Kind == OneOffFee && len(r.Charges) > n {
				row := r.m.oneOffs[f.Index]
				r.Charges[n].Over, r.Charges[n].Before = row.SpreadOver, row.UnitsBefore
			}
		}
	}
}

func (r *recorder) work() {
	var rows []int // of Work, the row of the batch
	for i, w := range bom.Refs(r.b.Work) {
		x := bom.RunWork{Operation: w.Operation, AppliesTo: w.AppliesTo, Basis: w.Basis, Seconds: allDigits(w.Seconds), Learning: allDigits(w.Learning),
			TimedAt: int64(w.TimedAt), Before: int64(w.Before), Planned: allDigits(w.Hours).Round(hourDigits), Cost: w.Cash.Add(w.Own)}
		by := sharesAt(r.b.made.work, i)
		if w.Product >= 0 && by != nil { // a row of the tab hand work is noted once
			had := slices.IndexFunc(rows, func(j int) bool {
				return j >= 0 && r.b.Work[j].Place == w.Place && r.b.Work[j].AppliesTo == w.AppliesTo && r.b.Work[j].Operation == w.Operation
			})
			if had >= 0 {
				to := &r.Work[had]
				to.For = plusShares(to.For, by, x.Planned)
				to.Planned, to.Cost = to.Planned.Add(x.Planned), to.Cost.Add(x.Cost)
				continue
			}
			by = plusShares(nil, by, x.Planned)
		}
		x.For, rows = by, append(rows, i)
		for n := 2; slices.ContainsFunc(r.Work, func(o bom.RunWork) bool {
			return bom.SameName(o.Operation, x.Operation) && o.AppliesTo == x.AppliesTo && o.Basis == x.Basis
		}); n++ {
			x.Operation = w.Operation + ", " + strconv.Itoa(n)
		}
		r.Work = append(r.Work, x)
	}
}

// plates notes plates by printer, and what the printing of each part takes.
func (r *recorder) plates() {
	for _, bed := range bom.Refs(r.b.beds) {
		if bed.printer == nil {
			continue
		}
		at := slices.IndexFunc(r.Printers, func(p bom.RunPrinter) bool { return p.Printer == bed.printer.Name })
		if at < 0 {
			at = len(r.Printers)
			r.Printers = append(r.Printers, bom.RunPrinter{Printer: bed.printer.Name, Failure: bed.printer.Failure})
		}
		r.Printers[at].Plates += int64(bed.times)
	}
	for _, p := range bom.Refs(r.Printers) {
		p.Planned = decimal.NewFromInt(p.Plates).Mul(hundred).DivRound(hundred.Sub(p.Failure), hourDigits)
	}
	for _, p := range bom.Refs(r.b.Plates) {
		again := 1.0 // how often a plate is printed until it is good
		if p.Pieces > 0 {
			again = p.Laid / float64(p.Pieces)
		}
		x := bom.RunPrint{Part: p.Part, File: r.m.entries[p.Entry].Line.File, Material: p.Material, Printer: p.Printer, Recipe: p.Recipe, Pieces: int64(p.Pieces),
			Laid: allDigits(p.Laid).Round(hourDigits), Planned: allDigits(p.Hours).Round(hourDigits), StartH: allDigits(p.StartH * again).Round(hourDigits),
			PlannedG: allDigits(p.FilamentG).Round(gramDigits), PrimeG: allDigits(p.PrimeG * again).Round(gramDigits), Wear: p.Machine, Energy: p.Energy}
		if len(r.Products) > 0 {
			x.For = make(bom.RunShares, len(r.Products))
			x.For[r.m.entries[p.Entry].Product] = x.Planned
		}
		at := slices.IndexFunc(r.Prints, func(o bom.RunPrint) bool {
			return bom.SameName(o.Part, x.Part) && bom.SameName(o.File, x.File) && bom.SameName(o.Material, x.Material) && bom.SameName(o.Printer, x.Printer) && bom.SameName(o.Recipe, x.Recipe)
		})
		if at < 0 {
			r.Prints = append(r.Prints, x)
			continue
		}
		had := &r.Prints[at]
		had.For = plusShares(had.For, x.For, decimal.NewFromInt(1))
		had.Pieces += x.Pieces
		for _, sum := range []struct {
			of   *decimal.Decimal
			more decimal.Decimal
		}{{&had.Laid, x.Laid}, {&had.Planned, x.Planned}, {&had.StartH, x.StartH}, {&had.PlannedG, x.PlannedG},
			{&had.PrimeG, x.PrimeG}, {&had.Wear, x.Wear}, {&had.Energy, x.Energy}} {
			*sum.of = sum.of.Add(sum.more)
		}
	}
}

func (r *recorder) boards() {
	for i := range r.b.Boards {
		board, run := &r.m.boards[i], &r.b.Boards[i]
		if board.Placements == 0 || run.Starts == 0 || len(board.Holds) > 0 {
			continue
		}
		x := bom.RunBoard{Board: board.Name, Assembler: r.m.shopName(), Chances: int64(board.Placements + board.Joints), Planned: int64(run.Starts)}
		if a := r.m.making.asks; a != nil {
			x.DPMO = a.DPMO
		}
		r.Boards = append(r.Boards, x)
	}
}

// parts notes what is required of each board and part, with the row that its spares come
// from where there is just one.
func (r *recorder) parts() {
	for i := range r.b.Boards {
		if n := r.b.Boards[i].Bare(); n > 0 {
			r.Parts = append(r.Parts, bom.RunPart{Part: r.m.boards[i].Name, Kind: bom.BoughtBoard, Required: bom.Whole(int64(n)), For: sharesAt(r.b.made.boards, i)})
		}
	}
	for i := range r.b.Parts {
		p, run := &r.m.parts[i], &r.b.Parts[i]
		if run.Need == 0 {
			continue
		}
		x := bom.RunPart{Part: p.Key, Kind: kindOf(p), Required: run.Need, Spares: run.Allowance, For: sharesAt(r.b.made.parts, i)}
		if len(p.allowances) == 1 {
			x.AppliesTo, x.Package = p.allowances[0].AppliesTo, p.allowances[0].Package
		}
		r.Parts = append(r.Parts, x)
	}
}

// left is what is on hand after a batch: of each row of stock that it may take of, and
// of what it buys and does not take, by payer. What that is worth adds up to the surplus
// of the batch.
func (r *recorder) left() (out []bom.RunLeft) {
	of := func(from int, by bom.RunShares) {
		for i := from; i < len(out); i++ {
			out[i].For = by
		}
	}
	stock := func(part string, rows []*bom.OnHand, taken, step bom.Quantity) {
		for _, oh := range rows {
			take := min(taken, oh.Quantity/step*step)
			taken -= take
			named := ""
			if bom.Fold(oh.Part) != bom.Fold(part) {
				named = oh.Part
			}
			if oh.Quantity > 0 {
				out = append(out, bom.RunLeft{Origin: oh.Origin, Part: part, Named: named, GivenBy: oh.GivenBy, Value: oh.UnitValue, Before: oh.Quantity, Taken: take})
			}
		}
	}
	for i := range r.b.Boards {
		run, first := &r.b.Boards[i], len(out)
		stock(r.m.boards[i].Name, r.m.bareBoards[i].onHand, bom.Whole(int64(run.OnHand)), bom.One)
		out = append(out, r.surplusBy(Lots, i, r.m.boards[i].Name, bom.Whole(int64(run.Bought-(run.Bare()-run.OnHand))))...)
		of(first, sharesAt(r.b.made.boards, i))
	}
	for i := range r.b.Parts {
		run, first := &r.b.Parts[i], len(out)
		stock(r.m.parts[i].Key, r.m.parts[i].onHand, run.OnHand, 1)
		out = append(out, r.surplusBy(kindOf(&r.m.parts[i]), i, r.m.parts[i].Key, run.Bought-run.Takes)...)
		of(first, sharesAt(r.b.made.parts, i))
	}
	return out
}

// surplusBy is the surplus of a part or board by who paid for it, in whole pieces, or
// grams, but for the rest of one; each row's value comes to its share of what the surplus
// is worth.
func (r *recorder) surplusBy(kind string, index int, name string, pieces bom.Quantity) []bom.RunLeft {
	if pieces <= 0 {
		return nil
	}
	worth, weights := decimal.Zero, make([]decimal.Decimal, len(r.m.payers.names))
	for i := range r.b.Purchases {
		if p := &r.b.Purchases[i]; (p.Kind == Lots) == (kind == Lots) && p.Index == index {
			worth = worth.Add(p.Surplus)
			r.weighPayers(p, weights)
		}
	}
	digits := int32(0)
	if !pieces.IsWhole() {
		digits = 6
	}
	counts := money.Apportion(pieces.Decimal(), weights, digits)
	values := money.Apportion(worth, counts, r.m.home.Digits)
	var out []bom.RunLeft
	for i, n := range counts {
		if !n.IsPositive() {
			continue
		}
		x := bom.RunLeft{Part: name, Value: shortest(values[i].DivRound(n, valueDigits))}
		x.Surplus, _ = bom.QuantityOf(n) // pieces, which apportioning keeps within their digits
		if i != r.m.payers.maker.payers[0] {
			x.GivenBy = r.m.payers.names[i]
		}
		out = append(out, x)
	}
	return out
}

// shortest is a figure without zeros at its end.
func shortest(d decimal.Decimal) decimal.Decimal { return decimal.RequireFromString(d.String()) }

// weighPayers adds what each payer bears of a purchase to the weights.
func (r *recorder) weighPayers(p *Purchase, weights []decimal.Decimal) {
	cash := decimal.Max(p.Cash, decimal.New(1, -r.m.home.Digits)) // of what costs nothing, someone has the pieces all the same
	need := func(lines []int) decimal.Decimal {
		sum := 0.0
		for _, e := range lines {
			sum += r.takes(e)
		}
		return allDigits(sum)
	}
	shared, all := r.m.whoPays(p), decimal.Zero
	if p.Kind != Lots {
		if all = need(r.m.parts[p.Index].Entries); !all.IsPositive() {
			shared = []payerShare{{rule: r.m.payers.maker}}
		}
	}
	for i := range shared {
		b, weight := &shared[i], cash
		switch {
		case len(shared) == 1:
		case p.Kind == Lots:
			weight = cash.Mul(decimal.NewFromInt(int64(r.b.Boards[b.board].Starts)))
		default:
			weight = cash.Mul(need(b.lines)).DivRound(all, keptDigits)
		}
		for j, payer := range b.rule.payers {
			weights[payer] = weights[payer].Add(weight.Mul(b.rule.percents[j]))
		}
	}
}

// takes is what a line takes of its part: pieces, grams on its plates, or the length of
// its leads.
func (r *recorder) takes(entry int) float64 {
	grams, printed := 0.0, false
	for i := range r.b.Plates {
		if r.b.Plates[i].Entry == entry {
			grams, printed = grams+r.b.Plates[i].FilamentG, true
		}
	}
	if printed {
		return grams
	}
	need := r.b.Needs[entry].Float()
	if e := &r.m.entries[entry]; e.Part >= 0 && r.m.parts[e.Part].ringMM > 0 {
		need *= e.Line.CutMM.Float()
	}
	return need
}
