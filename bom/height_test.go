package bom

import "testing"

// What names say themselves: IPC-7351B's examples of its own convention hold the
// height in hundredths of a millimetre; H in a library's name is in mm. What is usual
// for a family is common practice, no source.
func TestPackageHeight(t *testing.T) {
	for _, row := range []struct {
		name string
		mm   float64 // 0: not known
		why  string
	}{
		{"SOIC127P600X175-8N", 1.75, "leads: pitch, span, height"},
		{"RESC2012X50N", 0.5, "a chip: size, height"},
		{"SOT95P280X145-5N", 1.45, "its pins do not count as a size"},
		{"QFN50P300X300X80-17N", 0.8, "two sizes of the body"},
		{"BGA121C50P11X11_600X600X100N", 1, "columns of balls are no height"},
		{"XTAL1140X470X380N", 3.8, "three sizes"},
		{"CAPRD250W52D630H1150B", 11.5, "a radial can: its height after H"},
		{"DIPS762W50P254L988H508Q8B", 5.08, "a dual in-line package"},
		{"our-lands:CP_Radial_D6.3mm_H7.2mm_P2.50mm", 7.2, "a name of a library"},
		{"H6-2.54", 0, "six pins, and no height"},
		{"Hall_H3", 0, "no millimetres"},
		{"DIP-8", 5, "usual"},
		{"R_Axial_L6.3mm", 3, "usual, whatever its length"},
		{"PinHeader_1x06_P2.54mm_Vertical", 9, "usual, whatever its pins"},
		{"LED_D5.0mm", 9, "a lamp of any diameter"},
		{"SOT-23-5", 1.1, "usual"},
		{"TO-220-3", 20, "usual"},
		{"sounder", 0, "nobody knows"},
		{"", 0, "nothing stands there"},
		{"CAPRD250W52D630H99999B", 11, "a metre is no height: what is usual"},
	} {
		if got := PackageHeight(row.name); got.Value != row.mm || got.Known != (row.mm > 0) {
			t.Errorf("%s: %+v, want %g: %s", row.name, got, row.mm, row.why)
		}
	}
}

// Every family of the heights is one that ReadPackage names.
func TestUsualHeightsAreFamilies(t *testing.T) {
	for family := range usualHeights {
		found := false
		for _, name := range []string{family, family + " 1x06", family + "-8", family + "_D5.0mm", family + "-16", family + " switch"} {
			for _, key := range ReadPackage(name).Keys() {
				found = found || key == family
			}
		}
		if !found && family != "LED" {
			t.Errorf("no package is called %q", family)
		}
	}
}
