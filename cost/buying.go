package cost

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// stateNeeds states all that the purchases rest on.
func stateNeeds(s *sums) {
	statePrinting(s)
	boardDemands(s)
	stateDemands(s)
	stateAssembly(s)
}

// purchasing is how a batch is bought.
type purchasing struct {
	plan     buy.Plan
	boards   []boardOrder
	bound    decimal.Decimal // no choice of fabricators lands below it
	effort   int64           // that the plan was given
	lacking  []boardsWanted  // boards that nobody quotes
	problems bom.Problems
	full     int  // plans that the bounds did not settle
	above    bool // no plan lands under what was asked for
}

// boardsWanted are bare boards of a type.
type boardsWanted struct {
	board int
	count int64
}

// open tells whether something cannot be bought.
func (d *purchasing) open() bool {
	return d.plan.TooFewOrders || len(d.plan.Short) > 0 || len(d.lacking) > 0
}

// choosePurchases decides on the purchases of the batch. Bare boards and assembly count
// towards their suppliers' orders, so the plan over all parts is made for each choice of
// fabricators, and the choice with the least landed cash holds. Of those after the first
// the bounds settle most: only what lands under the best so far, and under a given amount,
// is of interest. The effort is shared out over the choices.
func choosePurchases(m *Model, s *sums, out *purchasing, ways [][]boardOrder, under decimal.NullDecimal, effort int64) error {
	b := s.b
	all, every := combinations(ways)
	if !every {
		out.problems.Warnf(m.prices.SettingPlace("Board fabricator"), "", "a Board fabricator, or fewer quotes",
			"more than %d choices of fabricators are not planned one by one; the price of each board alone decides", combinationsAtMost)
	}
	best := buy.Plan{TooFewOrders: true}
	left, chosen := effort, false
	for i, orders := range all {
		m.solver.Effort, m.solver.Under = max(1, left/int64(len(all)-i)), under
		plan, err := m.solver.Solve(demandsAndFixed(m, b, orders))
		if err != nil {
			return err
		}
		left = max(0, left-plan.Steps)
		if plan.NotUnder {
			continue
		}
		out.full++
		if !plan.TooFewOrders && (!chosen || best.TooFewOrders || plan.Bound.LessThan(out.bound)) {
			out.bound = plan.Bound
		}
		if !chosen || best.TooFewOrders && !plan.TooFewOrders || best.TooFewOrders == plan.TooFewOrders && plan.Landed.LessThan(best.Landed) {
			best, out.boards, out.effort, chosen = plan, orders, m.solver.Effort, true
			if !plan.TooFewOrders {
				under = decimal.NewNullDecimal(plan.Landed)
			}
		}
	}
	m.solver.Under = decimal.NullDecimal{}
	out.plan, out.above = best, !chosen
	return nil
}

// enterPurchases makes the purchases that were decided on those of the batch.
func enterPurchases(m *Model, s *sums, d *purchasing, problems *bom.Problems) {
	b := s.b
	*problems = append(*problems, d.problems...)
	for _, l := range d.lacking {
		openBoards(m, b, l.board, l.count)
	}
	b.effort = d.effort
	if d.plan.TooFewOrders {
		tellTooFew(m, s, d.plan, problems)
		return
	}
	b.Proven, b.Bound, b.Landed, b.boards = d.bound.Equal(d.plan.Landed), d.bound, d.plan.Landed, d.boards
	for _, o := range d.boards {
		b.Purchases = append(b.Purchases, o.purchases...)
	}
	tellShortages(m, b, d.plan, problems)
	enterLines(m, b, d.plan)
}

// demandsAndFixed states a batch for the solver: what it needs of each part, what it takes
// of that, and what stands on each order already when the boards are bought in a certain way.
func demandsAndFixed(m *Model, b *Batch, boards []boardOrder) (demand, taken []bom.Quantity, fixed []buy.Fixed) {
	fixed = make([]buy.Fixed, len(m.supply.list))
	for _, o := range boards {
		enter(&fixed[o.supplier], o.own, o.cash)
	}
	for i := range b.Fees {
		if f := &b.Fees[i]; f.Kind == AssemblyFee {
			enter(&fixed[m.making.assembler], inOwnCurrency(m, f.Currency, f.Amount, f.Cash, m.supply.list[m.making.assembler].Currency), f.Cash)
			fixed[m.making.assembler].Sent = fixed[m.making.assembler].Sent.Add(b.Boards[f.Index].Stock)
		}
	}
	if m.making.assembler >= 0 && m.supply.list[m.making.assembler].PartsSent {
		sendFixed(m, b, boards, &fixed[m.making.assembler])
	}
	m.solver.Unwanted = nil
	if m.swapped != nil || len(m.products) > 1 { // else every part is needed
		m.solver.Unwanted = make([]bool, len(m.parts))
		for i := range b.Parts {
			m.solver.Unwanted[i] = b.Parts[i].Need == 0
		}
	}
	m.solver.Brought = nil
	demand, taken = make([]bom.Quantity, len(m.parts)), make([]bom.Quantity, len(m.parts))
	for i := range demand {
		if b.Parts[i].OnHand > 0 && m.parts[i].sent {
			if m.solver.Brought == nil {
				m.solver.Brought = make([]bool, len(m.parts))
			}
			m.solver.Brought[i] = true
		}
		demand[i], taken[i] = b.Parts[i].Demand, b.Parts[i].Takes
	}
	return demand, taken, fixed
}

// sendFixed adds what is sent to the assembler whatever is bought of parts: boards of
// others, and parts that are on hand.
func sendFixed(m *Model, b *Batch, boards []boardOrder, to *buy.Fixed) {
	for _, o := range boards {
		for i := range o.purchases {
			if p := &o.purchases[i]; o.supplier != m.making.assembler && m.sentToAssembler(p) {
				to.Sent = to.Sent.Add(p.Cash)
			}
		}
	}
	for i := range m.parts {
		if m.parts[i].sent {
			to.Sent = to.Sent.Add(b.Parts[i].Stock)
		}
	}
}

