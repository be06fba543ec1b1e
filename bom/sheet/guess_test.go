package sheet

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
)

// TestNumbersOutOfReach: what is too large, or no number of pieces, is not taken for one.
func TestNumbersOutOfReach(t *testing.T) {
	for _, token := range []string{"0", "1000000001", "99999999999999999999"} {
		if n, ok := headNumber(token); ok {
			t.Errorf("a heading's %s is a quantity of %d", token, n)
		}
	}
	d := &decoder{}
	for _, unit := range []string{"0 pcs", "99999999999999999999 pcs"} {
		if n := d.unitOf(unit); n != 0 {
			t.Errorf("the unit %s is %d pieces", unit, n)
		}
	}
	if _, ok := (rowCash{}).with(bom.Cell{Kind: bom.Text, Text: "5 %"}); ok {
		t.Error("a percentage is what a row costs")
	}
	if noContent("+") {
		t.Error("a plus is nothing")
	}
}

// TestStockWithASign: a share or a price under Stock is no number of pieces.
func TestStockWithASign(t *testing.T) {
	for _, stock := range []string{"50 %", "€5"} {
		_, problems := ReadQuote("q.csv", files(csvTable("q.csv", "Part,Qty,Price,Stock\nRS-10,1,0.2,"+stock+"\n")), QuoteOptions{})
		if said := fmt.Sprint(problems); !strings.Contains(said, "the stock is not a number and is ignored") {
			t.Errorf("%s: %s", stock, said)
		}
	}
}

// TestRunningNumbersCountNothing: what numbers the rows is no quantity under a misspelt heading.
func TestRunningNumbersCountNothing(t *testing.T) {
	for list, reads := range map[string]bool{"1 2 3 4": false, "4 1 2 2": true} {
		n := strings.Fields(list)
		_, problems := ReadBOM("u.csv", files(csvTable("u.csv", fmt.Sprintf("Quantiy,Part number\n%s,A\n%s,B\n%s,C\n%s,D\n", n[0], n[1], n[2], n[3]))), Options{})
		if said := fmt.Sprint(problems); strings.Contains(said, "is read as Quantity") != reads {
			t.Errorf("%s: %s", list, said)
		}
	}
}

// TestFewRowsTellNoTotal: two rows and a total do not turn unit prices into those of rows, and one
// does not tell what a cost is of.
func TestFewRowsTellNoTotal(t *testing.T) {
	read, _ := ReadBOM("u.csv", files(csvTable("u.csv", "Part number,Quantity,Cost\nA,5,2.00\nTotal,,2.00\n")), Options{})
	if read.Lines[0].Offered.Breaks != nil {
		t.Errorf("one row and a total: %+v", read.Lines[0].Offered)
	}
	_, problems := ReadBOM("u.csv", files(csvTable("u.csv", "Part number,Quantity,Price\nA,2,1.00\nB,1,3.00\nTotal,,4.00\n")), Options{})
	if said := fmt.Sprint(problems); strings.Contains(said, "is read as that of its whole row") {
		t.Error(said)
	}
}

// TestYearsCountNothing: years beside parts, of a list without headings, are no quantities.
func TestYearsCountNothing(t *testing.T) {
	list := func(years ...int) (text string) {
		for i, year := range years {
			text += fmt.Sprintf("%c-%d00,%d,foo bar %d x\n", 'A'+i, i+1, year, i)
		}
		return text
	}
	for _, c := range []struct {
		list  string
		reads bool
	}{{list(2021, 2020, 2019, 2018, 2017, 2021), false}, {list(12, 20, 19, 18, 17, 12), true}} {
		_, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.list)), Options{})
		if problems.Failed() == c.reads {
			t.Errorf("%q: %v", c.list, problems)
		}
	}
	_, problems := ReadBOM("u.csv", files(csvTable("u.csv", "Part number,Description,Made\nA,foo,2021\nB,bar,2019\nC,baz,2020\n")), Options{})
	if said := fmt.Sprint(problems); strings.Contains(said, "Made=Quantity") {
		t.Error(said)
	}
}
