package sheet

import (
	"cmp"
	"strings"
	"testing"

	"tenoff/bom"
)

// TestCostColumn: what is headed Cost is what one piece costs or what all in its row do, as a
// total or the quantities tell; where nothing does it is left out, and that is told.
func TestCostColumn(t *testing.T) {
	const rows = "4,foot,2.00\n2,knob,3.00\n1,box,6.00\n"
	for _, c := range []struct{ why, text, want, told string }{
		{"the total is that of the rows", "Qty,Item,Cost\n" + rows + ",Total,11.00\n", "0.5", "what all pieces"},
		{"the total is that of the pieces", "Qty,Item,Cost\n" + rows + ",Total,20.00\n", "2", "read as Price"},
		{"each, in brackets", "Qty,Item,Cost (each)\n" + rows, "2", "read as Price"},
		{"each, whatever the total", "Qty,Item,Cost (USD each)\n" + rows + ",Total,11.00\n", "2", "read as the heading says"},
		{"several, in brackets", "Qty,Item,Price (all pcs)\n" + rows + ",Total,11.00\n", "0.5", "that of its whole row"},
		{"no price", "Qty,Item,CAD part\n" + rows, "", "not known"},
		{"no total", "Qty,Item,Cost\n" + rows, "", "may hold what one piece"},
		{"a total of neither", "Qty,Item,Cost\n" + rows + ",Total,12.00\n", "", "may hold what one piece"},
		{"one of each", "Qty,Item,Est. cost (USD)\n1,foot,2.00\n1,knob,3.00\n", "2", "read as Price"},
		{"tax under single pieces", "Qty,Item,Cost\n1,foot,2.00\n1,knob,3.00\n1,box,6.00\n,Tax,1.00\n,Total,12.00\n", "2", "read as Price"},
		{"headed as a total", "Qty,Item,Ext. cost\n" + rows, "0.5", "what all pieces"},
		{"a total beside what cannot be told", "Qty,Item,Cost,Coût total\n4,foot,1.90,2.00\n2,knob,1.40,3.00\n", "0.5", "what all pieces"},
		{"the fewest that are sold", "Qty,MOQ,Item,Total price\n4,10,foot,2.00\n2,1,knob,3.00\n1,1,box,6.00\n", "0.2", "what all pieces"},
		{"of a batch", "Qty,Item,Total cost (10 units)\n" + rows, "", "not known"},
		{"one price is headed as such", "Qty,Item,Est. price,Total cost\n4,foot,0.50,2.00\n", "0.5", "not known"},
		{"a currency beside it", "Qty,Item,Unit Price INR\n" + rows, "2", ""},
		{"in Catalan", "#,Component,Preu €,Unitats,Total\n1,foot,0.50,4,2.00\n2,knob,1.50,2,3.00\n", "0.5", ""},
		{"the cost of a part is its row's", "Cost,Qty,Item,Part cost\n0.50,4,foot,2.00\n1.50,2,knob,3.00\n", "0.5", ""},
		{"of a hundred", "Qty,Item,Price/100\n" + rows, "0.02", "what 100 pieces cost"},
		{"of a thousand", "Qty,Item,Price (USD) per 1k\n" + rows, "0.002", "what 1000 pieces cost"},
		{"of as many as the cell says", "Qty,Item,Price/100\n4,foot,$2.00/50\n2,knob,3.00\n", "0.04", "what 100 pieces cost"},
		{"of one, as the cell says", "Qty,Item,Price/100\n4,foot,2.00 each\n2,knob,3.00\n", "2", "what 100 pieces cost"},
		{"of devices", "Qty,Item,Total cost per 3 devices\n" + rows, "", "not known"},
		{"from a hundred on", "Qty,Item,Unit price / 100\n" + rows, "", "not known"},
		{"a currency before it", "Qty,Item,USDPrice\n" + rows, "2", ""},
		{"a unit and a currency", "Qty,Item,unit_usd\n" + rows, "2", ""},
		{"postage is in it", "Qty,Item,Cost (accounts for shipping)\n" + rows + ",Total,11.00\n", "0.5", "what all pieces"},
		{"headed by the currency", "Name,Amount,EUR,Total EUR\nfoot,4,2.00,8.00\nknob,2,3.00,6.00\nbox,1,6.00,6.00\n", "2", "read as Price"},
		{"no quantities", "Item,Cost,Link\nfoot,2.00,x\nknob,3.00,y\n", "2", "read as Price"},
		{"of one device, with those of packs", "Part,Quantity,Pack of,Price for pack,Price for 1 module\nfoot,4,10,20.00,8.00\nknob,1,5,5.00,1.00\n", "", "not known"},
		{"a bare total that adds up", "Qty,Item,Total\n" + rows + ",Total,11.00\n", "0.5", "what all pieces"},
		{"a bare total in a currency", "Qty,Item,Subtotal\n4,foot,$2\n2,knob,$3\n", "0.5", "what all pieces"},
		{"a bare total that is money by its decimals", "Qty,Item,Summe\n4,foot,2.10\n2,knob,3\n", "0.525", "holds money"},
		{"a bare total that may count", "Qty,Item,Total\n4,foot,40\n2,knob,30\n", "", "or how many"},
		{"a bare total of fractions that may count", "Qty,Item,Total\n0.5,foot,2.50\n2,knob,10\n", "", "or how many"},
		{"a bare total that adds up and may count", "Qty,Item,Total\n4,foot,40\n2,knob,20\n1,box,10\n,Total,70\n", "", "or how many"},
		{"a bare total beside price breaks", "Qty,Item,@1,Total\n4,foot,0.50,2.00\n2,knob,1.50,3.00\n", "0.5", "not known"},
		{"rounded to cents", "Cost,Qty,Item,Sum\n0.33,3,foot,1.00\n1.50,2,knob,3.00\n6,1,box,6\n", "0.33", "read as Price"},
		{"more than rounded", "Cost,Qty,Item,Sum\n0.33,3,foot,1.02\n1.50,2,knob,3.00\n6,1,box,6\n", "", "may hold what one piece"},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{})
		if problems.Failed() {
			t.Fatal(c.why, problems)
		}
		got, told := "", c.told == ""
		if b := read.Lines[0].Offered.Breaks; len(b) > 0 {
			got = b[0].Price.String()
		}
		for _, p := range problems {
			told = told || strings.Contains(p.What, c.told)
			if p.Severity == bom.Warning && !strings.Contains(c.told, "may hold") && strings.Contains(p.What, "add up") && !strings.Contains(p.What, cmp.Or(c.told, "add up")) {
				t.Errorf("%s: %s", c.why, p.What)
			}
		}
		if got != c.want || !told {
			t.Errorf("%s: %q, want %q; told %v in %v", c.why, got, c.want, told, problems)
		}
	}
}
