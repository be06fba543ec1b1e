package bom

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestExpandDesignators(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"one", "R1", "R1"},
		{"list and ranges of both kinds", "R1, R4-R7, C2..C4", "R1 R4 R5 R6 R7 C2 C3 C4"},
		{"semicolons", "R1;R2", "R1 R2"},
		{"bars", "R1|R2 | R3", "R1 R2 R3"},
		{"white space", "R1 R2\tR3\nR4\r\nR5", "R1 R2 R3 R4 R5"},
		{"no-break space", "R1\u00A0R2", "R1 R2"},
		{"marks together", ",R1,, ;R2,", "R1 R2"},
		{"en dash", "R1–R3", "R1 R2 R3"},
		{"em dash", "R1—R3", "R1 R2 R3"},
		{"minus", "R1−R3", "R1 R2 R3"},
		{"no-break hyphen", "R1\u2011R3", "R1 R2 R3"},
		{"ellipsis", "R1…R3", "R1 R2 R3"},
		{"three dots", "R1...R3", "R1 R2 R3"},
		{"white space about the mark", "R1 - R3, C1 .. C2", "R1 R2 R3 C1 C2"},
		{"letters once", "R4-7", "R4 R5 R6 R7"},
		{"leading noughts", "R01-R03", "R01 R02 R03"},
		{"leading noughts over a ten", "R08-R11", "R08 R09 R10 R11"},
		{"leading noughts, letters once", "R08-11", "R08 R09 R10 R11"},
		{"no leading noughts over a ten", "R9-R11", "R9 R10 R11"},
		{"range of one", "R4-R4", "R4"},
		{"a section's letter", "U1A, U1B", "U1A U1B"},
		{"a name with a number", "TP_VCC2, LED_1", "TP_VCC2 LED_1"},
		{"a range over the last number only", "IC2_1-IC2_3", "IC2_1 IC2_2 IC2_3"},
		{"case is kept", "r1, C1", "r1 C1"},
		{"a range does not mind case", "R1-r3", "R1 R2 R3"},
		{"full width", "Ｒ１，Ｒ３－Ｒ４", "R1 R3 R4"},
		{"ideographic comma", "R1、R2", "R1 R2"},
		{"empty", "", ""},
		{"separators alone", " , ;", ""},
		{"dashes for nothing", "---", ""},
		{"a dollar sign", "J$1, U$3", "J$1 U$3"},
		{"letters and numbers set apart", "C  2,C  3", "C2 C3"},
		{"a remark without a gap", "C2(0.1UF)", "C2"},
		{"a remark of several words", "JP3 (“Power / Red stripe”)", "JP3"},
		{"sections in brackets", "B1 (a), B1 (b)", "B1a B1b"},
		{"a range with a remark", "C1-C3 (ceramic)", "C1 C2 C3"},
		{"letters that look Latin", "\u04211, \u04202", "C1 P2"},
		{"a mark before it", "> C3, C4", "C3 C4"},
		{"the page of a drawing", "0.C1, 2.R1", "0.C1 2.R1"},
		{"strokes", "D5/D6, C1/C2/C3", "D5 D6 C1 C2 C3"},
		{"dots", "C9.C10, R1.R2.R3", "C9 C10 R1 R2 R3"},
		{"a prime", "X'1", "X'1"},
		{"the two ends of a part", "LD2+, LD2-, D1+", "LD2+ LD2- D1+"},
		{"the letters once", "C61,81, R2 3-5", "C61 C81 R2 R3 R4 R5"},
	} {
		got, err := ExpandDesignators(c.text)
		if err != nil || strings.Join(got.Names, " ") != c.want || got.Words {
			t.Errorf("%s: %q gives %v %+v, want %s", c.why, c.text, got, err, c.want)
		}
	}
}

func TestDesignatorsThatAreWords(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"a word", "KEY", "KEY"},
		{"a word with a hyphen and a number behind it", "USB-UART1", "USB-UART1"},
		{"words with a gap are one", "see drawing", "see drawing"},
		{"two words", "POWER, RESET", "POWER|RESET"},
		{"beside numbered ones", "R1, R2, KEY", "R1|R2|KEY"},
		{"without its number", "R?", "R?"},
		{"without its number, two places", "REF**, REF**", "REF**|REF**"},
		{"a voltage", "3V3, 5V, 3.5VREG, -5V_REG", "3V3|5V|3.5VREG|-5V_REG"},
		{"words with a size", "6 mm screw", "6 mm screw"},
		{"a word with a sign", "MOTOR-, MOTOR+", "MOTOR-|MOTOR+"},
		{"one part in two places", "SW1 + LD1", "SW1|LD1"},
		{"of another script", "\u043a\u043e\u0440\u043f\u0443\u0441", "\u043a\u043e\u0440\u043f\u0443\u0441"},
	} {
		got, err := ExpandDesignators(c.text)
		if err != nil || strings.Join(got.Names, "|") != c.want || !got.Words {
			t.Errorf("%s: %q gives %+v %+v, want %s", c.why, c.text, got, err, c.want)
		}
	}
}

