package reports

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// Keys of the rows of Charge beside RowPrice.
const (
	RowCost     = "cost of a unit that is paid for"
	RowFee      = "payment fee"
	RowMargin   = "margin"
	RowTax      = "sales tax"
	RowRounding = "rounding up"
	RowSold     = "in for units that are paid for"
	RowShared   = "in for what recipients bear"
	RowFees     = "payment fees"
	RowTaxes    = "sales tax on all"
	RowNet      = "income after fees and tax"
	RowPaid     = "cash of the maker and the recipients"
	RowBack     = "of that to reclaim"
	RowStays    = "cash surplus (or shortfall) of the maker"
	RowOver     = "margin over cost"
)

// AtPrice is the key of a row of Charge that tells of the given price what
// another tells of the price to charge.
func AtPrice(key string) string { return "at the price: " + key }

// Charge is the price of a unit with the parts that it is made of, then both sides of the
// account, and the same at a given price; of several products the account alone. It has no
// rows where the settings ask for no price and none is given.
func Charge(r *Report) Table {
	e := r.Estimate
	t := Table{
		Name:    "Charge",
		Title:   "selling price and surplus",
		Lead:    2,
		Columns: plain("what", "unit: In"),
	}
	t.PerBatch(e, Column{Key: "value", Format: AsMoney(e.Currency)})
	asked := charges(e)
	if !asked && r.Pricing == nil {
		return t
	}
	if asked {
		for i := range max(1, len(e.Products)) {
			t.priceRows(r, i)
		}
		t.accountRows(r, "", func(key string) string { return key }, func(i int) cost.Income { return e.Batches[i].Charge.Income })
	}
	if p := r.Pricing; p != nil {
		at := shownPrices(r)
		if several(e) {
			t.note("these prices: " + at)
			at = "these prices"
		}
		t.accountRows(r, "at "+at+": ", AtPrice, func(i int) cost.Income { return p.Incomes[i] })
	}
	t.note("cash surplus of the maker, below 0 a shortfall: income after fees and tax, less the cash of the maker and the recipients that does not come back; " +
		"margin over cost: income after fees and tax, less what their part of the batch costs")
	return t
}

// OfProduct is the key of a row of Charge that tells of one of several products what another
// tells of the one there is.
func OfProduct(product int, key string) string {
	return KeyProduct + " " + strconv.Itoa(product) + ": " + key
}

// priceRows are the parts that the price of a unit of a product is made of.
func (t *Table) priceRows(r *Report, product int) {
	e := r.Estimate
	of := func(i int) *cost.Charge { return chargeOf(&e.Batches[i], product) }
	row := func(role Role, key string, part func(*cost.Charge) decimal.Decimal) {
		name := key
		if several(e) {
			key, name = OfProduct(product, key), e.Products[product].Name+": "+name
		}
		t.chargeRow(r, role, key, name, true, func(i int) decimal.Decimal { return part(of(i)) })
		if several(e) {
			for i := range e.Batches {
				if e.Batches[i].Products[product].Paying == 0 {
					t.Rows[len(t.Rows)-1].Values[t.Lead+i] = Nothing()
				}
			}
		}
	}
	row(Body, RowCost, func(c *cost.Charge) decimal.Decimal { return c.UnitCost })
	row(Body, RowFee, func(c *cost.Charge) decimal.Decimal { return c.Fee })
	row(Body, RowMargin, func(c *cost.Charge) decimal.Decimal { return c.Margin })
	row(Body, RowTax, func(c *cost.Charge) decimal.Decimal { return c.Tax })
	row(Body, RowRounding, func(c *cost.Charge) decimal.Decimal { return c.Rounding })
	row(Total, RowPrice, func(c *cost.Charge) decimal.Decimal { return c.Price })
}

// chargeOf is the price of a unit of a product, of which there may be one.
func chargeOf(b *cost.Batch, product int) *cost.Charge {
	if len(b.Products) > 1 {
		return &b.Products[product].Charge
	}
	return &b.Charge
}

// shownPrices are the prices that were given: "14.40", of several products "bell 5.00, gong
// 7.50".
func shownPrices(r *Report) string {
	var words []string
	for i, price := range r.Pricing.Prices {
		word := Number(price).Shown(AsPrice(r.Currency))
		if several(r.Estimate) {
			word = r.Products[i].Name + " " + word
		}
		words = append(words, word)
	}
	return strings.Join(words, ", ")
}

