package cost

import (
	"cmp"
	"math"
	"slices"

	"tenoff/bom"
)

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
	for i := range m.prices.Quotes {
		b := &m.prices.Quotes[i]
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
