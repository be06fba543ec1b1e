package sheet

import "tenoff/bom"

type rawPanel struct {
	Panel  Cell `csv:"Panel"`
	Board  Cell `csv:"Board"`
	Per    Cell `csv:"Per panel"`
	Across Cell `csv:"Across"`
	Gap    Cell `csv:"Gap mm"`
	Border Cell `csv:"Border mm"`
	XOuts  Cell `csv:"X-outs"`
	Dated
}

// panels reads the tab panels. Rows of one panel are its board types.
func (p *priceReader) panels() {
	d, ok := p.reader(bom.TabPanels)
	if !ok {
		return
	}
	var rows []panelRow
	readRows(d, func(raw *rawPanel) {
		if row, ok := panel(d, raw); ok {
			rows = append(rows, panelRow{row, *raw, d.row})
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
	raw   rawPanel
	index int
}

// panel reads one row; ok is false where it names no panel or no board.
func panel(d *decoder, r *rawPanel) (row bom.PanelRow, ok bool) {
	named := d.need(r.Panel)
	named = d.need(r.Board) && named
	before := len(*d.problems)
	row = bom.PanelRow{Origin: d.reg.origin(d.row), Panel: d.key(r.Panel), Board: d.key(r.Board),
		Across: d.whole(r.Across, 0, 1), GapMM: d.measure(r.Gap, true).Value, BorderMM: d.measure(r.Border, true).Value,
		XOuts: d.whole(r.XOuts, 0, 0), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if d.need(r.Per) {
		row.Per = d.whole(r.Per, 0, 1)
	}
	switch {
	case d.failedSince(before) || !named:
	case row.Across > row.Per:
		d.wrong(r.Across, "how many of the "+r.Per.Text+" lie side by side", "more than there are on the panel")
	case row.XOuts >= row.Per:
		d.wrong(r.XOuts, "fewer than the "+r.Per.Text+" on the panel", "no position of the panel would be left")
	}
	return row, named
}

// checkPanel checks a row against all rows of the tab, whose panels and numbers of
// board types are given.
func checkPanel(d *decoder, r panelRow, onPanel map[string]int) {
	switch {
	case bom.ExactKey(r.Panel) == bom.ExactKey(r.Board):
		d.wrong(r.raw.Board, "a board", "the panel is its own board")
		return
	case onPanel[bom.ExactKey(r.Board)] > 0:
		d.wrong(r.raw.Board, "the boards of that panel themselves", "a panel on a panel")
		return
	}
	d.once(r.raw.Board, "the board on the panel "+bom.Shown(r.Panel), bom.ExactKey(r.Panel), bom.ExactKey(r.Board))
	if onPanel[bom.ExactKey(r.Panel)] == 1 {
		return
	}
	for _, c := range []Cell{r.raw.Across, r.raw.Gap, r.raw.Border} {
		if !c.Blank() {
			d.problems.Add(bom.Problem{Place: d.place(c), Severity: bom.Warning, Found: c.Text, Each: bom.Shown(r.Panel),
				What: d.name(c) + ": not used, since several board types are on the panel",
				Want: "leave it blank; the panel's size stands in the tab boards"})
			return
		}
	}
}
