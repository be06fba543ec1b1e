package sheet

import "testing"

// TestOpenPrices: a price in a list with words about it is what is sure of it; common
// practice, no source.
func TestOpenPrices(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"3.50", "3.5"},
		{"~$39", "39"},
		{"approx. $3.50", "3.5"},
		{"ca 12", "12"},
		{"20+", "20"},
		{"$5.00 - $20.00", "20"},
		{"80 – 75", "80"},
		{"3 to 4 EUR", "4"},
		{"6.90 ea", "6.9"},
		{"0.40/pc", "0.4"},
		{"$5 per 100", "0.05"},
		{"-5", ""},
		{"3.18 (100x)", ""},
		{"4 + 3", ""},
		{"owned", ""},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", "Qty;Item;Unit price\n4;foot;"+c.text+"\n2;knob;3.10\n2;post;3.10\n")), Options{})
		if problems.Failed() {
			t.Fatal(c.text, problems)
		}
		got := ""
		if b := read.Lines[0].Offered.Breaks; len(b) > 0 {
			got = b[0].Price.String()
		}
		if got != c.want {
			t.Errorf("%q is read as %q, want %q", c.text, got, c.want)
		}
	}
}
