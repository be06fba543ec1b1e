package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/reports"
)

// Sizes of the charts of what drives the unit cost apart: one for each batch, one
// below the other beside the table.
const (
	barsAtMost   = 12  // rows of a batch that are drawn
	barsWidth    = 640 // pixels
	barsHead     = 90  // pixels of a chart without its bars
	barHeight    = 26
	pixelsPerRow = rowHeight * 96 / 72
)

// spreadBars draws the top of each batch's ranking from the cells of the table.
func spreadBars(p *page) {
	row := p.body // the headings stand on every page in print
	for from := 0; from < len(p.t.Rows); {
		to := from
		for to < len(p.t.Rows) && p.size(to) == p.size(from) {
			to++
		}
		drawn := min(to-from, barsAtMost)
		height := barsHead + barHeight*drawn
		rankingChart(p, row, height, from, from+drawn)
		row += int(float64(height)/pixelsPerRow) + 2
		from = to
	}
	p.beside = (barsWidth + pixelsPerOne*leastWidth) / pixelsPerOne
}

// rankingChart draws some rows of the table, of one batch, as bars.
func rankingChart(p *page, row, height, from, to int) {
	title := excelize.RichTextRun{
		Text: fmt.Sprintf("batch %.0f: share of the spread of the unit cost, %%", p.size(from)),
		Font: &excelize.Font{Family: inputFont, Size: 11, Color: "000000"},
	}
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	col, floor, top, gap := p.columnOf(reports.ColumnShare), 0.0, 100.0, uint(50)
	p.keep(p.f.AddChart(p.t.Name, at(len(p.t.Columns)+2, row), &excelize.Chart{
		Type: excelize.Bar,
		Series: []excelize.ChartSeries{{
			Name:       p.ref(bom.ColumnLetters(col), p.head),
			Categories: p.down(p.columnOf(reports.ColumnInput), from, to),
			Values:     p.down(col, from, to),
			Fill:       excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"2A6F97"}},
		}},
		Dimension: excelize.ChartDimension{Width: barsWidth, Height: uint(height)},
		Legend:    excelize.ChartLegend{Position: "none"},
		Title:     excelize.ChartTitle{Paragraph: []excelize.RichTextRun{title}},
		XAxis:     excelize.ChartAxis{Font: axis, ReverseOrder: true},
		YAxis:     excelize.ChartAxis{Font: axis, MajorGridLines: true, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"}, Minimum: &floor, Maximum: &top},
		GapWidth:  &gap,
	}))
}
