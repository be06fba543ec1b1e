package sheet

import (
	"strings"
	"testing"

	"tenoff/bom"
)

// TestBegin reads back what Begin writes: without an error, and with every assumption
// answered by the tab parts as it was made.
func TestBegin(t *testing.T) {
	starter := []bom.Table{csvTable("settings.csv", "Setting,Value,Note\nHome currency,EUR,\nLabour rate per hour,0,"),
		csvTable("hand-work.csv", "Operation,Applies to,Basis,Seconds,Note\nsolder,tht,joint,10,example: own\nscrew,fastener,piece,9,")}
	for _, c := range []struct {
		why, text string
		left      int
		want      string // rows of the tab parts: part|package|mount|joints|kind
	}{
		{"a package whose lines agree is one row", "Designator,Value,Package\nJ1,A,BOX_X\nJ2,B,BOX_X", 6, "|BOX_X|THT|2|"},
		{"a package whose lines do not is a row for each part", "Designator,Value,Package\nJ1,A,BOX_X\nU1,B,BOX_X", 6,
			"A BOX_X||THT|2| B BOX_X||SMT|8|"},
		{"one that is mounted two ways, too", "Designator,Value,Package,Joints\nJ1,A,BOX_X,2\nU1,B,BOX_X,2", 6,
			"A BOX_X||THT|| B BOX_X||SMT||"},
		{"what is nothing to buy stays so", "Designator,Value,Package\nJ1,A,BOX_X\nTP1,,BOX_X", 4, "A BOX_X||THT|2|"},
		{"a part by its number", "Designator,Part number\nJ1,BUCHSE-5", 4, "BUCHSE-5||THT|2|"},
		{"nothing but a designator", "Designator,Part number\nJ1,\nR1,RES-1", 6, "J1||THT|2| RES-1||SMT|2|"},
		{"no designator", "Quantity,Part number,Value\n2,FEET,\n1,HOOK,", 4, "FEET||||other HOOK||||other"},
		{"prices and who sells", "Designator,Part number,Mount,Joints,Price,Supplier,@25\nJ1,A,THT,2,0.50,Larch,0.25\nJ2,B,THT,2,,Larch,", 3, ""},
		{"a price and nobody who sells", "Designator,Part number,Mount,Joints,Price\nJ1,A,THT,2,1.234\nJ2,B,THT,2,", 5, ""},
	} {
		t.Run(c.why, func(t *testing.T) {
			read := func(opt Options) (*bom.Assembly, bom.Problems) {
				return ReadBOM("b.csv", func(string) ([]bom.Table, bom.Problems) { return []bom.Table{csvTable("b.csv", c.text)}, nil }, opt)
			}
			unit, problems := read(Options{})
			if problems.Failed() {
				t.Fatal(problems)
			}
			begun := Begin(unit, bom.Currency{Code: "EUR", Digits: 2}, starter)
			prices, problems := ReadPrices(begun.Tables, "p", Options{})
			if problems.Failed() || begun.Left != c.left {
				t.Errorf("%d cells left, want %d; said %v", begun.Left, c.left, problems)
			}
			lost := 0
			for l := range unit.MadeLines() {
				lost += len(l.Offered.Breaks)
			}
			for _, o := range prices.Offers {
				lost -= len(o.Breaks)
			}
			if lost != 0 {
				t.Errorf("%d prices are lost", lost)
			}
			var rows []string
			for _, r := range prices.Parts {
				joints := ""
				if r.Joints.Known {
					joints = bom.Whole(int64(r.Joints.Count)).String()
				}
				rows = append(rows, strings.Join([]string{r.Part, r.Package, string(r.Mount), joints, string(r.Kind)}, "|"))
			}
			if got := strings.Join(rows, " "); got != c.want {
				t.Errorf("parts %q, want %q", got, c.want)
			}
			again, problems := read(Options{Parts: prices.Parts})
			if assumed := problems.Of(bom.Assumption); problems.Failed() || len(assumed) > 0 {
				t.Errorf("read back: %v", problems)
			}
			if a, b := shownLines(unit), shownLines(again); a != b {
				t.Errorf("read back as\n%s\nand was\n%s", b, a)
			}
		})
	}
}

// shownLines tells of each line what is settled.
func shownLines(a *bom.Assembly) string {
	var b strings.Builder
	for _, l := range a.Lines {
		b.WriteString(strings.Join([]string{l.Part, string(l.Kind), string(l.Mount), bom.Whole(int64(l.Joints.Count)).String(), string(l.Side)}, "|"))
		if l.Nothing {
			b.WriteString(" nothing")
		}
		b.WriteString("\n")
		if l.Sub != nil {
			b.WriteString(shownLines(l.Sub))
		}
	}
	return b.String()
}

// TestOfUnits: the currency of all prices of a list, and whether it was made the list of a board.
func TestOfUnits(t *testing.T) {
	for _, c := range []struct {
		why, text, currency string
		board               bool
	}{
		{"one currency", "Qty,P/N,Price\n1,A,€1\n1,B,\n2,C,€3\n", "EUR", false},
		{"two", "Qty,P/N,Price\n1,A,€1\n1,B,£2\n", "", false},
		{"none that is known", "Qty,P/N,Price,Currency\n1,A,1,coins\n", "", false},
		{"a board", "Ref,P/N,Price\nR1,A,£1\n", "GBP", true},
		{"a board that the list names", "Qty,P/N,Kind,Price\n1,A,board,£1\n", "", false},
	} {
		unit, _ := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{})
		if _, board := BoardList(unit); board != c.board || CurrencyOf(unit) != c.currency {
			t.Errorf("%s: a board is %v, in %q", c.why, board, CurrencyOf(unit))
		}
	}
}

// TestListedCurrencies tells what the sign or code beside a price in a list may mean.
func TestListedCurrencies(t *testing.T) {
	for _, c := range []struct{ text, home, want string }{
		{"", "EUR", "EUR"}, {"€", "EUR", "EUR"}, {"eur", "EUR", "EUR"}, {"$", "CAD", "CAD"}, {"$", "EUR", "USD"}, {"GBP", "EUR", "GBP"}, {"coins", "EUR", ""},
	} {
		if got, _ := currencyOfList(c.text, bom.Currency{Code: c.home}); got != c.want {
			t.Errorf("%q where home is %s: %q, want %q", c.text, c.home, got, c.want)
		}
	}
}

// TestBeginOfWire: where the lists cut leads, the price sheet has a column for the ring that
// they are cut from, and says to what length; else it has none.
func TestBeginOfWire(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Quantity,Part number,Kind,Cut mm\n3,RED,wire,80\n2,RED,wire,150", "3 × 80 mm; 2 × 150 mm; leads, cut from rings where Cut from m has their length"},
		{"Quantity,Part number,Kind\n3,RED,wire", ""},
	} {
		unit, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{})
		if problems.Failed() {
			t.Fatal(problems)
		}
		for _, table := range Begin(unit, bom.Currency{Code: "EUR", Digits: 2}, nil).Tables {
			if TabOf(table) != bom.TabOffers {
				continue
			}
			text := ""
			for _, c := range table.Rows[0].Cells {
				text += "|" + c.Text
			}
			if has := strings.Contains(text, "Cut from m"); has != (c.want != "") {
				t.Errorf("a column Cut from m: %t", has)
			}
			note := table.Rows[1].Cells[len(table.Rows[1].Cells)-1].Text
			if c.want != "" && note != c.want {
				t.Errorf("said %q, want %q", note, c.want)
			}
		}
	}
}
