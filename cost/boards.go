package cost

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/lots"
)

// sortQuotes sorts the rows of the tab boards under the board types of the run.
func sortQuotes(m *Model) {
	m.bareBoards = make([]bareBoard, len(m.boards))
	only := bom.Fold(m.prices.Settings.Fabricator)
	for i := range m.prices.Quotes {
		q := m.prices.Quotes[i]
		b := boardNamed(m.boards, q.Board)
		if b < 0 || only != "" && bom.Fold(fabricatorOf(&m.prices.Settings, q)) != only || !m.supply.mayOrder(m.supply.of[bom.Fold(fabricatorOf(&m.prices.Settings, q))]) {
			continue
		}
		m.bareBoards[b].add(sizePanel(m, q), fabricatorOf(&m.prices.Settings, q))
		m.supply.rate(q.Currency, q.At("Currency"))
	}
	for _, oh := range bom.Refs(m.prices.OnHand) {
		if b := boardNamed(m.boards, oh.Part); b >= 0 {
			m.bareBoards[b].onHand = append(m.bareBoards[b].onHand, oh)
		}
	}
	for b := range m.bareBoards {
		slices.SortFunc(m.bareBoards[b].variants, func(a, c variant) int {
			return cmp.Or(cmp.Compare(bom.Fold(a.fabricator), bom.Fold(c.fabricator)), cmp.Compare(a.option, c.option))
		})
		for v := range m.bareBoards[b].variants {
			checkWorth(m, &m.bareBoards[b].variants[v])
			prepareLots(m, &m.bareBoards[b].variants[v])
		}
	}
}

func (bb *bareBoard) add(q bom.Quote, fabricator string) {
	i := slices.IndexFunc(bb.variants, func(v variant) bool {
		return bom.Fold(v.fabricator) == bom.Fold(fabricator) && v.option == q.Option
	})
	if i < 0 {
		i = len(bb.variants)
		bb.variants = append(bb.variants, variant{fabricator: fabricator, option: q.Option})
	}
	if q.Lot == 0 {
		bb.variants[i].area = &q
	} else {
		bb.variants[i].lots = append(bb.variants[i].lots, q)
	}
}

// checkWorth complains of quotes that are bought together and are worth something else
// where boards are left over.
func checkWorth(m *Model, v *variant) {
	all := slices.Clone(v.lots)
	if v.area != nil {
		all = append(all, *v.area)
	}
	for _, q := range all[1:] {
		first := all[0].Worth
		if q.Worth.Valid != first.Valid || !q.Worth.Decimal.Equal(first.Decimal) {
			m.problems.Errorf(q.At("Surplus worth %"), q.Worth.Decimal.String(), "the same for all lots of the board, or another Option",
				"the surplus worth of the board differs from that in %s", all[0].At("Surplus worth %").Cell())
			return
		}
	}
}

// lotScale is fine enough that two lots which differ in price do so here too.
const lotScale = 6

// maxLotPrice keeps sums of lot prices within int64.
var maxLotPrice = decimal.NewFromInt(1_000_000)

// prepareLots prices the lots of a variant at home.
func prepareLots(m *Model, v *variant) {
	slices.SortFunc(v.lots, func(a, b bom.Quote) int { return cmp.Or(cmp.Compare(a.Lot, b.Lot), a.Price.Cmp(b.Price)) })
	v.lots = slices.CompactFunc(v.lots, func(a, b bom.Quote) bool { return a.Lot == b.Lot && a.AtMost == 0 && b.AtMost == 0 })
	priced := make([]lots.Lot, len(v.lots))
	for i, q := range v.lots {
		home := q.Price.Mul(m.supply.rate(q.Currency, q.At("Currency")))
		if home.GreaterThan(maxLotPrice) {
			m.problems.Errorf(q.At("Price"), q.Price.String(), "at most "+maxLotPrice.String()+" in home currency for one lot", "price of the lot is too large")
			return
		}
		priced[i] = lots.Lot{Holds: q.Lot, Price: home.Shift(lotScale).Round(0).IntPart(), AtMost: q.AtMost}
	}
	v.cover = lots.New(priced)
}

// buyBoards gives the cheapest way to buy n boards of type b from each
// fabricator, the cheapest first: lots of one option, or set-up and area.
// Without a quote that fits the problem names what is missing.
func buyBoards(m *Model, b int, n int64) ([]boardOrder, *bom.Problem) {
	var out []boardOrder
	for i, v := range bom.Refs(m.bareBoards[b].variants) {
		var best *boardOrder
		if v.cover.Can(n) {
			best = cheaper(best, lotOrder(m, b, i, n))
		}
		if v.area != nil {
			best = cheaper(best, areaOrder(m, b, i, n))
		}
		if best == nil {
			continue // its lots are sold too few times
		}
		at := slices.IndexFunc(out, func(o boardOrder) bool { return o.supplier == best.supplier })
		if at < 0 {
			out = append(out, *best)
		} else {
			out[at] = *cheaper(&out[at], *best)
		}
	}
	if len(out) == 0 {
		return nil, m.noQuote(b, n)
	}
	slices.SortStableFunc(out, boardOrder.compare)
	return out, nil
}

