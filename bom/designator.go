package bom

import (
	"fmt"
	"regexp"
	"slices"
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

// Designators is what a cell of designators lists.
type Designators struct {
	Names []string // in the order in which they stand there, ranges written out
	// Words tells that some are words (KEY, USB-UART, REF**) and not letters with a
	// number, so that their number need not be that of the pieces.
	Words bool
}

// ExpandDesignators lists the designators of a cell in the order in which they
// stand there. Commas, semicolons, bars and white space part them. A hyphen, a dash,
// two dots or an ellipsis between two of them is a range: R4-R7, R4-7, C2..C4;
// leading noughts are kept (R01-R03). A number behind a designator has its letters:
// C1, 4, 5. An empty cell and one that holds dashes
// alone list none; a numbered designator that stands twice is an error.
//
// A numbered designator is a Latin letter, then letters, digits, underscores and $,
// with a digit among them: R1, U1A, TP_VCC2, J$1. A hyphen behind one is always a
// range: J3-1 is refused, as it would run backwards; D1+ and D1- in one cell are two
// places. Anything else that begins with
// a letter and has no digit before a hyphen is a word; words with gaps in them are
// one (USB PORT) and so are designators without their number (R?). Case is kept; R1
// and r1 are the same.
func ExpandDesignators(text string) (Designators, *DesignatorError) {
	var out Designators
	seen := map[string]bool{}
	prefix := "" // letters of the designator before: C61,81 is C61 and C81
	tokens := designatorTokens(text)
	for _, token := range tokens {
		if token == "+" { // SW1 + LED1 is one piece in two places
			out.Words = true
			continue
		}
		if number, _, _ := strings.Cut(token, "-"); prefix != "" && number != "" && allDigits(number) {
			token = prefix + token
		}
		names, word, err := expandRange(token)
		if end, minus := strings.CutSuffix(token, "-"); err != nil && minus && IsDesignator(end) && slices.Contains(tokens, end+"+") {
			names, word, err = []string{token}, false, nil
		}
		if err != nil {
			return Designators{}, err
		}
		if len(out.Names)+len(names) > designatorLimit {
			return Designators{}, &DesignatorError{What: fmt.Sprintf("more than %d designators in one cell, at %s", designatorLimit, Shown(token)),
				Want: "fewer designators in a cell"}
		}
		for _, name := range names {
			key := strings.ToUpper(name)
			if seen[key] && !word {
				return Designators{}, &DesignatorError{What: "designator " + name + " stands twice", Want: "each designator once"}
			}
			seen[key] = true
		}
		if prefix = ""; !word {
			prefix, _ = splitNumber(names[len(names)-1])
		}
		out.Names, out.Words = append(out.Names, names...), out.Words || word
	}
	return out, nil
}

// ExpandDotted lists the designators of a cell in which a dot is a part of a name:
// TP1.1 is the first of test point 1. It may also part two names, so that something
// else has to bear it out, such as their number.
func ExpandDotted(text string) (Designators, *DesignatorError) {
	const dot = "_dot_"
	out, err := ExpandDesignators(strings.ReplaceAll(text, ".", dot))
	for i, name := range out.Names {
		out.Names[i] = strings.ReplaceAll(name, dot, ".")
	}
	return out, err
}

// rangeMark is the mark of a range with the white space about it.
var rangeMark = regexp.MustCompile(`[\s\v]*(?:\.\.\.?|[-…—~〜])[\s\v]*`)

// remarkMark is a bracket behind a designator: C2(0.1UF).
var remarkMark = regexp.MustCompile(`(\d)\(`)

// latin gives a designator in capitals of Cyrillic that look like Latin ones in those:
// keyboards of either kind write C1. Other words stay as they are.
func latin(word string) string {
	mapped := cyrillicCapitals.Replace(word)
	if from, _, _ := strings.Cut(mapped, "-"); IsDesignator(from) {
		return mapped
	}
	return word
}

var cyrillicCapitals = strings.NewReplacer("\u0410", "A", "\u0412", "B", "\u0421", "C", "\u0415", "E", "\u041d", "H", "\u041a", "K",
	"\u041c", "M", "\u041e", "O", "\u0420", "P", "\u0422", "T", "\u0425", "X", "\u0423", "Y")

// designatorTokens parts a cell at commas and the like, and at white space where
// that parts designators and not words.
func designatorTokens(text string) []string {
	text = remarkMark.ReplaceAllString(foldWidth(text), "$1 (")
	if strings.Trim(text, "-–—_ ") == "" {
		return nil
	}
	var out []string
	for _, piece := range strings.FieldsFunc(rangeMark.ReplaceAllString(text, "-"), isDesignatorStop) {
		words := parted(strings.Fields(strings.TrimLeftFunc(piece, isMark)))
		for i, w := range words {
			words[i] = latin(strings.TrimLeftFunc(w, isMark))
		}
		words = withoutStrokes(slices.DeleteFunc(words, func(w string) bool { return strings.Trim(w, "-") == "" }))
		spaced := len(words) > 1 && ClassOf(words[0]) == strings.ToUpper(words[0]) && allDigits(words[1]) // C  2
		if spaced && len(words) == 2 {
			words = []string{words[0] + words[1]}
		}
		numbered := 0
		for _, w := range words {
			if from, _, _ := strings.Cut(w, "-"); IsDesignator(from) {
				numbered++
			}
		}
		label := strings.Join(words, " ")
		if len(words) > 1 && (2*numbered < len(words) && isWord(label) || 2*numbered <= len(words) && !spaced && !IsDesignator(words[0]) && isWord(withoutDigits(label))) {
			words = []string{label} // connection to P2
		}
		out = append(out, withRemarks(words)...)
	}
	return out
}

// withoutStrokes drops strokes that stand alone between numbered designators: C1 / C2.
func withoutStrokes(words []string) []string {
	for _, w := range words {
		if from, _, _ := strings.Cut(w, "-"); w != "/" && !IsDesignator(from) {
			return words
		}
	}
	return slices.DeleteFunc(words, func(w string) bool { return w == "/" })
}

// parted parts designators of the same letters at a stroke or a dot: D5/D6, C9.C10.
func parted(words []string) (out []string) {
	for _, w := range words {
		names := strings.FieldsFunc(w, func(r rune) bool { return r == '/' || r == '.' })
		alike := !slices.ContainsFunc(names, func(n string) bool { return !IsDesignator(n) || ClassOf(n) != ClassOf(names[0]) })
		if len(names) > 1 && alike {
			out = append(out, names...)
		} else {
			out = append(out, w)
		}
	}
	return out
}

// counts tells whether a remark behind a designator names others, says how many, or
// that the part is left out: that belongs into a column of its own.
func counts(remark string) bool {
	for _, w := range strings.FieldsFunc(strings.ToUpper(remark), func(r rune) bool { return strings.ContainsRune(" ,;()[]", r) }) {
		number := strings.Trim(w, "X*")
		if IsDesignator(w) && DimensionOf(ClassOf(w)) != "" || number != w && allDigits(number) && number != "" || ReadDescription(w).NotFitted {
			return true
		}
	}
	return false
}

// withRemarks puts what stands in brackets to the designator before it.
func withRemarks(words []string) []string {
	open := false
	out := words[:0]
	for i, w := range words {
		open = open || i > 0 && w[0] == '('
		if open {
			out[len(out)-1] += " " + w
		} else {
			out = append(out, w)
		}
		open = open && w[len(w)-1] != ')'
	}
	return out
}

// isMark tells what lists put before a designator.
func isMark(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(">*•›·", r) }

func isDesignatorStop(r rune) bool {
	return strings.ContainsRune(",;|、\n\r", r)
}

// IsDesignator tells whether a text is one numbered designator.
func IsDesignator(s string) bool {
	return s != "" && len(s) <= designatorRunes && checkDesignator(s) == nil
}

// isWord tells whether a token names a place without numbering it.
func isWord(s string) bool {
	first, digits, begun := true, false, false
	for i, r := range s {
		switch {
		case i >= designatorRunes:
			return false
		case unicode.IsLetter(r):
			begun = true
		case r >= '0' && r <= '9':
			digits = digits || first && begun && !isDigit(s[0]) // 3V3 is the name of a place
		case r == '-':
			first = false
		case r == ' ', strings.ContainsRune("_$+#&'/()*?:\"“”„«»×", r):
		case r == '.' && !isLetter(s[0]): // 3.5VREG
		default:
			return false
		}
	}
	return begun && !digits && (s[len(s)-1] != '-' || !strings.ContainsAny(s, "0123456789")) && (s[0] != '-' || len(s) > 1 && isDigit(s[1]))
}

// withoutDigits takes the digits out of a label.
func withoutDigits(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r >= '0' && r <= '9' }), "")
}

