package pricesheet

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost/quoting"
)

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }

var quoteDay = bom.Date{Year: 2026, Month: 11, Day: 2}

// settings is the tab that no price sheet can do without, with two currencies.
var settings = []bom.Table{
	{File: "settings.csv", Separator: ',', Rows: []bom.Row{
		{Number: 1, Cells: []bom.Cell{{Col: 1, Text: "Setting"}, {Col: 2, Text: "Value"}}},
		{Number: 2, Cells: []bom.Cell{{Col: 1, Text: "Home currency"}, {Col: 2, Text: "EUR"}}}}},
	{File: "exchange.csv", Separator: ',', Rows: []bom.Row{
		{Number: 1, Cells: []bom.Cell{{Col: 1, Text: "Currency"}, {Col: 2, Text: "Rate"}}},
		{Number: 2, Cells: []bom.Cell{{Col: 1, Text: "GBP"}, {Col: 2, Text: "1.25"}}}}},
}

// priced is a part of a quote: "RS-10 10-1 | @1 0.02 @10 0.01 | stock 5 moq 2"; a
// single price that is asked has no @: "40 0.02".
func priced(t testing.TB, text string) bom.QuotedPart {
	t.Helper()
	fields := strings.Split(text, "|")
	names := strings.Fields(fields[0])
	q := bom.QuotedPart{Part: names[0], Supplier: "Corner Parts", AsOf: quoteDay}
	if len(names) > 1 {
		q.Code = names[1]
	}
	words := strings.Fields(fields[1])
	for i := 0; i < len(words); i += 2 {
		var from int64
		number, listed := strings.CutPrefix(words[i], "@")
		_, err := fmt.Sscan(number, &from)
		check(t, err)
		q.Breaks, q.Listed = append(q.Breaks, bom.Break{From: from, Price: d(words[i+1])}), listed
	}
	if len(fields) > 2 {
		words = strings.Fields(fields[2])
		for i := 0; i < len(words); i += 2 {
			var n int64
			_, _ = fmt.Sscan(words[i+1], &n) // no number for a currency
			switch words[i] {
			case "stock":
				q.StockSaid, q.Stock = true, n
			case "moq":
				q.MOQ = n
			case "multiple":
				q.Multiple = n
			case "pieces":
				q.Pieces = bom.Whole(n)
			case "in":
				q.Codes = []string{words[i+1]}
			default:
				t.Fatal(text)
			}
		}
	}
	return q
}

// entered works out what quotes change in the table that holds the tab offers,
// among the tables of one file.
func entered(t testing.TB, tables []bom.Table, quoted []bom.QuotedPart) (*Edit, bom.Problems) {
	t.Helper()
	all := tables
	if len(tables) == 1 {
		all = append(append([]bom.Table{}, tables...), settings...)
	}
	p, _ := sheet.ReadPrices(all, "prices", sheet.Options{}) // complaints are part of some cases
	if p.Heads[bom.TabOffers] == nil {
		t.Fatal("no tab offers")
	}
	e, problems := quoting.Enter(quoting.Entering{Prices: p, Quoted: quoted, AddUnknown: true})
	if problems.Failed() {
		t.Fatal(problems)
	}
	for i := range tables {
		if sheet.TabOf(tables[i]) == bom.TabOffers {
			return Lay(p, &tables[i], e.Offers)
		}
	}
	t.Fatal("no table of offers")
	return nil, nil
}

