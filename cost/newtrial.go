package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// newTrial makes a batch of the model ready to be reckoned again.
func (m *Model) newTrial(b *Batch) *trial {
	t := &trial{m: m, size: b.Size, starts: b.Starts, scale: m.minorUnits(m.home), learned: map[[2]float64]float64{}}
	c := &trialMaker{trial: t, b: b, in: inputs{m: m, at: map[string]int{}}, supplierAt: map[int]int{}, orderAt: map[int]int{}}
	s := &m.prices.Settings
	t.labour = c.in.setting(drawnLabour, s.LabourRate).times(t.scale)
	t.energy = c.in.setting(drawnEnergy, s.EnergyPrice).times(t.scale)
	c.chances()
	c.orders()
	c.purchases()
	c.fees()
	c.printing()
	c.work()
	t.inputs = c.in.list
	return t
}

// minorUnits is how many minor units one of a currency has.
func (m *Model) minorUnits(c bom.Currency) float64 { return decimal.New(1, c.Digits).InexactFloat64() }

// trialMaker fills in a trial from a batch.
type trialMaker struct {
	*trial
	b          *Batch
	in         inputs
	supplierAt map[int]int // index in the model -> in the trial
	orderAt    map[int]int // supplier in the trial -> order
}

// chances notes what happens by chance: boards, units and plates that do not
// come out good.
func (c *trialMaker) chances() {
	for i, run := range c.b.Boards {
		name := c.m.boards[i].Name
		c.boards = append(c.boards, trialBoards{name, run.Starts, c.m.boards[i].PerUnit, run.Yield, certain})
		if run.Yield < 1 && run.Starts > 0 {
			c.boards[i].input = c.in.happening(Ranged{Name: "good boards, " + name, Unit: "%", key: key("yield", fold(name))}, 100*run.Yield, bom.Range{})
		}
	}
	s := &c.m.prices.Settings
	given := c.m.settingRange(drawnYield)
	c.unitYield = certain
	if s.UnitYield.LessThan(hundred) || given.Given() {
		c.unitYield = c.in.happening(Ranged{Name: drawnYield, Unit: "%", key: key(bom.TabSettings, drawnYield)}, s.UnitYield.InexactFloat64(), given)
	}
}

// happening adds an input that is there even where its share is certain.
func (in *inputs) happening(r Ranged, percent float64, given bom.Range) int {
	r.Pert, r.Happens = pert(percent, given), true
	return in.add(r)
}

// supplier gives what a supplier charges for an order.
func (c *trialMaker) supplier(index int) int {
	if i, known := c.supplierAt[index]; known {
		return i
	}
	row := &c.m.suppliers[index]
	own := c.m.minorUnits(row.Currency)
	asks := func(d decimal.Decimal, scale float64) varying {
		if !d.IsPositive() {
			return fixed(0)
		}
		return c.in.charges("charges of "+row.Name, row.AsOf).times(d.InexactFloat64() * scale)
	}
	s := trialSupplier{
		index: index, isHome: row.Currency == c.m.home,
		delivery: asks(row.Delivery, own), handling: asks(row.Handling, c.scale), consign: fixed(0),
	}
	if index == c.m.assembler {
		s.consign = asks(row.ConsignPerLine, own)
	}
	s.rate = fixed(1)
	if !s.isHome {
		s.rate = c.in.rate(row.Currency)
	}
	i := len(c.suppliers)
	c.suppliers = append(c.suppliers, s)
	c.supplierAt[index] = i
	return i
}

// orders takes the orders over, with the part numbers that the consign fees of
// each are for.
func (c *trialMaker) orders() {
	for _, o := range c.b.Orders {
		index := c.m.supplierIndex(o.Supplier)
		s := c.supplier(index)
		order := trialOrder{supplier: s}
		if o.Consign.IsPositive() {
			row := &c.m.suppliers[index]
			_, each := c.m.lineCash(decimal.Zero, row.ConsignPerLine, 1, row.Currency)
			order.consigned = o.Consign.Div(each).Round(0).IntPart()
		}
		c.orderAt[s] = len(c.trial.orders)
		c.trial.orders = append(c.trial.orders, order)
	}
}

// line takes goods or a fee over.
func (c *trialMaker) line(amount varying, own bom.Currency, supplier, stock int) {
	l := trialLine{amount: amount, rate: fixed(1), isHome: own == c.m.home, order: -1, stock: stock}
	if !l.isHome {
		l.rate = c.in.rate(own)
	}
	if supplier >= 0 {
		if order, made := c.orderAt[c.supplier(supplier)]; made {
			l.order = order
		}
		l.other = own != c.m.suppliers[supplier].Currency
	}
	c.lines = append(c.lines, l)
}

// purchases takes over what is bought, as one stock for each part and board
// type, and what is taken from the drawer.
func (c *trialMaker) purchases() {
	type thing struct {
		boards bool
		index  int
	}
	at := map[thing]int{}
	stock := func(boards bool, index int, demand, bought bom.Quantity) {
		at[thing{boards, index}] = len(c.stocks)
		c.stocks = append(c.stocks, trialStock{demand: demand, bought: bought})
	}
	for i := range c.m.parts {
		r := &c.b.Parts[i]
		stock(false, i, r.Demand, r.Bought)
		if c.m.parts[i].Unit == grams {
			c.filament(&c.stocks[i], i)
		} else {
			c.drawer += c.minor(r.Drawer)
		}
	}
	for i, r := range c.b.Boards {
		stock(true, i, bom.Whole(int64(r.Starts-r.OnHand)), bom.Whole(int64(r.Bought)))
		c.drawer += c.minor(r.Drawer)
	}
	for i := range c.b.Purchases {
		if p := &c.b.Purchases[i]; !p.Unpriced {
			c.line(c.in.price(p), p.Currency, c.m.supplierIndex(p.Supplier), at[thing{p.Kind == Lots, p.Index}])
		}
	}
}

