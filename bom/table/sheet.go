package table

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// The size of a sheet of a workbook, ECMA-376 in practice.
const (
	sheetRows    = 1_048_576
	sheetColumns = 16_384
)

// sheetWalk is one walk over the XML of a sheet.
type sheetWalk struct {
	*markup.Scanner
	b    *builder
	book *workbook

	section string // the child of the root that is open
	row     int    // the row that is open or was last
	hidden  bool   // that row
	col     int    // the last cell of that row
	cellXML stored // that cell; its memory is used again

	masters map[string]string // shared formula -> cell that holds its text
	merged  []area
	unseen
}

// readSheet reads one sheet into the builder.
func (w *workbook) readSheet(s sheetPart, b *builder) {
	if s.hidden {
		b.noteHiddenSheet()
	}
	data, err := w.parts.read(s.part)
	if s.part == "" {
		err = errors.New("its part is missing")
	}
	if err != nil {
		b.stop(b.table.At(0, 0), "", wantWhole, "the sheet is damaged: %s", err)
		return
	}
	walk := sheetWalk{Scanner: markup.New(data), b: b, book: w, masters: map[string]string{}}
	if err := walk.all(); err != nil && !b.cut {
		b.stop(b.table.At(walk.row, 0), "", wantWhole, "the sheet is damaged here or after this: %s", err)
	}
	if !b.cut {
		walk.dropMerged()
		walk.note(b)
	}
}

// all goes to the end of the part; what comes where a limit ended the table is not read.
func (w *sheetWalk) all() error {
	return w.Each(func(t markup.Token) error {
		switch {
		case w.b.cut:
		case t.Kind == markup.Start:
			return w.start(t.Name)
		case t.Kind == markup.End && w.Depth() == 2 && w.section == "sheetData" && t.Name == "row":
			w.endRow()
		}
		return nil
	})
}

func (w *sheetWalk) start(name string) error {
	switch w.Depth() {
	case 1:
		if name != "worksheet" {
			return fmt.Errorf("its root is %q, not a worksheet", name)
		}
	case 2:
		w.section = string(name)
	case 3:
		switch {
		case w.section == "sheetData" && name == "row":
			return w.startRow()
		case w.section == "cols" && name == "col" && w.Truth("hidden"):
			first, ok1 := digits(w.Attr("min"))
			last, ok2 := digits(w.Attr("max"))
			if ok1 && ok2 {
				w.hideColumns(first, last)
			}
		case w.section == "mergeCells" && name == "mergeCell":
			return w.merge()
		}
	case 4:
		if w.section == "sheetData" && name == "c" {
			return w.cell()
		}
	}
	return nil
}

func (w *sheetWalk) startRow() error {
	number := w.row + 1
	if r := w.Attr("r"); r != nil {
		n, ok := digits(r)
		if !ok || n < number {
			return fmt.Errorf("row %q stands after row %d", markup.Short(r), w.row)
		}
		number = n
	}
	if number > sheetRows {
		return fmt.Errorf("row %d is beyond the last that a sheet can have", number)
	}
	w.row, w.col, w.hidden = number, 0, w.Truth("hidden")
	return nil
}

func (w *sheetWalk) endRow() {
	if w.hidden && len(w.b.row) > 0 {
		w.hiddenRows = append(w.hiddenRows, w.row)
	}
	w.b.endRow(w.row)
}

// stored is a cell as it stands in the XML.
type stored struct {
	kind       []byte // attribute t
	style      int
	value      []byte // of v, or of the inline text
	hasValue   bool
	formula    []byte
	hasFormula bool
	master     string // the cell that holds the text of the formula
}

// cell reads the cell that just started, to its end.
func (w *sheetWalk) cell() error {
	col := w.col + 1
	if ref := w.Attr("r"); ref != nil {
		c, r, ok := cellName(ref)
		if !ok || r != w.row || c < col {
			return fmt.Errorf("cell %q stands in row %d after column %d", markup.Short(ref), w.row, w.col)
		}
		col = c
	}
	if col > sheetColumns {
		return fmt.Errorf("column %d is beyond the last that a sheet can have", col)
	}
	w.col = col
	c := &w.cellXML
	*c = stored{kind: w.Attr("t"), value: c.value[:0], formula: c.formula[:0]}
	c.style, _ = digits(w.Attr("s"))
	if err := w.content(c); err != nil {
		return err
	}
	return w.give(c)
}

