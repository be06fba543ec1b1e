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
	b.live = newLive(b.e)
	t := reports.Quote(b.e)
	p := b.newPage(t.Name, "")
	p.next = quoteHead
	p.widths = quoteWidths[:len(t.Columns)]
	p.add(b.live.note(&t))
	p.draw = fillQuote
	b.addSheets(p)
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

// fillQuote fills the sheet of the quote: prices in large figures, remarks below.
func fillQuote(p *page) {
	p.text(1, quoteName, bom.Printable(p.e.Name), look{size: 18, bold: true, colour: inputDark})
	p.height(quoteName, 27)
	p.text(1, quoteTitle, "quote, money in "+p.e.Currency.Code, look{size: 12, colour: inputGrey})
	if !p.date.IsZero() {
		p.text(1, quoteDay, "of "+p.date.String(), look{colour: inputGrey})
	}
	row := p.next
	for _, r := range reports.QuoteRemarks(p.e, p.date) {
		quoteRemark(p, row, r)
		row++
	}
}

// quoteRemark writes one remark; its text takes the width of the columns after the
// first.
func quoteRemark(p *page, row int, r reports.Remark) {
	p.text(1, row, r.About, look{bold: true, rule: true})
	last := len(p.widths)
	for col := 2; col <= last; col++ {
		p.paint(col, row, look{wrap: true, rule: true})
	}
	p.text(2, row, r.Text, look{wrap: true, rule: true})
	p.merge(2, row, last)
	width := -widthMargin
	for _, w := range p.widths[1:] {
		width += w
	}
	p.height(row, min(float64(linesIn(r.Text, width))*rowHeight+3, mostHeight))
}
