package cost

import (
	"slices"

	"tenoff/bom"
)

// addPanels lists the panels of the price sheet after the board types: those of which all
// boards are of the run.
func addPanels(m *Model) {
	boardOf := map[string]int{}
	for b := range m.boards {
		boardOf[bom.ExactKey(m.boards[b].Name)] = b
	}
	panelOf, foreign := map[string]int{}, map[int]*bom.PanelRow{}
	types := len(m.boards)
	for i := range m.prices.Panels {
		row := &m.prices.Panels[i]
		key := bom.ExactKey(row.Panel)
		p, again := panelOf[key]
		if !again {
			p = len(m.boards)
			panelOf[key] = p
			m.boards = append(m.boards, Board{Name: row.Panel, Entry: -1})
		}
		b, ok := boardOf[bom.ExactKey(row.Board)]
		if !ok {
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
	if near, ok := bom.Nearest(name, names); ok {
		p.Severity, p.Hint = bom.Warning, "did you mean "+near
	}
}

// checkBoardNames complains of panels that are called as a board of the run is, and tells
// of quotes of assemblers for what the run does not have.
func checkBoardNames(m *Model) {
	boards, panels := map[string]bool{}, map[string]bool{}
	for b := range m.boards {
		if len(m.boards[b].Holds) == 0 {
			boards[bom.ExactKey(m.boards[b].Name)] = true
		}
	}
	for i := range m.prices.Panels {
		row := &m.prices.Panels[i]
		key := bom.ExactKey(row.Panel)
		if boards[key] && !panels[key] {
			m.problems.Errorf(row.At("Panel"), row.Panel, "another name for the panel", "a board of the run has the name of this panel")
		}
		panels[key] = true
	}
	for i := range m.prices.AssemblyQuotes {
		q := &m.prices.AssemblyQuotes[i]
		if key := bom.ExactKey(q.Board); len(boards) == 0 || boards[key] || panels[key] {
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

// boardsOn are the boards on a panel, or of a board type one.
func boardsOn(boards []Board, i int) []Held {
	if on := boards[i].Holds; len(on) > 0 {
		return on
	}
	return []Held{{Board: i}}
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
// many as the type that takes the most of them (5.1).
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
