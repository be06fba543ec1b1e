package table

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// shown is how a number format shows a number, as far as its meaning goes.
type shown int

const (
	shownNumber shown = iota
	shownPercent
	shownDate    // a date, with or without a time of day
	shownTime    // a time of day
	shownElapsed // hours and more that do not start again at 24
)

// builtIn tells the formats that a workbook uses by number alone: ECMA-376
// part 1, 18.8.30; the numbers from 27 on are dates of East Asia. Those that are
// missing show plain numbers.
func builtIn(id int) shown {
	switch {
	case id == 9 || id == 10:
		return shownPercent
	case id == 46:
		return shownElapsed
	case id >= 18 && id <= 21, id == 45, id == 47, id >= 32 && id <= 35, id == 55, id == 56:
		return shownTime
	case id >= 14 && id <= 17, id == 22, id >= 27 && id <= 31, id == 36, id >= 50 && id <= 58:
		return shownDate
	}
	return shownNumber
}

// shownBy tells it from a format code such as `0.0%` or `[$-409]d mmm yyyy`.
// Letters in quotes, after a backslash, and in brackets that hold a colour, a
// condition or a language mean nothing.
func shownBy(code string) shown {
	var day, month, clock, elapsed bool
	months := 0 // m in a row: one or two may be minutes
	for _, token := range formatTokens.FindAllString(strings.ToLower(code), -1) {
		if token != "m" {
			months = 0
		}
		switch {
		case token == "%":
			return shownPercent
		case token[0] == '[':
			inside := strings.Trim(token, "[]")
			elapsed = elapsed || inside != "" && strings.Trim(inside, "hms") == ""
		case token == "y", token == "d":
			day = true
		case token == "h", token == "s":
			clock = true
		case token == "m":
			months++
			month = true
			day = day || months > 2
		}
	}
	switch {
	case day, month && !clock && !elapsed:
		return shownDate
	case elapsed:
		return shownElapsed
	case clock:
		return shownTime
	}
	return shownNumber
}

// formatTokens are what a format code consists of: texts in quotes, brackets, characters
// that are shown as they stand, or fill a gap, and letters and signs alone.
var formatTokens = regexp.MustCompile(`(?s)"[^"]*"?|\[[^\]]*\]?|[\\_*].|(?i:general)|.`)

// format is what one number format says.
type format struct {
	how  shown
	pad  uint8  // digits that a whole number is filled up to with noughts: 00000 gives 5
	sign uint16 // currency, into formats.signs
}

// formats is what a workbook's styles say about numbers.
type formats struct {
	styles   []format // by style, as cells name it
	signs    []string // currencies that formats show; the first is none
	date1904 bool     // days count from 1 January 1904
}

func (f *formats) of(style int) format {
	if style < 0 || style >= len(f.styles) {
		return format{}
	}
	return f.styles[style]
}

// read tells what a format code says.
func (f *formats) read(code string) format {
	out := format{how: shownBy(code)}
	if n := len(code); n > 1 && n <= sheetDigits && strings.Trim(code, "0") == "" {
		out.pad = uint8(n)
	}
	if sign := currencyIn(code); sign != "" && out.how == shownNumber {
		out.sign = signOf(&f.signs, sign)
	}
	return out
}

// signOf is the place of a currency in the list, which it joins if it is new.
func signOf(signs *[]string, sign string) uint16 {
	if len(*signs) == 0 {
		*signs = []string{""}
	}
	i := slices.Index(*signs, sign)
	if i < 0 && len(*signs) <= math.MaxUint16 {
		i = len(*signs)
		*signs = append(*signs, sign)
	}
	return uint16(max(i, 0))
}

// currencyIn finds the currency that a format code shows: [$€-407], "EUR", or
// the sign alone. What follows the first semicolon is for other numbers.
func currencyIn(code string) string {
	for _, token := range formatTokens.FindAllString(code, -1) {
		found := ""
		switch token[0] {
		case ';':
			return ""
		case '[':
			inside, ok := strings.CutPrefix(strings.Trim(token, "[]"), "$")
			if sign, _, _ := strings.Cut(inside, "-"); ok {
				found = strings.TrimSpace(sign)
			}
		case '"':
			found = strings.TrimSpace(strings.Trim(token, `"`))
		case '_', '*':
		default:
			if alone := strings.TrimPrefix(token, `\`); unicode.Is(unicode.Sc, []rune(alone + " ")[0]) {
				found = alone
			}
		}
		if bom.CurrencySigns(found) != nil {
			return found
		}
	}
	return ""
}

// number gives a stored number as text. What is no number, or too large for
// one, is handed on as it stands for the reader to refuse.
func (f format) number(stored string, date1904 bool) (bom.CellKind, string) {
	how := f.how
	if how == shownNumber && wholeNumber(stored) {
		return bom.Native, strings.Repeat("0", max(0, int(f.pad)-len(stored))) + stored
	}
	stored = trim(stored)
	if strings.Trim(stored, "0123456789+-.eE") != "" {
		return bom.Text, stored
	}
	value, err := strconv.ParseFloat(stored, 64)
	if err != nil {
		return bom.Text, stored
	}
	switch {
	case how == shownPercent:
		return bom.Percent, plainNumber(value, 2) + "%"
	case how == shownDate && value >= 1 && value < tooLate:
		day := math.Floor(value + dayNoise)
		if date, err := excelize.ExcelDateToTime(day, date1904); err == nil && date.Year() <= 9999 {
			return bom.DateISO, date.Format("2006-01-02")
		}
	case (how == shownTime || how == shownElapsed) && value >= 0 && value < tooLate:
		return bom.Text, clockTime(value, how == shownElapsed)
	}
	return bom.Native, plainNumber(value, 0)
}

// wholeNumber tells numbers that are plain as they stand, which most are.
func wholeNumber(s string) bool {
	return s == "0" || s != "" && s[0] != '0' && len(s) <= sheetDigits && strings.Trim(s, "0123456789") == ""
}

// dayNoise is what binary fractions may lack to midnight, in days: 9 ms.
const dayNoise = 1e-7

// tooLate is the day after 31 December 9999, the last that a workbook knows.
const tooLate = 2958466

// clockTime writes a fraction of a day as hours and minutes, and seconds where
// there are any.
func clockTime(days float64, elapsed bool) string {
	seconds := int64(days*86400 + 0.5)
	if !elapsed {
		seconds %= 86400
	}
	text := fmt.Sprintf("%02d:%02d", seconds/3600, seconds/60%60)
	if s := seconds % 60; s != 0 {
		text += fmt.Sprintf(":%02d", s)
	}
	return text
}

// sheetDigits is how many significant digits a spreadsheet shows; more of them
// are the noise of binary fractions.
const sheetDigits = 15

// plainRoom bounds the zeros that plain writing may need before or after the
// digits; beyond it the exponent form stands.
const plainRoom = 30

// plainNumber writes value × 10^shift with a dot, ungrouped: the fewest digits
// that give the same number again, at most fifteen.
func plainNumber(value float64, shift int32) string {
	short := strconv.FormatFloat(value, 'e', sheetDigits-1, 64)
	mantissa, exponent, _ := strings.Cut(short, "e")
	d, err := decimal.NewFromString(short)
	if err != nil {
		return short // infinite: not reached from text that ParseFloat takes
	}
	power, _ := strconv.Atoi(exponent)
	if power += int(shift); power > plainRoom || power < -plainRoom {
		return strings.TrimRight(strings.TrimRight(mantissa, "0"), ".") + "e" + strconv.Itoa(power)
	}
	return d.Shift(shift).String()
}
