package bom

import "strconv"

// The bounds within which digits and a power of ten give the nearest float64
// with one division or multiplication (Clinger, How to Read Floating Point
// Numbers Accurately, PLDI 1990): a whole number below 2^53 and a power of ten
// that float64 holds exactly.
const (
	exactWhole = 1 << 53
	exactPower = 22
)

var powersOfTen = [exactPower + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// LeadingFloat reads the plain number that b begins with: a sign, digits, a dot
// and, where exponent is set, an exponent. It gives the nearest float64 and the
// number of bytes that it took; 0 where no number stands there. It is for
// geometry, where files hold millions of numbers; figures that people type are
// read by ParseFigure.
func LeadingFloat(b []byte, exponent bool) (value float64, n int) {
	i, negative := 0, false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	var whole uint64
	digits, power := 0, 0
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		whole = whole*10 + uint64(b[i]-'0')
		digits++
	}
	if i < len(b) && b[i] == '.' {
		i++
		for ; i < len(b) && b[i]-'0' <= 9; i++ {
			whole = whole*10 + uint64(b[i]-'0')
			digits++
			power--
		}
	}
	if digits == 0 {
		return 0, 0
	}
	if exponent && i < len(b) && (b[i] == 'e' || b[i] == 'E') {
		e, m := leadingExponent(b[i+1:])
		if m > 0 {
			i += 1 + m
			power += e
		}
	}
	// Nineteen digits cannot have wrapped round.
	if digits <= 19 && whole < exactWhole && power >= -exactPower && power <= exactPower {
		value = float64(whole)
		if power < 0 {
			value /= powersOfTen[-power]
		} else {
			value *= powersOfTen[power]
		}
		if negative {
			value = -value
		}
		return value, i
	}
	value, _ = strconv.ParseFloat(string(b[:i]), 64) // out of range gives an infinity, which callers refuse
	return value, i
}

// leadingExponent reads a signed whole number; one that is out of all range
// stays there without running over.
func leadingExponent(b []byte) (value, n int) {
	i, negative := 0, false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	first := i
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		if value < 100_000 {
			value = value*10 + int(b[i]-'0')
		}
	}
	if i == first {
		return 0, 0
	}
	if negative {
		value = -value
	}
	return value, i
}
