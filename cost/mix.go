package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// mixLines adds a line with the substitute for each line of a part that does not everywhere
// give way to it. How many pieces are of the one and of the other comes with the batch;
// joints, pieces and masses are counted with the line of the part. A substitute that may be
// taken for no line is dropped.
func mixLines(m *Model) {
	own := len(m.entries)
	for _, s := range bom.Refs(m.swaps) {
		if !s.Mixed && !s.optional {
			continue
		}
		for at := range own {
			e := &m.entries[at]
			if e.Line.Kind == bom.KindBoard || e.Line.Kind == bom.KindPrinted || !partname.MeansLine(s.Part, e.Line) || partname.MeansLine(s.Substitute, e.Line) {
				continue
			}
			s.lines = append(s.lines, len(m.entries))
			s.products = addNew(s.products, e.Product)
			e.Replaced = true
			m.entries = append(m.entries, Entry{Line: s.line(e.Line), Category: e.Category, Path: e.Path, Product: e.Product, PerUnit: e.PerUnit, Board: e.Board, PerBoard: e.PerBoard,
				Part: -1, StandsFor: at + 1})
		}
	}
	m.swaps = slices.DeleteFunc(m.swaps, func(s swap) bool { return s.optional && len(s.lines) == 0 })
}

// standsFor is the part that a swap has lines for.
func (s *swap) standsFor(m *Model) int { return m.entries[m.entries[s.lines[0]].StandsFor-1].Part }

// own is what the lines of its part need that a swap has lines for, and how many pieces of
// that are on one unit.
func (s *swap) own(m *Model, b *Batch) (need, perUnit bom.Quantity) {
	for _, e := range s.lines {
		of := m.entries[e].StandsFor - 1
		need, perUnit = need+b.Needs[of], perUnit+m.entries[of].PerUnit
	}
	return need, perUnit
}

// takeSubstitutes gives the substitutes what they take, as many pieces of the last lines
// first. Part and substitute have each its own allowance.
func takeSubstitutes(m *Model, b *Batch) {
	b.taken, b.takenBy, b.takes = make([]int, len(m.swaps)), make([][]int, len(m.swaps)), m.swapped
	for i := range m.entries {
		if m.entries[i].StandsFor > 0 {
			b.Needs[i] = 0
		}
	}
	for i, s := range bom.Refs(m.swaps) {
		b.takenBy[i] = make([]int, len(b.Products))
		if len(s.lines) == 0 {
			for _, p := range s.products {
				b.takenBy[i][p] = b.Products[p].Starts
				b.taken[i] += b.Products[p].Starts
			}
			continue
		}
		need, _ := s.own(m, b)
		rest := bom.Quantity(0)
		switch {
		case s.Mixed:
			rest = need - m.parts[s.standsFor(m)].keeps(b, need, stockReach(m, s.standsFor(m)))
		case m.swapped != nil:
			rest = min(need, m.swapped[i])
		}
		for _, e := range slices.Backward(s.lines) {
			of := m.entries[e].StandsFor - 1
			takes := min(rest, b.Needs[of])
			b.Needs[e], b.Needs[of], rest = takes, b.Needs[of]-takes, rest-takes
		}
		s.unitsIn(m, b, i)
	}
}

// unitsIn tells how many units of each product take a substitute, of which its lines have
// what they need.
func (s *swap) unitsIn(m *Model, b *Batch, swap int) {
	takes, perUnit := make([]bom.Quantity, len(b.Products)), make([]bom.Quantity, len(b.Products))
	for _, e := range s.lines {
		p := m.entries[e].Product
		takes[p], perUnit[p] = takes[p]+b.Needs[e], perUnit[p]+m.entries[e].PerUnit
	}
	for p, each := range perUnit {
		if each > 0 {
			b.takenBy[swap][p] = min(b.Products[p].Starts, int((takes[p]+each-1)/each))
			b.taken[swap] += b.takenBy[swap][p]
		}
	}
}

// keeps is how much of what some lines of a part need, in whole pieces, so much of it
// covers, with the allowance and with what its other lines need.
func (p *part) keeps(b *Batch, need, reach bom.Quantity) bom.Quantity {
	others := -need
	for _, e := range p.Entries {
		others += b.Needs[e]
	}
	return p.covered(others, need, reach)
}

// covered is how much of a need, in whole pieces, so many pieces cover with the allowance,
// after other needs.
func (p *part) covered(others, need, reach bom.Quantity) bom.Quantity {
	fits := func(q bom.Quantity) bool { return others+q+p.allowanceOver(others+q) <= reach }
	if fits(need) {
		return need
	}
	low, high := int64(0), need.Ceil() // low is covered, or nothing is; high is not
	for high-low > 1 {
		if mid := low + (high-low)/2; fits(bom.Whole(mid)) {
			low = mid
		} else {
			high = mid
		}
	}
	return bom.Whole(low)
}

// unitsOf is how many of the units begun something is done to that comes with a swap,
// given by 1 + its index, in units of a product; 0 is all.
func (b *Batch) unitsOf(swap, product int) int {
	if swap > 0 {
		return b.takenBy[swap-1][product]
	}
	return b.Products[product].Starts
}
