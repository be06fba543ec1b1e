package reports

import (
	"bytes"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
)

// revised is a change in two steps, the second of two changes.
func revised() *revision.Comparison {
	n := decimal.RequireFromString
	run := func(consumed, cash string, days int64) []cost.Costs {
		return []cost.Costs{{Amounts: cost.Amounts{Consumed: n(consumed), Cash: n(cash)}, Plan: cost.Plan{Ready: bom.Whole(days), Known: true}}}
	}
	return &revision.Comparison{
		Currency: bom.Currency{Code: "EUR", Digits: 2}, Today: bom.Date{Year: 2026, Month: 11, Day: 25}, Batches: []int{3}, IDs: []cost.BatchID{"3"},
		Old: run("10.00", "11", 9), New: run("12.50", "13", 8),
		Steps: []revision.Step{
			{Changes: []revision.LineChange{{Kind: revision.LineRemoved, What: "=OLD", From: "1"}},
				Costs: []revision.StepCost{{Consumed: n("-2.00"), Cash: n("-3"), Unit: n("-0.666666666667")}}},
			{Changes: []revision.LineChange{{Kind: revision.LineAdded, What: "FRESH", To: "2"}, {Kind: revision.PriceChanged, What: "offers: FRESH", From: "1 row", To: "2 rows"}},
				Costs: []revision.StepCost{{Consumed: n("4.50"), Cash: n("5"), Unit: n("1.5"), OffBy: n("0.25")}}},
		},
	}
}

func TestDifferenceJSONGolden(t *testing.T) {
	var b bytes.Buffer
	if err := WriteDifferenceJSON(&b, revised(), []string{"offers.csv:3:8: warning: <old>"}); err != nil {
		t.Fatal(err)
	}
	golden(t, "difference.json", b.Bytes())
	if !IsDifferenceJSON(b.Bytes()) || IsOursJSON(b.Bytes()) || IsDifferenceJSON([]byte(`{"schema":"tenoff-estimate-2"}`)) || IsDifferenceJSON(nil) {
		t.Error("what is our own is not told from what is not")
	}
}

// Nothing that differs is said, and leaves sums that are all the same.
func TestDifferenceOfNothing(t *testing.T) {
	r := revised()
	r.New, r.Steps = r.Old, nil
	table := Difference(r)
	if table.Body() != 0 || !strings.Contains(strings.Join(table.Notes, "\n"), "nothing differs") {
		t.Errorf("%d steps, notes %q", table.Body(), table.Notes)
	}
	var b bytes.Buffer
	if err := WriteDifferenceJSON(&b, r, nil); err != nil || strings.Contains(b.String(), "null") {
		t.Errorf("%v in %s", err, b.String())
	}
}

// Steps, sums and the runs before and after stand under each batch; several
// changes of one step share its row.
func TestDifferenceTable(t *testing.T) {
	table := Difference(revised())
	var b bytes.Buffer
	if err := table.WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	want := `Change,What,From,To,Batch 3 unit cost EUR,Batch 3 consumed EUR
line removed,'=OLD,1,,-0.6667,-2.00
"line added, price changed",FRESH,1 row,2; 2 rows,1.5000,4.50
change,,,,0.8333,2.50
old,,,,3.3333,10.00
new,,,,4.1667,12.50
`
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
	if !IsDifference(b.Bytes()) || IsDifference([]byte("Change,What\n")) || IsDifference(nil) {
		t.Error("what is our own is not told from what is not")
	}
	if body := table.Body(); body != 2 || !strings.Contains(strings.Join(table.Notes, "\n"), "order:") {
		t.Errorf("%d steps; notes %q", body, table.Notes)
	}
}
