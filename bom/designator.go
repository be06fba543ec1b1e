package bom

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// DesignatorError tells why a cell does not list designators. What and Want are
// worded for Problem; What names the designator.
type DesignatorError struct {
	What string
	Want string
}

// The limits of one cell: more designators than any board of a small series
// holds, and longer ones than anybody prints beside a part.
const (
	designatorLimit = 10_000
	designatorRunes = 40
)

const wantDesignators = "designators such as R1, R4-R7"

// ExpandDesignators lists the designators of a cell in the order in which they
// stand there. Commas, semicolons and white space part them. A hyphen, a dash,
// two dots or an ellipsis between two of them is a range: R4-R7, R4-7, C2..C4;
// leading noughts are kept (R01-R03). An empty cell lists none; a designator
// that stands twice is an error.
//
// A designator is Latin letters, then letters, digits and underscores, with a
// digit among them: R1, U1A, TP_VCC2. As a hyphen is always a range, J3-1 is
// refused: it would be a range that runs backwards. Words are refused too, for
// "see drawing" is not two parts. Case is kept; R1 and r1 are the same.
func ExpandDesignators(text string) ([]string, *DesignatorError) {
	var out []string
	seen := map[string]bool{}
	for _, token := range strings.FieldsFunc(rangeMark.ReplaceAllString(foldWidth(text), "-"), isDesignatorStop) {
		names, err := expandRange(token)
		if err != nil {
			return nil, err
		}
		if len(out)+len(names) > designatorLimit {
			return nil, &DesignatorError{
				What: fmt.Sprintf("more than %d designators in one cell, at %s", designatorLimit, Shown(token)),
				Want: "fewer designators in a cell",
			}
		}
		for _, name := range names {
			key := strings.ToUpper(name)
			if seen[key] {
				return nil, &DesignatorError{What: "designator " + name + " stands twice", Want: "each designator once"}
			}
			seen[key] = true
		}
		out = append(out, names...)
	}
	return out, nil
}

// rangeMark is the mark of a range with the white space about it.
var rangeMark = regexp.MustCompile(`\s*(?:\.\.\.?|[-…—~〜])\s*`)

func isDesignatorStop(r rune) bool {
	return r == ',' || r == ';' || r == '、' || unicode.IsSpace(r)
}

// expandRange lists what one designator or range stands for.
func expandRange(token string) ([]string, *DesignatorError) {
	from, to, isRange := strings.Cut(token, "-")
	if !isRange {
		if err := checkDesignator(token); err != nil {
			return nil, err
		}
		return []string{token}, nil
	}
	if err := checkDesignator(from); err != nil {
		return nil, err
	}
	prefix, first := splitNumber(from)
	toPrefix, last := splitNumber(to)
	short := to != "" && toPrefix == ""
	if !short {
		if err := checkDesignator(to); err != nil {
			return nil, err
		}
	}
	bad := func(what string) ([]string, *DesignatorError) {
		return nil, &DesignatorError{What: "range " + Shown(token) + " " + what, Want: wantDesignators}
	}
	switch {
	case first == "" || last == "":
		return bad("does not run from one number to another")
	case !short && !strings.EqualFold(prefix, toPrefix):
		return bad("joins designators of different letters")
	case len(first) > 9 || len(last) > 9:
		return bad("has too long a number")
	case !short && (first[0] == '0' || last[0] == '0') && len(first) != len(last):
		return bad("has numbers of different length")
	}
	lo, hi := atoi(first), atoi(last)
	switch {
	case hi < lo:
		return bad("runs backwards")
	case hi-lo >= designatorLimit:
		return bad(fmt.Sprintf("holds more than %d designators", designatorLimit))
	}
	out := make([]string, 0, hi-lo+1)
	for n := lo; n <= hi; n++ {
		digits := strconv.Itoa(n)
		if pad := len(first) - len(digits); pad > 0 {
			digits = strings.Repeat("0", pad) + digits
		}
		out = append(out, prefix+digits)
	}
	return out, nil
}

// splitNumber parts a designator into what it begins with and the digits at
// its end.
func splitNumber(s string) (prefix, digits string) {
	i := len(s)
	for i > 0 && isDigit(s[i-1]) {
		i--
	}
	return s[:i], s[i:]
}

func checkDesignator(s string) *DesignatorError {
	if s == "" {
		return &DesignatorError{What: "a range without one of its ends", Want: wantDesignators}
	}
	bad := func(what string) *DesignatorError {
		return &DesignatorError{What: Shown(s) + " " + what, Want: wantDesignators}
	}
	numbered := false
	for i, r := range s {
		switch {
		case i >= designatorRunes:
			return bad("is too long for a designator")
		case r >= '0' && r <= '9':
			numbered = true
		case r >= 'A' && r <= 'Z', r >= 'a' && r <= 'z', r == '_':
		case r == '?' || r == '*':
			return bad("is a designator without its number")
		default:
			return bad(fmt.Sprintf("is not a designator: %q (U+%04X) cannot stand in one", r, r))
		}
	}
	switch {
	case !isLetter(s[0]):
		return bad("is not a designator: it does not begin with a letter")
	case !numbered:
		return bad("is not a designator: it has no number")
	}
	return nil
}

func isDigit(b byte) bool  { return b >= '0' && b <= '9' }
func isLetter(b byte) bool { return b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' }

// ClassOf gives the class letters of a designator in upper case, as IEEE 315
// uses them: R for R12, CR for CR3. Empty where it does not begin with a letter.
func ClassOf(designator string) string {
	i := 0
	for i < len(designator) && isLetter(designator[i]) {
		i++
	}
	return strings.ToUpper(designator[:i])
}

// DimensionOf gives the unit in which the value of a part of that class is
// written where no unit stands with it: "Ω", "F", "H", or nothing. Classes by
// IEEE 315-1975 section 22.4.
func DimensionOf(class string) string {
	switch strings.ToUpper(class) {
	case "R", "RT":
		return "Ω"
	case "C":
		return "F"
	case "L":
		return "H"
	}
	return ""
}
