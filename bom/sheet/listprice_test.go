package sheet

import (
	"slices"
	"testing"

	"tenoff/bom"
)

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

// TestPricesOfOneName: each row costs its own price, also where two are called the same; of
// one part number the first counts.
func TestPricesOfOneName(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"Qty,Item,Unit price\n1,Toggle switch,5.85\n2,Toggle switch,4.97\n3,Toggle switch,5.85\n", []string{"Toggle switch", "Toggle switch (row 3)"}},
		{"Qty,Part number,Unit price\n1,LF-7,5.85\n2,LF-7,4.97\n", []string{"LF-7"}},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{})
		if problems.Failed() {
			t.Fatal(problems)
		}
		euro, _ := bom.FindCurrency("EUR")
		prices, _ := PricesOf(read, euro, nil)
		var got []string
		for _, o := range prices.Offers {
			got = append(got, o.Part)
		}
		if !slices.Equal(got, c.want) || read.Lines[1].Part != got[len(got)-1] {
			t.Errorf("%s: offers for %q, lines of %q", c.text, got, read.Lines[1].Part)
		}
	}
}
