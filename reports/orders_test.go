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

// No two order lists have the same name, on a file system without capitals
// neither, and each holds what its supplier is to send: order units of the
// purchases, in its own currency, and the assembly; what has no price stays out.
func TestOrderLists(t *testing.T) {
	eur, _ := bom.FindCurrency("EUR")
	usd, _ := bom.FindCurrency("USD")
	d := decimal.RequireFromString
	b := cost.Batch{Size: 10,
		Orders: []cost.Order{{Supplier: "A"}, {Supplier: "a."}, {Supplier: "A 2"}},
		Purchases: []cost.Purchase{
			{Supplier: "A", Part: "R-1", OrderCode: "code 1", Quantity: 30, Goods: d("1.5"), Currency: usd},
			{Supplier: "a.", Part: "R-2", OrderCode: "code 2", Quantity: 7, Goods: d("2"), Currency: eur},
			{Supplier: "A", Part: "R-3", OrderCode: "code 3", Unpriced: true, Currency: usd},
		},
		Fees: []cost.Fee{
			{Payee: "A", What: "assembly of PCB-1", Category: cost.SMTAssembly, Amount: d("40"), Currency: usd},
			{Payee: "A", What: "postage", Category: cost.Postage, Amount: d("4"), Currency: usd},
		},
	}
	got := map[string]string{}
	var names []string
	for _, list := range OrderLists(&cost.Estimate{Currency: eur, Batches: []cost.Batch{b}}) {
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
	const head = "Order code,Order units,Our part number,Line total,Currency\n"
	if want := head + "code 1,30,R-1,1.50,USD\n,1,assembly of PCB-1,40.00,USD\n"; got["a"] != want {
		t.Errorf("%q, want %q", got["a"], want)
	}
	if want := head + "code 2,7,R-2,2.00,EUR\n"; got["a-2"] != want {
		t.Errorf("%q, want %q", got["a-2"], want)
	}
	if !IsOrderList([]byte(got["a"])) {
		t.Error("the list is not told by its heading row")
	}
}
