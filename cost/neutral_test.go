package cost_test

import (
	"reflect"
	"strings"
	"testing"

	"tenoff/cost"
)

// neutral are columns with what they mean where they are blank, and settings with their
// defaults.
var neutral = map[string][][2]string{
	"offers":    {{"Surplus worth %", "100"}, {"Line fee", "0"}},
	"materials": {{"Surplus worth %", "100"}},
	"boards":    {{"Surplus worth %", "0"}},
	"assembly":  {{"Stencil kept", "no"}},
	"suppliers": {{"Flat duty per heading", "0"}, {"Parts sent count", "no"}},
	"attrition": {{"At least", "0"}},
	"printers":  {{"Runs on unattended", "yes"}},
	"hand-work": {{"Timed at", "1"}, {"Done before", "0"}, {"Share %", "100"}},
}

const neutralSettings = "Labour paid,no\nSurplus worth %,100\nBoard surplus worth %,0\nSales tax %,0\nFree units,0\n"

// withSettings fills in the settings that the input leaves blank.
func (in input) withSettings() input {
	out := in.with()
	for _, row := range strings.SplitAfter(neutralSettings, "\n") {
		if name, _, ok := strings.Cut(row, ","); ok && !strings.Contains(out["prices/settings.csv"], "\n"+name+",") {
			out["prices/settings.csv"] += row
		}
	}
	return out
}

// withColumns fills in the columns that the input leaves out.
func (in input) withColumns() input {
	out := in.with()
	for tab, columns := range neutral {
		name := "prices/" + tab + ".csv"
		lines := strings.Split(strings.TrimSuffix(out[name], "\n"), "\n")
		for _, c := range columns {
			if out[name] == "" || strings.Contains(","+lines[0]+",", ","+c[0]+",") {
				continue
			}
			width := strings.Count(lines[0], ",")
			for i := range lines {
				value := c[1]
				if i == 0 {
					value = c[0]
				}
				lines[i] += strings.Repeat(",", max(0, width-strings.Count(lines[i], ","))) + "," + value
			}
		}
		if out[name] != "" {
			out[name] = strings.Join(lines, "\n") + "\n"
		}
	}
	return out
}

// TestNeutral: a rule at its neutral value changes nothing against a run without it.
func TestNeutral(t *testing.T) {
	for name, in := range map[string]input{"frost": demo(t, "frost-alarm"), "morse": demo(t, "morse-kit"), "lamp": lamp} {
		sameRuns(t, name+", settings", in.read(t), in.withSettings().read(t))
		sameRuns(t, name+", columns", in.read(t), in.withColumns().read(t))
	}
}

func sameRuns(t *testing.T, name string, plain, filled cost.Run) {
	t.Helper()
	if reflect.DeepEqual(plain.Prices, filled.Prices) {
		t.Errorf("%s: nothing was filled in", name)
	}
	for _, size := range []int{1, 10, 40} {
		a, b := one(t, plain, size), one(t, filled, size)
		same(t, name+", total", a.Total, b.Total)
		for i := range a.Categories {
			same(t, name+", "+cost.Category(i).String(), a.Categories[i], b.Categories[i])
		}
		for i := range a.Payers {
			same(t, name+", "+a.Payers[i].Name, a.Payers[i].Amounts, b.Payers[i].Amounts)
		}
		if !a.Charge.Price.Equal(b.Charge.Price) || !a.Ask.Each.Equal(b.Ask.Each) || a.Plan.Ready != b.Plan.Ready {
			t.Errorf("%s, batch %d: price %s, asked %s, ready %v; filled in %s, %s, %v", name, size, a.Charge.Price, a.Ask.Each, a.Plan.Ready, b.Charge.Price, b.Ask.Each, b.Plan.Ready)
		}
	}
}
