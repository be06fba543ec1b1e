package sheet

import (
	"io"

	"github.com/gocarina/gocsv"

	"tenoff/bom"
)

// cursor hands rows of a region to gocsv, the documented headings first. It is
// gocsv's CSVReader, for CSV and workbooks alike.
type cursor struct {
	reg    *region
	rows   []bom.Row
	headed bool // the headings have been handed on
	text   []byte
	ends   []int
}

// Read gives the next record, io.EOF after the last.
func (c *cursor) Read() ([]string, error) {
	switch {
	case !c.headed:
		c.headed = true
		names := make([]string, len(c.reg.cols))
		for i, h := range c.reg.cols {
			names[i] = h.column.Heading
		}
		return names, nil
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

// record writes the cells under known headings, blank ones too. Both are in
// order of columns, so one pass finds them. The fields share one text.
func (c *cursor) record(row bom.Row) []string {
	c.text, c.ends = c.text[:0], c.ends[:0]
	i := 0
	for _, h := range c.reg.cols {
		for i < len(row.Cells) && row.Cells[i].Col < h.col {
			i++
		}
		cell := bom.Cell{Col: h.col}
		if i < len(row.Cells) && row.Cells[i].Col == h.col {
			cell = row.Cells[i]
		}
		c.text = newCell(row.Number, cell).encode(c.text)
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

// eachRecord fills one T for each row of a region and hands it on with the
// number of the row, from 0, until more says no. The fields of T are Cells whose
// csv tag is a documented heading. A record is filled anew after use returns.
func eachRecord[T any](reg *region, use func(i int, record *T) (more bool)) error {
	// gocsv makes a list of its own unless this one is as long as what it reads.
	all := make([]T, min(recordsAtOnce, len(reg.rows)))
	for from := 0; from < len(reg.rows); from += recordsAtOnce {
		rows := reg.rows[from:min(from+recordsAtOnce, len(reg.rows))]
		out := all[:len(rows)]
		if len(reg.cols) > 0 { // else a price-break column or two, nothing else
			if err := gocsv.UnmarshalCSV(&cursor{reg: reg, rows: rows}, &out); err != nil {
				return err
			}
		}
		for i := range out {
			if !use(from+i, &out[i]) {
				return nil
			}
		}
	}
	return nil
}
