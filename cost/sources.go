package cost

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// sources lists every figure of the price sheet that the batches rest on, each
// once, in the order of the sheet's tabs.
func (m *Model) sources(batches []Batch) []Source {
	c := &collector{m: m, seen: map[sourceKey]bool{}}
	c.settings()
	c.exchange(batches)
	c.suppliers(batches)
	for _, b := range batches {
		for _, p := range b.Purchases {
			c.purchase(p)
		}
	}
	c.assembly(batches)
	c.attrition()
	c.handWork()
	c.printers()
	c.recipes()
	for _, b := range batches {
		if b.Post.Service != "" {
			c.add("postage", strings.TrimSpace(b.Post.Service+" "+b.Post.To), b.Post.Price.String()+" "+b.Post.Currency.Code, m.postDate(b.Post.Place), b.Post.Place, "")
		}
	}
	c.onHand(batches)
	return c.list
}

type sourceKey struct {
	what, name string
	place      bom.Place
}

type collector struct {
	m    *Model
	seen map[sourceKey]bool
	list []Source
}

func (c *collector) add(what, name, value string, asOf bom.Date, at bom.Place, note string) {
	if c.first(what, name, at) {
		c.list = append(c.list, Source{what, name, value, asOf, at, note})
	}
}

// first tells whether a figure has not been listed yet, and notes that it is.
func (c *collector) first(what, name string, at bom.Place) bool {
	k := sourceKey{what, name, at}
	again := c.seen[k]
	c.seen[k] = true
	return !again
}

// money adds a figure of a row unless it is nothing.
func (c *collector) money(what, name string, d decimal.Decimal, unit string, asOf bom.Date, o bom.Origin, heading string) {
	if !d.IsZero() {
		c.add(what, name+": "+heading, strings.TrimSpace(d.String()+" "+unit), asOf, o.At(heading), "")
	}
}

func (c *collector) settings() {
	for _, s := range c.m.prices.Settings.All {
		note, at := s.Note, s.At("Value")
		if s.Default {
			note, at = "default", bom.Place{}
		}
		c.add("setting", s.Name, s.Text, s.AsOf, at, note)
	}
}

func (c *collector) exchange(batches []Batch) {
	used := map[string]bool{}
	for _, b := range batches {
		for _, p := range b.Purchases {
			used[p.Currency.Code] = true
		}
		for _, o := range b.Orders {
			used[o.Currency.Code] = true
		}
		for _, f := range b.Fees {
			used[f.Currency.Code] = true
		}
	}
	for _, r := range c.m.prices.Exchange {
		if used[r.Currency.Code] {
			c.add("exchange", r.Currency.Code, r.Rate.String()+" "+c.m.home.Code, r.AsOf, r.At("Rate"), r.Note)
		}
	}
}

func (c *collector) suppliers(batches []Batch) {
	for _, b := range batches {
		for _, o := range b.Orders {
			s := c.m.suppliers[c.m.supplierOf[fold(o.Supplier)]]
			own, home := s.Currency.Code, c.m.home.Code
			c.money("supplier", s.Name, s.Delivery, own, s.AsOf, s.Origin, "Delivery")
			c.money("supplier", s.Name, s.FreeOver.Decimal, own, s.AsOf, s.Origin, "Free delivery over")
			c.money("supplier", s.Name, s.MinOrder, own, s.AsOf, s.Origin, "Minimum order")
			c.money("supplier", s.Name, s.Duty, "%", s.AsOf, s.Origin, "Duty %")
			c.money("supplier", s.Name, s.Tax, "%", s.AsOf, s.Origin, "Import tax %")
			c.money("supplier", s.Name, s.DutyFreeUnder, home, s.AsOf, s.Origin, "Duty free under")
			c.money("supplier", s.Name, s.TaxFreeUnder, home, s.AsOf, s.Origin, "Tax free under")
			c.money("supplier", s.Name, s.Handling, home, s.AsOf, s.Origin, "Handling fee")
			c.money("supplier", s.Name, s.ConsignPerLine, own, s.AsOf, s.Origin, "Consign fee per line")
		}
	}
}