// expandRange lists what one designator, word or range stands for.
func expandRange(token string) (names []string, word bool, err *DesignatorError) {
	if !IsDesignator(token) && (isWord(token) || strings.Contains(token, " ") && !strings.Contains(token, "(") && isWord(withoutDigits(token))) {
		return []string{token}, true, nil
	}
	if base, remark, ok := strings.Cut(token, " ("); ok { // B1 (left)
		if counts(remark) {
			return nil, false, &DesignatorError{What: Shown(token) + " holds more than a remark in brackets", Want: wantDesignators}
		}
		if len(remark) == 2 && isLetter(remark[0]) { // B1 (a) is a section, as U1A is
			base += remark[:1]
		}
		return expandRange(base)
	}
	from, to, isRange := strings.Cut(token, "-")
	if !isRange {
		if err := checkDesignator(token); err != nil {
			return nil, false, err
		}
		return []string{token}, false, nil
	}
	if err := checkDesignator(from); err != nil {
		return nil, false, err
	}
	prefix, first := splitNumber(from)
	toPrefix, last := splitNumber(to)
	short := to != "" && toPrefix == ""
	if !short {
		if err := checkDesignator(to); err != nil {
			return nil, false, err
		}
	}
	bad := func(what string) ([]string, bool, *DesignatorError) {
		return nil, false, &DesignatorError{What: "range " + Shown(token) + " " + what, Want: wantDesignators}
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
		out = append(out, fmt.Sprintf("%s%0*d", prefix, len(first), n))
	}
	return out, false, nil
}

