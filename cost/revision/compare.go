package revision

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Comparison is what changed from one run to another, and what each change costs
// at each batch size.
type Comparison struct {
	Currency bom.Currency
	Today    bom.Date       // of the new run
	Batches  []int          // sizes
	IDs      []cost.BatchID // of the batches
	Old, New []cost.Costs   // one for each batch
	Steps    []Step
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
	Consumed decimal.Decimal // whole batch
	Cash     decimal.Decimal // whole batch
	Unit     decimal.Decimal // consumed per unit, unrounded

	// OffBy is how far the landed cash of the step can be off, either way, since
	// the purchases before or after it are not proven; 0 where they are.
	OffBy decimal.Decimal
}

// Compare applies the changes between two runs one by one, in the order of
// the kinds and within a kind in that of the sheets, and computes the batches
// after each. The runs must share their home currency; rules, what is taken for gone,
// level and batch sizes are those of the new run. Errors are those of either run.
func Compare(before, after cost.Run) (*Comparison, bom.Problems) {
	before.Batches, before.Level, before.Rules = after.Batches, after.Level, after.Rules
	scarce := after.Scarce
	had, other := scarce.Split(before)
	has, _ := scarce.Split(after)
	_, unknown := other.Split(after)
	before.Scarce = had
	after.Scarce = cost.Scarcity{Dry: append(has.Dry, unknown.Dry...), Left: append(has.Left, unknown.Left...)} // which complains
	r := &Comparison{Currency: after.Prices.Settings.Home, Today: after.Today, Batches: after.Batches, IDs: after.IDs()}
	if had := before.Prices.Settings.Home; had != r.Currency {
		var problems bom.Problems
		problems.Errorf(bom.Place{File: after.Prices.Name}, r.Currency.Code, had.Code, "the price sheets have different home currencies")
		return nil, problems
	}
	var problems, more bom.Problems
	mix := newMixture(before, after)
	if after.Programme != nil {
		if problems = allOld(mix); problems.Failed() {
			return nil, problems
		}
		mix.fill(&before)
	}
	if r.Old, problems = cost.Finals(before); problems.Failed() {
		return nil, problems
	}
	if r.New, more = cost.Finals(after); more.Failed() {
		return nil, more
	}
	r.walk(mix, after, scarce)
	return r, append(append(problems, more...), r.unproven(after.Prices.Name)...)
}

// walk applies one change after the other. A state in between that cannot be
// bought has no cost; its changes are taken together with the next ones.
func (r *Comparison) walk(mix *mixture, after cost.Run, scarce cost.Scarcity) {
	last := r.Old
	var waiting []LineChange
	enter := func(now []cost.Costs) {
		r.Steps = append(r.Steps, Step{Changes: waiting, Costs: r.costs(last, now)})
		last, waiting = now, nil
	}
	run := after
	for _, c := range mix.changes() {
		mix.done[c.key] = true
		waiting = append(waiting, c.LineChange)
		mix.fill(&run)
		run.Prices = mix.prices()
		run.Scarce, _ = scarce.Split(run)
		if now, problems := cost.Totals(run); !problems.Failed() && !slices.ContainsFunc(now, func(c cost.Costs) bool { return c.Unpriced }) {
			enter(now)
		}
	}
	changes := func(c StepCost) bool { return !c.Consumed.IsZero() || !c.Cash.IsZero() }
	if len(waiting) > 0 || slices.ContainsFunc(r.costs(last, r.New), changes) {
		if len(waiting) == 0 {
			waiting = []LineChange{{Kind: RowOrder, What: "lines and rows stand in another order"}}
		}
		enter(r.New)
	}
}

// allOld complains of plans of products that are all new: there is nothing to compare.
func allOld(mix *mixture) (problems bom.Problems) {
	for i := range mix.new.Programme.Plans {
		plan, had := &mix.new.Programme.Plans[i], 0
		for j, p := range mix.products {
			if p.old != nil {
				had += plan.Units[j]
			}
		}
		if had == 0 {
			problems.Errorf(plan.Place, plan.Name, "products of the old run file too, under their names there", "every product of the plan is new")
		}
	}
	return problems
}

func (r *Comparison) costs(from, to []cost.Costs) []StepCost {
	out := make([]StepCost, len(from))
	for i, size := range r.Batches {
		out[i] = StepCost{
			Consumed: to[i].Consumed.Sub(from[i].Consumed), Cash: to[i].Cash.Sub(from[i].Cash),
			Unit:  (&cost.Batch{Size: size}).PerUnit(to[i].Consumed.Sub(from[i].Consumed)),
			OffBy: decimal.Max(from[i].OffBy, to[i].OffBy),
		}
	}
	return out
}

// unproven warns of the batches whose steps rest on purchases that are not proven
// to be the cheapest.
func (r *Comparison) unproven(file string) bom.Problems {
	var problems bom.Problems
	for i, id := range r.IDs {
		steps, most := 0, decimal.Zero
		for _, s := range r.Steps {
			if off := s.Costs[i].OffBy; off.IsPositive() {
				steps, most = steps+1, decimal.Max(most, off)
			}
		}
		if steps > 0 {
			problems.Warnf(bom.Place{File: file}, "", cost.MoreEffort,
				"%d of %d changes to batch %s rest on purchases that are not proven to be the cheapest: each may be off by up to %s %s",
				steps, len(r.Steps), id, r.Currency.Shown(most), r.Currency.Code)
		}
	}
	return problems
}
