package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// Size of the bars of a plan, in pixels: beside the rows of its tasks, as high as they are.
const (
	planWidth  = 470
	planAround = 45 // pixels of a chart without its bars
	plansAPage = 3
)

// planSheet is when each batch is ready: its tasks, and bars beside them.
func (b *book) planSheet() *page {
	p := b.newPage(sheetPlan, "Plan: when each batch is ready")
	p.landscape, p.next = true, 2
	s := b.table(onPlan)
	if s == nil {
		return p
	}
	s.show("task", "from", "by", "days", "slack", "critical")
	p.beside = (planWidth + pixelsPerOne*2) / pixelsPerOne
	p.place(&block{laid: s}) // the headings, which every page repeats
	p.repeat, p.next = p.blocks[0].head, p.blocks[0].head+1
	for i := range b.e.Batches {
		rows := s.of(b.e.Batches[i].ID())
		if len(rows) == 0 {
			continue
		}
		if n := len(p.heads); n > 0 && len(b.e.Batches) > plansAPage && n%2 == 0 {
			p.breaks = append(p.breaks, p.next)
		}
		p.heads = append(p.heads, head{p.next, i})
		p.next++
		p.place(&block{laid: s, rows: rows, bare: true})
	}
	p.onePage = len(p.heads) <= plansAPage
	for _, n := range s.table.Notes {
		p.remarks = append(p.remarks, section{p.next, n})
		p.next++
	}
	p.draw, p.furnish = func(p *page) { fillPlan(p) }, func(p *page) { bars(p, s) }
	return p
}

// head is the line above the plan of a batch.
type head struct{ row, batch int }

func fillPlan(p *page) {
	for _, h := range p.heads {
		p.says(sum.Cell{Sheet: p.name, Col: 1, Row: h.row}, look{size: 11, bold: true, colour: inputDark})
		p.height(h.row, 16)
	}
}

// bars draws the plan of each batch beside its rows: a bar for each task, from its start to
// its end, critical ones dark. The first series is not painted: it holds the bars off the
// axis.
func bars(p *page, s *laid) {
	for i, h := range p.heads {
		bl := p.blocks[i+1]
		span, ok := s.spans[p.e.Batches[h.batch].ID()]
		if !ok {
			continue
		}
		height := 0.0
		for row := bl.body; row < bl.body+len(bl.rows); row++ {
			height += p.rowPixels(row)
		}
		barChart(p, s, span, bl.body, max(planAround, int(height)))
	}
}

// rowPixels is the height of a row in pixels.
func (p *page) rowPixels(row int) float64 {
	r := p.grid.row(row)
	if r.hidden {
		return 0
	}
	if r.height > 0 {
		return r.height * 96 / 72
	}
	return pixelsPerRow
}

func barChart(p *page, s *laid, span [2]int, row, height int) {
	down := func(key string) string { return s.area(s.cols[key], span) }
	series := []excelize.ChartSeries{
		{Fill: excelize.Fill{Type: "pattern"}}, {Fill: solidFill("1F3B4D")}, {Fill: solidFill("7FB7DB")},
	}
	for i, key := range []string{barFrom, barCritical, barSlack} {
		head := position{0, s.cols[key]}
		c := s.cell(head)
		series[i].Name = fmt.Sprintf("%s$%s$%d", quoted(c.Sheet), bom.ColumnLetters(c.Col), s.rowAt[0]+s.down-1)
		series[i].Categories, series[i].Values = down("task"), down(key)
	}
	axis := excelize.Font{Family: inputFont, Size: 8, Color: "000000"}
	p.keep(p.f.AddChart(p.name, at(len(p.widths)+1, row), &excelize.Chart{
		Type:         excelize.BarStacked,
		Series:       series,
		Dimension:    excelize.ChartDimension{Width: planWidth, Height: uint(height)},
		Format:       excelize.GraphicOptions{OffsetX: 10},
		Legend:       excelize.ChartLegend{Position: "none"}, // it would name the series that is not painted
		XAxis:        excelize.ChartAxis{Font: axis, ReverseOrder: true},
		YAxis:        excelize.ChartAxis{Font: axis, MajorGridLines: true, Minimum: new(0.0), NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"}},
		VaryColors:   new(false),
		GapWidth:     new(uint(40)),
		ShowBlanksAs: "zero",
	}))
}

func solidFill(ink string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{ink}}
}
