package sheet

import (
	"strings"
	"testing"
)

// TestPriceOfPack: the price of a pack is divided by its pieces where another column holds
// price × quantity ÷ pieces, and not where one row says otherwise.
func TestPriceOfPack(t *testing.T) {
	const head = "Ref,Qty,Value,Bought,Price,Per board\n"
	for _, c := range []struct{ why, last, want string }{
		{"all rows bear it out", "U1,1,HX1,10,4.20,0.42\n", "0.005"},
		{"one row is of one piece", "U1,1,HX1,1,4.20,4.20\n", "0.005"},
		{"one row has no price", "U1,1,HX1,10,,0.42\n", "0.005"},
		{"one row says otherwise", "U1,1,HX1,10,4.20,4.20\n", "5"},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", head+"\"C1,C2\",2,100n,1000,5.00,0.01\nL1,1,22u,100,10.00,0.10\n\"R1,R2,R3\",3,10k,500,2.50,0.015\n"+c.last)), Options{})
		if problems.Failed() {
			t.Fatal(problems)
		}
		if got := read.Lines[0].Sub.Lines[0].Offered.Breaks[0].Price.String(); got != c.want {
			t.Errorf("%s: %s, want %s", c.why, got, c.want)
		}
	}
}

// TestPriceOfRow: a price is that of its whole row where the prices add up to the total as
// they stand, or where another column of prices says what one costs.
func TestPriceOfRow(t *testing.T) {
	const rows = "4,foot,0.50,2.00\n2,knob,1.50,3.00\n1,box,6.00,6.00\n"
	for _, c := range []struct{ why, text, want string }{
		{"the total is their sum", "Qty,Item,Price\n4,foot,2.00\n2,knob,3.00\n1,box,6.00\n,Total,11.00\n", "0.5"},
		{"a total that nothing names", "Qty,Item,Price\n4,foot,2.00\n2,knob,3.00\n1,box,6.00\n,,11.00\n", "0.5"},
		{"the heading says that it is that of one", "Qty,Item,Unit price\n4,foot,2.00\n2,knob,3.00\n1,box,6.00\n,Total,11.00\n", "2"},
		{"the total is that of quantity × price", "Qty,Item,Price\n4,foot,0.50\n2,knob,1.50\n1,box,6.00\n,Total,11.00\n", "0.5"},
		{"no total", "Qty,Item,Price\n4,foot,2.00\n2,knob,3.00\n1,box,6.00\n", "2"},
		{"the sum of single pieces, beside that of the rows", "Qty,Item,Price,Total\n" + rows + ",Total,8.00,11.00\n", "0.5"},
		{"two columns of prices", "Qty,Item,Unit price,Price\n" + rows, "0.5"},
		{"two columns of prices, one of which the user maps", "Qty,Item,Unit price,Amount\n" + rows, "2"},
		{"the other way round", "Qty,Item,Price,Unit price\n4,foot,2.00,0.50\n2,knob,3.00,1.50\n1,box,6.00,6.00\n", "0.5"},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{Headings: map[string]string{"Amount": "Price"}})
		if problems.Failed() {
			t.Fatal(problems)
		}
		if got := read.Lines[0].Offered.Breaks[0].Price.String(); got != c.want {
			t.Errorf("%s: %s, want %s", c.why, got, c.want)
		}
	}
}

// TestFarOverTotal: prices × quantities that come to far more than the total are told, and
// not what tax and freight explain.
func TestFarOverTotal(t *testing.T) {
	for total, want := range map[string]bool{"$20.00": true, "$45.00": false, "20": false, "$900": false} {
		_, problems := ReadBOM("u.csv", files(csvTable("u.csv", "Qty,Item,Price\n20,servo,2.00\n2,knob,3.00\n1,box,6.00\nTOTAL,"+total+",\n")), Options{})
		told := false
		for _, p := range problems {
			told = told || strings.Contains(p.What, "come to 52")
		}
		if told != want {
			t.Errorf("a total of %s: told %v, want %v", total, told, want)
		}
	}
}
