package pricesheet

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// Refusal says why a file is not written into: what is wrong, and what would be
// right.
type Refusal struct{ What, Want string }

func (r *Refusal) Error() string { return r.What + "; " + r.Want }

func refuse(want, what string, args ...any) error {
	return &Refusal{fmt.Sprintf(what, args...), want}
}

// Write gives the bytes of the file with the cells put in. formulas tells that
// there are formulas whose stored results may be out of date now.
func (e *Edit) Write(data []byte) (out []byte, formulas bool, err error) {
	if bytes.HasPrefix(data, []byte("PK")) {
		return e.writeWorkbook(data)
	}
	out, err = e.writeCSV(data)
	return out, false, err
}

// Check holds the tables of the file as it was written, read again, against those
// before: the cells that were laid hold what they should, and all others what
// they did.
func (e *Edit) Check(before, after []bom.Table) error {
	if len(before) != len(after) {
		return fmt.Errorf("%d tables became %d", len(before), len(after))
	}
	for i := range before {
		was, is := &before[i], &after[i]
		if was.Sheet != is.Sheet {
			return fmt.Errorf("the sheet %s became %s", was.Sheet, is.Sheet)
		}
		var cells []Cell
		if was.Sheet == e.table.Sheet {
			cells = e.Cells
		}
		if err := e.checkTable(was, is, cells); err != nil {
			return err
		}
	}
	return nil
}

// checkTable compares two tables cell by cell.
func (e *Edit) checkTable(was, is *bom.Table, written []Cell) error {
	want := map[[2]int]Value{}
	for _, c := range written {
		if c.Row > e.last {
			c.Row += e.below
		}
		want[[2]int{c.Row, c.Col}] = c.Value
	}
	old, found := cellsOf(was), cellsOf(is)
	for at, v := range want {
		if c := found[at]; !e.holds(v, c) {
			return fmt.Errorf("%s holds %s, %s was meant", cellAt(is, at), bom.Shown(c.Text), bom.Shown(v.plain()))
		}
		delete(old, at)
		delete(found, at)
	}
	for at, c := range old {
		if f, ok := found[at]; !ok || f.Kind != c.Kind || f.Text != c.Text || is.Sign(f) != was.Sign(c) {
			return fmt.Errorf("%s held %s and holds %s", cellAt(is, at), bom.Shown(c.Text), bom.Shown(f.Text))
		}
	}
	for at, c := range found {
		if _, ok := old[at]; !ok {
			return fmt.Errorf("%s holds %s, and nothing before", cellAt(is, at), bom.Shown(c.Text))
		}
	}
	return nil
}

func cellAt(t *bom.Table, at [2]int) string { return t.At(at[0], at[1]).String() }

func cellsOf(t *bom.Table) map[[2]int]bom.Cell {
	cells := map[[2]int]bom.Cell{}
	for _, row := range t.Rows {
		for _, c := range row.Cells {
			cells[[2]int{row.Number, c.Col}] = c
		}
	}
	return cells
}

// holds tells whether a cell that was read is the one that was written.
func (e *Edit) holds(v Value, c bom.Cell) bool {
	if v.Kind == Text {
		return c.Kind == bom.Text && (c.Text == v.Text || c.Text == safeText(v.Text))
	}
	return v.same(c, e.head.Mark)
}

// safeText keeps a spreadsheet from taking text in a CSV file for a formula: the
// readers take the apostrophe off again.
func safeText(s string) string {
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		return "'" + s
	}
	return s
}

// inRow gives the cells of one row, which are sorted.
func (e *Edit) inRow(row int) []Cell {
	i, _ := slices.BinarySearchFunc(e.Cells, row, func(c Cell, row int) int { return c.Row - row })
	j := i
	for j < len(e.Cells) && e.Cells[j].Row == row {
		j++
	}
	return e.Cells[i:j]
}
