package reports

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Names that Windows keeps for devices or does not take in a file name: Win32,
// "Naming Files, Paths, and Namespaces".
func TestOrderListNames(t *testing.T) {
	for supplier, want := range map[string]string{
		"Corner Parts":   "corner-parts",
		`a<b>c:d"e/f\g`:  "a-b-c-d-e-f-g",
		"g|h?i*j":        "g-h-i-j",
		"Far Parts. . ":  "far-parts",
		"tab\tand\x00":   "tab-and",
		"..":             "supplier",
		"CON":            "supplier-con",
		"prn.":           "supplier-prn",
		"Aux":            "supplier-aux",
		"NUL: ":          "supplier-nul",
		"COM1":           "supplier-com1",
		"lpt9":           "supplier-lpt9",
		"COM10":          "com10",
		"Com":            "com",
		"Con Parts":      "con-parts",
		"Müller & Söhne": "müller-söhne",
	} {
		if got := plainName(supplier); got != want {
			t.Errorf("%q: %q, want %q", supplier, got, want)
		}
	}
	if long := plainName(strings.Repeat("長", 300)); utf8.RuneCountInString(long) != 60 || len(long+"-100000-2.csv") > 255 {
		t.Errorf("%d characters, %d bytes", utf8.RuneCountInString(long), len(long))
	}
}

// No two order lists have the same name, on a file system without capitals neither, and
// each holds what its supplier is to send: lines whose quantity times price is the total,
// then what the supplier charges besides, in its own currency, and the sum of them as they
// stand there (a set-up of 30.005 is 30.01 of 44.005, which are 44.01); what has no price stays out.
func TestOrderLists(t *testing.T) {
	eur, _ := bom.FindCurrency("EUR")
	usd, _ := bom.FindCurrency("USD")
	d := decimal.RequireFromString
	b := cost.Batch{Size: 10,
		Orders: []cost.Order{{Supplier: "A", Currency: usd, Asked: cost.OrderAsked{Delivery: d("12"), TopUp: d("3.5"), Consign: d("2")}},
			{Supplier: "a.", Currency: eur}, {Supplier: "A 2"}},
		Purchases: []cost.Purchase{
			{Kind: cost.Goods, Supplier: "A", Part: "R-1", OrderCode: "code 1", Quantity: 30, Pieces: bom.Whole(10), UnitPrice: d("0.05"), Goods: d("1.5"), LineFee: d("0.4"), Currency: usd},
			{Kind: cost.Goods, Supplier: "A 2", Part: "WR-1", Index: 1, Quantity: 3, Pieces: bom.Whole(20), UnitPrice: d("2"), Goods: d("6"), Currency: eur},
			{Kind: cost.Lots, Supplier: "A", Part: "PCB-1", OrderCode: "2 layers", Quantity: 2, Pieces: bom.Whole(25), UnitPrice: d("40"), Goods: d("80"), Currency: usd},
			{Kind: cost.Lots, Supplier: "a.", Part: "PCB-1", OrderCode: "4 layers", Quantity: 7, Pieces: bom.One, SetUp: d("30.005"), UnitPrice: d("2"), Goods: d("44.01"), Currency: eur},
			{Kind: cost.Goods, Supplier: "A", Part: "R-3", OrderCode: "code 3", Unpriced: true, Currency: usd},
		},
		Cuts: []cost.CutRing{{Part: 1, RingMM: bom.Whole(25_000)}, {Part: 1, RingMM: bom.Whole(25_000)}},
		Fees: []cost.Fee{
			{Payee: "A", What: "assembly of PCB-1", Category: cost.SMTAssembly, Amount: d("40"), Currency: usd},
			{Payee: "A", What: "postage", Category: cost.Postage, Amount: d("4"), Currency: usd},
		},
	}
	got := map[string]string{}
	var names []string
	e := &cost.Estimate{Currency: eur, Parts: []cost.Part{{Key: "R-1", Description: "resistor", Unit: "pieces"}, {Key: "WR-1", Description: "wire", Unit: "leads"}}, Batches: []cost.Batch{b}}
	for _, list := range OrderLists(e) {
		var csv strings.Builder
		if err := list.WriteCSV(&csv); err != nil {
			t.Fatal(err)
		}
		names = append(names, list.FileName())
		got[list.FileName()] = csv.String()
	}
	if want := []string{"a", "a-2", "a-2-2"}; !slices.Equal(names, want) {
		t.Fatalf("%q, want %q", names, want)
	}
	const head = "Order code,Order quantity,Part number,Description,Pack size,In all,Unit,Unit price,Line total,Currency\n"
	if want := head + "code 1,30,R-1,resistor,10,300,pieces,0.05,1.50,USD\n" + `2 layers,2,PCB-1,"bare board, lot of 25",25,50,boards,40.00,80.00,USD` + "\n" +
		",1,,assembly of PCB-1,,,,,40.00,USD\n,,,line fee for R-1,,,,,0.40,USD\n,,,delivery,,,,,12.00,USD\n,,,minimum-order surcharge,,,,,3.50,USD\n" +
		",,,consignment fee,,,,,2.00,USD\n,,,total,,,,,139.40,USD\n"; got["a"] != want {
		t.Errorf("got  %s\nwant %s", got["a"], want)
	}
	if want := head + "4 layers,7,PCB-1,bare board,1,7,boards,2.00,14.00,EUR\n,,,set-up of PCB-1,,,,,30.01,EUR\n,,,total,,,,,44.01,EUR\n"; got["a-2"] != want {
		t.Errorf("got  %s\nwant %s", got["a-2"], want)
	}
	if want := head + `,3,WR-1,"wire, ring of 25 m",20,60,leads,2.00,6.00,EUR` + "\n,,,total,,,,,6.00,EUR\n"; got["a-2-2"] != want {
		t.Errorf("got  %s\nwant %s", got["a-2-2"], want)
	}
	if !IsOrderList([]byte(got["a"])) {
		t.Error("the list is not told by its heading row")
	}
}

