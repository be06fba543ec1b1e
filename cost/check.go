package cost

import (
	"fmt"

	"tenoff/bom"
)

// Check lists what an estimate of the run would complain of at any batch size,
// without computing one: besides the complaints of New, whatever has no price
// at all.
func Check(run Run) bom.Problems {
	m, problems := New(run)
	if m == nil {
		return problems
	}
	for i := range m.parts {
		if p := &m.parts[i]; len(p.offers) == 0 && p.onHand == nil {
			problems.Add(m.noOffer(p, ""))
		}
	}
	for i, bb := range m.bareBoards {
		if len(bb.variants) == 0 && bb.onHand == nil {
			problems.Add(*m.noQuote(i, 0))
		}
	}
	for i := range m.zones {
		if z := &m.zones[i]; z.service == nil && (z.row != nil || len(m.prices.Postage) > 0) {
			problems.Add(m.noService(z))
		}
	}
	return problems
}

// noOffer says that nobody sells a part; whom tells for which batch.
func (m *Model) noOffer(p *part, whom string) bom.Problem {
	line := m.entries[p.Entries[0]].Line
	if p.Unit == grams {
		return bom.Problem{
			Place: line.At("Material"), Found: p.Key, What: "no price for this material",
			Want: "give the tab materials a row for it" + m.nearestMaterial(p.Key),
		}
	}
	problem := bom.Problem{
		Place: line.At("Part number"), Found: p.Key, What: fmt.Sprintf("no offer for this part%s", whom),
		Want: "give the tab offers a row for it" + m.nearestOffer(p.Key),
	}
	if p.ruledOut {
		problem.What = fmt.Sprintf("every offer for this part is ruled out%s", whom)
		problem.Want = "another offer, or a looser rule"
	}
	return problem
}
