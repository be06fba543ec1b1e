package sheet

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
)

// quoted writes a part of a quote down, without what it does not say.
func quoted(p *bom.QuotedPart) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d:", p.Row)
	for _, f := range [][2]string{{"part", p.Part}, {"code", p.Code}, {"ours", p.OurPart}, {"is", p.Description},
		{"value", p.Value}, {"in", p.Package}, {"by", p.Supplier}} {
		if f[1] != "" {
			fmt.Fprintf(&b, " %s %s", f[0], f[1])
		}
	}
	if p.Quantity > 0 {
		fmt.Fprintf(&b, " × %d", p.Quantity)
	}
	for _, br := range p.Breaks {
		fmt.Fprintf(&b, " @%d %s", br.From, br.Price)
	}
	if p.Listed {
		b.WriteString(" listed")
	}
	if len(p.Codes) > 0 {
		fmt.Fprintf(&b, " %s", strings.Join(p.Codes[:min(2, len(p.Codes))], "/"))
	}
	if p.StockSaid {
		fmt.Fprintf(&b, " stock %d", p.Stock)
	}
	for _, f := range []struct {
		name string
		n    int64
	}{{"moq", p.MOQ}, {"multiple", p.Multiple}} {
		if f.n > 0 {
			fmt.Fprintf(&b, " %s %d", f.name, f.n)
		}
	}
	if p.Pieces > 0 {
		fmt.Fprintf(&b, " pieces %s", p.Pieces)
	}
	if !p.AsOf.IsZero() {
		fmt.Fprintf(&b, " %s", p.AsOf)
	}
	if p.Unpriced != "" {
		fmt.Fprintf(&b, " unpriced: %s", p.Unpriced)
	}
	return b.String()
}

func TestQuoteHeads(t *testing.T) {
	for text, want := range map[string]quoteHead{
		"10+":                         {from: 10},
		"10 +":                        {from: 10},
		"Price @ 10":                  {from: 10},
		"Price 100":                   {from: 100},
		"1 pc":                        {from: 1},
		"100 pcs (EUR)":               {from: 100, codes: []string{"EUR"}},
		"Qty 10 price":                {from: 10},
		"10-99":                       {from: 10},
		"10 – 99 pcs":                 {from: 10},
		"≥ 1,000":                     {from: 1000},
		"1.000+":                      {from: 1000},
		"25 off":                      {from: 25},
		"Unit price 50+":              {from: 50},
		"Break qty 2":                 {from: 2, pair: true},
		"Qty 3":                       {from: 3, pair: true},
		"Break 1":                     {from: 1, pair: true},
		"Price break 3":               {from: 3},
		"100":                         {from: 100, bare: true},
		"Price per 100 (EUR)":         {name: "price", per: 100, codes: []string{"EUR"}},
		"EUR / 1000 pcs":              {name: "price", per: 1000, codes: []string{"EUR"}},
		"Unit price excl. VAT in USD": {name: "unit price", codes: []string{"USD"}, tax: bom.WithoutTax},
		"Price per unit [€]":          {name: "price", codes: []string{"EUR"}},
		"Stock 2026":                  {name: "stock", dated: true},
		"Price 2026":                  {name: "price", dated: true},
		"Price 2000":                  {from: 2000},
		"Unit price as of 2026-01-02": {name: "unit price", dated: true},
		"Price (2 Jan 2026) EUR":      {name: "price", codes: []string{"EUR"}, dated: true},
		"ab 10 Stück":                 {from: 10},
		"PU HT ab 10":                 {from: 10, tax: bom.WithoutTax},
		"Preis je 100 Stk":            {name: "preis", per: 100},
		"99-10":                       {},
		"70-1412-3":                   {},
		"top":                         {name: "top"},
	} {
		if got := readQuoteHead(text); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%q is read as %+v, %+v is wanted", text, got, want)
		}
	}
}

