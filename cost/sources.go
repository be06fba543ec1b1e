package cost

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
	"tenoff/cost/printing"
)

// listSources lists every figure of the price sheet that the batches rest on, each
// once, in the order of the sheet's tabs: those that the sums say where they stand, and
// what decisions were made by. Purchases must be numbered by their offers (terms).
func listSources(m *Model, batches []Batch) []Source {
	c := &collector{m: m, seen: map[sourceKey]bool{}, bought: map[boughtAt]bool{}}
	c.settings()
	settings := len(c.list) // those of the sheet, then defaults
	c.exchange(batches)
	for i := range batches {
		c.purchases(batches[i].Purchases)
		c.stated(&batches[i])
	}
	c.leadDays(batches)
	c.defects(batches)
	c.attrition()
	c.handWork()
	c.printed(batches)
	c.recipes()
	for _, z := range m.zones {
		if z.row != nil {
			c.figure("recipients", z.row.Zone, decimal.NewFromInt(z.row.Count), "units", z.row.AsOf, z.row.At("Count"), z.row.Note)
			if z.per > 1 {
				c.figure("recipients", z.row.Zone+": Units per parcel", decimal.NewFromInt(int64(z.per)), "units", z.row.AsOf, z.row.At("Units per parcel"), z.row.Note)
			}
		}
	}
	c.onHand(batches)
	for _, s := range m.shareRows {
		c.figure("who pays", s.AppliesTo+": "+s.Payer, s.Percent, "%", bom.Date{}, s.At("Share %"), "")
	}
	slices.SortStableFunc(c.list[settings:], func(a, b Source) int {
		return cmp.Or(cmp.Compare(tabRank(a.What), tabRank(b.What)), cmp.Compare(a.Place.Row, b.Place.Row), cmp.Compare(a.Place.Col, b.Place.Col))
	})
	return c.list
}

// tabRank is where sources of a kind stand among the others.
func tabRank(what string) int {
	if at := slices.Index(tabOrder, what); at >= 0 {
		return at
	}
	return len(tabOrder)
}

// tabOrder are the kinds of source in the order of the sheet's tabs.
var tabOrder = []string{
	"exchange", "supplier", "offer", "board", "material", OfAssembly, OfTier, "attrition", "hand work",
	"printed part", OfPrinter, "print recipe", "print log", "postage", "recipients", "on hand", OfOneOff, OfSubstitute, OfShare,
}

type sourceKey struct {
	what, row, column string
	place             bom.Place
}

// boughtAt is a price that is paid: the number of the offer, and its cell.
type boughtAt struct{ offer, row, column int }

type collector struct {
	m      *Model
	seen   map[sourceKey]bool
	bought map[boughtAt]bool
	list   []Source
}

func (c *collector) add(what, name, value string, asOf bom.Date, at bom.Place, note string) {
	if c.first(what, name, "", at) {
		c.list = append(c.list, Source{What: what, Name: name, Value: value, AsOf: asOf, Place: at, Note: note})
	}
}

// figure adds a figure with what it is counted in.
func (c *collector) figure(what, name string, d decimal.Decimal, unit string, asOf bom.Date, at bom.Place, note string) {
	c.cell(what, name, "", d, unit, asOf, at, note)
}

// cell adds a figure of a row that may hold several.
func (c *collector) cell(what, row, column string, d decimal.Decimal, unit string, asOf bom.Date, at bom.Place, note string) {
	if !c.first(what, row, column, at) {
		return
	}
	name := row
	if column != "" {
		name += ": " + column
	}
	c.list = append(c.list, Source{
		What: what, Name: name, AsOf: asOf, Place: at, Note: note,
		Amount: decimal.NewNullDecimal(d), Unit: unit,
	})
}

// first tells whether a figure has not been listed yet, and notes that it is.
func (c *collector) first(what, row, column string, at bom.Place) bool {
	k := sourceKey{what, row, column, at}
	again := c.seen[k]
	c.seen[k] = true
	return !again
}

func (c *collector) settings() {
	for _, s := range c.m.prices.Settings.All {
		note, at := s.Note, s.At("Value")
		if s.Default {
			note, at = "default", bom.Place{}
		}
		if d, unit, ok := c.m.prices.Settings.Figure(s.Name); ok {
			c.figure("setting", s.Name, d, unit, s.AsOf, at, note)
		} else {
			c.add("setting", s.Name, s.Text, s.AsOf, at, note)
		}
	}
}

