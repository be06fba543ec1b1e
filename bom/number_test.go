package bom

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"
)

func TestParseFigure(t *testing.T) {
	for _, c := range []struct {
		why, text string
		mark      DecimalMark
		want      string
		percent   bool
		sign      string
	}{
		{why: "plain", text: "1234.56", want: "1234.56"},
		{why: "comma groups", text: "1,234.56", want: "1234.56"},
		{why: "dot groups", text: "1.234,56", want: "1234.56"},
		// ISO 80000-1:2009 7.3.1: groups of three parted by a small space (section number from memory).
		{why: "space groups, decimal comma", text: "1 234,56", want: "1234.56"},
		{why: "no-break space", text: "1\u00A0234,56", want: "1234.56"},
		{why: "narrow no-break space", text: "1\u202F234,56", want: "1234.56"},
		{why: "thin space", text: "12\u2009345", want: "12345"},
		{why: "figure space", text: "12\u2007345", want: "12345"},
		{why: "straight apostrophe", text: "1'234.56", want: "1234.56"},
		{why: "curly apostrophe", text: "1’234’567.5", want: "1234567.5"},
		{why: "sign before", text: "€1.20", want: "1.2", sign: "€"},
		{why: "sign after", text: "1.20 €", want: "1.2", sign: "€"},
		{why: "code before", text: "EUR 1.20", want: "1.2", sign: "EUR"},
		{why: "code in lower case, glued", text: "1.20eur", want: "1.2", sign: "EUR"},
		{why: "a code that begins like an exponent", text: "1EUR", want: "1", sign: "EUR"},
		{why: "a sign with a dot of its own", text: "Fr. 5", want: "5", sign: "Fr."},
		{why: "a sign with a dot of its own, after", text: "5.50 Fr.", want: "5.5", sign: "Fr."},
		{why: "a sign before a bare mark", text: "€.5", want: "0.5", sign: "€"},
		{why: "a letter and a dollar", text: "NZ$ 3", want: "3", sign: "NZ$"},
		{why: "per cent", text: "4 %", want: "4", percent: true},
		{why: "per cent, glued", text: "12,5%", want: "12.5", percent: true},
		{why: "minus", text: "-1", want: "-1"},
		{why: "minus U+2212", text: "\u22121", want: "-1"},
		{why: "minus typed as a dash", text: "\u20131", want: "-1"},
		{why: "minus before the sign", text: "-€1.20", want: "-1.2", sign: "€"},
		{why: "minus after the sign", text: "€-1.20", want: "-1.2", sign: "€"},
		{why: "plus", text: "+7", want: "7"},
		{why: "brackets of accounts", text: "(1.20)", want: "-1.2"},
		{why: "brackets within a sign", text: "€ (1.20)", want: "-1.2", sign: "€"},
		{why: "brackets about a sign", text: "(1.20 €)", want: "-1.2", sign: "€"},
		{why: "brackets about per cent", text: "(4 %)", want: "-4", percent: true},
		{why: "exponent", text: "1e-3", want: "0.001"},
		{why: "exponent as spreadsheets write it", text: "1.5E+09", want: "1500000000"},
		{why: "an exponent leaves no groups: one reading", text: "1.234e3", want: "1234"},
		{why: "the largest exponent", text: "1e12", want: "1000000000000"},
		{why: "full width", text: "１，２３４．５６", want: "1234.56"},
		{why: "full-width sign and space", text: "￥　１２", want: "12", sign: "¥"},
		{why: "nought before: no group", text: "0,123", want: "0.123"},
		{why: "one decimal", text: "12,5", want: "12.5"},
		{why: "four digits before: no group", text: "1234,567", want: "1234.567"},
		{why: "four digits after: no group", text: "1,2345", want: "1.2345"},
		{why: "nothing before", text: ".5", want: "0.5"},
		{why: "two commas: groups", text: "1,234,567", want: "1234567"},
		{why: "two dots: groups", text: "1.234.567", want: "1234567"},
		{why: "both marks settle it", text: "1,234.567", want: "1234.567"},
		{why: "space groups settle it", text: "1 234.567", want: "1234.567"},
		{why: "leading noughts are not octal", text: "010", want: "10"},
		{why: "noughts do not add digits", text: "00.50000", want: "0.5"},
		{why: "negative nought", text: "-0.0", want: "0"},
		{why: "known dot settles the comma", text: "1,234", mark: MarkDot, want: "1234"},
		{why: "known comma settles the comma", text: "1,234", mark: MarkComma, want: "1.234"},
		{why: "known dot settles the dot", text: "1.234", mark: MarkDot, want: "1.234"},
		{why: "known comma settles the dot", text: "1.234", mark: MarkComma, want: "1234"},
		{why: "a known mark and the other one grouping", text: "1.234.567", mark: MarkComma, want: "1234567"},
		{why: "small forms", text: "\uFE631\uFE50234\uFE525\uFE6A", want: "-1234.5", percent: true},
		{why: "full-width pound", text: "\uFFE12", want: "2", sign: "£"},
		{why: "full-width won", text: "2\uFFE6", want: "2", sign: "₩"},
		{why: "a letter that only begins like an exponent", text: "5 EGP", want: "5", sign: "EGP"},
		{why: "left-to-right mark at the end", text: "\u200E12\u200E", want: "12"},
		{why: "byte order mark in the first cell", text: "\uFEFF12", want: "12"},
		{why: "34 significant digits", text: "1234567890123456789012345678901234", want: "1234567890123456789012345678901234"},
	} {
		t.Run(c.why, func(t *testing.T) {
			f, err := ParseFigure(c.text, c.mark)
			if err != nil {
				t.Fatalf("%q: %+v", c.text, *err)
			}
			if f.Value.String() != c.want || f.Percent != c.percent || f.Sign != c.sign {
				t.Errorf("%q gives %v %v %q, want %s %v %q", c.text, f.Value, f.Percent, f.Sign, c.want, c.percent, c.sign)
			}
		})
	}
}

