package workbook

import (
	"errors"
	"io"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// WriteQuote writes the quote of an estimate alone, as a workbook to hand over:
// prices, what is included, how long it holds and the cautions, and none of the
// costs behind them. It holds figures, no formulas. The estimate must hold at
// least one batch.
func WriteQuote(w io.Writer, e *cost.Estimate, opt Options) error {
	if len(e.Batches) == 0 {
		return errors.New("an estimate without a batch size has no quote")
	}
	return write(w, e, opt, (*book).quoteAlone)
}

func (b *book) quoteAlone() error {
	b.properties("quote")
	t := reports.Quote(b.e)
	b.keep(b.f.SetSheetName(b.f.GetSheetName(0), t.Name))
	b.quote(t)
	return b.err
}

// Rows of the quote above its table.
const (
	quoteName  = 1
	quoteTitle = 2
	quoteDay   = 3
	quoteHead  = 5
)

// quoteWidths are those of the columns: prices above, remarks below.
var quoteWidths = []float64{18, 22, 22, 34, 22}

// quote writes the sheet of the quote: prices in large figures, remarks below.
func (b *book) quote(t reports.Table) {
	p := &page{book: b, grid: b.grid(t.Name), t: t, head: quoteHead, body: quoteHead + 1, laid: b.laid(t.Name)}
	p.indent, p.widths = make([]bool, len(t.Columns)), quoteWidths[:len(t.Columns)]
	for i, w := range p.widths {
		p.setWidth(i+1, w)
	}
	p.text(1, quoteName, bom.Printable(b.e.Name), look{size: 18, bold: true, colour: inputDark})
	p.height(quoteName, 27)
	p.text(1, quoteTitle, "quote, money in "+b.e.Currency.Code, look{size: 12, colour: inputGrey})
	if !b.date.IsZero() {
		p.text(1, quoteDay, "of "+b.date.String(), look{colour: inputGrey})
	}
	p.headings()
	for i, r := range t.Rows {
		for j, v := range r.Values {
			p.put(j+1, p.body+i, v, look{size: 13, bold: j < 2, middle: true, rule: true})
		}
		p.height(p.body+i, 24)
	}
	row := p.body + len(t.Rows) + 1
	for _, r := range reports.QuoteRemarks(b.e, b.date) {
		p.remark(row, r)
		row++
	}
	p.freeze(0, p.head)
	p.paper("portrait", 1, 0)
}

// remark writes one remark; its text takes the width of the columns after the
// first.
func (p *page) remark(row int, r reports.Remark) {
	p.text(1, row, r.About, look{bold: true, rule: true})
	last := len(p.t.Columns)
	for col := 2; col <= last; col++ {
		p.paint(col, row, look{wrap: true, rule: true})
	}
	p.text(2, row, r.Text, look{wrap: true, rule: true})
	p.keep(p.f.MergeCell(p.t.Name, at(2, row), at(last, row)))
	width := -widthMargin
	for _, w := range p.widths[1:] {
		width += w
	}
	p.height(row, min(float64(linesIn(r.Text, width))*rowHeight+3, mostHeight))
}
