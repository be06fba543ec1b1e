package sheet

import (
	"strings"
	"testing"

	"tenoff/bom"
)

// TestTaxOfLists: prices with tax are what is paid, and are taken; of prices without it that
// is told. What an order is charged besides is no line: counted as one it would be paid once
// for each unit.
func TestTaxOfLists(t *testing.T) {
	const without, beside, charge = "as they stand, without tax", "prices with tax are taken", "is no part of a unit"
	for _, c := range []struct{ why, text, want, told string }{
		{"without tax", "Qty,Item,Unit price excl. VAT (EUR)\n4,foot,2.00\n2,knob,3.00\n", "2 3", without},
		{"in French", "Qté,Désignation,Prix unitaire HT\n4,foot,2.00\n2,knob,3.00\n", "2 3", without},
		{"with tax", "Qty,Item,Price incl. VAT\n4,foot,2.40\n2,knob,3.60\n", "2.4 3.6", ""},
		{"both", "Qty,Item,Price,Price with tax\n4,foot,2.00,2.40\n2,knob,3.00,3.60\n", "2.4 3.6", beside},
		{"net and gross", "Qty,Item,Nettopreis,Bruttopreis\n4,foot,2.00,2.40\n2,knob,3.00,3.60\n", "2.4 3.6", beside},
		{"net alone", "Qty,Item,Net price\n4,foot,2.00\n2,knob,3.00\n", "2 3", ""},
		{"rows of charges", "Qty,Item,Price\n4,foot,2.00\n2,knob,3.00\n1,Shipping & handling,4.50\n,VAT (20 %),3.70\n,Total incl. VAT,22.20\n", "2 3", charge},
		{"tax under the prices", "Qty,Item,Price,Total\n4,foot,2.00,8.00\n2,knob,3.00,6.00\n,,VAT 20 %,2.80\n,,Total,16.80\n", "2 3", charge},
		{"part numbers with such letters", "Qty,Item,Price\n4,BTW69-1200,2.00\n2,GST-25,3.00\n,VAT-20%,2.00\n,VAT20%,2.00\n", "2 3", charge},
		{"parts by such words", "Qty,Item,Price\n4,shipping box,2.00\n2,tax stamp holder,3.00\n1,carriage,4.00\n1,packing,5.00\n", "2 3 4 5", ""},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{})
		if problems.Failed() {
			t.Fatal(c.why, problems)
		}
		var got []string
		for _, l := range read.Lines {
			for _, b := range l.Offered.Breaks {
				got = append(got, b.Price.String())
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: prices %s, want %s", c.why, got, c.want)
		}
		for _, what := range []string{without, beside, charge} {
			told := false
			for _, p := range append(problems, Untaxed(read)...) {
				told = told || p.Severity != bom.Note && strings.Contains(p.What, what)
			}
			if told != (what == c.told) {
				t.Errorf("%s: %q told %t: %v", c.why, what, told, problems)
			}
		}
	}
}

