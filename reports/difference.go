package reports

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Rows of Difference beneath the steps.
const (
	RowOld = "old"
	RowNew = "new"
)

// Difference lays out what each change between two runs costs, step by step.
// Every column of money adds up to the last digit.
func Difference(r *cost.Revision) Table {
	code, perUnit, money := r.Currency.Code, AsUnitMoney(r.Currency), AsMoney(r.Currency)
	t := Table{
		Name:  "Difference",
		Title: "what each change does to the cost, applied one by one",
		Notes: []string{
			"order: new names in the price sheet; lines removed, added, changed; prices changed; names gone from the price sheet",
			"a change costs what it does after those above it; several in one step can only be bought together",
		},
		Lead: 2,
		Columns: []Column{
			{Key: "kind", Heading: "Change"},
			{Key: "what", Heading: "What"},
			{Key: "from", Heading: "From"},
			{Key: "to", Heading: "To"},
		},
	}
	for _, size := range r.Batches {
		t.column(Column{Key: "unit", Heading: "per unit", Unit: code, Batch: size, Format: perUnit},
			Column{Key: "used", Heading: "in all", Unit: code, Batch: size, Format: money})
	}
	for _, s := range r.Steps {
		var kinds, what, from, to []string
		for _, c := range s.Changes {
			if k := c.Kind.String(); len(kinds) == 0 || kinds[len(kinds)-1] != k {
				kinds = append(kinds, k)
			}
			what, from, to = append(what, c.What), appendText(from, c.From), appendText(to, c.To)
		}
		values := []Value{Text(strings.Join(kinds, ", ")), Text(strings.Join(what, "; ")), Text(strings.Join(from, "; ")), Text(strings.Join(to, "; "))}
		for _, c := range s.Costs {
			values = append(values, Number(c.Unit), Number(c.Used))
		}
		t.add(values...)
	}
	t.sums(r)
	return t
}

func appendText(list []string, s string) []string {
	if s == "" {
		return list
	}
	return append(list, s)
}

// sums adds the whole change, and the costs before and after.
func (t *Table) sums(r *cost.Revision) {
	row := func(role Role, key string, used func(i int) decimal.Decimal, unit func(i int) decimal.Decimal) {
		values := []Value{Text(key), Nothing(), Nothing(), Nothing()}
		for i := range r.Batches {
			values = append(values, Number(unit(i)), Number(used(i)))
		}
		t.addRow(Row{Key: key, Role: role, Values: values})
	}
	of := func(amounts []cost.Amounts) (used, unit func(i int) decimal.Decimal) {
		return func(i int) decimal.Decimal { return amounts[i].Used },
			func(i int) decimal.Decimal { b := cost.Batch{Size: r.Batches[i]}; return b.PerUnit(amounts[i].Used) }
	}
	oldUsed, oldUnit := of(r.Old)
	newUsed, newUnit := of(r.New)
	row(Total, "change", func(i int) decimal.Decimal { return newUsed(i).Sub(oldUsed(i)) },
		func(i int) decimal.Decimal { return newUnit(i).Sub(oldUnit(i)) })
	row(Figure, RowOld, oldUsed, oldUnit)
	row(Figure, RowNew, newUsed, newUnit)
}

// IsDifference tells whether the bytes start with the heading row of Difference,
// whatever the currency and the batch sizes.
func IsDifference(data []byte) bool {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	record, err := csv.NewReader(bytes.NewReader(line)).Read()
	t := Difference(&cost.Revision{
		Currency: bom.Currency{Code: "XXX"}, Batches: []int{1}, Old: make([]cost.Amounts, 1), New: make([]cost.Amounts, 1),
	})
	return err == nil && slices.Equal(headingShape(record), headingShape(t.headings()))
}