func (c *collector) exchange(batches []Batch) {
	var used []bom.Currency
	note := func(currency bom.Currency) { used = addNew(used, currency) }
	for _, b := range bom.Refs(batches) {
		for j := range b.Purchases {
			note(b.Purchases[j].Currency)
		}
		for j := range b.Orders {
			note(b.Orders[j].Currency)
		}
		for j := range b.Fees {
			note(b.Fees[j].Currency)
		}
	}
	for _, r := range c.m.prices.Exchange {
		if slices.Contains(used, r.Currency) {
			c.figure("exchange", r.Currency.Code, r.Rate, c.m.home.Code, r.AsOf, r.At("Rate"), r.Note)
		}
	}
}

// stated adds the figures that the sums say where they stand. Of suppliers, of which all
// that could be ordered from are in the sums, those that are.
func (c *collector) stated(b *Batch) {
	figures := b.Sums.Entered()
	for _, f := range bom.Refs(figures) {
		if f.Row == "" || f.Key.Of == OfSupplier && !slices.ContainsFunc(b.Orders, func(o Order) bool { return o.Supplier == f.Row }) {
			continue
		}
		c.cell(SourceKind(f.Key.Of), f.Row, f.Column, f.Value, f.Unit, f.AsOf, f.Place, f.Note)
	}
}

// SourceKind is what the list of sources calls figures by what their keys are of.
func SourceKind(of string) string {
	switch of {
	case OfParcel:
		return "postage"
	case OfWorth:
		return "on hand"
	case OfWork:
		return "hand work"
	}
	return of
}

// leadDays adds how long the suppliers of orders take, which no sum rests on.
func (c *collector) leadDays(batches []Batch) {
	for i := range batches {
		for _, o := range batches[i].Orders {
			if s := &c.m.supply.list[c.m.supply.index(o.Supplier)]; s.LeadKnown {
				c.figure("supplier", s.Name+": Lead days", decimal.NewFromInt(int64(s.LeadDays)), "days", s.AsOf, s.At("Lead days"), "")
			}
		}
	}
}

// purchases adds the prices that have not been listed yet: most are the same at
// every batch size.
func (c *collector) purchases(all []Purchase) {
	for _, p := range bom.Refs(all) {
		at := boughtAt{p.Offer, p.Place.Row, p.Place.Col}
		if !p.Unpriced && !c.bought[at] {
			c.bought[at] = true
			c.purchase(p)
		}
	}
}

func (c *collector) purchase(p *Purchase) {
	unit := p.Currency.Code
	if p.Pieces != bom.One {
		counted := " pieces"
		if p.Kind == Filament {
			counted = " " + grams
		}
		unit += " for " + p.Pieces.String() + counted
	}
	if p.SetUp.IsPositive() {
		unit += fmt.Sprintf(" each and %s %s once", p.SetUp, p.Currency.Code)
	}
	c.list = append(c.list, Source{
		What: sourceOf[p.Kind], Name: p.Part + " from " + p.Supplier, AsOf: p.AsOf, Place: p.Place,
		Amount: decimal.NewNullDecimal(p.UnitPrice), Unit: unit,
	})
}

// sourceOf names what a purchase's price is in the list of sources.
var sourceOf = map[string]string{Goods: "offer", Lots: "board", Filament: "material"}

// defects adds the rates at which the assemblers of the batches make boards that fail.
func (c *collector) defects(batches []Batch) {
	for i := range batches {
		if mk := c.m.of(&batches[i]).making; mk.assembler >= 0 && mk.asks != nil && !mk.asks.DPMO.IsZero() {
			c.figure("assembly", mk.asks.Name+": DPMO", mk.asks.DPMO, "", mk.asks.AsOf, mk.asks.At("DPMO"), "")
		}
	}
}

func (c *collector) attrition() {
	listed := map[*bom.Allowance]bool{}
	for i := range c.m.parts {
		for _, a := range c.m.parts[i].allowances {
			if listed[a.Allowance] {
				continue
			}
			listed[a.Allowance] = true
			name := strings.TrimSpace(a.AppliesTo + " " + a.Package)
			text := fmt.Sprintf("%s %%, at least %d", a.Percent, a.Pieces)
			if a.AtLeast > 0 {
				text += fmt.Sprintf(", in all at least %d", a.AtLeast)
			}
			c.add("attrition", name, text, a.AsOf, a.At("Percent"), a.Note)
		}
	}
}

