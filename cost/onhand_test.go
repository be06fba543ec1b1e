package cost_test

import (
	"testing"

	"tenoff/cost"
)

// Stock of one part may be of several givers and values: it is taken in the order of the
// file. By hand: 20 are required; 8 of the club's at 0.50, 5 of the maker's at 0.33
// and 7 of the sponsor's ten at 0.25 are 4.00, 1.65 and 1.75; nothing is bought.
func TestSeveralRowsOnHand(t *testing.T) {
	in := input{
		"unit.csv":             "Part number,Quantity,Kind\nA,2,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv": "Supplier,Delivery\nLarch,0\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nA,Larch,1.00\n",
		"prices/on-hand.csv":   "Part number,Quantity,Unit value,Given by\nA,8,0.50,club\nA,5,0.33,\nA,10,0.25,sponsor\n",
	}
	run := in.read(t)
	run.Record = true
	b := one(t, run, 10)
	equal(t, "from stock", b.Total.Stock, "7.40")
	equal(t, "cash out", b.Total.Cash, "0")
	for name, want := range map[string]string{"club": "4.00", cost.Maker: "1.65", "sponsor": "1.75"} {
		found := false
		for _, p := range b.Payers {
			if p.Name == name {
				found = true
				equal(t, "stock of "+name, p.Stock, want)
			}
		}
		if !found {
			t.Errorf("nothing is borne by %s", name)
		}
	}
	for i, want := range []string{"0", "0", "3"} {
		if l := b.Record.Left[i]; l.Planned().String() != want {
			t.Errorf("row %d: %s left; want %s", i+1, l.Planned(), want)
		}
	}
	more := one(t, run, 12) // 24 are required, and 1 is bought
	equal(t, "from stock of 12", more.Total.Stock, "8.15")
	equal(t, "cash out of 12", more.Total.Cash, "1.00")
}
