package reports

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// What is thin about a part is said in words: by how many the first batch falls short that
// does, else what the largest leaves; how few sources; how old the figures are.
func TestThinReasons(t *testing.T) {
	batches := []cost.BatchCover{{Batch: "10", Size: 10, Demand: bom.Whole(12)}, {Batch: "40", Size: 40, Demand: bom.Whole(48)}, {Batch: "1000", Size: 1000, Demand: bom.Whole(1200)}}
	offers := []cost.StockOffer{{Supplier: "Corner Parts"}}
	for _, row := range []struct {
		cover cost.StockCover
		want  string
	}{
		{cost.StockCover{Offers: offers, Stock: bom.Whole(47), MayRunOut: true, Sources: 2}, "batch 40 is short of 1"},
		{cost.StockCover{Offers: offers, Stock: bom.Whole(48), MayRunOut: true, Sources: 1, FewSources: true}, "batch 1,000 is short of 1,152; one source"},
		{cost.StockCover{Offers: offers, Stock: bom.Whole(1203), MayRunOut: true, Sources: 2, FewSources: true}, "batch 1,000 leaves 3; 2 sources"},
		{cost.StockCover{Offers: offers, MayRunOut: true, FewSources: true}, "nothing can be ordered"},
		{cost.StockCover{MayRunOut: true, FewSources: true}, "no offer with a price"},
		{cost.StockCover{Offers: offers, Stock: bom.Whole(9999), Sources: 1, FewSources: true, OldDays: 41}, "one source; 41 days old"},
		{cost.StockCover{Offers: offers, Enough: true, Sources: 2}, ""},
	} {
		row.cover.Batches = batches
		if got := strings.Join(ThinReasons(&row.cover), "; "); got != row.want {
			t.Errorf("%+v: %q, want %q", row.cover, got, row.want)
		}
	}
}

// The JSON says null of what is enough or not known, and nothing is left out.
func TestStockJSON(t *testing.T) {
	covers := []cost.StockCover{{
		Part: cost.Part{Key: "LED-1", Unit: "pieces"}, Stock: bom.Whole(50), Sources: 1, MayRunOut: true, FewSources: true, OldDays: 8,
		Batches:     []cost.BatchCover{{Batch: "10", Size: 10, Demand: bom.Whole(40), Cover: decimal.NewNullDecimal(decimal.RequireFromString("1.25"))}, {Batch: "20", Size: 20}},
		Offers:      []cost.StockOffer{{Supplier: "Corner Parts", Code: "C-1", Stock: bom.Whole(55), Most: bom.Whole(50), AsOf: bom.Date{Year: 2026, Month: 11, Day: 17}, OldDays: 8, LeadDays: 3, LeadKnown: true}},
		Substitutes: []string{"LED-2"},
	}, {
		Part: cost.Part{Key: "WIRE-R", Unit: "leads"}, Enough: true, Sources: 2, Batches: []cost.BatchCover{{Batch: "10", Size: 10, Demand: bom.Whole(2)}},
		Offers: []cost.StockOffer{{Supplier: "Far Parts", Enough: true, Most: bom.MaxQuantity}},
	}}
	run := &cost.Run{Level: bom.LevelKit, Today: bom.Date{Year: 2026, Month: 11, Day: 25},
		Prices: &bom.Prices{Settings: bom.Settings{ThinCover: decimal.RequireFromString("1.5"), FewSources: 2, StockAgeDays: 7}}}
	var b, compact bytes.Buffer
	if err := WriteStockJSON(&b, covers, run, []string{"mind this"}); err != nil {
		t.Fatal(err)
	}
	if err := json.Compact(&compact, b.Bytes()); err != nil {
		t.Fatal(err)
	}
	want := `{"schema":"tenoff-stock-1","level":"kit","date":"2026-11-25","thin_cover":1.5,"fewest_sources":2,"stock_age_limit_days":7,"parts":[` +
		`{"part":"LED-1","description":"","unit":"pieces","may_run_out":true,"few_sources":true,"old_days":8,"why":["batch 10 leaves 10","one source","8 days old"],` +
		`"batches":[{"batch":10,"required":40,"cover":1.25},{"batch":20,"required":0,"cover":null}],"stock":50,"sources":1,` +
		`"suppliers":[{"supplier":"Corner Parts","order_code":"C-1","stock":55,"can_be_ordered":50,"as_of":"2026-11-17","old_days":8,"lead_days":3}],"substitutes":["LED-2"]},` +
		`{"part":"WIRE-R","description":"","unit":"leads","may_run_out":false,"few_sources":false,"old_days":0,"why":[],"batches":[{"batch":10,"required":2,"cover":null}],"stock":null,"sources":2,` +
		`"suppliers":[{"supplier":"Far Parts","order_code":"","stock":null,"can_be_ordered":null,"old_days":0,"lead_days":null}],"substitutes":[]}],"warnings":["mind this"]}`
	if compact.String() != want {
		t.Errorf("%s\nwant\n%s", compact.String(), want)
	}
	run.Programme = &bom.Programme{}
	b.Reset()
	if err := WriteStockJSON(&b, nil, run, nil); err != nil || bytes.Contains(b.Bytes(), []byte(`"level"`)) {
		t.Errorf("several products are at one level: %v %s", err, b.Bytes())
	}
	if !IsStockJSON(b.Bytes()) || IsOursJSON(b.Bytes()) {
		t.Error("the JSON is not known by its schema")
	}
}
