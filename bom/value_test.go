package bom

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
)

func TestValueKeys(t *testing.T) {
	for _, c := range []struct{ source, key, texts string }{
		// IEC 60062:2016, RKM code: published examples.
		{"IEC 60062", "470 mΩ", "R47|0R47|0.47 Ω|0,47Ω|.47 ohm|470 mΩ|470mR"},
		{"IEC 60062", "4.7 Ω", "4R7|4.7 Ω|4,7 ohm|4.70 Ohms|4.7R|4700 mΩ"},
		{"IEC 60062", "4.7 kΩ", "4K7|4k7|4.7 kΩ|4.7 k\u2126|4700R|4700 Ω|4,7k|4.7K|4.7kohm|4.70 KOHM|4k7Ω|4k70|0.0047M|4700.0 Ω"},
		{"IEC 60062", "47.3 kΩ", "47K3|47k3|47.3 kΩ|47300 ohm"},
		{"IEC 60062", "2.2 MΩ", "2M2|2.2 MΩ|2200k|2.2Mohm|2M2Ω"},
		{"IEC 60062", "10 pF", "10p|10pF|10 PF|0.01 nF|10p0"},
		{"IEC 60062", "4.7 nF", "4n7|4.7 nF|4700p|4,7nF|0.0047 µF|4n7F|4.7nf"},
		{"IEC 60062", "1 µF", "1µ0|1μ0|1u0|1 µF|1 \u03BCF|1uF|1 UF|1000n"},
		{"IEC 60062", "0.47 pF", "p47|0.47 pF|0p47"},
		// Common practice, no source.
		{"k and K", "10 kΩ", "10k|10K|10 k|10kΩ"},
		{"m is not M", "0.0022", "2m2|2.2m"},
		{"nought", "0 Ω", "0R|0 Ω|0R0|0 ohm"},
		{"the unit that was left out", "100 nF", "100n|0.1 µF|0.1uF|100nF|0,1 µF|100 n"},
		{"inductance", "10 µH", "10uH|10 µH|0.01 mH|10 UH|10uh"},
		{"frequency", "8 MHz", "8MHz|8 MHZ|8000 kHz"},
		{"a prefix leaves no groups", "32.768 kHz", "32.768 kHz|32,768kHz|32768 Hz"},
		{"voltage", "3.3 V", "3V3|3.3 V|3,3V|3300 mV"},
		{"current", "500 mA", "500mA|0.5 A|0A5|500 ma"},
		{"power", "250 mW", "0.25W|250 mW"},
		{"bare number", "4700", "4700|4.7e+3|4'700.0"},
		{"as a spreadsheet stores it", "100 nF", "1e-7 F|1E-07 F|0.0000001 F"},
		{"full width", "4.7 kΩ", "４ｋ７|４．７ｋΩ"},
		{"milliohm by its letter", "5 mΩ", "5L00|5mΩ|0R005"},
	} {
		for _, text := range strings.Split(c.texts, "|") {
			v, ok := ParseValue(text)
			if key := v.Key(); !ok || key != c.key {
				t.Errorf("%s: %q gives %q %v, want %q", c.source, text, key, ok, c.key)
			}
		}
	}
}

func TestValueParts(t *testing.T) {
	for _, c := range []struct {
		why, text                 string
		number, unit, class, full string
	}{
		{"R is Ω", "4R7", "4.7", "Ω", "R", "4.7 Ω"},
		{"K leaves the unit to the class", "4k7", "4700", "", "R", "4.7 kΩ"},
		{"n leaves the unit to the class: a coil", "100n", "0.0000001", "", "L", "100 nH"},
		{"n leaves the unit to the class: a capacitor", "100n", "0.0000001", "", "C", "100 nF"},
		{"a unit that stands there is kept", "100nF", "0.0000001", "F", "L", "100 nF"},
		{"a bare number on a resistor", "4700", "4700", "", "R", "4.7 kΩ"},
		{"milli on a resistor", "10m", "0.01", "", "R", "10 mΩ"},
		{"a class without a unit", "10m", "0.01", "", "U", "0.01"},
	} {
		v, ok := ParseValue(c.text)
		if !ok || v.Number.String() != c.number || v.Unit != c.unit {
			t.Errorf("%s: %q gives %v %q %v", c.why, c.text, v.Number, v.Unit, ok)
		}
		if got := v.WithUnit(DimensionOf(c.class)).Key(); got != c.full {
			t.Errorf("%s: %q on %s has the key %q, want %q", c.why, c.text, c.class, got, c.full)
		}
	}
}