func TestParseFigureRefuses(t *testing.T) {
	for _, c := range []struct {
		why, text string
		mark      DecimalMark
		what      string // part of the message
	}{
		{why: "empty", text: "", what: "no number"},
		{why: "blank", text: " \u00A0\t", what: "no number"},
		{why: "a dash is not nought", text: "-", what: "no number"},
		{why: "a long dash is not nought", text: "—", what: "no number"},
		{why: "n/a is not nought", text: "n/a", what: "no number"},
		{why: "not a number", text: "NaN", what: "finite"},
		{why: "infinity", text: "Inf", what: "finite"},
		{why: "negative infinity", text: "-inf", what: "finite"},
		{why: "word", text: "twelve", what: "not a number"},
		{why: "hexadecimal", text: "0x1F", what: "not a number"},
		{why: "underscore", text: "1_000", what: "not a number"},
		{why: "two signs", text: "--1", what: "two signs"},
		{why: "a sign in brackets", text: "(-1)", what: "two signs"},
		{why: "a sign on either side of a currency", text: "-€-1", what: "two signs"},
		{why: "open bracket", text: "(1", what: "not a number"},
		{why: "minus after", text: "1-", what: "not a number"},
		{why: "range", text: "10-12", what: "not a number"},
		{why: "date", text: "2024-01-05", what: "not a number"},
		{why: "fraction", text: "1/2", what: "not a number"},
		{why: "two numbers", text: "1 2", what: "do not make a number"},
		{why: "two numbers on two lines", text: "1\n2", what: "invisible"},
		{why: "an exponent without digits", text: "5e", what: `a unit ("e")`},
		{why: "a signed exponent without digits", text: "5e+", what: "not a number"},
		{why: "a currency alone", text: "EUR", what: "no number"},
		{why: "two currencies", text: "€1 USD", what: "two currencies"},
		{why: "the same currency twice", text: "€1€", what: "two currencies"},
		{why: "currency and per cent", text: "€4 %", what: "per cent"},
		{why: "per cent twice", text: "(4 %) %", what: "two per cent"},
		{why: "groups of two", text: "1,23,456", what: "do not make a number"},
		{why: "group of four", text: "1,2345,678", what: "do not make a number"},
		{why: "a nought at the head of groups", text: "0,123,456", what: "do not make a number"},
		{why: "two decimal marks", text: "1.234,56.7", what: "do not make a number"},
		{why: "spaces and apostrophes", text: "1 234'567", what: "do not make a number"},
		{why: "a mark at the end", text: "5.", what: "do not make a number"},
		{why: "a group mark in the decimals", text: "1.234 5", what: "do not make a number"},
		{why: "groups with an exponent", text: "1,234.5e3", what: "do not make a number"},
		{why: "exponent too large", text: "1e13", what: "exponent"},
		{why: "exponent too small", text: "1e-13", what: "exponent"},
		{why: "exponent that would fill the memory", text: "1e999999999", what: "exponent"},
		{why: "35 significant digits", text: "12345678901234567890123456789012345", what: "34 significant"},
		{why: "too small to print", text: "0." + strings.Repeat("0", 60) + "1", what: "range"},
		{why: "a million digits", text: strings.Repeat("7", 1<<20), what: "too long"},
		{why: "over the length in runes", text: strings.Repeat("0", 101), what: "too long"},
		{why: "metres", text: "2 m", what: `a unit ("m")`},
		{why: "pieces", text: "5 pcs", what: `a unit ("pcs")`},
		{why: "pieces, glued", text: "5pcs.", what: `a unit ("pcs.")`},
		{why: "inches", text: `3"`, what: "a unit"},
		{why: "error value", text: "#N/A", what: "error value"},
		{why: "division by nought", text: "#DIV/0!", what: "error value"},
		{why: "Arabic-Indic digits", text: "١٢٣", what: "another script"},
		{why: "Devanagari digits", text: "१२", what: "another script"},
		{why: "mathematical digits", text: "\U0001D7D9\U0001D7DA", what: "another script"},
		{why: "an order that is not what is seen", text: "\u202E12", what: "invisible"},
		{why: "zero width within", text: "1\u200B2", what: "invisible"},
		{why: "broken UTF-8", text: "1\xff", what: "a unit"},
		{why: "comma where the file has a dot", text: "12,5", mark: MarkDot, what: "decimal dot"},
		{why: "dot where the file has a comma", text: "12.5", mark: MarkComma, what: "decimal comma"},
		{why: "grouped by the file's decimal mark", text: "1,234,567", mark: MarkComma, what: "decimal comma"},
		{why: "the marks the other way round", text: "1.234,56", mark: MarkDot, what: "decimal dot"},
		{why: "not a group for its nought", text: "0,123", mark: MarkDot, what: "decimal dot"},
	} {
		t.Run(c.why, func(t *testing.T) {
			f, err := ParseFigure(c.text, c.mark)
			if err == nil {
				t.Fatalf("%q reads as %v", c.text, f)
			}
			if !strings.Contains(err.What, c.what) || err.Want == "" || err.Ambiguous {
				t.Errorf("%q: %+v, want %q", c.text, *err, c.what)
			}
			if !f.Value.IsZero() || f.Percent || f.Sign != "" {
				t.Errorf("%q: an error with a figure: %v", c.text, f)
			}
		})
	}
}

