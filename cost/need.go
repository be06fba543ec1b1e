package cost

import (
	"cmp"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/money"
	"tenoff/cost/yield"
)

// share gives a percentage as a share of one, for the statistics of yields.
func share(percent decimal.Decimal) float64 { return percent.Shift(-2).InexactFloat64() }

// countBoards counts what is placed and fitted on a board of each type, as if by an
// assembler.
func countBoards(m *Model) {
	type onSide struct {
		board int
		side  bom.Side
	}
	type partOn struct{ board, part int }
	sides, lines := map[onSide]bool{}, map[partOn]bool{}
	for i := range m.entries {
		e := &m.entries[i]
		if e.Board < 0 {
			continue
		}
		e.fits = classOf(e.Line) == classTHT && m.products[e.Product].fitted(m.prices.Settings.ThroughHole)
		if e.StandsFor > 0 {
			continue
		}
		b, pieces := &m.boards[e.Board], int(e.PerBoard.Ceil())
		on := &b.on[e.Product]
		switch classOf(e.Line) {
		case classSMT:
			if on.entry != b.Entry {
				continue // is what the first product has
			}
			b.Placements += pieces
			b.Joints += pieces * e.Line.Joints.Count
			sides[onSide{e.Board, sideOf(e.Line)}] = true
			lines[partOn{e.Board, e.Part}] = true
		case classTHT:
			on.handParts += pieces
			on.handJoints += pieces * e.Line.Joints.Count
			b.HandParts, b.HandJoints = max(b.HandParts, on.handParts), max(b.HandJoints, on.handJoints)
		}
	}
	checkPlaced(m)
	for s := range sides {
		m.boards[s.board].Sides++
	}
	for l := range lines {
		m.boards[l.board].partLines++
	}
}

// checkPlaced complains where what is machine-placed on a board hangs on the product, by
// the levels of its lines.
func checkPlaced(m *Model) {
	placed := make([]map[bom.Place]bom.Quantity, len(m.boards)*len(m.products))
	for i := range m.entries {
		e := &m.entries[i]
		if e.Board < 0 || e.StandsFor > 0 || classOf(e.Line) != classSMT {
			continue
		}
		at := e.Board*len(m.products) + e.Product
		if placed[at] == nil {
			placed[at] = map[bom.Place]bom.Quantity{}
		}
		placed[at][e.Line.At("")] += e.PerBoard
	}
	for b := range m.boards {
		first := m.entries[m.boards[b].Entry].Product
		for i, on := range m.boards[b].on {
			here, there := placed[b*len(m.products)+i], placed[b*len(m.products)+first]
			if on.perUnit == 0 || maps.Equal(here, there) {
				continue
			}
			line := m.entries[on.entry].Line
			for j := range m.entries { // the first that differs
				e := &m.entries[j]
				at := e.Line.At("")
				if e.Board != b || classOf(e.Line) != classSMT || here[at] == there[at] {
					continue
				}
				in, not := m.products[i].name, m.products[first].name
				if here[at] < there[at] {
					in, not = not, in
				}
				m.problems.Errorf(line.At("Part number"), line.Part, "the line at the same level in both, or a list of its own for one of them that calls the board otherwise",
					"the machine places %s on this board in %s and not in %s, and a board that is populated otherwise is another board", e.Line.Part, in, not)
				break
			}
		}
	}
}

// startsFor is enough(good, yield) at the confidence of the settings.
func startsFor(m *Model, good int, y float64, what string, at bom.Place, problems *bom.Problems) int {
	n, err := yield.Enough(good, y, share(m.prices.Settings.Confidence))
	if err != nil {
		problems.Errorf(at, what, "set a higher yield or a lower confidence", "%v", err)
		return good
	}
	return n
}

// boardYield is the share of boards of a type that come out good.
func boardYield(m *Model, b int) float64 {
	if m.making.asks == nil {
		return 1
	}
	return yield.Board(m.making.asks.DPMO.InexactFloat64(), m.boards[b].Placements+m.boards[b].Joints)
}

