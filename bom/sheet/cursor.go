package sheet

import (
	"io"
	"reflect"
	"slices"

	"github.com/gocarina/gocsv"

	"tenoff/bom"
)

// cursor hands rows of a region to gocsv, the documented headings first. It is
// gocsv's CSVReader, for CSV and workbooks alike.
type cursor struct {
	reg    *region
	cols   []heading // those that are handed on
	rows   []bom.Row // those that are left
	headed bool      // the headings have been handed on
	text   []byte
	ends   []int
}

// Read gives the next record, io.EOF after the last.
func (c *cursor) Read() ([]string, error) {
	switch {
	case !c.headed:
		c.headed = true
		return bom.Each(c.cols, func(h *heading) string { return h.column.Heading }), nil
	case len(c.rows) > 0:
		row := c.rows[0]
		c.rows = c.rows[1:]
		return c.record(row), nil
	}
	return nil, io.EOF
}

// ReadAll gives all records that are left.
func (c *cursor) ReadAll() ([][]string, error) {
	all := make([][]string, 0, len(c.rows)+1)
	for {
		record, err := c.Read()
		if err == io.EOF {
			return all, nil
		}
		all = append(all, record)
	}
}

// record writes the cells under these headings, blank ones too. Both are in
// order of columns, so one pass finds them. The fields share one text.
func (c *cursor) record(row bom.Row) []string {
	c.text, c.ends = c.text[:0], c.ends[:0]
	i := 0
	for _, h := range c.cols {
		for i < len(row.Cells) && row.Cells[i].Col < h.col {
			i++
		}
		cell := bom.Cell{Col: h.col}
		if i < len(row.Cells) && row.Cells[i].Col == h.col {
			cell = row.Cells[i]
		}
		c.text = newCell(cell).encode(c.text)
		c.ends = append(c.ends, len(c.text))
	}
	text, out, start := string(c.text), make([]string, len(c.ends)), 0
	for i, end := range c.ends {
		out[i], start = text[start:end], end
	}
	return out
}

// recordsAtOnce bounds the records that stand in memory: there may be many rows,
// and a record has room for every documented column.
const recordsAtOnce = 256

// readRecords reads the rows of a table one by one, each as a T, whose fields are Cells
// with a documented heading as csv tag.
func readRecords[T any](d *decoder, read func(record *T)) {
	cols := columnsOf[T](d.reg)
	var records []*T
	d.eachRow(func() {
		if d.row%recordsAtOnce == 0 {
			rest := d.reg.rows[d.row:]
			records = recordsOf[T](&cursor{reg: d.reg, cols: cols, rows: rest[:min(len(rest), recordsAtOnce)]})
		}
		read(records[d.row%recordsAtOnce])
	})
}

// columnsOf gives the columns of a region that T has a field for.
func columnsOf[T any](reg *region) []heading {
	var cols []heading
	fields := reflect.VisibleFields(reflect.TypeFor[T]())
	for _, h := range reg.cols {
		if slices.ContainsFunc(fields, func(f reflect.StructField) bool { return f.Tag.Get("csv") == h.column.Heading }) {
			cols = append(cols, h)
		}
	}
	return cols
}

// recordsOf fills one T for each row of a cursor. gocsv makes a new value of
// what the list holds for each row and then puts it there: of pointers, that is
// no second record.
func recordsOf[T any](c *cursor) []*T {
	out := make([]*T, len(c.rows)) // gocsv makes a list of its own where this is shorter
	if len(c.cols) > 0 {
		if err := gocsv.UnmarshalCSV(c, &out); err != nil {
			panic(err) // encode and UnmarshalCSV of Cell do not fit
		}
		return out
	}
	for i := range out { // a price-break column or two, nothing else
		out[i] = new(T)
	}
	return out
}