func TestValueTolerance(t *testing.T) {
	// IEC 60062, letters for symmetrical tolerances (from memory): per cent.
	for letter, percent := range map[string]string{"B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2", "J": "5", "K": "10", "M": "20"} {
		for _, text := range []string{"4K7", "4R7", "10k", "2M2", "100n", "4u7", "10kΩ", "47R"} {
			if letter == "F" && strings.ContainsAny(text, "nu") {
				continue // a farad
			}
			v, ok := ParseValue(text + letter)
			plain, _ := ParseValue(text)
			if !ok || !v.Tolerance.Known || v.Tolerance.Absolute || v.Tolerance.Amount.String() != percent {
				t.Errorf("%s%s: %v %v, want %s %%", text, letter, v.Tolerance, ok, percent)
			}
			if !v.Number.Equal(plain.Number) || v.Unit != plain.Unit {
				t.Errorf("%s%s: %v, want %v", text, letter, v, plain)
			}
		}
	}
	// The same source: under 10 pF the letter means a capacitance, in pF.
	for letter, pf := range map[string]string{"B": "0.1", "C": "0.25", "D": "0.5", "G": "2"} {
		v, ok := ParseValue("4p7" + letter)
		want := decimal.RequireFromString(pf).Shift(-12)
		if !ok || !v.Tolerance.Absolute || !v.Tolerance.Amount.Equal(want) {
			t.Errorf("4p7%s: %v %v, want ±%s pF", letter, v.Tolerance, ok, pf)
		}
		if v, _ := ParseValue("10p" + letter); v.Tolerance.Absolute {
			t.Errorf("10p%s is not under 10 pF: %v", letter, v.Tolerance)
		}
	}
	for _, c := range []struct{ why, text, key, rest string }{
		{"per cent", "4k7 1%", "4.7 kΩ ±1%", ""},
		{"letter and per cent agree", "4K7J", "4.7 kΩ ±5%", ""},
		{"plus and minus", "4.7 kΩ ±5 %", "4.7 kΩ ±5%", ""},
		{"plus and minus, glued", "4k7±5%", "4.7 kΩ ±5%", ""},
		{"plus and minus, typed", "4k7 +/-5%", "4.7 kΩ ±5%", ""},
		{"decimal comma", "4k7, 0,5%", "4.7 kΩ ±0.5%", ""},
		{"in brackets", "4k7 (1%)", "4.7 kΩ ±1%", ""},
		{"after a stroke", "4k7/1%", "4.7 kΩ ±1%", ""},
		{"bare number", "100 1%", "100 ±1%", ""},
		{"capacitance", "4.7pF ±0.25pF", "4.7 pF ±0.25 pF", ""},
		{"capacitance, as a letter", "4p7C", "4.7 pF ±0.25 pF", ""},
		{"with ratings", "100n 10% 50V X7R", "100 nF ±10% 50V X7R", "50V X7R"},
		{"another order of ratings", "100nF/50 V, X7R 10 %", "100 nF ±10% 50V X7R", "50 V X7R"},
		{"another case of ratings", "0.1uF x7r 50v ±10%", "100 nF ±10% 50V X7R", "x7r 50v"},
		{"not symmetrical: a rating", "10u +80/-20%", "10 µF +80/-20%", "+80/-20%"},
		{"a tolerance of another unit is none", "4k7 ±5V", "4.7 kΩ ±5V", "±5V"},
		{"power rating of a bare number", "100 0.25W", "100 0.25W", "0.25W"},
	} {
		v, ok := ParseValue(c.text)
		if !ok || v.Key() != c.key || v.Rest != c.rest {
			t.Errorf("%s: %q gives %q, rest %q, %v; want %q, %q", c.why, c.text, v.Key(), v.Rest, ok, c.key, c.rest)
		}
	}
}

func TestNotValues(t *testing.T) {
	for _, c := range []struct{ why, texts string }{
		{"nothing", "| "},
		{"part numbers that look like codes", "1N4148|1n4148|2N2222|BC547|LM358|74HC00|NE555"},
		{"screws and designators", "M3|M3x10|K1|U1|C10|ST2.9"},
		{"words", "red|DNP|crystal|n/a"},
		{"a number that begins a text", "555 timer|12 way header|2.54 mm|2x10|5 pcs"},
		{"other units", "10 mm|5 s|3 kg|20 °C"},
		{"reads two ways", "4,700|4.700|1,234 Ω|1.234 Ω"},
		{"groups parted by a space", "4 700 Ω|1 100V"},
		{"fractions and ranges", "1/4W|10-12|10/100"},
		{"a megafarad is an old microfarad, or 1 %", "10MF"},
		{"4.7 Ω or a power of ten", "4E7|4e7"},
		{"a megahenry and a millihertz are slips", "10MH|8mHz"},
		{"femto is not in use", "10f"},
		{"two codes", "4k7k7|4.7k7|4R7R"},
		{"negative", "-4k7"},
		{"malformed", "4..7k|1,23,456 Ω|k|.|4k7j|4k7_"},
		{"exponents out of range", "1e+13 F|1e+99999999999"},
		{"too many digits", strings.Repeat("1", 35) + "k"},
		{"too long", "4k7 " + strings.Repeat("x", 500)},
		{"per cent alone", "5%"},
	} {
		for _, text := range strings.Split(c.texts, "|") {
			if v, ok := ParseValue(text); ok || v.Key() != (Value{}).Key() {
				t.Errorf("%s: %q is taken for %q %v", c.why, text, v.Key(), ok)
			}
		}
	}
}

