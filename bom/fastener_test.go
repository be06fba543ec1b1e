package bom

import (
	"strings"
	"testing"
)

func TestReadDescription(t *testing.T) {
	for _, c := range []struct {
		source, text string
		want         Said
	}{
		// Titles of the standards, and designations as they prescribe them.
		{"ISO 7045 pan head screws", "ISO 7045 M3x8", Said{Kind: KindFastener}},
		{"ISO 7046 countersunk screws", "ISO 7046-1 - M3 x 10 - 4.8 - H", Said{Kind: KindFastener}},
		{"ISO 4762 socket head cap screws", "Hexagon socket head cap screw ISO 4762 - M5 x 20 - 12.9", Said{Kind: KindFastener}},
		{"DIN 912, withdrawn for ISO 4762", "DIN 912 M3x12", Said{Kind: KindFastener}},
		{"DIN 912, one word", "screw, DIN912-M3", Said{Kind: KindFastener}},
		{"ISO 4032 hexagon nuts", "ISO 4032 - M3 - 8", Said{Kind: KindFastener}},
		{"ISO 7089 plain washers", "washer ISO 7089 - 3 - 200 HV", Said{Kind: KindFastener}},
		{"ISO 7380 button head screws", "ISO 7380-1 M3x6", Said{Kind: KindFastener}},
		{"ISO 1481 tapping screws, thread by ISO 1478", "ISO 1481 ST2.9 x 9.5 C", Said{Kind: KindFastener}},
		{"DIN EN ISO 10642 countersunk socket screws", "DIN EN ISO 10642 M4x16", Said{Kind: KindFastener}},
		{"DIN 985 lock nuts", "DIN 985 M3 A2", Said{Kind: KindFastener}},
		{"ASME B18 fasteners", "ASME B18.6.3 4-40 x 3/8", Said{Kind: KindFastener}},
		// Common practice, no source.
		{"thread and length", "M3x8", Said{Kind: KindFastener}},
		{"thread and length with a gap", "pan head M2.5 × 10 mm", Said{Kind: KindFastener}},
		{"a word and a thread", "hex nut M3, steel", Said{Kind: KindFastener}},
		{"a word first", "Screw, self-tapping", Said{Kind: KindFastener}},
		{"a word last", "nylon washer", Said{Kind: KindFastener}},
		{"a thread of inches", "machine screw 4-40 UNC", Said{Kind: KindFastener}},
		{"a word and a size", "wood screw 3x20", Said{Kind: KindFastener}},
		{"a word and a size in mm", "Self-tapping screw 2.9 × 9.5 mm", Said{Kind: KindFastener}},
		{"a size of something else", "paste for small screws 3x20", Said{}},
		{"German", "Unterlegscheibe 3,2", Said{Kind: KindFastener}},
		{"French", "Écrou M3", Said{Kind: KindFastener}},
		{"Spanish", "tornillo 3 x 10", Said{Kind: KindFastener}},
		{"Italian", "Vite M3 testa cilindrica", Said{Kind: KindFastener}},
		{"a spacer of one's own", "3D printed spacer", Said{}},
		{"an insert of one's own", "M3 3D-printed insert", Said{}},
		{"spacer", "Standoff M3 10 mm female-female", Said{Kind: KindFastener}},
		{"a switch with its nut is none", "toggle switch with nut M6", Said{}},
		{"a trimmer", "potentiometer with nut and washer", Said{}},
		{"a terminal by screws", "screw terminal 2 way", Said{}},
		{"a thing with screws", "fan with 4 screws", Said{}},
		{"a kit of them is bought as one", "M2.5 screw & nut kit", Said{}},
		{"many sizes in a box", "M3 screws, assorted", Said{}},
		{"a set", "screw set M3", Said{}},
		{"a pack", "flat head screw M4 x 8 (100 pack)", Said{}},
		{"many pieces", "M3 nuts 50pcs", Said{}},
		{"no set", "set screw M3 x 4", Said{Kind: KindFastener}},
		{"a standard of something else", "ISO 7816 card reader", Said{}},
		{"a connector by DIN 41612", "DIN 41612 male 96 pins", Said{}},
		{"a connector with screws", "connector with screws ISO 7045", Said{}},
		{"a part number with M in it", "M24C02 memory", Said{}},
		// Inserts; DIN 16903 has those for plastic moldings.
		{"heat-set", "heat-set insert M3", Said{Kind: KindInsert}},
		{"threaded", "Threaded insert, brass, M3 x 5.7", Said{Kind: KindInsert}},
		{"by its standard", "DIN 16903 M3", Said{Kind: KindInsert}},
		{"heat-set nut", "heatset nut M2.5", Said{Kind: KindInsert}},
		{"a word alone is too little", "insert this way up", Said{}},
		{"knobs with one", "knob with brass insert", Said{}},
		// EN 50525 and HD 361 (cable designations), UL 758 (styles), DIN VDE 0812.
		{"EN 50525", "H05V-K 0.75 black", Said{Kind: KindWire}},
		{"EN 50525, sheathed", "H05VV-F 3G0.75", Said{Kind: KindWire}},
		{"EN 50525, rubber", "H07RN-F 3G1.5", Said{Kind: KindWire}},
		{"DIN VDE 0812", "LiYY 4 x 0.25", Said{Kind: KindWire}},
		{"UL 758", "UL1007 24AWG red", Said{Kind: KindWire}},
		{"AWG", "AWG 22 stranded", Said{Kind: KindWire}},
		{"a word", "hook-up wire, red", Said{Kind: KindWire}},
		{"ribbon", "Ribbon cable 10 way", Said{Kind: KindWire}},
		{"a tie is none", "cable tie 100 mm", Said{}},
		{"a connector for wires", "wire to board connector", Said{}},
		{"a connector for sizes", "crimp terminal 22-26 AWG", Said{}},
		{"wound of wire", "resistor, wire wound, 5 W", Said{}},
		{"four wires of something", "4-wire fan", Said{}},
		{"with a cable", "speaker with cable", Said{}},
		{"a material's class of UL 94", "UL94 V-0", Said{}},
		// Mounts.
		{"a word of the mount", "resistor 1 % SMD", Said{Mount: SMT}},
		{"two words of it", "socket, through hole", Said{Mount: THT}},
		{"short", "led 5 mm THT", Said{Mount: THT}},
		{"both", "adapter SMD to THT", Said{}},
		{"inside a word", "QXSMDQ path", Said{}},
		// Not fitted: common practice, no source.
		{"DNP", "DNP", Said{NotFitted: true}},
		{"beside a value", "10k DNP", Said{NotFitted: true}},
		{"an empty place", "Empty (Spare)", Said{NotFitted: true}},
		{"a spare one", "spare", Said{}},
		{"an empty box", "Empty enclosure", Said{}},
		{"in brackets", "100n (DNF)", Said{NotFitted: true}},
		{"DNI", "dni", Said{NotFitted: true}},
		{"do not place", "do not place", Said{NotFitted: true}},
		{"do not populate", "Do Not Populate", Said{NotFitted: true}},
		{"not fitted", "resistor, not fitted", Said{NotFitted: true}},
		{"before a sign", "not fitted; for tests", Said{NotFitted: true}},
		{"before a dash", "do not fit - see note", Said{NotFitted: true}},
		{"no stuff", "no stuff", Said{NotFitted: true}},
		{"one word", "NOSTUFF", Said{NotFitted: true}},
		{"NA alone", "NA", Said{NotFitted: true}},
		{"N/A says nothing of fitting", "n/a", Said{}},
		{"NC alone", "NC", Said{NotFitted: true}},
		{"NC of a contact", "relay 1 NC contact", Said{}},
		{"a dielectric", "NP0", Said{}},
		{"to be minded, and fitted", "do not place near the edge", Said{}},
		{"fitted", "fitted", Said{}},
		{"a number with it", "DNP100", Said{}},
		// Nothing to buy.
		{"hole", "Mounting hole M3", Said{Nothing: true}},
		{"test point", "test point 1 mm", Said{Nothing: true}},
		{"fiducial", "Fiducial mark", Said{Nothing: true}},
		{"a test point of something", "test point, brass turret", Said{}},
		{"holes of something", "bracket with 2 holes", Said{}},
		{"nothing said", "", Said{}},
		{"prose", "quad amplifier, rail to rail", Said{}},
	} {
		if got := ReadDescription(c.text); got != c.want {
			t.Errorf("%s: %q gives %+v, want %+v", c.source, c.text, got, c.want)
		}
	}
	if got := ReadDescription(strings.Repeat("é", valueBytes) + " DNP"); got != (Said{}) {
		t.Errorf("beyond the bound: %+v", got)
	}
}

func FuzzReadDescription(f *testing.F) {
	for _, text := range []string{"ISO 7045 M3x8", "DIN 912", "ASME B", "heat-set insert", "H05V-K", "UL1007 AWG", "do not fit -", "not", "N.A.", "M", "ST2.", "\xff\xfe DNP"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s := ReadDescription(text)
		if s != ReadDescription(text) {
			t.Fatalf("%q reads in two ways", text)
		}
		if s.Kind != "" && s.Kind != KindFastener && s.Kind != KindInsert && s.Kind != KindWire || s.Nothing && s.Kind != "" {
			t.Fatalf("%q: %+v", text, s)
		}
		if cut := text + "\n"; len(text) < valueBytes && s != ReadDescription(cut) {
			t.Fatalf("%q: a line feed makes it another", text)
		}
	})
}
