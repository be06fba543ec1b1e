package bom

import (
	"strconv"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"
)

// pieceUnits are words for pieces beside a figure; common practice, no source.
var pieceUnits = WordSet("pcs pc pce piece pieces ea each x off nos no stk st stck stück stueck unit units item items 个 個 只 颗 片 枚 本 шт")

// setUnits are words for several pieces that are bought as one; common practice, no
// source.
var setUnits = WordSet("set sets pair pairs kit kits pack packs pkg pkt pk packet packets box boxes bag bags roll rolls reel reels spool " +
	"spools strip strips sheet sheets bottle tube tray bundle packung satz sätze paar rolle rollen jeu paire paires lot juego par pares rollo 套 对 组 卷 包 盒 条 " +
	"张 袋 セット 組 комплект пара")

// IsPieces tells whether a word in small letters stands for pieces: pcs.
func IsPieces(word string) bool { return pieceUnits[word] }

// IsSet tells whether a word in small letters stands for several pieces that are bought as
// one: pack.
func IsSet(word string) bool { return setUnits[word] }

// lengthUnits give the metres of a unit of length. Inch and foot: NIST SP 811
// (2008), appendix B.8, exactly 0.0254 m and 0.3048 m.
var lengthUnits = map[string]decimal.Decimal{"m": decimal.New(1, 0), "metre": decimal.New(1, 0), "metres": decimal.New(1, 0),
	"meter": decimal.New(1, 0), "meters": decimal.New(1, 0), "cm": decimal.New(1, -2), "mm": decimal.New(1, -3),
	"in": decimal.New(254, -4), "inch": decimal.New(254, -4), "inches": decimal.New(254, -4),
	"ft": decimal.New(3048, -4), "foot": decimal.New(3048, -4), "feet": decimal.New(3048, -4)}

// massUnits give the grams of a unit of mass.
var massUnits = map[string]decimal.Decimal{"g": decimal.New(1, 0), "gr": decimal.New(1, 0), "gram": decimal.New(1, 0),
	"grams": decimal.New(1, 0), "gramm": decimal.New(1, 0), "kg": decimal.New(1, 3)}

// countWords are the first numbers in words; common practice, no source.
var countWords = map[string]int64{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "twelve": 12, "ein": 1, "eine": 1, "zwei": 2, "drei": 3, "vier": 4, "fünf": 5, "sechs": 6, "un": 1, "une": 1, "deux": 2,
	"trois": 3, "quatre": 4, "cinq": 5, "uno": 1, "una": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "一": 1, "两": 2, "二": 2, "三": 3, "四": 4}

// openBefore and openAfter are words that leave a number open, before it and behind it;
// common practice, no source.
var (
	openBefore = []string{"about", "approximately", "approx", "circa", "ca", "around", "roughly", "up to", "at least", "at most", "max", "maximum",
		"min", "minimum", "etwa", "bis zu", "mindestens", "mind", "höchstens", "environ", "env", "jusqu'à", "au moins", "aprox", "hasta", "~", "≈", ">=", "<=", "≥", "≤", ">", "<", "±"}
	openAfter  = []string{"or more", "or so", "or less", "and more", "at least", "oder mehr", "ou plus", "o más", "approx", "min", "minimum", "max", "maximum", "+"}
	rangeSigns = []string{"-", "–", "—", "~", "to ", "or ", "bis ", "oder ", "ou ", "à "}
)

// dozenWords are words for twelve pieces.
var dozenWords = WordSet("dozen dz dutzend douzaine docena")

// valueUnits are units of what a part does, which no number of pieces has.
var valueUnits = WordSet("ohm ohms volt volts watt watts amp amps hz khz mhz ghz mah awg ppm deg rpm")

// Amount is a quantity as people type it: "2 pcs", "x4", "1 pair" or "30 cm".
type Amount struct {
	Figure string          // as it stands there: "30"
	Scale  decimal.Decimal // what the figure is multiplied by: 1 for pieces, 12 for dozens, metres for a length, grams for a mass
	Length bool            // it is a length
	Mass   bool            // it is a mass
	Sets   string          // the word for several pieces that are bought as one: "pair"
	Open   bool            // it is left open (8-10, up to 8, 1 or more), or in a word that is no known unit (8 banks)
}

// Unit is what the figure is counted in once it is scaled: "m", "g" or, for pieces,
// nothing.
func (a Amount) Unit() string {
	switch {
	case a.Length:
		return "m"
	case a.Mass:
		return "g"
	}
	return ""
}

