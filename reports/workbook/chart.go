package workbook

import (
	"bufio"
	"bytes"
	"fmt"
	"strconv"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
)

// pattern is how one category is filled in the chart: a dark ink on a paler
// ground, in one of the preset patterns of DrawingML (ECMA-376 part 1,
// 20.1.10.33); a solid fill where preset is empty.
type pattern struct {
	ink, ground string
	preset      string
}

// fills has one pattern for each category. Neighbours differ in lightness and
// in pattern, so that they can be told apart in black and white and by readers
// who see few colours; no two have the same ink.
var fills = [...]pattern{
	cost.BareBoard:        {ink: "1F3B4D"},
	cost.SMTAssembly:      {ink: "2A6F97", ground: "DCEBF5", preset: "wdUpDiag"},
	cost.SMTParts:         {ink: "7FB7DB"},
	cost.ThroughHoleParts: {ink: "5B3A00", ground: "F7E3BF", preset: "pct25"},
	cost.Fasteners:        {ink: "B97A1B"},
	cost.PrintedParts:     {ink: "8A4B08", ground: "FFF4DF", preset: "dkHorz"},
	cost.OtherParts:       {ink: "F2C46D"},
	cost.Tooling:          {ink: "5A189A", ground: "F1E4FA", preset: "ltUpDiag"},
	cost.Packing:          {ink: "333333", ground: "F4F4F4", preset: "wdDnDiag"},
	cost.Postage:          {ink: "8C8C8C"},
	cost.Delivery:         {ink: "505050", ground: "FFFFFF", preset: "smGrid"},
	cost.DutyAndTax:       {ink: "C9C9C9"},
	cost.Labour:           {ink: "123524", ground: "D9EFE0", preset: "dkVert"},
}

// Size of the chart, in pixels.
const (
	chartHeight  = 340
	chartLeast   = 620
	pixelsPerOne = 7.4 // of a column's width
)

// chart draws the unit cost by category as stacked columns, one for each batch
// size, from the cells of the table.
func (p *page) chart(row int) {
	sizes := p.rangeOf(rowSizes)
	var series []excelize.ChartSeries
	for _, c := range cost.Categories {
		if !p.costs(c) {
			continue
		}
		row := p.rowOf(c.String())
		series = append(series, excelize.ChartSeries{
			Name:       p.ref("A", row),
			Categories: sizes,
			Values:     p.rangeOf(row),
			Fill:       excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{fills[c].ink}},
		})
		p.patterns = append(p.patterns, fills[c])
	}
	if len(series) == 0 {
		return
	}
	title := "unit cost by category"
	if !p.e.Complete {
		title += " (incomplete: what lacks a price is not in the columns)"
	}
	width := 0.0
	for _, w := range p.widths {
		width += w * pixelsPerOne
	}
	gap, oneColour := uint(60), false
	axis := excelize.Font{Family: inputFont, Size: 9, Color: "000000"}
	p.keep(p.f.AddChart(p.t.Name, at(1, row), &excelize.Chart{
		Type:      excelize.ColStacked,
		Series:    series,
		Dimension: excelize.ChartDimension{Width: uint(max(width, chartLeast)), Height: chartHeight},
		Legend:    excelize.ChartLegend{Position: "right", Font: &axis},
		Title:     excelize.ChartTitle{Paragraph: chartText(title, 11)},
		XAxis:     excelize.ChartAxis{Font: axis, Title: excelize.ChartTitle{Paragraph: chartText("batch size, units", 9)}},
		YAxis: excelize.ChartAxis{Font: axis, MajorGridLines: true,
			NumFmt: excelize.ChartNumFmt{CustomNumFmt: axisFormat(p.e.Currency)},
			Title:  excelize.ChartTitle{Paragraph: chartText(p.e.Currency.Code+" per unit", 9)}},
		VaryColors:   &oneColour,
		GapWidth:     &gap,
		ShowBlanksAs: "zero",
	}))
}

// axisFormat shows the figures of the axis, its zero as well.
func axisFormat(c bom.Currency) string {
	if c.Digits == 0 {
		return "#,##0"
	}
	return "#,##0.00"
}

// costs tells whether a category has a known cost at any batch size.
func (p *page) costs(c cost.Category) bool {
	r := p.t.Find(c.String())
	for i := p.t.Lead; i < len(r.Values); i++ {
		if d, ok := r.Values[i].Decimal(); ok && !d.IsZero() {
			return true
		}
	}
	return false
}

func (p *page) ref(column string, row int) string {
	return fmt.Sprintf("'%s'!$%s$%d", p.t.Name, column, row)
}

// rangeOf is a row's cells at all batch sizes.
func (p *page) rangeOf(row int) string {
	from, to := bom.ColumnLetters(p.t.Lead+1), bom.ColumnLetters(len(p.t.Columns))
	return fmt.Sprintf("%s:$%s$%d", p.ref(from, row), to, row)
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

func (f pattern) xml() string {
	if f.preset == "" {
		return fmt.Sprintf(`<a:solidFill><a:srgbClr val="%s"/></a:solidFill>`, f.ink)
	}
	return fmt.Sprintf(`<a:pattFill prst="%s"><a:fgClr><a:srgbClr val="%s"/></a:fgClr><a:bgClr><a:srgbClr val="%s"/></a:bgClr></a:pattFill>`,
		f.preset, f.ink, f.ground)
}
