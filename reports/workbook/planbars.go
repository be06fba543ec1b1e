package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// onBars is the sheet on which the bars of plans are drawn.
const onBars = "Plan bars"

// Sizes on the sheet of bars, in pixels: each chart fills a landscape page of A4
// but for its margins, and a longer plan gets thinner bars.
const (
	planWidth  = 960
	planRows   = 36 // of one chart, with a margin
	planHeight = (planRows - 3) * pixelsPerRow
	planScale  = 82 // %, on paper
	planFirst  = 3  // row of the first chart
)

// fillBars fills the sheet of plans but for the charts: a page for each batch.
func fillBars(p *page) {
	p.text(1, 1, p.t.Title+": a page for each batch", look{size: 13, bold: true, colour: inputDark})
	p.height(1, titleRow)
	for _, c := range planCharts(p) {
		for row := c.row; row < c.row+planRows; row++ {
			p.height(row, rowHeight) // the same in every spreadsheet, so that pages break between charts
		}
	}
}

// setUpBars draws the plan of each batch: a bar for each task, from its start to
// its end, critical ones dark.
func setUpBars(p *page) {
	onePageEach(p)
	for i, c := range planCharts(p) {
		if i > 0 {
			p.keep(p.f.InsertPageBreak(onBars, at(1, c.row-1)))
		}
		barChart(p, p.live.sheets[onPlan], c.batch, c.span, c.row)
	}
}

// planChart is the chart of one batch: the rows of its tasks in the table of
// plans, and the first row of the chart on the sheet of bars.
type planChart struct {
	batch *cost.Batch
	span  [2]int
	row   int
}

func planCharts(p *page) []planChart {
	var out []planChart
	for i := range p.e.Batches {
		batch := &p.e.Batches[i]
		if span, ok := p.live.sheets[onPlan].spans[batch.Size]; ok {
			out = append(out, planChart{batch, span, planFirst + planRows*len(out)})
		}
	}
	return out
}

// onePageEach sets the paper of charts that are as large as a page.
func onePageEach(p *page) {
	p.paper("landscape", 1, 0)
	no, full := false, uint(planScale)
	p.keep(p.f.SetSheetProps(onBars, &excelize.SheetPropsOptions{FitToPage: &no})) // page breaks hold only then
	p.keep(p.f.SetPageLayout(onBars, &excelize.PageLayoutOptions{AdjustTo: &full}))
}

// barChart draws one batch. The first series is not painted: it holds the bars
// off the axis.
func barChart(p *page, tasks *laid, b *cost.Batch, span [2]int, row int) {
	down := func(key string) string { return tasks.area(tasks.cols[key], span[0], span[1]) }
	name := func(key string) string {
		return fmt.Sprintf("%s$%s$%d", quoted(onPlan), bom.ColumnLetters(tasks.cols[key]), tasks.body-1)
	}
	solid := func(ink string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{ink}}
	}
	series := []excelize.ChartSeries{
		{Name: name(barFrom), Fill: excelize.Fill{Type: "pattern"}},
		{Name: name(barCritical), Fill: solid("1F3B4D")},
		{Name: name(barSlack), Fill: solid("7FB7DB")},
	}
	for i, key := range planTerms {
		series[i].Categories, series[i].Values = down("task"), down(key)
	}
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	gap, oneColour, floor := uint(40), false, 0.0
	p.keep(p.f.AddChart(onBars, at(1, row), &excelize.Chart{
		Type:      excelize.BarStacked,
		Series:    series,
		Dimension: excelize.ChartDimension{Width: planWidth, Height: planHeight},
		Legend:    excelize.ChartLegend{Position: "none"}, // it would name the series that is not painted
		Title:     excelize.ChartTitle{Paragraph: chartText(reports.PlanHead(p.e, b), 12)},
		XAxis:     excelize.ChartAxis{Font: axis, ReverseOrder: true},
		YAxis: excelize.ChartAxis{Font: axis, MajorGridLines: true, Minimum: &floor, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"},
			Title: excelize.ChartTitle{Paragraph: chartText("days from the order; dark: critical, putting it off puts off the whole; pale: has slack", 9)}},
		VaryColors:   &oneColour,
		GapWidth:     &gap,
		ShowBlanksAs: "zero",
	}))
}

// chartText is plain black text on a chart.
func chartText(s string, size float64) []excelize.RichTextRun {
	return []excelize.RichTextRun{{Text: s, Font: &excelize.Font{Family: inputFont, Size: size, Color: "000000"}}}
}
