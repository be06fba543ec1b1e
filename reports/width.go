package reports

import (
	"unicode"

	"golang.org/x/text/width"
)

// Width is the number of columns that text takes on a terminal: two for wide
// East Asian characters, none for marks that combine with the one before.
func Width(s string) int {
	n := 0
	for _, r := range s {
		n += RuneWidth(r)
	}
	return n
}

// RuneWidth is the number of columns that one character takes.
func RuneWidth(r rune) int {
	if r < 0x300 {
		return 1
	}
	if unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) {
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}
