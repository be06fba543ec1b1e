package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// span is a run of rows or columns.
type span struct{ first, last int }

// spans gathers rising numbers as runs.
type spans struct {
	runs  []span
	count int
}

func (s *spans) add(n int) {
	s.count++
	if k := len(s.runs) - 1; k >= 0 && s.runs[k].last == n-1 {
		s.runs[k].last = n
		return
	}
	s.runs = append(s.runs, span{n, n})
}

// spansShown keeps a note on one line.
const spansShown = 6

// list names the runs, as in "4-7, 12".
func (s *spans) list(name func(int) string) string {
	var out []string
	for i, r := range s.runs {
		switch {
		case i == spansShown:
			return strings.Join(out, ", ") + fmt.Sprintf(" and others, %d in all", s.count)
		case r.first == r.last:
			out = append(out, name(r.first))
		default:
			out = append(out, name(r.first)+"-"+name(r.last))
		}
	}
	return strings.Join(out, ", ")
}

const wantUnhidden = "nothing to do where they are meant"

// noteHidden tells which rows and columns were read though nobody sees them.
func (w *sheetWalk) noteHidden() {
	at := w.b.table.At(0, 0)
	if w.hiddenRows.count > 0 {
		w.b.probs.Warnf(at, "", wantUnhidden, "hidden rows are read like the others: %s", w.hiddenRows.list(strconv.Itoa))
	}
	if len(w.hiddenCols) == 0 {
		return
	}
	var cols spans
	for col, used := range w.used() {
		if used && slices.ContainsFunc(w.hiddenCols, func(s span) bool { return s.first <= col && col <= s.last }) {
			cols.add(col)
		}
	}
	if cols.count > 0 {
		w.b.probs.Warnf(at, "", wantUnhidden, "hidden columns are read like the others: %s", cols.list(bom.ColumnLetters))
	}
}

// used tells for each column whether it holds anything.
func (w *sheetWalk) used() []bool {
	used := make([]bool, w.columns()+1)
	for _, r := range w.b.table.Rows {
		for _, c := range r.Cells {
			used[c.Col] = true
		}
	}
	return used
}

// columns is the last column that the table can have.
func (w *sheetWalk) columns() int { return min(w.b.lim.Columns, sheetColumns) }
