package workbook

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"slices"
	"strconv"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// grid holds the cells of one sheet until they are written. The library writes
// a cell's value or its formula but not both, and takes several times as long.
type grid struct {
	rows     []gridRow // by row, from 1 on
	formulas formulas
	looks    []look       // of its cells, in the order in which they are first used
	lookNo   map[look]int // where each stands in looks
	styles   []int        // the library's number of each look
}

func newGrid() *grid { return &grid{lookNo: map[look]int{}} }

// look is the number of a look among those of the sheet.
func (g *grid) look(l look) int {
	n, ok := g.lookNo[l]
	if !ok {
		n = len(g.looks)
		g.looks = append(g.looks, l)
		g.lookNo[l] = n
	}
	return n
}

type gridRow struct {
	height float64 // points; 0: as the spreadsheet likes
	hidden bool
	cells  []gridCell
}

type gridCell struct {
	col, look int
	text      bool
	value     string // empty: the cell has a look and nothing else
}

func (g *grid) row(row int) *gridRow {
	for len(g.rows) < row {
		g.rows = append(g.rows, gridRow{})
	}
	return &g.rows[row-1]
}

// put sets a cell.
func (g *grid) put(row int, c gridCell) {
	r := g.row(row)
	i := len(r.cells)
	for i > 0 && r.cells[i-1].col >= c.col {
		i--
	}
	if i < len(r.cells) && r.cells[i].col == c.col {
		r.cells[i] = c
		return
	}
	r.cells = slices.Insert(r.cells, i, c)
}

// Where the cells stand in a sheet's part.
var (
	dataStart = []byte("<sheetData>")
	dataEnd   = []byte("</sheetData>")
)

// into writes the part of a sheet with the cells in it (ECMA-376 part 1,
// 18.3.1.80).
func (g *grid) into(out *bufio.Writer, data []byte) {
	start, end := bytes.Index(data, dataStart), bytes.Index(data, dataEnd)
	if start < 0 || end < start {
		out.Write(data)
		return
	}
	start += len(dataStart)
	out.Write(data[:start])
	for i := range g.rows {
		if r := &g.rows[i]; r.height > 0 || len(r.cells) > 0 {
			g.writeRow(out, i+1, r)
		}
	}
	out.Write(data[end:])
}

func (g *grid) writeRow(out *bufio.Writer, row int, r *gridRow) {
	number := strconv.Itoa(row)
	out.WriteString(`<row r="`)
	out.WriteString(number)
	if r.height > 0 {
		out.WriteString(`" ht="`)
		out.WriteString(strconv.FormatFloat(r.height, 'f', -1, 64))
		out.WriteString(`" customHeight="1`)
	}
	if r.hidden {
		out.WriteString(`" hidden="1`)
	}
	out.WriteString(`">`)
	for _, c := range bom.Refs(r.cells) {
		out.WriteString(`<c r="`)
		out.WriteString(bom.ColumnLetters(c.col))
		out.WriteString(number)
		out.WriteString(`" s="`)
		out.WriteString(strconv.Itoa(g.styles[c.look]))
		g.writeContent(out, c, g.formulas.at(spot{row, c.col}))
	}
	out.WriteString(`</row>`)
}

// writeContent writes what follows the place and the style of a cell.
func (g *grid) writeContent(out *bufio.Writer, c *gridCell, f formula) {
	switch {
	case f.isStr:
		out.WriteString(`" t="str"><f>`)
		escape(out, f.text)
		out.WriteString(`</f><v>`)
		escape(out, markup.Hide(f.str))
		out.WriteString(`</v></c>`)
	case c.value == "":
		out.WriteString(`"/>`)
	case c.text:
		out.WriteString(`" t="inlineStr"><is><t xml:space="preserve">`)
		escape(out, c.value)
		out.WriteString(`</t></is></c>`)
	default:
		out.WriteString(`">`)
		if f.text != "" {
			out.WriteString(`<f>`)
			escape(out, f.text)
			out.WriteString(`</f>`)
		}
		out.WriteString(`<v>`)
		out.WriteString(c.value)
		out.WriteString(`</v></c>`)
	}
}

// escape fails only where the writer does, which keeps its error.
func escape(out *bufio.Writer, s string) { _ = xml.EscapeText(out, []byte(s)) }
