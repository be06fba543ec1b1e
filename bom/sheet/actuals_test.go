package sheet

import (
	"testing"

	"tenoff/bom"
)

const runItems = "Item,Planned,Actual\nHome currency,EUR,\nGood units,10,\nUnits started,11,\n"

// readRun reads an actuals workbook of the tab run and another.
func readRun(name, text string) (*bom.Actuals, bom.Problems) {
	tables := []bom.Table{csvTable("r/run.csv", runItems)}
	if name == "run" {
		tables = nil
	}
	if name != "" {
		tables = append(tables, csvTable("r/"+name+".csv", text))
	}
	return ReadActuals(tables, "r", Options{})
}

// What cannot be in an actuals workbook is told once, with its cell.
func TestBadActuals(t *testing.T) {
	for _, c := range []struct{ why, tab, text, want string }{
		{"no currency", "run", "Item,Planned\nGood units,10\nUnits started,10\n", "r/run.csv: the row Home currency is missing; a row for it, as estimate --actuals writes it"},
		{"no units", "run", "Item,Planned\nHome currency,EUR\nGood units,0\nUnits started,10\n", `r/run.csv:3:2: Planned: no unit is planned ("0"); the units of the plan`},
		{"half a unit", "run", "Item,Planned,Actual\nHome currency,EUR\nGood units,10,9.5\nUnits started,10\n", `r/run.csv:3:3: Actual: not a whole number ("9.5"); a whole number such as 12`},
		{"more good than started", "run", "Item,Planned,Actual\nHome currency,EUR\nGood units,10,12\nUnits started,11\n", `r/run.csv:3:3: more good units than were started ("12"); no more than the 11 units that were started`},
		{"an item twice", "run", "Item,Planned\nHome currency,EUR\nGood units,10\nUnits started,10\nGood units,12\n", `r/run.csv:5:1: Item: Good units stands twice, here and in row 3 ("Good units"); keep one row for it`},
		{"an item of another kind", "run", "Item,Planned\nHome currency,EUR\nGood units,10\nUnits started,10\nBad units,2\n", `r/run.csv:5:1: Item: not one of the choices ("Bad units"); one of Product, Level, Home currency, Planned on, Labour paid, Labour rate per hour, Good units, Units started, Unit yield %`},
		{"the same line twice", "purchases", "Supplier,Part number,Planned quantity,Planned price\nLarch,A,2,1\nlarch,A,2,1\n", `r/purchases.csv:3:2: Part number: the line stands twice, here and in row 2 ("A"); keep one row for it`},
		{"a price and no quantity", "purchases", "Supplier,Part number,Planned quantity,Planned price,Invoiced,Invoiced price\nLarch,A,,1,2,1\n", `r/purchases.csv:2:3: Planned quantity: a price is planned and no quantity; the planned quantity, or no planned price`},
		{"no planned price", "purchases", "Supplier,Part number,Planned quantity,Planned price\nLarch,A,2,\n", `r/purchases.csv:2:4: Planned price: blank where a quantity is planned; the planned price`},
		{"a currency without a rate", "purchases", "Supplier,Part number,Currency,Planned quantity,Planned price\nLarch,A,USD,2,1\n", `r/purchases.csv:2:3: Currency: no rate into EUR is known ("USD"); a row for Larch and USD in the tab rates`},
		{"an error of the spreadsheet", "purchases", "Supplier,Part number,Planned quantity,Planned price,Received\nLarch,A,2,1,#REF!\n", `r/purchases.csv:2:5: Received: error value from a spreadsheet ("#REF!"); the value that the formula should give`},
		{"another currency in the cell", "charges", "Payee,Charge,Planned,Invoiced\nLarch,delivery,5,$6\n", `r/charges.csv:2:4: Invoiced: typed in $ where the amount is in EUR ("$6"); an amount in EUR, or the other currency in the column for it`},
		{"more than all is kept", "charges", "Payee,Charge,Planned,Not consumed %\nState,tax,5,120\n", `r/charges.csv:2:4: Not consumed %: out of range ("120"); a percentage from 0 to 100`},
		{"a rate of nothing", "rates", "Payee,Currency,Planned rate,Rate paid\nLarch,USD,0.9,0\n", `r/rates.csv:2:4: Rate paid: a rate of 0 ("0"); a rate over 0, or a blank cell`},
		{"no rate at all", "rates", "Payee,Currency,Planned rate,Rate paid\nLarch,USD,,\n", `r/rates.csv:2:4: Rate paid: neither a planned rate nor one that was paid; what one of it cost in home currency`},
		{"the first hours alone", "hours", "Operation,Planned hours,Hours,First units,First hours\nsolder,3,4,,2\n", `r/hours.csv:2:4: First units: blank beside First hours; the units that were done in them`},
		{"more first hours than all", "hours", "Operation,Planned hours,Hours,First units,First hours\nsolder,3,4,5,6\n", `r/hours.csv:2:5: First hours: more than all hours ("6"); no more than 4`},
		{"failed and not printed", "plates", "Printer,Planned plates,Printed,Failed\nbench,3,,1\n", `r/plates.csv:2:3: Printed: blank beside Failed; the plates that were printed, those that failed with them`},
		{"more failed than printed", "plates", "Printer,Planned plates,Printed,Failed\nbench,3,4,5\n", `r/plates.csv:2:4: Failed: more than the plates that were printed ("5"); no more than 4`},
		{"more good boards than there are", "boards made", "Board,Planned,Populated,Good\nmain,11,,12\n", `r/boards made.csv:2:4: Good: more than the boards that were populated ("12"); no more than 11`},
		{"more taken than there is", "on hand after", "Part number,Unit value,Before,Taken\nA,1,3,4\n", `r/on hand after.csv:2:4: Taken: more is taken than is there ("4"); no more than 3`},
		{"a count in words", "on hand after", "Part number,Unit value,Surplus,Counted\nA,1,3,some\n", `r/on hand after.csv:2:4: Counted: not a number ("some"); a number such as 1234.56`},
	} {
		_, problems := readRun(c.tab, c.text)
		errors := problems.Of(bom.Error)
		if len(errors) != 1 || errors[0].String() != c.want {
			t.Errorf("%s:\n%v\nwant\n%s", c.why, errors, c.want)
		}
	}
}

// A tab that is missing, or blank where something can be filled in, is as planned; what is
// no tab is passed over.
func TestHalfFilledActuals(t *testing.T) {
	a, problems := readRun("", "")
	if len(problems) > 0 || a.Good.Actual.Valid || a.Good.Is().IntPart() != 10 {
		t.Errorf("%v: %+v", problems, a.Good)
	}
	a, problems = readRun("purchases", "Supplier,Part number,Planned quantity,Planned price,Received\nLarch,A,20,1.5,\nLarch,B,5,1,3\n")
	if len(problems) > 0 || len(a.Purchases) != 2 || a.Purchases[0].Received.Valid || a.Purchases[0].WasInvoiced().IntPart() != 20 || a.Purchases[1].WasInvoiced().IntPart() != 3 {
		t.Errorf("%v: %+v", problems, a.Purchases)
	}
	if _, problems = readRun("shopping", "Milk,2\n"); len(problems) != 1 || problems.Failed() {
		t.Errorf("another table: %v", problems)
	}
}
