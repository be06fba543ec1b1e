package reports

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/cost/trial"
	"tenoff/fixtures/typed"
)

// Chances stand in table and JSON alike; without a budget nothing is said of
// one, and a batch without a price has no figures.
func TestChances(t *testing.T) {
	e := &Report{Estimate: typed.Frost(t, 10, 40)}
	if len(Chances(e).Rows) != 0 || len(Spreads(e).Rows) != 0 {
		t.Error("chances without trials")
	}
	labour := cost.Ranged{Name: "Labour rate per hour", Unit: "EUR per h", Pert: cost.Pert{Low: 2, Mode: 4, High: 12}}
	boards := cost.Ranged{Name: "good boards, MAIN", Unit: "%", Pert: cost.Pert{Low: 99.5, Mode: 99.5, High: 99.5}, Happens: true}
	e.Chances = &trial.Chances{Trials: 100, Seed: 9}
	for range e.Batches {
		e.Chances.Batches = append(e.Chances.Batches, trial.Outlook{
			Unit: trial.Three{P10: 1.23456, P50: 2, P90: 3}, Cash: trial.Three{P10: 10.005, P50: 20, P90: 30},
			Enough: 0.925, InBudget: 0.25,
			Spreads: []trial.Spread{{Ranged: labour, From: 1, To: 2.76544, OffBy: 1.76544, Share: 0.875}, {Ranged: boards, From: 1.5, To: 1.5, Share: 0.125}},
		})
	}
	written := func() (table, data string) {
		var b, j bytes.Buffer
		c, s := Chances(e), Spreads(e)
		for _, err := range []error{c.WriteCSV(&b), s.WriteCSV(&b), WriteJSON(&j, e)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		var got struct{ Chances json.RawMessage }
		if err := json.Unmarshal(j.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		return b.String(), strings.Join(strings.Fields(string(got.Chances)), "")
	}
	e.Chances.Batches[1].NoneGood = 7
	if notes := strings.Join(Chances(e).Notes, "\n"); !strings.Contains(notes, "batch 40: no unit comes out good in 7 of the trials") || strings.Contains(notes, "batch 10: no") {
		t.Errorf("notes %q", notes)
	}
	table, data := written()
	if !strings.Contains(data, `"none_good":7`) || strings.Count(data, "none_good") != 1 {
		t.Errorf("%s", data)
	}
	e.Chances.Batches[1].NoneGood = 0
	for _, want := range []string{
		"10,unit cost,EUR per unit,27.6530,1.2346,2.0000,3.0000,\n10,cash out,EUR,276.92,10.01,20.00,30.00,\n10,full yield,,,,,,92.5\n", "40,Labour rate per hour,range,2,4,12,EUR per h,1.0000,2.7654,1.7654,87.5\n40,\"good boards, MAIN\",chance,,99.5,,%,1.5000,1.5000,0.0000,12.5\n",
	} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is not in\n%s", want, table)
		}
	}
	if want := `{"batch":10,"unit":{"planned":"27.6530","p10":"1.2346","p50":"2.0000","p90":"3.0000"},"cash":{"planned":"276.92","p10":"10.01","p50":"20.00","p90":"30.00"},"all_good":0.925,"trials":100,"seed":9,"spread":[` +
		`{"input":"Labourrateperhour","drawn_by":"range","low":2,"value":4,"high":12,"in":"EURperh","unit_p10":"1.0000","unit_p90":"2.7654","off_by":"1.7654","share":0.875},` +
		`{"input":"goodboards,MAIN","drawn_by":"chance","value":99.5,"in":"%","unit_p10":"1.5000","unit_p90":"1.5000","off_by":"0.0000","share":0.125}]}`; !strings.Contains(data, want) {
		t.Errorf("JSON holds %s", data)
	}
	e.Chances.Budget = decimal.NewFromInt(15)
	e.Batches[0].Total.Unpriced = true
	table, data = written()
	for _, want := range []string{"10,unit cost,EUR per unit,?,?,?,?,\n10,cash out,EUR,?,?,?,?,\n10,full yield,,,,,,92.5\n10,within budget of 15.00,,,,,,?\n", "40,within budget of 15.00,,,,,,25.0\n", "10,Labour rate per hour,range,2,4,12,EUR per h,?,?,?,87.5\n"} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is not in\n%s", want, table)
		}
	}
	if strings.Count(data, "in_budget") != 1 || !strings.Contains(data, `"in_budget":0.25`) {
		t.Errorf("JSON holds %s", data)
	}
}
