package pricesheet

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// block is a range of cells such as A1:N20.
type block struct{ top, left, bottom, right int }

var blockText = regexp.MustCompile(`^\$?([A-Z]{1,3})\$?([0-9]{1,7})(?::\$?([A-Z]{1,3})\$?([0-9]{1,7}))?$`)

// readBlock reads a range, with or without signs of fixed places.
func readBlock(ref string) (b block, ok bool) {
	m := blockText.FindStringSubmatch(ref)
	if m == nil {
		return block{}, false
	}
	if m[3] == "" {
		m[3], m[4] = m[1], m[2]
	}
	b = block{number(m[2]), columnNumber(m[1]), number(m[4]), columnNumber(m[3])}
	return b, b.top > 0 && b.top <= b.bottom && b.left <= b.right
}

func number(digits string) int {
	n, _ := strconv.Atoi(digits) // seven digits at most
	return n
}

func columnNumber(letters string) int {
	n := 0
	for _, c := range letters {
		n = n*26 + int(c-'A') + 1
	}
	return n
}

func (b block) String() string {
	return cellName(b.top, b.left) + ":" + cellName(b.bottom, b.right)
}

// fixed is the range with signs of fixed places.
func (b block) fixed() string {
	name := func(row, col int) string { return "$" + bom.ColumnLetters(col) + "$" + strconv.Itoa(row) }
	return name(b.top, b.left) + ":" + name(b.bottom, b.right)
}

func cellName(row, col int) string { return bom.ColumnLetters(col) + strconv.Itoa(row) }

// lastRow is the last row with the rows that are added.
func (e *Edit) lastRow() int {
	if n := len(e.Cells); n > 0 {
		return max(e.last, e.Cells[n-1].Row)
	}
	return e.last
}

// grown is a range that begins at the headings and holds all rows of data, with the
// rows that are added, and with the columns that are added next to it. Any other
// range stays as it is.
func (e *Edit) grown(b block) block {
	first := b.right + 1 // of the columns of the tab
	for _, col := range e.head.Col {
		first = min(first, col)
	}
	if b.top < e.head.Row || b.top > e.head.Row+1 || b.bottom < e.last || first < b.left || first > b.right {
		return b
	}
	b.bottom = max(b.bottom, e.lastRow())
	for _, c := range e.Cells {
		if c.Row == e.head.Row && c.Col == b.right+1 {
			b.right = c.Col
		}
	}
	return b
}

// moveRange moves the range at the end of a name's text, "offers!$A$1:$N$20".
func (e *Edit) moveRange(text string) string {
	i := strings.LastIndexByte(text, '!') + 1
	b, ok := readBlock(text[i:])
	if !ok {
		return text
	}
	if grown := e.grown(b); grown != b {
		return text[:i] + grown.fixed()
	}
	return text
}

// extendTables makes the tables of the sheet that hold the offers hold the new
// rows and columns too.
func (w *bookWriter) extendTables() error {
	rels, err := w.relations(w.sheet)
	if err != nil {
		return err
	}
	for _, r := range rels {
		if r.Kind == "table" && w.has(r.Target) {
			if err := w.edit(r.Target, w.extendTable); err != nil {
				return err
			}
		}
	}
	return nil
}

// extendTable finds what changes in the part of a table (ECMA-376 part 1,
// 18.5.1.2).
func (w *bookWriter) extendTable(k *walk) ([]splice, error) {
	var splices []splice
	var names []Cell // headings that are added to it
	count, highest := 0, 0
	for {
		if err := k.next(); err != nil {
			return nil, err
		}
		switch name := k.token.Name; {
		case k.token.Kind == markup.Done:
			return splices, nil
		case k.token.Kind == markup.Start && (name == "table" && k.Depth() == 1 || name == "autoFilter" && k.Depth() == 2):
			b, ok := readBlock(string(k.Bare("ref")))
			grown := w.grown(b)
			if !ok || grown == b {
				if name == "table" {
					return nil, nil
				}
				continue
			}
			if totals := string(k.Bare("totalsRowCount")); totals != "" && totals != "0" && w.lastRow() > w.last {
				return nil, refuse("remove the row of totals, or move the table to a sheet of its own", "a row of totals stands below the data, where rows would be added")
			}
			if name == "table" {
				names = slices.DeleteFunc(slices.Clone(w.inRow(w.head.Row)), func(c Cell) bool { return c.Col <= b.right || c.Col > grown.right })
			}
			splices = append(splices, splice{k.tag(), withAttribute(k.text(k.tag()), "ref", grown.String())})
		case k.token.Kind == markup.Start && name == "tableColumns" && len(names) > 0:
			count = number(string(k.Bare("count")))
			splices = append(splices, splice{k.tag(), withAttribute(k.text(k.tag()), "count", strconv.Itoa(count+len(names)))})
		case k.token.Kind == markup.Start && name == "tableColumn":
			highest = max(highest, number(string(k.Bare("id"))))
		case k.token.Kind == markup.End && name == "tableColumns" && len(names) > 0:
			added := ""
			for i, c := range names {
				added += "<" + k.tagPrefix() + `tableColumn id="` + strconv.Itoa(highest+1+i) + `" name="` + escape(c.Value.Text) + `"/>`
			}
			at := k.tag().start
			splices = append(splices, splice{span{at, at}, added})
		}
	}
}
