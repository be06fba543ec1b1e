package cost

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// sortQuotes sorts the rows of the tab boards under the board types of the run.
func sortQuotes(m *Model) {
	m.bareBoards = make([]bareBoard, len(m.boards))
	boardOf := map[string]int{}
	for b := range m.boards {
		boardOf[bom.ExactKey(m.boards[b].Name)] = b
	}
	only := bom.Fold(m.prices.Settings.Fabricator)
	for i := range m.prices.Quotes {
		q := m.prices.Quotes[i]
		b, ok := boardOf[bom.ExactKey(q.Board)]
		if !ok || only != "" && bom.Fold(fabricatorOf(&m.prices.Settings, q)) != only || !m.supply.mayOrder(m.supply.of[bom.Fold(fabricatorOf(&m.prices.Settings, q))]) {
			continue
		}
		m.bareBoards[b].add(sizePanel(m, q), fabricatorOf(&m.prices.Settings, q))
		m.supply.rate(q.Currency, q.At("Currency"))
	}
	for i := range m.prices.OnHand {
		oh := &m.prices.OnHand[i]
		if b, ok := boardOf[bom.ExactKey(oh.Part)]; ok {
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

func (c coverage) compare(d coverage) int {
	return cmp.Or(cmp.Compare(c.cost, d.cost), cmp.Compare(c.held, d.held), cmp.Compare(c.count, d.count))
}

// lotScale is fine enough that two lots which differ in price do so here too.
const lotScale = 6

// maxLotPrice keeps sums of lot prices within int64.
var maxLotPrice = decimal.NewFromInt(1_000_000)

// prepareLots prices the lots of a variant at home.
func prepareLots(m *Model, v *variant) {
	slices.SortFunc(v.lots, func(a, b bom.Quote) int { return cmp.Or(cmp.Compare(a.Lot, b.Lot), a.Price.Cmp(b.Price)) })
	v.lots = slices.CompactFunc(v.lots, func(a, b bom.Quote) bool { return a.Lot == b.Lot && a.AtMost == 0 && b.AtMost == 0 })
	v.prices = make([]int64, len(v.lots))
	for i, q := range v.lots {
		home := q.Price.Mul(m.supply.rate(q.Currency, q.At("Currency")))
		if home.GreaterThan(maxLotPrice) {
			m.problems.Errorf(q.At("Price"), q.Price.String(), "at most "+maxLotPrice.String()+" in home currency for one lot", "price of the lot is too large")
			return
		}
		v.prices[i] = home.Shift(lotScale).Round(0).IntPart()
		best := v.lots[v.best]
		if best.AtMost > 0 && q.AtMost == 0 || (q.AtMost == 0 || best.AtMost > 0) && v.prices[i]*best.Lot < v.prices[v.best]*q.Lot {
			v.best = i // of lots that are sold any number of times, where there are some
		}
	}
}

// limited is how many boards the lots hold that are sold so many times at most.
func (v *variant) limited() (boards int64) {
	for _, q := range v.lots {
		boards += q.AtMost * q.Lot
	}
	return boards
}

// holds tells whether lots can hold n boards.
func (v *variant) holds(n int64) bool {
	return len(v.lots) > 0 && (v.lots[v.best].AtMost == 0 || v.limited() >= n)
}

// tabled is up to how many boards covers are looked up: beyond, the best lot fills up.
func (v *variant) tabled() int64 {
	if v.lots[v.best].AtMost > 0 {
		return v.limited()
	}
	return v.limited() + v.lots[v.best].Lot*v.lots[len(v.lots)-1].Lot
}

// coverAll works the cheapest cover for 0, 1, …, n boards out. With lots that are sold so
// many times at most it takes one lot after the other (a bounded knapsack; Martello and
// Toth, Knapsack Problems, 1990, cited from memory).
func (v *variant) coverAll(n int64) (table []coverage, took [][]int32) {
	table = make([]coverage, n+1)
	if v.limited() == 0 {
		for k := int64(1); k <= n; k++ {
			for i, q := range v.lots {
				before := table[max(0, k-q.Lot)]
				c := coverage{before.cost + v.prices[i], before.held + q.Lot, before.count + 1, int32(i)}
				if i == 0 || c.compare(table[k]) < 0 {
					table[k] = c
				}
			}
		}
		return table, nil
	}
	for k := range table[1:] {
		table[k+1].cost = beyondCover
	}
	took = make([][]int32, len(v.lots))
	for i := range v.lots {
		table, took[i] = v.coverLot(i, table)
	}
	return table, took
}

// beyondCover is the cost of what no lots cover.
const beyondCover = int64(1) << 60

// coverLot takes one lot more into the covers: as often as it is sold.
func (v *variant) coverLot(i int, before []coverage) (table []coverage, took []int32) {
	table, took = slices.Clone(before), make([]int32, len(before))
	q := v.lots[i]
	for k := int64(1); k < int64(len(table)); k++ {
		try := func(from coverage, times, in int32) {
			c := coverage{from.cost + int64(times)*v.prices[i], from.held + int64(times)*q.Lot, from.count + times, 0}
			if from.cost < beyondCover && c.compare(table[k]) < 0 {
				table[k], took[k] = c, in
			}
		}
		if q.AtMost == 0 { // one more than the cover of so many boards less
			less := max(0, k-q.Lot)
			try(table[less], 1, took[less]+1)
			continue
		}
		for times := int64(1); times <= q.AtMost && (times-1)*q.Lot < k; times++ {
			try(before[max(0, k-times*q.Lot)], int32(times), int32(times))
		}
	}
	return table, took
}

// counts gives how many of each lot hold n boards most cheaply.
//
// Beyond what is tabled the lot with the lowest price per board fills up: besides those
// that are sold so many times at most, among as many other lots as it holds boards, some
// add up to a multiple of it and can be replaced by it at no higher price.
func (v *variant) counts(n int64) []int64 {
	counts := make([]int64, len(v.lots))
	best := v.lots[v.best].Lot
	if over := n - v.tabled(); over > 0 {
		bulk := (over + best - 1) / best
		counts[v.best] += bulk
		n -= bulk * best
	}
	table, took := v.cover, v.took
	if int64(len(table)) <= n {
		table, took = v.coverAll(n)
	}
	if took == nil {
		for k := n; k > 0; {
			i := table[k].last
			counts[i]++
			k = max(0, k-v.lots[i].Lot)
		}
		return counts
	}
	for i := len(v.lots) - 1; i >= 0; i-- {
		times := int64(took[i][n])
		counts[i] += times
		n = max(0, n-times*v.lots[i].Lot)
	}
	return counts
}

// buyBoards gives the cheapest way to buy n boards of type b from each
// fabricator, the cheapest first: lots of one option, or set-up and area.
// Without a quote that fits the problem names what is missing.
func buyBoards(m *Model, b int, n int64) ([]boardOrder, *bom.Problem) {
	var out []boardOrder
	for i := range m.bareBoards[b].variants {
		v := &m.bareBoards[b].variants[i]
		var best *boardOrder
		if v.holds(n) {
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

func lotOrder(m *Model, b, variant int, n int64) boardOrder {
	v := &m.bareBoards[b].variants[variant]
	o := boardOrder{supplier: m.supply.of[bom.Fold(v.fabricator)]}
	for i, count := range v.counts(n) {
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
func areaOrder(m *Model, b, variant int, n int64) boardOrder {
	v := &m.bareBoards[b].variants[variant]
	o := boardOrder{supplier: m.supply.of[bom.Fold(v.fabricator)]}
	q := *v.area
	addBoards(m, &o, b, v, q, Purchase{
		Quantity: n, Pieces: bom.One, SetUp: q.SetUp, UnitPrice: areaPrice(q), Place: q.At("Per dm2"),
		variant: variant, choice: byArea,
	})
	return o
}

func addBoards(m *Model, o *boardOrder, b int, v *variant, q bom.Quote, p Purchase) {
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

// mostInLots is the most boards that the lots of one quote hold.
func (bb *bareBoard) mostInLots() (most int64) {
	for i := range bb.variants {
		most = max(most, bb.variants[i].limited())
	}
	return most
}

func (m *Model) noQuote(b int, n int64) *bom.Problem {
	at := m.entries[m.boards[b].Entry].Line.At("Part number")
	p := &bom.Problem{
		Place: at, Severity: m.run.gap(), Found: m.boards[b].Name, Each: m.boards[b].Name,
		What: "no price for the bare board",
		Want: "give it the price of a lot, or set-up and rate, in the tab boards",
	}
	if most := m.bareBoards[b].mostInLots(); most > 0 {
		p.What = fmt.Sprintf("the lots that are quoted hold %d boards at most, and %d are to be bought", most, n)
		p.Want = "a lot without At most, or set-up and rate, in the tab boards"
		return p
	}
	var largest *bom.Quote
	for i, q := range m.prices.Quotes {
		if bom.ExactKey(q.Board) == bom.ExactKey(m.boards[b].Name) && (largest == nil || q.Lot > largest.Lot) {
			largest = &m.prices.Quotes[i]
		}
	}
	if largest != nil {
		p.What += fmt.Sprintf(" from %s; the largest lot quoted elsewhere is %d, by %s",
			m.prices.Settings.Fabricator, largest.Lot, fabricatorOf(&m.prices.Settings, *largest))
		p.Want = "quote it there too, or change the setting Board fabricator"
	}
	return p
}
