package cost

import (
	"cmp"
	"strings"
)

// exactKey is how part numbers are compared: letter case counts, since m and M
// differ in a value; the width of gaps does not.
func exactKey(s string) string {
	if tidy(s) {
		return s // without the work, since the same names are looked up again and again
	}
	return strings.Join(strings.Fields(s), " ")
}

// fold is how names are compared: case and the width of gaps do not matter.
func fold(s string) string { return strings.ToLower(exactKey(s)) }

// byName sorts by a name in any case, and names that are one then by their spelling.
func byName(a, b string) int { return cmp.Or(cmp.Compare(fold(a), fold(b)), cmp.Compare(a, b)) }

// tidy tells of plain text that its gaps are single spaces.
func tidy(s string) bool {
	gap := true
	for i := range len(s) {
		c := s[i]
		if c >= 0x80 || c < ' ' || c == ' ' && gap {
			return false
		}
		gap = c == ' '
	}
	return !gap || s == ""
}

// firstOf is the first of two texts that is not empty.
func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

const secondsPerHour = 3600
