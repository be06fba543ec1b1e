package sheet

import (
	"io"

	"github.com/gocarina/gocsv"

	"tenoff/bom"
)

// cursor hands the rows of a region to gocsv, the documented headings first. It
// is gocsv's CSVReader, for CSV and workbooks alike.
type cursor struct {
	reg  *region
	next int // 0 is the heading row
}

// Read gives the next record, io.EOF after the last.
func (c *cursor) Read() ([]string, error) {
	at := c.next
	c.next++
	switch {
	case at == 0:
		names := make([]string, len(c.reg.cols))
		for i, h := range c.reg.cols {
			names[i] = h.column.Heading
		}
		return names, nil
	case at <= len(c.reg.rows):
		return c.reg.record(c.reg.rows[at-1]), nil
	}
	return nil, io.EOF
}

// ReadAll gives all records that are left.
func (c *cursor) ReadAll() ([][]string, error) {
	var all [][]string
	for {
		record, err := c.Read()
		if err == io.EOF {
			return all, nil
		}
		all = append(all, record)
	}
}

// record writes the cells under known headings, blank ones too. Both are in
// order of columns, so one pass finds them.
func (reg *region) record(row bom.Row) []string {
	out := make([]string, len(reg.cols))
	i := 0
	for j, h := range reg.cols {
		for i < len(row.Cells) && row.Cells[i].Col < h.col {
			i++
		}
		c := Cell{Row: row.Number, Col: h.col}
		if i < len(row.Cells) && row.Cells[i].Col == h.col {
			c.Kind, c.Text = row.Cells[i].Kind, row.Cells[i].Text
		}
		out[j] = c.encode()
	}
	return out
}

// records fills one T for each row of a region: record i comes from row i. The
// fields of T are Cells whose csv tag is a documented heading.
func records[T any](reg *region) ([]T, error) {
	var out []T
	if len(reg.cols) == 0 { // a price-break column or two, nothing else
		return make([]T, len(reg.rows)), nil
	}
	err := gocsv.UnmarshalCSV(&cursor{reg: reg}, &out)
	return out, err
}
