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

// unseen gathers what stands in a sheet though nobody sees it there.
type unseen struct {
	covered    spans // rows with text under merged cells
	hiddenRows spans // those that hold anything
	hiddenCols []span
}

// hideColumns marks columns as hidden, whether they hold anything or not.
func (u *unseen) hideColumns(first, last int) {
	if len(u.hiddenCols) < sheetColumns {
		u.hiddenCols = append(u.hiddenCols, span{first, last})
	}
}

const wantUnhidden = "if they are not meant, delete them"

// note tells what is not read because it is covered, and which rows and columns
// are read though they are hidden.
func (u *unseen) note(b *builder) {
	at := b.table.At(0, 0)
	if u.covered.count > 0 {
		b.probs.Notef(at, "text hidden under merged cells is not read: rows %s", u.covered.list(strconv.Itoa))
	}
	if u.hiddenRows.count > 0 {
		b.probs.Warnf(at, "", wantUnhidden, "hidden rows are read like the others: %s", u.hiddenRows.list(strconv.Itoa))
	}
	if len(u.hiddenCols) == 0 {
		return
	}
	var cols spans
	for col, used := range b.used() {
		if used && slices.ContainsFunc(u.hiddenCols, func(s span) bool { return s.first <= col && col <= s.last }) {
			cols.add(col)
		}
	}
	if cols.count > 0 {
		b.probs.Warnf(at, "", wantUnhidden, "hidden columns are read like the others: %s", cols.list(bom.ColumnLetters))
	}
}

// noteHiddenSheet tells that a sheet is read though it is hidden.
func (b *builder) noteHiddenSheet() {
	b.probs.Notef(b.table.At(0, 0), "the sheet is hidden; it is read like the others")
}

// used tells for each column whether it holds anything.
func (b *builder) used() []bool {
	used := make([]bool, b.columns()+1)
	for _, r := range b.table.Rows {
		for _, c := range r.Cells {
			used[c.Col] = true
		}
	}
	return used
}

// columns is the last column that the table of a sheet can have.
func (b *builder) columns() int { return min(b.lim.Columns, sheetColumns) }
