package workbook

import (
	"math"
	"strconv"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// paperWidth is the number of characters that one landscape A4 page takes
// before its print becomes too small to read.
const paperWidth = 230.0

// setUpSheet freezes the headings, adds the filter and prepares the print.
func (p *page) setUpSheet() {
	last := at(len(p.t.Columns), p.head+max(1, p.t.Body()))
	p.keep(p.f.AutoFilter(p.t.Name, at(1, p.head)+":"+last, nil))
	p.freeze(p.t.Lead, p.head)
	total := p.beside
	for _, w := range p.widths {
		total += w
	}
	p.paper("landscape", int(math.Ceil(total/paperWidth)), 0)
	p.titles(p.head, p.t.Lead)
}

// freeze keeps the first columns and rows in sight. Leading columns are kept
// only as far as they leave most of a screen free.
func (p *page) freeze(columns, rows int) {
	const half = 60.0 // characters, of a small screen
	used, keep := 0.0, 0
	for keep < columns && used+p.widths[keep] <= half {
		used += p.widths[keep]
		keep++
	}
	pane, first := "bottomRight", at(keep+1, rows+1)
	if keep == 0 {
		pane = "bottomLeft"
	}
	p.keep(p.f.SetPanes(p.t.Name, &excelize.Panes{
		Freeze: true, XSplit: keep, YSplit: rows, TopLeftCell: first, ActivePane: pane,
		Selection: []excelize.Selection{{SQRef: first, ActiveCell: first, Pane: pane}},
	}))
}

// paper sets A4, how many pages the sheet may take, margins and footer. tall 0
// lets it take as many as it needs.
func (p *page) paper(orientation string, wide, tall int) {
	fit, size, order := true, paperA4, "overThenDown"
	p.keep(p.f.SetSheetProps(p.t.Name, &excelize.SheetPropsOptions{FitToPage: &fit}))
	p.keep(p.f.SetPageLayout(p.t.Name, &excelize.PageLayoutOptions{
		Size: &size, Orientation: &orientation, FitToWidth: &wide, FitToHeight: &tall, PageOrder: &order}))
	side, foot, bottom := 0.5, 0.3, 0.75 // inches
	p.keep(p.f.SetPageMargins(p.t.Name, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &side, Bottom: &bottom, Header: &foot, Footer: &foot}))
	p.keep(p.f.SetHeaderFooter(p.t.Name, &excelize.HeaderFooterOptions{
		OddFooter: "&L&A&C" + footerText(bom.Printable(p.e.Name)) + "&R" + p.dateText() + "&P / &N"}))
	no := false
	p.keep(p.f.SetSheetView(p.t.Name, 0, &excelize.ViewOptions{ShowGridLines: &no}))
}

func (p *page) dateText() string {
	if p.date.IsZero() {
		return ""
	}
	return p.date.String() + "    "
}

// titles repeats the heading row and the leading columns on every page.
func (p *page) titles(row, columns int) {
	sheet := "'" + p.t.Name + "'!"
	n := strconv.Itoa(row)
	p.define(excelize.DefinedName{
		Name: "_xlnm.Print_Titles", Scope: p.t.Name,
		RefersTo: sheet + "$A:$" + bom.ColumnLetters(columns) + "," + sheet + "$" + n + ":$" + n,
	})
}
