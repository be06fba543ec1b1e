package workbook

import (
	"strings"
	"testing"

	"tenoff/reports"
)

// The table Sums stands on a sheet that is not printed, and has a row for each
// result with its cell, how it is worked out and the cells that it was read from.
func TestSumsSheet(t *testing.T) {
	e := demos(t)["frost-alarm"]
	l := lives(t, e)
	s := l.tables[onSums]
	rows := map[string]int{}
	for i, r := range s.table.Rows {
		text := func(col int) string { return r.Values[col].Exact(reports.AsText) }
		if text(4) == "" {
			t.Errorf("%s is worked out from nothing", text(1))
		}
		rows[text(0)+" "+text(1)] = i
	}
	if want := 2000; len(rows) < want || len(rows) != len(s.table.Rows) {
		t.Errorf("%d results in %d rows, over %d are wanted", len(rows), len(s.table.Rows), want)
	}
	for _, row := range []struct{ of, formula, how, from string }{
		{"40 duty and tax: consumed per unit", sheetSummary, "consumed ÷ 40", ""},
		{"40 order to Lotquay Circuits: tax", "", "since value for customs is over Tax free up to: (value", "prices/suppliers.csv:J5, as of 2 Nov 2026; prices/suppliers.csv:H5, as of 2 Nov 2026"},
		{"10 printing of FA-LID: cost of energy", sheetPrint, "setting Energy price per kWh", "prices/settings.csv:B"},
	} {
		i, ok := rows[row.of]
		if !ok {
			t.Errorf("no row %s", row.of)
			continue
		}
		how, from := s.table.Rows[i].Values[4].Exact(reports.AsText), s.table.Rows[i].Values[5].Exact(reports.AsText)
		if f := formulaOf(l, s, position{i, 3}); !strings.Contains(f, row.formula) || !strings.Contains(how, row.how) || !strings.Contains(from, row.from) {
			t.Errorf("%s: =%s, %s, %s", row.of, f, how, from)
		}
	}
}

// No batch gets more rows than its part of the sheet holds, and what is left out is
// counted.
func TestSumsAtMost(t *testing.T) {
	l := newLive(demos(t)["morse-kit"].Estimate)
	l.told = make([][]statedSum, len(l.e.Batches))
	all, none := toldRows(l, 0, sumsAtMost)
	l.told = make([][]statedSum, len(l.e.Batches))
	some, left := toldRows(l, 0, 10)
	if len(some) != 10 || len(l.told[0]) != 10 || none != 0 || left < len(all)-10 {
		t.Errorf("%d rows, %d left of %d", len(some), left, len(all))
	}
}

// What a part that nobody sells is shared out into has no cell, and no formula names one.
func TestSharesOfTheUnknown(t *testing.T) {
	run := changeRun(t, 0)
	for i := range run.Prices.Materials {
		if m := &run.Prices.Materials[i]; m.Name == "ASA white" { // of the two caps
			m.Unpriced = true
		}
	}
	e := estimated(t, run)
	if e.Complete {
		t.Fatal("all is priced")
	}
	for name, s := range lives(t, e).written {
		for at, f := range s.all() {
			if strings.Contains(f.text, "''!") {
				t.Errorf("%s, %v names no sheet", name, at)
			}
		}
	}
}

// formulaOf is the formula of a figure.
func formulaOf(l *live, s *laid, at position) string {
	c := s.cell(at)
	return l.written[c.Sheet].at(spot{c.Row, c.Col}).text
}
