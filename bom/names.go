package bom

import "strings"

// ExactKey is how part numbers are compared: letter case counts, since m and M
// differ in a value; the width of gaps does not.
func ExactKey(s string) string {
	if tidy(s) {
		return s // without the work, since the same names are looked up again and again
	}
	return strings.Join(strings.Fields(s), " ")
}

// Fold is how names are compared: case and the width of gaps do not matter.
func Fold(s string) string { return strings.ToLower(ExactKey(s)) }

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
