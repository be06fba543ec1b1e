package main

import "testing"

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
