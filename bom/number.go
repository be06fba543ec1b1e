package bom

import (
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/shopspring/decimal"
)

// DecimalMark is the mark that parts the decimals from the whole number.
type DecimalMark byte

// The decimal marks, as they stand in a figure.
const (
	MarkUnknown DecimalMark = 0
	MarkDot     DecimalMark = '.'
	MarkComma   DecimalMark = ','
)

// Figure is a number as somebody typed it.
type Figure struct {
	Value   decimal.Decimal // exact; 4 % has the value 4
	Percent bool            // a per cent sign stands with it
	Sign    string          // currency sign or upper-case ISO 4217 code that stands with it; empty: none
}

// NumberError tells why a text is not read as a number. What and Want are
// worded for Problem.
type NumberError struct {
	What      string // what is wrong, lower case, no full stop
	Want      string // what would be right
	Ambiguous bool   // the text is a number, but reads two ways
}

// The limits of a figure. The length is checked before anything is read, so
// that no text however long or large costs time. A plain figure cannot be
// longer than the digits and the exponent together allow, which lets every
// figure that was read be printed in full and read again.
const (
	figureRunes    = 100
	figureDigits   = 34 // significant; the precision of IEEE 754 decimal128
	figureExponent = 12
	figurePlaces   = figureDigits + figureExponent // on either side of the mark
)

// ParseFigure reads a number as people type it: 1234.56, 1,234.56, 1 234,56,
// 1’234.56, €1.20, 1.20 EUR, 4 %, -1, (1.20) for a negative one, 1e-3. Digits
// are grouped in threes or not at all, with a space of any width, an
// apostrophe, or the mark that is not the decimal one. Full-width characters
// count as their plain ones.
//
// A single mark with one to three digits before it and exactly three after it
// reads two ways unless the mark is known. With a known mark, a figure that can
// only be read with the other one is an error. A number that a workbook stores
// as one is plain text with a dot: read it with MarkDot.
func ParseFigure(text string, mark DecimalMark) (Figure, *NumberError) {
	if n, err := strconv.ParseUint(text, 10, 32); err == nil && len(text) <= figureRunes { // as most are
		return Figure{Value: decimal.NewFromInt(int64(n))}, nil
	}
	w, err := dissect(text)
	if err != nil {
		return Figure{}, err
	}
	l, ok := layOut(w.core, w.scientific)
	if !ok {
		return Figure{}, &NumberError{What: "marks and digits do not make a number", Want: wantNumber}
	}
	if l, err = l.with(mark); err != nil {
		return Figure{}, err
	}
	value, err := exact(l.whole, l.fraction, w.exponent)
	if err != nil {
		return Figure{}, err
	}
	if w.negative {
		value = value.Neg()
	}
	return Figure{Value: value, Percent: w.percent, Sign: w.sign}, nil
}

// wholeLimit bounds what ParseWhole reads, on both sides of zero.
const wholeLimit = 1_000_000_000_000

// ParseWhole reads a whole number by the rules of ParseFigure: 2.0 is 2, 010 is
// 10, 2.7 is an error. A per cent sign or a currency does not belong to it.
func ParseWhole(text string, mark DecimalMark) (int64, *NumberError) {
	f, err := ParseFigure(text, mark)
	switch {
	case err != nil:
		return 0, err
	case f.Percent:
		return 0, &NumberError{What: "a per cent sign stands with a whole number", Want: "a bare whole number such as 12"}
	case f.Sign != "":
		return 0, &NumberError{What: "a currency stands with a whole number", Want: "a bare whole number such as 12"}
	case !f.Value.IsInteger():
		return 0, &NumberError{What: "not a whole number", Want: "a whole number such as 12"}
	case f.Value.Abs().GreaterThan(decimal.NewFromInt(wholeLimit)):
		return 0, &NumberError{What: "too large a number", Want: "a whole number up to 1000000000000"}
	}
	return f.Value.IntPart(), nil
}