// TestTaxOfQuotes: a quote says of tax in the heading of its prices or in a row under them.
func TestTaxOfQuotes(t *testing.T) {
	for _, c := range []struct {
		why, text string
		said      bom.TaxSaid
		by, price string
	}{
		{"a row", "Part,Qty,Price,Total\nRS-10,10,0.10,1.00\n,,Net,1.00\n,VAT 20 %,,0.20\n", bom.WithoutTax, "VAT 20 %", "0.1"},
		{"none", "Part,Qty,Price,Total\nRS-10,10,0.10,1.00\n,VAT 0 %,,0.00\n", bom.TaxUnsaid, "", "0.1"},
		{"a part by such letters", "Part,Qty,Price\nBTW69-1200,10,0.10\n", bom.TaxUnsaid, "", "0.1"},
		// 0.20 is a fifth of the 1.00 without it, and 1.20 the line as it stands there.
		{"of which", "Part,Qty,Price,Total\nRS-10,10,0.12,1.20\n,of which VAT,,0.20\n", bom.WithTax, "of which VAT", "0.12"},
		{"on top and then of which", "Part,Qty,Price,Total\nRS-10,10,0.10,1.00\n,VAT of 20 %,,0.20\n,Total incl. VAT,,1.20\n,of which VAT,,0.20\n",
			bom.WithoutTax, "VAT of 20 %", "0.1"},
		{"a sum with tax alone", "Part,Qty,Price,Total\nRS-10,10,0.10,1.00\n,Total incl. VAT,,1.20\n", bom.TaxUnsaid, "", "0.1"},
		{"a heading", "Part,Qty,Price excl. VAT\nRS-10,10,0.10\n", bom.WithoutTax, "Price excl. VAT", "0.1"},
		{"with it", "Part,Qty,Price incl. VAT,Line total incl. VAT\nRS-10,10,0.12,1.20\n", bom.WithTax, "Price incl. VAT", "0.12"},
		{"both", "Part,Qty,Price incl. VAT,Price excl. VAT,Total incl. VAT\nRS-10,10,0.12,0.10,1.20\n", bom.WithoutTax, "Price excl. VAT", "0.1"},
		{"net of a discount", "Part,Qty,Net price\nRS-10,10,0.10\n", bom.TaxUnsaid, "", "0.1"},
		// A fifth of 10 × 0.10 is 0.20.
		{"a column", "Part,Qty,Price,VAT %,Total\nRS-10,10,0.10,20,1.00\n", bom.WithoutTax, "VAT %", "0.1"},
		{"a column and a total with it", "Part,Qty,Price,VAT rate,Total\nRS-10,10,0.10,20 %,1.20\n", bom.WithoutTax, "VAT rate", "0.1"},
		{"a column of money", "Part,Qty,Price,VAT,Total\nRS-10,10,0.10,0.20,1.20\n", bom.WithoutTax, "VAT", "0.1"},
		{"a column of none", "Part,Qty,Price,VAT %\nRS-10,10,0.10,0\n", bom.TaxUnsaid, "", "0.1"},
		{"a column of words", "Part,Qty,Price,VAT\nRS-10,10,0.10,exempt\n", bom.TaxUnsaid, "", "0.1"},
		{"a column beside prices with it", "Part,Qty,Price incl. VAT,VAT %\nRS-10,10,0.12,20\n", bom.WithTax, "Price incl. VAT", "0.12"},
		{"net and gross", "Part,Qty,Net price,Gross price,Total\nRS-10,10,0.10,0.12,1.20\n", bom.TaxUnsaid, "", "0.1"},
		{"net and gross and a column", "Part,Qty,Nettopreis,Bruttopreis,MwSt.\nRS-10,10,0.10,0.12,20\n", bom.WithoutTax, "MwSt.", "0.1"},
		{"a discount that is off", "Part,Qty,Gross price,Discount %,Net price\nRS-10,10,0.10,10,0.09\n", bom.TaxUnsaid, "", "0.09"},
		{"a discount that is not", "Part,Qty,Price,Discount %\nRS-10,10,0.10,10\n", bom.TaxUnsaid, "", "0.09"},
	} {
		parts, problems := ReadQuote("q.csv", files(csvTable("q.csv", c.text)), QuoteOptions{})
		if problems.Failed() || len(parts) != 1 {
			t.Errorf("%s: %d parts, %v", c.why, len(parts), problems)
			continue
		}
		if p := parts[0]; p.Tax != c.said || p.TaxText != c.by || p.Breaks[0].Price.String() != c.price {
			t.Errorf("%s: said %d by %q at %s, want %d by %q at %s", c.why, p.Tax, p.TaxText, p.Breaks[0].Price, c.said, c.by, c.price)
		}
	}
}

// TestTaxOfTotals: of 10 × 0.10 and a tax of 20 % the total is 1.00 or 1.20, and no other.
func TestTaxOfTotals(t *testing.T) {
	for _, total := range []string{"1.10", "1.30", "1.40"} {
		_, problems := ReadQuote("q.csv", files(csvTable("q.csv", "Part,Qty,Price,VAT %,Total\nRS-10,10,0.10,20,"+total+"\n")), QuoteOptions{})
		if !problems.Failed() {
			t.Errorf("a total of %s is taken for 1.00 or 1.20", total)
		}
	}
}
