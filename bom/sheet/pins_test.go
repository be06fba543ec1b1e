package sheet

import (
	"strings"
	"testing"
)

// TestPinsOfConnectors: a connector has as many joints as pins are said, another part does not;
// common practice, no source.
func TestPinsOfConnectors(t *testing.T) {
	read, problems := ReadBOM("u.csv", files(csvTable("u.csv", "Designator,Description,Value\nJ1,\"8-pin, angled\",KX\nCN2,battery,2 pins\nSW1,4 position slide,S2\nU3,for 16 pins,HX\n")), Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	want := map[string]int{"J1": 8, "CN2": 2, "SW1": 2, "U3": 8}
	for l := range read.MadeLines() {
		if n := want[strings.Join(l.Designators, "")]; n > 0 && l.Joints.Count != n {
			t.Errorf("%s has %d joints, want %d", l.Designators, l.Joints.Count, n)
		}
	}
}