// Evidence gathers from the texts of a file which mark it uses as the decimal
// mark. The zero value has seen nothing. Feed it only cells of number columns
// that hold text: a number that a workbook stores as one proves nothing about
// how people type.
type Evidence struct {
	dot, comma bool
}

// Join takes in what other cells showed.
func (e *Evidence) Join(other Evidence) {
	e.dot, e.comma = e.dot || other.dot, e.comma || other.comma
}

// Add takes in one cell. A text that is not a number, or that reads two ways,
// changes nothing.
func (e *Evidence) Add(text string) {
	w, err := dissect(text)
	if err != nil {
		return
	}
	l, ok := layOut(w.core, w.scientific)
	if !ok || l.twoWays {
		return
	}
	e.dot = e.dot || l.decimal == '.' || l.group == ','
	e.comma = e.comma || l.decimal == ',' || l.group == '.'
}

// Mark is the decimal mark that all the evidence agrees on: MarkUnknown where
// there is none, or where a file contradicts itself.
func (e Evidence) Mark() DecimalMark {
	switch {
	case e.dot && !e.comma:
		return MarkDot
	case e.comma && !e.dot:
		return MarkComma
	}
	return MarkUnknown
}

const wantNumber = "a number such as 1234.56"

// written is a figure taken apart, its marks not yet understood.
type written struct {
	negative   bool
	signed     bool // a plus, a minus or brackets stood with it
	percent    bool
	sign       string
	core       string // digits and marks, nothing else
	scientific bool   // an exponent stood with it
	exponent   int
}

func dissect(text string) (written, *NumberError) {
	s, err := tidyFigure(text)
	if err != nil {
		return written{}, err
	}
	var w written
	for before := ""; s != before; {
		before = s
		if s, err = w.peel(s); err != nil {
			return written{}, err
		}
	}
	if w.percent && w.sign != "" {
		return written{}, &NumberError{What: "a per cent sign and a currency stand together", Want: wantNumber}
	}
	return w, w.digits(s)
}

// peel takes a per cent sign, a currency, a sign or brackets off the ends.
func (w *written) peel(s string) (string, *NumberError) {
	tail := strings.TrimSpace(s[strings.LastIndexAny(s, "0123456789)")+1:])
	switch {
	case tail == "" || tail == s:
	case tail == "%":
		if w.percent {
			return "", &NumberError{What: "two per cent signs", Want: wantNumber}
		}
		w.percent = true
		s = strings.TrimSpace(strings.TrimSuffix(s, tail))
	case CurrencySigns(tail) != nil:
		if err := w.setSign(tail); err != nil {
			return "", err
		}
		s = strings.TrimSpace(strings.TrimSuffix(s, tail))
	}
	if s == "" {
		return s, nil
	}
	switch {
	case s[0] == '-' || s[0] == '+':
		return strings.TrimSpace(s[1:]), w.setNegative(s[0] == '-')
	case s[0] == '(' && s[len(s)-1] == ')':
		return strings.TrimSpace(s[1 : len(s)-1]), w.setNegative(true)
	}
	head := s
	if i := strings.IndexAny(s, "0123456789(+-"); i >= 0 {
		head = s[:i]
	}
	sign := strings.TrimSpace(head)
	if sign == "" {
		return s, nil
	}
	if CurrencySigns(sign) == nil {
		sign = strings.TrimRight(sign, ".,") // €.5
	}
	if CurrencySigns(sign) == nil {
		return s, nil
	}
	return strings.TrimSpace(s[len(sign):]), w.setSign(sign)
}

func (w *written) setSign(sign string) *NumberError {
	if w.sign != "" {
		return &NumberError{What: "two currencies stand in one cell", Want: "a price with one currency"}
	}
	if c, ok := FindCurrency(sign); ok {
		sign = c.Code
	}
	w.sign = sign
	return nil
}

func (w *written) setNegative(negative bool) *NumberError {
	if w.signed {
		return &NumberError{What: "two signs stand before one number", Want: wantNumber}
	}
	w.signed, w.negative = true, negative
	return nil
}

