package cost_test

import (
	"strings"
	"testing"

	"tenoff/cost"
)

// TestLowValueGoods checks orders of little value. "Not exceeding" includes the limit
// (HMRC internal manual INCHP02080: not exceeding £135); the value leaves out transport
// (Delegated Regulation (EU) 2015/2446 Art. 1(48)). Flat duty is that of Council
// Regulation (EU) 2026/382: 3 EUR for each heading in a consignment of up to 150 EUR:
// five alike articles 3, two headings 6, three headings 9. The other sums are computed
// from the rules.
func TestLowValueGoods(t *testing.T) {
	const offers = "Part number,Supplier,Price,Heading\nA,Far Parts,20,8541.10\nB,Far Parts,20,8533.21\nC,Far Parts,20,8542.31\nD,Far Parts,20,8536.50\nE,Far Parts,20,8517.62\n"
	list := func(rows string) string { return "Quantity,Part number,Kind\n" + rows }
	for _, c := range []struct {
		name, unit, basis, supplier, offers string // supplier: from Delivery to Flat duty per heading
		duty, tax                           string
	}{
		{"five alike articles", list("5,A,other\n"), "FOB", "0,,0,0,150,0,3", offers, "3", "0"},
		{"two headings", list("1,A,other\n1,B,other\n"), "FOB", "0,,0,0,150,0,3", offers, "6", "0"},
		{"three headings", list("1,A,other\n1,B,other\n1,C,other\n"), "FOB", "0,,0,0,150,0,3", offers, "9", "0"},
		{"five headings, VAT 19 %", list("1,A,other\n1,B,other\n1,C,other\n1,D,other\n1,E,other\n"), "FOB", "10,,0,19,150,0,3", offers, "15", "23.75"},
		{"lines without a heading are one", list("1,A,other\n1,X,other\n1,Y,other\n"), "FOB", "0,,0,0,150,0,3", offers + "X,Far Parts,1,\nY,Far Parts,1,\n", "6", "0"},
		{"freight is not compared with the limit", list("7,A,other\n"), "CIF", "18,,3.7,20,150,0,0", offers, "0", "31.60"},
		{"just at the limit", list("1,T,other\n"), "FOB", "0,,10,0,150,0,0", "Part number,Supplier,Price\nT,Far Parts,150.00\n", "0", "0"},
		{"a cent over it", list("1,T,other\n"), "FOB", "0,,10,0,150,0,0", "Part number,Supplier,Price\nT,Far Parts,150.01\n", "15", "0"},
		{"just at the limit of tax", list("1,T,other\n"), "FOB", "0,,0,10,0,150,0", "Part number,Supplier,Price\nT,Far Parts,150.00\n", "0", "0"},
		{"a top-up counts", list("2,A,other\n"), "CIF", "5,60,10,20,0,0,0", offers, "6.50", "14.30"},
		{"a line fee counts", list("1,T,other\n"), "FOB", "0,,10,0,150,0,0", "Part number,Supplier,Price,Line fee\nT,Far Parts,150.00,2\n", "15.20", "0"},
		// 40 × 5 % + 20 × 10 % + (80 − 60) × 2 % = 4.40, × (80 + 8) / 80 = 4.84.
		{"each line by its own duty, with its share of the delivery", list("2,A,other\n1,B,other\n1,C,other\n"), "CIF", "8,,2,0,0,0,0",
			"Part number,Supplier,Price,Duty %\nA,Far Parts,20,5\nB,Far Parts,20,10\nC,Far Parts,20,\n", "4.84", "0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input{"unit.csv": c.unit, "prices/settings.csv": "Setting,Value\nHome currency,EUR\nCustoms basis," + c.basis + "\n",
				"prices/suppliers.csv": "Supplier,Delivery,Minimum order,Duty %,Import tax %,Duty free up to,Tax free up to,Flat duty per heading\nFar Parts," + c.supplier + "\n",
				"prices/offers.csv":    c.offers}
			b := one(t, in.read(t), 1)
			equal(t, "duty", b.Orders[0].Duty, c.duty)
			equal(t, "tax", b.Orders[0].Tax, c.tax)
			equal(t, "landed", b.Landed, b.Orders[0].Total().String())
		})
	}
}

// TestPartsSentCount: what is sent to the assembler counts to the value of the boards that
// come back (Regulation (EU) 952/2013 Art. 71(1)(b)): a fee of 156.08, parts for 125.13 and
// boards for 72, delivery 10, FOB, 3.7 %, 20 %: duty 13.07, tax 75.26, by the rule.
func TestPartsSentCount(t *testing.T) {
	in := input{
		"unit.csv":             "Quantity,Part number,Kind,File\n1,PCB,board,pcb.csv\n",
		"pcb.csv":              "Designator,Quantity,Part number,Kind,Mount,Joints\nU1,1,CHIP,part,SMT,8\nJ1,1,PLUG,part,THT,2\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nAssembler,Far Placer\n",
		"prices/suppliers.csv": "Supplier,Delivery,Duty %,Import tax %,Parts sent count\nFar Placer,10,3.7,20,yes\nCorner Parts,0,0,0,\n",
		"prices/assembly.csv":  "Assembler,Set-up\nFar Placer,156.08\n",
		"prices/boards.csv":    "Board,Fabricator,Lot,Price\nPCB,Corner Parts,5,72\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nCHIP,Corner Parts,125.13\nPLUG,Corner Parts,9\n",
	}
	placer := func(in input) cost.Order {
		for _, o := range one(t, in.read(t), 1).Orders {
			if o.Supplier == "Far Placer" {
				return o
			}
		}
		t.Fatal("no order at the assembler")
		return cost.Order{}
	}
	o := placer(in)
	equal(t, "value", o.Value, "353.21")
	equal(t, "duty", o.Duty, "13.07")
	equal(t, "tax", o.Tax, "75.26")
	// From stock it counts with its value, whoever gave it; hand-fit parts do not.
	o = placer(in.with("prices/on-hand.csv", "Part number,Quantity,Unit value,Given by\nCHIP,1,125.13,a friend\nPCB,1,72,\nPLUG,1,9,\n"))
	equal(t, "value from stock", o.Value, "353.21")
	o = placer(in.with("prices/suppliers.csv", strings.Replace(in["prices/suppliers.csv"], "yes", "no", 1)))
	equal(t, "value where it does not count", o.Value, "156.08")
}

// TestChargesAskedInWholeCents: what a supplier asks is money of its currency: 5.721 for delivery
// is 5.72, and 50.009 at least for goods of 10.00 are 40.01 more, so that an order adds up.
func TestChargesAskedInWholeCents(t *testing.T) {
	run := input{"unit.csv": "Quantity,Part number,Kind\n1,A,other\n", "prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv": "Supplier,Delivery,Minimum order\nFar Parts,5.721,50.009\n",
		"prices/offers.csv":    "Part number,Supplier,Price,Stock\nA,Far Parts,10,1\n"}.read(t)
	run.Batches = []int{1}
	asked := compute(t, run).Batches[0].Orders[0].Asked
	equal(t, "delivery", asked.Delivery, "5.72")
	equal(t, "surcharge", asked.TopUp, "40.01")
}
