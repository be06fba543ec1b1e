package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// Replays makes the batches of an estimate, which must be one of the run, ready to be worked
// out again. Every figure that has a range, or is an old price, is an input of theirs,
// and so are the boards, units and plates that may fail. A range on a setting that no cost of
// a batch follows is told of in a warning.
func Replays(run Run, e *Estimate) ([]*Replay, bom.Problems) {
	run.picked = e.picked
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	out := make([]*Replay, len(e.Batches))
	for i := range e.Batches {
		out[i] = newReplay(m.At(i).of(&e.Batches[i]), &e.Batches[i])
	}
	return out, notDrawn(run.Prices)
}

// newReplay makes a batch of the model ready to be worked out again.
func newReplay(m *Model, b *Batch) *Replay {
	r := &Replay{m: m, Size: b.Size, learned: map[learnedKey]float64{}}
	for _, p := range b.Products {
		r.Sizes, r.Starts = append(r.Sizes, p.Size), append(r.Starts, p.Starts)
	}
	s := &sums{Sheet: b.Sums.Clone(), m: m, b: b, digits: m.home.Digits, known: map[sum.Key]sum.Ref{}}
	c := &replayMaker{Replay: r, b: b, s: s, in: inputs{m: m, at: map[string]int{}}}
	c.chances()
	c.totals()
	c.printing()
	for i := range m.work {
		if m.work[i].op.Basis != basisPlate {
			r.works = append(r.works, replayWork{&m.work[i], c.find(OfWork, i, "times")})
		}
	}
	c.bind()
	r.Inputs = c.in.list
	r.program = s.Compile([]sum.Ref{r.cash, r.used}, r.drawn(func(int) bool { return true }))
	return r
}

// bind has all figures that are drawn follow their inputs, but for those that nothing
// rests on: what a supplier charges who gets no order is not drawn.
func (c *replayMaker) bind() {
	all := &replayMaker{Replay: &Replay{m: c.m, UnitYield: c.UnitYield, Plates: c.Plates, Boards: c.Boards, prints: c.prints, printed: c.printed, works: c.works},
		b: c.b, s: c.s, in: inputs{m: c.m, at: map[string]int{}}, spool: c.spool}
	all.follow()
	drawn := all.drawn(func(int) bool { return true })
	c.rests = make(map[sum.Ref]bool, len(drawn))
	for i, rests := range c.s.Rest([]sum.Ref{c.cash, c.used}, drawn) {
		c.rests[drawn[i]] = rests
	}
	c.follow()
}

// replayMaker fills in a replay from a batch.
type replayMaker struct {
	*Replay
	b     *Batch
	s     *sums
	in    inputs
	spool []spoolPrice
	rests map[sum.Ref]bool // figures that a result rests on; nil: all
}

// spoolPrice is the price of a spool that may be bought besides.
type spoolPrice struct {
	figure   sum.Ref
	purchase Purchase
}

// find gives a figure or result of the batch.
func (c *replayMaker) find(of string, at int, what string) sum.Ref {
	return sumNamed(c.s.Sheet, of, at, what)
}

// move has a figure follow what it is drawn by, which is asked for where something rests
// on the figure.
func (c *replayMaker) move(figure sum.Ref, by func() varying) {
	if c.rests != nil && !c.rests[figure] {
		return
	}
	f := by()
	if f.input == Certain {
		return
	}
	for len(c.moves) <= f.input {
		c.moves = append(c.moves, nil)
	}
	c.moves[f.input] = append(c.moves[f.input], move{figure, f.value})
}

