package workbook

import (
	"math"
	"slices"
	"strconv"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// Characters that a page of A4 takes across at full size, and the smallest print, in
// percent, at which inputSize is still 8 points.
const (
	acrossPortrait  = 85.0
	acrossLandscape = 126.0
	downPortrait    = 755.0 // points of rows, of a page at full size
	downLandscape   = 510.0
	smallestPrint   = 80
	aroundColumn    = 0.65 // what a column takes beside its characters
)

// paper is what a sheet is printed on, and how.
type paper struct {
	landscape bool
	onePage   bool    // all of it on one page
	fitWide   bool    // as wide as a page, however small the print
	screen    bool    // not for paper
	repeat    int     // row of the headings that every page repeats; 0: of the one block
	atLeast   float64 // smallest print, in percent, where it is not smallestPrint
	breaks    []int   // rows that begin a page
}

// across is how many characters a page of the sheet takes at full size.
func (p *paper) across() float64 {
	if p.landscape {
		return acrossLandscape
	}
	return acrossPortrait
}

// down is how many points of rows a page of the sheet takes at full size.
func (p *paper) down() float64 {
	if p.landscape {
		return downLandscape
	}
	return downPortrait
}

// spread is how wide the sheet is, charts beside its columns included.
func (p *page) spread() float64 { return p.width() + p.beside + aroundColumn*float64(len(p.widths)) }

// roomy is how wide the sheet may get before its print becomes too small to read.
func (p *paper) roomy() float64 {
	const screen = 240.0
	if p.screen {
		return screen
	}
	return p.across() * 100 / p.least()
}

// least is the smallest print of the sheet, in percent.
func (p *paper) least() float64 { return max(smallestPrint, p.atLeast) }

// freeze keeps the first columns and rows in sight. Leading columns are kept
// only as far as they leave most of a screen free.
func (p *page) freeze(columns, rows int) {
	const half = 60.0 // characters, of a small screen
	used, keep := 0.0, 0
	for keep < columns && keep < len(p.widths) && used+p.widths[keep] <= half {
		used += p.widths[keep]
		keep++
	}
	pane, first := "bottomRight", at(keep+1, rows+1)
	if keep == 0 {
		pane = "bottomLeft"
	}
	p.keep(p.f.SetPanes(p.name, &excelize.Panes{
		Freeze: true, XSplit: keep, YSplit: rows, TopLeftCell: first, ActivePane: pane,
		Selection: []excelize.Selection{{SQRef: first, ActiveCell: first, Pane: pane}},
	}))
}

// setPaper sets A4, how large the print is, where pages begin, margins and footer. A sheet
// that is too wide for the smallest print takes several pages across.
func (p *page) setPaper() {
	if p.repeat == 0 && len(p.blocks) == 1 {
		p.repeat = p.blocks[0].head
	}
	orientation, size, order := "portrait", paperA4, "overThenDown"
	if p.landscape {
		orientation = "landscape"
	}
	layout := excelize.PageLayoutOptions{Size: &size, Orientation: &orientation, PageOrder: &order}
	fit := p.onePage || p.fitWide
	if fit {
		layout.FitToWidth, layout.FitToHeight = new(1), new(1)
		if p.fitWide {
			layout.FitToHeight = new(0)
		}
	} else {
		size := p.percent()
		p.keepTitles(size)
		layout.AdjustTo = new(uint(size))
	}
	p.keep(p.f.SetSheetProps(p.name, &excelize.SheetPropsOptions{FitToPage: &fit, TabColorRGB: p.tabColour(), DefaultRowHeight: new(rowHeight), CustomHeight: new(true)}))
	p.keep(p.f.SetPageLayout(p.name, &layout))
	for _, row := range p.breaks {
		p.keep(p.f.InsertPageBreak(p.name, at(1, row)))
	}
	side, top, foot, bottom := 0.5, 0.4, 0.25, 0.6 // inches
	p.keep(p.f.SetPageMargins(p.name, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &top, Bottom: &bottom, Header: &foot, Footer: &foot}))
	if p.screen {
		p.unprinted()
	} else {
		p.keep(p.f.SetHeaderFooter(p.name, &excelize.HeaderFooterOptions{
			OddFooter: "&L&A&C" + footerText(bom.Printable(p.e.Name)) + "&R" + p.dateText() + "&P / &N"}))
	}
	p.keep(p.f.SetSheetView(p.name, 0, &excelize.ViewOptions{ShowGridLines: new(false)}))
	if p.repeat > 0 {
		p.titles(p.repeat)
	}
	if p.filter && len(p.blocks) == 1 {
		bl := p.blocks[0]
		p.keep(p.f.AutoFilter(p.name, at(1, bl.head)+":"+at(len(p.widths), bl.body+max(1, len(bl.rows))-1), nil))
	}
	p.freeze(p.left, p.frozen())
}

