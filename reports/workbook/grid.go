package workbook

import (
	"bytes"
	"encoding/xml"
	"slices"
	"strconv"

	"tenoff/bom"
)

// grid holds the cells of one sheet until they are written. The library writes
// a cell's value or its formula but not both, and takes several times as long.
type grid struct {
	columns  int       // about how many a row holds
	rows     []gridRow // by row, from 1 on
	formulas map[spot]formula
	looks    []look       // of its cells, in the order in which they are first used
	lookNo   map[look]int // where each stands in looks
	styles   []int        // the library's number of each look
}

// newGrid begins the cells of a table of that many columns.
func newGrid(columns int, s *laid) *grid {
	g := &grid{columns: columns, lookNo: map[look]int{}}
	if s != nil {
		g.formulas = s.formulas
		g.columns += len(s.extras)
	}
	return g
}

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
	if r.cells == nil {
		r.cells = make([]gridCell, 0, g.columns)
	}
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
func (g *grid) into(out *bytes.Buffer, data []byte) {
	start, end := bytes.Index(data, dataStart), bytes.Index(data, dataEnd)
	if start < 0 || end < start {
		out.Write(data)
		return
	}
	start += len(dataStart)
	out.Grow(len(data) + g.size())
	out.Write(data[:start])
	for i := range g.rows {
		if r := &g.rows[i]; r.height > 0 || len(r.cells) > 0 {
			g.writeRow(out, i+1, r)
		}
	}
	out.Write(data[end:])
}

// size is about how many bytes the cells take.
func (g *grid) size() int {
	n := 100 * len(g.formulas)
	for _, r := range g.rows {
		n += 60 + 60*len(r.cells)
	}
	return n
}

func (g *grid) writeRow(out *bytes.Buffer, row int, r *gridRow) {
	number := strconv.Itoa(row)
	out.WriteString(`<row r="` + number)
	if r.height > 0 {
		out.WriteString(`" ht="` + strconv.FormatFloat(r.height, 'f', -1, 64) + `" customHeight="1`)
	}
	out.WriteString(`">`)
	for _, c := range r.cells {
		out.WriteString(`<c r="` + bom.ColumnLetters(c.col) + number + `" s="` + strconv.Itoa(g.styles[c.look]))
		f, isFormula := g.formulas[spot{row, c.col}]
		switch {
		case isFormula && f.isStr:
			out.WriteString(`" t="str"><f>`)
			escapeXML(out, f.text)
			out.WriteString(`</f><v>`)
			escapeXML(out, escaped(f.str))
			out.WriteString(`</v></c>`)
		case c.value == "":
			out.WriteString(`"/>`)
		case c.text:
			out.WriteString(`" t="inlineStr"><is><t xml:space="preserve">`)
			escapeXML(out, c.value)
			out.WriteString(`</t></is></c>`)
		default:
			out.WriteString(`">`)
			if isFormula {
				out.WriteString(`<f>`)
				escapeXML(out, f.text)
				out.WriteString(`</f>`)
			}
			out.WriteString(`<v>` + c.value + `</v></c>`)
		}
	}
	out.WriteString(`</row>`)
}

// escapeXML fails only where the writer does, which a buffer never does.
func escapeXML(out *bytes.Buffer, s string) {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c >= 0x7f || c == '<' || c == '>' || c == '&' || c == '"' || c == '\'' {
			_ = xml.EscapeText(out, []byte(s))
			return
		}
	}
	out.WriteString(s)
}