// content reads the children of a cell.
func (w *sheetWalk) content(c *stored) error {
	base := w.Depth()
	inside := byte(0) // v or f
	return w.Within(func(t markup.Token) (err error) {
		switch {
		case t.Kind == markup.End:
			inside = 0
		case w.Depth() != base+1:
		case t.Kind == markup.Start:
			inside, err = w.child(c, t.Name)
		case inside == 'v':
			c.value = append(c.value, t.Text...)
		case inside == 'f':
			c.formula = append(c.formula, t.Text...)
		}
		return err
	})
}

// child opens a child of a cell and tells whether its text is wanted.
func (w *sheetWalk) child(c *stored, name string) (inside byte, err error) {
	switch name {
	case "v":
		c.hasValue = true
		return 'v', nil
	case "f":
		c.hasFormula = true
		if group := string(w.Attr("si")); group != "" {
			if master, ok := w.masters[group]; ok {
				c.master = master
			} else if len(w.masters) < w.b.lim.Cells {
				w.masters[group] = bom.Place{Row: w.row, Col: w.col}.Cell()
			}
		}
		return 'f', nil
	case "is":
		var text string
		text, err = richText(w.Scanner)
		c.value, c.hasValue = append(c.value, text...), true
	}
	return 0, err
}

// give hands a cell to the builder as what it means.
func (w *sheetWalk) give(c *stored) error {
	if c.hasFormula && (!c.hasValue || len(c.value) == 0 && string(c.kind) != "str") {
		text := "=" + string(c.formula)
		if len(c.formula) == 0 && c.master != "" {
			text = "=… as in " + c.master
		}
		w.b.cell(w.row, bom.Cell{Col: w.col, Kind: bom.Stale, Text: text})
		return nil
	}
	if len(c.value) == 0 {
		return nil
	}
	if string(c.kind) == "s" {
		return w.giveShared(c.value)
	}
	out := bom.Cell{Col: w.col, Text: string(c.value)}
	switch string(c.kind) {
	case "", "n":
		f := w.book.formats.of(c.style)
		out.Kind, out.Text = f.number(out.Text, w.book.formats.date1904)
		out.Sign = f.sign
	case "str":
		out.Text = unhide(out.Text)
	case "inlineStr":
	case "b":
		yes, err := truth(out.Text)
		if err != nil {
			return err
		}
		out.Kind, out.Text = yes.Kind, yes.Text
	case "e":
		out.Kind = bom.Fault
	case "d":
		out.Kind, out.Text = dateCell(out.Text)
	default:
		return fmt.Errorf("no cell is of the kind %q", short(string(c.kind)))
	}
	w.b.cell(w.row, out)
	return nil
}

// dateCell reads a date that is stored as ISO 8601 has it, with or without a
// time of day.
func dateCell(text string) (bom.CellKind, string) {
	if date := trim(text); len(date) >= len(time.DateOnly) {
		if _, err := time.Parse(time.DateOnly, date[:len(time.DateOnly)]); err == nil {
			return bom.DateISO, date[:len(time.DateOnly)]
		}
	}
	return bom.Text, text
}

func (w *sheetWalk) giveShared(index []byte) error {
	list := w.book.texts.list
	i, ok := digits(bytes.TrimSpace(index))
	if !ok || i >= len(list) {
		return fmt.Errorf("cell %s names the shared text %q of %d",
			bom.Place{Row: w.row, Col: w.col}.Cell(), markup.Short(index), len(list))
	}
	if n := w.book.texts.tooLong[i]; n > 0 {
		w.b.tooLong(w.row, w.col, list[i], n)
		return nil
	}
	w.b.put(w.row, bom.Cell{Col: w.col, Text: list[i]})
	return nil
}

// cellName reads a name such as AB12.
func cellName(ref []byte) (col, row int, ok bool) {
	i := 0
	for ; i < len(ref) && i < 4; i++ {
		c := ref[i] &^ 0x20 // upper case
		if c < 'A' || c > 'Z' {
			break
		}
		col = col*26 + int(c-'A') + 1
	}
	row, ok = digits(ref[i:])
	return col, row, ok && i > 0 && row > 0
}

// digits reads a number that a sheet counts by.
func digits(b []byte) (n int, ok bool) {
	number, err := strconv.ParseUint(string(b), 10, 30)
	return int(number), err == nil
}

func short(s string) string { return strings.ToValidUTF8(s[:min(len(s), 40)], "") }
