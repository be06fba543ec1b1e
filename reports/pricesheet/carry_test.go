package pricesheet

import (
	"bytes"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/bom/table"
	"tenoff/reports/workbook"
)

func number2(s string) Value { return Value{Kind: Number, Number: decimal.RequireFromString(s)} }

// A tab that a workbook lacks is added after the others, which stay as they were; as a CSV
// file, a figure that reads two ways gets a nought.
func TestNewTab(t *testing.T) {
	changes := []RowChange{
		{Cells: map[string]Value{"Part number": {Kind: Text, Text: "A & <B>"}, "Quantity": number2("7.5"), "Unit value": number2("1.027"), "Given by": {}}},
		{Cells: map[string]Value{"Part number": {Kind: Text, Text: "=C"}, "Quantity": number2("3"), "Unit value": number2("0"), "Given by": {Kind: Text, Text: "club"}}},
	}
	tab, err := NewTab(bom.TabOnHand, changes)
	if err != nil {
		t.Fatal(err)
	}
	settings := bom.Table{Sheet: "settings", Rows: []bom.Row{
		{Number: 1, Cells: []bom.Cell{{Col: 1, Text: "Setting"}, {Col: 2, Text: "Value"}}},
		{Number: 2, Cells: []bom.Cell{{Col: 1, Text: "Home currency"}, {Col: 2, Text: "EUR"}}}}}
	var book bytes.Buffer
	if err := workbook.WriteInputs(&book, []bom.Table{settings}, workbook.InputsOptions{}); err != nil {
		t.Fatal(err)
	}
	before, _ := table.Read("p.xlsx", book.Bytes(), table.DefaultLimits())
	made, err := AddSheet(book.Bytes(), tab)
	if err != nil {
		t.Fatal(err)
	}
	after, problems := table.Read("p.xlsx", made, table.DefaultLimits())
	if problems.Failed() || len(after) != 2 || !reflect.DeepEqual(after[0], before[0]) {
		t.Fatalf("%v: %v", problems, after)
	}
	tab.File, tab.Signs = "p.xlsx", after[1].Signs
	if !reflect.DeepEqual(after[1], tab) {
		t.Errorf("added %v; meant %v", after[1], tab)
	}
	f, err := excelize.OpenReader(bytes.NewReader(made)) // another reader finds it as well
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, _ := f.GetCellValue("on hand", "A3"); got != "=C" {
		t.Errorf("another reader finds %q", got)
	}
	text, err := NewCSV(&tab)
	if want := "Part number,Quantity,Unit value,Given by\nA & <B>,7.5,1.0270,\n'=C,3,0,club\n"; err != nil || string(text) != want {
		t.Errorf("%v: %s", err, text)
	}
}

// Stock that the run took of and that has no row is told, and not put beside it.
func TestCarryKnowsItsRows(t *testing.T) {
	p := &bom.Prices{Name: "p.xlsx", OnHand: []bom.OnHand{
		{Dated: bom.Dated{Origin: bom.Origin{Row: 2}}, Part: "A", Quantity: bom.Whole(5), UnitValue: decimal.RequireFromString("1")},
		{Dated: bom.Dated{Origin: bom.Origin{Row: 3}}, Part: "A", UnitValue: decimal.RequireFromString("2"), GivenBy: "club"}}}
	left := func(part, value, giver string, before, is int64) Kept {
		return Kept{bom.RunLeft{Part: part, Value: decimal.RequireFromString(value), GivenBy: giver, Before: bom.Whole(before)}, decimal.NewFromInt(is)}
	}
	_, problems := Carry(p, []Kept{left("A", "1.5", "", 5, 2)}, bom.Date{})
	if !problems.Failed() {
		t.Error("stock at another value was carried over")
	}
	changes, problems := Carry(p, []Kept{left("a", "1.0", "", 5, 2), left("A", "3", "", 0, 4), left("A", "1", "", 0, 6), left("A", "4", "", 0, 1), left("A", "4.0", "", 0, 2)}, bom.Date{})
	if problems.Failed() || len(changes) != 3 {
		t.Fatalf("%v: %v", problems, changes)
	}
	for i, want := range []struct {
		row      int
		quantity string
	}{{2, "8"}, {3, "4"}, {0, "3"}} { // the empty row takes what has another value
		if c := changes[i]; c.Row != want.row || c.Cells["Quantity"].Number.String() != want.quantity {
			t.Errorf("change %d: %v", i, c)
		}
	}
}