// What goes to the assembler is what is placed there and comes from elsewhere: boards
// that are started, parts with their allowance, with where they go and come from.
func TestToSend(t *testing.T) {
	line := func(part string, designators ...string) *bom.Line {
		return &bom.Line{Part: part, Designators: designators, Package: "0805"}
	}
	e := &cost.Estimate{
		Boards: []cost.Board{{Name: "MAIN", Placements: 3}, {Name: "BARE"}},
		Parts: []cost.Part{{Key: "R-1", Description: "resistor", Entries: []int{0, 1}}, {Key: "C-1", Entries: []int{2}},
			{Key: "J-1", Entries: []int{3}}},
		Entries: []cost.Entry{{Line: line("R-1", "R1", "R2"), Path: "MAIN", Machine: true}, {Line: line("R-1", "R9"), Path: "BARE"},
			{Line: line("C-1", "C1"), Path: "MAIN", Machine: true}, {Line: line("J-1", "J1"), Path: "MAIN"}},
		Batches: []cost.Batch{{Size: 10, Making: cost.Making{Assembler: "Birch Assembly"}, Fees: []cost.Fee{{Kind: cost.AssemblyFee}}, Orders: []cost.Order{{Supplier: "birch assembly"}}, Boards: []cost.BoardRun{{Starts: 12}, {Starts: 12}},
			Needs: []bom.Quantity{bom.Whole(24), bom.Whole(12), bom.Whole(12), bom.Whole(12)},
			Parts: []cost.PartRun{{Allowance: bom.Whole(5), OnHand: bom.Whole(1)}, {}, {}},
			Purchases: []cost.Purchase{{Kind: cost.Goods, Supplier: "Corner Parts", Index: 0}, {Kind: cost.Goods, Supplier: "birch assembly", Index: 1},
				{Kind: cost.Goods, Supplier: "Corner Parts", Index: 2}, {Kind: cost.Lots, Supplier: "Alder Boards", Index: 0}, {Kind: cost.Lots, Supplier: "Alder Boards", Index: 1}},
		}},
	}
	lists := OrderLists(e)
	last := lists[len(lists)-1]
	var csv strings.Builder
	if err := last.WriteCSV(&csv); err != nil {
		t.Fatal(err)
	}
	want := "Part number,Description,Package,Place,Fitted,To send,From\nMAIN,bare board,,,12,12,Alder Boards\n" +
		`R-1,resistor,0805,"MAIN R1, R2",24,29,"Corner Parts, stock"` + "\n"
	if csv.String() != want || last.FileName() != "birch-assembly-to-send" {
		t.Errorf("%s: got  %s\nwant %s", last.FileName(), csv.String(), want)
	}
	if !IsOrderList([]byte(want)) {
		t.Error("the list is not told by its heading row")
	}
}
