package bom

import "testing"

// Inch and foot are those of NIST SP 811 (2008), appendix B.8; the words are common
// practice, no source.
func TestSplitQuantity(t *testing.T) {
	for _, c := range []struct {
		text, figure, scale string
		want                Amount
	}{
		{"4", "4", "1", Amount{}},
		{"2 pcs", "2", "1", Amount{}},
		{"x4", "4", "1", Amount{}},
		{"12\u4e2a", "12", "1", Amount{}},
		{"two", "2", "1", Amount{}},
		{"Three pcs", "3", "1", Amount{}},
		{"\u4e00\u5377", "1", "1", Amount{Sets: "\u5377"}},
		{"one roll", "1", "1", Amount{Sets: "roll"}},
		{"1 pair", "1", "1", Amount{Sets: "pair"}},
		{"2 Sets", "2", "1", Amount{Sets: "sets"}},
		{"1\u5957", "1", "1", Amount{Sets: "\u5957"}},
		{"0,3 m", "0,3", "1", Amount{Length: true}},
		{"30 cm", "30", "0.01", Amount{Length: true}},
		{"300mm", "300", "0.001", Amount{Length: true}},
		{"10 ft", "10", "0.3048", Amount{Length: true}},
		{"6 in.", "6", "0.0254", Amount{Length: true}},
		{"312 g", "312", "1", Amount{Mass: true}},
		{"1.2 kg", "1.2", "1000", Amount{Mass: true}},
		{"8-10", "10", "1", Amount{Open: true}},
		{"8 \u2013 10", "10", "1", Amount{Open: true}},
		{"2 oder 3 *)", "3", "1", Amount{Open: true}},
		{"8 to 10 pcs", "10", "1", Amount{Open: true}},
		{"0 \u00e0 3", "3", "1", Amount{Open: true}},
		{"1 or more", "1", "1", Amount{Open: true}},
		{"up to 8", "8", "1", Amount{Open: true}},
		{"about 4m", "4", "1", Amount{Length: true, Open: true}},
		{"~20", "20", "1", Amount{Open: true}},
		{"5+", "5", "1", Amount{Open: true}},
		{"8 banks", "8", "1", Amount{Open: true}},
		{"4 dozen", "4", "12", Amount{}},
		{"1 pack of 45", "1", "1", Amount{Sets: "pack"}},
		{"1 set (3 pieces)", "1", "1", Amount{Sets: "set"}},
		{"1 (one order holds 2)", "1", "1", Amount{}},
		{"80 - 75", "80", "1", Amount{Open: true}},
	} {
		a, ok := SplitQuantity(c.text)
		c.want.Figure, c.want.Scale = a.Figure, a.Scale
		if !ok || a.Figure != c.figure || a.Scale.String() != c.scale || a != c.want {
			t.Errorf("%q gives %+v %v", c.text, a, ok)
		}
	}
	for _, text := range []string{"", "some", "pair", "several", "a few", "10-8", "16/40", "1M1", "100 ohm", "25 V", "10k", "5 mA", "-1", "1-", "A-2", "ten of"} {
		if a, ok := SplitQuantity(text); ok {
			t.Errorf("%q gives %+v", text, a)
		}
	}
}

// A quantity that is read has a figure, a scale over 0, and one unit at most.
func FuzzSplitQuantity(f *testing.F) {
	for _, text := range []string{"4", "8-10", "about 4m", "two pairs", "一卷", "x 3", "2 oder 3 *)", "312 g", "4 dozen", "1,5 kg", "~", "up to", "à 3"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, ok := SplitQuantity(text)
		if ok && (a.Figure == "" || !isDigit(a.Figure[0]) || !a.Scale.IsPositive() || a.Length && a.Mass || (a.Length || a.Mass) && a.Sets != "") {
			t.Errorf("%q gives %+v", text, a)
		}
	})
}