// accountRows tell both sides of the account at a price.
func (t *Table) accountRows(r *Report, at string, key func(string) string, income func(int) cost.Income) {
	e := r.Estimate
	row := func(name string, perUnit bool, figure func(cost.Income) decimal.Decimal) {
		t.chargeRow(r, Figure, key(name), at+name, false, func(i int) decimal.Decimal { return figure(income(i)) })
		if perUnit && !several(e) {
			t.chargeRow(r, Figure, UnitOf(key(name)), at+name, true, func(i int) decimal.Decimal {
				return e.Batches[i].PerUnit(figure(income(i)))
			})
		}
	}
	row(RowSold, false, func(x cost.Income) decimal.Decimal { return x.Sold })
	if recipients(e) != "" {
		row(RowShared, false, func(x cost.Income) decimal.Decimal { return x.Asked })
	}
	row(RowFees, false, func(x cost.Income) decimal.Decimal { return x.Fees })
	row(RowTaxes, false, func(x cost.Income) decimal.Decimal { return x.Tax })
	row(RowNet, false, func(x cost.Income) decimal.Decimal { return x.Net })
	paid := func(name string, figure func(cost.Till) decimal.Decimal) {
		t.chargeRow(r, Figure, key(name), at+name, false, func(i int) decimal.Decimal { return figure(e.Batches[i].Till) })
	}
	paid(RowPaid, func(x cost.Till) decimal.Decimal { return x.Cash })
	if slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return b.Till.Reclaim.IsPositive() }) {
		paid(RowBack, func(x cost.Till) decimal.Decimal { return x.Reclaim })
	}
	row(RowStays, true, func(x cost.Income) decimal.Decimal { return x.Stays })
	row(RowOver, true, func(x cost.Income) decimal.Decimal { return x.Over })
}

// chargeRow adds a row of money, in all or for one unit.
func (t *Table) chargeRow(r *Report, role Role, key, name string, perUnit bool, figure func(int) decimal.Decimal) {
	e := r.Estimate
	unit, format := e.Currency.Code, AsMoney(e.Currency)
	if perUnit {
		unit, format = unit+" per unit", AsUnitMoney(e.Currency)
	}
	values := []Value{Text(name), Text(unit)}
	for i, b := range bom.Refs(e.Batches) {
		free := b.Till.Paying == 0 && r.Pricing == nil // all units are
		values = append(values, known(figure(i), b.Total.Unpriced).As(format).where(!free))
	}
	t.addRow(Row{Key: key, Role: role, Values: values})
}

// BreakEven is from which batch size on a given price is enough. It has no rows
// where no price is given.
func BreakEven(r *Report) Table {
	e := r.Estimate
	t := Table{
		Name:  "Break-even",
		Title: "break-even batch",
		Lead:  1,
		Columns: slices.Concat(
			plain("what: Income after fees and tax covers"),
			columns(Column{Unit: e.Currency.Code}, "price"),
			columns(Column{Format: AsCount}, "first: First reached", "always: Always from", "from: Range tested from", "to"),
		),
	}
	p := r.Pricing
	if p == nil || p.To == 0 {
		return t
	}
	price := Text(shownPrices(r))
	if !several(e) {
		price = Number(p.Prices[0]).As(AsPrice(e.Currency))
	}
	for _, row := range covered(r) {
		t.addAs(row.what, Text(row.what), price, Count(row.at.First).where(row.at.First > 0),
			Count(row.at.Always).where(row.at.Always > 0), Count(p.From), Count(p.To))
	}
	if p.Unknown > 0 {
		t.note(fmt.Sprintf("left out: %s of the sizes, which cannot be bought", ShownCount(p.Unknown)))
	}
	return t
}

type cover struct {
	what string
	at   sweep.Under
}

// covered lists what income may cover: where others than the maker pay, what the
// maker pays stands apart.
func covered(r *Report) []cover {
	e, p := r.Estimate, r.Pricing
	out := []cover{{"all cash", p.Cash}, {"what is consumed", p.Consumed}}
	if len(bearers(e)) > 1 {
		out = append([]cover{{"the cash of maker and recipients", p.MakerCash}}, out...)
	}
	return out
}

// BreakEvenNotes says from which batch on a price is enough, a line for each
// thing that it may cover.
func BreakEvenNotes(r *Report) []string {
	e, p := r.Estimate, r.Pricing
	if p == nil {
		return nil
	}
	if p.To == 0 {
		return []string{"no break-even is looked for with several plans; --batch picks one"}
	}
	at := shownPrices(r)
	if !several(e) {
		at = "a price of " + at
	}
	notes := []string{fmt.Sprintf("break-even batch at %s %s (range tested: %s to %s)", at, e.Currency.Code, ShownCount(p.From), ShownCount(p.To))}
	for _, c := range covered(r) {
		notes = append(notes, c.what+": "+coverText(c.at, p.Last))
	}
	return append(notes, BreakEven(r).Notes...)
}

// coverText tells where something is covered.
func coverText(u sweep.Under, last int) string {
	first := "first reached at " + ShownCount(u.First)
	switch {
	case u.First == 0:
		return "not reached up to " + ShownCount(last)
	case u.Always == u.First:
		return first + ", and always from there"
	case u.Always == 0:
		return first + ", but not by every larger batch, nor by " + ShownCount(last)
	}
	return first + ", always from " + ShownCount(u.Always)
}
