package terminal

import (
	"bufio"
	"io"
	"slices"
	"strings"

	"tenoff/reports"
)

// longestWord is the width from which a word is broken rather than given a
// column of its own length.
const longestWord = 24

// Print shows any table within width columns. Where it does
// not fit, long texts are broken into several lines, the longest first;
// numbers are never cut. What still does not fit stands in a block of its own
// below, with the leading columns repeated. A table without rows shows its notes
// alone.
func Print(w io.Writer, t reports.Table, width int) error {
	out := bufio.NewWriter(w)
	if t.Title != "" && len(t.Rows) > 0 {
		writeWrapped(out, t.Title, "  ", width)
		_ = out.WriteByte('\n')
	}
	if len(t.Rows) > 0 {
		tableGrid(&t, width).write(out, width)
		if len(t.Notes) > 0 {
			_ = out.WriteByte('\n')
		}
	}
	for _, n := range t.Notes {
		writeWrapped(out, n, "  ", width)
	}
	return out.Flush()
}

// tableGrid turns a table into text that fits the width as far as wrapping
// its text columns can make it.
func tableGrid(t *reports.Table, limit int) grid {
	columns, lead := filled(t)
	head := make([]cell, len(columns))
	squeezable := make([]bool, len(columns))
	for n, i := range columns {
		c := &t.Columns[i]
		head[n] = cell{text: c.Label(), right: c.Format.Numeric()}
		squeezable[n] = !c.Format.Numeric()
	}
	rows := [][]cell{head}
	for _, r := range t.Rows {
		cells := make([]cell, len(columns))
		for n, i := range columns {
			cells[n] = cell{text: shown(r.Values[i], t.Columns[i]), right: t.Columns[i].Format.Numeric()}
		}
		rows = append(rows, cells)
	}
	limits := squeeze(rows, squeezable, limit)
	g := grid{lead: lead}
	for n, cells := range rows {
		broken := breakRow(cells, limits)
		if n > 0 && t.Rows[n-1].Role == reports.Total && (n == 1 || t.Rows[n-2].Role == reports.Body) {
			g.rows[len(g.rows)-1].under = true
		}
		g.rows = append(g.rows, broken...)
		if n == 0 {
			g.rows[len(g.rows)-1].under = true
		}
	}
	return g
}

// filled lists the columns that hold something in some row, since the room of the
// others is better used, and counts how many of them lead.
func filled(t *reports.Table) (columns []int, lead int) {
	for i := range t.Columns {
		if slices.ContainsFunc(t.Rows, func(r reports.Row) bool { return !r.Values[i].IsNothing() }) {
			if columns = append(columns, i); i < t.Lead {
				lead = len(columns)
			}
		}
	}
	return columns, lead
}

// squeeze gives each column a width: its longest text, or less for text and
// headings where the row would be too long.
func squeeze(rows [][]cell, squeezable []bool, limit int) []int {
	widths, least := make([]int, len(squeezable)), make([]int, len(squeezable))
	total := -gap
	for i := range squeezable {
		for n, cells := range rows {
			w := reports.Width(cells[i].text)
			widths[i] = max(widths[i], w)
			if n == 0 || squeezable[i] {
				w = min(wordWidth(cells[i].text), longestWord)
			}
			least[i] = max(least[i], w)
		}
		total += widths[i] + gap
	}
	for ; total > limit; total-- {
		widest := -1
		for i, w := range widths {
			if w > least[i] && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
	}
	return widths
}

// wordWidth is the width of the longest word.
func wordWidth(s string) (w int) {
	for _, word := range strings.Fields(s) {
		w = max(w, reports.Width(word))
	}
	return w
}

// breakRow wraps the cells of a row into as many rows as the longest needs.
func breakRow(cells []cell, widths []int) []gridRow {
	lines := make([][]string, len(cells))
	height := 1
	for i, c := range cells {
		lines[i] = wrap(c.text, widths[i])
		height = max(height, len(lines[i]))
	}
	rows := make([]gridRow, height)
	for n := range rows {
		rows[n].cells = make([]cell, len(cells))
		for i, c := range cells {
			rows[n].cells[i].right = c.right
			if n < len(lines[i]) {
				rows[n].cells[i].text = lines[i][n]
			}
		}
	}
	return rows
}
