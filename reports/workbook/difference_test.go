package workbook

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
)

// The steps of a difference add up by formulas, which the library works out to
// what they carry; a step that is changed moves the sums.
func TestDifferenceWorkbook(t *testing.T) {
	r := &revision.Comparison{
		Currency: bom.Currency{Code: "EUR", Digits: 2}, Batches: []int{3, 7}, IDs: []cost.BatchID{"3", "7"},
		Old: []cost.Costs{{Amounts: cost.Amounts{Consumed: dec("10.00")}}, {Amounts: cost.Amounts{Consumed: dec("20.00")}}}, New: []cost.Costs{{Amounts: cost.Amounts{Consumed: dec("12.50")}}, {Amounts: cost.Amounts{Consumed: dec("19.00")}}},
		Steps: []revision.Step{
			{Changes: []revision.LineChange{{Kind: revision.LineRemoved, What: "=OLD", From: "1"}},
				Costs: []revision.StepCost{{Consumed: dec("-2.00"), Unit: dec("-0.666666666667")}, {Consumed: dec("-3.00"), Unit: dec("-0.428571428571")}}},
			{Changes: []revision.LineChange{{Kind: revision.LineAdded, What: "FRESH", To: "2"}},
				Costs: []revision.StepCost{{Consumed: dec("4.50"), Unit: dec("1.5")}, {Consumed: dec("2.00"), Unit: dec("0.285714285714")}}},
		},
	}
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteDifference(w, "lamp", r, Options{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same difference gives other bytes")
	}
	if !IsOurs(a.Bytes()) {
		t.Error("it is not told as our own")
	}
	f := opened(t, a.Bytes())
	const sheet = "Difference"
	for _, c := range []struct{ cell, want, why string }{
		{"B5", "=OLD", "text that looks like a formula stays text"},
		{"E7", "0.8333", "change of the unit cost at 3: −2/3 + 1.5, shown to four decimals here"},
		{"F7", "2.5", "change in all at 3"},
		{"H7", "-1", "change in all at 7"},
		{"F8", "10", "old"},
		{"F9", "12.5", "new: old and the change"},
		{"G9", "2.7143", "new unit cost at 7: 20/7 − 1/7"},
	} {
		got, err := f.CalcCellValue(sheet, c.cell, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		if carried, _ := f.GetCellValue(sheet, c.cell, excelize.Options{RawCellValue: true}); c.cell != "B5" && (!dec(got).Round(4).Equal(dec(c.want)) || !dec(carried).Round(4).Equal(dec(c.want))) ||
			c.cell == "B5" && got != c.want {
			t.Errorf("%s gives %q, carries %q, want %q (%s)", c.cell, got, carried, c.want, c.why)
		}
	}
	if err := f.SetCellValue(sheet, "F5", -1); err != nil {
		t.Fatal(err)
	}
	if got, _ := f.CalcCellValue(sheet, "F9", excelize.Options{RawCellValue: true}); got != "13.5" {
		t.Errorf("with a step that takes a euro less off, the new cost is %q", got)
	}
}

// Without steps there is nothing to add up.
func TestDifferenceWorkbookOfNothing(t *testing.T) {
	same := []cost.Costs{{Amounts: cost.Amounts{Consumed: dec("10.00")}}}
	r := &revision.Comparison{Currency: bom.Currency{Code: "EUR", Digits: 2}, Batches: []int{3}, IDs: []cost.BatchID{"3"}, Old: same, New: same}
	var b bytes.Buffer
	if err := WriteDifference(&b, "lamp", r, Options{}); err != nil {
		t.Fatal(err)
	}
	f := opened(t, b.Bytes())
	rows, err := f.GetRows("Difference")
	if err != nil || len(rows) == 0 {
		t.Fatalf("%v, %d rows", err, len(rows))
	}
	for i := range rows {
		for j := range rows[i] {
			if formula, _ := f.GetCellFormula("Difference", at(j+1, i+1)); formula != "" {
				t.Errorf("%s is =%s", at(j+1, i+1), formula)
			}
		}
	}
}
