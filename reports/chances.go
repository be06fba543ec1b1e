package reports

import (
	"fmt"

	"tenoff/cost"
)

// Chances is what each batch may turn out to cost, a row for each. Without
// trials it has no rows.
func Chances(e *cost.Estimate) Table {
	code, perUnit, money := e.Currency.Code, AsUnitMoney(e.Currency), AsMoney(e.Currency)
	t := Table{
		Name:  "Chances",
		Title: "what each batch may turn out to cost, its purchases and starts held as planned",
		Notes: []string{
			"P10, P50, P90: not exceeded in 10, 50 and 90 of 100 trials; unit cost is for each good unit, and no more than are wanted",
		},
		Lead: 1,
		Columns: []Column{
			batchColumn,
			{Key: "unit p10", Heading: "Unit P10", Unit: code, Format: perUnit},
			{Key: "unit p50", Heading: "Unit P50", Unit: code, Format: perUnit},
			{Key: "unit p90", Heading: "Unit P90", Unit: code, Format: perUnit},
			{Key: "cash p10", Heading: "Cash P10", Unit: code, Format: money},
			{Key: "cash p50", Heading: "Cash P50", Unit: code, Format: money},
			{Key: "cash p90", Heading: "Cash P90", Unit: code, Format: money},
			{Key: "enough", Heading: "All good", Unit: "%", Format: AsShare},
			{Key: "budget", Heading: "In budget", Unit: "%", Format: AsShare},
		},
	}
	c := e.Chances
	if c == nil {
		return t
	}
	t.note(fmt.Sprintf("%d trials from seed %d; all good: as many good units as are wanted come out", c.Trials, c.Seed))
	for i, o := range c.Batches {
		unknown := e.Batches[i].Total.Unpriced
		values := []Value{Count(o.Size)}
		for _, three := range []cost.Three{o.Unit, o.Cash} {
			for _, f := range []float64{three.P10, three.P50, three.P90} {
				values = append(values, moneyOf(f, unknown))
			}
		}
		budget := Nothing()
		if c.Budget.IsPositive() {
			budget = Float(100 * o.InBudget)
			if unknown {
				budget = Unknown()
			}
		}
		t.add(append(values, Float(100*o.Enough), budget)...)
	}
	return t
}

// AsShare is the format of a chance in percent.
var AsShare = Format{Kind: KindPercent, Digits: 1, Keep: 2, Trim: true}

// moneyOf is money that was drawn and is no sum of lines.
func moneyOf(f float64, unknown bool) Value {
	if unknown {
		return Unknown()
	}
	return Float(f)
}

// Spreads ranks the figures that may turn out otherwise by how far each alone
// drives the unit cost apart.
func Spreads(e *cost.Estimate) Table {
	t := Table{
		Name:  "Spread",
		Title: "how far each figure alone drives the unit cost apart, P10 to P90, the widest first",
		Lead:  2,
		Columns: []Column{
			batchColumn,
			{Key: "input", Heading: "Setting"},
			{Key: "low", Heading: "Low", Format: AsQuantity},
			{Key: "value", Heading: "Value", Format: AsQuantity},
			{Key: "high", Heading: "High", Format: AsQuantity},
			{Key: "spread", Heading: "Spread", Unit: e.Currency.Code, Format: AsUnitMoney(e.Currency)},
		},
	}
	if e.Chances == nil {
		return t
	}
	for i, o := range e.Chances.Batches {
		for _, s := range o.Spreads {
			in := e.Chances.Inputs[s.Input]
			t.add(Count(o.Size), Text(in.Name), Float(in.Low), Float(in.Mode), Float(in.High), moneyOf(s.Width, e.Batches[i].Total.Unpriced))
		}
	}
	return t
}

// jsonChance is what one batch may turn out to cost. Money is as elsewhere;
// shares are numbers from 0 to 1.
type jsonChance struct {
	Batch    int      `json:"batch"`
	Unit     jsonP    `json:"unit"`
	Cash     jsonP    `json:"cash"`
	AllGood  float64  `json:"all_good"`
	InBudget *float64 `json:"in_budget,omitempty"`
}

type jsonP struct {
	P10 string `json:"p10"`
	P50 string `json:"p50"`
	P90 string `json:"p90"`
}

func jsonChances(e *cost.Estimate) []jsonChance {
	if e.Chances == nil {
		return nil
	}
	var out []jsonChance
	for i, o := range e.Chances.Batches {
		unknown := e.Batches[i].Total.Unpriced
		three := func(t cost.Three, f Format) jsonP {
			text := func(v float64) string { return moneyOf(v, unknown).Exact(f) }
			return jsonP{text(t.P10), text(t.P50), text(t.P90)}
		}
		j := jsonChance{Batch: o.Size, Unit: three(o.Unit, AsUnitMoney(e.Currency)), Cash: three(o.Cash, AsMoney(e.Currency)), AllGood: o.Enough}
		if e.Chances.Budget.IsPositive() && !unknown {
			j.InBudget = &e.Chances.Batches[i].InBudget
		}
		out = append(out, j)
	}
	return out
}