// SplitQuantity parts a quantity into its figure and the unit beside it; of a range it
// gives the greater end. ok is false where something else stands with the figure.
func SplitQuantity(text string) (a Amount, ok bool) {
	s := strings.TrimRight(strings.ToLower(strings.TrimSpace(foldWidth(text))), "*) .")
	a.Scale = decimal.New(1, 0)
	if rest, cut := strings.CutPrefix(s, "x"); cut {
		s = strings.TrimSpace(rest)
	}
	s, before := withoutWord(s, openBefore, strings.CutPrefix)
	s, after := withoutWord(s, openAfter, strings.CutSuffix)
	s = inFigures(s)
	figure, unit := cutFigure(s)
	a.Open = before || after
	for _, sign := range rangeSigns {
		if rest, cut := strings.CutPrefix(strings.TrimSpace(strings.TrimPrefix(s, figure)), sign); cut {
			if to, behind := cutFigure(strings.TrimSpace(rest)); greater(to, figure) {
				figure, unit, a.Open = to, behind, true
				break
			} else if greater(figure, to) && strings.HasPrefix(strings.TrimPrefix(s, figure), " ") {
				unit, a.Open = behind, true
				break
			}
		}
	}
	a.Figure, unit = strings.TrimSpace(figure), strings.Trim(withoutRemark(unit), "(). ")
	metres, length := lengthUnits[unit]
	grams, mass := massUnits[unit]
	switch {
	case length:
		a.Scale, a.Length = metres, true
	case mass:
		a.Scale, a.Mass = grams, true
	case setUnits[unit]:
		a.Sets = unit
	case dozenWords[unit]:
		a.Scale = decimal.New(12, 0)
	case unit != "" && !pieceUnits[unit]:
		a.Open = true
		if !isPlainWord(unit) {
			return a, false
		}
	}
	return a, a.Figure != "" && isDigit(a.Figure[0])
}

// WithoutAbout takes off the words that leave a price open, before it and behind it; open
// tells that there were some.
func WithoutAbout(text string) (rest string, open bool) {
	rest = strings.TrimSpace(text)
	lower := strings.ToLower(rest)
	if len(lower) != len(rest) {
		return rest, false
	}
	behind, before := withoutWord(lower, openBefore, strings.CutPrefix)
	rest = rest[len(rest)-len(behind):]
	ahead, after := withoutWord(behind, openAfter, strings.CutSuffix)
	if after && strings.HasPrefix(behind, ahead) {
		rest = rest[:len(ahead)]
	}
	return rest, before || after
}

// withoutRemark takes off what explains a quantity: 1 set (3 pieces), 2 packs of 10.
func withoutRemark(unit string) string {
	if i := strings.IndexByte(unit, '('); i > 0 || i == 0 && strings.ContainsAny(unit, " ") {
		unit = strings.TrimSpace(unit[:i])
	}
	if word, rest, of := strings.Cut(unit, " of "); of && setUnits[word] && rest != "" {
		return word
	}
	return unit
}

// withoutWord takes one of some words off a text.
func withoutWord(s string, of []string, cut func(s, word string) (string, bool)) (rest string, found bool) {
	for _, w := range of {
		rest, ok := cut(s, w)
		if !ok {
			continue
		}
		if bare := strings.Trim(rest, ". "); bare != rest || strings.IndexFunc(w, unicode.IsLetter) < 0 || bare == "" || isDigit(bare[0]) {
			return bare, true
		}
	}
	return s, false
}

// inFigures writes a number that stands in words before a unit in figures.
func inFigures(s string) string {
	word, unit, _ := strings.Cut(s, " ")
	n, known := countWords[word]
	if r := []rune(s); !known && len(r) > 1 && r[0] > unicode.MaxLatin1 {
		word, unit = string(r[:1]), string(r[1:]) // 一卷
		n, known = countWords[word]
	}
	if !known || unit == "" && len(s) > len(word) {
		return s
	}
	return strings.TrimSpace(strconv.FormatInt(n, 10) + " " + unit)
}

// cutFigure parts a text behind its figure.
func cutFigure(s string) (figure, unit string) {
	i := spanOf(s, "0123456789.,' ")
	return strings.TrimSpace(s[:i]), strings.TrimSpace(strings.TrimRight(s[i:], ".)"))
}

// greater tells whether a is a whole number over b.
func greater(a, b string) bool {
	n, errA := strconv.Atoi(a)
	m, errB := strconv.Atoi(b)
	return errA == nil && errB == nil && n > m
}

// isPlainWord tells whether a text is words of letters alone, one of them of three
// letters at least, and no unit of what a part does.
func isPlainWord(s string) bool {
	longest := 0
	for w := range strings.FieldsSeq(s) {
		if valueUnits[w] || strings.ContainsFunc(w, func(r rune) bool { return !unicode.IsLetter(r) }) {
			return false
		}
		longest = max(longest, len(w))
	}
	return longest >= 3
}