// The three-figure code of capacitors (IEC 60062) is never read: 103 in a column
// of values is a number.
func TestNoCapacitorCode(t *testing.T) {
	if v, ok := ParseValue("103"); !ok || v.Number.String() != "103" {
		t.Errorf("103 is the value %v %v", v, ok)
	}
}

// Preferred values of IEC 60063:2015: E24 as published, E96 by its formula,
// round(100 × 10^(i/96)).
func preferredValues() []int {
	values := []int{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
	for i := range 96 {
		values = append(values, int(math.Round(100*math.Pow(10, float64(i)/96))))
	}
	return values
}

// Every preferred value in every decade must have one key, whether it is
// written with its letter inside, with a prefix or in full, with a dot or a
// comma.
func TestPreferredValues(t *testing.T) {
	values := preferredValues()
	// Published terms of E96.
	for i, want := range map[int]int{1: 102, 8: 121, 32: 215, 65: 475, 95: 976} {
		if got := values[24+i]; got != want {
			t.Fatalf("E96 term %d is %d, want %d", i, got, want)
		}
	}
	for _, decade := range []struct {
		letter, prefix, unit string
		exponent             int32
	}{
		{"R", "", "Ω", 0}, {"k", "k", "Ω", 3}, {"K", "k", "Ω", 3}, {"M", "M", "Ω", 6}, {"G", "G", "Ω", 9},
		{"p", "p", "F", -12}, {"n", "n", "F", -9}, {"u", "µ", "F", -6}, {"µ", "µ", "F", -6},
	} {
		for _, value := range values {
			for places := range int32(3) {
				figure := decimal.New(int64(value), -places).String()
				whole, fraction, _ := strings.Cut(figure, ".")
				want := decimal.New(int64(value), decade.exponent-places)
				code := whole + decade.letter + fraction
				texts := []string{code, figure + decade.prefix + decade.unit, strings.Replace(figure, ".", ",", 1) + " " + decade.prefix + decade.unit}
				if whole != "" && fraction == "" {
					texts[0] = whole + decade.letter + "0"
				}
				if full := want.String(); len(full) < 30 && !strings.Contains(full, ".") {
					texts = append(texts, full+" "+decade.unit)
				}
				key := ""
				for _, text := range texts {
					v, ok := ParseValue(text)
					if !ok || !v.Number.Equal(want) {
						t.Errorf("%s: %v %v, want %v", text, v.Number, ok, want)
					}
					if key == "" {
						key = v.Key()
					}
					if v.Key() != key || !strings.HasSuffix(key, decade.unit) {
						t.Errorf("%s: key %q, and %s %q", text, v.Key(), texts[0], key)
					}
				}
			}
		}
	}
}

var threeDecimals = regexp.MustCompile(`^(\d+\.\d{3})( |$)`)

// FuzzParseValue: a value is never negative, its key reads back as the same
// key, and a unit given by the class changes no number.
func FuzzParseValue(f *testing.F) {
	for _, s := range []string{"R47", "4k7", "4K7J", "4.7 kΩ ±5 %", "100n 50V X7R", "0.1 µF", "p47", "4p7C", "1e-7 F",
		"32,768 kHz", "3V3", "103", "1N4148", "4,700", "4.7pF ±0.25pF", "10u +80/-20%", "100nF/50 V, X7R 10 %", "0R", "5L0",
		"1M (1%) 0603", "1000", "1234m", "7777A", "0.001Hz", "\xff4k7", "１０ｋ", "100 1%"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ChipSize(text)
		v, ok := ParseValue(text)
		if !ok {
			if fmt.Sprint(v) != fmt.Sprint(Value{}) {
				t.Fatalf("%q: not a value, but %+v", text, v)
			}
			return
		}
		if v.Number.IsNegative() || v.Tolerance.Amount.IsNegative() {
			t.Fatalf("%q: %+v", text, v)
		}
		if filled := v.WithUnit("H"); !filled.Number.Equal(v.Number) || filled.Unit == "" {
			t.Fatalf("%q: %+v with a unit is %+v", text, v, filled)
		}
		// Only the value itself: what else stands in the text is kept, not read.
		v.Rest = ""
		key := v.Key()
		// A fourth decimal keeps "1.234 Ω" from reading two ways.
		again, ok := ParseValue(threeDecimals.ReplaceAllString(key, "${1}0$2"))
		if !ok || again.Key() != key || !again.Number.Equal(v.Number) || !again.Tolerance.Amount.Equal(v.Tolerance.Amount) {
			t.Fatalf("%q: key %q reads back as %q %v", text, key, again.Key(), ok)
		}
	})
}
