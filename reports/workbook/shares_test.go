package workbook

import (
	"strings"
	"testing"
)

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
