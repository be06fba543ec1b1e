package cost

import "tenoff/bom"

// Check lists what an estimate of the run would complain of, without computing
// one: besides the complaints of New, whatever has no price at all, or, where the
// run has batches, whatever cannot be bought for one of them. priced tells that
// there is nothing of the kind.
func Check(run Run) (priced bool, problems bom.Problems) {
	m, problems := New(run)
	if m == nil {
		return false, problems
	}
	if len(run.Batches) > 0 {
		return checkBatches(m, problems)
	}
	before := len(problems)
	for i := range m.parts {
		if p := &m.parts[i]; len(p.offers) == 0 && p.onHand == nil {
			problems.Add(m.noOffer(p))
		}
	}
	for i, bb := range m.bareBoards {
		if len(bb.variants) == 0 && bb.onHand == nil {
			problems.Add(*m.noQuote(i, 0))
		}
	}
	for _, z := range bom.Refs(m.zones) {
		full := z.parcel(z.per)
		if z.cheapest(m, &full, worth{}) == nil && (z.row != nil || len(m.prices.Postage) > 0) {
			problems.Add(noService(m, z, &full, worth{}))
		}
	}
	return len(problems) == before, problems
}

// checkBatches tells what cannot be bought for the batches of the run.
func checkBatches(m *Model, problems bom.Problems) (priced bool, _ bom.Problems) {
	m.costsOnly, priced = true, true
	var all faults
	for i, size := range m.run.Batches {
		b, found := m.At(i).Batch(size)
		priced = priced && !b.Total.Unpriced
		all.add(m.At(i).id(size), found)
	}
	return priced, append(problems, all.merged()...)
}