// chances notes what happens by chance: boards, units and plates that do not
// come out good.
func (c *replayMaker) chances() {
	for i, run := range c.b.Boards {
		if len(c.m.boards[i].Holds) > 0 {
			continue
		}
		name := c.m.boards[i].Name
		per := make([]int, len(c.b.Products))
		for p := range per {
			per[p] = c.m.boards[i].on[p].perUnit
		}
		c.Boards = append(c.Boards, BoardChance{drawKey("boards", bom.Fold(name)), run.Starts, run.Wanted, per, run.Yield, Certain})
		if run.Yield < 1 && run.Starts > 0 {
			c.Boards[i].Input = c.in.happening(Ranged{Name: "good boards, " + name, Unit: "%", Key: drawKey("yield", bom.Fold(name))}, 100*run.Yield, bom.Range{})
		}
	}
	s := &c.m.prices.Settings
	given := c.m.prices.Settings.RangeOf(drawnYield)
	c.UnitYield = Certain
	if s.UnitYield.LessThan(hundred) || given.Given() {
		c.UnitYield = c.in.happening(Ranged{Name: drawnYield, Unit: "%", Key: drawKey(bom.TabSettings, drawnYield)}, s.UnitYield.InexactFloat64(), given)
	}
}

// happening adds an input that is there even where its share is certain.
func (in *inputs) happening(r Ranged, percent float64, given bom.Range) int {
	r.Pert, r.Happens = pert(percent, given), true
	return in.add(r)
}

// printing takes the plates over, kind by kind.
func (c *replayMaker) printing() {
	c.printed = c.find(OfTotal, 0, "plates")
	for i := range c.b.Plates {
		p := replayPrint{laid: c.find(OfPlate, i, "laid")}
		if c.b.Plates[i].StartH > 0 {
			p.starting = c.find(OfPlate, i, "starting")
		}
		if c.b.Plates[i].PrimeG > 0 {
			p.primed = c.find(OfPlate, i, "primed")
		}
		c.prints = append(c.prints, p)
	}
	at := map[string]int{} // -> index into groups
	for k, l := range bom.Refs(c.b.beds) {
		good, lines := 1.0, c.m.groups[l.group].lines
		if l.printer != nil {
			good -= fraction(l.printer.Failure)
		}
		for _, run := range c.b.Groups[l.group].Runs {
			i := slices.IndexFunc(lines, func(line int) bool { return c.m.printed[line].entry == c.b.Plates[run].Entry })
			if n := l.pieces[i]; n > 0 && c.b.Plates[run].printer == l.printer {
				c.prints[run].lays = append(c.prints[run].lays, lay{k, n, float64(n) * onceShare(c.m, l, i, startOf), float64(n) * onceShare(c.m, l, i, primeOf)})
			}
		}
		c.GoodPlates, c.expected = append(c.GoodPlates, l.times), append(c.expected, float64(l.times)/good)
		key := c.groupKey(l)
		g, ok := at[key]
		if !ok {
			g = len(c.Plates)
			at[key] = g
			c.Plates = append(c.Plates, PlateChance{Key: key, Input: c.failing(l.printer)})
		}
		c.Plates[g].Kinds = append(c.Plates[g].Kinds, k)
	}
}

// failing is the input of a printer's failures; none where no plate fails.
func (c *replayMaker) failing(p *bom.Printer) int {
	if p == nil || !p.Failure.IsPositive() && !p.FailRange.Given() {
		return Certain
	}
	return c.in.happening(Ranged{Name: "failing plates, " + p.Name, Unit: "%", Key: drawKey("failure", bom.Fold(p.Name))}, p.Failure.InexactFloat64(), p.FailRange)
}

// groupKey tells plates apart that are drawn for themselves, wherever their lines stand:
// by what is on them and what prints them.
func (c *replayMaker) groupKey(l *bed) string {
	g := &c.m.groups[l.group]
	line := c.m.entries[c.m.printed[g.lines[0]].entry]
	printer := ""
	if l.printer != nil {
		printer = bom.Fold(l.printer.Name)
	}
	if g.packed {
		return drawKey("plates", bom.Fold(line.Line.Material), bom.Fold(c.m.prices.FindRecipe(line.Line.Recipe).Name), bom.Fold(g.printer.Name), printer)
	}
	return drawKey("plates of", line.Line.Part, line.Path, bom.Fold(c.m.prices.FindRecipe(line.Line.Recipe).Name), printer)
}