func TestDatesIn(t *testing.T) {
	for text, want := range map[string]string{
		"2026-11-02":                         "2026-11-02",
		"2026/11/2 10:15":                    "2026-11-02",
		"Quotation of 2nd November 2026":     "2026-11-02",
		"2. Nov. 2026":                       "2026-11-02",
		"Nov 2, 2026":                        "2026-11-02",
		"2-Nov-2026":                         "2026-11-02",
		"02.11.2026":                         "2026-11-02",
		"13/11/2026":                         "2026-11-13",
		"11/13/2026":                         "2026-11-13",
		"11/11/2026":                         "2026-11-11",
		"02/11/2026":                         "2026-11-02?",
		"Q-4711/2026":                        "",
		"31.02.2026":                         "",
		"from 2026-11-02 to 2026-12-02":      "2026-11-02 2026-12-02",
		"tel. 0049 30 2026-11":               "",
		"invoice 12026-11-021":               "",
		"Date: 2 Nov 2026, valid 2026-12-31": "2026-12-31 2026-11-02",
	} {
		var got []string
		for _, f := range datesIn(text) {
			s := f.date.String()
			if f.twoWays {
				s += "?"
			}
			got = append(got, s)
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%q holds %q, %q is wanted", text, s, want)
		}
	}
}

