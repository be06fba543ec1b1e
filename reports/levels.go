package reports

import (
	"strings"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// Levels puts the populated board, the kit and the finished unit side by side,
// a column for each level of each batch. Without levels it has no rows.
func Levels(r *Report) Table {
	e := r.Estimate
	t := Table{
		Name:    "Levels",
		Title:   "cost of one unit in " + e.Currency.Code + ": the populated board alone, the kit, and built",
		Lead:    1,
		Columns: plain("what"),
	}
	code, perUnit, money := e.Currency.Code, AsUnitMoney(e.Currency), AsMoney(e.Currency)
	for _, b := range e.Batches {
		for _, l := range bom.Levels {
			t.column(Column{Key: l.String(), Heading: l.String(), Batch: b.ID(), Format: perUnit})
		}
	}
	if len(r.Levels) == 0 {
		return t
	}
	row := func(role Role, key, in string, f Format, figure func(*sweep.LevelPoint) Value) {
		values := []Value{Text(strings.TrimSuffix(key+", "+in, ", "))}
		for i := range e.Batches {
			for _, l := range r.Levels {
				values = append(values, figure(&l.Points[i]).As(f))
			}
		}
		t.addRow(Row{Key: key, Role: role, Values: values})
	}
	for _, c := range cost.Categories {
		row(Body, c.String(), "", perUnit, func(p *sweep.LevelPoint) Value {
			return known(p.PerUnit(p.Categories[c].Consumed), p.Categories[c].Unpriced)
		})
	}
	row(Total, RowUnit, "", perUnit, func(p *sweep.LevelPoint) Value {
		return known(p.PerUnit(p.Total.Consumed), p.Total.Unpriced)
	})
	row(Figure, RowCashUnit, "", perUnit, func(p *sweep.LevelPoint) Value {
		return known(p.PerUnit(p.Total.Cash), p.Total.Unpriced)
	})
	row(Figure, RowCash, code, money, func(p *sweep.LevelPoint) Value { return known(p.Total.Cash, p.Total.Unpriced) })
	row(Figure, RowSurplus, code, money, func(p *sweep.LevelPoint) Value { return known(p.Total.Surplus, p.Total.Unpriced) })
	row(Figure, RowWork, "h", AsHours, func(p *sweep.LevelPoint) Value { return Float(p.Hours) })
	for i, b := range e.Batches {
		for _, l := range r.Levels {
			t.unsure(e.Currency, "batch "+b.ID().Shown()+", "+l.Level.String(), l.Points[i].OffBy)
		}
	}
	return t
}
