package workbook

import (
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

// curveChart draws unit cost and cash per unit over the batch sizes above the
// table. A size without a price would be drawn at 0, so that only the longest
// run of sizes that all have one is drawn.
func curveChart(p *page, t *laid) {
	from, to := longestKnown(t)
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
		col := t.cols[s.column]
		series = append(series, excelize.ChartSeries{
			Name:       p.ref(bom.ColumnLetters(t.colAt[col-1]), t.rowAt[0]-1),
			Categories: t.cells(reports.ColumnBatch, from, to),
			Values:     t.cells(s.column, from, to),
			Fill:       solidFill(s.ink),
			Line:       excelize.LineOptions{Type: excelize.LineSolid, Width: s.width, Dash: s.dash},
			Marker:     excelize.ChartMarker{Symbol: "none"},
		})
	}
	chosen := p.first
	series = append(series, excelize.ChartSeries{
		Name: chosen.ref("A", chosen.sizes), Categories: chosen.across(chosen.sizes), Values: chosen.across(chosen.unit),
		Line:   excelize.LineOptions{Type: excelize.LineNone},
		Marker: excelize.ChartMarker{Symbol: "diamond", Size: 9, Fill: solidFill("5A189A")},
	})
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	p.keep(p.f.AddChart(p.name, at(1, firstRow), &excelize.Chart{
		Type:      excelize.Scatter,
		Series:    series,
		Dimension: excelize.ChartDimension{Width: curveWidth, Height: curveHeight},
		Legend:    excelize.ChartLegend{Position: "bottom", Font: &axis},
		Title:     excelize.ChartTitle{Paragraph: chartText(t.table.Title, 11)},
		XAxis: excelize.ChartAxis{Font: axis, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"}, Minimum: new(t.size(from)), Maximum: new(t.size(to - 1)),
			Title: excelize.ChartTitle{Paragraph: chartText("batch size, units", 9)}},
		YAxis: excelize.ChartAxis{Font: axis, MajorGridLines: true,
			NumFmt: excelize.ChartNumFmt{CustomNumFmt: axisFormat(p.e.Currency)}, Minimum: new(0.0), Maximum: topOf(t, from, to),
			Title: excelize.ChartTitle{Paragraph: chartText(p.e.Currency.Code+" per unit", 9)}},
		ShowBlanksAs: "gap",
	}))
}

// cutAt is how many times the lowest figure the chart reaches up to: the first
// few sizes cost so much that the rest would lie flat on the floor.
const cutAt = 4

// topOf is the end of the scale where the chart is cut off; nil where all of it
// is shown. The rows hold known figures.
func topOf(t *laid, from, to int) *float64 {
	low, high := math.Inf(1), 0.0
	for _, key := range []string{reports.ColumnUnit, reports.ColumnCashUnit} {
		for _, r := range t.table.Rows[from:to] {
			d, _ := r.Values[t.cols[key]-1].Decimal()
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
func (s *laid) size(row int) float64 {
	d, _ := s.table.Rows[row].Values[s.cols[reports.ColumnBatch]-1].Decimal()
	return d.InexactFloat64()
}

// longestKnown gives the rows from, to (not included) of the longest run of
// sizes with a unit cost.
func longestKnown(t *laid) (from, to int) {
	col, start := t.cols[reports.ColumnUnit]-1, 0
	for i := 0; i <= len(t.table.Rows); i++ {
		if i < len(t.table.Rows) && !t.table.Rows[i].Values[col].IsUnknown() {
			continue
		}
		if i-start > to-from {
			from, to = start, i
		}
		start = i + 1
	}
	return from, to
}

// down is a column's cells from one row of the table to another (not included).
func (s *laid) cells(key string, from, to int) string {
	return s.area(s.cols[key], [2]int{s.rowAt[from], s.rowAt[to-1]})
}
