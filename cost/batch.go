package cost

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// Batch computes one batch size. Of several ways to have the boards made it takes the one
// of the least landed cash. Errors among the problems mean that the batch cannot be made as
// the input stands; the batch then holds what is known.
func (m *Model) Batch(size int) (Batch, bom.Problems) {
	if m.undecided() {
		return m.batchWithSubstitutes(size)
	}
	if m.ways == nil {
		return m.batch(size, nil, nil)
	}
	all := m.weighAll(size, nil)
	best := cheapestMaking(m.run.Effort, all)
	if best == nil {
		return m.ways[0].batch(size, nil, nil)
	}
	b, problems := m.ways[best.way].batch(size, &best.bought, best.on)
	b.way = best.way
	if !m.costsOnly && !problems.Failed() && !b.Total.Unpriced {
		m.otherMakings(&b, all, best)
	}
	return b, problems
}

// batch computes a batch by the making of the model, with purchases and plates that are
// decided or are yet to be.
func (m *Model) batch(size int, d *bought, on *laidOut) (Batch, bom.Problems) {
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
		d = &bought{}
		ways := boardWays(m, s, d)
		if err := choosePurchases(m, s, d, ways, decimal.NullDecimal{}, cmp.Or(m.run.Effort, buy.DefaultEffort)); err != nil {
			problems.Errorf(bom.Place{File: m.prices.Name}, "", "smaller figures", "batch %s cannot be planned: %v", b.ID(), err)
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

// of is the model of the making by which the boards of a batch are made.
func (m *Model) of(b *Batch) *Model {
	if m.undecided() {
		m = m.with(b.takes)
	}
	if m.ways == nil {
		return m
	}
	return m.ways[b.way]
}

// begin works out what a batch needs.
func (m *Model) begin(size int) (Batch, bom.Problems) {
	var problems bom.Problems
	by := m.madeBy()
	b := m.unbegun(size)
	b.Assembler, b.Fitted, b.Panels = by.Assembler, by.Fitted, by.Panels
	workOutNeeds(m, &b, &problems)
	return b, problems
}

// stateNeeds states all that the purchases rest on.
func stateNeeds(s *sums) {
	statePrinting(s)
	boardDemands(s)
	stateDemands(s)
	stateAssembly(s)
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
