package workbook

import (
	"io"

	"tenoff/cost"
	"tenoff/cost/revision"
	"tenoff/reports"
)

// WriteDifference writes what each change between two runs costs as a workbook
// of one sheet: a row for each step, with the sums as formulas. name is what the
// runs are of.
func WriteDifference(w io.Writer, name string, r *revision.Comparison, opt Options) error {
	e := &cost.Estimate{Name: name, Currency: r.Currency}
	return write(w, e, opt, func(b *book) error {
		b.properties("what each change costs")
		t := reports.Difference(r)
		b.live = newLive(e)
		s := b.live.note(&t)
		p := b.newPage(t.Name, t.Title)
		p.landscape, p.filter, p.left, p.next = true, true, t.Lead, 2
		p.place(&block{laid: s.show(), rows: s.all(), notes: t.Notes})
		s.span()
		difference(b.live, &t)
		b.keep(b.live.err)
		b.addSheets(p)
		return b.err
	})
}

// difference makes the whole change the sum of the steps, and the new figures
// the old ones with it.
func difference(l *live, t *reports.Table) {
	if t.Body() == 0 {
		return
	}
	for _, c := range t.Columns[t.Lead:] {
		if c.Batch == "" {
			continue
		}
		col := columnKey(c.Key, c.Batch)
		l.set(t.Name, reports.RowChange, col, "ROUND(SUM("+l.column(t.Name, col)+"),9)")
		l.set(t.Name, reports.RowNew, col, "ROUND("+l.ref(t.Name, reports.RowOld, col)+"+"+l.ref(t.Name, reports.RowChange, col)+",9)")
	}
}
