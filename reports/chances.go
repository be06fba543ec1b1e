package reports

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/cost/trial"
)

// Chances is what each batch may turn out to cost, a row for each. Without
// trials it has no rows.
func Chances(r *Report) Table {
	e := r.Estimate
	code, perUnit, money := e.Currency.Code, AsUnitMoney(e.Currency), AsMoney(e.Currency)
	t := Table{
		Name:  "Risk",
		Title: "risk: what each batch may cost, purchases and units to start as planned",
		Notes: []string{
			"P10, P50, P90: not exceeded in 10, 50 and 90 of 100 trials; unit cost is for each good unit, and no more than are wanted",
		},
		Lead: 2,
		Columns: slices.Concat(
			batchColumn, plain("what", "unit: In"),
			columns(Column{Format: perUnit}, "planned", "p10", "p50", "p90"),
			columns(Column{Unit: "%", Format: AsShare}, "chance"),
		),
	}
	c := r.Chances
	if c == nil {
		return t
	}
	if slices.ContainsFunc(c.Batches, func(o trial.Outlook) bool { return o.Plates }) {
		t.note("planned counts on as many plates as it takes on average; a trial prints as many as it happens to need")
	}
	t.note(fmt.Sprintf("%s trials from seed %d; full yield: as many units come out good as were planned", ShownCount(c.Trials), c.Seed))
	for i, o := range c.Batches {
		if o.NoneGood > 0 {
			t.note(fmt.Sprintf("batch %s: no unit comes out good in %d of the trials, whose unit cost is all that is consumed", e.Batches[i].ID().Shown(), o.NoneGood))
		}
		b := &e.Batches[i]
		unknown := b.Total.Unpriced
		row := func(what, in string, f Format, planned decimal.Decimal, three trial.Three) {
			t.add(BatchValue(e.Batches[i].ID()), Text(what), Text(in), known(planned, unknown).As(f), Float(three.P10).unless(unknown).As(f), Float(three.P50).unless(unknown).As(f),
				Float(three.P90).unless(unknown).As(f), Nothing())
		}
		row(RowUnit, code+" per unit", perUnit, b.PerUnit(b.Total.Consumed), o.Unit)
		row(RowCash, code, money, b.Total.Cash, o.Cash)
		share := func(what string, v Value) {
			t.add(BatchValue(e.Batches[i].ID()), Text(what), Nothing(), Nothing(), Nothing(), Nothing(), Nothing(), v)
		}
		share("full yield", Float(100*o.Enough))
		if c.Budget.IsPositive() {
			share("within budget of "+Number(c.Budget).Shown(money), Float(100*o.InBudget).unless(unknown))
		}
	}
	return t
}

// AsShare is the format of a chance in percent.
var AsShare = Format{Kind: KindPercent, Digits: 1, Keep: 2, Trim: true}

// SpreadName is the sheet that ranks what drives the unit cost apart.
const SpreadName = "Cost drivers"

// Keys of its columns that charts are drawn from.
const (
	ColumnInput = "input"
	ColumnShare = "share"
)

// Spreads ranks the figures that may turn out otherwise, and what happens by
// chance, by how much of the spread of the unit cost each carries.
func Spreads(r *Report) Table {
	e := r.Estimate
	perUnit := AsUnitMoney(e.Currency)
	t := Table{
		Name:  SpreadName,
		Title: "cost drivers: what the unit cost varies with, the largest first",
		Notes: []string{
			"unit cost when this alone varies and all else is as planned: not exceeded in 10 and 90 of 100 cases (Unit P10, P90), and its standard deviation",
			"Share: the square of the standard deviation, of the sum over all rows of the batch",
		},
		Lead: 2,
		Columns: slices.Concat(
			batchColumn, plain(ColumnInput+": Figure", "why: Varies by"),
			columns(Column{Format: AsQuantity}, "low", "value", "high"),
			plain("unit: In"),
			columns(Column{Unit: e.Currency.Code, Format: perUnit}, "unit p10: Unit P10", "unit p90: Unit P90", "off by: Std deviation"),
			columns(Column{Unit: "%", Format: AsShare}, ColumnShare),
		),
	}
	if r.Chances == nil {
		return t
	}
	for i, o := range r.Chances.Batches {
		unknown := e.Batches[i].Total.Unpriced
		for _, s := range o.Spreads {
			uncertain := !s.Certain()
			t.add(BatchValue(e.Batches[i].ID()), Text(s.Name), Text(drawnBy(s.Ranged)), Float(s.Low).where(uncertain), Float(s.Mode),
				Float(s.High).where(uncertain), Text(s.Unit),
				Float(s.From).unless(unknown), Float(s.To).unless(unknown), Float(s.OffBy).unless(unknown), Float(100*s.Share))
		}
	}
	return t
}

