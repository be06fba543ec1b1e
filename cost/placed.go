package cost

import (
	"cmp"
	"maps"
	"slices"

	"tenoff/bom"
)

// countBoards counts what is placed and fitted on a board of each type, as if by an
// assembler.
func countBoards(m *Model) {
	type onSide struct {
		board int
		side  bom.Side
	}
	type partOn struct{ board, part int }
	sides, lines := map[onSide]bool{}, map[partOn]bool{}
	for _, e := range bom.Refs(m.entries) {
		if e.Board < 0 {
			continue
		}
		e.fits = classOf(e.Line) == classTHT && m.products[e.Product].fitted(m.prices.Settings.ThroughHole)
		if e.StandsFor > 0 {
			continue
		}
		b, pieces := &m.boards[e.Board], int(e.PerBoard.Ceil())
		on := &b.on[e.Product]
		switch classOf(e.Line) {
		case classSMT:
			if on.entry != b.Entry {
				continue // is what the first product has
			}
			b.Placements += pieces
			b.Joints += pieces * e.Line.Joints.Count
			sides[onSide{e.Board, sideOf(e.Line)}] = true
			lines[partOn{e.Board, e.Part}] = true
		case classTHT:
			on.handParts += pieces
			on.handJoints += pieces * e.Line.Joints.Count
			b.HandParts, b.HandJoints = max(b.HandParts, on.handParts), max(b.HandJoints, on.handJoints)
		}
	}
	checkPlaced(m)
	for s := range sides {
		m.boards[s.board].Sides++
	}
	for l := range lines {
		m.boards[l.board].partLines++
	}
}

// checkPlaced complains where what is machine-placed on a board hangs on the product, by
// the levels of its lines.
func checkPlaced(m *Model) {
	placed := make([]map[bom.Place]bom.Quantity, len(m.boards)*len(m.products))
	for _, e := range bom.Refs(m.entries) {
		if e.Board < 0 || e.StandsFor > 0 || classOf(e.Line) != classSMT {
			continue
		}
		at := e.Board*len(m.products) + e.Product
		if placed[at] == nil {
			placed[at] = map[bom.Place]bom.Quantity{}
		}
		placed[at][e.Line.At("")] += e.PerBoard
	}
	for b := range m.boards {
		first := m.entries[m.boards[b].Entry].Product
		for i, on := range m.boards[b].on {
			here, there := placed[b*len(m.products)+i], placed[b*len(m.products)+first]
			if on.perUnit == 0 || maps.Equal(here, there) {
				continue
			}
			line := m.entries[on.entry].Line
			for j := range m.entries { // the first that differs
				e := &m.entries[j]
				at := e.Line.At("")
				if e.Board != b || classOf(e.Line) != classSMT || here[at] == there[at] {
					continue
				}
				in, not := m.products[i].name, m.products[first].name
				if here[at] < there[at] {
					in, not = not, in
				}
				m.problems.Errorf(line.At("Part number"), line.Part, "the line at the same level in both, or a list of its own for one of them that calls the board otherwise",
					"the machine places %s on this board in %s and not in %s, and a board that is populated otherwise is another board", e.Line.Part, in, not)
				break
			}
		}
	}
}

// countPanel counts what is machine-placed on a panel: its part numbers and sides each once.
func countPanel(m *Model, p *Board) {
	sides, lines := map[bom.Side]bool{}, map[int]bool{}
	for _, h := range p.Holds {
		b := &m.boards[h.Board]
		p.Placements += h.Good * b.Placements
		p.Joints += h.Good * b.Joints
		p.HandParts += h.Good * b.HandParts
		p.HandJoints += h.Good * b.HandJoints
		for i := range m.entries {
			if e := &m.entries[i]; e.Board == h.Board && e.StandsFor == 0 && classOf(e.Line) == classSMT {
				sides[sideOf(e.Line)], lines[e.Part] = true, true
			}
		}
	}
	p.Sides, p.partLines = len(sides), len(lines)
}

// sideOf is the side that a line sits on: the top where nothing is said.
func sideOf(l *bom.Line) bom.Side { return cmp.Or(l.Side, bom.Top) }

// countPartLines counts the part numbers that are machine-placed on each board and panel.
func countPartLines(m *Model, b *Batch) {
	for i := range m.boards {
		b.Boards[i].PartLines = m.boards[i].partLines
		if m.making.assembler < 0 || !slices.ContainsFunc(m.swaps, func(s swap) bool { return len(s.lines) > 0 }) {
			continue
		}
		var parts []int
		for at, e := range bom.Refs(m.entries) {
			on := e.Board == i || slices.ContainsFunc(m.boards[i].Holds, func(h Held) bool { return h.Board == e.Board })
			if on && e.Board >= 0 && classOf(e.Line) == classSMT && b.Uses(e, at) {
				parts = addNew(parts, e.Part)
			}
		}
		b.Boards[i].PartLines = len(parts)
	}
}