// totals states cash and use of the batch with what filament that is short costs more.
func (c *replayMaker) totals() {
	s, all := c.s, int(AllCategories)
	cash, used := []sum.Ref{c.find(OfCategory, all, "cash")}, []sum.Ref{c.find(OfCategory, all, "consumed")}
	for i := range c.m.parts {
		if len(c.m.parts[i].spools) > 0 {
			more := c.shortOf(i)
			cash, used = append(cash, more.cash), append(used, more.consumed)
		}
	}
	c.cash, c.used = s.Round(s.Add(cash...), s.digits), s.Round(s.Add(used...), s.digits)
}

// moreSpools is an order of spools more: its goods and charges, and the grams.
type moreSpools struct{ goods, charges, reclaim, grams, landed sum.Ref }

// shortOf states the cheapest single order that makes up for filament that is
// short; of equal ones that which brings more. It gives what is spent more and used
// more.
func (c *replayMaker) shortOf(part int) portion {
	s, p := c.s, &c.m.parts[part]
	of := func(what string) sum.Ref { return c.find(OfPart, part, what) }
	demand, bought, cash := of("takes"), of("bought"), of("cash")
	short, one := s.Sub(demand, s.Min(demand, bought)), s.Count(1)
	var best moreSpools
	for i := range p.spools {
		e := c.spools(part, i, short)
		if i == 0 {
			best = e
			continue
		}
		better := s.More(best.landed, e.landed, one, s.Equal(best.landed, e.landed, s.More(e.grams, best.grams, one, 0), 0))
		choose := func(a, b sum.Ref) sum.Ref { return s.Equal(better, one, a, b) }
		best = moreSpools{choose(e.goods, best.goods), choose(e.charges, best.charges), choose(e.reclaim, best.reclaim), choose(e.grams, best.grams),
			choose(e.landed, best.landed)}
	}
	charges, reclaim := s.More(short, 0, best.charges, 0), s.More(short, 0, best.reclaim, 0)
	goods := s.More(short, 0, best.goods, 0)
	whole := s.Add(bought, s.More(short, 0, best.grams, 0))
	spent := s.Add(cash, goods)
	plain := s.Sub(spent, s.Round(s.Div(s.Mul(spent, s.Min(demand, whole)), whole), s.digits))
	worth := s.Number(worthOf(c.m.prices, p.spools[0].Worth, setWorth, p.spools[0].Origin).Percent)
	more := s.Sub(s.Sub(s.Add(s.Sub(spent, s.surplus(plain, worth)), charges), reclaim), of("Consumed of cash"))
	return portion{cash: s.Add(goods, charges), consumed: s.More(short, 0, more, 0)}
}

// spools states an order of one kind of spool.
func (c *replayMaker) spools(part, spool int, short sum.Ref) moreSpools {
	s, p := c.s, &c.m.parts[part]
	o, mat := &p.offers[spool], p.spools[spool]
	at := c.m.terms.supplier[o.Supplier]
	t := &c.m.terms.Suppliers[at]
	price := s.decided("spool", part, mat.At("Spool price").String(), mat.SpoolPrice)
	c.spool = append(c.spool, spoolPrice{price, Purchase{Kind: Filament, Part: p.Key, Supplier: t.Name, Index: part, choice: spool,
		Pieces: o.Pieces, UnitPrice: mat.SpoolPrice, Currency: mat.Currency, AsOf: mat.AsOf}})
	grams := s.Number(o.Pieces.Decimal())
	n := s.Up(s.Div(short, grams), s.Count(1))
	goods, cash := s.lineCash(0, n, price, s.Count(int64(o.Currency.Digits)), s.rate(o.Currency))
	own := s.inOwn(goods, cash, o.Currency, t.Currency)
	same := func(r sum.Ref) sum.Ref { return r }
	charged := s.charger(at).chargesOn(own, customsSums{goods: cash, heads: s.Count(1)}, same, func(_ string, r sum.Ref) sum.Ref { return r })
	charges := s.Add(charged.delivery, charged.topUp, charged.duty, charged.tax, charged.handling)
	return moreSpools{cash, charges, charged.reclaim, s.Mul(n, grams), s.Sub(s.Add(cash, charges), charged.reclaim)}
}