func TestQuotes(t *testing.T) {
	for _, c := range []struct {
		why, text string
		want      []string // parts, then complaints with their grade
	}{
		{"a basket: a price holds from its quantity on",
			"SKU,MPN,Description,Qty,Unit price (EUR),Ext. price\n10-1,RS-10,resistor,40,0.012,0.48\n",
			[]string{"2: part RS-10 code 10-1 is resistor × 40 @40 0.012 EUR"}},
		{"breaks as columns, in words of several kinds",
			"Mfr part no;Stock no;1 pc;10+;Price @ 100;In stock\nRS-10;10-1;€0,02;€0,018;€0,012;1.200\n",
			[]string{"2: part RS-10 code 10-1 @1 0.02 @10 0.018 @100 0.012 listed EUR stock 1200"}},
		{"breaks as rows that go on",
			"Part number,From,Price\nRS-10,1,0.02\n,10,0.018\n,100,0.012\nRS-11,1,0.5\n",
			[]string{"2: part RS-10 @1 0.02 @10 0.018 @100 0.012 listed", "5: part RS-11 @1 0.5 listed"}},
		{"pairs of a quantity and a price",
			"Part,Break qty 1,Price 1,Break qty 2,Price 2\nRS-10,1,0.02,50,0.01\nRS-11,5,0.3,,\n",
			[]string{"2: part RS-10 @1 0.02 @50 0.01 listed", "3: part RS-11 @5 0.3 listed"}},
		// 3 × 5.00 is 15.00, so three packs of a hundred; 300 × 5.00 ÷ 100 is 15.00 too, so
		// three hundred pieces at 0.05.
		{"a unit of so many is a pack by its line total",
			"Part,Qty,Unit,Price,Total\nRS-10,200,pcs,0.02,4.00\nRS-11,3,100 pcs,5.00,15.00\n",
			[]string{"2: part RS-10 × 200 @200 0.02", "3: part RS-11 × 3 @3 5 pieces 100"}},
		{"or what the price is for",
			"Part,Qty,UoM,Price,Total\nRS-10,200,EA,0.02,4.00\nRS-11,300,100 pcs,5.00,15.00\nRS-12,300,C,5.00,15.00\n",
			[]string{"2: part RS-10 × 200 @200 0.02", "3: part RS-11 × 300 @300 0.05", "4: part RS-12 × 300 @300 0.05"}},
		{"without a line total nothing tells",
			"Part,Qty,Unit,Price\nRS-11,300,100 pcs,5.00\n",
			[]string{"q.csv:2:3: Unit: the price is for 100, and no line total tells what the quantity counts (\"100 pcs\"); " +
				"--heading 'Unit=Pieces' if it counts packs of so many, --heading 'Unit=Price per' if it counts pieces"}},
		{"what a row goes on with is for as many",
			"Part,From,Price,Price per\nRS-10,1,2.00,per 100\n,100,1.50,\n",
			[]string{"2: part RS-10 @1 0.02 @100 0.015 listed"}},
		{"a price without its quantity",
			"Part,Break qty 1,Price 1,Break qty 2,Price 2\nRS-10,1,0.02,,0.01\n",
			[]string{`q.csv:2:5: @2: no quantity goes with this price ("0.01"); its quantity under Break qty 2`}},
		{"two prices from one quantity",
			"Part,From,Price\nRS-10,10,0.02\n,10,0.03\n",
			[]string{`q.csv:3:3: Unit price: the price from 10 on differs from that in C2, 0.02 ("0.03"); one price from each quantity`}},
		{"metres, and thousands",
			"Part,Qty,Unit,Price,Total\nRS-10,5,m,2.00,10.00\nRS-11,5000,M,2.00,10.00\nRS-12,5,2.5 pcs,2.00,10.00\n",
			[]string{"2: part RS-10 × 5 @5 2", "3: part RS-11 × 5000 @5000 0.002", "4: part RS-12 × 5 @5 2",
				`warning: q.csv: nothing says how many pieces the price is for; it is taken for one of a piece, 2 times: "m" (row 2), "2.5 pcs" (row 4); pieces such as 100 pcs, or a column Pieces`}},
		{"quantities without prices of their own are the breaks",
			"Part,Qty 1,Qty 10\nRS-10,0.02,0.01\n",
			[]string{"2: part RS-10 @1 0.02 @10 0.01 listed"}},
		{"bare quantities under the title of a group",
			"Part,Stock,Price breaks,,\n,,1,10,100\nRS-10,50,0.03,0.02,0.01\n",
			[]string{"3: part RS-10 @1 0.03 @10 0.02 @100 0.01 listed stock 50"}},
		{"a price for many",
			"Part,Qty,Price per 100,Amount\nRS-10,250,1.20,3.00\n",
			[]string{"2: part RS-10 × 250 @250 0.012"}},
		{"a column that says for how many",
			"Part,Qty,Price,Per,Amount\nRS-10,250,12,1000,3.00\nRS-11,2,3.5,1,7\n",
			[]string{"2: part RS-10 × 250 @250 0.012", "3: part RS-11 × 2 @2 3.5"}},
		{"how many stands with the price",
			"Part,Qty,Price\nRS-10,250,1.20 EUR / 100 pcs\nRS-11,2,3.5/pc\nRS-12,1,2.00 each\n",
			[]string{"2: part RS-10 × 250 @250 0.012 EUR", "3: part RS-11 × 2 @2 3.5 EUR", "4: part RS-12 × 1 @1 2 EUR",
				`warning: q.csv: the price names no currency; that of the others is taken, EUR, 2 times: "RS-11" (row 3), "RS-12" (row 4); a sign or code with each price, or a column headed Currency`}},
		{"titles, charges, totals and remarks are left",
			"Corner Parts quotation,,,,\nDate:,2 November 2026,,valid until 2026-12-31,\nCurrency: GBP,,,,\nPart,Description,Qty,Unit price,Amount\n" +
				"RS-10,resistor,10,0.10,1.00\nPassives,,,,\nSHIP,Shipping & handling,1,4.95,4.95\n,VAT 20 %,,,1.19\n,Total GBP,,,7.14\nPrices are net and without tax\n",
			[]string{"5: part RS-10 is resistor × 10 @10 0.1 GBP 2026-11-02",
				`note: q.csv: a title or remark is not a part, 2 times: "Passives" (row 6), "Prices are net and without tax" (row 10)`,
				`note: q.csv: a total or charge is not a part, 3 times: "Shipping & handling" (row 7), "VAT 20 %" (row 8), "Total GBP" (row 9)`}},
		{"a discount on the whole",
			"Part,Description,Qty,Price,Total\nRS-10,resistor,10,0.10,1.00\n,Discount 10 %,,,-0.10\n,Discount,,,0.00\n",
			[]string{"2: part RS-10 is resistor × 10 @10 0.1",
				`warning: q.csv:3: a discount on the whole is not taken off the prices ("Discount 10 %"); prices after it, or a column Discount %`}},
		{"the sum of discounts of the lines",
			"Part,Qty,Price,Discount,Total\nRS-10,10,0.10,10 %,0.90\nDiscount,,,,0.10\n",
			[]string{"2: part RS-10 × 10 @10 0.09"}},
		{"a box to ship in is a part",
			"Part,Description,Qty,Price\nBX-20,Shipping box 200 x 100,10,0.40\n",
			[]string{"2: part BX-20 is Shipping box 200 x 100 × 10 @10 0.4"}},
		{"a total that is not quantity × price",
			"Part,Qty,Price,Total\nRS-10,10,0.10,1.10\n",
			[]string{`q.csv:2:4: Line total: 10 × 0.1 is 1 ("1.10"); correct the figure that is wrong`}},
		{"a total with tax, of which the rate is given in % or as a share",
			"Part,Qty,Net price,VAT,Total\nRS-10,10,0.10,20 %,1.20\nRS-11,10,0.20,0.2,2.40\n",
			[]string{"2: part RS-10 × 10 @10 0.1", "3: part RS-11 × 10 @10 0.2"}},
		{"a total that was rounded",
			"Part,Qty,Price,Total\nRS-10,3,0.335,1.01\nRS-11,3,0.335,1.00\n",
			[]string{"2: part RS-10 × 3 @3 0.335", "3: part RS-11 × 3 @3 0.335"}},
		{"a price that was rounded more than the total",
			"Part,Qty,Price,Total\nRS-10,1000,0.01,11.90\n",
			[]string{"2: part RS-10 × 1000 @1000 0.0119",
				`warning: q.csv:2:3: the unit price is rounded; line total ÷ quantity is taken ("0.01"); unit prices with more decimals`}},
		{"a total in whole yen", "Part,Qty,Price,Total\nRS-10,3,¥12.5,¥38\n", []string{"2: part RS-10 × 3 @3 12.5 JPY/CNY"}},
		{"rows that ask nothing", "Part,Qty,Price,Total,Shop\nRS-10,1,2,2,A\n,,,2.00,\n,,,,A\nRS-11,0,,,A\nRS-12,,2,3,A\nRS-13,5,,0.00,A\n",
			[]string{"2: part RS-10 by A × 1 @1 2", "6: part RS-12 by A @1 2", "7: part RS-13 by A × 5 unpriced: no price"}},
		{"neither price nor total", "Part,Qty,Price,Total\nRS-10,3,2,6\nRS-11,3,on request,on request\n", []string{"2: part RS-10 × 3 @3 2", "3: part RS-11 × 3 unpriced: on request"}},
		{"nothing but totals",
			"Part,Qty,Amount\nRS-10,40,1.00\n",
			[]string{"2: part RS-10 × 40 @40 0.025",
				`warning: q.csv:2:3: the unit price is line total ÷ quantity ("1.00"); a column of unit prices`}},
		{"a discount that the total takes off, or has taken off",
			"Part,Qty,Price,Discount %,Amount\nRS-10,10,1.00,10,9.00\nRS-11,10,1.00,10,10.00\n",
			[]string{"2: part RS-10 × 10 @10 0.9", "3: part RS-11 × 10 @10 1"}},
		{"a discount that nothing bears out",
			"Part,Qty,Price,Discount\nRS-10,10,1.00,10 %\n",
			[]string{"2: part RS-10 × 10 @10 0.9",
				`warning: q.csv:2:4: the discount is taken off the unit price; no line total confirms it ("10 %"); --heading 'Discount=' if it is off already`}},
		{"no price, in words or as a nought",
			"Part,Qty,Price,Stock\nRS-10,1,on request,5\nRS-11,1,0.00,sold out\nRS-12,1,,in stock\nRS-13,1,0.2,about 7\nRS-14,1,0,4\nRS-15,1,0.2,-5\n",
			[]string{"2: part RS-10 × 1 stock 5 unpriced: on request", "3: part RS-11 × 1 stock 0 unpriced: out of stock",
				"4: part RS-12 × 1 stock -1 unpriced: no price", "5: part RS-13 × 1 @1 0.2", "6: part RS-14 × 1 stock 4 unpriced: price of 0", "7: part RS-15 × 1 @1 0.2",
				`warning: q.csv: the stock is not a number and is ignored, 2 times: "about 7" (row 5), "-5" (row 7); a number, or words such as in stock, out of stock`,
				`warning: q.csv:6:3: a price of 0 is left out ("0"); the price where it is bought; the tab on hand for what is there already`}},
		{"one dollar of many, and one that is named",
			"Part,Qty,Price,Currency\nRS-10,1,$2,\nRS-11,1,$2,CAD\n",
			[]string{"2: part RS-10 × 1 @1 2 USD/CAD", "3: part RS-11 × 1 @1 2 CAD"}},
		{"two currencies on a row",
			"Part,Qty,Price,Currency\nRS-10,1,€2,USD\n",
			[]string{`q.csv:2:3: a price in EUR stands on a row in USD ("€2"); one currency on a row, as its sign, its heading or the column Currency says`}},
		{"a price without a sign is in the currency of the others of its supplier, if that is one",
			"Part,Qty,Price,Total,Supplier\nRS-10,1,£2,€2.30,A\nRS-11,1,3,3,A\nRS-12,1,4,4,B\nRS-13,1,€5,€5,C\nRS-14,1,£5,£5,C\nRS-15,1,6,6,C\n",
			[]string{"2: part RS-10 by A × 1 @1 2 GBP/EGP", "3: part RS-11 by A × 1 @1 3 GBP/EGP", "4: part RS-12 by B × 1 @1 4",
				"5: part RS-13 by C × 1 @1 5 EUR", "6: part RS-14 by C × 1 @1 5 GBP/EGP", "7: part RS-15 by C × 1 @1 6",
				`warning: q.csv:2:4: a line total in another currency than the price is not compared ("€2.30"); totals in the currency of the prices`,
				`warning: q.csv:3:3: the price names no currency; that of the others is taken, GBP ("RS-11"); a sign or code with each price, or a column headed Currency`,
				`warning: q.csv:7:3: the price names no currency, and the others are in several ("RS-15"); a sign or code with each price, or a column headed Currency`}},
		{"a plain part number beside the maker's is the order code",
			"Part number,Manufacturer part number,Qty,Price\n10-1,RS-10,1,2\n",
			[]string{"2: part RS-10 code 10-1 × 1 @1 2"}},
		{"and ours where the order code has a column",
			"Part number,MPN,SKU,Qty,Price\nR-ours,RS-10,10-1,1,2\n",
			[]string{"2: part RS-10 code 10-1 ours R-ours × 1 @1 2"}},
		{"the unit price beside breaks has to be one of them",
			"Part,Qty,Price,10+,100+\nRS-10,50,0.09,0.10,0.08\n",
			[]string{`q.csv:2:3: Unit price: differs from the price break from 50 on, 0.1 ("0.09"); one of them; --heading 'Price=' leaves this column out`}},
		{"as it is rounded, in any order of them",
			"Part,Qty,Price,100+,10+\nRS-10,50,0.10,0.08,0.104\n",
			[]string{"2: part RS-10 × 50 @10 0.104 @100 0.08 listed"}},
		{"or hold below the first",
			"Part,Price,10+,100+\nRS-10,0.12,0.10,0.08\n",
			[]string{"2: part RS-10 @1 0.12 @10 0.1 @100 0.08 listed"}},
		{"MOQ, multiple and packs",
			"Part,Price,Min. order qty,Order multiple,Pack size,Vendor,Quote date\nSC-3,2.40,5,5,100,Corner Parts,02.11.2026\n",
			[]string{"2: part SC-3 by Corner Parts @5 2.4 moq 5 multiple 5 pieces 100 2026-11-02"}},
		{"minimum and multiple in one cell",
			"Part,Price,Min / Mult\nSC-1,2,10\\5\nSC-2,2,20/10\nSC-3,2,\"MOQ 10, mult. of 5\"\nSC-4,2,1000\nSC-5,2,-\\-\nSC-6,2,MOQ 10\n",
			[]string{"2: part SC-1 @10 2 moq 10 multiple 5", "3: part SC-2 @20 2 moq 20 multiple 10", "4: part SC-3 @10 2 moq 10 multiple 5", "5: part SC-4 @1000 2 moq 1000", "6: part SC-5 @1 2", "7: part SC-6 @10 2 moq 10"}},
		{"a price that nobody knows yet", "Part,Price\nSC-3,?\nSC-4,2\n", []string{"2: part SC-3 unpriced: ?", "3: part SC-4 @1 2"}},
		{"a heading says of when the price is",
			"Part,Qty,Unit price as of 2026-01-02\nSC-3,1,2\n", []string{"2: part SC-3 × 1 @1 2 2026-01-02"}},
		{"or in a way that reads two ways",
			"Part,Qty,Unit price as of 02/01/2026\nSC-3,1,2\n",
			[]string{"2: part SC-3 × 1 @1 2", "warning: q.csv:1:3: a date reads two ways and is not taken for that of the prices; --as-of YYYY-MM-DD"}},
		{"two columns of prices, of which one is the quantity × the other",
			"Part,Qty,Price,Price\nSC-3,4,2,8\nSC-4,1,3,3\nSC-5,2,1.50,3.00\n",
			[]string{"2: part SC-3 × 4 @4 2", "3: part SC-4 × 1 @1 3", "4: part SC-5 × 2 @2 1.5"}},
		{"or not", "Part,Qty,Price,Price\nSC-3,4,2,2.1\nSC-5,2,1,3\n",
			[]string{`q.csv:1:4: Unit price is headed twice, as "Price" in C1 and here ("Price"); keep one column for it, or another word over one of the two`}},
		{"the date of a row reads two ways",
			"Part,Price,Date\nSC-3,2.40,02/11/2026\n",
			[]string{`q.csv:2:3: Date: not a date that reads one way ("02/11/2026"); a date written YYYY-MM-DD, or --heading 'Date=' and --as-of`}},
		{"a heading of one's own for a price break",
			"Part,Preis ab 10\nSC-3,2.40\n",
			[]string{"2: part SC-3 @10 2.4 listed"}},
		{"single words above the table are not its headings",
			"Supplier,Date\nCorner Parts,2026-11-02\n\nPart,Qty,Price\nRS-10,1,2\n",
			[]string{"5: part RS-10 × 1 @1 2 2026-11-02"}},
		{"suppliers side by side: by names in the headings",
			"Part,Qty,Price A,Price B,Stock B\nRS-10,1,2,3,40\n", []string{"2: part RS-10 × 1 @1 3 stock 40"}},
		{"with the currency of each",
			"Part,Qty,Price A (USD),EUR price B\nRS-10,1,2,3\n", []string{"2: part RS-10 × 1 @1 3 EUR"}},
		{"under a title over the prices of another",
			",,,our offers\nPart,Qty,Price B,Price A\nRS-10,1,2,3\n", []string{"3: part RS-10 × 1 @1 2"}},
		{"without a row",
			",,,our offers\nPart,Qty,Price B,Price A\n", []string{"q.csv:2: the quote holds no parts; a row for each part"}},
		{"over groups of columns",
			",,A,,B Limited,,\nPart,Qty,SKU,Price,SKU,Price,Remarks\nRS-10,1,A-1,2,B-1,3,old\nRS-11,1,A-2,2,,,\n",
			[]string{"3: part RS-10 code B-1 × 1 @1 3", "4: part RS-11 × 1 unpriced: no price"}},
		{"under headings that stand twice",
			"Part,Qty,SKU,SKU,Unit price (of 3),Unit price (of 3)\n,,A,B,A,B\nRS-10,1,A-1,B-1,2,3\n",
			[]string{"3: part RS-10 code B-1 × 1 @1 3"}},
		{"as the whole heading of prices", "Part,Qty,A,B\nRS-10,1,2,3\n", []string{"2: part RS-10 × 1 @1 3"}},
		{"none of whom is asked for", "Part,Qty,Price A,Price C\nRS-10,1,2,3\n",
			[]string{`q.csv:1: prices of several suppliers stand side by side ("A, C"); --supplier with one of these names, for each of them in turn`}},
		{"each row names them: all are read",
			"Part,Supplier 1,Unit price 1,Supplier 2,Unit price 2\nRS-10,A,2,B,3\nRS-11,B,4,,\n",
			[]string{"2: part RS-10 by A @1 2", "3: part RS-11 by B @1 4", "2: part RS-10 by B @1 3"}},
		{"prices of two kinds are no suppliers",
			"Part,Qty,Price old,Price new\nRS-10,1,2,3\n",
			[]string{"q.csv:1: no column holds prices; a column headed Unit price, or price breaks such as @10, or --heading 'Their name=Unit price'"}},
		{"no prices at all", "Part,Qty\nRS-10,1\n",
			[]string{"q.csv:1: no column holds prices; a column headed Unit price, or price breaks such as @10, or --heading 'Their name=Unit price'"}},
		{"no parts at all", "Part,Price\nTotal,5\n", []string{"q.csv:1: the quote holds no parts; a row for each part"}},
		{"nothing names the part", "Part,Qty,Price\n,3,5\n",
			[]string{`q.csv:2: the row names no part ("3, 5"); a part number, an order code or a description`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			opt := QuoteOptions{Supplier: "b", Options: Options{Headings: map[string]string{"Preis ab 10": "@10"}}}
			parts, problems := ReadQuote("q.csv", files(csvTable("q.csv", c.text)), opt)
			var got []string
			if !problems.Failed() {
				for i := range parts {
					got = append(got, quoted(&parts[i]))
				}
			}
			for _, p := range problems.Grouped() {
				grade := map[bom.Severity]string{bom.Warning: "warning: ", bom.Note: "note: "}[p.Severity]
				if p.Severity == bom.Note && !strings.Contains(strings.Join(c.want, "\n"), "note: ") {
					continue
				}
				got = append(got, grade+p.String())
			}
			if a, b := strings.Join(got, "\n"), strings.Join(c.want, "\n"); a != b {
				t.Errorf("read as\n%s\nand should be\n%s", a, b)
			}
		})
	}
}

