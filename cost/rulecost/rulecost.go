package rulecost

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/cost"
)

// Extra is what one rule, or one thing that is taken for gone, adds to the cash of each
// batch, taken alone.
type Extra struct {
	Rule    string
	Batches []ExtraCash // one for each batch of the run
}

// ExtraCash is a change of cash against the plan without any. Where it
// leaves something that cannot be bought, it is not known.
type ExtraCash struct {
	Cash     decimal.Decimal
	Unpriced bool
}

// Extras computes a run with each of its rules and each thing that is taken for gone alone,
// and with none; of a run without any there are none.
func Extras(run cost.Run) (out []Extra) {
	if !run.Rules.Any() && !run.Scarce.Any() {
		return nil
	}
	free := ruledBy(run, cost.Rules{}, cost.Scarcity{})
	add := func(name string, rules cost.Rules, scarce cost.Scarcity) {
		x := Extra{Rule: name}
		for i, with := range ruledBy(run, rules, scarce) {
			x.Batches = append(x.Batches, ExtraCash{with.Cash.Sub(free[i].Cash), with.Unpriced || free[i].Unpriced})
		}
		out = append(out, x)
	}
	rule := func(name string, rules cost.Rules) { add(name, rules, cost.Scarcity{}) }
	r := run.Rules
	if r.AtMost > 0 {
		name := "at most 1 order"
		if r.AtMost > 1 {
			name = fmt.Sprintf("at most %d orders", r.AtMost)
		}
		rule(name, cost.Rules{AtMost: r.AtMost})
	}
	for _, s := range r.Without {
		rule("without "+s, cost.Rules{Without: []string{s}})
	}
	if !r.By.IsZero() {
		rule("here by "+r.By.String(), cost.Rules{By: r.By})
	}
	if r.InStockOnly {
		rule("only what is in stock", cost.Rules{InStockOnly: true})
	}
	words, scarce := run.Scarce.Each()
	for i, name := range words {
		add(name, cost.Rules{}, scarce[i])
	}
	return out
}

// ruledBy gives the amounts of each batch under some rules, with some things gone.
func ruledBy(run cost.Run, rules cost.Rules, scarce cost.Scarcity) []cost.Costs {
	run.Rules, run.Scarce = rules, scarce
	out, _ := cost.Totals(run)
	if out == nil { // nothing is left that could be estimated
		out = make([]cost.Costs, len(run.Batches))
		for i := range out {
			out[i].Unpriced = true
		}
	}
	return out
}
