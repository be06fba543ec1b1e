package bom

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"
)

// Value is what a part is rated at, as the Value column of a bill of materials
// gives it.
type Value struct {
	Number    decimal.Decimal // in Unit without a prefix: 4k7 is 4700
	Unit      string          // "Ω", "F", "H", "Hz", "V", "A", "W"; empty where none stands in the text
	Tolerance Tolerance
	Rest      string // what else stands in the text, such as a voltage or a dielectric

	// The quantity that a letter without a unit marks by IEC 60062: K, M, G and
	// T resistance, p, n and µ capacitance. Empty with a unit, a bare number or m.
	implied string
}

// Tolerance is how far a part may be off its value, to either side.
type Tolerance struct {
	Known    bool
	Amount   decimal.Decimal // %; in the unit of the value where Absolute
	Absolute bool
}

// valueBytes bounds a text that is looked at for a value; a longer one is prose.
const valueBytes = 400

// ParseValue reads a value in RKM code (IEC 60062: 4K7, R47, 4n7, 4K7J) or
// with SI prefix and unit (4.7 kΩ, 0.1 µF, 100n, 4,7k), a tolerance and other
// ratings after it. k and K are both kilo, m and M differ, u and both letters µ
// are micro; R and ohm are Ω. A number without prefix and unit counts where
// nothing but ratings follow it. ok is false for any other text, also where it
// reads two ways (4,700 Ω), and such a text is to be compared as it stands. The
// three-figure code of capacitors is not read: 103 is a number.
func ParseValue(text string) (v Value, ok bool) {
	if len(text) > valueBytes {
		return Value{}, false
	}
	s := foldValue(text)
	after, ok := v.scanRKM(s)
	if !ok {
		if after, ok = v.scanPlain(s); !ok {
			return Value{}, false
		}
	}
	if after != "" && !strings.ContainsAny(after[:1], " ,;/(+") && !strings.HasPrefix(after, "±") {
		return Value{}, false
	}
	v.takeRest(after)
	return v, true
}

// WithUnit gives the value its unit where none stands in the text: the one that
// goes with the class of its designator (DimensionOf).
func (v Value) WithUnit(unit string) Value {
	if v.Unit == "" && unit != "" {
		v.Unit, v.implied = unit, ""
	}
	return v
}

// Meant is the unit, or without one that which IEC 60062 has for the letter: "Ω" for 4k7,
// "F" for 100n. It is empty for a bare number and a milli.
func (v Value) Meant() string {
	if v.Unit == "" {
		return v.implied
	}
	return v.Unit
}

// Key writes the value so that all ways of writing one value give one key: 4k7,
// 4.7 kΩ and 4700R all give "4.7 kΩ". Tolerance and ratings belong to it, for a
// part that differs in them is another part. Without a unit in the text the one
// that IEC 60062 has for the letter is taken; a bare number and a milli have
// none, and their keys name none.
func (v Value) Key() string {
	unit := v.Meant()
	parts := []string{engineering(v.Number, unit)}
	if t := v.Tolerance; t.Known && t.Absolute {
		parts = append(parts, "±"+engineering(t.Amount, unit))
	} else if t.Known {
		parts = append(parts, "±"+t.Amount.String()+"%")
	}
	return strings.Join(append(parts, ratings(v.Rest)...), " ")
}

// scanRKM takes a value off s in which a letter stands for the decimal mark.
func (v *Value) scanRKM(s string) (after string, ok bool) {
	whole := s[:spanOf(s, "0123456789")]
	s = s[len(whole):]
	// A letter in front is a value only where the standard writes it so: M3 is a
	// screw and K1 a relay.
	letters := "RLkKMGTmunpFVvA"
	if whole == "" {
		letters = "Runp"
	}
	if s == "" || strings.IndexByte(letters, s[0]) < 0 {
		return "", false
	}
	fraction := s[1:][:spanOf(s[1:], "0123456789")]
	// No code has more than three digits there: 1n4148 is a diode.
	if len(fraction) < 1 || len(fraction) > 3 {
		return "", false
	}
	after = s[1+len(fraction):]
	word := after[:letterSpan(after)]
	u, ok := findUnit(s[:1] + word)
	return after[len(word):], ok && v.set(whole, fraction, u)
}