// TestQuoteTongues: one quote under the headings of several languages; common practice, no source.
func TestQuoteTongues(t *testing.T) {
	const rows = "1;10-1;Klamm 10k;40;0,012;0,48\n2;10-2;Klamm 22k;10;0,020;0,20\n"
	for _, heads := range []string{
		"Pos.;Artikel-Nr.;Artikelbezeichnung;Bestellmenge;Stückpreis;GP", "Pos;Bestellnr.;Material;Menge;EP netto;Gesamt", "Posnr;Materialnr.;Artikel;Mge;Netto;Summe",
		"Ligne;Réf.;Désignation;Qté;PU HT;Montant HT", "Ligne;Code article;Pièce;Quantité;Prix net HT;Total ligne", "N°;Code;Intitulé;Qté;P.U. HT (EUR);Total HT",
		"Riga;Codice articolo;Articolo;Q.tà;Prezzo IVA esclusa;Importo", "Pos.;Cod.;Denominazione;Pezzi;Pr. unitario;Totale",
		"Línea;Ref.;Concepto;Uds.;Precio ud.;Importe", "Pos;Código de artículo;Denominación;Cantidad;P. unitario sin IVA;Importe total",
		"Regel;Artikelcode;Artikelomschrijving;Stuks;Prijs per stuk;Totaal", "Regel;Bestelnr.;Benaming;Aantal;Prijs excl.;Totaal excl. BTW",
		"Linha;Ref.;Artigo;Qtde;Preço s/ IVA;Valor total", "Pos;Cód.;Denominação;Qtd;Valor unitário;Total",
		"Lp.;Kod produktu;Nazwa towaru;Szt.;Cena jedn. netto;Wartość netto", "Lp;Symbol;Towar;Ilość;Cena za szt.;Razem",
		"Řádek;Obj. kód;Název zboží;Ks;Cena za ks bez DPH;Celkem", "Pos;Kód;Položka;Počet ks;Jednotková cena;Cena celkem",
		"Rad;Art.nr;Benämning;Antal;À-pris;Summa", "Pos;Produktnummer;Vara;Antal st;Styckpris exkl. moms;Belopp SEK",
	} {
		parts, problems := ReadQuote("q.csv", files(csvTable("q.csv", heads+"\n"+rows)), QuoteOptions{})
		got := ""
		for i := range parts {
			got += quoted(&parts[i]) + "\n"
		}
		if problems.Failed() || !strings.Contains(got, " code 10-1 is Klamm 10k × 40 @40 0.012") || !strings.Contains(got, " code 10-2 is Klamm 22k × 10 @10 0.02") {
			t.Errorf("%s is read as %s %v", heads, got, problems)
		}
	}
}

