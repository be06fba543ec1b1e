package cost

import (
	"cmp"
	"math"
	"slices"

	"tenoff/bom"
)

// addPanels lists the panels of the price sheet after the board types: those of which all
// boards are of the run.
func addPanels(m *Model) {
	foreign, types := map[int]*bom.PanelRow{}, len(m.boards)
	for _, row := range bom.Refs(m.prices.Panels) {
		p := types + boardNamed(m.boards[types:], row.Panel)
		if p < types {
			p = len(m.boards)
			m.boards = append(m.boards, Board{Name: row.Panel, Entry: -1})
		}
		b := boardNamed(m.boards[:types], row.Board)
		if b < 0 {
			foreign[p] = row
			continue
		}
		m.boards[p].hold(m, b, row)
	}
	kept := m.boards[:types:types]
	for p := types; p < len(m.boards); p++ {
		if row := foreign[p]; row != nil {
			tellForeign(m, row, m.boards[:types], len(m.boards[p].Holds) > 0)
			continue
		}
		kept = append(kept, m.boards[p])
	}
	m.boards = kept
	for p := types; p < len(m.boards); p++ {
		countPanel(m, &m.boards[p])
	}
}

// tellForeign tells of a panel with a board that is not of the run. A price sheet may be
// for several units: unless other boards of the run are on it or the name is near to one of
// theirs, that is as it should be.
func tellForeign(m *Model, row *bom.PanelRow, boards []Board, mixed bool) {
	p := bom.Problem{Place: row.At("Board"), Severity: bom.Note, Found: row.Board, Each: row.Panel + " with " + bom.Shown(row.Board), Want: "a board of the run, or another panel",
		What: "the panel holds a board that the run does not have, and is not used"}
	if mixed {
		p.Severity = bom.Warning
	}
	if hintAt(&p, row.Board, boards); len(boards) > 0 {
		m.problems.Add(p)
	}
}

// hintAt warns where a name is near to that of a board or panel.
func hintAt(p *bom.Problem, name string, boards []Board) {
	names := bom.Each(boards, func(b *Board) string { return b.Name })
	if p.Hint = didYouMean(name, names); p.Hint != "" {
		p.Severity = bom.Warning
	}
}

// checkBoardNames complains of panels that are called as a board of the run is, and tells
// of quotes of assemblers for what the run does not have.
func checkBoardNames(m *Model) {
	panels := map[string]bool{}
	for _, row := range bom.Refs(m.prices.Panels) {
		key := bom.ExactKey(row.Panel)
		if b := boardNamed(m.boards, row.Panel); b >= 0 && len(m.boards[b].Holds) == 0 && !panels[key] {
			m.problems.Errorf(row.At("Panel"), row.Panel, "another name for the panel", "a board of the run has the name of this panel")
		}
		panels[key] = true
	}
	for _, q := range bom.Refs(m.prices.AssemblyQuotes) {
		if len(m.boards) == 0 || boardNamed(m.boards, q.Board) >= 0 || panels[bom.ExactKey(q.Board)] {
			continue
		}
		p := bom.Problem{Place: q.At("Board"), Severity: bom.Note, Found: q.Board, Each: bom.Shown(q.Board), Want: "the name of a board or panel",
			What: "no board or panel of the run has this name, so the quote is not used"}
		hintAt(&p, q.Board, m.boards)
		m.problems.Add(p)
	}
}

// hold puts boards of a type on a panel.
func (p *Board) hold(m *Model, board int, row *bom.PanelRow) {
	if p.Entry < 0 {
		p.Entry = m.boards[board].Entry
	}
	p.Holds = append(p.Holds, Held{Board: board, Per: int(row.Per), Good: int(row.Per - row.XOuts)})
	p.rows = append(p.rows, row)
}

// mostLayouts bounds in how many ways boards are laid on panels.
const mostLayouts = 64

// panelLayouts lists the ways to have the boards made, singly first: each board type on
// one panel at most, all types of a panel together.
func panelLayouts(m *Model) (out [][]int) {
	single := make([]int, len(m.boards))
	for i := range single {
		single[i] = -1
	}
	out = [][]int{single}
	for p := range m.boards {
		holds := m.boards[p].Holds
		if len(holds) == 0 {
			continue
		}
		for _, before := range out {
			if slices.ContainsFunc(holds, func(h Held) bool { return before[h.Board] >= 0 }) {
				continue
			}
			with := slices.Clone(before)
			for _, h := range holds {
				with[h.Board] = p
			}
			out = append(out, with)
		}
		out = out[:min(len(out), mostLayouts)]
	}
	return out
}

