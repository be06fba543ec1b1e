package terminal

import (
	"bufio"
	"bytes"
	"io"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// Width is the number of columns that everything fits in.
const Width = 80

// none stands where there is nothing.
const none = "–"

// linesAtMost is how many lines the answer takes, for no more batches than stand side by
// side.
const linesAtMost = 24

// Said is what stands under the answer, in words.
type Said struct {
	Counts string   // of what the run assumes and warns of
	Files  []string // that were written
}

// Estimate shows the answer of a run, a column for each batch: at most 24 lines where the
// batches fit side by side, else a block for each few of them. Where a price is missing "?"
// stands, and a line names what lacks it.
func Estimate(w io.Writer, r *reports.Report, said Said, width int) error {
	var text []byte
	for payers := linesAtMost; payers > 1; payers-- {
		text = answer(r, said, payers, width)
		if bytes.Count(text, []byte("\n")) <= linesAtMost {
			break
		}
	}
	_, err := w.Write(text)
	return err
}

func answer(r *reports.Report, said Said, payers int, width int) []byte {
	e := r.Estimate
	var text bytes.Buffer
	out := bufio.NewWriter(&text)
	line := func(s string) { _, _ = out.WriteString(Clip(bom.Printable(s), width) + "\n") }
	line(headLine(e, width))
	_ = out.WriteByte('\n')
	if len(e.Batches) > 0 {
		t := reports.Answer(r, payers)
		writeAnswer(out, &t, width)
		_ = out.WriteByte('\n')
		if costs := reports.LargestCosts(e); len(costs) > 0 {
			what := "largest costs per unit at "
			if len(e.Products) > 1 {
				what = "largest costs at "
			}
			line(fitted(what+reports.Middle(e).ID().Shown()+": ", costs, "", width))
		}
	}
	if n := reports.DayGaps(e); n > 0 {
		line("the days leave out what is not known: " + reports.Counted(n, "gap") + ", listed by --detail")
	}
	if missing := reports.Missing(e); len(missing) > 0 {
		line(fitted("no price for: ", missing, "more", width))
	} else if !e.Complete {
		line("not every line has a price")
	}
	if thin := reports.PartsRunningOut(e); len(thin) > 0 {
		tail := "; tenoff stock tells more"
		line(fitted(reports.Counted(len(thin), "part")+" may run out: ", thin, "more", width-reports.Width(tail)) + tail)
	}
	if said.Counts != "" {
		line(said.Counts)
	}
	if len(said.Files) > 0 {
		line(fitted("wrote ", said.Files, "more", width))
	}
	_ = out.Flush()
	return text.Bytes()
}

// headLine is what the run is of; a long name is cut.
func headLine(e *cost.Estimate, limit int) string {
	head := ", " + reports.Head(e)
	return Clip(bom.Printable(e.Name), max(limit-reports.Width(head), shortestName)) + head
}

// shortestName is what is left of a name at least.
const shortestName = 12

// fitted is a list in one line: as many of it as fit, then how many more there are where a
// word for them is given.
func fitted(head string, list []string, more string, limit int) string {
	for n := len(list); n > 0; n-- {
		s := head + strings.Join(list[:n], ", ")
		if left := len(list) - n; left > 0 && more != "" {
			s += " and " + strconv.Itoa(left) + " " + more
		}
		if reports.Width(s) <= limit || n == 1 {
			return s
		}
	}
	return head
}

// Clip cuts text to a width, with a mark that it goes on.
func Clip(s string, limit int) string {
	if reports.Width(s) <= limit {
		return s
	}
	head, _ := cut(s, limit-1)
	return strings.TrimRight(head, " ") + "…"
}

// Widths of the answer's columns.
const (
	labelAtMost = 24
	labelLonger = 32 // where as many batches stand side by side
	textAtLeast = 11 // "29 Dec 2026"
)

// writeAnswer lays the answer out: as many batches side by side as there is room for, as
// evenly spread as they go.
func writeAnswer(out *bufio.Writer, t *reports.Table, width int) {
	longest, figure := reports.Width(t.Columns[0].Heading), textAtLeast
	for _, r := range t.Rows {
		longest = max(longest, reports.Width(bom.Printable(r.Values[0].Exact(reports.AsText))))
		for i, v := range r.Values[1:] {
			if !v.IsText() {
				figure = max(figure, reports.Width(shown(v, t.Columns[i+1])))
			}
		}
	}
	sizes := len(t.Columns) - 1
	label := max(min(longest, labelAtMost), reports.Width(t.Columns[0].Heading))
	perBlock := max(1, (width-label)/(figure+gap))
	label = max(label, min(longest, labelLonger, width-min(perBlock, sizes)*(figure+gap)))
	blocks := (sizes + perBlock - 1) / perBlock
	for n := range blocks {
		if n > 0 {
			_ = out.WriteByte('\n')
		}
		first, last := 1+n*sizes/blocks, (n+1)*sizes/blocks
		room := max(figure, (width-label)/(last-first+1)-gap)
		answerBlock(t, first, last, label, room).write(out, width)
	}
}

// answerBlock is the columns first to last of the answer, none wider than the room.
func answerBlock(t *reports.Table, first, last, label, room int) grid {
	g := grid{lead: 1}
	heads := []cell{{text: t.Columns[0].Heading + strings.Repeat(" ", max(0, label-len(t.Columns[0].Heading)))}}
	for i := first; i <= last; i++ {
		heads = append(heads, cell{text: t.Columns[i].Batch.Shown(), right: true})
	}
	g.rows = append(g.rows, gridRow{cells: heads, under: true})
	for _, r := range t.Rows {
		top := gridRow{cells: []cell{{text: Clip(bom.Printable(r.Values[0].Exact(reports.AsText)), label)}}}
		below, both := gridRow{cells: []cell{{}}}, false
		for i := first; i <= last; i++ {
			upper, lower := halves(shown(r.Values[i], t.Columns[i]), room)
			top.cells = append(top.cells, cell{text: upper, right: true})
			below.cells = append(below.cells, cell{text: lower, right: true})
			both = both || lower != ""
		}
		if g.rows = append(g.rows, top); both {
			g.rows = append(g.rows, below)
		}
	}
	g.even()
	return g
}

// even makes the columns after the first equally wide, by their headings.
func (g grid) even() {
	widest := 0
	for _, w := range g.widths()[1:] {
		widest = max(widest, w)
	}
	for i := range g.rows[0].cells[1:] {
		c := &g.rows[0].cells[i+1]
		c.text = strings.Repeat(" ", widest-reports.Width(c.text)) + c.text
	}
}

// halves breaks a text that is too long before its bracket, after its last comma, or between
// two words where it is whole so alone.
func halves(s string, room int) (upper, lower string) {
	if reports.Width(s) <= room {
		return s, ""
	}
	if i := strings.LastIndex(s, " ("); i > 0 {
		return Clip(s[:i], room), Clip(s[i+1:], room)
	}
	comma, word := strings.LastIndex(s, ", "), len(s)-1
	for word > 0 && (s[word] != ' ' || reports.Width(s[:word]) > room) {
		word--
	}
	switch whole := word > 0 && reports.Width(s[word+1:]) <= room; {
	case comma > 0 && (!whole || reports.Width(s[:comma+1]) <= room):
		return Clip(s[:comma+1], room), Clip(s[comma+2:], room)
	case word > 0:
		return s[:word], Clip(s[word+1:], room)
	}
	return Clip(s, room), ""
}

// shown is a value as the terminal has it: nothing is a dash.
func shown(v reports.Value, c reports.Column) string {
	f := v.FormatIn(c)
	d, number := v.Decimal()
	if v.IsNothing() && c.Format.Numeric() || number && d.IsZero() && f.Dashed() {
		return none
	}
	return bom.Printable(v.Shown(f))
}

// Detail shows what the answer rests on: the unit cost by category, hours, filament and
// orders, and how each batch comes to be ready. A category with nothing in it at any batch
// size is named under the table instead of having a row.
func Detail(w io.Writer, e *cost.Estimate, width int) error {
	out := bufio.NewWriter(w)
	costs := reports.UnitCost(e)
	writeWrapped(out, costs.Title, "", width)
	_ = out.WriteByte('\n')
	block, empty := detailGrid(&costs, e)
	block.write(out, width)
	_ = out.WriteByte('\n')
	if len(empty) > 0 {
		writeWrapped(out, "not used: "+strings.Join(empty, ", "), "  ", width)
	}
	for _, n := range costs.Notes {
		writeWrapped(out, n, "  ", width)
	}
	for _, line := range slices.Concat(reports.MakingLines(e), reports.PlanLines(e)) {
		writeWrapped(out, bom.Printable(line), "  ", width)
	}
	return out.Flush()
}

// BreakEven says from which batch on a given price is enough, after an empty
// line. Without a price it writes nothing.
func BreakEven(w io.Writer, r *reports.Report, width int) error {
	if r.Pricing == nil {
		return nil
	}
	out := bufio.NewWriter(w)
	_ = out.WriteByte('\n')
	for _, n := range reports.BreakEvenNotes(r) {
		writeWrapped(out, n, "  ", width)
	}
	return out.Flush()
}

// answered are the rows of the unit cost that the answer has.
var answered = []string{reports.RowCash, reports.RowOwn, reports.RowSurplus, reports.RowPrice, reports.RowReady}

// detailGrid lays the unit cost out as text, without the rows that are empty at every batch
// size and those of the answer; it names the empty categories.
func detailGrid(t *reports.Table, e *cost.Estimate) (g grid, empty []string) {
	g.lead = 1
	sizes := bom.Each(e.Batches, func(b *cost.Batch) cell { return cell{text: b.ID().Shown(), right: true} })
	g.rows = append(g.rows, gridRow{cells: append([]cell{{text: reports.BatchHead(e)}}, sizes...), under: true})
	last := reports.Body
	for _, r := range t.Rows {
		if slices.Contains(answered, r.Key) {
			continue
		}
		cells, some := detailRow(t, r, e.Currency.Code)
		if !some && r.Role == reports.Body {
			empty = append(empty, r.Key)
		}
		if !some && r.Role != reports.Total {
			continue
		}
		if last == reports.Total {
			g.rows = append(g.rows, gridRow{})
		}
		if r.Role == reports.Total {
			g.rows[len(g.rows)-1].under = true
		}
		g.rows = append(g.rows, gridRow{cells: cells})
		last = r.Role
	}
	return g, empty
}

// detailRow is one row as text; some tells whether any figure in it is not 0.
func detailRow(t *reports.Table, r reports.Row, code string) (cells []cell, some bool) {
	label, unit := r.Values[0].Shown(reports.AsText), r.Values[1].Shown(reports.AsText)
	if unit != "" && unit != code && unit != code+" per unit" {
		label += ", " + unit
	}
	cells = []cell{{text: label}}
	for i := t.Lead; i < len(t.Columns); i++ {
		v := r.Values[i]
		d, number := v.Decimal()
		some = some || !number || !d.IsZero()
		cells = append(cells, cell{text: shown(v, t.Columns[i]), right: true})
	}
	return cells, some
}