// scanPlain takes a number with its prefix and unit off s.
func (v *Value) scanPlain(s string) (after string, ok bool) {
	core := strings.TrimRight(s[:spanOf(s, "0123456789.,'")], ".,'")
	after = s[len(core):]
	l, ok := layOut(core, false)
	if !ok {
		return "", false
	}
	// Spreadsheets write a power of ten with its sign. Without one it is
	// refused: 4E7 is also an old way of writing 4.7 Ω.
	exponent := 0
	if n := exponentSpan(after); n > 1 && !isDigit(after[1]) {
		if n > 4 {
			return "", false
		}
		if exponent = atoi(after[2:n]); after[1] == '-' {
			exponent = -exponent
		}
		if exponent < -figureExponent || exponent > figureExponent {
			return "", false
		}
		after = after[n:]
	}
	spaced := strings.TrimLeft(after, " ")
	word := spaced[:letterSpan(spaced)]
	u, known := findUnit(word)
	switch {
	case word == "MF": // a megohm of 1 % or, as it was once written, a microfarad
		return "", false
	case known:
		after = spaced[len(word):]
	case !bareNumber(after):
		return "", false
	}
	// A prefix leaves no room for groups of three: 32.768 kHz.
	if l.twoWays && u.exponent == 0 && exponent == 0 {
		return "", false
	}
	u.exponent += exponent
	return after, v.set(l.whole, l.fraction, u)
}

// bareNumber tells whether what follows a number without a unit is nothing, a
// tolerance or a rating. Words would make it a text that begins with a number,
// three digits a number whose groups are parted by a space, and a stroke a
// fraction.
func bareNumber(after string) bool {
	rest := strings.TrimLeft(after, " ,;(")
	if rest == "" || strings.HasPrefix(rest, "±") || strings.HasPrefix(rest, "+/-") {
		return true
	}
	n := spanOf(rest, "0123456789")
	return n > 0 && n != 3 && after[0] != '/'
}

// set stores the number; false where it is out of the range of figures.
func (v *Value) set(whole, fraction string, u unitWord) bool {
	n, err := exact(whole, fraction, u.exponent)
	if err != nil {
		return false
	}
	v.Number, v.Unit, v.implied = n, u.unit, u.implied
	if u.tolerance != 0 {
		v.Tolerance = toleranceOf(u.tolerance, n, u.unit == "F" || u.implied == "F")
	}
	return true
}

var (
	percentTolerance  = regexp.MustCompile(`(^|[ ,;/(])(?:±|\+/-|\+-)? *([0-9]+(?:[.,][0-9]+)?) *%($|[ ,;/)])`)
	absoluteTolerance = regexp.MustCompile(`(?:±|\+/-|\+-) *([0-9]+(?:[.,][0-9]+)?) *(\pL+)`)
)

// takeRest takes the tolerance out of what follows the value and keeps what is
// left.
func (v *Value) takeRest(s string) {
	if !v.Tolerance.Known {
		s = v.takeTolerance(s)
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(";()", r) })
	words = Each(words, func(w *string) string { return strings.Trim(*w, ",/") })
	v.Rest = strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), " ")
}

func (v *Value) takeTolerance(s string) string {
	if m := percentTolerance.FindStringSubmatchIndex(s); m != nil {
		if amount, ok := plainDecimal(s[m[4]:m[5]]); ok {
			v.Tolerance = Tolerance{Known: true, Amount: amount}
			return s[:m[3]] + " " + s[m[6]:]
		}
	}
	if m := absoluteTolerance.FindStringSubmatchIndex(s); m != nil {
		amount, ok := plainDecimal(s[m[2]:m[3]])
		u, known := findUnit(s[m[4]:m[5]])
		if ok && known && u.tolerance == 0 && u.unit != "" && (u.unit == v.Unit || u.unit == v.implied) {
			v.Tolerance = Tolerance{Known: true, Amount: amount.Shift(int32(u.exponent)), Absolute: true}
			return s[:m[0]] + " " + s[m[1]:]
		}
	}
	return s
}

// plainDecimal reads digits with at most one mark, whichever it is.
func plainDecimal(s string) (decimal.Decimal, bool) {
	whole, fraction, _ := strings.Cut(strings.Replace(s, ",", ".", 1), ".")
	d, err := exact(whole, fraction, 0)
	return d, err == nil
}

// toleranceOf reads the letters of IEC 60062 for symmetrical tolerances. On
// capacitors under 10 pF some of them mean a capacitance.
func toleranceOf(letter byte, n decimal.Decimal, capacitor bool) Tolerance {
	if capacitor && n.LessThan(decimal.New(10, -12)) {
		if tenths, ok := map[byte]int64{'B': 10, 'C': 25, 'D': 50, 'G': 200}[letter]; ok {
			return Tolerance{Known: true, Absolute: true, Amount: decimal.New(tenths, -14)}
		}
	}
	percent := map[byte]string{'B': "0.1", 'C': "0.25", 'D': "0.5", 'F': "1", 'G': "2", 'J': "5", 'K': "10", 'M': "20"}
	return Tolerance{Known: true, Amount: decimal.RequireFromString(percent[letter])}
}

