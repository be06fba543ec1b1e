package workbook

import (
	"maps"
	"slices"

	"github.com/xuri/excelize/v2"

	"tenoff/reports"
)

// validate has cells that may be changed take figures alone, from nothing up, and counts
// where the column counts.
func (p *page) validate() {
	for _, name := range slices.Sorted(maps.Keys(p.live.tables)) {
		s := p.live.tables[name]
		for j := range s.table.Columns {
			p.validateColumn(s, j)
		}
	}
}

// validateColumn checks what is typed into the inputs of a column, where they stand on this
// page, in runs of cells below one another.
func (p *page) validateColumn(s *laid, j int) {
	from, to := 0, 0
	for i := range s.table.Rows {
		c := s.cell(position{i, j + 1})
		if c.Sheet != p.name || !s.inputs[position{i, j + 1}] {
			continue
		}
		if c.Row != to+1 {
			p.validateRun(s, j, from, to)
			from = c.Row
		}
		to = c.Row
	}
	p.validateRun(s, j, from, to)
}

// largestInput is far above any figure of a run, and within what a cell counts exactly.
const largestInput = 1e12

func (p *page) validateRun(s *laid, j, from, to int) {
	if to == 0 || from == 0 {
		return
	}
	col, kind, what := s.colAt[j], excelize.DataValidationTypeDecimal, "a figure from 0 up"
	if f := s.table.Columns[j].Format.Kind; f == reports.KindCount {
		kind, what = excelize.DataValidationTypeWhole, "a whole number from 0 up"
	}
	v := excelize.NewDataValidation(true)
	v.SetSqref(at(col, from) + ":" + at(col, to))
	p.keep(v.SetRange(0.0, float64(largestInput), kind, excelize.DataValidationOperatorBetween))
	v.SetError(excelize.DataValidationErrorStyleStop, s.table.Columns[j].Heading, "expected "+what)
	p.keep(p.f.AddDataValidation(p.name, v))
}
