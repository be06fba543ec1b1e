package bom

import (
	"testing"
)

func TestParseDate(t *testing.T) {
	for _, c := range []struct {
		why, text string
		want      Date
		ok        bool
	}{
		// ISO 8601-1:2019 5.2.2.1: calendar date, extended format (section number from memory).
		{"calendar date", "2026-11-05", Date{2026, 11, 5}, true},
		// Gregorian leap years, as ISO 8601 prescribes: by 4, not by 100, but by 400.
		{"leap day", "2024-02-29", Date{2024, 2, 29}, true},
		{"leap day of a century by 400", "2000-02-29", Date{2000, 2, 29}, true},
		{"no leap day in a century", "1900-02-29", Date{}, false},
		{"no leap day", "2023-02-29", Date{}, false},
		{"no such month", "2026-13-01", Date{}, false},
		{"no such day", "2026-04-31", Date{}, false},
		{"day before month", "05-11-2026", Date{}, false},
		{"strokes", "2026/11/05", Date{}, false},
		{"one digit", "2026-1-5", Date{}, false},
		{"with a clock", "2026-11-05T10:00:00Z", Date{}, false},
		{"serial of a spreadsheet", "46000", Date{}, false},
		{"blank at the end", "2026-11-05 ", Date{}, false},
		{"empty", "", Date{}, false},
	} {
		if got, ok := ParseDate(c.text); got != c.want || ok != c.ok {
			t.Errorf("%s: %q gives %v %v, want %v %v", c.why, c.text, got, ok, c.want, c.ok)
		}
	}
}

func TestDateZero(t *testing.T) {
	if d := (Date{}); !d.IsZero() || d.String() != "" {
		t.Errorf("the zero date prints as %q", d.String())
	}
	if d := (Date{2026, 1, 2}); d.IsZero() || d.String() != "2026-01-02" {
		t.Errorf("prints as %q", d.String())
	}
}

// dayNumber is the Julian day number of a Gregorian date by the integer formula
// of Fliegel and Van Flandern, Communications of the ACM 11 (1968) 657 (from
// memory; checked against J2000, 1 January 2000 = 2451545).
func dayNumber(d Date) int {
	y, m, day := int(d.Year), int(d.Month), int(d.Day)
	return day - 32075 + 1461*(y+4800+(m-14)/12)/4 + 367*(m-2-(m-14)/12*12)/12 - 3*((y+4900+(m-14)/12)/100)/4
}

func TestDaysUntil(t *testing.T) {
	if n := dayNumber(Date{2000, 1, 1}); n != 2451545 {
		t.Fatalf("Julian day of J2000: %d", n)
	}
	dates := []Date{{1900, 1, 1}, {1999, 12, 31}, {2000, 2, 29}, {2000, 3, 1}, {2024, 2, 28}, {2024, 3, 1},
		{2026, 3, 29}, {2026, 3, 30}, {2026, 10, 25}, {2026, 12, 31}, {2027, 1, 1}, {2099, 6, 15}}
	for _, d := range dates {
		for _, e := range dates {
			want := dayNumber(e) - dayNumber(d)
			if got := d.DaysUntil(e); got != want {
				t.Errorf("%v to %v: %d days, want %d", d, e, got, want)
			}
			if d.Before(e) != (want > 0) {
				t.Errorf("%v before %v: %v", d, e, d.Before(e))
			}
		}
	}
}

var dateSeeds = []string{"2026-02-28", "2024-02-29", "2023-02-29", "0000-01-01", "9999-12-31", "2026-1-5", "5.1.2026", ""}

// FuzzParseDate: a date that was read prints as it stood.
func FuzzParseDate(f *testing.F) {
	for _, s := range dateSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, ok := ParseDate(text)
		if !ok {
			if !d.IsZero() {
				t.Fatalf("%q: no date, but %v", text, d)
			}
			return
		}
		if d.String() != text || d.IsZero() {
			t.Fatalf("%q prints as %q", text, d.String())
		}
		if want := d.time().AddDate(0, 0, 1); d.DaysUntil(dateOf(want)) != 1 {
			t.Fatalf("%q: the next day is not one day away", text)
		}
		if d.Month < 1 || d.Month > 12 {
			t.Fatalf("%q: month %d", text, d.Month)
		}
	})
}