// digits takes the digits, the marks and the exponent, after which nothing may
// be left over.
func (w *written) digits(s string) *NumberError {
	core := s[:spanOf(s, "0123456789., '")]
	rest := s[len(core):]
	w.core = strings.TrimRight(core, " ")
	if !strings.ContainsAny(w.core, "0123456789") {
		return noFigure(s)
	}
	if n := exponentSpan(rest); n > 0 && w.core == core {
		e := strings.TrimLeft(rest[1:n], "+-0")
		if len(e) > 2 || atoi(e) > figureExponent {
			return &NumberError{What: "exponent out of range", Want: "an exponent from -12 to 12"}
		}
		w.scientific = true
		w.exponent = atoi(e)
		if rest[1] == '-' {
			w.exponent = -w.exponent
		}
		rest = rest[n:]
	}
	return leftOver(strings.TrimSpace(rest))
}

var exponentMark = regexp.MustCompile(`^[eE][+-]?[0-9]+`)

// exponentSpan is the length of an exponent at the start of s, 0 without one.
func exponentSpan(s string) int { return len(exponentMark.FindString(s)) }

// leftOver words what stands after a number, nil where nothing does.
func leftOver(rest string) *NumberError {
	switch {
	case rest == "":
		return nil
	case strings.ContainsAny(rest, "0123456789_-+(){}[]=<>*:") || unicode.IsSpace([]rune(rest)[0]):
		return &NumberError{What: "not a number", Want: wantNumber}
	}
	return &NumberError{What: "a unit (" + Shown(rest) + ") stands with the number",
		Want: "a bare number, in the unit of the heading"}
}

// noFigure words why a text without a digit is not a number.
func noFigure(s string) *NumberError {
	switch strings.ToLower(s) {
	case "", "-", "--", "---", "\u2014", "n/a", "n.a.", "na", "none", "nil", "tbd", "?":
		return &NumberError{What: "no number stands here", Want: "a number, 0 where none is meant"}
	case "nan", "inf", "infinity", "∞":
		return &NumberError{What: "not a finite number", Want: wantNumber}
	}
	if strings.HasPrefix(s, "#") {
		return &NumberError{What: "an error value of a spreadsheet", Want: "the number that the formula should give"}
	}
	return &NumberError{What: "not a number", Want: wantNumber}
}

// tidyFigure folds the text to plain characters and refuses what cannot be a
// figure by its length or by its characters.
func tidyFigure(text string) (string, *NumberError) {
	text = strings.TrimFunc(text, func(r rune) bool { return unicode.IsSpace(r) || isJoiner(r) })
	if len(text) > figureRunes*4 {
		return "", &NumberError{What: "too long for a number", Want: wantNumber}
	}
	s := strings.TrimSpace(foldWidth(text))
	switch {
	case strings.ContainsFunc(s, func(r rune) bool { return unicode.Is(unicode.Cf, r) || unicode.IsControl(r) }):
		return "", &NumberError{What: "an invisible character stands in the number", Want: "the number typed afresh"}
	case utf8.RuneCountInString(s) > figureRunes:
		return "", &NumberError{What: "too long for a number", Want: wantNumber}
	case strings.ContainsFunc(s, func(r rune) bool { return r > unicode.MaxASCII && unicode.IsDigit(r) }):
		return "", &NumberError{What: "digits of another script", Want: "the digits 0 to 9: " + Shown(plainDigits(s))}
	case strings.Trim(s, "-") == "" || strings.HasPrefix(s, "#"):
		return "", noFigure(s)
	}
	return s, nil
}

// foldWidth maps characters that only look different to the plain ones:
// full-width and small forms, spaces of any width, apostrophes, minus signs.
func foldWidth(s string) string {
	return strings.Map(func(r rune) rune {
		if r <= unicode.MaxASCII {
			return r
		}
		i := slices.Index(alike, r)
		switch {
		case i >= 0:
			return plainAlike[i]
		case r >= 0xFF01 && r <= 0xFF5E:
			return r - 0xFEE0
		case unicode.Is(unicode.Zs, r):
			return ' '
		}
		return r
	}, s)
}

