package cost

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// StockCovers tells how far the stock of every part goes that some batch of a run has to
// buy, the thin ones first: what may run out, the least cover first; then what has few
// sources; then what rests on old figures. Boards, which are made to order, and filament,
// of which no stock is stated, are left out. With errors among the problems there is none.
func StockCovers(run Run) ([]StockCover, bom.Problems) {
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	batches := make([]Batch, len(run.Batches))
	var found faults
	makings := makingsInStock(m)
	for i, size := range run.Batches {
		b, complaints := makings[i].begin(size)
		found.add(b.ID(), complaints)
		b.Parts = make([]PartRun, len(m.parts))
		s := makings[i].scratch(&b)
		for p := range m.parts {
			if m.parts[p].Unit != grams {
				_, b.Parts[p] = s.demandOf(p)
			}
		}
		batches[i] = b
	}
	if problems = append(problems, found.merged()...); problems.Failed() {
		return nil, problems
	}
	return withSubstitutes(m, coversOf(m, batches, false)), problems
}

// makingsInStock are the models of the makings that the batches take where what runs short is in
// stock: who populates the boards, and on which panels, says how many of a part are bought, if any.
func makingsInStock(m *Model) []*Model {
	out := make([]*Model, len(m.run.Batches))
	for i := range out {
		out[i] = m.At(i)
	}
	if m.ways == nil {
		return out
	}
	run := m.run
	run.Prices, run.Scarce = amplePrices(m, out), Scarcity{}
	ample, _ := New(run)
	for i, size := range run.Batches {
		only := *ample.At(i)
		only.costsOnly = true
		b, _ := only.Batch(size)
		out[i] = out[i].ways[b.way]
	}
	return out
}

// amplePrices is the price sheet with enough of all parts of which some batch, by some making,
// wants more than can be had.
func amplePrices(m *Model, at []*Model) *bom.Prices {
	short := map[*bom.Offer]bool{}
	for i, size := range m.run.Batches {
		for _, way := range at[i].allWays() {
			for _, p := range way.Short(size) {
				for _, row := range m.parts[p].rows {
					short[row] = true
				}
			}
		}
	}
	out := *m.prices
	out.Offers = slices.Clone(out.Offers)
	for i := range out.Offers {
		if short[&m.prices.Offers[i]] {
			out.Offers[i].Stock = -1
		}
	}
	return &out
}

// withSubstitutes names what may stand in for the parts.
func withSubstitutes(m *Model, covers []StockCover) []StockCover {
	if len(covers) == 0 {
		return nil
	}
	standins := m.Standins()
	for i := range covers {
		found, _ := standins.For(covers[i].index)
		for _, s := range found {
			covers[i].Substitutes = append(covers[i].Substitutes, s.Part)
		}
	}
	return covers
}

// coversOf computes the cover of every part that some batch has to buy, or of those alone
// that may run out: of what nobody offers it is told that it has no price.
func coversOf(m *Model, batches []Batch, thin bool) (out []StockCover) {
	for i := range m.parts {
		if largest := largestDemand(batches, i); m.parts[i].Unit != grams && largest > 0 && (!thin || mayRunOut(&m.prices.Settings, &m.parts[i], largest) && len(m.parts[i].rows) > 0) {
			out = append(out, coverOf(m, i, batches))
		}
	}
	slices.SortStableFunc(out, func(a, b StockCover) int { return a.compare(&b) })
	return out
}

func largestDemand(batches []Batch, part int) (largest bom.Quantity) {
	for i := range batches {
		largest = max(largest, batches[i].Parts[part].Demand)
	}
	return largest
}

// mayRunOut tells whether the cover of a demand is thin: all offers together hold less
// than so many times of it.
func mayRunOut(s *bom.Settings, p *part, demand bom.Quantity) bool {
	held := p.canBuy()
	return held < bom.MaxQuantity && isThin(s, held, demand)
}

// isThin compares with the setting Thin cover.
func isThin(s *bom.Settings, held, demand bom.Quantity) bool {
	return held.Decimal().LessThan(s.ThinCover.Mul(demand.Decimal()))
}

