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
	Row, Col int
	Kind     bom.CellKind
	Text     string
}

// Blank tells whether nothing stands in the cell.
func (c Cell) Blank() bool { return c.Text == "" }

// encode writes kind and place before the text, because gocsv hands on nothing
// but text and knows no true places.
func (c Cell) encode() string {
	return strconv.Itoa(int(c.Kind)) + " " + strconv.Itoa(c.Row) + " " + strconv.Itoa(c.Col) + " " + c.Text
}

// UnmarshalCSV takes what encode wrote.
func (c *Cell) UnmarshalCSV(s string) error {
	fields := strings.SplitN(s, " ", 4)
	if len(fields) != 4 {
		return fmt.Errorf("cell without kind and place: %q", s)
	}
	var n [3]int
	for i := range n {
		v, err := strconv.Atoi(fields[i])
		if err != nil {
			return fmt.Errorf("cell without kind and place: %q", s)
		}
		n[i] = v
	}
	*c = Cell{Kind: bom.CellKind(n[0]), Row: n[1], Col: n[2], Text: fields[3]}
	return nil
}
