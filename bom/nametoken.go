package bom

import (
	"slices"
	"strings"
	"unicode"
)

// nameToken is a run of letters or a number in the name of a package.
type nameToken struct {
	text   string // in upper case
	at     int    // where it begins in the name
	sep    byte   // the last sign before it; 0: it is one word with the token before it
	number bool
	whole  bool // a number without a mark
}

// foldName writes a name in the form in which its tokens are told: in upper
// case, and with an X for the sign of times.
func foldName(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '*', r == '×':
			return 'X'
		case r == '\u2126': // the sign of the ohm, which is written as the letter too
			return 'Ω'
		case r == '²':
			return '2'
		case unicode.Is(unicode.Pd, r):
			return '-'
		}
		return unicode.ToUpper(r)
	}, foldWidth(s))
}

// nameTokens parts a folded name. A point between digits is a decimal mark.
func nameTokens(s string) (out []nameToken) {
	sep := byte(' ')
	for i := 0; i < len(s); {
		switch c := s[i]; {
		case isDigit(c):
			n := i + spanOf(s[i:], "0123456789")
			whole := true
			if n+1 < len(s) && s[n] == '.' && isDigit(s[n+1]) {
				n += 1 + spanOf(s[n+1:], "0123456789")
				whole = false
			}
			out = append(out, nameToken{s[i:n], i, sep, true, whole})
			i, sep = n, 0
		case isLetter(c) || c >= 0x80 && letterSpan(s[i:]) > 0:
			n := i + letterSpan(s[i:])
			out = append(out, nameToken{s[i:n], i, sep, false, false})
			i, sep = n, 0
		default:
			sep = c
			if c >= 0x80 {
				sep = ' '
			}
			i++
		}
	}
	return out
}

// glued tells of the token at i that it is one word with the one before it.
func glued(t []nameToken, i int) bool { return i < len(t) && t[i].sep == 0 }

// wordAt gives the letters at i, or nothing.
func wordAt(t []nameToken, i int) string {
	if i < 0 || i >= len(t) || t[i].number {
		return ""
	}
	return t[i].text
}

// hasWord tells whether a word stands among the tokens.
func hasWord(t []nameToken, word string) bool {
	return slices.ContainsFunc(t, func(x nameToken) bool { return x.text == word })
}

// wholeAt gives the whole number at i, or -1.
func wholeAt(t []nameToken, i int) int {
	if i < 0 || i >= len(t) || !t[i].whole || len(t[i].text) > 6 {
		return -1
	}
	return atoi(t[i].text)
}

// times tells whether the tokens from i on read as one number times another:
// 1x06, 7.0x7.0.
func times(t []nameToken, i int) bool {
	return i >= 0 && i+2 < len(t) && t[i].number && t[i+1].text == "X" && t[i+1].sep == 0 && t[i+2].number && t[i+2].sep == 0
}

// plainNumber leaves the noughts out of a number that do not count: 05.00 is 5.
func plainNumber(s string) string {
	if strings.IndexByte(s, '.') >= 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s = strings.TrimLeft(s, "0"); s == "" || s[0] == '.' {
		s = "0" + s
	}
	return s
}

// afterLetter gives the number that is one word with a letter before it: 2.54 of
// P2.54mm, for the letter P.
func afterLetter(t []nameToken, letter string) string {
	for i := 0; i+1 < len(t); i++ {
		if t[i].sep != 0 && t[i].text == letter && t[i+1].number && t[i+1].sep == 0 && !times(t, i+1) {
			return plainNumber(t[i+1].text)
		}
	}
	return ""
}

// bodySize gives the length and width of the body, 7X7 for _7.0x7.0mm: the first
// product that belongs to no letters, as that of a pad does.
func bodySize(t []nameToken) string {
	for i := range t {
		if times(t, i) && t[i].sep != 0 {
			return plainNumber(t[i].text) + "X" + plainNumber(t[i+2].text)
		}
	}
	return ""
}

// pinWords stand after a number of pins.
var pinWords = WordSet("P PIN PINS POS POSITION POSITIONS WAY WAYS POLE POLES PAD PADS LD LEAD LEADS CIRCUIT CIRCUITS CONTACT CONTACTS")

// mostPins bounds a number of pins; a larger one is something else.
const mostPins = 2500

// pinsInWords are those of pinWords that a description of a connector counts its pins by.
var pinsInWords = WordSet("P PIN PINS POS POSITION POSITIONS WAY WAYS CONTACT CONTACTS CIRCUIT CIRCUITS")

// PinsSaid gives the number of pins that a description of a connector says in words: 8-pin, 40 pos,
// two rows of 5 pins as 2x5 pins; 0 where it says none, or several numbers of them.
func PinsSaid(text string) int {
	if len(text) > valueBytes {
		return 0
	}
	t := nameTokens(foldName(text))
	said := 0
	for i := 1; i < len(t); i++ {
		if t[i].number || !pinsInWords[t[i].text] || glued(t, i+1) || t[i].text == "P" && t[i].sep != 0 {
			continue
		}
		n := wholeAt(t, i-1)
		if n < 1 || n > mostPins || said > 0 && said != n {
			return 0
		}
		said = n
	}
	if rows, columns := rowsAndColumns(t); said == columns {
		return rows * columns
	}
	return said
}

// pinCount gives the number of pins that a word says, 4 for 4Pin; else 0.
func pinCount(t []nameToken) int {
	for i := 1; i < len(t); i++ {
		if t[i].number || !pinWords[t[i].text] || glued(t, i+1) || t[i-1].sep == 0 && wordAt(t, i-2) == "X" {
			continue
		}
		if t[i].text == "P" && t[i].sep != 0 && t[i].sep != '-' {
			continue
		}
		if n := wholeAt(t, i-1); n > 0 && n <= mostPins {
			return n
		}
	}
	return 0
}
