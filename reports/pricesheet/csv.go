package pricesheet

import (
	"bytes"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	utf "golang.org/x/text/encoding/unicode"

	"tenoff/bom"
)

// coding is a way in which text may stand in a file.
type coding struct {
	mark string            // bytes before the text
	enc  encoding.Encoding // nil: UTF-8
}

// codings are tried in this order; the right one gives the table that was read.
var codings = []coding{
	{"\xEF\xBB\xBF", nil}, {"\xFF\xFE", utf.UTF16(utf.LittleEndian, utf.IgnoreBOM)}, {"\xFE\xFF", utf.UTF16(utf.BigEndian, utf.IgnoreBOM)},
	{"", nil}, {"", utf.UTF16(utf.LittleEndian, utf.IgnoreBOM)}, {"", utf.UTF16(utf.BigEndian, utf.IgnoreBOM)},
	{"", charmap.Windows1252}, {"", japanese.ShiftJIS},
}

// decode gives the text of a file; ok is false where it does not come out as the
// same bytes again.
func (c coding) decode(data []byte) (text string, ok bool) {
	body, ok := bytes.CutPrefix(data, []byte(c.mark))
	if !ok {
		return "", false
	}
	text = string(body)
	if c.enc != nil {
		decoded, err := c.enc.NewDecoder().Bytes(body)
		if err != nil {
			return "", false
		}
		text = string(decoded)
	}
	again, err := c.encode(text)
	return text, err == nil && bytes.Equal(again, data)
}

func (c coding) encode(text string) ([]byte, error) {
	if c.enc == nil {
		return append([]byte(c.mark), text...), nil
	}
	body, err := c.enc.NewEncoder().Bytes([]byte(text))
	return append([]byte(c.mark), body...), err
}

// span is a piece of a text.
type span struct{ start, end int }

// record is one row of a CSV file as it stands there.
type record struct {
	line   int // on which it begins, from 1
	fields []span
	end    span // the line end; empty at the end of the file
}

// records takes separated values apart by the rules of package table, and keeps
// where everything stands.
func records(text string, sep byte) []record {
	var out []record
	pos, line := 0, 1
	first := text
	if i := strings.IndexAny(text, "\r\n"); i >= 0 {
		first = text[:i]
	}
	if strings.HasPrefix(strings.ToLower(first), "sep=") && len(strings.TrimRight(first, " ")) <= len("sep=;") {
		pos, line = len(first)+lineEnd(text[len(first):]), 2
	}
	for pos < len(text) {
		r := record{line: line}
		for {
			start := pos
			pos, line = fieldEnd(text, pos, line, sep)
			r.fields = append(r.fields, span{start, pos})
			if pos < len(text) && text[pos] == sep {
				pos++
				continue
			}
			break
		}
		r.end = span{pos, pos}
		if pos < len(text) {
			pos += lineEnd(text[pos:])
			r.end.end = pos
			line++
		}
		out = append(out, r)
	}
	return out
}

// lineEnd is the length of the line end at the start of a text, 0 without one.
func lineEnd(s string) int {
	switch {
	case strings.HasPrefix(s, "\r\n"):
		return 2
	case s != "" && (s[0] == '\n' || s[0] == '\r'):
		return 1
	}
	return 0
}

// fieldEnd is where the field that begins at pos ends, and the line that is on.
func fieldEnd(text string, pos, line int, sep byte) (int, int) {
	for pos < len(text) && (text[pos] == ' ' || text[pos] == '\t' && sep != '\t') {
		pos++
	}
	if pos < len(text) && text[pos] == '"' {
		for pos++; pos < len(text); pos++ {
			if n := lineEnd(text[pos:]); n > 0 {
				line++
				pos += n - 1
			}
			if text[pos] != '"' {
				continue
			}
			if pos+1 < len(text) && text[pos+1] == '"' {
				pos++
				continue
			}
			pos++
			break
		}
	}
	for pos < len(text) && text[pos] != sep && lineEnd(text[pos:]) == 0 {
		pos++
	}
	return pos, line
}

// fieldText is what a field says, as package table reads it.
func fieldText(field string) string {
	s := strings.TrimFunc(field, blankRune)
	if strings.HasPrefix(s, `"`) {
		s = strings.TrimSuffix(s[1:], `"`)
		s = strings.ReplaceAll(s, `""`, `"`)
		s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	}
	return strings.TrimFunc(s, blankRune)
}

func blankRune(r rune) bool { return unicode.IsSpace(r) || r == '\uFEFF' || r == '\u200B' }

