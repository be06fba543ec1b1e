package workbook

import (
	"bufio"
	"bytes"
	"fmt"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// group is some categories that the chart shows as one: a dark ink on a paler ground, in
// one of the preset patterns of DrawingML (ECMA-376 part 1, 20.1.10.33); a solid fill where
// preset is empty.
type group struct {
	name   string
	of     []cost.Category
	ink    string
	ground string
	preset string
}

// groups differ from their neighbours in lightness and in pattern, so that they can be told
// apart in black and white and by readers who see few colours; no two have the same ink.
var groups = []group{
	{"boards and SMT assembly", []cost.Category{cost.BareBoard, cost.SMTAssembly}, "1D4E79", "", ""},
	{"parts", []cost.Category{cost.SMTParts, cost.ThroughHoleParts, cost.Fasteners, cost.OtherParts}, "7FB7DB", "", ""},
	{"printed parts", []cost.Category{cost.PrintedParts}, "8A4B08", "FFF4DF", "dkHorz"},
	{"labour and tooling", []cost.Category{cost.Labour, cost.Tooling}, "F2C46D", "", ""},
	{"packing and post", []cost.Category{cost.Packing, cost.Postage}, "333333", "F4F4F4", "wdDnDiag"},
	{"delivery, duty and tax", []cost.Category{cost.Delivery, cost.DutyAndTax}, "C9C9C9", "", ""},
}

// known are the categories of a group that lack no price in a batch.
func (g group) known(b *cost.Batch) []cost.Category {
	return slices.DeleteFunc(slices.Clone(g.of), func(c cost.Category) bool { return b.Categories[c].Unpriced })
}

// charted is what the chart shows: the unit cost, or what several products cost in all, and
// how many units each figure is of.
func charted(e *cost.Estimate) (what string, format reports.Format, units func(*cost.Batch) int) {
	if len(e.Products) > 1 {
		return reports.RowConsumed, reports.AsMoney(e.Currency), func(*cost.Batch) int { return 1 }
	}
	return reports.RowUnit, reports.AsUnitMoney(e.Currency), func(b *cost.Batch) int { return b.Size }
}

// groupsTable is what one unit costs by group, or all of several products, for the chart.
func groupsTable(e *cost.Estimate) reports.Table {
	what, format, units := charted(e)
	t := reports.Table{Name: onGroups, Title: what + " by group, as the chart on " + sheetSummary + " shows it", Lead: 1,
		Columns: []reports.Column{{Key: "group", Heading: "Group"}}}
	t.PerBatch(e, reports.Column{Key: "value", Heading: what, Unit: e.Currency.Code, Format: format})
	for _, g := range groups {
		values, any := []reports.Value{reports.Text(g.name)}, false
		for i := range e.Batches {
			b, total := &e.Batches[i], decimal.Zero
			for _, c := range g.known(b) {
				total = total.Add(b.Categories[c].Consumed)
			}
			any = any || !total.IsZero()
			if units(b) > 1 {
				total = b.PerUnit(total)
			}
			values = append(values, reports.Number(total))
		}
		if any {
			t.Rows = append(t.Rows, reports.Row{Key: g.name, Values: values})
		}
	}
	return t
}

// writeGroups adds up the categories of each group.
func writeGroups(l *live, b *cost.Batch) {
	col := columnKey("value", b.ID())
	for _, g := range groups {
		if _, there := l.tables[onGroups].rows[g.name]; !there {
			continue
		}
		refs := bom.Each(g.known(b), func(c *cost.Category) string { return l.refIn(onBatch, c.String(), "consumed", b.ID()) })
		_, _, units := charted(l.e)
		l.set(onGroups, g.name, col, "("+sumOf(refs)+")/"+strconv.Itoa(units(b)))
	}
}

// Size of the chart, in pixels.
const (
	chartHeight  = 225
	chartLeast   = 620
	pixelsPerOne = 7.0 // of a column's width, at least
	pixelsPerRow = rowHeight * 96 / 72
)

// drawChart draws the unit cost by group as stacked columns, one for each batch size, with
// the totals on top, from cells.
func (s *summary) drawChart(row int) {
	p, t := s.page, s.table(onGroups)
	if t == nil {
		return
	}
	sizes := s.across(s.sizes)
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	var series []excelize.ChartSeries
	for _, g := range groups {
		i, there := t.rows[g.name]
		if !there {
			continue
		}
		row := t.rowAt[i]
		series = append(series, excelize.ChartSeries{
			Name:       fmt.Sprintf("%s$A$%d", quoted(t.sheet), row),
			Categories: sizes,
			Values:     fmt.Sprintf("%s$%s$%d:$%s$%d", quoted(t.sheet), bom.ColumnLetters(t.colAt[1]), row, bom.ColumnLetters(t.colAt[len(p.e.Batches)]), row),
			Fill:       solidFill(g.ink),
		})
		p.patterns = append(p.patterns, g)
	}
	what, _, _ := charted(p.e)
	title := what + ", " + p.e.Currency.Code
	if !p.e.Complete {
		title += " (incomplete: what lacks a price is not in the columns)"
	}
	chart := &excelize.Chart{
		Type:      excelize.ColStacked,
		Series:    series,
		Dimension: excelize.ChartDimension{Width: uint(max(p.width()*pixelsPerOne, chartLeast)), Height: chartHeight},
		Format:    belowEdge,
		Legend:    excelize.ChartLegend{Position: "right", Font: &axis},
		Title:     excelize.ChartTitle{Paragraph: chartText(title, 11)},
		XAxis:     excelize.ChartAxis{Font: axis, Title: excelize.ChartTitle{Paragraph: chartText("batch size, units", 9)}},
		YAxis: excelize.ChartAxis{Font: axis, MajorGridLines: true, Minimum: new(0.0), // columns that begin elsewhere would make much of little
			NumFmt: excelize.ChartNumFmt{CustomNumFmt: axisFormat(p.e.Currency)}},
		VaryColors:   new(false),
		GapWidth:     new(uint(60)),
		ShowBlanksAs: "zero",
	}
	totals := &excelize.Chart{
		Type: excelize.Line,
		Series: []excelize.ChartSeries{{
			Name: p.ref("A", s.unit), Categories: sizes, Values: s.across(s.unit),
			Line:              excelize.LineOptions{Type: excelize.LineNone},
			Marker:            excelize.ChartMarker{Symbol: "none"},
			DataLabelPosition: excelize.ChartDataLabelsPositionAbove,
		}},
		PlotArea: excelize.ChartPlotArea{ShowVal: true},
		XAxis:    excelize.ChartAxis{Font: axis},
		YAxis:    excelize.ChartAxis{Font: axis, Minimum: new(0.0)},
	}
	if !p.e.Complete { // there are no totals
		p.keep(p.f.AddChart(p.name, at(1, row), chart))
		return
	}
	p.keep(p.f.AddChart(p.name, at(1, row), chart, totals))
}

// belowEdge keeps the border of a chart off the end of the page above.
var belowEdge = excelize.GraphicOptions{OffsetY: 4}

// axisFormat shows the figures of the axis, its zero as well.
func axisFormat(c bom.Currency) string {
	if c.Digits == 0 {
		return "#,##0"
	}
	return "#,##0.00"
}

func (p *page) ref(column string, row int) string {
	return fmt.Sprintf("'%s'!$%s$%d", p.name, column, row)
}

// across is a row's cells at all batch sizes.
func (s *summary) across(row int) string {
	from, to := bom.ColumnLetters(s.first()), bom.ColumnLetters(s.first()+len(s.e.Batches)-1)
	return fmt.Sprintf("%s:$%s$%d", s.ref(from, row), to, row)
}

// chartText is plain black text on a chart.
func chartText(s string, size float64) []excelize.RichTextRun {
	return []excelize.RichTextRun{{Text: s, Font: &excelize.Font{Family: inputFont, Size: size, Color: "000000"}}}
}

// rewrite changes what the library cannot be asked for: the series of the
// chart get their patterns and a thin outline, and the sheets their cells.
func (b *book) rewrite(out *bufio.Writer, name string, data []byte) {
	for i, g := range b.grids {
		if name == "xl/worksheets/sheet"+strconv.Itoa(i+1)+".xml" {
			g.into(out, data)
			return
		}
	}
	if name == "xl/charts/chart1.xml" {
		b.writePatterned(out, data)
		return
	}
	out.Write(data)
}

// writePatterned writes the chart with the patterns of its series, which stand
// in it in the same order and have an ink each.
func (b *book) writePatterned(out *bufio.Writer, chart []byte) {
	if bytes.Contains(chart, []byte("<lineChart>")) { // the totals, which have a figure and no line
		entry := fmt.Sprintf(`</legendPos><legendEntry><idx val="%d"/><delete val="1"/></legendEntry>`, len(b.patterns))
		chart = bytes.Replace(chart, []byte("</legendPos>"), []byte(entry), 1)
	}
	for _, fill := range b.patterns {
		solid := fmt.Sprintf(`<a:solidFill><a:srgbClr val="%s"></a:srgbClr></a:solidFill>`, fill.ink)
		before, after, found := bytes.Cut(chart, []byte(solid))
		if !found {
			b.keep(fmt.Errorf("the chart has no series of the ink %s to give its pattern to", fill.ink))
			continue
		}
		out.Write(before)
		out.WriteString(fill.xml() + outline)
		chart = after
	}
	out.Write(chart)
}

const outline = `<a:ln w="6350"><a:solidFill><a:srgbClr val="000000"/></a:solidFill></a:ln>`

func (g group) xml() string {
	if g.preset == "" {
		return fmt.Sprintf(`<a:solidFill><a:srgbClr val="%s"/></a:solidFill>`, g.ink)
	}
	return fmt.Sprintf(`<a:pattFill prst="%s"><a:fgClr><a:srgbClr val="%s"/></a:fgClr><a:bgClr><a:srgbClr val="%s"/></a:bgClr></a:pattFill>`,
		g.preset, g.ink, g.ground)
}
