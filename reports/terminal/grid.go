package terminal

import (
	"bufio"
	"strings"

	"tenoff/bom"
	"tenoff/reports"
)

// gap is the number of blank columns between two columns of a grid.
const gap = 2

// cell is text and the side it is set flush to.
type cell struct {
	text  string
	right bool
}

// gridRow is a row of cells, empty for a blank line; under draws a line below.
type gridRow struct {
	cells []cell
	under bool
}

// grid is text in columns. The first lead columns stand in every block when
// the rest does not fit side by side.
type grid struct {
	lead int
	rows []gridRow
}

// widths gives the width that each column's longest text takes.
func (g grid) widths() []int {
	var w []int
	for _, r := range g.rows {
		for i, c := range r.cells {
			if i == len(w) {
				w = append(w, 0)
			}
			w[i] = max(w[i], reports.Width(bom.Printable(c.text)))
		}
	}
	return w
}

// blocks splits the columns beyond the lead into groups that fit.
func (g grid) blocks(widths []int, limit int) [][]int {
	lead := -gap
	for _, w := range widths[:g.lead] {
		lead += w + gap
	}
	var blocks [][]int
	var block []int
	used := lead
	for i := g.lead; i < len(widths); i++ {
		if len(block) > 0 && used+gap+widths[i] > limit {
			blocks, block, used = append(blocks, block), nil, lead
		}
		block = append(block, i)
		used += gap + widths[i]
	}
	if len(block) > 0 || len(blocks) == 0 {
		blocks = append(blocks, block)
	}
	return blocks
}

// write lays the grid out, in as many blocks as the width asks for.
func (g grid) write(out *bufio.Writer, width int) {
	widths := g.widths()
	if len(widths) == 0 {
		return
	}
	g.lead = min(g.lead, len(widths))
	for n, block := range g.blocks(widths, width) {
		if n > 0 {
			_ = out.WriteByte('\n')
		}
		columns := block
		for i := g.lead - 1; i >= 0; i-- {
			columns = append([]int{i}, columns...)
		}
		total := -gap
		for _, i := range columns {
			total += widths[i] + gap
		}
		for _, r := range g.rows {
			writeRow(out, r, columns, widths)
			if r.under {
				_, _ = out.WriteString(strings.Repeat("-", total) + "\n")
			}
		}
	}
}

func writeRow(out *bufio.Writer, r gridRow, columns, widths []int) {
	var line strings.Builder
	for n, i := range columns {
		if i >= len(r.cells) {
			break
		}
		if n > 0 {
			line.WriteString(strings.Repeat(" ", gap))
		}
		text := bom.Printable(r.cells[i].text)
		pad := strings.Repeat(" ", widths[i]-reports.Width(text))
		if r.cells[i].right {
			line.WriteString(pad + text)
		} else {
			line.WriteString(text + pad)
		}
	}
	text := strings.TrimRight(line.String(), " ")
	if text == "" && len(r.cells) > 0 {
		return // the row goes on in another block only
	}
	_, _ = out.WriteString(text + "\n")
}

// writeWrapped writes a line of text, broken at blanks; later lines are
// indented.
func writeWrapped(out *bufio.Writer, s, indent string, limit int) {
	for _, line := range Wrap(s, indent, limit) {
		_, _ = out.WriteString(line + "\n")
	}
}

// Wrap breaks a line of text at blanks into lines of at most limit columns; later ones are
// indented.
func Wrap(s, indent string, limit int) []string {
	lines := wrap(bom.Printable(s), limit-len(indent))
	for i := range lines[1:] {
		lines[i+1] = indent + lines[i+1]
	}
	return lines
}

// wrap breaks text into lines of at most limit columns: at blanks, and inside
// a word only where it is longer than a line.
func wrap(s string, limit int) []string {
	limit = max(limit, 2)
	var lines []string
	line, used := "", 0
	for _, word := range strings.Fields(s) {
		w := reports.Width(word)
		if used > 0 && used+1+w <= limit {
			line, used = line+" "+word, used+1+w
			continue
		}
		if used > 0 {
			lines = append(lines, line)
		}
		for w > limit {
			var head string
			head, word = cut(word, limit)
			lines = append(lines, head)
			w = reports.Width(word)
		}
		line, used = word, w
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// cut takes as many characters off the front as fit in limit columns.
func cut(s string, limit int) (head, rest string) {
	used := 0
	for i, r := range s {
		used += reports.RuneWidth(r)
		if used > limit {
			return s[:i], s[i:]
		}
	}
	return s, ""
}
