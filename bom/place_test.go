package bom

import (
	"slices"
	"strings"
	"testing"
)

func TestColumnLetters(t *testing.T) {
	// ECMA-376 Part 1, 18.3.1.4: columns are lettered A to XFD, 16,384 of them
	// (section number from memory).
	for col, want := range map[int]string{1: "A", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA", 16384: "XFD"} {
		if got := ColumnLetters(col); got != want {
			t.Errorf("column %d is %s, want %s", col, got, want)
		}
	}
	// Base 26 without a nought, counted up one by one.
	next := func(s []byte) []byte {
		for i := len(s) - 1; i >= 0; i-- {
			if s[i]++; s[i] <= 'Z' {
				return s
			}
			s[i] = 'A'
		}
		return append([]byte{'A'}, s...)
	}
	want := []byte{'A'}
	for col := 1; col <= 16384; col++ {
		if got := ColumnLetters(col); got != string(want) {
			t.Fatalf("column %d is %s, want %s", col, got, want)
		}
		want = next(want)
	}
}

func TestPlaceStrings(t *testing.T) {
	for _, c := range []struct {
		why        string
		p          Place
		text, cell string
	}{
		{"cell of a workbook", Place{"prices.xlsx", "offers", 14, 5}, "prices.xlsx:offers:14:5", "E14"},
		{"cell of a CSV file", Place{"board.csv", "", 14, 3}, "board.csv:14:3", "C14"},
		{"row", Place{File: "board.csv", Row: 14}, "board.csv:14", ""},
		{"sheet", Place{File: "prices.xlsx", Sheet: "offers"}, "prices.xlsx:offers", ""},
		{"file", Place{File: "prices.xlsx"}, "prices.xlsx", ""},
		{"nowhere", Place{}, "", ""},
	} {
		if got := c.p.String(); got != c.text {
			t.Errorf("%s: %q, want %q", c.why, got, c.text)
		}
		if got := c.p.Cell(); got != c.cell {
			t.Errorf("%s: cell %q, want %q", c.why, got, c.cell)
		}
	}
}

func TestOriginAt(t *testing.T) {
	o := Origin{Head: &Heading{File: "p.xlsx", Sheet: "offers", Row: 1, Col: map[string]int{"price": 5}}, Row: 14}
	if got := o.At("price"); got != (Place{"p.xlsx", "offers", 14, 5}) {
		t.Errorf("price is at %v", got)
	}
	// A heading that is not there leaves the row to be named.
	if got := o.At("stock"); got != (Place{"p.xlsx", "offers", 14, 0}) {
		t.Errorf("a heading that is missing is at %v", got)
	}
	if got := (Origin{}).At("price"); got != (Place{}) {
		t.Errorf("a record that was read nowhere is at %v", got)
	}
}

func TestProblemString(t *testing.T) {
	for _, c := range []struct {
		why  string
		p    Problem
		want string
	}{
		{"all parts", Problem{Place: Place{"p.xlsx", "offers", 14, 5}, What: "not a number", Found: "x", Want: "a number"},
			`p.xlsx:offers:14:5: not a number ("x" in E14); a number`},
		{"no letters for a CSV file", Problem{Place: Place{"b.csv", "", 14, 5}, What: "not a number", Found: "x", Want: "a number"},
			`b.csv:14:5: not a number ("x"); a number`},
		{"nothing found", Problem{Place: Place{File: "b.csv"}, What: "no heading row", Want: "a row with headings"},
			`b.csv: no heading row; a row with headings`},
		{"no place", Problem{What: "no batch"}, `no batch`},
		{"escape sequences are not passed on", Problem{What: "a\x1b[31mb", Found: "c\x07\u202Ed", Want: "e\u009bf"},
			"a\uFFFD[31mb (\"c\uFFFD\uFFFDd\"); e\uFFFDf"},
	} {
		if got := c.p.String(); got != c.want {
			t.Errorf("%s: %s, want %s", c.why, got, c.want)
		}
	}
}

func TestShownIsShort(t *testing.T) {
	got := Shown(strings.Repeat("ä", 1000))
	if want := `"` + strings.Repeat("ä", 60) + `"… 1000 characters`; got != want {
		t.Errorf("%s", got)
	}
	if got := Shown("a\nb"); got != `"a b"` {
		t.Errorf("a line break gives %s", got)
	}
}

func TestProblems(t *testing.T) {
	var ps Problems
	ps.Notef(Place{}, "%d columns passed over", 2)
	ps.Warnf(Place{}, "f", "w", "old price")
	if ps.Failed() {
		t.Error("a warning keeps the estimate from being made")
	}
	ps.Errorf(Place{Row: 3}, "f", "w", "bad %s", "price")
	if !ps.Failed() {
		t.Error("an error does not keep the estimate from being made")
	}
	if got := ps.Of(Error); !slices.Equal(got, Problems{{Place: Place{Row: 3}, What: "bad price", Found: "f", Want: "w", Cause: "bad %s"}}) {
		t.Errorf("errors: %v", got)
	}
	if got := ps.Of(Note); len(got) != 1 || got[0].What != "2 columns passed over" {
		t.Errorf("notes: %v", got)
	}
	if got := ps.Of(Warning); len(got) != 1 || got[0].Severity != Warning {
		t.Errorf("warnings: %v", got)
	}
}
