package table

import (
	"slices"
	"strings"

	"tenoff/bom"
)

// lined is text whose columns are lined up by blanks.
type lined struct {
	lines  []string
	head   int   // index of the line with the headings
	starts []int // where the columns begin, in characters from 0
}

const (
	paddedHead  = 1000 // bytes of a line of headings at most
	paddedLines = 1000 // that are looked at to find where columns begin
)

// findPadded finds columns that blanks line up. ok is false where a separator cuts a
// row with two headings, and where no line has two headings with columns under them.
func findPadded(text string) (p lined, ok bool) {
	records := sniff(text)
	for _, r := range records {
		for i, sep := range separators {
			if knownIn(r.text, sep, r.counts[i]) > 1 {
				return p, false
			}
		}
	}
	p.lines = strings.Split(text, "\n")
	tried := 0
	for i, line := range p.lines {
		if isRule(line) {
			continue
		}
		if tried++; tried > sniffRecords {
			break
		}
		if strings.ContainsAny(line, "\t;,|") || len(line) > paddedHead || headingsIn(strings.Fields(line)) < 2 {
			continue
		}
		if p.head = i; p.findStarts() {
			return p, true
		}
	}
	return p, false
}

// isRule tells whether a line is blank, or drawn under the headings: -----  -----
func isRule(line string) bool { return strings.Trim(line, " \t-=_+|") == "" }

// findStarts finds where the columns under the line of headings begin: at each of its
// words with two blanks before it, and at each with one where the texts under it
// begin too. A word with one blank before it otherwise belongs to the heading before.
func (p *lined) findStarts() bool {
	head := []rune(p.lines[p.head])
	var under [][]rune
	for _, line := range p.lines[p.head+1 : min(len(p.lines), p.head+paddedLines)] {
		if !isRule(line) {
			under = append(under, []rune(line))
		}
	}
	p.starts = nil
	for i, r := range head {
		if blank(r) || i > 0 && !blank(head[i-1]) {
			continue
		}
		if len(p.starts) == 0 || blank(head[i-2]) || begins(under, i) {
			p.starts = append(p.starts, i)
		}
	}
	if len(p.starts) < 2 {
		return false
	}
	p.starts[0] = 0
	fit, several := 0, 0
	for _, line := range under {
		if p.crosses(line) < 0 {
			fit++
			if filled(p.cut(line)) > 1 {
				several++
			}
		}
	}
	return headingsIn(p.cut(head)) > 1 && several > 0 && 3*fit >= 2*len(under)
}

// begins tells whether texts begin at a place: in nine of ten lines that reach it a
// blank stands before, and in one at least a text behind the blank.
func begins(lines [][]rune, at int) bool {
	reach, blanks, texts := 0, 0, 0
	for _, line := range lines {
		if at >= len(line) {
			continue
		}
		reach++
		if blank(line[at-1]) {
			blanks++
			if !blank(line[at]) {
				texts++
			}
		}
	}
	return texts > 0 && 10*blanks >= 9*reach
}

// headingsIn counts the known headings among texts.
func headingsIn(texts []string) int {
	return len(slices.DeleteFunc(texts, func(text string) bool { return !isHeading(text) }))
}

// crosses is the index of the first column that a text of the column before it runs
// into, else -1: a word over the edge, or the next word one blank behind it.
func (p *lined) crosses(line []rune) int {
	return slices.IndexFunc(p.starts, func(at int) bool {
		return at > 0 && at < len(line) && !blank(line[at-1]) && (!blank(line[at]) || at+1 < len(line) && !blank(line[at+1]))
	})
}

// cut gives the texts of a line, one for each column.
func (p *lined) cut(line []rune) []string {
	out := make([]string, len(p.starts))
	for i, from := range p.starts {
		to := len(line)
		if i+1 < len(p.starts) {
			to = min(to, p.starts[i+1])
		}
		if from < to {
			out[i] = trim(string(line[from:to]))
		}
	}
	return out
}

func filled(cells []string) int {
	return len(slices.DeleteFunc(cells, func(c string) bool { return c == "" }))
}

// read gives the rows to a builder: a column for each heading, and titles and remarks
// in one cell.
func (p *lined) read(b *builder) {
	for i, text := range p.lines {
		if b.cut {
			return
		}
		if isRule(text) {
			continue
		}
		number, line := i+1, []rune(text)
		col := p.crosses(line)
		switch {
		case i < p.head || col >= 0 && !p.isRow(line):
			b.cell(number, bom.Cell{Col: 1, Text: text})
		case col >= 0:
			b.wrong(b.table.At(number, col), p.cut(line)[col-1], "blanks between the columns, or a list with separators",
				"a text runs over into the next column")
		default:
			for c, cell := range p.cut(line) {
				b.cell(number, bom.Cell{Col: c + 1, Text: cell})
			}
		}
		b.endRow(number)
	}
}

// isRow tells a row of which one text is too long from a remark: it is padded
// elsewhere, or its second text begins where the second column does.
func (p *lined) isRow(line []rune) bool {
	second := p.starts[1]
	return strings.Contains(trim(string(line)), "  ") || second < len(line) && blank(line[second-1]) && !blank(line[second])
}
