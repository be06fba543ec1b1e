package sheet

import "tenoff/bom"

// panels reads the tab panels. Rows of one panel are its board types.
func (p *priceReader) panels() {
	d, ok := p.reader(bom.TabPanels)
	if !ok {
		return
	}
	var rows []panelRow
	d.eachRow(func() {
		if row, ok := panel(d); ok {
			rows = append(rows, panelRow{row, d.row})
		}
	})
	for _, r := range rows {
		p.onPanel[bom.ExactKey(r.Panel)]++
	}
	for _, r := range rows {
		d.row = r.index
		checkPanel(d, r, p.onPanel)
		p.prices.Panels = append(p.prices.Panels, r.PanelRow)
	}
}

// panelRow is a row of the tab panels and where it stands.
type panelRow struct {
	bom.PanelRow
	index int
}

// panel reads one row; ok is false where it names no panel or no board.
func panel(d *decoder) (row bom.PanelRow, ok bool) {
	cell := d.cell
	before := len(*d.problems)
	named := d.named() && !cell("Board").Blank()
	row = bom.PanelRow{Dated: d.dated(), Panel: d.key(cell("Panel")), Board: d.key(cell("Board")), Per: d.whole(cell("Per panel"), 0, 1),
		Across: d.whole(cell("Across"), 0, 1), GapMM: d.measure(cell("Gap mm"), true).Value, BorderMM: d.measure(cell("Border mm"), true).Value,
		XOuts: d.whole(cell("X-outs"), 0, 0)}
	switch {
	case d.failedSince(before):
	case row.Across > row.Per:
		d.wrong(cell("Across"), "how many of the "+cell("Per panel").Text+" lie side by side", "more than there are on the panel")
	case row.XOuts >= row.Per:
		d.wrong(cell("X-outs"), "fewer than the "+cell("Per panel").Text+" on the panel", "no position of the panel would be left")
	}
	return row, named
}

// checkPanel checks a row against all rows of the tab, whose panels and numbers of
// board types are given.
func checkPanel(d *decoder, r panelRow, onPanel map[string]int) {
	board := d.cell("Board")
	switch {
	case bom.ExactKey(r.Panel) == bom.ExactKey(r.Board):
		d.wrong(board, "a board", "the panel is its own board")
		return
	case onPanel[bom.ExactKey(r.Board)] > 0:
		d.wrong(board, "the boards of that panel themselves", "a panel on a panel")
		return
	}
	d.once(board, "the board on the panel "+bom.Shown(r.Panel), bom.ExactKey(r.Panel), bom.ExactKey(r.Board))
	if onPanel[bom.ExactKey(r.Panel)] == 1 {
		return
	}
	for _, c := range []bom.Cell{d.cell("Across"), d.cell("Gap mm"), d.cell("Border mm")} {
		if !c.Blank() {
			d.warn(c, d.name(c)+": not used, since several board types are on the panel", "leave it blank; the panel's size stands in the tab boards", bom.Shown(r.Panel))
			return
		}
	}
}