// TestListTongues: the same in lists: headings that say what one costs, all of a row, or as many as
// a unit says; common practice, no source.
func TestListTongues(t *testing.T) {
	for _, heads := range []string{
		"Artikelbezeichnung;Bestellmenge;Einheit;Stückpreis", "Artikel;Menge;ME;Netto", "Pièce;Qté;Unité;PU HT", "Articolo;Q.tà;U.M.;Prezzo cad.", "Concepto;Uds.;Unidad;Precio ud.",
		"Benaming;Stuks;Eenheid;Prijs per stuk", "Artigo;Qtde;Unidade;Valor unitário", "Towar;Szt.;J.m.;Cena jedn.", "Zboží;Ks;MJ;Cena za MJ", "Vara;Antal st;Enhet;À-pris",
	} {
		text := heads + "\nKlamm;4;100 pcs;2,50\nKlimm;2;pcs;1,50\n"
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", text)), Options{})
		var got []string
		if !problems.Failed() {
			for l := range read.MadeLines() {
				got = append(got, fmt.Sprint(l.Part, l.Quantity, l.Offered.Breaks[0].Price))
			}
		}
		if fmt.Sprint(got) != "[Klamm4 0.025 Klimm2 1.5]" {
			t.Errorf("%s is read as %v %v", heads, got, problems)
		}
	}
}

