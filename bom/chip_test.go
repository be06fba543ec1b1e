package bom

import "testing"

func TestChipSizePairs(t *testing.T) {
	// Inch and metric codes of chip packages, as IEC 60115-8 and the land
	// pattern standard IPC-7351 use them (standards named from memory).
	for _, c := range []struct{ inch, metric string }{
		{"0201", "0603M"}, {"0402", "1005M"}, {"0603", "1608M"}, {"0805", "2012M"}, {"1206", "3216M"},
		{"1210", "3225M"}, {"2512", "6432M"},
		// From memory.
		{"01005", "0402M"}, {"1808", "4520M"}, {"1812", "4532M"}, {"2010", "5025M"}, {"2220", "5750M"},
		{"0306", "0816M"}, {"0508", "1220M"}, {"0612", "1632M"}, {"1008", "2520M"}, {"1020", "2550M"}, {"1218", "3246M"}, {"1225", "3264M"},
		{"1411", "3528M"}, {"1806", "4516M"}, {"1825", "4564M"}, {"2225", "5764M"}, {"2312", "6032M"}, {"2917", "7343M"},
	} {
		for _, text := range []string{c.metric, c.inch + " inch", c.inch + "/" + c.metric} {
			metric, inch, ambiguous, ok := ChipSize(text)
			if metric != c.metric || inch != c.inch || ambiguous || !ok {
				t.Errorf("%s: %s %s %v %v", text, metric, inch, ambiguous, ok)
			}
		}
		metric, inch, ambiguous, ok := ChipSize(c.inch)
		if metric != c.metric || inch != c.inch || !ok || ambiguous != (c.inch == "0402" || c.inch == "0603") {
			t.Errorf("bare %s: %s %s %v %v", c.inch, metric, inch, ambiguous, ok)
		}
		// An inch code is the size in hundredths of an inch, a metric one in
		// tenths of a millimetre: they must agree within the rounding of both.
		if c.inch == "01005" {
			continue
		}
		for i := 0; i < 4; i += 2 {
			in, mm := atoi(c.inch[i:i+2]), atoi(c.metric[i:i+2])
			if diff := float64(in)*2.54 - float64(mm); diff < -2.6 || diff > 2.6 {
				t.Errorf("%s and %s are not one size", c.inch, c.metric)
			}
		}
	}
}

func TestChipSizeWriting(t *testing.T) {
	for _, c := range []struct {
		why, text, metric string
		ambiguous         bool
	}{
		{"class letter and underscore", "R_0603", "1608M", true},
		{"class letter glued", "C0805", "2012M", false},
		{"lower case", "led 1206", "3216M", false},
		{"both codes", "0603 (1608 metric)", "1608M", false},
		{"both codes, joined", "R_0603_1608Metric", "1608M", false},
		{"both codes, metric first", "1608M (0603)", "1608M", false},
		{"metric said in a word", "0603 metric", "0603M", false},
		{"inch said in a word", "0603 in", "1608M", false},
		{"a code that is metric alone", "2012", "2012M", false},
		{"a code that is inch alone", "0201", "0603M", false},
		{"SMD before", "SMD-0402", "1005M", true},
		{"full width", "０８０５", "2012M", false},
		{"in a longer name, both codes", "R_0402_1005Metric_Pad0.72x0.64mm_HandSolder", "1005M", false},
		{"in a library", "shelf_smd:C_0805", "2012M", false},
		{"a suffix", "C0805K", "2012M", false},
		{"a land pattern, which is metric", "CAPC1608X90N", "1608M", false},
		{"a size with two metric codes", "R_2512_6332Metric", "6432M", false},
		{"a code first, an unknown word after it", "0603 QX", "1608M", true},
	} {
		metric, _, ambiguous, ok := ChipSize(c.text)
		if !ok || metric != c.metric || ambiguous != c.ambiguous {
			t.Errorf("%s: %q gives %q %v %v, want %s %v", c.why, c.text, metric, ambiguous, ok, c.metric, c.ambiguous)
		}
	}
	for _, c := range []struct{ why, text string }{
		{"empty", ""},
		{"another package", "SOT-23"},
		{"a package with a number of four digits", "TO-2205"},
		{"an array has more terminals", "4x0603"},
		{"an array by its word", "0603 array"},
		{"a light with more terminals", "RGB 0805"},
		{"two sizes", "0603 0805"},
		{"metric and inch at once", "0603 metric inch"},
		{"two codes, the wrong way about", "0603 inch 0201 metric"},
		{"an inch code called metric", "0805M"},
		{"a metric code called inch", "1608 inch"},
		{"metric of nothing", "metric 0603"},
		{"a longer number", "10603"},
		{"three codes", "0603 1608 0603"},
		{"an unknown word before it", "KNOB_0603"},
		{"a connector", "CONN_2010"},
		{"a switch", "SW_PUSH_6x6_1206"},
		{"four pins", "R_0603_4Pin"},
		{"leads", "0603 THT"},
		{"maybe a day", "06-03"},
		{"a length", "0603x12"},
	} {
		if metric, inch, _, ok := ChipSize(c.text); ok || metric != "" || inch != "" {
			t.Errorf("%s: %q is taken for %s %s", c.why, c.text, metric, inch)
		}
	}
}

func TestPackageKey(t *testing.T) {
	for _, same := range []string{"SOT-23", "sot 23", "SOT_23", "S.O.T.23", "SOT–23", "ＳＯＴ２３"} {
		if got := PackageKey(same); got != "SOT23" {
			t.Errorf("%q gives %q", same, got)
		}
	}
	if PackageKey("TO-220") == PackageKey("TO-92") {
		t.Error("two packages have one key")
	}
}