// The message tells what to type in place of other digits.
func TestForeignDigitsAreNamed(t *testing.T) {
	for text, want := range map[string]string{"١٢٣": "123", "۴٫۵": "4٫5", "๗๘": "78", "𝟙𝟚": "12"} {
		if _, err := ParseFigure(text, MarkUnknown); err == nil || !strings.Contains(err.Want, want) {
			t.Errorf("%s: %v, want %s in it", text, err, want)
		}
	}
}

func TestTwoReadings(t *testing.T) {
	for _, text := range []string{"1,234", "1.234", "12,345", "999.000", "-1,234", "€1.234", "(1,234)", "1.234 %"} {
		_, err := ParseFigure(text, MarkUnknown)
		if err == nil || !err.Ambiguous || !strings.Contains(err.Want, "--decimal-mark") {
			t.Errorf("%s: %+v, want two readings", text, err)
		}
	}
	_, err := ParseFigure("1,234", MarkUnknown)
	if want := "reads two ways: 1234 or 1.234"; err.What != want {
		t.Errorf("%q, want %q", err.What, want)
	}
}

// The length is looked at before anything is folded or copied: a text that is
// too long costs no memory.
func TestLongFiguresAreNotRead(t *testing.T) {
	long := strings.Repeat("9", 1<<20)
	n := testing.AllocsPerRun(100, func() {
		if _, err := ParseFigure(long, MarkUnknown); err == nil {
			t.Fatal("read")
		}
	})
	if n > 5 {
		t.Errorf("%v allocations for a text that is too long", n)
	}
}