// coverOf computes the cover of one part: the stock of all its offers ÷ the demand.
// Figures are too old where the cover would be thin without those older than the limit.
func coverOf(m *Model, part int, batches []Batch) StockCover {
	p := &m.parts[part]
	c := StockCover{Part: p.Part, index: part, Offers: stockOffers(m, p), Batches: make([]BatchCover, len(batches))}
	recent := bom.Quantity(0)
	oldest := 0
	var sources []string
	for _, o := range c.Offers {
		if o.Most > 0 {
			sources = addNew(sources, bom.Fold(o.Supplier))
		}
		switch {
		case o.Enough:
			c.Enough = true
			continue
		case o.OldDays == 0:
			recent = min(bom.MaxQuantity, recent+o.Most)
		case o.Most > 0:
			oldest = max(oldest, o.OldDays)
		}
		c.Stock = min(bom.MaxQuantity, c.Stock+o.Most)
	}
	for i := range batches {
		b := &c.Batches[i]
		b.Batch, b.Size, b.Demand = batches[i].ID(), batches[i].Size, batches[i].Parts[part].Demand
		if !c.Enough && b.Demand > 0 {
			b.Cover = decimal.NewNullDecimal(timesHeld(c.Stock, b.Demand))
		}
	}
	largest := largestDemand(batches, part)
	c.Sources = len(sources)
	c.FewSources = c.Sources < m.prices.Settings.FewSources
	c.MayRunOut = mayRunOut(&m.prices.Settings, &m.parts[part], largest)
	if !c.Enough && isThin(&m.prices.Settings, recent, largest) {
		c.OldDays = oldest
	}
	return c
}

// timesHeld is how many times a stock holds a demand, cut to two decimals: a cover that is
// under a limit does not show as that limit.
func timesHeld(stock, demand bom.Quantity) decimal.Decimal {
	times, _ := stock.Decimal().QuoRem(demand.Decimal(), 2)
	return times
}

// stockOffers is what suppliers have of a part, in pieces.
func stockOffers(m *Model, p *part) []StockOffer {
	out := make([]StockOffer, len(p.rows))
	for i, row := range p.rows {
		o := &p.offers[i]
		s := &m.supply.list[o.Supplier]
		out[i] = StockOffer{Supplier: s.Name, Code: o.Code, Enough: o.Stock < 0, Most: mostOf(o), AsOf: row.AsOf, LeadDays: s.LeadDays, LeadKnown: s.LeadKnown}
		if !out[i].Enough {
			out[i].Stock = atMost(o.Pieces.Times(o.Stock))
			out[i].OldDays = oldDays(m, row)
		}
	}
	return out
}

// oldDays is the age of the stock of an offer where that is over the limit; else 0.
func oldDays(m *Model, o *bom.Offer) int {
	if o.AsOf.IsZero() || m.run.Today.IsZero() {
		return 0
	}
	if days := o.AsOf.DaysUntil(m.run.Today); days > m.prices.Settings.StockAgeDays {
		return days
	}
	return 0
}

// compare puts thin parts first.
func (c *StockCover) compare(d *StockCover) int {
	return cmp.Or(bom.TrueFirst(c.MayRunOut, d.MayRunOut), c.leastFirst(d, c.MayRunOut), bom.TrueFirst(c.FewSources, d.FewSources),
		bom.TrueFirst(c.OldDays > 0, d.OldDays > 0), c.leastFirst(d, true), cmp.Compare(c.Part.Key, d.Part.Key))
}

// leastFirst puts the lesser cover first, where that counts.
func (c *StockCover) leastFirst(d *StockCover, counts bool) int {
	if !counts {
		return 0
	}
	if c.Enough || d.Enough {
		return bom.TrueFirst(!c.Enough, !d.Enough)
	}
	return c.least().Cmp(d.least())
}

// least is the least cover of all batches.
func (c *StockCover) least() (least decimal.Decimal) {
	first := true
	for _, b := range c.Batches {
		if b.Cover.Valid && (first || b.Cover.Decimal.LessThan(least)) {
			least, first = b.Cover.Decimal, false
		}
	}
	return least
}