// frozen is how many rows stay in sight: down to headings near the top, else the title.
func (p *page) frozen() int {
	const near = 12
	if p.repeat > 0 && p.repeat <= near {
		return p.repeat
	}
	return 1
}

// percent is how large the print is: what fits the width of the paper, and less where that
// saves a page.
func (p *page) percent() float64 {
	size := max(p.least(), min(100, 100*p.across()/max(1, p.spread())))
	longest := 0.0
	from := 1
	for _, to := range append(slices.Clone(p.breaks), p.next) {
		high := p.points(from, to)
		if p.repeat > 0 && from > p.repeat {
			high += p.points(p.repeat, p.repeat+1)
		}
		longest = max(longest, high)
		from = to
	}
	if fits := math.Floor(100 * p.down() / max(1, longest)); fits >= p.least() {
		return min(size, fits)
	}
	return size
}

// keepTitles begins a page before a title that would stand at the end of one without what it
// is the title of.
func (p *page) keepTitles(percent float64) {
	const least = 4 // rows that a title needs below it
	down := p.down() * 100 / percent
	until := map[int]int{} // title -> the last row that stands with it
	for _, bl := range p.blocks {
		if bl.top > 0 {
			until[bl.top] = min(bl.body+least, p.next)
		}
	}
	for _, x := range p.sections {
		until[x.row] = min(x.row+least+2, p.next)
	}
	used := 0.0
	for row := 1; row < p.next; row++ {
		if slices.Contains(p.breaks, row) {
			used = 0
		}
		if last, title := until[row]; title && used > 0 && used+p.points(row, last) > down {
			p.breaks = append(p.breaks, row)
			used = 0
		}
		if used += p.points(row, row+1); used > down {
			used = p.points(row, row+1)
			if p.repeat > 0 && row > p.repeat {
				used += p.points(p.repeat, p.repeat+1)
			}
		}
	}
}

// points is how high the rows of a sheet are, the last not included.
func (p *page) points(from, to int) (high float64) {
	for row := from; row < to; row++ {
		high += p.rowPixels(row) * 72 / 96
	}
	return high
}

// dateText says what the date in the footer is the date of.
func (p *page) dateText() string {
	if p.date.IsZero() {
		return ""
	}
	return "computed " + p.date.String() + "    "
}

// titles repeats the headings on every page.
func (p *page) titles(row int) {
	n := strconv.Itoa(row)
	p.define(excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: p.name, RefersTo: quoted(p.name) + "$" + n + ":$" + n})
}

// unprinted keeps a sheet off paper: all that is printed is the last cell of its first row,
// which is empty, and a page with nothing on it, not even a footer, is left out.
func (p *page) unprinted() {
	p.define(excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: p.name, RefersTo: quoted(p.name) + "$XFD$1"})
}

// tall is the number of rows that a picture of so many pixels covers.
func tall(pixels float64) int { return int(math.Ceil(pixels/pixelsPerRow)) + 1 }
