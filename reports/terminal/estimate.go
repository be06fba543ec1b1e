package terminal

import (
	"bufio"
	"io"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// DefaultWidth is the number of columns that everything fits in.
const DefaultWidth = 80

// Options say how text is shown.
type Options struct {
	Width int  // columns; 0 means DefaultWidth
	Bold  bool // set the unit cost in bold: only where a terminal reads it
}

func (o Options) width() int {
	if o.Width <= 0 {
		return DefaultWidth
	}
	return o.Width
}

// none stands where a batch has nothing in a category.
const none = "–"

// Estimate shows what one unit costs by category and batch size, then what the
// batches ask for in all. A category with nothing in it at any batch size is
// named under the table instead of having a row. Below stands when each batch is
// ready. Where a price is missing "?"
// stands, and a line names what lacks it.
func Estimate(w io.Writer, e *cost.Estimate, o Options) error {
	out := bufio.NewWriter(w)
	answer := reports.UnitCost(e)
	title := e.Name + ": cost of one unit in " + e.Currency.Code + ", level " + e.Level.String() + ", by batch size"
	writeWrapped(out, title, "", o.width())
	_ = out.WriteByte('\n')
	block, empty := answerGrid(&answer, e)
	block.write(out, o)
	_ = out.WriteByte('\n')
	for _, line := range reports.PlanLines(e) {
		writeWrapped(out, bom.Printable(line), "  ", o.width())
	}
	_ = out.WriteByte('\n')
	if len(empty) > 0 {
		writeWrapped(out, "nothing in: "+strings.Join(empty, ", "), "  ", o.width())
	}
	for _, n := range answer.Notes {
		writeWrapped(out, n, "  ", o.width())
	}
	if !e.Complete {
		writeWrapped(out, bom.Printable(reports.State(e)), "  ", o.width())
	}
	return out.Flush()
}

// BreakEven says from which batch on a given price is enough, after an empty
// line. Without a price it writes nothing.
func BreakEven(w io.Writer, e *cost.Estimate, o Options) error {
	if e.Pricing == nil {
		return nil
	}
	out := bufio.NewWriter(w)
	_ = out.WriteByte('\n')
	for _, n := range reports.BreakEvenNotes(e) {
		writeWrapped(out, n, "  ", o.width())
	}
	return out.Flush()
}

// answerGrid lays the answer out as text, without the rows that are empty at
// every batch size; it names the empty categories.
func answerGrid(t *reports.Table, e *cost.Estimate) (g grid, empty []string) {
	g.lead = 1
	heads := []cell{{text: "batch size"}}
	for _, b := range e.Batches {
		heads = append(heads, cell{text: strconv.Itoa(b.Size), right: true})
	}
	g.rows = append(g.rows, gridRow{cells: heads, under: true})
	last := reports.Body
	for _, r := range t.Rows {
		cells, some := answerRow(t, r, e.Currency.Code)
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
		g.rows = append(g.rows, gridRow{cells: cells, bold: r.Role == reports.Total})
		last = r.Role
	}
	return g, empty
}

// answerRow is one row as text; some tells whether any figure in it is not 0.
func answerRow(t *reports.Table, r reports.Row, code string) (cells []cell, some bool) {
	label, unit := r.Values[0].Shown(reports.AsText), r.Values[1].Shown(reports.AsText)
	if unit != "" && unit != code && unit != code+" per unit" {
		label += ", " + unit
	}
	cells = []cell{{text: label}}
	for i := t.Lead; i < len(t.Columns); i++ {
		v := r.Values[i]
		s := v.Shown(v.FormatIn(t.Columns[i]))
		d, number := v.Decimal()
		if !number || !d.IsZero() {
			some = true
		} else if r.Role == reports.Body {
			s = none
		}
		cells = append(cells, cell{text: s, right: true})
	}
	return cells, some
}