// put enters quotes into a file of offers and checks what comes out.
func put(t testing.TB, name string, data []byte, quoted []bom.QuotedPart) (out []byte, said string) {
	t.Helper()
	tables, problems := table.Read(name, data, table.Limits{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	edit, problems := entered(t, tables, quoted)
	for _, p := range problems {
		said += p.String() + "\n"
	}
	if problems.Failed() {
		return nil, said
	}
	out, _, err := edit.Write(data)
	if err != nil {
		return nil, said + err.Error() + "\n"
	}
	again, problems := table.Read(name, out, table.Limits{})
	if problems.Failed() {
		t.Fatalf("%v in\n%s", problems, out)
	}
	if err := edit.Check(tables, again); err != nil {
		t.Fatalf("%v in\n%s", err, out)
	}
	return out, said
}

func TestCSV(t *testing.T) {
	for _, c := range []struct {
		why, in string
		quoted  []string
		want    string // empty: refused
		said    string
	}{
		{"a row for each break: those that are there, and one more",
			"Part number,Supplier,Order code,Stock,From,Price,As of,Note\nRS-10,Corner Parts,10-1,70,1,0.10,2026-03-01,old\nRS-10,Corner Parts,10-1,70,10,0.08,2026-03-01,\nXX,Other,,,1,5,,keep\n",
			[]string{"RS-10 10-1|@1 0.11 @10 0.08 @100 0.05|stock 60"},
			"Part number,Supplier,Order code,Stock,From,Price,As of,Note\nRS-10,Corner Parts,10-1,60,1,0.11,2026-11-02,old\nRS-10,Corner Parts,10-1,60,10,0.08,2026-11-02,\nXX,Other,,,1,5,,keep\nRS-10,Corner Parts,10-1,60,100,0.05,2026-11-02,\n", ""},
		{"columns of breaks; one that is missing is added at the right",
			"Part number,Supplier,@1,@10,As of\nRS-10,Corner Parts,0.10,0.08,2026-03-01\nXX,Other,1,2,\n",
			[]string{"RS-10|@1 0.11 @10 0.08 @50 0.05"},
			"Part number,Supplier,@1,@10,As of,@50\nRS-10,Corner Parts,0.11,0.08,2026-11-02,0.05\nXX,Other,1,2,\n", ""},
		{"a price for one quantity gets no column of its own",
			"Part number,Supplier,@1,@10\nRS-10,Corner Parts,0.10,0.08\n",
			[]string{"RS-10|45 0.06", "ZZ|12 3"},
			"Part number,Supplier,@1,@10,Price,From,As of\nRS-10,Corner Parts,0.10,0.08,0.06,45,2026-11-02\nZZ,Corner Parts,,,3.00,12,2026-11-02\n", ""},
		{"a break that is no longer asked: its column is cleared, its row has another",
			"Part number,Supplier,@1,@10,@100\nRS-10,Corner Parts,0.10,0.08,0.05\n",
			[]string{"RS-10|@1 0.10 @100 0.05"},
			"Part number,Supplier,@1,@10,@100,As of\nRS-10,Corner Parts,0.10,,0.05,2026-11-02\n", ""},
		{"a row of a break that is gone takes another, or what holds there",
			"Part number,Supplier,From,Price\nRS-10,Corner Parts,1,0.10\nRS-10,Corner Parts,10,0.08\nRS-10,Corner Parts,50,0.06\n",
			[]string{"RS-10|@1 0.11 @25 0.07"},
			"Part number,Supplier,From,Price,As of\nRS-10,Corner Parts,1,0.11,2026-11-02\nRS-10,Corner Parts,25,0.07,2026-11-02\nRS-10,Corner Parts,50,0.07,2026-11-02\n", ""},
		{"below the first break nothing holds",
			"Part number,Supplier,From,Price\nRS-10,Corner Parts,1,0.10\nRS-10,Corner Parts,10,0.08\n",
			[]string{"RS-10|@10 0.07"},
			"Part number,Supplier,From,Price,As of\nRS-10,Corner Parts,10,0.07,2026-11-02\nRS-10,Corner Parts,10,0.07,2026-11-02\n", ""},
		{"a row without a price takes one",
			"Part number,Supplier,Price\nRS-10,Corner Parts,\n",
			[]string{"RS-10|@1 0.5 @10 0.4"},
			"Part number,Supplier,Price,From,As of\nRS-10,Corner Parts,0.50,,2026-11-02\nRS-10,Corner Parts,0.40,10,2026-11-02\n", ""},
		{"a row that names nobody takes the supplier too",
			"Part number,Supplier,Order code,Price,Currency,Note\nRS-10,,,,,R1\nXX,Other,,1,,\n",
			[]string{"RS-10 10-1|1 0.5"},
			"Part number,Supplier,Order code,Price,Currency,Note,As of\nRS-10,Corner Parts,10-1,0.50,EUR,R1,2026-11-02\nXX,Other,,1,,\n", ""},
		{"decimal commas, semicolons, quotes, a mark, line ends and no line end at the end",
			"\xEF\xBB\xBFPart number;Supplier;Price;Note\r\nRS-10;\"Corner Parts\";\"0,10\";\"a;b\"\r\n;;;\r\nXX;Other;1,5; spaced ",
			[]string{"RS-10|1 0.125", "YY|1 7"},
			"\xEF\xBB\xBFPart number;Supplier;Price;Note;As of\r\nRS-10;\"Corner Parts\";\"0,125\";\"a;b\";2026-11-02\r\n;;;\r\nXX;Other;1,5; spaced \r\nYY;Corner Parts;7,00;;2026-11-02", ""},
		{"a first line that names the separator, tabs, and rows that are empty below",
			"sep=\t\nPart number\tSupplier\tPrice\nRS-10\tCorner Parts\t2\n\t\t\n",
			[]string{"YY|1 1.5"},
			"sep=\t\nPart number\tSupplier\tPrice\tAs of\nRS-10\tCorner Parts\t2\nYY\tCorner Parts\t1.50\t2026-11-02\n\t\t\n", ""},
		{"a figure that could be read two ways is not written so",
			"Part number;Supplier;Price\n",
			[]string{"YY|1 1.234"},
			"Part number;Supplier;Price;As of\nYY;Corner Parts;1.2340;2026-11-02\n", ""},
		{"a name that a spreadsheet would take for a formula",
			"Part number,Supplier,Order code,Price\nXX,Other,,1\n",
			[]string{"YY =1+1|1 2"},
			"Part number,Supplier,Order code,Price,As of\nXX,Other,,1\nYY,Corner Parts,'=1+1,2.00,2026-11-02\n", ""},
		{"a last row over two lines",
			"Part number,Supplier,Price,Note\nRS-10,Corner Parts,2,\"two\nlines\"\n",
			[]string{"YY|1 1.5"},
			"Part number,Supplier,Price,Note,As of\nRS-10,Corner Parts,2,\"two\nlines\"\nYY,Corner Parts,1.50,,2026-11-02\n", ""},
		{"the order code of an offer without one, MOQ, multiple, pieces and currency in columns that are not there",
			"Part number,Supplier,Price\nRS-10,Corner Parts,2\n",
			[]string{"RS-10 10-1|1 250|moq 1 multiple 5 pieces 100 in GBP"},
			"Part number,Supplier,Price,Order code,Multiple,Pieces,Currency,As of\nRS-10,Corner Parts,250.00,10-1,5,100,GBP,2026-11-02\n", ""},
		{"bounds that no longer fit are taken out, others stay",
			"Part number,Supplier,Price,Low,High,As of\nRS-10,Corner Parts,2,1,2.5,\nRS-11,Corner Parts,2,1,5,\n",
			[]string{"RS-10|1 3", "RS-11|1 3"},
			"Part number,Supplier,Price,Low,High,As of\nRS-10,Corner Parts,3.00,1,,2026-11-02\nRS-11,Corner Parts,3.00,1,5,2026-11-02\n",
			`offers.csv:2:5: High no longer fits the price of RS-10 and is taken out ("2.5"); type a new range` + "\n"},
		{"a price with its sign stays where it is the same, and the file with it",
			"Part number,Supplier,Price,As of\nRS-10,Corner Parts,€2.00,2026-11-02\n",
			[]string{"RS-10|1 2"},
			"Part number,Supplier,Price,As of\nRS-10,Corner Parts,€2.00,2026-11-02\n", ""},
		{"something below the offers, where a row is added",
			"Part number,Supplier,Price\nRS-10,Corner Parts,2\nTotal,,2\n", []string{"YY|1 1.5"}, "",
			`offers.csv:3:1: something stands below the offers, where rows would be added ("Total"); move it above the headings or to another sheet` + "\n"},
		{"and where none is",
			"Part number,Supplier,Price,As of\nRS-10,Corner Parts,2,\nTotal,,2,\n", []string{"RS-10|1 1.5"},
			"Part number,Supplier,Price,As of\nRS-10,Corner Parts,1.50,2026-11-02\nTotal,,2,\n", ""},
	} {
		t.Run(c.why, func(t *testing.T) {
			var quoted []bom.QuotedPart
			for _, q := range c.quoted {
				quoted = append(quoted, priced(t, q))
			}
			out, said := put(t, "offers.csv", []byte(c.in), quoted)
			if string(out) != c.want || said != c.said {
				t.Errorf("%q\nis written, and should be\n%q\nsaid %q", out, c.want, said)
			}
		})
	}
}

// laidOut lays a quote out in tables that were read; nil where they hold no sound
// offers, or cannot take it.
func laidOut(t testing.TB, tables []bom.Table, quote []string) *Edit {
	t.Helper()
	all := tables
	if len(tables) == 1 {
		all = append(append([]bom.Table{}, tables...), settings...)
	}
	p, problems := sheet.ReadPrices(all, "prices", sheet.Options{})
	if problems.Failed() || p.Heads[bom.TabOffers] == nil {
		return nil
	}
	e, problems := quoting.Enter(quoting.Entering{Prices: p, Quoted: quotes(t, quote), AddUnknown: true})
	if problems.Failed() {
		return nil
	}
	for i := range tables {
		if sheet.TabOf(tables[i]) == bom.TabOffers {
			edit, problems := Lay(p, &tables[i], e.Offers)
			if problems.Failed() {
				return nil
			}
			return edit
		}
	}
	return nil
}