// workOutNeeds fills in starts, boards and the need of every line.
func workOutNeeds(m *Model, b *Batch, problems *bom.Problems) {
	s := m.prices.Settings
	for _, n := range m.products.units(m.plan, b.Size) {
		starts := startsFor(m, n, share(s.UnitYield), s.UnitYield.String()+" %", m.prices.SettingPlace("Unit yield %"), problems)
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
				"at most "+bom.MaxQuantity.String()+" in all", "batch %s needs more of this line than can be counted", b.ID())
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

// tieOffers ties the rows of the tab offers, and the spools of the tab materials,
// to the parts of the run.
func tieOffers(m *Model) {
	for i := range m.prices.Offers {
		o := &m.prices.Offers[i]
		if p, ok := m.findOne(o.Part, o.At("Part number")); ok && len(o.Breaks) > 0 { // of the run, and with a price
			m.parts[p].rows = append(m.parts[p].rows, o)
		}
	}
	for i := range m.parts {
		p := &m.parts[i]
		sortOffers(m, p.rows)
		had := len(p.rows)
		p.rows = slices.DeleteFunc(p.rows, func(o *bom.Offer) bool {
			ruledOut := !m.supply.mayOrder(m.supply.index(o.Supplier)) || m.run.Rules.InStockOnly && o.Stock < 0
			return ruledOut && !p.among(m.run.Anywhere) || cannotCut(m, p, o)
		})
		oneRing(m, p)
		p.ruledOut = had > 0 && len(p.rows) == 0
		for _, o := range p.rows {
			p.offers = append(p.offers, buy.Offer{
				Supplier: m.supply.index(o.Supplier), Code: o.Code,
				Currency: o.Currency, Rate: m.supply.rate(o.Currency, o.At("Currency")),
				Pieces: leadsFrom(p, o), MOQ: o.MOQ, Multiple: o.Multiple, Stock: p.stockOf(m, o), Breaks: o.Breaks,
				LineFee: o.LineFee, Heading: bom.NormalHeading(o.Heading), Duty: o.Duty,
				Worth: decimal.NewNullDecimal(worthOf(m.prices, o.Worth, setWorth, o.Origin).Percent),
			})
		}
	}
}

// tieStock ties the rows of the tab on hand to parts.
func tieStock(m *Model) {
	for i := range m.prices.OnHand {
		oh := &m.prices.OnHand[i]
		if p, ok := m.findOne(oh.Part, oh.At("Part number")); ok {
			same := slices.IndexFunc(m.parts[p].onHand, func(o *bom.OnHand) bool {
				return o.UnitValue.Equal(oh.UnitValue) && bom.Fold(o.GivenBy) == bom.Fold(oh.GivenBy)
			})
			if same >= 0 {
				m.problems.Errorf(oh.At("Part number"), oh.Part, "keep one row for it", "the part stands twice with this unit value and giver, here and in row %d, spelt otherwise",
					m.parts[p].onHand[same].At("Part number").Row)
				continue
			}
			m.parts[p].onHand = append(m.parts[p].onHand, oh)
		}
	}
}

// onHandOf is how much some rows of the tab on hand hold.
func onHandOf(rows []*bom.OnHand) (sum bom.Quantity) {
	for _, oh := range rows {
		sum = min(bom.MaxQuantity, sum+oh.Quantity)
	}
	return sum
}

// sortOffers puts the rows of the tab offers in an order that does not depend
// on where they stand in the sheet.
func sortOffers(m *Model, rows []*bom.Offer) {
	key := func(o *bom.Offer) string { return m.supply.keys[m.supply.index(o.Supplier)] }
	slices.SortStableFunc(rows, func(a, b *bom.Offer) int {
		return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(a.Code, b.Code))
	})
}

// apportioned shares a number out by weights (largest remainder).
func apportioned(n int, weights []int) []int {
	by, out := make([]decimal.Decimal, len(weights)), make([]int, len(weights))
	for i, w := range weights {
		by[i] = decimal.NewFromInt(int64(w))
	}
	for i, share := range money.Apportion(decimal.NewFromInt(int64(n)), by, 0) {
		out[i] = int(share.IntPart())
	}
	return out
}

// units are the good units of each product in a batch of so many: as the plan has them
// where that comes to the batch, else in proportion (largest remainder).
func (ps productList) units(plan *bom.Plan, size int) []int {
	if len(ps) == 1 {
		return []int{size}
	}
	return apportioned(size, plan.Units)
}
