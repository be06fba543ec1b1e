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
		return m.checkBatches(problems)
	}
	before := len(problems)
	for i := range m.parts {
		if p := &m.parts[i]; len(p.offers) == 0 && p.onHand == nil {
			problems.Add(m.noOffer(p))
		}
	}
	for i, bb := range m.bareBoards {
		if len(bb.variants) == 0 && bb.onHand == nil {
			problems.Add(*m.noQuote(i))
		}
	}
	for i := range m.zones {
		if z := &m.zones[i]; z.service == nil && (z.row != nil || len(m.prices.Postage) > 0) {
			problems.Add(m.noService(z))
		}
	}
	return len(problems) == before, problems
}

// checkBatches tells what cannot be bought for the batches of the run.
func (m *Model) checkBatches(problems bom.Problems) (priced bool, _ bom.Problems) {
	m.costsOnly, priced = true, true
	all := faults{index: map[faultKey]int{}}
	for _, size := range m.run.Batches {
		b, found := m.Batch(size)
		priced = priced && !b.Total.Unpriced
		all.add(size, found)
	}
	return priced, append(problems, all.merged()...)
}

// noOffer says that nobody sells a part.
func (m *Model) noOffer(p *part) bom.Problem {
	line := m.entries[p.Entries[0]].Line
	if p.Unit == grams {
		return bom.Problem{Place: line.At("Material"), Severity: m.gap(), Found: p.Key, What: "no price for this material",
			Want: "a row for it in the tab materials", Hint: m.nearestMaterial(p.Key), Each: p.Key}
	}
	problem := bom.Problem{Place: line.At("Part number"), Severity: m.gap(), Found: p.Key, What: "no offer for this part",
		Want: "a row for it in the tab offers", Hint: m.nearestOffer(p.Key), Each: p.Key}
	if p.ruledOut {
		problem.What = "every offer for this part is ruled out"
		problem.Want, problem.Hint = "another offer, or a looser rule", ""
	}
	return problem
}
