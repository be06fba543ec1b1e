package bom

import "testing"

// TestWorkdays: days of the week as people write them. Dates from ISO 8601: 2026-11-30 is the
// Monday of week 49.
func TestWorkdays(t *testing.T) {
	for text, want := range map[string]string{
		"Mon-Fri": "Mon-Fri", "monday to friday": "Mon-Fri", "Mo–Th, sat": "Mon-Thu, Sat", "Sat-Mon": "Mon, Sat-Sun", "Tue; Thu": "Tue, Thu",
		"every day": "every day", "Mon-Sun": "every day", "Wed": "Wed", "Fri-Thu": "every day",
		"": "-", "Mon-": "-", "M-F": "-", "weekdays": "-", "Mon-Fri-Sat": "-", "5": "-", ",": "-",
	} {
		got := "-"
		if days, ok := ParseWorkdays(text); ok {
			got = days.String()
		}
		if got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
	week, _ := ParseWorkdays("Mon-Fri")
	thursday, _ := ParseDate("2026-12-03")
	if got, want := week.From(thursday), [7]bool{true, true, false, false, true, true, true}; got != want {
		t.Errorf("from Thursday on: %v, want %v", got, want)
	}
	if got, want := week.From(Date{}), [7]bool{true, true, true, true, true}; got != want {
		t.Errorf("from no date on: %v, want %v", got, want)
	}
}