// A quote in a workbook of several sheets, with prices in the currency that
// their number format shows.
func TestQuoteSheets(t *testing.T) {
	table := workbookTable("q.xlsx", "list", []any{"Part", "Price", "Date"}, []any{"RS-10", number("0.5"), day("2026-11-02")})
	table.Signs = []string{"", "£"}
	table.Rows[1].Cells[1].Sign = 1
	cover := workbookTable("q.xlsx", "cover", []any{"dear customer"})
	parts, problems := ReadQuote("q.xlsx", files(cover, table), QuoteOptions{})
	expect(t, problems)
	if len(parts) != 1 || quoted(&parts[0])[:27] != "2: part RS-10 @1 0.5 GBP/EG" {
		t.Errorf("%v", parts)
	}
	other := table
	other.Sheet = "old list"
	_, problems = ReadQuote("q.xlsx", files(cover, table, other), QuoteOptions{})
	expect(t, problems, `q.xlsx: several sheets hold a quote ("list, old list"); one of them by name: q.xlsx#list`)
	parts, problems = ReadQuote("q.xlsx#old list", files(cover, table, other), QuoteOptions{})
	expect(t, problems)
	if len(parts) != 1 || parts[0].Head.Sheet != "old list" {
		t.Errorf("%v", parts)
	}
	_, problems = ReadQuote("q.xlsx#new list", files(cover, table), QuoteOptions{})
	expect(t, problems, `q.xlsx: the file has no sheet of that name ("new list"); one of cover, list`)
	_, problems = ReadQuote("q.xlsx", files(cover), QuoteOptions{})
	if !problems.Failed() || !strings.Contains(problems[0].What, "no heading row of the quote") {
		t.Errorf("%v", problems)
	}
}

