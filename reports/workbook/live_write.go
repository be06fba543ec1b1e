package workbook

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// placeholder stands in the cell of a formula that gives text until the sheet is
// written.
const placeholder = "0"

var (
	cellStart  = []byte(`<c r="`)
	valueStart = []byte(`<v>`)
	valueEnd   = []byte(`</v>`)
)

// withFormulas puts formulas beside the values of a sheet's cells (ECMA-376 part
// 1, 18.3.1.40: <f> stands before <v>). The library would drop the value.
func withFormulas(data []byte, formulas map[string]formula) []byte {
	var out bytes.Buffer
	out.Grow(len(data) + 80*len(formulas))
	for {
		i := bytes.Index(data, cellStart)
		if i < 0 {
			break
		}
		out.Write(data[:i])
		data = data[i:]
		end := bytes.IndexByte(data[len(cellStart):], '"')
		f, ok := formulas[string(data[len(cellStart):len(cellStart)+end])]
		v := bytes.Index(data, valueStart)
		if !ok || v < 0 {
			out.Write(data[:len(cellStart)])
			data = data[len(cellStart):]
			continue
		}
		if f.isStr {
			out.WriteString(`<c t="str" r="`)
			out.Write(data[len(cellStart):v])
		} else {
			out.Write(data[:v])
		}
		out.WriteString("<f>")
		escapeXML(&out, f.text)
		out.WriteString("</f>")
		data = data[v:]
		if f.isStr {
			out.WriteString("<v>")
			escapeXML(&out, f.str)
			data = data[bytes.Index(data, valueEnd):]
		}
	}
	out.Write(data)
	return out.Bytes()
}

// escapeXML fails only where the writer does, which a buffer never does.
func escapeXML(out *bytes.Buffer, s string) {
	if strings.ContainsAny(s, "<>&\"'\t\n\r") || !asciiText(s) {
		_ = xml.EscapeText(out, []byte(s))
		return
	}
	out.WriteString(s)
}

func asciiText(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] >= 0x7f {
			return false
		}
	}
	return true
}

// workingWidth is that of a working column.
const workingWidth = 12.0

// working writes the working columns to the right of a table. They are not
// printed.
func (p *page) working() {
	if p.laid == nil || len(p.laid.extras) == 0 {
		return
	}
	grey := look{colour: inputGrey, wrap: true, right: true, below: 1}
	first := p.laid.cols[p.laid.extras[0]]
	p.text(first, p.head-1, "working columns", look{colour: inputGrey})
	for _, key := range p.laid.extras {
		col := p.laid.cols[key]
		p.setWidth(col, workingWidth)
		p.text(col, p.head, key, grey)
	}
	for row := p.body; row < p.body+len(p.t.Rows); row++ {
		for _, key := range p.laid.extras {
			s := spot{row, p.laid.cols[key]}
			if d, ok := p.laid.working[s].Decimal(); ok {
				p.number(s.col, s.row, d.String(), look{colour: inputGrey, right: true})
			}
		}
	}
	last := p.body + max(1, len(p.t.Rows)) - 1
	p.printArea(len(p.t.Columns), last)
}

// printArea keeps what is printed to the first columns.
func (p *page) printArea(cols, rows int) {
	p.keep(p.f.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Area", Scope: p.t.Name,
		RefersTo: quoted(p.t.Name) + "$A$1:$" + bom.ColumnLetters(cols) + "$" + strconv.Itoa(rows),
	}))
}
