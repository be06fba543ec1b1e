package cost

import (
	"slices"

	"tenoff/bom"
)

// madeBy is how the boards are made.
func (m *Model) madeBy() Making {
	out := Making{Assembler: m.shopName(), Fitted: m.making.fitted}
	for p := range m.boards {
		if len(m.boards[p].Holds) > 0 && m.making.made(m, p) {
			out.Panels = append(out.Panels, m.boards[p].Name)
		}
	}
	return out
}

// shopName is who populates the boards; empty where nobody does.
func (m *Model) shopName() string {
	if m.making.assembler < 0 {
		return ""
	}
	return m.supply.list[m.making.assembler].Name
}

// made tells whether boards are made singly, or a panel is made at all.
func (mk *making) made(m *Model, board int) bool {
	if len(m.boards[board].Holds) == 0 {
		return mk.panel[board] < 0
	}
	return slices.Contains(mk.panel, board)
}

// populates tells whether a board or panel goes to the assembler.
func (mk *making) populates(m *Model, board int) bool {
	b := &m.boards[board]
	return mk.assembler >= 0 && mk.made(m, board) && (b.Placements > 0 || mk.fitted && b.HandParts > 0)
}

// placed tells whether the assembler puts a line on its board.
func (mk *making) placed(e *Entry) bool {
	return e.Machine || mk.fitted && e.fits
}

// fitted tells whether the assembler may fit the through-hole parts of a product, which
// hangs on its level.
func (p *product) fitted(at bom.Fitting) bool {
	return at == bom.FitAssembler && p.level != bom.LevelBoard || at == bom.FitCheapest && p.level == bom.LevelBuilt
}

// provided tells whether the assembler buys a line that it places.
func (mk *making) provided(e *Entry) bool {
	if !mk.placed(e) {
		return false
	}
	board := e.Board
	if on := mk.panel[board]; on >= 0 {
		board = on
	}
	q := mk.quotes[board]
	return q != nil && q.included && (e.Machine || q.handFit)
}

// markSent marks the parts that the run sends to the assembler, who sells them perhaps.
func markSent(m *Model) {
	for _, p := range bom.Refs(m.parts) {
		p.sent = slices.ContainsFunc(p.Entries, func(e int) bool { return m.making.placed(&m.entries[e]) && !m.making.provided(&m.entries[e]) })
	}
}