// unitWord is what the letters after a number mean.
type unitWord struct {
	exponent  int
	unit      string
	implied   string
	tolerance byte // letter; 0: none
}

// findUnit reads the letters that follow a number: prefix, unit, both, and a
// tolerance letter after them.
func findUnit(word string) (unitWord, bool) {
	if u, ok := unitWords[word]; ok {
		return u, true
	}
	if n := len(word) - 1; n > 0 && strings.IndexByte("BCDFGJKM", word[n]) >= 0 {
		u, ok := unitWords[word[:n]]
		u.tolerance = word[n]
		return u, ok
	}
	return unitWord{}, false
}

// unitWords holds every prefix and unit as people write them. A prefix that
// nobody uses with a unit is left out: a megafarad is an old microfarad. A
// capital N, P or U counts only with its unit: 2N2222 is a transistor.
var unitWords = func() map[string]unitWord {
	exponents := map[rune]int{'p': -12, 'n': -9, 'u': -6, 'm': -3, '1': 0, 'k': 3, 'M': 6, 'G': 9, 'T': 12,
		'P': -12, 'N': -9, 'U': -6, 'K': 3}
	words := map[string]unitWord{"L": {exponent: -3, unit: "Ω"}}
	for _, row := range []struct{ unit, implied, spelt, prefixes string }{
		{"Ω", "", "Ω ohm ohms Ohm Ohms OHM OHMS R", "um1kKMGT"},
		{"F", "", "F", "pPnNuUm1"}, {"F", "", "f", "pnum"},
		{"H", "", "H", "nNuUm1"}, {"H", "", "h", "num"},
		{"Hz", "", "Hz hz HZ", "1kKMG"},
		{"V", "", "V v", "um1kK"},
		{"A", "", "A", "num1"}, {"A", "", "a", "um"},
		{"W", "", "W w", "um1kK"},
		{"", "Ω", "", "kKMGT"}, {"", "F", "", "pnu"}, {"", "", "", "m"},
	} {
		for _, spelt := range strings.Split(row.spelt, " ") {
			for _, p := range row.prefixes {
				prefix := strings.TrimPrefix(string(p), "1")
				words[prefix+spelt] = unitWord{exponent: exponents[p], unit: row.unit, implied: row.implied}
			}
		}
	}
	return words
}()

// foldValue maps the letters of units and prefixes that only look different to
// the plain ones.
func foldValue(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch r {
		case '\u00B5', '\u03BC':
			return 'u'
		case '\u2126':
			return 'Ω'
		case '\t', '\n', '\r':
			return ' '
		}
		return r
	}, foldWidth(text)))
}

func letterSpan(s string) int { return len(s) - len(strings.TrimLeftFunc(s, unicode.IsLetter)) }

// prefixesOf bounds the prefixes in use with each unit, as powers of a thousand.
var prefixesOf = map[string]struct{ least, most int }{
	"Ω": {-2, 4}, "F": {-4, 0}, "H": {-3, 0}, "Hz": {0, 3}, "V": {-2, 1}, "A": {-3, 0}, "W": {-2, 1},
}

// engineering writes a number with the prefix that leaves one to three digits
// before the mark, where that prefix is in use; without a unit, in full, for a
// lone prefix would imply one.
func engineering(n decimal.Decimal, unit string) string {
	if unit == "" {
		return n.String()
	}
	const prefixes = "pnum kMGT"
	thousands := 0
	if !n.IsZero() {
		thousands = int(math.Floor(float64(n.NumDigits()+int(n.Exponent())-1) / 3))
		thousands = max(prefixesOf[unit].least, min(prefixesOf[unit].most, thousands))
	}
	prefix := strings.TrimSpace(prefixes[thousands+4 : thousands+5])
	if prefix == "u" {
		prefix = "µ"
	}
	return n.Shift(int32(-3*thousands)).String() + " " + prefix + unit
}

// ratings writes the words after a value in one order and case, a number
// together with the unit that follows it: "X7R 50 V" is "50V X7R".
func ratings(rest string) []string {
	var words []string
	number := false
	for _, w := range strings.Fields(strings.ToUpper(rest)) {
		if number && unicode.IsLetter([]rune(w)[0]) {
			words[len(words)-1] += w
			number = false
			continue
		}
		number = spanOf(w, "0123456789.,") == len(w)
		words = append(words, w)
	}
	slices.Sort(words)
	return words
}
