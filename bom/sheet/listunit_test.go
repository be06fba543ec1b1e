package sheet

import (
	"fmt"
	"slices"
	"testing"

	"tenoff/bom"
)

// TestPriceOfUnit: what a price of a list is for by the unit beside it; common practice, no
// source.
func TestPriceOfUnit(t *testing.T) {
	for _, c := range []struct{ why, head, row, want string }{
		{"pieces, of which some are needed", "Unit", "4,,100 pcs,2.50,", "0.025"},
		{"a total of so many hundredths", "Unit", "4,,100 pcs,2.50,0.10", "0.025"},
		{"a total of whole packs", "Unit", "4,,100 pcs,2.50,10.00", "2.5"},
		{"a whole pack", "UoM", "1,,pack of 100,2.50,", "2.5"},
		{"one piece of many, as the designator says", "UoM", "1,U1,pack of 100,2.50,", "0.025"},
		{"half a pack", "UoM", "0.5,,pack of 2,2.50,", "2.5"},
		{"the stock of none is no total", "UoM", "4,,per 1k,2.50,0", "0.0025"},
		{"pieces", "Einheit", "4,,Stück,2.50,", "2.5"},
		{"metres", "U/M", "4,,100 m,2.50,", "2.5"},
		{"a bare number", "Unit", "4,,100,2.50,", "2.5"},
		{"a heading of something else", "Board", "4,,100 pcs,2.50,", "2.5"},
	} {
		text := "Qty,Ref," + c.head + ",Price,Sum,Item\n" + c.row + ",foot\n2,,pcs,1.50,3.00,knob\n"
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", text)), Options{})
		if problems.Failed() {
			t.Fatal(c.why, problems)
		}
		for l := range read.MadeLines() {
			if b := l.Offered.Breaks; l.Description == "foot" && b[0].Price.String() != c.want {
				t.Errorf("%s: %s, want %s", c.why, b[0].Price, c.want)
			}
		}
	}
}

// TestTotalsOfUnit: totals of rows and of the list that hold for prices of so many pieces are not
// complained of.
func TestTotalsOfUnit(t *testing.T) {
	_, problems := ReadBOM("u.csv", files(csvTable("u.csv", "Qty,Unit,Price,Total,Item\n400,100 pcs,2.50,10.00,foot\n2,pcs,1.50,3.00,knob\n1,pcs,6.00,6.00,box\n,,,19.00,Total\n")), Options{})
	for _, p := range problems {
		if p.Severity == bom.Warning {
			t.Error(p)
		}
	}
}

// TestBreaksOfUnit: price breaks beside a unit are for as many pieces as the price is; common
// practice, no source.
func TestBreaksOfUnit(t *testing.T) {
	for _, c := range []struct{ why, heads, row, want string }{
		{"beside a price", "Price,@100", "2.50,2.00", "1 0.025 100 0.02 "},
		{"alone", "@1,@100", "2.50,2.00", "1 0.025 100 0.02 "},
		{"one that says itself for how many", "Price,@100", "2.50,0.02 / pc", "1 0.025 100 0.02 "},
		{"a total of so many hundredths", "@10,Total", "2.50,0.10", "10 0.025 "},
		{"a total of whole packs", "@2,Total", "2.50,10.00", "2 2.5 "},
		{"a stock that is as many is no total", "Price,Stock", "2.50,10", "1 0.025 "},
	} {
		text := "Qty,Item,Unit," + c.heads + "\n4,foot,100 pcs," + c.row + "\n2,knob,pcs,1.50,\n"
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", text)), Options{})
		if problems.Failed() {
			t.Fatal(c.why, problems)
		}
		got := ""
		for _, b := range slices.Collect(read.MadeLines())[0].Offered.Breaks {
			got += fmt.Sprint(b.From, " ", b.Price, " ")
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.why, got, c.want)
		}
	}
}