// alike look like plainAlike: apostrophes, hyphens and minus signs, small and full-width forms.
var (
	alike      = []rune("\u2019\u02BC\u2010\u2011\u2012\u2013\u2212\uFE63\uFE50\uFE52\uFE6A\uFFE1\uFFE5\uFFE6")
	plainAlike = []rune("''------,.%£¥₩")
)

// isJoiner tells characters that show nothing and order nothing at the end of a
// text; spreadsheets and web pages leave them there.
func isJoiner(r rune) bool { return strings.ContainsRune("\u200B\u200E\u200F\u061C\u2060\uFEFF", r) }

// plainDigits writes digits of other scripts as 0 to 9. Unicode keeps the
// decimal digits of a script together in tens, from nought up.
func plainDigits(s string) string {
	return strings.Map(func(r rune) rune {
		if r <= unicode.MaxASCII || !unicode.IsDigit(r) {
			return r
		}
		n := rune(0)
		for unicode.IsDigit(r - n - 1) {
			n++
		}
		return '0' + n%10
	}, s)
}

// layout is how the marks of a figure part its digits.
type layout struct {
	whole, fraction string // digits only
	decimal         byte   // the decimal mark; 0: none stands there
	group           byte   // the group mark; 0: none stands there
	twoWays         bool   // decimal may as well be a group mark
}

// layOut finds the decimal mark and the groups. A figure with an exponent has
// no groups; ok is false where the marks make no number.
func layOut(core string, scientific bool) (l layout, ok bool) {
	dots, commas := strings.Count(core, "."), strings.Count(core, ",")
	split := len(core)
	switch last := strings.LastIndexAny(core, ".,"); {
	case dots+commas == 1:
		split = last
		l.decimal = core[last]
		l.group = groupMark(core)
	case dots > 0 && commas > 0:
		split = last
		l.decimal = core[last]
		l.group = '.' + ',' - l.decimal
	case dots > 0:
		l.group = '.'
	case commas > 0:
		l.group = ','
	default:
		l.group = groupMark(core)
	}
	whole := core[:split]
	if l.decimal != 0 {
		l.fraction = core[split+1:]
		if l.fraction == "" || !allDigits(l.fraction) {
			return layout{}, false
		}
	}
	l.whole = whole
	if l.group != 0 {
		if l.whole, ok = ungroup(whole, l.group); !ok || scientific {
			return layout{}, false
		}
	}
	if !allDigits(l.whole) || l.whole == "" && l.decimal == 0 {
		return layout{}, false
	}
	l.twoWays = !scientific && l.group == 0 && l.decimal != 0 && len(l.fraction) == 3 &&
		len(l.whole) >= 1 && len(l.whole) <= 3 && l.whole[0] != '0'
	return l, true
}

// with reads a layout with the decimal mark that is known, if one is.
func (l layout) with(mark DecimalMark) (layout, *NumberError) {
	known := byte(mark)
	switch {
	case known == 0 && l.twoWays:
		return l, &NumberError{Ambiguous: true, What: "reads two ways: " + l.whole + l.fraction + " or " + l.whole + "." + l.fraction,
			Want: "say which mark is the decimal one: --decimal-mark dot or --decimal-mark comma"}
	case known == 0 || l.decimal == known:
		return l, nil
	case l.twoWays:
		return layout{whole: l.whole + l.fraction, group: l.decimal}, nil
	case l.decimal != 0 || l.group == known:
		name := map[DecimalMark]string{MarkDot: "dot", MarkComma: "comma"}[mark]
		return l, &NumberError{What: "does not fit the decimal " + name + " of this file",
			Want: "the decimal " + name + " throughout, or --decimal-mark for the other mark"}
	}
	return l, nil
}

// groupMark is the space or the apostrophe that groups the digits of s.
func groupMark(s string) byte {
	if i := strings.IndexAny(s, " '"); i >= 0 {
		return s[i]
	}
	return 0
}

