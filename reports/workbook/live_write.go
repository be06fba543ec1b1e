package workbook

import (
	"strconv"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// workingWidth is that of a working column.
const workingWidth = 12.0

// working fills the working columns to the right of a table.
func (p *page) working() {
	if p.laid == nil || len(p.laid.extras) == 0 {
		return
	}
	grey := look{colour: inputGrey, wrap: true, right: true, below: 1}
	first := p.laid.cols[p.laid.extras[0]]
	p.text(first, p.head-1, "working columns", look{colour: inputGrey})
	for _, key := range p.laid.extras {
		col := p.laid.cols[key]
		p.text(col, p.head, key, grey)
	}
	for row := p.body; row < p.body+len(p.t.Rows); row++ {
		for _, key := range p.laid.extras {
			s := spot{row, p.laid.cols[key]}
			if d, ok := p.laid.working[s].Decimal(); ok {
				p.number(s.col, s.row, d.String(), look{colour: inputGrey, right: true})
			}
		}
	}
}

// setUpWorking keeps the working columns out of what is printed.
func (p *page) setUpWorking() {
	if p.laid != nil && len(p.laid.extras) > 0 {
		p.printArea(len(p.t.Columns), p.body+max(1, len(p.t.Rows))-1)
	}
}

// printArea keeps what is printed to the first columns.
func (p *page) printArea(cols, rows int) {
	p.define(excelize.DefinedName{
		Name: "_xlnm.Print_Area", Scope: p.t.Name,
		RefersTo: quoted(p.t.Name) + "$A$1:$" + bom.ColumnLetters(cols) + "$" + strconv.Itoa(rows),
	})
}
