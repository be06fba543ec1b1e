package main

import (
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

// Complaints name files as they were typed, and what lies beside or below them
// in the same way.
func TestAsTyped(t *testing.T) {
	for _, row := range []struct {
		why, file, want string
		separator       rune
		args            []string
	}{
		{"typed plainly", "unit.csv", "unit.csv", '/', []string{"check", "--bom", "unit.csv"}},
		{"cleaned inside", "unit.csv", "./unit.csv", '/', []string{"check", "--bom", "./unit.csv"}},
		{"a file of a folder", "prices/offers.csv", "./prices/offers.csv", '/', []string{"check", "--prices=./prices/"}},
		{"a sheet", "in/unit.xlsx", "in//unit.xlsx", '/', []string{"--bom", "in//unit.xlsx#Main"}},
		{"named by a list", "in/boards/main.csv", `in\boards\main.csv`, '\\', []string{"--bom", `in\unit.csv`}},
		{"both separators", "in/unit.csv", "in/unit.csv", '\\', []string{"--bom", "in/unit.csv"}},
		{"a drive", "C:/in/unit.csv", `C:\in\unit.csv`, '\\', []string{"--bom", `C:\in\unit.csv`}},
		{"a backslash is a letter elsewhere", `in\unit.csv`, `in\unit.csv`, '/', []string{"--bom", `in\unit.csv`}},
		{"only whole names", "unit.csv.old", "unit.csv.old", '/', []string{"./unit.csv"}},
		{"the longest", "a/b/c.csv", "./a/./b/c.csv", '/', []string{"a", "./a/./b/", "x"}},
		{"no file", "standard input", "standard input", '/', []string{"-"}},
	} {
		if got := asTyped(row.file, row.args, row.separator); got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}

// Each cause is one line that fits, with the place of the first and how many there are more.
func TestBriefly(t *testing.T) {
	long := strings.Repeat("deep/", 30) + "offers-of-all-suppliers-of-the-last-year.csv"
	var problems bom.Problems
	for row := range 8 {
		problems.Warnf(bom.Place{File: long, Row: row + 2, Col: 3}, "", "ask again", "batch %d relies on the stock of a supplier far away", row)
	}
	problems.Warnf(bom.Place{}, "12", "", "a thing apart")
	groups := problems.ByCause()
	if len(groups) != 2 || len(groups[0]) != 8 {
		t.Fatalf("%d causes", len(groups))
	}
	for _, row := range []struct {
		width int
		group bom.Problems
		want  string
	}{
		{122, groups[0], "warning: batch 0 relies on the stock of a supplier far away (offers-of-all-suppliers-of-the-last-year.csv:2:3 and 7 more)"},
		{180, groups[0], "warning: batch 0 relies on the stock of a supplier far away; ask again (offers-of-all-suppliers-of-the-last-year.csv:2:3 and 7 more)"},
		{80, groups[0], "warning: batch 0 relies on th… (offers-of-all-suppliers-of-the-last-year.csv:2:…"},
		{80, groups[1], `warning: a thing apart ("12")`},
	} {
		got := briefly(row.group, row.width)
		if reports.Width(got) > row.width {
			t.Errorf("wider than %d: %s", row.width, got)
		}
		if got != row.want {
			t.Errorf("%s\nwant %s", got, row.want)
		}
	}
	if got, want := countsBriefly(problems, false), "2 warnings (9 places); --verbose lists all"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	for row := range 10 {
		at := bom.Place{File: "board.csv", Row: row + 2}
		problems.Add(bom.Problem{Place: at, Severity: bom.Note, What: "a line is no part"})
		problems.Add(bom.Problem{Place: at, Severity: bom.Assumption, What: "its joints are assumed"})
	}
	if got, want := countsBriefly(problems, false), "2 warnings, 1 assumption, 1 note; --verbose lists all"; got != want {
		t.Errorf("%s, want %s: %d columns would be cut", got, want, terminal.Width)
	}
	if got, want := countsBriefly(problems, true), "2 warnings (9 places), 1 assumption (10 places), 1 note (10 places)"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
