package partname

import (
	"testing"

	"tenoff/bom"
)

// Values by IEC 60062 with and without their unit, beside a package or alone, are one part;
// bare digits alone are a part number as well as ohms, and stay what they are.
func TestSame(t *testing.T) {
	for _, row := range []struct {
		a, b string
		want bool
		why  string
	}{
		{"4k7 0805", "4.7 kΩ R_0805_2012Metric", true, "the package is named otherwise"},
		{"4k7 0805", "4k7 0603", false, "another package"},
		{"4k7", "4.7 kΩ", true, "a value alone"},
		{"4k7", "4k7 0805", false, "a package beside it is another part"},
		{"100n", "0.1 µF", true, "a prefix alone beside a unit"},
		{"100", "0100", false, "digits alone may be part numbers"},
		{"100", "100R", false, "and are not ohms everywhere"},
		{"LED red", "LED  red", true, "the same text but for gaps"},
		{"DRV-1", "DRV-2", false, "names that are no values"},
	} {
		if got := Same(row.a, row.b); got != row.want {
			t.Errorf("%q and %q the same: %v, want %v: %s", row.a, row.b, got, row.want, row.why)
		}
	}
}

// A line is meant by its value however it is written, unless it has a part number.
func TestMeansLine(t *testing.T) {
	line := &bom.Line{Designators: []string{"R1"}, Value: "4k7", Part: "4k7"}
	numbered := &bom.Line{Designators: []string{"R1"}, Value: "4k7", Number: "RES-4K7", Part: "RES-4K7"}
	for _, row := range []struct {
		key  string
		line *bom.Line
		want bool
	}{{"4k7", line, true}, {"4.7 kΩ", line, true}, {"4.7k", line, true}, {"47k", line, false}, {"4k7 0603", line, false},
		{"4k7", numbered, false}, {"RES-4K7", numbered, true}} {
		if got := MeansLine(row.key, row.line); got != row.want {
			t.Errorf("%q means %s: %v, want %v", row.key, row.line.Part, got, row.want)
		}
	}
}

// TestGatherShort: a part that goes by a short name is the one that the price sheet has under
// the long one, by either name.
func TestGatherShort(t *testing.T) {
	const long, short = "HX100 own:SOT-23_Case", "HX100 SOT-23"
	unit := &bom.Assembly{Lines: []*bom.Line{{Designators: []string{"U1"}, Value: "HX100", Package: "own:SOT-23_Case", Part: short, Spelled: long}}}
	for _, c := range []struct{ sheet, want string }{{long, long}, {short, short}, {"", short}} {
		known := Gather(&bom.Prices{Offers: []bom.Offer{{Part: c.sheet}}}, unit)
		for _, name := range []string{long, short} {
			if got, ok := known.Named(name); !ok || got != c.want {
				t.Errorf("%s, where the price sheet has %q, is %q, want %q", name, c.sheet, got, c.want)
			}
		}
	}
}
