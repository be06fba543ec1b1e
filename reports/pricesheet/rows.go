package pricesheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"maps"
	"slices"

	"tenoff/bom"
)

// RowChange is a row of a tab with the cells that are put into it.
type RowChange struct {
	Row   int              // from 1; 0: a row that is added
	Cells map[string]Value // by documented heading
}

// LayRows finds the cells that changes of rows go into, as Lay does for offers. The last
// row of data is 0 where the tab has none.
func LayRows(t *bom.Table, head *bom.Heading, tab string, last int, changes []RowChange) (*Edit, bom.Problems) {
	l := newLayout(t, head, tab, last)
	for _, c := range changes {
		row := c.Row
		if row == 0 {
			l.next++
			row = l.next
		}
		for _, heading := range headingsOf(tab, c.Cells) {
			v := c.Cells[heading]
			if v.Kind == Blank && head.Col[heading]+l.cols[heading] == 0 {
				continue
			}
			l.put(row, l.column(heading), v)
		}
	}
	return l.laid()
}

// headingsOf are the headings of some cells in the order in which the tab documents them.
func headingsOf(tab string, cells map[string]Value) []string {
	out := slices.Sorted(maps.Keys(cells))
	if t, ok := bom.PriceTab(tab); ok {
		at := func(h string) int { return slices.Index(t.Headings(), h) }
		slices.SortStableFunc(out, func(a, b string) int { return at(a) - at(b) })
	}
	return out
}

// NewTab is the table of a tab that a price sheet does not have, with all rows of it.
func NewTab(tab string, changes []RowChange) (bom.Table, error) {
	def, ok := bom.PriceTab(tab)
	if !ok {
		return bom.Table{}, fmt.Errorf("%s is no tab of a price sheet", tab)
	}
	t := bom.Table{Sheet: def.Name, Rows: []bom.Row{{Number: 1}}}
	cols := map[string]int{}
	for _, h := range def.Headings() {
		if !slices.ContainsFunc(changes, func(c RowChange) bool { return c.Cells[h].Kind != Blank }) {
			continue
		}
		cols[h] = len(cols) + 1
		t.Rows[0].Cells = append(t.Rows[0].Cells, bom.Cell{Col: cols[h], Text: h})
	}
	for i, c := range changes {
		row := bom.Row{Number: i + 2}
		for _, h := range headingsOf(tab, c.Cells) {
			v, cell := c.Cells[h], bom.Cell{Col: cols[h]}
			if cell.Text = v.plain(); v.Kind == Number {
				cell.Kind = bom.Native
			}
			if v.Kind != Blank {
				row.Cells = append(row.Cells, cell)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

// NewCSV writes a table as a CSV file. A figure that could be read two ways gets a nought
// at its end.
func NewCSV(t *bom.Table) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for _, r := range t.Rows {
		record := make([]string, t.Rows[0].Cells[len(t.Rows[0].Cells)-1].Col)
		for _, c := range r.Cells {
			text := safeText(c.Text)
			if _, err := bom.ParseFigure(text, bom.MarkUnknown); c.Kind == bom.Native && err != nil && err.Ambiguous {
				text += "0"
			}
			record[c.Col-1] = text
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
