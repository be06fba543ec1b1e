package workbook

import (
	"fmt"
	"math"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/reports"
)

// Size of the chart of a sweep, in pixels.
const (
	curveWidth  = 900
	curveHeight = 420
)

// curveChart draws unit cost and cash per unit over the batch sizes beside the
// table. A size without a price would be drawn at 0, so that only the longest
// run of sizes that all have one is drawn.
func curveChart(p *page) {
	from, to := longestKnown(p)
	if to-from < 2 {
		return
	}
	var series []excelize.ChartSeries
	for _, s := range []struct {
		column, ink string
		dash        excelize.LineDashType
		width       float64
	}{
		{reports.ColumnUnit, "1F3B4D", excelize.LineDashSolid, 2},
		{reports.ColumnCashUnit, "B97A1B", excelize.LineDashDash, 1.5},
	} {
		col := p.columnOf(s.column)
		series = append(series, excelize.ChartSeries{
			Name:       p.ref(bom.ColumnLetters(col), p.head),
			Categories: p.down(p.columnOf(reports.ColumnBatch), from, to),
			Values:     p.down(col, from, to),
			Fill:       excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.ink}},
			Line:       excelize.LineOptions{Type: excelize.LineSolid, Width: s.width, Dash: s.dash},
			Marker:     excelize.ChartMarker{Symbol: "none"},
		})
	}
	p.beside = (curveWidth + pixelsPerOne*leastWidth) / pixelsPerOne
	first, last, floor := p.size(from), p.size(to-1), 0.0
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	p.keep(p.f.AddChart(p.t.Name, at(len(p.t.Columns)+2, p.head), &excelize.Chart{
		Type:      excelize.Scatter,
		Series:    series,
		Dimension: excelize.ChartDimension{Width: curveWidth, Height: curveHeight},
		Legend:    excelize.ChartLegend{Position: "bottom", Font: &axis},
		Title:     excelize.ChartTitle{Paragraph: chartText(p.t.Title, 11)},
		XAxis: excelize.ChartAxis{Font: axis, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"}, Minimum: &first, Maximum: &last,
			Title: excelize.ChartTitle{Paragraph: chartText("batch size, units", 9)}},
		YAxis: excelize.ChartAxis{Font: axis, MajorGridLines: true,
			NumFmt: excelize.ChartNumFmt{CustomNumFmt: axisFormat(p.e.Currency)}, Minimum: &floor, Maximum: topOf(p, from, to),
			Title: excelize.ChartTitle{Paragraph: chartText(p.e.Currency.Code+" per unit", 9)}},
		ShowBlanksAs: "gap",
	}))
}

// cutAt is how many times the lowest figure the chart reaches up to: the first
// few sizes cost so much that the rest would lie flat on the floor.
const cutAt = 4

// topOf is the end of the scale where the chart is cut off; nil where all of it
// is shown. The rows hold known figures.
func topOf(p *page, from, to int) *float64 {
	low, high := math.Inf(1), 0.0
	for _, key := range []string{reports.ColumnUnit, reports.ColumnCashUnit} {
		for _, r := range p.t.Rows[from:to] {
			d, _ := r.Values[p.columnOf(key)-1].Decimal()
			low, high = min(low, d.InexactFloat64()), max(high, d.InexactFloat64())
		}
	}
	top := math.Ceil(cutAt * low)
	if top <= 0 || high <= top {
		return nil
	}
	return &top
}

// size is the batch size of a row.
func (p *page) size(row int) float64 {
	d, _ := p.t.Rows[row].Values[p.columnOf(reports.ColumnBatch)-1].Decimal()
	return d.InexactFloat64()
}

// longestKnown gives the rows from, to (not included) of the longest run of
// sizes with a unit cost.
func longestKnown(p *page) (from, to int) {
	col, start := p.columnOf(reports.ColumnUnit)-1, 0
	for i := 0; i <= len(p.t.Rows); i++ {
		if i < len(p.t.Rows) && !p.t.Rows[i].Values[col].IsUnknown() {
			continue
		}
		if i-start > to-from {
			from, to = start, i
		}
		start = i + 1
	}
	return from, to
}

// columnOf is the column of the sheet that holds the table's column of that key.
func (p *page) columnOf(key string) int {
	for i, c := range p.t.Columns {
		if c.Key == key {
			return i + 1
		}
	}
	return 0
}

// down is a column's cells from one row of the table to another (not included).
func (p *page) down(col, from, to int) string {
	letters := bom.ColumnLetters(col)
	return fmt.Sprintf("%s:$%s$%d", p.ref(letters, p.body+from), letters, p.body+to-1)
}