func TestExpandDesignatorsRefuses(t *testing.T) {
	for _, c := range []struct{ why, text, what string }{
		{"backwards", "R7-R4", `"R7-R4" runs backwards`},
		{"a pin after a hyphen", "J3-1", `"J3-1" runs backwards`},
		{"different letters", "R1-C4", `"R1-C4" joins`},
		{"too many", "R1-R10001", `"R1-R10001" holds more than 10000`},
		{"too many in all", "R1-R9999 C1-C2", `at "C1-C2"`},
		{"very long numbers", "R1-R99999999999999999999", "too long a number"},
		{"noughts of two lengths", "R01-R3", "different length"},
		{"noughts at the end alone", "R1-R03", "different length"},
		{"twice", "R1, R2, R1", "designator R1 stands twice"},
		{"twice by a range", "R1-R3, R2", "designator R2 stands twice"},
		{"twice in another case", "R1, r1", "designator r1 stands twice"},
		{"no first end", "-R4", "without one of its ends"},
		{"no last end", "R4-", "without one of its ends"},
		{"others in brackets", "R10 (R11 R12)", "holds more than a remark"},
		{"a number in brackets", "C1 (2x)", "holds more than a remark"},
		{"not fitted in brackets", "R1, R2, R3 (DNP)", "holds more than a remark"},
		{"twice with remarks", "B1 (left), B1 (right)", "designator B1 stands twice"},
		{"chain", "R1-R3-R5", "is not a designator"},
		{"range of sections", "U1A-U1C", "does not run"},
		{"a range without letters", "1-4", "does not begin with a letter"},
		{"a dot may be a comma or a range", "R1.2", `'.' (U+002E)`},
		{"a letter of another script", "R1\u0416", `(U+0416)`},
		{"control character", "R1\x07", "(U+0007)"},
		{"very long", strings.Repeat("R", 41) + "1", "too long"},
		{"broken UTF-8", "R1\xff", "(U+FFFD)"},
	} {
		got, err := ExpandDesignators(c.text)
		if err == nil || got.Names != nil {
			t.Errorf("%s: %q gives %v", c.why, c.text, got)
		} else if !strings.Contains(err.What, c.what) || err.Want == "" {
			t.Errorf("%s: %q: %+v, want %q", c.why, c.text, *err, c.what)
		}
	}
}

// A megabyte in one cell is refused before it grows.
func TestDesignatorsAreBounded(t *testing.T) {
	var b strings.Builder
	for i := 0; b.Len() < 1<<20; i++ {
		fmt.Fprintf(&b, "A%d_1-A%d_9999,", i, i)
	}
	if got, err := ExpandDesignators(b.String()); err == nil || got.Names != nil {
		t.Errorf("%d designators from one cell", len(got.Names))
	}
	if got, err := ExpandDesignators("R1-R10000"); err != nil || len(got.Names) != 10000 {
		t.Errorf("the longest range: %d designators, %+v", len(got.Names), err)
	}
}

func TestClassLetters(t *testing.T) {
	for designator, want := range map[string]string{"R12": "R", "CR3": "CR", "u1A": "U", "TP_VCC2": "TP", "LS1": "LS", "7": "", "": ""} {
		if got := ClassOf(designator); got != want {
			t.Errorf("class of %q is %q, want %q", designator, got, want)
		}
	}
	// IEEE 315-1975 section 22.4 (from memory): R resistor, RT thermistor, C
	// capacitor, L inductor; none of the others is rated in one unit alone.
	for class, want := range map[string]string{"R": "Ω", "RT": "Ω", "C": "F", "L": "H", "c": "F",
		"D": "", "CR": "", "Q": "", "U": "", "Y": "", "F": "", "LS": "", "BT": "", "RX": "", "": ""} {
		if got := DimensionOf(class); got != want {
			t.Errorf("unit of class %q is %q, want %q", class, got, want)
		}
	}
}

// FuzzExpandDesignators: what comes out is bounded, has nothing twice, and
// reads back as itself.
func FuzzExpandDesignators(f *testing.F) {
	for _, s := range []string{"R1, R4-R7, C2..C4", "R01–R03", "R4-7;R9", "U1A TP_1", "R1…R3", "J3-1", "R?", "R1 - R3",
		"-", "R9-R12,r10", "Ｒ１～Ｒ３", "\xffR1", "R1-R3-R5", "A1B2C3-A1B2C9", "R000000001-R000000003", "R1........R3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ExpandDesignators(text)
		if err != nil {
			if got.Names != nil || err.What == "" || err.Want == "" {
				t.Fatalf("%q: %v %+v", text, got, *err)
			}
			return
		}
		if len(got.Names) > designatorLimit {
			t.Fatalf("%q: %d designators", text, len(got.Names))
		}
		seen := map[string]bool{}
		for _, d := range got.Names {
			if !got.Words && (seen[strings.ToUpper(d)] || ClassOf(d) == "") {
				t.Fatalf("%q: %q stands twice or has no class", text, d)
			}
			seen[strings.ToUpper(d)] = true
		}
		again, err := ExpandDesignators(strings.Join(got.Names, ","))
		if err != nil || !slices.Equal(again.Names, got.Names) {
			t.Fatalf("%q: %v reads back as %v %+v", text, got, again, err)
		}
	})
}
