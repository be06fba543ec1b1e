package sheet

import (
	"github.com/gocarina/gocsv"

	"tenoff/bom"
)

// cursor hands rows of a table to gocsv, the documented headings first, for CSV and
// workbooks alike.
type cursor struct {
	cols []heading
	rows []bom.Row
}

// GetCSVRows gives the headings and a record for each row.
func (c cursor) GetCSVRows() ([][]string, error) {
	records := [][]string{bom.Each(c.cols, func(h *heading) string { return h.column.Heading })}
	for _, row := range c.rows {
		records = append(records, c.record(row))
	}
	return records, nil
}

// record writes the cells under the headings, blank ones too. Both are in order of
// columns, so one pass finds them.
func (c cursor) record(row bom.Row) []string {
	out, i := make([]string, len(c.cols)), 0
	for n, h := range c.cols {
		for i < len(row.Cells) && row.Cells[i].Col < h.col {
			i++
		}
		cell := bom.Cell{Col: h.col}
		if i < len(row.Cells) && row.Cells[i].Col == h.col {
			cell = row.Cells[i]
		}
		out[n] = cell.Coded()
	}
	return out
}

// recordsAtOnce bounds the records that stand in memory: there may be many rows,
// and a record has room for every documented column.
const recordsAtOnce = 256

// readRecords reads the rows of a table one by one, each as a T, whose fields are cells
// with a documented heading as csv tag. gocsv makes a new value of what the list holds for
// each row and then puts it there: of pointers, that is no second record.
func readRecords[T any](d *decoder, read func(record *T)) {
	var records []*T
	d.eachRow(func() {
		if d.row%recordsAtOnce == 0 {
			rows := d.reg.rows[d.row:]
			rows = rows[:min(len(rows), recordsAtOnce)]
			records = make([]*T, len(rows)) // gocsv makes a list of its own where this is shorter
			if err := gocsv.UnmarshalDecoder(cursor{d.reg.cols, rows}, &records); err != nil {
				panic(err) // Coded and UnmarshalCSV of a cell do not fit
			}
		}
		read(records[d.row%recordsAtOnce])
	})
}
