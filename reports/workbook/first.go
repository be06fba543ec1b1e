package workbook

import (
	"fmt"
	"strconv"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// Rows of the first sheet. The table of costs stands below the figures that
// answer the question at one glance.
const (
	rowName = iota + 1
	rowHead
	rowState
	rowHints
	rowSizes
	rowAnswer
	rowCash
	rowDays
	rowCheck
	rowTable = rowCheck + 2
)

// fillFirst fills the first sheet: what one unit costs at each batch size in
// large figures, what is missing, and the table by category.
func fillFirst(p *page) {
	measureFirst(p)
	p.text(1, rowName, bom.Printable(p.e.Name), look{size: 18, bold: true, colour: inputDark})
	p.height(rowName, 27)
	p.text(1, rowHead, reports.Head(p.e), look{colour: inputGrey})
	firstState(p)
	p.text(1, rowHints, hints(p.e), look{colour: inputGrey})
	fontSizes(p)
	p.large(rowAnswer, reports.RowUnit, look{size: 20, bold: true, middle: true}, 30)
	p.large(rowCash, reports.RowCash, look{size: 12, bold: true, middle: true}, 20)
	p.large(rowDays, reports.RowReady, look{size: 12, bold: true, middle: true}, 20)
	p.check()
	for i, r := range p.t.Rows {
		p.row(p.body+i, r)
	}
	if p.laid != nil {
		p.t.Notes = append(p.t.Notes, changeNote)
	}
	for i, n := range p.t.Notes {
		p.text(1, p.body+len(p.t.Rows)+i, n, look{colour: inputGrey})
	}
}

// setUpFirst draws the chart below the notes and prepares the print.
func setUpFirst(p *page) {
	p.chart(p.body + len(p.t.Rows) + len(p.t.Notes) + 1)
	p.freeze(p.t.Lead, rowSizes)
	p.paper("portrait", 1, 1)
}

// changeNote tells what the workbook is good for besides reading.
const changeNote = "tinted cells in To buy, Plan, Offers, Suppliers and Prices used may be changed: every sum follows"

// hints tells where to read on.
func hints(e *cost.Estimate) string {
	return fmt.Sprintf("%s, %s and %s: see the sheet Warnings", counted(len(e.Warnings), "warning"),
		counted(len(e.Assumptions), "assumption"), counted(len(e.Cautions), "caution"))
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

// firstState tells in one merged cell whether something is missing.
func firstState(p *page) {
	s := reports.State(p.e)
	total := 0.0
	for _, w := range p.widths {
		total += w
	}
	const mostLines = 6
	limit := int(total) * (mostLines - 1)
	if r := []rune(s); len(r) > limit {
		s = string(r[:limit]) + "… more in the sheet Warnings"
	}
	p.text(1, rowState, s, look{bold: !p.e.Complete, wrap: true})
	p.merge(1, rowState, len(p.t.Columns))
	p.height(rowState, float64(linesIn(s, total-widthMargin))*rowHeight)
}

// check shows whether the figures of the sheets still agree after a change.
func (p *page) check() {
	l := look{middle: true, below: 1}
	p.text(1, rowCheck, "check", l)
	p.text(2, rowCheck, "", l)
	l.right, l.wrap = true, true
	for i := range p.e.Batches {
		at := spot{rowCheck, p.t.Lead + 1 + i}
		word := uncheckable
		if p.laid != nil {
			word = p.laid.working[at].Exact(reports.AsText)
		}
		p.text(at.col, at.row, word, l)
	}
}

// fontSizes writes the batch sizes as numbers, so that the chart can name them.
func fontSizes(p *page) {
	l := look{bold: true, fill: inputPale, below: 2, size: 12, middle: true}
	p.text(1, rowSizes, "batch size", l)
	p.text(2, rowSizes, "units", l)
	l.right, l.format = true, "#,##0"
	for i := range p.e.Batches {
		p.number(p.t.Lead+1+i, rowSizes, strconv.Itoa(p.e.Batches[i].Size), l)
	}
	p.height(rowSizes, 20)
}

// large repeats a row of the table in large figures.
func (p *page) large(row int, key string, l look, height float64) {
	r := p.t.Find(key)
	small := l
	small.size = 11
	p.put(1, row, r.Values[0], small)
	p.put(2, row, r.Values[1], look{middle: true, below: l.below})
	for i := p.t.Lead; i < len(r.Values); i++ {
		v := r.Values[i]
		big := l
		p.put(i+1, row, v, big)
	}
	p.height(row, height)
}

// measureFirst leaves room for the large figures, and no heading asks for any:
// batch sizes stand in their place.
func measureFirst(p *page) {
	p.widths, p.indent = []float64{24, 16}, make([]bool, len(p.t.Columns))
	const large = 2.1 // of the large figures against the others
	for i := p.t.Lead; i < len(p.t.Columns); i++ {
		c := p.t.Columns[i]
		w := 12.0
		for _, r := range p.t.Rows {
			v := r.Values[i]
			room := shownWidth(v, v.FormatIn(c))
			if r.Key == reports.RowUnit {
				room *= large
			}
			if r.Key == reports.RowCash {
				room *= 1.4
			}
			w = max(w, room+widthMargin)
		}
		p.widths = append(p.widths, w)
	}
}
