package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
	"tenoff/cost/yield"
)

// begin works out what a batch needs.
func (m *Model) begin(size int) (b Batch, problems bom.Problems) {
	b = m.unbegun(size)
	b.Making = m.madeBy()
	workOutNeeds(m, &b, &problems)
	return b, problems
}

// unbegun is a batch of so many units, which may be a plan.
func (m *Model) unbegun(size int) Batch {
	if m.plan == nil || m.plan.All() != size {
		return Batch{Size: size}
	}
	alike := func(p bom.Plan) bool { return p.Name != m.plan.Name && p.All() == size }
	return Batch{Size: size, Name: m.plan.Name, alike: slices.ContainsFunc(m.run.Programme.Plans, alike)}
}

// id tells a batch of so many units from the others of the run.
func (m *Model) id(size int) BatchID {
	b := m.unbegun(size)
	return b.ID()
}

// workOutNeeds fills in starts, boards and the need of every line.
func workOutNeeds(m *Model, b *Batch, problems *bom.Problems) {
	s := m.prices.Settings
	for _, n := range m.products.units(m.plan, b.Size) {
		starts := startsFor(m, n, fraction(s.UnitYield), s.UnitYield.String()+" %", m.prices.SettingPlace("Unit yield %"), problems)
		b.Products = append(b.Products, ProductRun{Size: n, Starts: starts})
		b.Starts += starts
	}
	b.Boards = make([]BoardRun, len(m.boards))
	for i, board := range m.boards {
		if len(board.Holds) > 0 {
			continue
		}
		r := &b.Boards[i]
		for p := range b.Products {
			r.Wanted += b.Products[p].Starts * board.on[p].perUnit
		}
		r.Yield = boardYield(m, i)
		r.Starts = startsFor(m, r.Wanted, r.Yield, board.Name, m.entries[board.Entry].Line.At("Part number"), problems)
	}
	onPanels(m, b, problems)
	shareBoards(m, b)
	for i := range b.Boards {
		on := i
		if p := b.Boards[i].Panel; p > 0 {
			on = p - 1
		}
		if q := m.making.quotes[on]; q != nil {
			b.Boards[i].Provided, b.Boards[i].HandFit = q.included, q.handFit
		}
	}
	b.Needs = make([]bom.Quantity, len(m.entries))
	for i, e := range m.entries {
		perPiece, times := e.PerUnit, int64(b.Products[e.Product].Starts)
		switch {
		case e.onlyBareBoard():
			perPiece, times = bom.One, int64(b.Boards[e.Board].Of[e.Product])
		case m.making.provided(&m.entries[i]):
			continue
		case m.making.placed(&m.entries[i]):
			perPiece, times = e.PerBoard, int64(b.Boards[e.Board].Of[e.Product])
		}
		need, ok := perPiece.Times(times)
		if !ok {
			problems.Errorf(e.Line.At("Quantity"), e.Line.Quantity.String(),
				"at most "+bom.MaxQuantity.String()+" in all", "batch %s needs more of this line than can be counted", b.ID().Shown())
		}
		b.Needs[i] = need
	}
	takeSubstitutes(m, b)
	countPartLines(m, b)
}

// shareBoards shares the boards that are begun out over the products, by what each wants
// (largest remainder).
func shareBoards(m *Model, b *Batch) {
	for i := range b.Boards {
		if len(m.boards[i].Holds) > 0 {
			continue
		}
		wanted := make([]int, len(b.Products))
		for p := range wanted {
			wanted[p] = b.Products[p].Starts * m.boards[i].on[p].perUnit
		}
		b.Boards[i].Of = apportioned(b.Boards[i].Starts, wanted)
	}
}

// units are the good units of each product in a batch of so many: as the plan has them
// where that comes to the batch, else in proportion (largest remainder).
func (ps productList) units(plan *bom.Plan, size int) []int {
	if len(ps) == 1 {
		return []int{size}
	}
	return apportioned(size, plan.Units)
}

// apportioned shares a number out by weights (largest remainder).
func apportioned(n int, weights []int) []int {
	by := bom.Each(weights, func(w *int) decimal.Decimal { return decimal.NewFromInt(int64(*w)) })
	shares := money.Apportion(decimal.NewFromInt(int64(n)), by, 0)
	return bom.Each(shares, func(share *decimal.Decimal) int { return int(share.IntPart()) })
}

// boardYield is the share of boards of a type that come out good.
func boardYield(m *Model, b int) float64 {
	if m.making.asks == nil {
		return 1
	}
	return yield.Board(m.making.asks.DPMO.InexactFloat64(), m.boards[b].Placements+m.boards[b].Joints)
}

// startsFor is enough(good, yield) at the confidence of the settings.
func startsFor(m *Model, good int, y float64, what string, at bom.Place, problems *bom.Problems) int {
	n, err := yield.Enough(good, y, fraction(m.prices.Settings.Confidence))
	if err != nil {
		problems.Errorf(at, what, "set a higher yield or a lower confidence", "%v", err)
		return good
	}
	return n
}

// fraction gives a percentage as a share of one, for the statistics of yields.
func fraction(percent decimal.Decimal) float64 { return percent.Shift(-2).InexactFloat64() }