func TestParseWhole(t *testing.T) {
	for _, c := range []struct {
		text string
		want int64
		what string // part of the message, empty where it is read
	}{
		{text: "2", want: 2},
		{text: "2.0", want: 2},
		{text: "010", want: 10},
		{text: "-3", want: -3},
		{text: "1e3", want: 1000},
		{text: "1 000 000", want: 1000000},
		{text: "1000000000000", want: 1000000000000},
		{text: "-1000000000000", want: -1000000000000},
		{text: "1000000000001", what: "too large"},
		{text: "1e12", want: 1000000000000},
		{text: "2.7", what: "whole"},
		{text: "0x1F", what: "not a number"},
		{text: "5 %", what: "per cent"},
		{text: "€5", what: "currency"},
		{text: "1,234", what: "two ways"},
		{text: "", what: "no number"},
	} {
		n, err := ParseWhole(c.text, MarkUnknown)
		switch {
		case c.what == "" && err != nil:
			t.Errorf("%q: %+v", c.text, *err)
		case c.what != "" && (err == nil || !strings.Contains(err.What, c.what)):
			t.Errorf("%q: %d %+v, want %q", c.text, n, err, c.what)
		case n != c.want:
			t.Errorf("%q is %d, want %d", c.text, n, c.want)
		}
	}
}

func TestEvidence(t *testing.T) {
	for _, c := range []struct {
		why   string
		cells []string
		want  DecimalMark
	}{
		{"nothing seen", nil, MarkUnknown},
		{"whole numbers and words prove nothing", []string{"12", "R1", "", "n/a"}, MarkUnknown},
		{"two readings prove nothing", []string{"1,234", "5.678"}, MarkUnknown},
		{"a decimal dot", []string{"1,234", "0.5"}, MarkDot},
		{"a decimal comma", []string{"1.234", "12,5"}, MarkComma},
		{"groups of commas", []string{"1,234,567"}, MarkDot},
		{"groups of dots", []string{"1.234.567"}, MarkComma},
		{"both marks", []string{"1.234,56"}, MarkComma},
		{"space groups alone prove nothing", []string{"1 234"}, MarkUnknown},
		{"space groups and a comma", []string{"1 234,567"}, MarkComma},
		{"a price", []string{"€0,99"}, MarkComma},
		{"a file that contradicts itself", []string{"0.5", "0,5"}, MarkUnknown},
		{"a contradiction stays", []string{"0.5", "0,5", "0.5"}, MarkUnknown},
	} {
		var e Evidence
		for _, cell := range c.cells {
			e.Add(cell)
		}
		if got := e.Mark(); got != c.want {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
}

func TestCurrencySigns(t *testing.T) {
	for sign, first := range map[string]string{"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "Fr.": "CHF", "usd": "USD", "KWD": "KWD"} {
		if got := CurrencySigns(sign); len(got) == 0 || got[0] != first {
			t.Errorf("%s gives %v, want %s first", sign, got, first)
		}
	}
	for _, not := range []string{"", "m", "pcs", "XYZ", "%", "R"} {
		if got := CurrencySigns(not); got != nil {
			t.Errorf("%q gives %v", not, got)
		}
	}
	// Every code that a sign stands for must be one of ISO 4217, once.
	for sign, codes := range currencySigns {
		seen := map[string]bool{}
		for _, code := range strings.Fields(codes) {
			if c, ok := FindCurrency(code); !ok || c.Code != code || seen[code] {
				t.Errorf("%s: %s is not a code of ISO 4217, or stands twice", sign, code)
			}
			seen[code] = true
		}
		if f, err := ParseFigure(sign+" 2", MarkUnknown); err != nil || f.Sign != sign {
			t.Errorf("%s 2: %v %+v", sign, f, err)
		}
		if f, err := ParseFigure("2 "+sign, MarkUnknown); err != nil || f.Sign != sign {
			t.Errorf("2 %s: %v %+v", sign, f, err)
		}
	}
}

var figureSeeds = []string{"1234.56", "1,234.56", "1 234,56", "€1.20", "1.20 EUR", "4 %", "-1", "\u22121", "(1.20)",
	"1e-3", "１２３", "1,234", "0,123", "1.234.567", "NaN", "1e999999999", "1_000", "١٢", "1,23,456", "#N/A", "2 m",
	"'1", "Fr. 5", "$ (1)", "\u200E1", "\xff", "1e-12", "0.0000000000000000000000000000000000000000000001"}

// FuzzParseFigure: what was read prints plainly and reads back as the same; the
// mark that a figure proves, given outright, changes nothing; a figure that
// reads two ways reads in just those two ways.
func FuzzParseFigure(f *testing.F) {
	for _, s := range figureSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fig, err := ParseFigure(text, MarkUnknown)
		dot, dotErr := ParseFigure(text, MarkDot)
		comma, commaErr := ParseFigure(text, MarkComma)
		var e Evidence
		e.Add(text)
		if err != nil {
			if err.What == "" || err.Want == "" {
				t.Fatalf("%q: an error without words", text)
			}
			if err.Ambiguous && (dotErr != nil || commaErr != nil || dot.Value.Equal(comma.Value) != dot.Value.IsZero()) {
				t.Fatalf("%q: two ways, but %v %v", text, dot, comma)
			}
			if !err.Ambiguous && (dotErr == nil || commaErr == nil) {
				t.Fatalf("%q: read only with a mark: %v %v", text, dot, comma)
			}
			return
		}
		again, err := ParseFigure(fig.Value.String(), MarkDot)
		if err != nil || !again.Value.Equal(fig.Value) {
			t.Fatalf("%q: %v reads back as %v (%+v)", text, fig.Value, again.Value, err)
		}
		switch e.Mark() {
		case MarkDot:
			if dotErr != nil || !dot.Value.Equal(fig.Value) || commaErr == nil {
				t.Fatalf("%q proves a dot: %v, %v", text, dot, comma)
			}
		case MarkComma:
			if commaErr != nil || !comma.Value.Equal(fig.Value) || dotErr == nil {
				t.Fatalf("%q proves a comma: %v, %v", text, dot, comma)
			}
		default:
			if dotErr != nil || commaErr != nil || !dot.Value.Equal(fig.Value) || !comma.Value.Equal(fig.Value) {
				t.Fatalf("%q proves nothing, but the mark matters: %v, %v, %v", text, fig, dot, comma)
			}
		}
		if n, err := ParseWhole(text, MarkUnknown); err == nil && !decimal.NewFromInt(n).Equal(fig.Value) {
			t.Fatalf("%q: whole number %d, figure %v", text, n, fig.Value)
		}
	})
}

