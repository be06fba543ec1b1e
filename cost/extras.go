package cost

import "tenoff/bom"

// extras computes the run with each of its rules and each thing that is taken for gone
// alone, and with none.
func extras(run Run) []Extra {
	if !run.Rules.Any() && !run.Scarce.Any() {
		return nil
	}
	names, rules := run.Rules.each()
	words, scarce := run.Scarce.each()
	rules, names = append(rules, make([]Rules, len(scarce))...), append(names, words...)
	scarce = append(make([]Scarcity, len(rules)-len(scarce)), scarce...)
	free := ruledBy(run, Rules{}, Scarcity{})
	out := make([]Extra, len(names))
	for i := range rules {
		out[i].Rule = names[i]
		for j, with := range ruledBy(run, rules[i], scarce[i]) {
			out[i].Batches = append(out[i].Batches, ExtraCash{
				Cash: with.Cash.Sub(free[j].Cash), Unpriced: with.Unpriced || free[j].Unpriced,
			})
		}
	}
	return out
}

// Totals computes the amounts of each batch of a run and no more. Where all must have
// its price, what has none is an error.
func Totals(run Run, mustPrice bool) ([]Costs, bom.Problems) {
	run.mustPrice = mustPrice
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	m.costsOnly = true
	out := make([]Costs, len(run.Batches))
	for i, size := range run.Batches {
		b, found := m.At(i).Batch(size)
		out[i] = Costs{b.Total, b.OffBy()}
		out[i].Unpriced = out[i].Unpriced || found.Failed()
		problems = append(problems, found...)
	}
	return out, problems
}

// ruledBy gives the amounts of each batch under some rules, with some things gone.
func ruledBy(run Run, rules Rules, scarce Scarcity) []Costs {
	run.Rules, run.Scarce = rules, scarce
	out, _ := Totals(run, false)
	if out == nil { // nothing is left that could be estimated
		out = make([]Costs, len(run.Batches))
		for i := range out {
			out[i].Unpriced = true
		}
	}
	return out
}