// isTable tells whether records are those of the table that was read.
func isTable(text string, all []record, t *bom.Table) bool {
	byLine := make(map[int]*record, len(all))
	for i := range all {
		byLine[all[i].line] = &all[i]
	}
	for _, row := range t.Rows {
		r := byLine[row.Number]
		if r == nil {
			return false
		}
		for _, c := range row.Cells {
			if c.Col > len(r.fields) || fieldText(text[r.fields[c.Col-1].start:r.fields[c.Col-1].end]) != c.Text {
				return false
			}
		}
	}
	return true
}

// writeCSV puts the cells into a CSV file.
func (e *Edit) writeCSV(data []byte) ([]byte, error) {
	for _, c := range codings {
		text, ok := c.decode(data)
		if !ok {
			continue
		}
		w := csvWriter{Edit: e, text: text, sep: byte(e.table.Separator)}
		w.records = records(text, w.sep)
		if !isTable(text, w.records, e.table) {
			continue
		}
		out, err := c.encode(w.write())
		if err != nil {
			return nil, refuse("save the file again in UTF-8", "a text of the quote cannot be written in the file's encoding")
		}
		return out, nil
	}
	return nil, refuse("save the file again in UTF-8", "the file cannot be written again byte for byte")
}

// csvWriter copies a text and puts fields into it.
type csvWriter struct {
	*Edit
	text    string
	sep     byte
	records []record
	out     strings.Builder
}

func (w *csvWriter) write() string {
	done, added := 0, false
	for i, r := range bom.Refs(w.records) {
		if cells := w.inRow(r.line); len(cells) > 0 && r.line <= w.last {
			w.out.WriteString(w.text[done:r.fields[0].start])
			w.row(r, cells)
			done = r.end.start
		}
		next := i + 1
		if !added && (next == len(w.records) || w.records[next].line > w.last) {
			w.out.WriteString(w.text[done:r.end.start])
			for at := r.fields[0].start; at < r.end.start; at++ {
				if n := lineEnd(w.text[at:]); n > 0 {
					w.below++
					at += n - 1
				}
			}
			w.addRows(r)
			done, added = r.end.start, true
		}
	}
	w.out.WriteString(w.text[done:])
	return w.out.String()
}

// row writes a record with some of its fields anew.
func (w *csvWriter) row(r *record, cells []Cell) {
	fields := bom.Each(r.fields, func(f *span) string { return w.text[f.start:f.end] })
	w.out.WriteString(w.filled(fields, r, cells))
}

// filled puts cells into the fields of a record, in quotes where another has them.
func (w *csvWriter) filled(fields []string, like *record, cells []Cell) string {
	for _, c := range cells {
		for len(fields) < c.Col {
			fields = append(fields, "")
		}
		fields[c.Col-1] = w.field(c, c.Col <= len(like.fields) && w.quoted(like.fields[c.Col-1]))
	}
	return strings.Join(fields, string(w.sep))
}

// addRows writes the rows that are new below a record, with as many fields, and
// quotes where it has them.
func (w *csvWriter) addRows(above *record) {
	end := w.lineEnd()
	all := !slices.ContainsFunc(above.fields, func(f span) bool { return !w.quoted(f) })
	for row := w.last + 1; ; row++ {
		cells := w.inRow(row)
		if len(cells) == 0 {
			return
		}
		fields := make([]string, len(above.fields))
		if all {
			fields = slices.Repeat([]string{`""`}, len(above.fields))
		}
		w.out.WriteString(end + w.filled(fields, above, cells))
	}
}

// lineEnd is that of the file: of its first line that has one.
func (w *csvWriter) lineEnd() string {
	for _, r := range w.records {
		if r.end.start < r.end.end {
			return w.text[r.end.start:r.end.end]
		}
	}
	return "\n"
}

// quoted tells whether a field stands in quotes.
func (w *csvWriter) quoted(f span) bool {
	return strings.HasPrefix(strings.TrimLeft(w.text[f.start:f.end], " \t"), `"`)
}

// field writes a cell as a field.
func (w *csvWriter) field(c Cell, quoted bool) string {
	s := c.Value.plain()
	switch {
	case c.Value.Kind == Number:
		s = w.figure(c.Value)
	case c.Value.Kind == Text && c.Row != w.head.Row:
		s = safeText(s)
	}
	if quoted || strings.ContainsAny(s, string(w.sep)+"\"\r\n") || strings.TrimFunc(s, blankRune) != s {
		s = `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

// figure writes a number with the decimal mark of the file. Where that is not
// known, one that could be read two ways gets a nought at its end.
func (w *csvWriter) figure(v Value) string {
	s := v.Number.StringFixed(max(v.Digits, -v.Number.Exponent()))
	if v.Number.IsInteger() {
		s = v.Number.StringFixed(v.Digits)
	}
	if w.head.Mark == bom.MarkComma {
		return strings.Replace(s, ".", ",", 1)
	}
	if _, err := bom.ParseFigure(s, w.head.Mark); err != nil && err.Ambiguous {
		s += "0"
	}
	return s
}