// FuzzWrittenFigure writes a number in every way that people do and reads it.
func FuzzWrittenFigure(f *testing.F) {
	f.Add(uint64(1234), uint32(56), uint8(2), uint8(0))
	f.Add(uint64(0), uint32(0), uint8(3), uint8(3))
	f.Add(uint64(1234567890123), uint32(1), uint8(9), uint8(5))
	f.Fuzz(func(t *testing.T, whole uint64, fraction uint32, places, style uint8) {
		want := decimal.NewFromUint64(whole)
		tail := ""
		if places %= 10; places > 0 {
			part := decimal.New(int64(fraction), -int32(places))
			part = part.Sub(part.Floor())
			want = want.Add(part)
			tail = part.StringFixed(int32(places))[2:]
		}
		groups := []string{"", ",", ".", " ", "\u00A0", "\u202F", "\u2009", "'", "’"}
		group := groups[int(style)%len(groups)]
		for mark, name := range map[DecimalMark]string{MarkDot: ".", MarkComma: ","} {
			if group == name {
				continue
			}
			text := decimal.NewFromUint64(whole).String()
			for i := len(text) - 3; i > 0; i -= 3 {
				text = text[:i] + group + text[i:]
			}
			if tail != "" {
				text += name + tail
			}
			got, err := ParseFigure(text, mark)
			if err != nil || !got.Value.Equal(want) {
				t.Fatalf("%q is %v (%+v), want %v", text, got.Value, err, want)
			}
			guess, err := ParseFigure(text, MarkUnknown)
			if err == nil && !guess.Value.Equal(want) {
				t.Fatalf("%q is %v without a mark, want %v", text, guess.Value, want)
			}
			if err != nil && !err.Ambiguous {
				t.Fatalf("%q: %+v", text, *err)
			}
		}
	})
}