// boardWays gives, for each board type that has to be bought, the cheapest
// order from each fabricator, the cheapest first.
func boardWays(m *Model, s *sums, out *purchasing) (ways [][]boardOrder) {
	for i := range s.boards {
		n := s.Value(s.boards[i].demand).IntPart()
		if n == 0 {
			continue
		}
		orders, missing := buyBoards(m, i, n)
		if missing != nil {
			out.problems.Add(*missing)
			out.lacking = append(out.lacking, boardsWanted{i, n})
			continue
		}
		ways = append(ways, orders)
	}
	return ways
}

// combinationsAtMost bounds how many choices of fabricators are planned; beyond,
// the boards' own price decides.
const combinationsAtMost = 64

// combinations lists every way to take one of each list, the first of each
// first. Of too many only that first one is left, and every is false.
func combinations(ways [][]boardOrder) (out [][]boardOrder, every bool) {
	out, every = [][]boardOrder{{}}, true
	count := 1
	for _, w := range ways {
		if count *= len(w); count > combinationsAtMost {
			count, every = 1, false
			break
		}
	}
	for _, w := range ways {
		if count == 1 {
			w = w[:1]
		}
		var longer [][]boardOrder
		for _, before := range out {
			for _, o := range w {
				longer = append(longer, append(before[:len(before):len(before)], o))
			}
		}
		out = longer
	}
	return out, every
}

// enter puts goods that are decided already on a supplier's order.
func enter(f *buy.Fixed, own, home decimal.Decimal) {
	f.Ordered = true
	f.Amount = f.Amount.Add(own)
	f.Home = f.Home.Add(home)
}

// prepareBuying states what is to be bought, and where it can be, as a problem
// whose demands come with each batch.
func prepareBuying(m *Model) {
	if m.problems.Failed() {
		return
	}
	parts := bom.Each(m.parts, func(p *part) buy.Part { return buy.Part{Name: p.Key, Offers: p.offers, Machine: p.sent} })
	solver, err := buy.New(buy.Problem{
		Home: m.home, CIF: m.prices.Settings.CIF, TaxRecovered: m.prices.Settings.TaxRecovered,
		Suppliers: m.buyers, Parts: parts, Assembler: m.making.assembler,
		AtMost: m.run.Rules.AtMost, Effort: m.run.Effort, Stop: m.run.Stop,
	})
	if err != nil {
		m.problems.Errorf(bom.Place{File: m.prices.Name}, "", "figures within reach", "purchases cannot be planned: %v", err)
	}
	m.solver = solver
}

// enterLines takes the plan's lines over as purchases, part by part.
func enterLines(m *Model, b *Batch, plan buy.Plan) {
	b.Purchases = slices.Grow(b.Purchases, len(plan.Lines))
	for first := 0; first < len(plan.Lines); {
		i, at := plan.Lines[first].Part, len(b.Purchases)
		for ; first < len(plan.Lines) && plan.Lines[first].Part == i; first++ {
			b.Purchases = append(b.Purchases, Purchase{})
			enterLine(m, &b.Purchases[len(b.Purchases)-1], i, &plan.Lines[first])
		}
		if lines := b.Purchases[at:]; len(lines) == 1 {
			lines[0].Remark = moreThanNeeded(m, &lines[0], b.Parts[i].Demand)
		}
	}
}

// enterLine writes a line of the plan down as a purchase of a part. Purchases are
// large and many, so that it is done in place.
func enterLine(m *Model, to *Purchase, i int, l *buy.Line) {
	p := &m.parts[i]
	o := &p.offers[l.Offer]
	at := breakAt(o.Breaks, l.Quantity)
	to.Kind, to.Supplier, to.OrderCode, to.Part, to.Index = kindOf(p), m.supply.list[o.Supplier].Name, o.Code, p.Key, i
	to.Quantity, to.Pieces, to.UnitPrice, to.Currency = l.Quantity, o.Pieces, at.Price, o.Currency
	to.Cash, to.Place, to.choice = l.Home, at.At(at.Heading), l.Offer
	if p.Unit == grams {
		to.AsOf = p.spools[l.Offer].AsOf
	} else {
		to.offer = p.rows[l.Offer]
		to.AsOf = to.offer.AsOf
	}
}

// moreThanNeeded says why more is ordered of a part than its demand asks for:
// because more costs less, or because the order is then spared a charge.
func moreThanNeeded(m *Model, l *Purchase, demand bom.Quantity) string {
	o := &m.parts[l.Index].offers[l.choice]
	least := max(o.MOQ, o.Breaks[0].From, int64((demand+o.Pieces-1)/o.Pieces))
	if multiple := max(1, o.Multiple); least%multiple != 0 {
		least += multiple - least%multiple
	}
	if l.Quantity <= least {
		return ""
	}
	_, bare := paidFor(m, o.LineFee, breakAt(o.Breaks, least).Price, least, o.Currency)
	switch l.Cash.Cmp(bare) {
	case -1:
		return fmt.Sprintf("%d more than needed: the price is lower", l.Quantity-least)
	case 0:
		return fmt.Sprintf("%d more than needed: they cost the same", l.Quantity-least)
	}
	return fmt.Sprintf("%d more than needed: the order is spared a charge", l.Quantity-least)
}

// breakAt is the row whose price holds for a quantity.
func breakAt(breaks []bom.Break, q int64) *bom.Break {
	best := 0
	for i := range breaks {
		if breaks[i].From <= q {
			best = i
		}
	}
	return &breaks[best]
}
