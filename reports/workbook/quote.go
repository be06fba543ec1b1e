package workbook

import (
	"errors"
	"io"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// WriteQuote writes the quote of an estimate, as a workbook of one page to hand over. It
// holds figures, no formulas. The estimate must hold at least one batch.
func WriteQuote(w io.Writer, e *cost.Estimate, terms reports.QuoteTerms) error {
	if len(e.Batches) == 0 {
		return errors.New("an estimate without a batch size has no quote")
	}
	return write(w, e, Options{Date: terms.On}, func(b *book) error {
		b.properties("quote")
		q := &quoteSheet{book: b, styles: map[look]int{}, row: 1}
		q.fill(reports.Quote(e, terms))
		return b.err
	})
}

// quoteName is the sheet's name.
const quoteName = "Quote"

// quoteWidths are those of the columns, in characters: a portrait A4 page.
var quoteWidths = []float64{15, 44, 10, 14, 14}

// quoteSheet is the sheet of a quote on its way; row is the next one.
type quoteSheet struct {
	*book
	styles map[look]int
	row    int
}

func (q *quoteSheet) fill(paper reports.QuotePaper) {
	q.keep(q.f.SetSheetName(q.f.GetSheetName(0), quoteName))
	for i, w := range quoteWidths {
		name := bom.ColumnLetters(i + 1)
		q.keep(q.f.SetColWidth(quoteName, name, name, w))
	}
	q.text(1, "Quote", look{size: 20, bold: true, colour: inputDark})
	q.height(30)
	q.row += 2
	q.remarks(paper.Heads)
	q.row++
	q.remarks(paper.Offer)
	q.row++
	q.prices(paper.Prices)
	q.row++
	q.remarks(paper.Remarks)
	q.row += 2
	for _, who := range []string{"Offered by", "Accepted by"} {
		q.line(reports.Remark{About: who})
		q.text(2, "name, date and signature", look{size: 8, colour: inputGrey})
		q.row += 2
	}
	q.setUp()
}

// remarks writes lines of text, and lines to fill in where there is none.
func (q *quoteSheet) remarks(lines []reports.Remark) {
	for _, r := range lines {
		q.line(r)
	}
}

// line writes one remark; its text takes the width of the columns after the first.
func (q *quoteSheet) line(r reports.Remark) {
	q.text(1, r.About, look{bold: true})
	last, width := len(quoteWidths), -widthMargin
	l := look{wrap: true}
	if r.Text == "" {
		l.below = 1
		q.height(1.5 * rowHeight)
	}
	for col := 2; col <= last; col++ {
		q.style(col, l)
		width += quoteWidths[col-1]
	}
	q.text(2, r.Text, l)
	q.keep(q.f.MergeCell(quoteName, at(2, q.row), at(last, q.row)))
	if lines := linesIn(r.Text, width); lines > 1 {
		q.height(min(float64(lines)*rowHeight+3, mostHeight))
	}
	q.row++
}

func (q *quoteSheet) prices(t reports.Table) {
	for i, c := range t.Columns {
		q.text(i+1, c.Label(), look{bold: true, fill: inputPale, wrap: true, below: 2, right: i > 0 && c.Format.Numeric()})
	}
	q.height(2*rowHeight + 3)
	q.row++
	for _, r := range t.Rows {
		l := look{rule: true, wrap: true}
		if r.Role == reports.Total {
			l.bold, l.above = true, 1
		}
		for i, v := range r.Values {
			q.value(i+1, v, t.Columns[i], l)
		}
		if lines := linesIn(r.Values[1].Shown(reports.AsText), quoteWidths[1]-widthMargin); lines > 1 {
			q.height(float64(lines)*rowHeight + 3)
		}
		q.row++
	}
}

// value writes a value of the prices; nothing in a column of figures is a dash.
func (q *quoteSheet) value(col int, v reports.Value, c reports.Column, l look) {
	f := v.FormatIn(c)
	l.right = col > 1 && c.Format.Numeric()
	l.indent = col == 1 // which batch it is
	d, number := v.Decimal()
	switch {
	case number:
		exact := v.Exact(f)
		l.format = numberFormat(f, exact)
		q.style(col, l)
		q.keep(q.f.SetCellFloat(quoteName, at(col, q.row), d.InexactFloat64(), decimalsIn(exact), 64))
	case v.IsNothing() && l.right:
		q.text(col, "–", l)
	default:
		q.text(col, v.Exact(f), l)
	}
}

// text writes text, which is never taken for a formula.
func (q *quoteSheet) text(col int, s string, l look) {
	q.style(col, l)
	if s != "" {
		q.keep(q.f.SetCellStr(quoteName, at(col, q.row), clipped(bom.Printable(s))))
	}
}

func (q *quoteSheet) style(col int, l look) {
	id, ok := q.styles[l]
	if !ok {
		var err error
		id, err = q.makeStyle(l)
		q.keep(err)
		q.styles[l] = id
	}
	q.keep(q.f.SetCellStyle(quoteName, at(col, q.row), at(col, q.row), id))
}

func (q *quoteSheet) height(points float64) { q.keep(q.f.SetRowHeight(quoteName, q.row, points)) }

// setUp prepares the print: one A4 page, whatever it holds.
func (q *quoteSheet) setUp() {
	fit, size, one, portrait, lines := true, paperA4, 1, "portrait", false
	q.keep(q.f.SetSheetProps(quoteName, &excelize.SheetPropsOptions{FitToPage: &fit}))
	q.keep(q.f.SetPageLayout(quoteName, &excelize.PageLayoutOptions{Size: &size, Orientation: &portrait, FitToWidth: &one, FitToHeight: &one}))
	side := 0.6 // inches
	q.keep(q.f.SetPageMargins(quoteName, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &side, Bottom: &side}))
	q.keep(q.f.SetSheetView(quoteName, 0, &excelize.ViewOptions{ShowGridLines: &lines}))
}