// drawnBy says why a figure is not certain.
func drawnBy(r cost.Ranged) string {
	switch {
	case r.Happens && r.Certain():
		return "chance"
	case r.Happens:
		return "range and chance"
	case r.Old:
		return "age"
	}
	return "range"
}

// spreadsShown is how many rows of each batch LargestSpreads has.
const spreadsShown = 6

// LargestSpreads is the top of the ranking of each batch; what is left out stands together in
// one row.
func LargestSpreads(r *Report) Table {
	t := Spreads(r).Only("batch", ColumnInput, "off by", ColumnShare)
	t.Notes = []string{"std deviation: of the unit cost when this alone varies; share: its square, of the sum over all"}
	if r.Chances == nil {
		return t
	}
	all := t.Rows
	t.Rows = nil
	for _, o := range r.Chances.Batches {
		top := len(o.Spreads)
		if top > spreadsShown+1 {
			top = spreadsShown
		}
		t.Rows = append(t.Rows, all[:top]...)
		if rest := o.Spreads[top:]; len(rest) > 0 {
			share := 0.0
			for _, s := range rest {
				share += s.Share
			}
			t.add(all[0].Values[0], Text(fmt.Sprintf("%d others together", len(rest))), Nothing(), Float(100*share))
		}
		all = all[len(o.Spreads):]
	}
	return t
}

// jsonChances is what each batch may turn out to cost. Money is as elsewhere; shares are
// numbers from 0 to 1; none_good counts the trials in which no unit comes out good.
func jsonChances(r *Report) (out []object) {
	e, c := r.Estimate, r.Chances
	if c == nil {
		return nil
	}
	for i, o := range c.Batches {
		b := &e.Batches[i]
		unknown := b.Total.Unpriced
		three := func(planned decimal.Decimal, t trial.Three, f Format) object {
			text := func(v float64) string { return Float(v).unless(unknown).Exact(f) }
			return object{{"planned", known(planned, unknown).Exact(f)}, {"p10", text(t.P10)}, {"p50", text(t.P50)},
				{"p90", text(t.P90)}}
		}
		one := append(jsonID(b.Size, b.ID()), field{"unit", three(b.PerUnit(b.Total.Consumed), o.Unit, AsUnitMoney(e.Currency))},
			field{"cash", three(b.Total.Cash, o.Cash, AsMoney(e.Currency))}, field{"all_good", o.Enough},
			field{"none_good", ifGiven(o.NoneGood)})
		if c.Budget.IsPositive() && !unknown {
			one = append(one, field{"in_budget", o.InBudget})
		}
		out = append(out, append(one, field{"trials", c.Trials}, field{"seed", c.Seed},
			field{"spread", jsonSpreads(e, o, unknown)}))
	}
	return out
}

// jsonSpreads is what each input carries: the unit cost when it alone is drawn, and its
// standard deviation, off_by. What is certain but for chance has no low and no high; in is
// what low, value and high are counted in.
func jsonSpreads(e *cost.Estimate, o trial.Outlook, unknown bool) (out []object) {
	each := func(f float64) string { return Float(f).unless(unknown).Exact(AsUnitMoney(e.Currency)) }
	for _, s := range o.Spreads {
		var low, high any
		if !s.Certain() {
			low, high = jsonFloat(s.Low, AsQuantity), jsonFloat(s.High, AsQuantity)
		}
		out = append(out, object{
			{"input", s.Name}, {"drawn_by", drawnBy(s.Ranged)}, {"low", low}, {"value", jsonFloat(s.Mode, AsQuantity)},
			{"high", high}, {"in", s.Unit},
			{"unit_p10", each(s.From)}, {"unit_p90", each(s.To)}, {"off_by", each(s.OffBy)}, {"share", s.Share},
		})
	}
	return out
}
