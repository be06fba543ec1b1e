package sheet

import "testing"

// TestPriceOfPack: the price of a pack is divided by its pieces where another column holds
// price × quantity ÷ pieces, and not where one row says otherwise.
func TestPriceOfPack(t *testing.T) {
	const head = "Ref,Qty,Value,Bought,Price,Per board\n"
	for _, c := range []struct{ why, last, want string }{
		{"all rows bear it out", "U1,1,HX1,10,4.20,0.42\n", "0.005"},
		{"one row is of one piece", "U1,1,HX1,1,4.20,4.20\n", "0.005"},
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