func (c *collector) handWork() {
	for _, row := range c.m.work {
		unit := "s per " + row.op.Basis
		if row.op.Learning != 100 {
			unit += fmt.Sprintf(", learning %g %%", row.op.Learning)
		}
		if row.op.TimedAt > 1 {
			unit += fmt.Sprintf(", timed at unit %d", row.op.TimedAt)
		}
		if row.op.Before > 0 {
			unit += fmt.Sprintf(", %d units done before", row.op.Before)
		}
		seconds, _ := money.FromFloat(row.op.Seconds)
		c.figure("hand work", row.op.Name, seconds, unit, row.op.AsOf, row.place, row.op.Note)
		if !row.op.Share.Equal(hundred) {
			c.figure("hand work", row.op.Name+": Share %", row.op.Share, "%", row.op.AsOf, row.op.At("Share %"), row.op.Note)
		}
	}
}

// printed adds what the pieces weigh and take on the printers that make them.
func (c *collector) printed(batches []Batch) {
	var used []*bom.Printer
	for i := range batches {
		for j := range batches[i].Plates {
			used = addNew(used, batches[i].Plates[j].printer)
		}
	}
	for _, pl := range c.m.printed {
		for _, on := range append([]pieceOn{pl.pieceOn}, pl.others...) {
			if slices.Contains(used, on.printer) {
				c.piece(&pl, &on)
			}
		}
	}
}

// piece adds mass and hours of a printed piece; those on another printer where they differ.
func (c *collector) piece(pl *printedLine, on *pieceOn) {
	line := c.m.entries[pl.entry].Line
	add := func(heading, unit string, s *printing.Piece, figure, first float64) {
		at, note, name := bom.Place{}, s.Text(), line.Part+": "+heading
		if s.From == printing.FromBOM {
			at, note = line.At(heading), ""
		} else if figure != first {
			name += " on " + on.printer.Name
		}
		// All its digits: they are multiplied by thousands of pieces.
		c.figure("printed part", name, decimal.NewFromFloat(figure), unit, bom.Date{}, at, note)
	}
	add("Filament g", "g", on.g, on.g.G.Value, pl.g.G.Value)
	add("Print hours", "h", on.hours, on.hours.Hours.Value, pl.hours.Hours.Value)
}

// recipes lists the recipes that meshes are computed by, and what the print log
// corrects.
func (c *collector) recipes() {
	for _, pl := range c.m.printed {
		line := c.m.entries[pl.entry].Line
		r := c.m.prices.FindRecipe(line.Recipe)
		for _, on := range append([]pieceOn{pl.pieceOn}, pl.others...) {
			for _, s := range on.sources {
				if s.From == printing.FromMesh {
					c.add("print recipe", cmp.Or(r.Name, printing.DefaultRecipe), fmt.Sprintf("layers of %g mm, lines of %g mm, %d walls, %g %% infill", r.LayerMM, r.LineMM, r.Walls, r.Infill),
						r.AsOf, r.At("Recipe"), cmp.Or(r.Note, map[bool]string{true: "default"}[r.Name == ""]))
				}
				if s.Corrected() {
					c.add("print log", on.printer.Name+", "+printing.MethodFor(s.From, line.Recipe, r), s.Correction.String(), bom.Date{}, bom.Place{}, "")
				}
			}
		}
	}
}

func (c *collector) onHand(batches []Batch) {
	add := func(rows []*bom.OnHand, taken bom.Quantity) {
		for _, oh := range rows {
			if taken <= 0 {
				return
			}
			unit := fmt.Sprintf("%s each, %s of them", c.m.home.Code, oh.Quantity)
			if oh.GivenBy != "" {
				unit += ", given by " + oh.GivenBy
			}
			c.figure("on hand", oh.Part, oh.UnitValue, unit, oh.AsOf, oh.At("Unit value"), oh.Note)
			taken -= oh.Quantity
		}
	}
	for _, b := range batches {
		for i, r := range b.Parts {
			if r.OnHand > 0 {
				add(c.m.parts[i].onHand, r.OnHand)
			}
		}
		for i, r := range b.Boards {
			if r.OnHand > 0 {
				add(c.m.bareBoards[i].onHand, bom.Whole(int64(r.OnHand)))
			}
		}
	}
}