// ungroup joins groups of three digits, of which the first may be shorter but
// not start with nought.
func ungroup(s string, mark byte) (string, bool) {
	groups := strings.Split(s, string(mark))
	for i, g := range groups {
		short := i == 0 && len(g) >= 1 && len(g) < 3
		if !short && len(g) != 3 || !allDigits(g) || i == 0 && g[0] == '0' {
			return "", false
		}
	}
	return strings.Join(groups, ""), true
}

// exact makes the number, with no noughts at the end of its decimals.
func exact(whole, fraction string, exponent int) (decimal.Decimal, *NumberError) {
	digits := strings.TrimLeft(whole+fraction, "0")
	if digits == "" {
		return decimal.Zero, nil
	}
	significant := strings.TrimRight(digits, "0")
	exponent += len(digits) - len(significant) - len(fraction)
	switch {
	case len(significant) > figureDigits:
		return decimal.Zero, &NumberError{What: "more than 34 significant digits", Want: wantNumber}
	case len(significant)+exponent > figurePlaces, exponent < -figurePlaces:
		return decimal.Zero, &NumberError{What: "number out of range", Want: wantNumber}
	}
	if exponent > 0 {
		significant += strings.Repeat("0", exponent)
		exponent = 0
	}
	n, _ := new(big.Int).SetString(significant, 10)
	return decimal.NewFromBigInt(n, int32(exponent)), nil
}

func allDigits(s string) bool { return spanOf(s, "0123456789") == len(s) }

// spanOf is the length of the start of s that holds only characters of set.
func spanOf(s, set string) int { return len(s) - len(strings.TrimLeft(s, set)) }

// atoi reads digits whose number the caller has bounded; none are 0.
func atoi(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

// CurrencySigns gives the ISO 4217 codes that a sign may stand for, the likely
// ones first: $ is used by many countries. An ISO 4217 code stands for itself.
// Nothing is given for any other text. The signs are those in everyday use,
// common practice, no source.
func CurrencySigns(sign string) []string {
	if c, ok := FindCurrency(sign); ok {
		return []string{c.Code}
	}
	codes, ok := currencySigns[sign]
	if !ok {
		return nil
	}
	return strings.Fields(codes)
}

// Signs that are also the letter of a unit, such as R for the rand and for the
// ohm, are left out: their ISO 4217 code can be typed.
var currencySigns = map[string]string{
	"€": "EUR", "£": "GBP EGP FKP GIP SHP SDG SSP LBP SYP", "¥": "JPY CNY", "元": "CNY", "円": "JPY",
	"$": "USD CAD AUD NZD SGD HKD TWD MXN ARS BBD BMD BND BSD BZD CLP COP CUP DOP FJD GYD JMD KYD LRD " +
		"NAD NIO SBD SRD TTD UYU XCD",
	"US$": "USD", "CA$": "CAD", "C$": "CAD NIO", "A$": "AUD", "AU$": "AUD", "NZ$": "NZD", "S$": "SGD",
	"HK$": "HKD", "NT$": "TWD", "MX$": "MXN", "R$": "BRL",
	"Fr.": "CHF", "Fr": "CHF", "SFr.": "CHF", "SFr": "CHF",
	"kr": "SEK NOK DKK ISK", "kr.": "DKK SEK NOK ISK", "zł": "PLN", "Kč": "CZK", "Ft": "HUF",
	"lei": "RON MDL", "лв": "BGN", "лв.": "BGN", "₽": "RUB", "₴": "UAH", "₺": "TRY", "₼": "AZN", "₾": "GEL",
	"₸": "KZT", "₹": "INR", "Rs": "INR PKR LKR NPR MUR SCR", "Rs.": "INR PKR LKR NPR MUR SCR",
	"₩": "KRW KPW", "₪": "ILS", "฿": "THB", "₫": "VND", "₱": "PHP", "₭": "LAK", "₮": "MNT", "៛": "KHR",
	"₦": "NGN", "₵": "GHS", "₡": "CRC", "₲": "PYG",
}
