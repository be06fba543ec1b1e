package terminal

import (
	"bufio"
	"io"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// deepest is the number of levels that are set off from one another.
const deepest = 12

// Explain shows how a figure comes about: its value flush right, below how it is worked
// out, then, set off, each of what that rests on; of what was read its place and date.
func Explain(w io.Writer, t sum.Told, width int) error {
	out := bufio.NewWriter(w)
	writeTold(out, &t, width, 0)
	return out.Flush()
}

// ExplainedLines counts the lines that [Explain] writes.
func ExplainedLines(t sum.Told, width int) int {
	var text strings.Builder
	_ = Explain(&text, t, width) // a Builder never fails
	return strings.Count(text.String(), "\n")
}

func writeTold(out *bufio.Writer, t *sum.Told, width int, depth int) {
	indent := strings.Repeat("  ", min(depth, deepest))
	value := reports.ToldValue(t)
	if t.Figure == nil || !t.Figure.Blank {
		value = bom.Grouped(value)
	}
	switch {
	case t.Unit == sum.YesIsOne:
		value = map[bool]string{true: "no", false: "yes"}[t.Value.IsZero()]
	case t.Unit != "" && (t.Figure == nil || !t.Figure.Blank):
		value += " " + reports.UnitOfOne(value, t.Unit)
	}
	name := bom.Printable(t.Name)
	if t.Figure != nil {
		if with := name + " (" + bom.Printable(reports.ReadFrom(t)) + ")"; reports.Width(indent+with)+gap+reports.Width(value) <= width {
			name = with
		}
	}
	lines := wrap(name, width-len(indent)-gap-reports.Width(value))
	for i, line := range lines {
		if i < len(lines)-1 {
			_, _ = out.WriteString(indent + line + "\n")
			continue
		}
		room := width - reports.Width(indent+line) - reports.Width(value)
		_, _ = out.WriteString(indent + line + strings.Repeat(" ", max(gap, room)) + value + "\n")
	}
	for _, line := range told(t, name) {
		for i, part := range wrap(bom.Printable(line), width-len(indent)-4) {
			lead := "  "
			if i > 0 {
				lead = "    "
			}
			_, _ = out.WriteString(indent + lead + part + "\n")
		}
	}
	for i := range t.Of {
		writeTold(out, &t.Of[i], width, depth+1)
	}
}

// told are the lines below a name.
func told(t *sum.Told, name string) []string {
	switch {
	case t.Figure != nil && name == bom.Printable(t.Name):
		return []string{reports.ReadFrom(t)}
	case t.Figure != nil:
		return nil
	case t.Above:
		return []string{"= told above"}
	case t.Sum > 0 && len(t.Of) > 0:
		return []string{"= the sum of these " + strconv.Itoa(t.Sum)}
	case t.Sum > 0, t.How == t.Value.String(): // what it is of is not told
		return nil
	}
	return []string{"= " + t.How}
}

// Cut tells whether some of what a figure rests on is not told.
func Cut(t sum.Told) bool {
	if t.Figure == nil && !t.Above && len(t.Of) == 0 {
		return t.How != t.Value.String()
	}
	return slices.ContainsFunc(t.Of, Cut)
}

// Askable lists what [Explain] can be asked for.
func Askable(w io.Writer, x *reports.Explainer, width int) error {
	const most = 40
	out := bufio.NewWriter(w)
	for _, a := range x.Asking() {
		things := a.Things
		if more := len(things) - most; more > 0 {
			things = append(slices.Clone(things[:most]), "and "+strconv.Itoa(more)+" more")
		}
		writeWrapped(out, a.Kind+": "+strings.Join(things, "; "), "  ", width)
		if len(a.What) > 0 {
			writeWrapped(out, "  each: "+strings.Join(a.What, "; "), "    ", width)
		}
	}
	return out.Flush()
}
