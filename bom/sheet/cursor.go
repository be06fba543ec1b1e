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
	rows   []int     // those that are left, as indexes into reg.rows
	headed bool      // the headings have been handed on
	text   []byte
	ends   []int
}

// Read gives the next record, io.EOF after the last.
func (c *cursor) Read() ([]string, error) {
	switch {
	case !c.headed:
		c.headed = true
		names := make([]string, len(c.cols))
		for i, h := range c.cols {
			names[i] = h.column.Heading
		}
		return names, nil
	case len(c.rows) > 0:
		row := c.reg.rows[c.rows[0]]
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

// eachRecord fills one T for each of some rows, which are indexes into reg.rows,
// and hands it on with that index, until more says no. The fields of T are Cells
// whose csv tag is a documented heading.
func eachRecord[T any](reg *region, rows []int, use func(row int, record *T) (more bool)) error {
	cols := columnsOf[T](reg)
	for some := range slices.Chunk(rows, recordsAtOnce) {
		records, err := recordsOf[T](&cursor{reg: reg, cols: cols, rows: some})
		if err != nil {
			return err
		}
		for i, record := range records {
			if !use(some[i], record) {
				return nil
			}
		}
	}
	return nil
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
func recordsOf[T any](c *cursor) ([]*T, error) {
	out := make([]*T, len(c.rows)) // gocsv makes a list of its own where this is shorter
	if len(c.cols) > 0 {
		err := gocsv.UnmarshalCSV(c, &out)
		return out, err
	}
	for i := range out { // a price-break column or two, nothing else
		out[i] = new(T)
	}
	return out, nil
}
