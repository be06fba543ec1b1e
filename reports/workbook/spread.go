package workbook

import (
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/reports"
)

// Sizes of the charts of what drives the unit cost apart: one for each batch, below the
// rows.
const (
	barsAtMost = 12  // rows of a batch that are drawn
	barsWidth  = 900 // pixels
	barsHead   = 90  // pixels of a chart without its bars
	barHeight  = 18
)

// drivers is the rows of a batch in the ranking that are drawn.
type drivers struct{ from, to int }

func driversOf(s *laid) (all []drivers) {
	for from := 0; from < len(s.table.Rows); {
		to := from
		for to < len(s.table.Rows) && batchOf(s.table, &s.table.Rows[to]) == batchOf(s.table, &s.table.Rows[from]) {
			to++
		}
		all = append(all, drivers{from, min(to, from+barsAtMost)})
		from = to
	}
	return all
}

func (d drivers) height() int { return barsHead + barHeight*(d.to-d.from) }

// rankingChart draws some rows of the table, of one batch, as bars.
func rankingChart(p *page, s *laid, row int, d drivers) {
	title := "batch " + batchOf(s.table, &s.table.Rows[d.from]).Shown() + ": cost drivers of the unit cost, share %"
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	col := s.cols[reports.ColumnShare]
	p.keep(p.f.AddChart(p.name, at(1, row), &excelize.Chart{
		Type: excelize.Bar,
		Series: []excelize.ChartSeries{{
			Name:       p.ref(bom.ColumnLetters(s.colAt[col-1]), s.rowAt[0]-1),
			Categories: s.cells(reports.ColumnInput, d.from, d.to),
			Values:     s.cells(reports.ColumnShare, d.from, d.to),
			Fill:       solidFill("2A6F97"),
		}},
		Dimension: excelize.ChartDimension{Width: barsWidth, Height: uint(d.height())},
		Format:    belowEdge,
		Legend:    excelize.ChartLegend{Position: "none"},
		Title:     excelize.ChartTitle{Paragraph: chartText(title, 11)},
		XAxis:     excelize.ChartAxis{Font: axis, ReverseOrder: true},
		YAxis:     excelize.ChartAxis{Font: axis, MajorGridLines: true, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"}, Minimum: new(0.0), Maximum: new(100.0)},
		GapWidth:  new(uint(50)),
	}))
}
