package bom

import "strconv"

// LeadingFloat reads the plain number that b begins with: a sign, digits, a dot
// and, where exponent is set, an exponent. It gives the nearest float64 and the
// number of bytes that it took; 0 where no number stands there. It is for
// geometry; figures that people type are read by ParseFigure.
func LeadingFloat(b []byte, exponent bool) (value float64, n int) {
	first := afterSign(b, 0)
	n = afterDigits(b, first)
	digits := n - first
	if n < len(b) && b[n] == '.' {
		fraction := n + 1
		n = afterDigits(b, fraction)
		digits += n - fraction
	}
	if digits == 0 {
		return 0, 0
	}
	if exponent && n < len(b) && (b[n] == 'e' || b[n] == 'E') {
		power := afterSign(b, n+1)
		if end := afterDigits(b, power); end > power {
			n = end
		}
	}
	value, _ = strconv.ParseFloat(string(b[:n]), 64) // out of range gives an infinity, which callers refuse
	return value, n
}

// afterSign is the place behind a sign, where one stands at a place.
func afterSign(b []byte, i int) int {
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		i++
	}
	return i
}

// afterDigits is the place behind the digits that stand at a place.
func afterDigits(b []byte, i int) int {
	for i < len(b) && b[i]-'0' <= 9 {
		i++
	}
	return i
}
