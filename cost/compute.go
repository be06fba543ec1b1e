package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Compute estimates a run at each of its batch sizes. With errors among the
// problems there is no estimate.
func Compute(run Run) (*Estimate, bom.Problems) {
	run, warned := pickSubstitutes(run)
	if warned.Failed() {
		return nil, warned
	}
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	problems = append(problems, warned...)
	e := m.Describe()
	e.picked = run.picked
	if len(run.Batches) > 1 && run.Programme == nil {
		coverUpTo(m, slices.Max(run.Batches))
	}
	e.Batches = make([]Batch, len(run.Batches))
	complaints := make([]bom.Problems, len(run.Batches))
	work := make([]func(m *Model), 0, len(run.Batches)+1)
	for i, size := range run.Batches {
		work = append(work, func(m *Model) { e.Batches[i], complaints[i] = explainedBatch(m.At(i), size) })
	}
	var mentioned []*topic
	work = append(work, func(m *Model) { mentioned = findMentions(m) })
	m.together(len(work), func(m *Model, i int) bool {
		work[i](m)
		return true
	})
	var found faults
	for i, size := range run.Batches {
		found.add(m.At(i).id(size), complaints[i])
		e.Complete = e.Complete && !e.Batches[i].Total.Unpriced
	}
	problems = append(problems, found.merged()...)
	for _, warn := range []func(*Model, []Batch) bom.Problems{warnOfProportion, warnOfOldStock, warnOfDearStock, warnOfShortage} {
		problems = append(problems, warn(m, e.Batches)...)
	}
	if problems.Failed() {
		return nil, problems
	}
	problems = append(problems, warnOfUnproven(m, e.Batches)...) // of no meaning where a batch was given up
	for _, p := range problems.Of(bom.Warning).Grouped() {
		e.Warnings = append(e.Warnings, p.String())
	}
	e.RunningOut = withSubstitutes(m, coversOf(m, e.Batches, true))
	e.Cautions = listCautions(m, e.Batches, mentioned)
	e.Terms = &m.terms.Terms
	e.Sources = listSources(m, e.Batches)
	return e, problems
}

// pickSubstitutes decides for each batch of a run, and gives the run with what was decided
// on: no other substitute is looked at then. It warns where not every choice was weighed.
func pickSubstitutes(run Run) (Run, bom.Problems) {
	if !run.Substitutes || run.picked != nil {
		return run, nil
	}
	m, problems := New(run)
	if m == nil {
		return run, problems
	}
	m.costsOnly = true
	made := make([]decision, len(run.Batches))
	m.together(len(made), func(m *Model, i int) bool {
		made[i] = m.At(i).newChooser(run.Batches[i]).choose()
		return true
	})
	kept := make([]int, 0, len(m.swaps)) // indices into swaps
	run.picked = &picked{batches: map[planSize]decision{}}
	for i, s := range bom.Refs(m.swaps) {
		if s.optional && !slices.ContainsFunc(made, func(d decision) bool { return d.takes[i] > 0 }) {
			continue
		}
		kept = append(kept, i)
		if s.optional {
			run.picked.rows = append(run.picked.rows, s.number)
		}
	}
	var warned bom.Problems
	for i, d := range made {
		at := m.At(i)
		d.complain(m, at.id(run.Batches[i]), &warned)
		d.takes = bom.Each(kept, func(from *int) bom.Quantity { return d.takes[*from] })
		run.picked.batches[planSize{at.plan, run.Batches[i]}] = d
	}
	return run, warned
}

// explainedBatch computes one batch size, what stock on hand makes it dearer, and where the
// run asks for it what buying otherwise would cost.
func explainedBatch(m *Model, size int) (Batch, bom.Problems) {
	b, problems := m.Batch(size)
	if problems.Failed() {
		return b, problems
	}
	b.dear = dearStocks(m, &b)
	if m.run.Record {
		b.Record = plannedRun(m, &b)
	}
	buyApart(m, &b)
	if m.run.Why {
		var err error
		if b.Why, err = explainWhy(m, &b); err != nil {
			problems.Errorf(bom.Place{File: m.prices.Name}, "", "smaller figures", "batch %s cannot be planned otherwise: %v", b.ID().Shown(), err)
		}
	}
	return b, problems
}

// Describe gives the part of an estimate that does not depend on the batch
// size: lines, boards, parts.
func (m *Model) Describe() *Estimate {
	return &Estimate{
		Name: m.run.name(), Currency: m.home, Level: m.products.level(), Complete: true,
		Today: m.run.Today, WorkingDays: m.prices.Settings.WorkingDays, Entries: m.entries, Unfitted: m.unfitted, Boards: m.boards,
		Products: bom.Each(m.products, func(p *product) Product { return Product{p.name, p.level} }),
		Parts:    bom.Each(m.parts, func(p *part) Part { return p.Part }),
	}
}

// warnOfUnproven warns of batches whose purchases are not proven to be the cheapest.
func warnOfUnproven(m *Model, batches []Batch) (problems bom.Problems) {
	for _, b := range batches {
		if !b.Proven && !b.Total.Unpriced {
			problems.Warnf(bom.Place{File: m.prices.Name}, "", MoreEffort,
				"purchases of batch %s cost %s %s and may be up to %s over the cheapest", b.ID(),
				m.home.Shown(b.Landed), m.home.Code, m.home.Shown(b.OffBy()))
		}
	}
	return problems
}

// Costs is what one batch costs, and how far its purchases may be over the
// cheapest: 0 where they are proven.
type Costs struct {
	Amounts
	OffBy decimal.Decimal
	Plan  Plan // when it is ready; of Finals alone
}

// Totals computes the amounts of each batch of a run and no more.
func Totals(run Run) ([]Costs, bom.Problems) { return costsOf(run, true) }

// Finals computes what Totals does and when each batch is ready. What has no price is an
// error.
func Finals(run Run) ([]Costs, bom.Problems) {
	run.mustPrice = true
	return costsOf(run, false)
}

func costsOf(run Run, costsOnly bool) ([]Costs, bom.Problems) {
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	m.costsOnly = costsOnly
	out := make([]Costs, len(run.Batches))
	for i, size := range run.Batches {
		b, found := m.At(i).Batch(size)
		out[i] = Costs{b.Total, b.OffBy(), b.Plan}
		out[i].Unpriced = out[i].Unpriced || found.Failed()
		problems = append(problems, found...)
	}
	return out, problems
}
