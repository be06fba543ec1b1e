package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Revision is what changed from one run to another, and what each change costs
// at each batch size.
type Revision struct {
	Currency bom.Currency
	Batches  []int
	Old, New []Costs // one for each batch
	Steps    []Step
}

// Costs is what one batch costs, and how far its purchases may be over the
// cheapest: 0 where they are proven.
type Costs struct {
	Amounts
	OffBy decimal.Decimal
}

// Step is one change, or several that cannot be told apart: those that only
// together leave something that can be bought.
type Step struct {
	Changes []LineChange
	Costs   []StepCost // one for each batch
}

// StepCost is what a step adds to one batch. Over all steps each figure sums
// exactly to the difference between the two runs.
type StepCost struct {
	Used decimal.Decimal // whole batch
	Cash decimal.Decimal // whole batch
	Unit decimal.Decimal // used per unit, unrounded

	// OffBy is how far the landed cash of the step can be off, either way, since
	// the purchases before or after it are not proven; 0 where they are.
	OffBy decimal.Decimal
}

// Difference applies the changes between two runs one by one, in the order of
// the kinds and within a kind in that of the sheets, and computes the batches
// after each. The runs must share their home currency; rules, level and batch
// sizes are those of the new run. Errors are those of either run.
func Difference(before, after Run) (*Revision, bom.Problems) {
	before.Batches, before.Level, before.Rules = after.Batches, after.Level, after.Rules
	r := &Revision{Currency: after.Prices.Settings.Home, Batches: after.Batches}
	if had := before.Prices.Settings.Home; had != r.Currency {
		var problems bom.Problems
		problems.Errorf(bom.Place{File: after.Prices.Name}, r.Currency.Code, had.Code, "the price sheets have different home currencies")
		return nil, problems
	}
	before.mustPrice, after.mustPrice = true, true
	var problems, more bom.Problems
	if r.Old, problems = totals(before); problems.Failed() {
		return nil, problems
	}
	if r.New, more = totals(after); more.Failed() {
		return nil, more
	}
	r.walk(before, after)
	return r, append(append(problems, more...), r.unproven(after.Prices.Name)...)
}

// totals computes every batch of a run.
func totals(run Run) ([]Costs, bom.Problems) {
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	m.costsOnly = true
	out := make([]Costs, len(run.Batches))
	for i, size := range run.Batches {
		b, found := m.Batch(size)
		out[i] = Costs{b.Total, b.OffBy()}
		problems = append(problems, found...)
	}
	return out, problems
}

// walk applies one change after the other. A state in between that cannot be
// bought has no cost; its changes are taken together with the next ones.
func (r *Revision) walk(before, after Run) {
	mix := newMixture(before, after)
	last := r.Old
	var waiting []LineChange
	enter := func(now []Costs) {
		r.Steps = append(r.Steps, Step{Changes: waiting, Costs: r.costs(last, now)})
		last, waiting = now, nil
	}
	run := after
	run.mustPrice = false
	for _, c := range mix.changes() {
		mix.done[c.key] = true
		waiting = append(waiting, c.LineChange)
		run.Unit, run.Prices = mix.unit(), mix.prices()
		if now, problems := totals(run); !problems.Failed() && !anyUnpriced(now) {
			enter(now)
		}
	}
	if rest := r.costs(last, r.New); len(waiting) > 0 || !allZero(rest) {
		if len(waiting) == 0 {
			waiting = []LineChange{{Kind: RowOrder, What: "lines and rows stand in another order"}}
		}
		enter(r.New)
	}
}

func (r *Revision) costs(from, to []Costs) []StepCost {
	out := make([]StepCost, len(from))
	for i, size := range r.Batches {
		out[i] = StepCost{
			Used: to[i].Used.Sub(from[i].Used), Cash: to[i].Cash.Sub(from[i].Cash),
			Unit:  perUnit(to[i].Used.Sub(from[i].Used), size),
			OffBy: decimal.Max(from[i].OffBy, to[i].OffBy),
		}
	}
	return out
}

// unproven warns of the batches whose steps rest on purchases that are not proven
// to be the cheapest.
func (r *Revision) unproven(file string) bom.Problems {
	var problems bom.Problems
	for i, size := range r.Batches {
		steps, most := 0, decimal.Zero
		for _, s := range r.Steps {
			if off := s.Costs[i].OffBy; off.IsPositive() {
				steps, most = steps+1, decimal.Max(most, off)
			}
		}
		if steps > 0 {
			problems.Warnf(bom.Place{File: file}, "", moreEffort,
				"%d of %d changes to batch %d rest on purchases that are not proven to be the cheapest: each may be off by up to %s %s",
				steps, len(r.Steps), size, most.StringFixed(r.Currency.Digits), r.Currency.Code)
		}
	}
	return problems
}

func anyUnpriced(amounts []Costs) bool {
	for _, a := range amounts {
		if a.Unpriced {
			return true
		}
	}
	return false
}

func allZero(costs []StepCost) bool {
	for _, c := range costs {
		if !c.Used.IsZero() || !c.Cash.IsZero() {
			return false
		}
	}
	return true
}
