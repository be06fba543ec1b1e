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
		b.live = newLive(e)
		q := &quoteSheet{page: b.newPage(quoteName, ""), row: 1}
		b.addSheet(q.page)
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
	*page
	row int
}

func (q *quoteSheet) fill(paper reports.QuotePaper) {
	q.widths = quoteWidths
	q.keep(q.setWidths())
	q.text(1, q.row, "Quote", look{size: 20, bold: true, colour: inputDark})
	q.height(q.row, 30)
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
		q.text(2, q.row, "name, date and signature", look{size: 8, colour: inputGrey})
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
	q.text(1, q.row, r.About, look{bold: true})
	last, width := len(quoteWidths), -widthMargin
	l := look{wrap: true}
	if r.Text == "" {
		l.below = 1
		q.height(q.row, 1.5*rowHeight)
	}
	for col := 2; col <= last; col++ {
		q.paint(col, q.row, l)
		width += quoteWidths[col-1]
	}
	q.text(2, q.row, bom.Printable(r.Text), l)
	q.keep(q.f.MergeCell(q.name, at(2, q.row), at(last, q.row)))
	if lines := linesIn(r.Text, width); lines > 1 {
		q.height(q.row, min(float64(lines)*rowHeight+3, mostHeight))
	}
	q.row++
}

func (q *quoteSheet) prices(t reports.Table) {
	for i, c := range t.Columns {
		q.text(i+1, q.row, c.Label(), look{bold: true, fill: inputPale, wrap: true, below: 2, right: i > 0 && c.Format.Numeric()})
	}
	q.height(q.row, 2*rowHeight+3)
	q.row++
	for _, r := range t.Rows {
		l := look{rule: true, wrap: true}
		if r.Role == reports.Total {
			l.bold, l.above = true, 1
		}
		for i, v := range r.Values {
			q.price(i+1, v, t.Columns[i], l)
		}
		if lines := linesIn(r.Values[1].Shown(reports.AsText), quoteWidths[1]-widthMargin); lines > 1 {
			q.height(q.row, float64(lines)*rowHeight+3)
		}
		q.row++
	}
}

// price writes a value of the prices; nothing in a column of figures is a dash.
func (q *quoteSheet) price(col int, v reports.Value, c reports.Column, l look) {
	l.right = col > 1 && c.Format.Numeric()
	l.indent = col == 1 // which batch it is
	if v.IsNothing() && l.right {
		q.text(col, q.row, "–", l)
		return
	}
	q.value(col, q.row, v, v.FormatIn(c), l)
}

// setUp prepares the print: one A4 page, whatever it holds.
func (q *quoteSheet) setUp() {
	q.keep(q.f.SetSheetProps(q.name, &excelize.SheetPropsOptions{FitToPage: new(true)}))
	q.keep(q.f.SetPageLayout(q.name, &excelize.PageLayoutOptions{Size: new(paperA4), Orientation: new("portrait"), FitToWidth: new(1), FitToHeight: new(1)}))
	side := 0.6 // inches
	q.keep(q.f.SetPageMargins(q.name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &side, Bottom: &side}))
	q.keep(q.f.SetSheetView(q.name, 0, &excelize.ViewOptions{ShowGridLines: new(false)}))
}
