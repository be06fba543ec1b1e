package table

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// area is a block of cells that are merged into the one at its top left.
type area struct{ top, left, bottom, right int }

func (w *sheetWalk) merge() error {
	ref := w.Attr("ref")
	from, to, two := bytes.Cut(ref, []byte(":"))
	left, top, ok1 := cellName(from)
	right, bottom, ok2 := cellName(to)
	switch {
	case ok1 && !two:
		return nil // one cell
	case !ok1 || !ok2 || right < left || bottom < top:
		return fmt.Errorf("the merged cells %q are no block", markup.Short(ref))
	}
	w.merged = append(w.merged, area{top, left, bottom, right})
	return nil
}

// dropMerged takes away what stands hidden under merged cells: only the cell at
// the top left is shown, and counts. The areas are gone through in step with
// the rows, since both may be many.
func (w *sheetWalk) dropMerged() {
	if len(w.merged) == 0 {
		return
	}
	slices.SortFunc(w.merged, func(a, b area) int { return cmp.Compare(a.top, b.top) })
	cover := make([]int32, w.b.columns()+1) // by column: the last area to begin there, counted from 1
	next := 0
	rows := w.b.table.Rows[:0]
	for _, row := range w.b.table.Rows {
		for ; next < len(w.merged) && w.merged[next].top <= row.Number; next++ {
			for col := w.merged[next].left; col <= min(w.merged[next].right, len(cover)-1); col++ {
				cover[col] = int32(next + 1)
			}
		}
		before := len(row.Cells)
		row.Cells = slices.DeleteFunc(row.Cells, func(c bom.Cell) bool {
			if cover[c.Col] == 0 {
				return false
			}
			a := w.merged[cover[c.Col]-1]
			return row.Number <= a.bottom && (row.Number != a.top || c.Col != a.left)
		})
		if len(row.Cells) < before {
			w.covered = append(w.covered, row.Number)
		}
		if len(row.Cells) > 0 {
			rows = append(rows, row)
		}
	}
	w.b.table.Rows = rows
}
