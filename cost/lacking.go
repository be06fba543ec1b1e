package cost

import (
	"fmt"
	"slices"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// tellTooFew reports that the orders that are allowed do not hold the batch, and leaves
// open what all that has to be bought costs.
func tellTooFew(m *Model, s *sums, plan buy.Plan, problems *bom.Problems) {
	b := s.b
	b.Total.Unpriced = true
	for i := range s.boards {
		if n := s.Value(s.boards[i].demand); n.IsPositive() && !b.Boards[i].Unpriced {
			openBoards(m, b, i, n.IntPart())
		}
	}
	for i := range b.Parts {
		if b.Parts[i].Demand > 0 {
			openPart(m, b, i)
		}
	}
	problems.Add(bom.Problem{
		Place: bom.Place{File: m.prices.Name}, Severity: m.run.gap(), Found: fmt.Sprintf("at most %d", m.run.Rules.AtMost),
		What: fmt.Sprintf("batch %s cannot be bought in so few orders", b.ID().Shown()),
		Want: fmt.Sprintf("at least %d", plan.Fewest),
	})
}

// tellShortages reports the parts that cannot be bought.
func tellShortages(m *Model, b *Batch, plan buy.Plan, problems *bom.Problems) {
	if len(plan.Short) == 0 {
		return
	}
	limits := limitsOf(m, b.Size)
	for _, s := range plan.Short {
		p := &m.parts[s.Part]
		r := &b.Parts[s.Part]
		problem := m.noOffer(p)
		if len(p.offers) > 0 {
			problem.Hint, problem.Each = "", ""
			problem.What = fmt.Sprintf("not enough stock for batch %s: %s required, %s available", b.ID().Shown(), bom.Grouped(r.Demand.String()), bom.Grouped(s.Most.String()))
			problem.Cause = "not enough stock"
			problem.Want = "find another offer or a substitute, or make a smaller batch; " + lackOf(limits)
		}
		problems.Add(problem)
		openPart(m, b, s.Part)
		b.Purchases[len(b.Purchases)-1].TooFew = len(p.offers) > 0
	}
}

// openPart leaves open where a part is to be bought.
func openPart(m *Model, b *Batch, part int) {
	p, r := &m.parts[part], &b.Parts[part]
	r.Unpriced = true
	b.Purchases = append(b.Purchases, Purchase{
		Kind: kindOf(p), Part: p.Key, Index: part, Demand: r.Demand, Currency: m.home, Unpriced: true,
	})
}

// openBoards leaves open where so many boards of a type are to be bought.
func openBoards(m *Model, b *Batch, board int, n int64) {
	b.Boards[board].Unpriced = true
	b.Purchases = append(b.Purchases, Purchase{
		Kind: Lots, Part: m.boards[board].Name, Index: board, Demand: bom.Whole(n), Currency: m.home, Unpriced: true,
	})
}

// noOffer says that nobody sells a part.
func (m *Model) noOffer(p *part) bom.Problem {
	line := m.entries[p.Entries[0]].Line
	if p.Unit == grams {
		problem := bom.Problem{Place: line.At("Material"), Severity: m.run.gap(), Found: p.Key, What: "no price for this material",
			Want: "add a row for it to the tab materials", Hint: nearestMaterial(m, p.Key), Each: p.Key}
		if slices.ContainsFunc(m.prices.Materials, func(mat bom.Material) bool { return bom.Fold(mat.Name) == bom.Fold(p.Key) }) {
			problem.Want, problem.Hint = "fill in Spool price in its row of the tab materials", ""
		}
		return problem
	}
	problem := bom.Problem{Place: line.At("Part number"), Severity: m.run.gap(), Found: p.Key, What: "no offer for this part",
		Want: "add a row for it to the tab offers", Hint: nearestOffer(m, p.Key), Each: p.Key}
	switch {
	case slices.ContainsFunc(m.prices.Offers, func(o bom.Offer) bool { return len(o.Breaks) == 0 && bom.Fold(o.Part) == bom.Fold(p.Key) }):
		problem.What, problem.Want, problem.Hint = "no price for this part", "fill in the price in its row of the tab offers", ""
	case p.ruledOut:
		problem.What = "every offer for this part is ruled out"
		problem.Want, problem.Hint = "another offer, or a looser rule", ""
	}
	return problem
}

// nearestOffer suggests the part number of the price sheet that a missing one
// may be a misspelling of.
func nearestOffer(m *Model, key string) string {
	var known []string
	for _, o := range m.prices.Offers {
		if len(o.Breaks) > 0 {
			known = append(known, o.Part)
		}
	}
	return suggest(key, known)
}

func nearestMaterial(m *Model, key string) string {
	var known []string
	for _, mat := range m.prices.Materials {
		if !mat.Unpriced {
			known = append(known, mat.Name)
		}
	}
	return suggest(key, known)
}
