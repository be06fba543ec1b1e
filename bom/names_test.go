package bom

import "testing"

func TestStem(t *testing.T) {
	for _, c := range []struct{ file, want string }{
		{"lists/frost alarm.csv", "frost alarm"},
		{`lists\rev 1.2.xlsx`, "rev 1.2"},
		{"board..csv", "board"},
		{"board", "board"},
		{".csv", ".csv"},
		{"", ""},
	} {
		if got := Stem(c.file); got != c.want {
			t.Errorf("%q: %q, want %q", c.file, got, c.want)
		}
	}
}

func TestSplitSheet(t *testing.T) {
	for _, c := range []struct{ name, file, sheet string }{
		{"unit.xlsx#Main board", "unit.xlsx", "Main board"},
		{"rev#2.xlsx#Main", "rev#2.xlsx", "Main"},
		{"rev#2", "rev#2", ""},
		{"#Main", "", "Main"},
	} {
		if file, sheet := SplitSheet(c.name); file != c.file || sheet != c.sheet {
			t.Errorf("%q: %q and %q, want %q and %q", c.name, file, sheet, c.file, c.sheet)
		}
	}
}
