package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// rangesShown keeps a note on one line.
const rangesShown = 6

// ranges names rising numbers, as in "4-7, 12".
func ranges(numbers []int, name func(int) string) string {
	var out []string
	for i := 0; i < len(numbers); {
		if len(out) == rangesShown {
			return strings.Join(out, ", ") + fmt.Sprintf(" and others, %d in all", len(numbers))
		}
		first := i
		for i++; i < len(numbers) && numbers[i] == numbers[i-1]+1; {
			i++
		}
		text := name(numbers[first])
		if i > first+1 {
			text += "-" + name(numbers[i-1])
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// span is a run of columns.
type span struct{ first, last int }

// unseen gathers what stands in a sheet though nobody sees it there.
type unseen struct {
	covered    []int // rows with text under merged cells
	hiddenRows []int // those that hold anything
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
	if len(u.covered) > 0 {
		b.probs.Notef(at, "text hidden under merged cells is not read: rows %s", ranges(u.covered, strconv.Itoa))
	}
	if len(u.hiddenRows) > 0 {
		b.probs.Warnf(at, "", wantUnhidden, "hidden rows are read like the others: %s", ranges(u.hiddenRows, strconv.Itoa))
	}
	if len(u.hiddenCols) == 0 {
		return
	}
	var cols []int
	for col, used := range b.used() {
		if used && slices.ContainsFunc(u.hiddenCols, func(s span) bool { return s.first <= col && col <= s.last }) {
			cols = append(cols, col)
		}
	}
	if len(cols) > 0 {
		b.probs.Warnf(at, "", wantUnhidden, "hidden columns are read like the others: %s", ranges(cols, bom.ColumnLetters))
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