// compare puts the cheaper order first; of equal ones that with fewer boards
// over, then that with fewer lines.
func (o boardOrder) compare(p boardOrder) int {
	return cmp.Or(o.cash.Cmp(p.cash), cmp.Compare(o.held, p.held), cmp.Compare(len(o.purchases), len(p.purchases)))
}

func cheaper(a *boardOrder, b boardOrder) *boardOrder {
	if a == nil || b.compare(*a) < 0 {
		return &b
	}
	return a
}

// lotOrder buys boards in lots.
func lotOrder(m *Model, b, variant int, n int64) (o boardOrder) {
	v := &m.bareBoards[b].variants[variant]
	for i, count := range v.cover.Counts(n) {
		if count > 0 {
			q := v.lots[i]
			addBoards(m, &o, b, v, q, Purchase{
				Quantity: count, Pieces: bom.Whole(q.Lot), UnitPrice: q.Price, Place: q.At("Price"), variant: variant, choice: i,
			})
		}
	}
	return o
}

// areaOrder prices boards by their area: set-up + dm² × rate for each.
func areaOrder(m *Model, b, variant int, n int64) (o boardOrder) {
	v := &m.bareBoards[b].variants[variant]
	addBoards(m, &o, b, v, *v.area, Purchase{
		Quantity: n, Pieces: bom.One, SetUp: v.area.SetUp, UnitPrice: areaPrice(*v.area), Place: v.area.At("Per dm2"), variant: variant, choice: byArea,
	})
	return o
}

func addBoards(m *Model, o *boardOrder, b int, v *variant, q bom.Quote, p Purchase) {
	o.supplier = m.supply.of[bom.Fold(v.fabricator)]
	p.Kind, p.Supplier, p.OrderCode, p.Part, p.Index = Lots, m.supply.list[o.supplier].Name, v.option, m.boards[b].Name, b
	p.Currency, p.AsOf = q.Currency, q.AsOf
	if q.LengthMM.Known && q.WidthMM.Known {
		p.SizeMM = fmt.Sprintf("%g × %g mm", q.LengthMM.Value, q.WidthMM.Value)
	}
	p.Goods, p.Cash = paidFor(m, p.SetUp, p.UnitPrice, p.Quantity, q.Currency)
	o.purchases = append(o.purchases, p)
	o.cash = o.cash.Add(p.Cash)
	o.own = o.own.Add(inOwnCurrency(m, p.Currency, p.Goods, p.Cash, m.supply.list[o.supplier].Currency))
	o.held += p.Quantity * p.Pieces.Ceil()
}

func (m *Model) noQuote(b int, n int64) *bom.Problem {
	at := m.entries[m.boards[b].Entry].Line.At("Part number")
	p := &bom.Problem{
		Place: at, Severity: m.run.gap(), Found: m.boards[b].Name, Each: m.boards[b].Name,
		What: "no price for the bare board",
		Want: "give it the price of a lot, or set-up and rate, in the tab boards",
	}
	if most := m.bareBoards[b].mostInLots(); most > 0 {
		p.What = fmt.Sprintf("the lots that are quoted hold %s boards at most, and %s are to be bought", bom.GroupedCount(most), bom.GroupedCount(n))
		p.Want = "a lot without At most, or set-up and rate, in the tab boards"
		return p
	}
	var largest *bom.Quote
	settings, ruledOut := &m.prices.Settings, false
	for i, q := range m.prices.Quotes {
		if bom.ExactKey(q.Board) != bom.ExactKey(m.boards[b].Name) {
			continue
		}
		from := bom.Fold(fabricatorOf(settings, q))
		wanted := settings.Fabricator == "" || from == bom.Fold(settings.Fabricator)
		ruledOut = ruledOut || wanted && !m.supply.mayOrder(m.supply.of[from])
		if largest == nil || q.Lot > largest.Lot {
			largest = &m.prices.Quotes[i]
		}
	}
	if ruledOut {
		p.What, p.Want = "every price for the bare board is ruled out", "another fabricator, or a looser rule"
	} else if largest != nil {
		p.What += fmt.Sprintf(" from %s; the largest lot quoted elsewhere is %d, by %s",
			settings.Fabricator, largest.Lot, fabricatorOf(settings, *largest))
		p.Want = "quote it there too, or change the setting Board fabricator"
	} else {
		p.Hint = suggest(p.Found, bom.Each(m.prices.Quotes, func(q *bom.Quote) string { return q.Board }))
	}
	return p
}

// mostInLots is the most boards that the lots of one quote hold.
func (bb *bareBoard) mostInLots() (most int64) {
	for i := range bb.variants {
		most = max(most, bb.variants[i].cover.Limited())
	}
	return most
}
