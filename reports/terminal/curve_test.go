package terminal

import (
	"bytes"
	"strings"
	"testing"

	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
	"tenoff/reports"
)

func curve(t *testing.T, e *reports.Report, width int) string {
	t.Helper()
	var b bytes.Buffer
	if err := Curve(&b, e, width); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestCurveGolden(t *testing.T) {
	golden(t, "curve.txt", []byte(curve(t, &reports.Report{Estimate: typed.Frost(t, 10, 40), Curve: swept(t, 1, 120)}, Width)))
	if got := curve(t, &reports.Report{Estimate: typed.Frost(t, 10)}, Width); got != "" {
		t.Errorf("a curve without a sweep: %q", got)
	}
}

// The plot is plain characters, keeps its width, and shows every column of the
// sweep, whatever its length; sizes without a price leave a gap.
func TestCurveShapes(t *testing.T) {
	for _, row := range []struct {
		from, to int
		why      string
	}{
		{7, 7, "one size"}, {7, 8, "two sizes"}, {1, 30, "fewer sizes than columns"}, {1, 73, "about as many"}, {100, 900, "many more"},
	} {
		e := &reports.Report{Estimate: typed.Frost(t, 10), Curve: swept(t, row.from, row.to)}
		for _, width := range []int{50, 80} {
			text := curve(t, e, width)
			plotted := strings.SplitAfter(text, "lowest unit cost")[0]
			columns := map[int]bool{}
			for line := range strings.Lines(text) {
				line = strings.TrimSuffix(line, "\n")
				if reports.Width(line) > width {
					t.Errorf("%s: wider than %d: %s", row.why, width, line)
				}
				_, body, is := strings.Cut(line, "|")
				for i, r := range body {
					if is && r != ' ' {
						columns[i] = true
					}
				}
			}
			for _, r := range plotted {
				if r > '~' {
					t.Errorf("%s: %q is no plain character", row.why, r)
				}
			}
			if want := min(row.to-row.from+1, width-9); len(columns) < want-3 || len(columns) > row.to-row.from+1 {
				t.Errorf("%s at %d: %d columns hold a mark", row.why, width, len(columns))
			}
		}
	}
	e := &reports.Report{Estimate: typed.Frost(t, 10), Curve: swept(t, 1, 30)}
	for i := 20; i < 30; i++ {
		e.Curve.Points[i].Total.Unpriced = true
	}
	if whole, part := curve(t, &reports.Report{Estimate: typed.Frost(t, 10), Curve: swept(t, 1, 30)}, Width), curve(t, e, Width); strings.Count(part, "*") >= strings.Count(whole, "*") {
		t.Errorf("sizes without a price are drawn:\n%s", part)
	}
}

// swept is the frost alarm over a range of batch sizes.
func swept(t *testing.T, from, to int) *sweep.Curve {
	t.Helper()
	curve, problems := sweep.Run(typed.FrostRun(t, []int{to}), sweep.Request{From: from, To: to})
	if problems.Failed() {
		t.Fatal(problems)
	}
	return curve
}
