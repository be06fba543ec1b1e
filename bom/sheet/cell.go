package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"tenoff/bom"
)

// Cell is one cell under a known heading, in the row that is read. The zero value
// stands for a column that the table does not have; a blank cell has its column
// and no text. There are many of them, and each says no more than it must.
type Cell struct {
	Col  int32
	Kind bom.CellKind
	Sign uint16 // as in bom.Cell
	Text string
}

func newCell(c bom.Cell) Cell {
	return Cell{Col: int32(c.Col), Kind: c.Kind, Sign: c.Sign, Text: c.Text}
}

// Blank tells whether nothing stands in the cell.
func (c Cell) Blank() bool { return c.Text == "" }

// encode writes kind, sign and column before the text, because gocsv hands on
// nothing but text and knows no true places.
func (c Cell) encode(to []byte) []byte {
	for _, n := range [...]int64{int64(c.Kind), int64(c.Sign), int64(c.Col)} {
		to = append(strconv.AppendInt(to, n, 10), ' ')
	}
	return append(to, c.Text...)
}

// UnmarshalCSV takes what encode wrote.
func (c *Cell) UnmarshalCSV(s string) error {
	var n [3]int64
	text := s
	for i := range n {
		digits, rest, ok := strings.Cut(text, " ")
		v, err := strconv.ParseInt(digits, 10, 32)
		if !ok || err != nil {
			return fmt.Errorf("cell without kind and column: %q", s)
		}
		n[i], text = v, rest
	}
	*c = Cell{Kind: bom.CellKind(n[0]), Sign: uint16(n[1]), Col: int32(n[2]), Text: text}
	return nil
}
