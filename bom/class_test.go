package bom

import "testing"

// TestClassAssumption: meanings of the letters by IEEE 315-1975 section 22.4
// (from memory); mounts and joints are assumptions of this project.
func TestClassAssumption(t *testing.T) {
	for _, c := range []struct {
		why         string
		designators []string
		want        Class
	}{
		{"resistor", []string{"R12"}, Class{"R", KindPart, SMT, 2, false}},
		{"capacitor, lower case", []string{"c3"}, Class{"C", KindPart, SMT, 2, false}},
		{"inductor", []string{"L1"}, Class{"L", KindPart, SMT, 2, false}},
		{"diodes", []string{"D1", "CR2"}, Class{"D", KindPart, SMT, 2, false}},
		{"diode by its other letters", []string{"CR1"}, Class{"CR", KindPart, SMT, 2, false}},
		{"lamp", []string{"DS1"}, Class{"DS", KindPart, SMT, 2, false}},
		{"fuse", []string{"F1"}, Class{"F", KindPart, SMT, 2, false}},
		{"bead", []string{"FB1"}, Class{"FB", KindPart, SMT, 2, false}},
		{"thermistor", []string{"RT1"}, Class{"RT", KindPart, SMT, 2, false}},
		{"crystal", []string{"Y1"}, Class{"Y", KindPart, SMT, 2, false}},
		{"transistor: three joints", []string{"Q1"}, Class{"Q", KindPart, SMT, 3, false}},
		{"circuit: eight joints", []string{"U1A"}, Class{"U", KindPart, SMT, 8, false}},
		{"circuit, in the trade", []string{"IC7"}, Class{"IC", KindPart, SMT, 8, false}},
		{"jack", []string{"J1"}, Class{"J", KindPart, THT, 2, false}},
		{"plug", []string{"P1"}, Class{"P", KindPart, THT, 2, false}},
		{"relay", []string{"K1"}, Class{"K", KindPart, THT, 2, false}},
		{"switch", []string{"S1"}, Class{"S", KindPart, THT, 2, false}},
		{"switch, in the trade", []string{"SW1"}, Class{"SW", KindPart, THT, 2, false}},
		{"battery", []string{"BT1"}, Class{"BT", KindPart, THT, 2, false}},
		{"speaker", []string{"LS1"}, Class{"LS", KindPart, THT, 2, false}},
		{"transformer", []string{"T1"}, Class{"T", KindPart, THT, 2, false}},
		{"terminal block", []string{"TB1"}, Class{"TB", KindPart, THT, 2, false}},
		{"letters of no standard", []string{"X9"}, Class{"X", KindPart, THT, 2, false}},
		{"a word", []string{"KEY"}, Class{"KEY", KindPart, THT, 2, false}},
		{"a word with its letters first", []string{"USB-UART1"}, Class{"USB", KindPart, THT, 2, false}},
		{"a sign before the number", []string{"J$1"}, Class{"J", KindPart, THT, 2, false}},
		{"the first one's class", []string{"J1", "R1", "R2"}, Class{"J", KindPart, THT, 2, false}},
		{"cable", []string{"W1"}, Class{"W", KindWire, MountNone, 0, false}},
		{"hardware", []string{"H1"}, Class{"H", KindOther, MountNone, 0, true}},
		{"mechanical part", []string{"MP1"}, Class{"MP", KindOther, MountNone, 0, true}},
		{"mounting hole", []string{"MH2"}, Class{"MH", KindOther, MountNone, 0, true}},
		{"fiducial", []string{"FID1"}, Class{"FID", KindOther, MountNone, 0, true}},
		{"logo", []string{"LOGO1"}, Class{"LOGO", KindOther, MountNone, 0, true}},
		{"a drawing that was never numbered", []string{"REF**"}, Class{"REF", KindOther, MountNone, 0, true}},
		{"test point", []string{"TP1"}, Class{"TP", KindPart, THT, 1, true}},
		{"jumper", []string{"JP1"}, Class{"JP", KindPart, THT, 2, true}},
	} {
		if got, ok := ClassAssumption(c.designators); !ok || got != c.want {
			t.Errorf("%s: %v gives %+v %v, want %+v", c.why, c.designators, got, ok, c.want)
		}
	}
	for _, none := range [][]string{nil, {""}, {"12"}, {"$1"}} {
		if got, ok := ClassAssumption(none); ok || got != (Class{}) {
			t.Errorf("%q gives %+v", none, got)
		}
	}
}
