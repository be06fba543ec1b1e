package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"tenoff/bom"
)

// Cell is one cell under a known heading. The zero value stands for a column
// that the table does not have; a blank cell has its place and no text.
type Cell struct {
	Row, Col int32
	Kind     bom.CellKind
	Sign     uint16 // as in bom.Cell
	Text     string
}

// newCell ties a cell of a table to its row.
func newCell(row int, c bom.Cell) Cell {
	return Cell{Row: int32(row), Col: int32(c.Col), Kind: c.Kind, Sign: c.Sign, Text: c.Text}
}

// Blank tells whether nothing stands in the cell.
func (c Cell) Blank() bool { return c.Text == "" }

// encode writes kind, sign and place before the text, because gocsv hands on
// nothing but text and knows no true places.
func (c Cell) encode(to []byte) []byte {
	for _, n := range [...]int64{int64(c.Kind), int64(c.Sign), int64(c.Row), int64(c.Col)} {
		to = append(strconv.AppendInt(to, n, 10), ' ')
	}
	return append(to, c.Text...)
}

// UnmarshalCSV takes what encode wrote.
func (c *Cell) UnmarshalCSV(s string) error {
	var n [4]int64
	text := s
	for i := range n {
		digits, rest, ok := strings.Cut(text, " ")
		v, err := strconv.ParseInt(digits, 10, 32)
		if !ok || err != nil {
			return fmt.Errorf("cell without kind and place: %q", s)
		}
		n[i], text = v, rest
	}
	*c = Cell{Kind: bom.CellKind(n[0]), Sign: uint16(n[1]), Row: int32(n[2]), Col: int32(n[3]), Text: text}
	return nil
}
