package workbook

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/cost"
	"tenoff/cost/trial"
	"tenoff/reports"
)

// Each batch has a chart of its own, of its own rows and of no more than its
// top ones.
func TestSpreadCharts(t *testing.T) {
	e := frost(t, 10, 40)
	e.Chances = &trial.Chances{Trials: 100, Seed: 1}
	for _, inputs := range []int{3, 20} {
		o := trial.Outlook{}
		for n := range inputs {
			o.Spreads = append(o.Spreads, trial.Spread{Ranged: cost.Ranged{Name: fmt.Sprintf("figure %d", n)}, Share: 1 / float64(inputs)})
		}
		e.Chances.Batches = append(e.Chances.Batches, o)
	}
	data := written(t, e, Options{})
	s := lives(t, e).tables[reports.SpreadName]
	for i, rows := range [][2]int{{s.rowAt[0], s.rowAt[2]}, {s.rowAt[3], s.rowAt[3+barsAtMost-1]}} {
		xml := part(t, data, fmt.Sprintf("xl/charts/chart%d.xml", i+4))
		for _, column := range []string{"A", "J"} { // figure and share
			want := fmt.Sprintf("&#39;Risk&#39;!$%s$%d:$%s$%d<", column, rows[0], column, rows[1])
			if !strings.Contains(xml, want) {
				t.Errorf("chart of batch %d: %s is not drawn", e.Batches[i].Size, want)
			}
		}
	}
	// Columns of nearly the same height look so: their axis begins at nothing.
	if xml := part(t, data, "xl/charts/chart1.xml"); strings.Count(xml, `<min val="0">`) == 0 {
		t.Error("the axis of unit costs does not begin at 0")
	}
	if got := len(strings.Split(part(t, data, "[Content_Types].xml"), "charts/chart")) - 1; got != 5 {
		t.Errorf("%d charts; one of the categories and two for each batch, of its plan and its risk, are wanted", got)
	}
}