// splitNumber parts a designator into what it begins with and the digits at
// its end.
func splitNumber(s string) (prefix, digits string) {
	prefix = strings.TrimRight(s, "0123456789")
	return prefix, s[len(prefix):]
}

func checkDesignator(s string) *DesignatorError {
	if s == "" {
		return &DesignatorError{What: "a range without one of its ends", Want: wantDesignators}
	}
	bad := func(what string) *DesignatorError {
		return &DesignatorError{What: Shown(s) + " " + what, Want: wantDesignators}
	}
	numbered := false
	s = offPage(s)
	for i, r := range s {
		switch {
		case i >= designatorRunes:
			return bad("is too long for a designator")
		case r >= '0' && r <= '9':
			numbered = true
		case r >= 'A' && r <= 'Z', r >= 'a' && r <= 'z', r == '_', r == '$' && i > 0:
		case r == '+' && i+1 == len(s), r == '\'' && i > 0:
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

// offPage is a designator without the page of the drawing before it: R1 of 2.R1.
func offPage(s string) string {
	if page, name, ok := strings.Cut(s, "."); ok && page != "" && allDigits(page) && name != "" && isLetter(name[0]) {
		return name
	}
	return s
}

func isDigit(b byte) bool  { return b >= '0' && b <= '9' }
func isLetter(b byte) bool { return b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' }

// ClassOf gives the class letters of a designator in upper case, as IEEE 315
// uses them: R for R12, CR for CR3. Empty where it does not begin with a letter.
func ClassOf(designator string) string {
	designator = offPage(designator)
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
	return map[string]string{"R": "Ω", "RT": "Ω", "C": "F", "L": "H"}[strings.ToUpper(class)]
}