func (c *collector) purchase(p Purchase) {
	what := sourceOf[p.Kind]
	if p.Unpriced || !c.first(what, p.Part, p.Place) {
		return
	}
	value := p.UnitPrice.String() + " " + p.Currency.Code
	if p.Pieces != bom.One {
		unit := "pieces"
		if p.Kind == Filament {
			unit = grams
		}
		value += fmt.Sprintf(" for %s %s", p.Pieces, unit)
	}
	if p.SetUp.IsPositive() {
		value += fmt.Sprintf(" each and %s %s once", p.SetUp, p.Currency.Code)
	}
	c.list = append(c.list, Source{what, p.Part + " from " + p.Supplier, value, p.AsOf, p.Place, ""})
}

// sourceOf names what a purchase's price is in the list of sources.
var sourceOf = map[string]string{Goods: "offer", Lots: "board", Filament: "material"}

func (c *collector) assembly(batches []Batch) {
	a := c.m.assembly
	if a == nil {
		return
	}
	for _, f := range []struct {
		heading, unit string
		d             decimal.Decimal
	}{
		{"Set-up", a.Currency.Code, a.SetUp}, {"Stencil", a.Currency.Code, a.Stencil},
		{"Second side", a.Currency.Code, a.SecondSide}, {"Per line", a.Currency.Code, a.PerLine},
		{"Per placement", a.Currency.Code, a.PerPlacement}, {"Per joint", a.Currency.Code, a.PerJoint},
		{"Minimum", a.Currency.Code, a.Minimum}, {"DPMO", "", a.DPMO},
	} {
		c.money("assembly", a.Name, f.d, f.unit, a.AsOf, a.Origin, f.heading)
	}
}

func (c *collector) attrition() {
	for i := range c.m.parts {
		if a := c.m.parts[i].allowance; a != nil {
			name := strings.TrimSpace(a.AppliesTo + " " + a.Package)
			c.add("attrition", name, fmt.Sprintf("%s %%, at least %d", a.Percent, a.Pieces), a.AsOf, a.At("Percent"), a.Note)
		}
	}
}

func (c *collector) handWork() {
	for _, row := range c.m.work {
		value := fmt.Sprintf("%g s per %s", row.op.Seconds, row.op.Basis)
		if row.op.Learning != 100 {
			value += fmt.Sprintf(", learning %g %%", row.op.Learning)
		}
		c.add("hand work", row.op.Name, value, row.op.AsOf, row.op.At("Seconds"), row.op.Note)
	}
}

func (c *collector) printers() {
	for _, pl := range c.m.printed {
		if p := pl.printer; p != nil {
			c.add("printer", p.Name+": Power W", fmt.Sprintf("%g W", p.PowerW), p.AsOf, p.At("Power W"), p.Note)
			c.money("printer", p.Name, p.HourlyRate, c.m.home.Code, p.AsOf, p.Origin, "Hourly rate")
			c.money("printer", p.Name, p.Failure, "%", p.AsOf, p.Origin, "Failure %")
		}
	}
}

// recipes lists the recipes that meshes are computed by, and what the print log
// corrects.
func (c *collector) recipes() {
	for _, pl := range c.m.printed {
		line := c.m.entries[pl.entry].Line
		r := c.m.prices.FindRecipe(line.Recipe)
		for _, s := range pl.sources {
			if s.From == FromMesh {
				c.add("print recipe", firstOf(r.Name, defaultRecipe), fmt.Sprintf("layers of %g mm, lines of %g mm, %d walls, %g %% infill", r.LayerMM, r.LineMM, r.Walls, r.Infill),
					r.AsOf, r.At("Recipe"), firstOf(r.Note, map[bool]string{true: "default"}[r.Name == ""]))
			}
			if s.Corrected() {
				c.add("print log", pl.printer.Name+", "+methodFor(s.From, line.Recipe, r), CorrectionText(s.Correction), bom.Date{}, bom.Place{}, "")
			}
		}
	}
}

func (c *collector) onHand(batches []Batch) {
	add := func(oh *bom.OnHand) {
		c.add("on hand", oh.Part, fmt.Sprintf("%s at %s %s", oh.Quantity, oh.UnitValue, c.m.home.Code), oh.AsOf, oh.At("Quantity"), oh.Note)
	}
	for _, b := range batches {
		for i, r := range b.Parts {
			if r.OnHand > 0 {
				add(c.m.parts[i].onHand)
			}
		}
		for i, r := range b.Boards {
			if r.OnHand > 0 {
				add(c.m.bareBoards[i].onHand)
			}
		}
	}
}

func (m *Model) postDate(at bom.Place) bom.Date {
	for _, s := range m.prices.Postage {
		if s.At("Price") == at {
			return s.AsOf
		}
	}
	return bom.Date{}
}