// FuzzQuote: whatever stands in a quote, a part of it has a name, and prices over
// nought from rising quantities or the reason why it has none.
func FuzzQuote(f *testing.F) {
	seed(f, func(_, text string) { f.Add(text, uint64(0)); f.Add(text, uint64(7)) })
	f.Add("Part,Break qty 1,Price 1,10+,Unit price,Qty,Amount,Discount\nA,1,2,3,4,5,20,10\n,,,,1,2,3\n", uint64(0))
	f.Add(",,A,,B,\nPart,Qty,SKU,Price,SKU,Price\nC,1,2,3,4,5\n", uint64(1))
	f.Add("Part,Price A (EUR),A SKU,Price B\nC,1,2,3\n", uint64(1))
	f.Add("Part,Supplier 1,Price 1,Supplier 2,Price 2\nC,A,2,B,5\n", uint64(1))
	f.Add("Date: 02/11/2026;;\nSKU;Price per 100 (EUR);In stock\nB;1,20 / pc;>500\n", uint64(3))
	f.Fuzz(func(t *testing.T, text string, kinds uint64) {
		if len(text) > fuzzLimit {
			return
		}
		table := csvTable("q.csv", text)
		tint(&table, kinds)
		parts, problems := ReadQuote("q.csv", files(table), QuoteOptions{Supplier: []string{"", "A"}[kinds%2]})
		checkWording(t, problems)
		if problems.Failed() {
			return
		}
		if len(parts) == 0 {
			t.Fatal("neither parts nor an error")
		}
		for i := range parts {
			p := &parts[i]
			if (p.Unpriced == "") != (len(p.Breaks) > 0) || p.Quantity < 0 || p.Stock < -1 || p.MOQ < 0 || p.Pieces < 0 {
				t.Errorf("no error for %s", quoted(p))
			}
			for j, b := range p.Breaks {
				if !b.Price.IsPositive() || b.From < 1 || j > 0 && b.From <= p.Breaks[j-1].From {
					t.Errorf("breaks of %s", quoted(p))
				}
			}
		}
	})
}
