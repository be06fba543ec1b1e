package reports

import (
	"fmt"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/cost"
)

// Keys of the rows of Charge beside RowUnit and RowPrice.
const (
	RowFee      = "payment fee"
	RowMargin   = "margin"
	RowRounding = "rounding up"
	RowNet      = "income after payment fees"
	RowStays    = "stays with the maker"
	RowOver     = "stays over what is used"
)

// AtPrice is the key of a row of Charge that tells of the given price what
// another tells of the price to charge.
func AtPrice(key string) string { return "at the price: " + key }

// Charge is what to charge for one unit with the parts that it is made of, what
// comes in, and what stays with the maker; then the same of a given price. It
// has no rows where the settings ask for no price and none is given.
func Charge(e *cost.Estimate) Table {
	t := Table{
		Name:    "Charge",
		Title:   "what to charge for one unit, and what stays",
		Lead:    2,
		Columns: []Column{{Key: "what", Heading: "What"}, {Key: "unit", Heading: "In"}},
	}
	t.perBatch(e, Column{Key: "value", Format: AsMoney(e.Currency)})
	asked := charges(e)
	if !asked && e.Pricing == nil {
		return t
	}
	parts := func(role Role, key string, of func(*cost.Charge) decimal.Decimal) {
		t.chargeRow(e, role, key, key, true, func(i int) decimal.Decimal { return of(&e.Batches[i].Charge) })
	}
	if asked {
		parts(Body, RowUnit, func(c *cost.Charge) decimal.Decimal { return c.UnitCost })
		parts(Body, RowFee, func(c *cost.Charge) decimal.Decimal { return c.Income.Fee })
		parts(Body, RowMargin, func(c *cost.Charge) decimal.Decimal { return c.Margin })
		parts(Body, RowRounding, func(c *cost.Charge) decimal.Decimal { return c.Rounding })
		parts(Total, RowPrice, func(c *cost.Charge) decimal.Decimal { return c.Price })
		t.incomeRows(e, "", func(key string) string { return key }, func(i int) cost.Income { return e.Batches[i].Charge.Income })
	}
	if p := e.Pricing; p != nil {
		at := "at " + Number(p.Price).Exact(AsPrice(e.Currency)) + ": "
		t.chargeRow(e, Figure, AtPrice(RowFee), at+RowFee, true, func(i int) decimal.Decimal { return p.Incomes[i].Fee })
		t.incomeRows(e, at, AtPrice, func(i int) cost.Income { return p.Incomes[i] })
	}
	t.note("stays with the maker: income after payment fees less the cash that the maker pays; " +
		"over what is used: less the value of all that is used, whoever bears it")
	return t
}

// incomeRows tell what comes in at a price and what of it stays.
func (t *Table) incomeRows(e *cost.Estimate, at string, key func(string) string, income func(int) cost.Income) {
	row := func(name string, figure func(int) decimal.Decimal) {
		t.chargeRow(e, Figure, key(name), at+name, false, figure)
		t.chargeRow(e, Figure, UnitOf(key(name)), at+name, true, func(i int) decimal.Decimal {
			return e.Batches[i].PerUnit(figure(i))
		})
	}
	t.chargeRow(e, Figure, key(RowNet), at+RowNet, false, func(i int) decimal.Decimal { return income(i).Net })
	row(RowStays, func(i int) decimal.Decimal { return income(i).Stays })
	row(RowOver, func(i int) decimal.Decimal { return income(i).Over })
}

// chargeRow adds a row of money, in all or for one unit.
func (t *Table) chargeRow(e *cost.Estimate, role Role, key, name string, perUnit bool, figure func(int) decimal.Decimal) {
	unit, format := e.Currency.Code, AsMoney(e.Currency)
	if perUnit {
		unit, format = unit+" per unit", AsUnitMoney(e.Currency)
	}
	values := []Value{Text(name), Text(unit)}
	for i := range e.Batches {
		values = append(values, known(figure(i), e.Batches[i].Total.Unpriced).As(format))
	}
	t.addRow(Row{Key: key, Role: role, Values: values})
}

// BreakEven is from which batch size on a given price is enough. It has no rows
// where no price is given.
func BreakEven(e *cost.Estimate) Table {
	t := Table{
		Name:  "Break even",
		Title: "from which batch on a price is enough",
		Lead:  1,
		Columns: []Column{
			{Key: "what", Heading: "Income after payment fees covers"},
			{Key: "price", Heading: "Price", Unit: e.Currency.Code, Format: AsPrice(e.Currency)},
			{Key: "first", Heading: "First at", Format: AsCount},
			{Key: "always", Heading: "At all from", Format: AsCount},
			{Key: "from", Heading: "Looked at from", Format: AsCount},
			{Key: "to", Heading: "To", Format: AsCount},
		},
	}
	p := e.Pricing
	if p == nil {
		return t
	}
	for _, row := range covered(e) {
		t.addAs(row.what, Text(row.what), Number(p.Price), size(row.at.First), size(row.at.Always), Count(p.From), Count(p.To))
	}
	if p.Unknown > 0 {
		t.note(fmt.Sprintf("%d of the sizes have no price and are passed over", p.Unknown))
	}
	return t
}

// size is a batch size; none shows as nothing.
func size(n int) Value {
	if n == 0 {
		return Nothing()
	}
	return Count(n)
}

type cover struct {
	what string
	at   cost.Under
}

// covered lists what income may cover: where others than the maker pay, what the
// maker pays stands apart.
func covered(e *cost.Estimate) []cover {
	p := e.Pricing
	out := []cover{{"all cash", p.Cash}, {"what is used", p.Consumed}}
	if len(bearers(e)) > 1 {
		out = append([]cover{{"what the maker pays", p.MakerCash}}, out...)
	}
	return out
}

// BreakEvenNotes says from which batch on a price is enough, a line for each
// thing that it may cover.
func BreakEvenNotes(e *cost.Estimate) []string {
	p := e.Pricing
	if p == nil {
		return nil
	}
	price := Number(p.Price).Exact(AsPrice(e.Currency)) + " " + e.Currency.Code
	notes := []string{fmt.Sprintf("at a price of %s, batches of %d to %d looked at:", price, p.From, p.To)}
	for _, c := range covered(e) {
		notes = append(notes, c.what+": "+coverText(c.at, p.Last))
	}
	return append(notes, BreakEven(e).Notes...)
}

// coverText tells where something is covered.
func coverText(u cost.Under, last int) string {
	first := "covered from a batch of " + strconv.Itoa(u.First)
	switch {
	case u.First == 0:
		return "not covered by any"
	case u.Always == u.First:
		return first + " on"
	case u.Always == 0:
		return first + ", but not by all larger ones, nor by " + strconv.Itoa(last)
	}
	return first + ", and by all from " + strconv.Itoa(u.Always) + " on"
}
