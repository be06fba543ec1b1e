package cost

import (
	"cmp"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// Batch computes one batch size. Of several ways to have the boards made it takes the one
// of the least landed cash. Errors among the problems mean that the batch cannot be made as
// the input stands; the batch then holds what is known.
func (m *Model) Batch(size int) (Batch, bom.Problems) {
	if m.undecided() {
		return batchWithSubstitutes(m, size)
	}
	if m.ways == nil {
		return m.batch(size, nil, nil)
	}
	all := m.weighAll(size, nil)
	best := cheapestMaking(m.run.Effort, all)
	if best == nil {
		return m.ways[0].batch(size, nil, nil)
	}
	b, problems := m.ways[best.way].batch(size, &best.purchasing, best.on)
	b.way = best.way
	if !m.costsOnly && !problems.Failed() && !b.Total.Unpriced {
		otherMakings(&b, all, best)
	}
	return b, problems
}

// batchWithSubstitutes decides what substitutes a batch takes, and computes it.
func batchWithSubstitutes(m *Model, size int) (Batch, bom.Problems) {
	c := m.newChooser(size)
	d, known := m.decided[planSize{m.plan, size}]
	if !known {
		d = c.choose()
	}
	b, problems := m.with(d.takes).Batch(size)
	if d.low.Valid && !b.Total.Unpriced {
		b.Bound = decimal.Min(b.Bound, d.low.Decimal.Sub(b.workValue()).Sub(b.extras(0)))
		b.Proven = b.Bound.Equal(b.Landed)
	}
	if !known {
		d.complain(m, b.ID(), &problems)
	}
	if !m.costsOnly && !problems.Failed() {
		b.Swaps = c.taken(&b)
	}
	return b, problems
}

// batch computes a batch by the making of the model, with purchases and plates that are
// decided or are yet to be.
func (m *Model) batch(size int, d *purchasing, on *laidOut) (Batch, bom.Problems) {
	b, problems := m.begin(size)
	if problems.Failed() {
		return b, problems
	}
	if on == nil {
		planPlates(m, &b, &problems)
	} else {
		b.take(on)
		problems = append(problems, on.problems...)
	}
	if !m.costsOnly && !problems.Failed() {
		planPrinting(m, &b, &problems)
	}
	s := m.newSums(&b)
	stateNeeds(s)
	if d == nil {
		d = &purchasing{}
		ways := boardWays(m, s, d)
		if err := choosePurchases(m, s, d, ways, decimal.NullDecimal{}, cmp.Or(m.run.Effort, buy.DefaultEffort)); err != nil {
			problems.Errorf(bom.Place{File: m.prices.Name}, "", "smaller figures", "batch %s cannot be planned: %v", b.ID().Shown(), err)
		}
	}
	if !problems.Failed() {
		enterPurchases(m, s, d, &problems)
	}
	statePurchases(s)
	stateOrders(s)
	stateOrdered(s)
	stateSwaps(s)
	stateOneOffs(s)
	stateHandWork(s)
	statePostage(s, &problems) // after all else that is consumed: a parcel's value may decide
	if !m.costsOnly {
		listCuts(m, &b)
		planDays(m, &b)
	}
	spreadOut(s)
	addUp(s)
	sharePayers(s)
	stateTill(s)
	stateCharge(s)
	if m.run.Record && !m.costsOnly && !problems.Failed() {
		b.made = s.madeFor()
	}
	return b, problems
}
