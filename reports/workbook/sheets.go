package workbook

import (
	"slices"
	"strconv"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// The sheets, in their order.
const (
	sheetSummary  = "Summary"
	sheetProducts = "Products"
	sheetBuy      = "Buy"
	sheetBoards   = "Boards"
	sheetPrint    = "Print"
	sheetBench    = "Bench"
	sheetPlan     = "Plan"
	sheetPayers   = "Payers and price"
	sheetSweep    = "Batch sizes"
	sheetRisk     = "Risk"
	sheetInputs   = "Inputs"
	sheetNotes    = "Notes"
	sheetDetail   = "Detail"
)

// tabColours tell groups of sheets apart: the answer, what to do, what may happen, what
// it rests on.
var tabColours = map[string]string{
	sheetSummary: "31504A", sheetProducts: "31504A", sheetBuy: "2A6F97", sheetBoards: "2A6F97", sheetPrint: "2A6F97", sheetBench: "2A6F97", sheetPlan: "2A6F97",
	sheetPayers: "31504A", sheetSweep: "B97A1B", sheetRisk: "B97A1B", sheetInputs: "F2C46D", sheetNotes: "8C8C8C", sheetDetail: "8C8C8C",
}

func (p *page) tabColour() *string {
	if c, ok := tabColours[p.name]; ok {
		return &c
	}
	return nil
}

// asOfRun says that a sheet does not follow what is changed in others.
const asOfRun = "as of the run: these figures do not follow changes in other sheets"

// sheets lays all tables out. Each table stands on one sheet; the columns that it does not
// show there, and those that only formulas need, stand on Detail.
func (b *book) sheets() []*page {
	pages := []*page{
		b.summary(), b.productsSheet(), b.buySheet(), b.boardsSheet(), b.printSheet(), b.benchSheet(), b.planSheet(), b.payersSheet(), b.sweepSheet(), b.riskSheet(),
		b.inputsSheet(), b.notesSheet(), b.detailSheet(),
	}
	return slices.DeleteFunc(pages, func(p *page) bool { return len(p.blocks) == 0 })
}

// table is a table by its name; nil where it has no rows.
func (b *book) table(name string) *laid {
	s := b.live.tables[name]
	if s == nil || len(s.table.Rows) == 0 {
		return nil
	}
	return s
}

// all are the indices of all rows.
func (s *laid) all() []int {
	rows := make([]int, len(s.table.Rows))
	for i := range rows {
		rows[i] = i
	}
	return rows
}

// of are the indices of the rows of one batch, totals last.
func (s *laid) of(batch cost.BatchID) (rows []int) {
	for i := range s.table.Rows {
		if batchOf(s.table, &s.table.Rows[i]) == batch {
			rows = append(rows, i)
		}
	}
	return rows
}

// blockOf is a table as one block, with its title and notes.
func blockOf(s *laid) *block {
	return &block{laid: s, rows: s.all(), title: s.table.Title, notes: s.table.Notes}
}

// add places a whole table, if there is one. On Detail its working columns stand with it.
func (p *page) add(s *laid, keys ...string) {
	if s == nil {
		return
	}
	s.show(keys...)
	for i := len(s.table.Columns); i < len(s.shown) && p.name == sheetDetail; i++ {
		s.order = append(s.order, i)
		s.shown[i] = true
	}
	p.place(blockOf(s))
}

// byBatch places a table with a section for each batch.
func (p *page) byBatch(s *laid, keys ...string) {
	if s == nil {
		return
	}
	s.show(keys...)
	first := true
	for _, batch := range bom.Refs(p.e.Batches) {
		rows := s.of(batch.ID())
		if len(rows) == 0 {
			continue
		}
		bl := &block{laid: s, rows: rows, label: planned(batch), bare: !first}
		if first {
			bl.title, bl.notes = s.table.Title, s.table.Notes
			if p.name == sheetBench {
				bl.notes = nil
			}
		}
		p.place(bl)
		p.next-- // the next section says where it begins
		first = false
	}
	p.next++
}

// productsSheet puts several products side by side: what they cost in all, then by category.
func (b *book) productsSheet() *page {
	p := b.newPage(sheetProducts, "Products: what each costs; what each would land at alone is as of the run")
	p.landscape = true
	if s := b.table(onProducts); s != nil {
		p.byBatch(s, s.keysBut("batch")...)
	}
	if s := b.table(onMade); s != nil {
		s.show(s.keysBut("batch")...)
		for _, x := range bom.Refs(b.e.Batches) {
			p.place(&block{laid: s, rows: s.of(x.ID()), title: s.table.Title + ": " + batchName(x)})
		}
	}
	return p
}

func (b *book) boardsSheet() *page {
	p := b.newPage(sheetBoards, "Boards: how many to start, and what they cost; counts are as of the run")
	p.landscape = true
	cols := []string{"board"}
	if slices.ContainsFunc(b.e.Boards, func(x cost.Board) bool { return x.Holds != nil }) {
		cols = append(cols, "panel")
	}
	cols = append(cols, "per unit")
	assembled := slices.ContainsFunc(b.e.Batches, func(x cost.Batch) bool { return x.Assembler != "" })
	if assembled {
		cols = append(cols, "placements", "joints")
	}
	if slices.ContainsFunc(b.e.Batches, func(x cost.Batch) bool { return x.Fitted }) {
		cols = append(cols, "hand joints")
	}
	if assembled {
		cols = append(cols, "part lines", "sides")
	}
	cols = append(cols, "wanted", "yield", "starts", "on hand", "bought", "lots")
	if assembled {
		cols = append(cols, "assembly")
	}
	p.byBatch(b.table(onBoards), cols...)
	p.add(b.table(onMakings), "batch", "by", "boards", "hand", "more", "landed", "hours")
	return p
}

func (b *book) printSheet() *page {
	p := b.newPage(sheetPrint, "Print: plates, pieces, hours and filament; counts are as of the run")
	p.landscape = true
	if s := b.table(onPrint); s != nil {
		p.byBatch(s, "part", "product", "material", "printer", "pieces", "per plate", "plates", "expected", "piece g", "piece h", "filament", "hours", "machine", "energy", "finish")
	}
	p.add(b.table(onSpools))
	return p
}

// benchPapers are the tables for the bench with the columns that they show, which stand
// below one another; for tells whether a batch gets them on its own page.
var benchPapers = []struct {
	table string
	page  bool
	show  []string
}{
	{onSwaps, true, []string{"part", "substitute", "pieces", "of", "units", "where"}},
	{onPick, true, []string{"part", "value", "package", "assembly", "place", "quantity", "unit", "tick"}},
	{onCutting, true, []string{"part", "description", "leads", "ring", "rest", "rings", "tick"}},
	{onFit, false, []string{"part", "value", "package", "assembly", "place", "per board", "side", "tick"}},
	{onScrews, false, []string{"part", "value", "operation", "assembly", "per unit", "quantity", "unit", "tick"}},
	{onBags, false, []string{"part", "value", "package", "bag", "place", "per unit", "unit", "tick"}},
}

// benchSheet is what to lay out and to cut, a page for each batch, then what is put together
// in which order, or what goes into the bags of a kit.
func (b *book) benchSheet() *page {
	p := b.newPage(sheetBench, "Bench: what to lay out, solder and screw; counts are as of the run")
	p.next, p.landscape, p.atLeast = 2, true, 100 // 10 points in print
	for i := range b.e.Batches {
		batch, again := &b.e.Batches[i], false
		for _, paper := range benchPapers {
			s := b.table(paper.table)
			if s == nil || !paper.page || len(s.of(batch.ID())) == 0 {
				continue
			}
			bl := &block{laid: s.show(paper.show...), rows: s.of(batch.ID()), title: s.table.Title, newPage: !again}
			if !again {
				bl.title = planned(batch) + ": " + bl.title
			}
			p.place(bl)
			again = true
		}
	}
	first := true
	for _, paper := range benchPapers {
		s := b.table(paper.table)
		if s == nil || paper.page {
			continue
		}
		s.show(paper.show...)
		if first && len(p.blocks) > 0 {
			p.breaks = append(p.breaks, p.next)
		}
		first = false
		if s.table.Columns[0].Key == "batch" {
			p.byBatch(s, paper.show...)
			continue
		}
		p.add(s, paper.show...)
	}
	return p
}

// keysBut are the keys of all columns but some.
func (s *laid) keysBut(not ...string) (keys []string) {
	for _, c := range s.table.Columns {
		if !slices.Contains(not, c.Key) {
			keys = append(keys, c.Key)
		}
	}
	return keys
}

// bothAmounts is for how many batches a page takes the cash and what is consumed of it.
const bothAmounts = 4

func (b *book) payersSheet() *page {
	p := b.newPage(sheetPayers, "Payers and price")
	p.landscape = true
	if s := b.table(onPays); s != nil {
		s.show("payer", "category", "unit", "cash", "consumed")
		if len(b.e.Batches) > bothAmounts {
			s.show("payer", "category", "unit", "cash")
		}
		bl := blockOf(s)
		bl.hideZero = true
		p.place(bl)
	}
	parcels := b.table(onParcel)
	if parcels != nil && len(b.e.Products) > 1 && len(p.blocks) > 0 { // of each product and zone, a page full
		p.breaks = append(p.breaks, p.next)
	}
	p.add(parcels, "batch", "product", "zone", "parcels", "units", "service", "chargeable", "price", "currency", "cash", "asked")
	p.add(b.table(onCharge))
	p.add(b.table(onEven))
	p.sayOfRun(onEven)
	return p
}

func (b *book) sweepSheet() *page {
	p := b.newPage(sheetSweep, "Batch sizes: "+asOfRun)
	p.landscape = true
	s := b.table(reports.SweepName)
	if s == nil {
		return p
	}
	p.next += tall(curveHeight)
	p.furnish = func(p *page) { curveChart(p, s) }
	p.add(b.table(onSteps))
	s.show(reports.ColumnBatch, reports.ColumnUnit, reports.ColumnCashUnit, "cash", "surplus", "starts", "off by")
	table := blockOf(s)
	table.marked = func(i int) bool {
		return slices.ContainsFunc(b.e.Batches, func(x cost.Batch) bool { return float64(x.Size) == s.size(i) })
	}
	table.notes = append(slices.Clone(table.notes), "bold: the batches of the run; by category: on the sheet "+sheetDetail)
	p.place(table)
	p.repeat = p.blocks[len(p.blocks)-1].head
	return p
}

func (b *book) riskSheet() *page {
	p := b.newPage(sheetRisk, "Risk: "+asOfRun)
	p.landscape = true
	p.add(b.table(onRisk))
	if s := b.table(reports.SpreadName); s != nil {
		p.byBatch(s, s.keysBut("batch")...)
		used := p.down()                 // points of the page
		for _, d := range driversOf(s) { // as many charts on a page as it holds, each whole
			p.charts = append(p.charts, p.next)
			rows := tall(float64(d.height()))
			if used += float64(rows) * rowHeight; used > p.down() {
				p.breaks = append(p.breaks, p.next)
				used = float64(rows) * rowHeight
			}
			p.next += rows
		}
		p.furnish = func(p *page) {
			for i, d := range driversOf(s) {
				rankingChart(p, s, p.charts[i], d)
			}
		}
	}
	return p
}

func (b *book) inputsSheet() *page {
	p := b.newPage(sheetInputs, "Inputs: the tinted cells may be changed, and all sums follow")
	p.landscape, p.screen = true, true
	p.add(b.table(onSuppliers))
	if s := b.table(onPrices); s != nil {
		var once, again []int
		for i := range s.table.Rows {
			if slices.Contains(toldElsewhere, s.table.Rows[i].Values[0].Exact(reports.AsText)) {
				again = append(again, i)
			} else {
				once = append(once, i)
			}
		}
		p.place(&block{laid: s.show(), rows: once, title: "settings, rates and other prices"})
		p.place(&block{laid: s, rows: again, bare: true, unseen: true})
	}
	p.add(b.table(onOffers))
	return p
}

// toldElsewhere are the kinds of figure that stand among the offers and suppliers as well;
// a figure is changed in one place.
var toldElsewhere = []string{"supplier", "offer", "board", "material"}

func (b *book) notesSheet() *page {
	p := b.newPage(sheetNotes, "Notes: what is missing, warnings, assumptions, cautions, and what is excluded")
	p.landscape = true
	p.add(b.table(onThin), "part", "why", "stock", "unit", "sources", "substitutes") // beside the columns of the notes
	if s := b.table(onNotes); s != nil {
		bl := &block{laid: s.show(), rows: s.all(), notes: s.table.Notes}
		if len(p.blocks) > 0 {
			bl.title = s.table.Title
		}
		p.place(bl)
		p.repeat = bl.head
	}
	return p
}

// detailTables are the tables that stand on Detail alone, in their order.
var detailTables = []string{onBatch, onLines, onParts, onOrders, onFees, onWork, onLeft, onLevels, onRules, onOther, onLeftOut, onGroups, onShares}

// ofTheRun are those of them that do not follow changes.
var ofTheRun = []string{onLevels, onRules, onOther, onLeftOut}

// sayOfRun says above a table that was added last that it does not follow changes.
func (p *page) sayOfRun(name string) {
	if n := len(p.blocks); n > 0 && p.blocks[n-1].laid.table.Name == name {
		p.blocks[n-1].title += reckonedOnce
	}
}

func (b *book) detailSheet() *page {
	p := b.newPage(sheetDetail, "Detail: what the other sheets rest on")
	p.landscape, p.screen = true, true
	for _, name := range detailTables {
		p.add(b.table(name))
		if slices.Contains(ofTheRun, name) {
			p.sayOfRun(name)
		}
	}
	for _, name := range b.names {
		if s := b.table(name); s != nil && s.sheet != sheetDetail && s.sheet != "" {
			p.rest(s)
		}
	}
	p.add(b.table(onSums))
	return p
}

// rest places the columns that a table does not show on its sheet, and its working
// columns, a row for each of its rows and as far apart.
func (p *page) rest(s *laid) {
	col := 1 // the first says what a row is about
	for i := range s.colAt {
		if i >= len(s.table.Columns) || !s.shown[i] {
			col++
			s.colAt[i] = col
		}
	}
	if col == 1 {
		return
	}
	top, low, high := p.next, slices.Min(s.rowAt), slices.Max(s.rowAt)
	s.rest, s.down = p.name, top+2-low
	p.next = top + 2 + high - low + 2
	p.rests = append(p.rests, rest{s, top})
}

// rest is the part of a table that stands on Detail.
type rest struct {
	laid *laid
	top  int
}

// fillRest writes what a table shows nowhere else.
func fillRest(p *page, r rest) {
	s := r.laid
	p.text(1, r.top, s.table.Name+" ("+s.sheet+"), other columns", look{size: 11, bold: true, colour: inputDark})
	head := look{bold: true, fill: inputPale, wrap: true, below: 2}
	p.text(1, r.top+1, "row", head)
	n := len(s.table.Columns)
	for i := range s.colAt {
		switch {
		case i >= n:
			p.text(s.colAt[i], r.top+1, s.extras[i-n], head)
		case !s.shown[i]:
			p.text(s.colAt[i], r.top+1, s.table.Columns[i].Label(), head)
		}
	}
	for i := range s.table.Rows {
		restRow(p, s, i)
	}
}

func restRow(p *page, s *laid, i int) {
	n := len(s.table.Columns)
	p.text(1, s.rowAt[i]+s.down, s.sheet+" "+strconv.Itoa(s.rowAt[i]), look{colour: inputGrey})
	for j := range s.colAt {
		if j < n && s.shown[j] {
			continue
		}
		p.put(s, i, j, look{})
	}
}
