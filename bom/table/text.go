package table

import (
	"regexp"
	"strings"

	"tenoff/bom"
)

// readText reads a file of separated values.
func readText(name string, data []byte, lim Limits) ([]bom.Table, bom.Problems) {
	b := builder{table: bom.Table{File: name}, lim: lim}
	text, ok := decode(name, data, &b.probs)
	if !ok {
		return nil, b.probs
	}
	r := records{text: text, line: 1, b: &b}
	named := r.named()
	if p, ok := findPadded(text); ok && !named {
		p.read(&b)
	} else {
		if !named {
			r.sep = separatorOf(text)
		}
		b.table.Separator = rune(r.sep)
		for r.pos < len(text) && !b.cut {
			if !r.skipRule() {
				r.record()
			}
		}
	}
	if len(b.table.Rows) == 0 && !b.probs.Failed() {
		emptyFile(&b.probs, bom.Place{File: name})
		b.cut = true
	}
	return b.done(), b.probs
}

// records takes separated values apart by RFC 4180, with the lines that an
// editor counts. More than the standard it takes blanks around a quoted field,
// and a quote in the middle of a plain one: 19" rack.
type records struct {
	text string // line ends are LF
	pos  int
	line int // of pos, from 1
	sep  byte
	b    *builder

	width int // cells of the last record that has several
}

var namedSeparator = regexp.MustCompile(`^(?i:sep=)([\t,;|:^~!#/]) *(?:\n|$)`)

// named obeys a first line such as "sep=;", which spreadsheets write to say
// what separates the cells.
func (r *records) named() bool {
	m := namedSeparator.FindStringSubmatch(r.text)
	if m == nil {
		return false
	}
	r.sep, r.pos = m[1][0], len(m[0])
	r.line++
	return true
}

// skipRule goes past a line that is drawn between the rows of a table of bars:
// |----|:--:|
func (r *records) skipRule() bool {
	if r.sep != '|' {
		return false
	}
	line, _, _ := strings.Cut(r.text[r.pos:], "\n")
	if !isRule(strings.ReplaceAll(line, ":", "")) || !strings.ContainsAny(line, "-=_") {
		return false
	}
	r.pos = min(r.pos+len(line)+1, len(r.text))
	r.line++
	return true
}

// record reads one record and leaves pos at the start of the next.
func (r *records) record() {
	number, from, col := r.line, r.pos, 1
	for ; ; col++ {
		text := r.field(col)
		for i, cell := range r.within(col, from, text) {
			r.b.cell(number, bom.Cell{Col: col + i, Text: cell})
		}
		if r.pos == len(r.text) || r.b.cut {
			break
		}
		end := r.text[r.pos] == '\n'
		if r.pos++; end {
			r.line++
			break
		}
	}
	if col > 1 {
		r.width = col
	}
	r.b.endRow(number)
}

// leastWithin is how many cells a record has at least to be found within quotes.
const leastWithin = 4

// within gives the cells of a record that stands in quotes as a whole, as where its line
// was kept in one cell of a spreadsheet: as many as the record before it has. Else it
// gives the text of the field, which begins at from.
func (r *records) within(col, from int, text string) []string {
	alone := col == 1 && (r.pos == len(r.text) || r.text[r.pos] == '\n')
	if !alone || r.width < leastWithin || r.text[from] != '"' || strings.Count(text, string(r.sep)) < r.width-1 || strings.Contains(text, "\n") {
		return []string{text}
	}
	inner := records{text: text, line: r.line, sep: r.sep, b: &builder{table: r.b.table, lim: r.b.lim}}
	var cells []string
	for {
		cells = append(cells, inner.field(len(cells)+1))
		if inner.pos == len(inner.text) {
			break
		}
		inner.pos++
	}
	if len(cells) != r.width || inner.b.probs.Failed() {
		return []string{text}
	}
	r.b.probs.Add(bom.Problem{Place: r.b.table.At(r.line, 0), Severity: bom.Note, What: "a row stands in quotes as a whole and is read as its cells", Each: bom.Shown(text)})
	return cells
}

// field reads one field and leaves pos at what ends it.
func (r *records) field(col int) string {
	start := r.pos
	for r.pos < len(r.text) && (r.text[r.pos] == ' ' || r.text[r.pos] == '\t' && r.sep != '\t') {
		r.pos++
	}
	if r.pos < len(r.text) && r.text[r.pos] == '"' {
		return r.quoted(col)
	}
	r.toEnd()
	if r.sep == '|' {
		return strings.ReplaceAll(r.text[start:r.pos], `\|`, "|")
	}
	return r.text[start:r.pos]
}

// toEnd goes to the separator or the line end that ends a field.
func (r *records) toEnd() {
	for r.pos < len(r.text) && r.text[r.pos] != r.sep && r.text[r.pos] != '\n' {
		if r.sep == '|' && strings.HasPrefix(r.text[r.pos:], `\|`) {
			r.pos++ // a bar that belongs to the text
		}
		r.pos++
	}
}

// quoted reads a quoted field. pos stands at the opening quote.
func (r *records) quoted(col int) string {
	opened := r.line
	r.pos++
	start := r.pos
	for {
		i := strings.IndexByte(r.text[r.pos:], '"')
		if i < 0 {
			r.b.stop(r.b.table.At(opened, col), r.text[start-1:], `a closing ", and "" for a quote inside the text`,
				"the quote that opens here is never closed")
			r.pos = len(r.text)
			return ""
		}
		r.pos += i + 1
		if r.pos == len(r.text) || r.text[r.pos] != '"' {
			break
		}
		r.pos++
	}
	inside := r.text[start : r.pos-1]
	r.line += strings.Count(inside, "\n")
	closed := r.pos
	r.toEnd()
	if rest := trim(r.text[closed:r.pos]); rest != "" {
		r.b.wrong(r.b.table.At(r.line, col), `"`+inside+`"`+rest, `"" for a quote inside a quoted text`,
			"text stands after the closing quote")
	}
	return strings.ReplaceAll(inside, `""`, `"`)
}
