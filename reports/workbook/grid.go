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
	rows     []gridRow // by row, from 1 on
	formulas map[spot]formula
}

type gridRow struct {
	height float64 // points; 0: as the spreadsheet likes
	cells  []gridCell
}

type gridCell struct {
	col, style int
	text       bool
	value      string // empty: the cell has a look and nothing else
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

// into writes the cells into the part of a sheet (ECMA-376 part 1, 18.3.1.80).
func (g *grid) into(data []byte) []byte {
	start, end := bytes.Index(data, dataStart), bytes.Index(data, dataEnd)
	if start < 0 || end < start {
		return data
	}
	start += len(dataStart)
	out := bytes.NewBuffer(make([]byte, 0, len(data)+g.size()))
	out.Write(data[:start])
	for i := range g.rows {
		if r := &g.rows[i]; r.height > 0 || len(r.cells) > 0 {
			g.writeRow(out, i+1, r)
		}
	}
	out.Write(data[end:])
	return out.Bytes()
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
		out.WriteString(`<c r="` + bom.ColumnLetters(c.col) + number + `" s="` + strconv.Itoa(c.style))
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