// minor is home money in minor units.
func (c *trialMaker) minor(d decimal.Decimal) int64 {
	return d.Shift(c.m.home.Digits).Round(0).IntPart()
}

// filament notes where more of a material can be bought.
func (c *trialMaker) filament(s *trialStock, part int) {
	p := &c.m.parts[part]
	s.onHand = p.onHand
	for i, mat := range p.spools {
		o := &p.offers[i]
		sp := trialSpool{
			pieces: o.Pieces, supplier: c.supplier(o.Supplier), rate: fixed(1), isHome: o.Currency == c.m.home,
			price: c.in.price(&Purchase{
				Kind: Filament, Part: p.Key, Supplier: c.m.suppliers[o.Supplier].Name, Index: part, choice: i,
				Quantity: 1, Pieces: o.Pieces, UnitPrice: mat.SpoolPrice, Currency: o.Currency, AsOf: mat.AsOf,
			}),
			other: o.Currency != c.m.suppliers[o.Supplier].Currency,
		}
		if !sp.isHome {
			sp.rate = c.in.rate(o.Currency)
		}
		s.spools = append(s.spools, sp)
	}
}

// fees takes over what is paid besides goods; what printing costs is reckoned
// from its hours.
func (c *trialMaker) fees() {
	for _, f := range c.b.Fees {
		if f.Unpriced || f.Kind == MachineFee || f.Kind == EnergyFee {
			continue
		}
		amount, supplier := fixed(1), -1
		switch {
		case f.Category == MachineAssembly:
			amount, supplier = c.in.charges("assembly by "+f.Payee, c.m.assembly.AsOf), c.m.assembler
		case f.Kind == PostageFee:
			amount = c.in.charges("postage, "+f.Payee, c.m.postDate(f.Place))
		}
		c.line(amount.times(f.Own.InexactFloat64()*c.m.minorUnits(f.Currency)), f.Currency, supplier, -1)
	}
}

// printing takes the plates over, kind by kind.
func (c *trialMaker) printing() {
	c.prints = make([]trialPrint, len(c.m.printed))
	for g, group := range c.m.groups {
		beds := &c.b.beds[g]
		run := trialGroup{name: c.groupName(group), input: certain}
		if p := group.printer; p != nil && (p.Failure.IsPositive() || p.FailRange.Given()) {
			run.input = c.in.happening(Ranged{Name: "failing plates, " + p.Name, Unit: "%", key: key("failure", fold(p.Name))}, p.Failure.InexactFloat64(), p.FailRange)
		}
		beds.eachStarted(func(l *load, times int) {
			for i, line := range group.lines {
				if n := l.pieces[i]; n > 0 {
					pl := &c.m.printed[line]
					c.prints[line].lays = append(c.prints[line].lays, lay{
						kind: len(c.kinds), pieces: n, g: pl.g.G.Value, hours: pl.hours.Hours.Value + c.m.startShare(pl, l, group.lines),
					})
				}
			}
			run.kinds = append(run.kinds, len(c.kinds))
			c.kinds = append(c.kinds, trialPlates{l.times, times})
		})
		c.groups = append(c.groups, run)
	}
	for i := range c.m.printed {
		pl, p := &c.m.printed[i], &c.prints[i]
		if printer := pl.printer; printer != nil {
			power := decimal.NewFromFloat(printer.PowerW)
			p.printed = true
			p.machine = printer.HourlyRate.InexactFloat64() * c.scale
			p.power = c.in.follow(Ranged{Name: "power, " + printer.Name, Unit: "W", key: key("power", fold(printer.Name))}, power, printer.PowerRange, bom.Date{})
		}
		s := &c.stocks[pl.material]
		s.prints = append(s.prints, i)
	}
}

// groupName tells plates apart that are drawn for themselves, wherever their
// lines stand: by what is on them.
func (c *trialMaker) groupName(g plateGroup) string {
	line := c.m.entries[c.m.printed[g.lines[0]].entry]
	if g.packed {
		return key("plates", fold(line.Line.Material), fold(c.m.prices.FindRecipe(line.Line.Recipe).Name), fold(g.printer.Name))
	}
	return key("plates of", line.Line.Part, line.Path)
}

// work takes the rows of hand work over.
func (c *trialMaker) work() {
	for i, row := range c.m.work {
		op := row.op
		seconds := decimal.NewFromFloat(op.Seconds)
		c.works = append(c.works, trialWork{
			seconds: c.in.follow(Ranged{Name: "seconds to " + op.Name, Unit: "s", key: key(bom.TabHandWork, fold(op.Name), op.AppliesTo, op.Basis)},
				seconds, op.Range, bom.Date{}),
			basis: op.Basis, count: c.b.Work[i].Count, learning: op.Learning / 100,
		})
	}
}
