package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// prepareSwaps finds the rows of the tab substitutes behind the swaps, and those that a
// batch may take.
func prepareSwaps(m *Model) {
	takenSwaps(m)
	if m.run.Substitutes {
		optionalSwaps(m)
	}
}

// optionalSwaps are the rows of the tab substitutes that are allowed, for parts that the run
// does not replace anyhow; of those that were decided on already, those alone.
func optionalSwaps(m *Model) {
	known := len(m.swaps)
	for i, row := range bom.Refs(m.prices.Substitutes) {
		forced := slices.ContainsFunc(m.swaps[:known], func(s swap) bool { return partname.Same(s.Part, row.Part) })
		again := slices.ContainsFunc(m.swaps[known:], func(s swap) bool {
			return partname.Same(s.Part, row.Part) && partname.Same(s.Substitute, row.Substitute)
		})
		if !row.Allowed || forced || again || m.run.picked != nil && !slices.Contains(m.run.picked.rows, i) {
			continue
		}
		m.swaps = append(m.swaps, swap{Swap: Swap{Part: row.Part, Substitute: row.Substitute}, row: row, number: i, like: partname.LineWith(m.run.Unit, row.Substitute), used: true, optional: true})
	}
	if m.run.picked != nil {
		m.decided = m.run.picked.batches
	}
}

// takenSwaps are those that the run takes for all units.
func takenSwaps(m *Model) {
	for _, s := range m.run.Take {
		w := swap{Swap: s, like: partname.LineWith(m.run.Unit, s.Substitute)}
		for _, row := range bom.Refs(m.prices.Substitutes) {
			if !partname.Same(row.Part, s.Part) || !partname.Same(row.Substitute, s.Substitute) {
				continue
			}
			if w.row != nil {
				m.problems.Errorf(row.At("Substitute"), row.Substitute, "keep one row for it", "the substitute for %s stands twice, here and in row %d, spelt otherwise", bom.Shown(row.Part), w.row.At("Substitute").Row)
				continue
			}
			w.row = row
		}
		if w.row != nil && !w.row.Allowed {
			m.problems.Errorf(w.row.At("Allowed"), s.Substitute, "yes in the column Allowed, once it may be used", "this substitute for %s is not allowed", s.Part)
		}
		m.swaps = append(m.swaps, w)
	}
}

// swappedLine gives the line as it is made: with its substitute where one is taken.
func swappedLine(m *Model, product int, l *bom.Line) *bom.Line {
	if l.Kind == bom.KindBoard || l.Kind == bom.KindPrinted {
		return l
	}
	for _, s := range bom.Refs(m.swaps) {
		if !partname.MeansLine(s.Part, l) {
			continue
		}
		if s.optional {
			continue // see mixLines
		}
		s.used, s.products = true, addNew(s.products, product)
		if s.Mixed {
			return l // see mixLines
		}
		return s.line(l)
	}
	return l
}

// line is a line with the substitute in place of its part.
func (s *swap) line(l *bom.Line) *bom.Line {
	taken := *l
	taken.Part, taken.Spelled, taken.Number = s.Substitute, "", s.Substitute
	taken.Description = "in place of " + l.Part
	if c, value, pkg := partname.Split(s.Substitute); c.Known && c.Package.Family != "" { // whichever way an offer writes it
		taken.Number, taken.Value, taken.Package = "", value, pkg
	}
	if s.like != nil {
		taken.Number, taken.Value, taken.Package = s.like.Number, s.like.Value, s.like.Package
		taken.Part, taken.Spelled, taken.Description, taken.Hazard = s.like.Part, s.like.Spelled, s.like.Description, s.like.Hazard
	}
	return &taken
}

// checkSwaps complains of swaps for parts that the run does not have, and of those that
// nothing says may be made.
func checkSwaps(m *Model) {
	for _, s := range m.swaps {
		switch {
		case !s.used:
			m.problems.Errorf(bom.Place{File: m.run.Unit.File}, s.Part, "a part number of the bill of materials", "unknown part to replace with %s", s.Substitute)
		case s.row == nil && !s.Unlisted:
			complainNotListed(m, s)
		}
	}
}

// complainNotListed complains of a substitute that the price sheet does not list for its part.
func complainNotListed(m *Model, s swap) {
	p := bom.Problem{Place: bom.Place{File: m.prices.Name}, Found: s.Substitute, What: "no substitute for " + s.Part + " has that name",
		Want: "add a row for it to the tab substitutes"}
	var listed []string
	for _, row := range m.prices.Substitutes {
		if partname.Same(row.Part, s.Part) {
			listed = append(listed, row.Substitute)
		}
	}
	p.Hint = didYouMean(s.Substitute, listed)
	m.problems.Add(p)
}

// swapWork makes rows of hand work of the seconds that swaps add to a unit.
func swapWork(m *Model) {
	for i, s := range m.swaps {
		if s.row == nil || s.row.ExtraSeconds == 0 {
			continue
		}
		for _, p := range s.products {
			m.work = append(m.work, workRow{op: &bom.Operation{
				Dated: bom.Dated{Origin: s.row.Origin}, Name: s.Substitute + " in place of " + s.Part,
				AppliesTo: classOther, Basis: basisUnit, Seconds: s.row.ExtraSeconds, Learning: 100, TimedAt: 1, Share: hundred,
			}, count: 1, place: s.row.At("Extra seconds per unit"), swap: i + 1, of: []int{p}})
		}
	}
}
