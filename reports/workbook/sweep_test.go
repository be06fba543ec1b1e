package workbook

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
	"tenoff/reports"
)

// The chart of a sweep draws both lines from the cells of the table, and no
// size that lacks a price.
func TestSweepChart(t *testing.T) {
	e := sweptAt(swept(t, 1, 60), typed.Frost(t, 10, 40))
	for _, row := range []struct {
		why            string
		unknown        []int
		first, through int // batch sizes
	}{
		{"all sizes", nil, 1, 60},
		{"the last ones run out of stock", []int{41, 42, 60}, 1, 40},
		{"the first ones are below the least order", []int{1, 2, 3}, 4, 60},
	} {
		e := sweptAt(swept(t, 1, 60), typed.Frost(t, 10, 40))
		if row.unknown != nil {
			e.Curve.Jumps = nil
		}
		for _, size := range row.unknown {
			e.Curve.Points[size-1].Total.Unpriced = true
		}
		s := lives(t, e).tables[reports.SweepName]
		first := s.rowAt[0]
		xml := part(t, written(t, e, Options{}), "xl/charts/chart4.xml") // after that of the summary and those of the plans
		for _, column := range []string{"A", "B", "C"} {
			want := fmt.Sprintf("&#39;Batch sizes&#39;!$%s$%d:$%s$%d", column, first+row.first-1, column, first+row.through-1)
			if !strings.Contains(xml, want) {
				t.Errorf("%s: %s is not drawn", row.why, want)
			}
		}
	}
	f := opened(t, written(t, e, Options{}))
	if got, _ := f.GetCellValue(sheetSweep, at(1, lives(t, e).tables[reports.SweepName].rowAt[59])); got != "60" {
		t.Errorf("the last size is %q", got)
	}
	one := sweptAt(swept(t, 10, 10), typed.Frost(t, 10))
	if got := len(strings.Split(part(t, written(t, one, Options{}), "[Content_Types].xml"), "charts/chart")) - 1; got != 2 {
		t.Errorf("%d charts; a single size is no line", got)
	}
}

// The scale ends at four times the lowest figure where the first sizes cost
// more than that, and is left alone where they do not; that of the sizes always
// ends at the last one.
func TestSweepScale(t *testing.T) {
	for _, row := range []struct {
		why      string
		from, to int
		cut      bool
	}{
		{"from a single unit on", 1, 60, true},
		{"where the curve is nearly flat", 40, 60, false},
	} {
		xml := part(t, written(t, sweptAt(swept(t, row.from, row.to), typed.Frost(t, 50)), Options{}), "xl/charts/chart3.xml")
		if got := strings.Count(xml, "<max val=") == 2; got != row.cut {
			t.Errorf("%s: the scale is cut: %v", row.why, got)
		}
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

// sweptAt is an estimate with a sweep.
func sweptAt(c *sweep.Curve, e *cost.Estimate) *reports.Report {
	return &reports.Report{Estimate: e, Curve: c}
}
