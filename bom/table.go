package bom

import (
	"fmt"
	"strconv"
	"strings"
)

// CellKind tells how a cell's text is to be understood.
type CellKind uint8

// The kinds of cell. A CSV file has only Text cells.
const (
	Text    CellKind = iota // as typed: a number in it is read by the rules for numbers
	Native                  // a number stored as one: Text is plain, with a dot, never grouped
	Percent                 // a stored number shown as a percentage: Text ends in %, 0.04 gives "4%"
	DateISO                 // a stored date: Text is YYYY-MM-DD
	Logic                   // a stored truth value: Text is yes or no
	Fault                   // an error value such as #N/A: Text is that value
	Stale                   // a formula without a stored result: Text is the formula
)

// Cell is one cell. A table holds those that are not empty; a reader's may be blank, and
// without a column where the table has none of the kind.
type Cell struct {
	Col  int // from 1
	Kind CellKind
	Sign uint16 // into Table.Signs: the currency that a stored number is shown in
	Text string // white space at both ends removed
}

// Blank tells whether nothing stands in the cell.
func (c Cell) Blank() bool { return c.Text == "" }

// Coded writes kind, sign and column before the text, for a reader of records that hands on
// nothing but text and knows no true places.
func (c Cell) Coded() string {
	var code []byte
	for _, n := range [...]int64{int64(c.Kind), int64(c.Sign), int64(c.Col)} {
		code = append(strconv.AppendInt(code, n, 10), ' ')
	}
	return string(append(code, c.Text...))
}

// UnmarshalCSV takes what Coded wrote.
func (c *Cell) UnmarshalCSV(coded string) error {
	var n [3]int64
	text := coded
	for i := range n {
		digits, rest, ok := strings.Cut(text, " ")
		v, err := strconv.ParseInt(digits, 10, 32)
		if !ok || err != nil {
			return fmt.Errorf("cell without kind and column: %q", coded)
		}
		n[i], text = v, rest
	}
	*c = Cell{Kind: CellKind(n[0]), Sign: uint16(n[1]), Col: int(n[2]), Text: text}
	return nil
}

// Row is one row that holds at least one cell. Cells are in column order.
type Row struct {
	Number int // from 1, as a spreadsheet or an editor shows it
	Cells  []Cell
}

// Table is one sheet of a workbook or one CSV file: all that is not empty, with
// the true place of each cell.
type Table struct {
	File      string // as the user named it
	Sheet     string // empty for CSV
	Separator rune   // of a CSV file; 0 for a workbook
	Rows      []Row

	// Signs are the currency signs and codes of the number formats of a
	// workbook, the first of them empty; none for a CSV file.
	Signs []string
}

// Sign is the currency that a number format shows with a cell; empty for none.
func (t *Table) Sign(c Cell) string {
	if int(c.Sign) >= len(t.Signs) {
		return ""
	}
	return t.Signs[c.Sign]
}

// At is the place of a cell of the table.
func (t *Table) At(row, col int) Place {
	return Place{File: t.File, Sheet: t.Sheet, Row: row, Col: col}
}