// someWanted tells whether a batch needs boards of a panel.
func someWanted(b *Batch, holds []Held) bool {
	return slices.ContainsFunc(holds, func(h Held) bool { return b.Boards[h.Board].Wanted > 0 })
}

// onPanels fills in how many panels are made, and with them the boards that are begun: as
// many as the type that takes the most of them.
func onPanels(m *Model, b *Batch, problems *bom.Problems) {
	for p := range m.boards {
		holds := m.boards[p].Holds
		if len(holds) == 0 || !m.making.made(m, p) {
			continue
		}
		panels := 0
		for _, h := range holds {
			if b.Boards[h.Board].Wanted == 0 && someWanted(b, holds) {
				row := m.boards[p].rows[0]
				problems.Errorf(row.At("Panel"), row.Panel, "a panel of boards that the plan needs", "the panel holds %s, of which the plan needs none", m.boards[h.Board].Name)
			}
			panels = max(panels, (b.Boards[h.Board].Starts+h.Good-1)/h.Good)
		}
		b.Boards[p] = BoardRun{Wanted: panels, Yield: 1, Starts: panels}
		for _, h := range holds {
			b.Boards[h.Board].Starts, b.Boards[h.Board].Panel = panels*h.Good, p+1
		}
	}
}

// panelSize gives the sides in mm of a panel with boards of one type, of a length and a
// width: those that lie across it add up along its length, rows of them along its width,
// with the gaps between and a border at each end. Where the row does not say how many lie
// across, the panel is laid nearest to a square; of equal ones the smallest, then that
// with the fewest across.
func panelSize(row *bom.PanelRow, length, width float64) (along, up float64) {
	if row.Across > 0 {
		return panelSides(row, row.Across, length, width)
	}
	shape, area := math.Inf(1), math.Inf(1)
	for across := int64(1); across <= row.Per; across++ {
		x, y := panelSides(row, across, length, width)
		if s := max(x, y) / min(x, y); cmp.Or(cmp.Compare(s, shape), cmp.Compare(x*y, area)) < 0 {
			shape, area, along, up = s, x*y, x, y
		}
	}
	return along, up
}

// panelSides are the sides of a panel with so many boards across it.
func panelSides(row *bom.PanelRow, across int64, length, width float64) (along, up float64) {
	side := func(board float64, n int64) float64 {
		return board*float64(n) + row.GapMM*float64(n-1) + 2*row.BorderMM
	}
	return side(length, across), side(width, (row.Per+across-1)/across)
}

// sizePanel fills in the size of a panel that is priced by area and holds one board type:
// it follows from the board's, of which of several the fabricator's own counts, then the
// largest.
func sizePanel(m *Model, q bom.Quote) bom.Quote {
	if q.Lot > 0 || !q.PerDM2.IsPositive() || q.LengthMM.Known && q.WidthMM.Known {
		return q
	}
	at := slices.IndexFunc(m.prices.Panels, func(r bom.PanelRow) bool { return bom.ExactKey(r.Panel) == bom.ExactKey(q.Board) })
	if at < 0 {
		return q // the reader asks for the size of a board
	}
	row := &m.prices.Panels[at]
	var board *bom.Quote
	for _, b := range bom.Refs(m.prices.Quotes) {
		if bom.ExactKey(b.Board) == bom.ExactKey(row.Board) && b.LengthMM.Known && b.WidthMM.Known && (board == nil || sizesBetter(&m.prices.Settings, b, board, q)) {
			board = b
		}
	}
	if board == nil {
		m.problems.Errorf(q.At("Per dm2"), q.PerDM2.String(), "Length mm and Width mm of "+bom.Shown(row.Board)+" in a row of the tab boards, or of the panel in this one",
			"a rate by area needs the size of the panel")
		return q
	}
	along, up := panelSize(row, board.LengthMM.Value, board.WidthMM.Value)
	q.LengthMM, q.WidthMM = bom.Known(along), bom.Known(up)
	return q
}

// sizesBetter tells whether the size of a board is rather taken from one row than from
// another.
func sizesBetter(s *bom.Settings, a, b *bom.Quote, panel bom.Quote) bool {
	own := func(q *bom.Quote) bool { return bom.Fold(fabricatorOf(s, *q)) == bom.Fold(fabricatorOf(s, panel)) }
	if own(a) != own(b) {
		return own(a)
	}
	return cmp.Or(cmp.Compare(a.LengthMM.Value*a.WidthMM.Value, b.LengthMM.Value*b.WidthMM.Value), cmp.Compare(a.LengthMM.Value, b.LengthMM.Value)) > 0
}
