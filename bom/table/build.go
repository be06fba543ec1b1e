package table

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenoff/bom"
)

// builder gathers the cells of one table within the limits.
type builder struct {
	table  bom.Table
	lim    Limits
	probs  bom.Problems
	row    []bom.Cell // of the row being read
	cells  int
	faults int
	cut    bool // the table was not read to its end and may not be used
}

// cell adds a cell to the row being read; an empty one changes nothing.
func (b *builder) cell(row int, c bom.Cell) {
	c.Text = trim(c.Text)
	if n := excess(c.Text, b.lim.CellChars); n > 0 {
		b.tooLong(row, c.Col, c.Text, n)
		return
	}
	b.put(row, c)
}

// put adds a cell whose text is known to be trimmed and not too long.
func (b *builder) put(row int, c bom.Cell) {
	switch {
	case c.Text == "" || b.cut:
	case c.Col > b.lim.Columns:
		b.stop(b.table.At(row, c.Col), c.Text, raise("columns", int64(c.Col)),
			"a cell stands in column %d, over the limit of %d columns", c.Col, b.lim.Columns)
	case b.cells == b.lim.Cells:
		b.stop(b.table.At(row, c.Col), c.Text, raise("cells", 0),
			"the table has more than %d cells, the limit", b.lim.Cells)
	default:
		b.cells++
		b.row = append(b.row, c)
	}
}

// excess is the number of characters of a text that is over the limit, else 0.
func excess(text string, limit int) int {
	if n := utf8.RuneCountInString(text); n > limit {
		return n
	}
	return 0
}

func (b *builder) tooLong(row, col int, text string, chars int) {
	b.stop(b.table.At(row, col), text, raise("cell", int64(chars)),
		"the cell holds %d characters, over the limit of %d", chars, b.lim.CellChars)
}

// endRow keeps the row being read if it holds anything.
func (b *builder) endRow(number int) {
	if len(b.row) == 0 || b.cut {
		return
	}
	if len(b.table.Rows) == b.lim.Rows {
		b.stop(b.table.At(number, 0), "", raise("rows", 0),
			"the table has more than %d rows, the limit", b.lim.Rows)
		return
	}
	b.table.Rows = append(b.table.Rows, bom.Row{Number: number, Cells: slices.Clone(b.row)})
	b.row = b.row[:0]
}

// mostFaults bounds the errors of one table.
const mostFaults = 1000

// wrong adds an error, and ends the table where there are too many.
func (b *builder) wrong(at bom.Place, found, want, what string) {
	b.probs.Errorf(at, found, want, "%s", what)
	if b.faults++; b.faults == mostFaults {
		b.stop(bom.Place{File: at.File, Sheet: at.Sheet, Row: at.Row}, "", "correct those listed so far first",
			"%d errors in this table up to here; the rest of it is not read", b.faults)
	}
}

// stop ends the table with an error.
func (b *builder) stop(at bom.Place, found, want, what string, args ...any) {
	b.cut = true
	b.probs.Errorf(at, found, want, what, args...)
}

// done gives the table, or none if it was cut.
func (b *builder) done() []bom.Table {
	if b.cut {
		return nil
	}
	return []bom.Table{b.table}
}

// trim takes white space off both ends, the no-break spaces and the marks of
// no width among it: they cannot be seen, and make two part numbers differ.
func trim(s string) string {
	return strings.TrimFunc(s, blank)
}

func blank(r rune) bool { return unicode.IsSpace(r) || r == '\uFEFF' || r == '\u200B' }