// follow has what is bought follow the prices that are drawn, and all else of the price
// sheet what it is drawn by.
func (c *replayMaker) follow() {
	price := func(p *Purchase) func() varying {
		return func() varying { price, _ := c.in.price(p); return price }
	}
	for i := range c.b.Purchases {
		if p := &c.b.Purchases[i]; !p.Unpriced {
			c.move(c.find(OfBuy, i, "price"), price(p))
			c.move(c.find(OfBuy, i, "setup"), func() varying { _, setUp := c.in.price(p); return setUp })
		}
	}
	for i := range c.spool {
		c.move(c.spool[i].figure, price(&c.spool[i].purchase))
	}
	c.s.Figures(func(f *sum.Figure, r sum.Ref) {
		if by := c.drawnBy(f); by != nil {
			c.move(r, by)
		}
	})
	for len(c.moves) < len(c.in.list) {
		c.moves = append(c.moves, nil)
	}
}

// drawnBy gives what a figure of the price sheet is drawn by; nil where it never is.
func (c *replayMaker) drawnBy(f *sum.Figure) func() varying {
	value := f.Value
	asked := func(of string) func() varying {
		if !value.IsPositive() {
			return nil
		}
		asOf := f.AsOf
		return func() varying { return c.in.charges(of, asOf).times(value.InexactFloat64()) }
	}
	switch k := f.Key; k.Of {
	case OfSetting:
		if k.What == drawnLabour || k.What == drawnEnergy {
			return func() varying { return c.in.setting(k.What, value) }
		}
	case OfRate:
		return func() varying { return c.in.rate(k.What) }
	case OfSupplier:
		switch k.What {
		case "Delivery", "Handling fee", "Consignment fee per line":
			return asked("charges of " + c.m.terms.Suppliers[k.At].Name)
		}
	case OfAssembly:
		return asked("assembly by " + c.m.terms.Assemblers[k.At].Name)
	case OfTier:
		return asked("assembly by " + c.m.terms.Tiers[k.At].Assembler)
	case OfParcel:
		if k.What == "price" {
			return asked("postage, " + c.b.Posts[k.At].Service)
		}
	case OfWork:
		if k.What == "seconds" {
			op := c.m.work[k.At].op
			return func() varying {
				return c.in.follow(Ranged{Name: "seconds to " + op.Name, Unit: "s", Key: drawKey(bom.TabHandWork, bom.Fold(op.Name), op.AppliesTo, op.Basis)},
					value, op.Range, bom.Date{})
			}
		}
	case OfPrinter:
		return c.power(f)
	}
	return nil
}

// power gives what the power of a printer is drawn by.
func (c *replayMaker) power(f *sum.Figure) func() varying {
	value := f.Value
	for _, p := range bom.Refs(c.m.prices.Printers) {
		if p.At("Power W") == f.Place && f.Key.What == p.Name+": Power W" {
			return func() varying {
				return c.in.follow(Ranged{Name: "power, " + p.Name, Unit: "W", Key: drawKey("power", bom.Fold(p.Name))}, value, p.PowerRange, bom.Date{})
			}
		}
	}
	return nil
}

// notDrawn warns of ranges on settings that are not drawn.
func notDrawn(p *bom.Prices) (problems bom.Problems) {
	for _, s := range p.Settings.All {
		drawn := s.Name == drawnLabour || s.Name == drawnEnergy || s.Name == drawnYield
		if !drawn && s.Low+s.High != "" {
			at := "Low"
			if s.Low == "" {
				at = "High"
			}
			problems.Warnf(s.At(at), s.Name, "the value itself counts", "the range of this setting is not used")
		}
	}
	return problems
}
