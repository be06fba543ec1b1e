package sheet

import (
	"strings"
	"testing"

	"tenoff/bom"
)

// TestLampsWithLeads: a lamp of which a value, a package or a description says the diameter has
// leads, a resistor for it has none; common practice, no source.
func TestLampsWithLeads(t *testing.T) {
	read, problems := ReadBOM("u.csv", files(csvTable("u.csv", `Designator,Value,Description,Package
D1,,"LED, 5mm",
D2,LED 3 mm red,,
LED3,LED,red,5mm
D4,RGB,RGB LED 5 mm,
D5,LED red,0603,
D6,LED,2 mm high,0805
R1,220R,for the LED 5mm,
`)), Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	type as struct {
		mount  bom.Mount
		joints int
	}
	want := map[string]as{"D1": {bom.THT, 2}, "D2": {bom.THT, 2}, "LED3": {bom.THT, 2}, "D4": {bom.THT, 4},
		"D5": {bom.SMT, 2}, "D6": {bom.SMT, 2}, "R1": {bom.SMT, 2}}
	for l := range read.MadeLines() {
		if got := (as{l.Mount, l.Joints.Count}); got != want[strings.Join(l.Designators, "")] {
			t.Errorf("%s: %+v", l.Designators, got)
		}
	}
}
