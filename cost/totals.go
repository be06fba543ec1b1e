package cost

import "tenoff/bom"

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
