package reports

import (
	"slices"
	"strconv"

	"tenoff/bom"
	"tenoff/cost"
)

// ProductCostsName is the table of what each product costs by category.
const ProductCostsName = "Product costs"

// KeyMade is the key of the row of a category of ProductCosts, and ProductColumn that of the
// column of a product.
const KeyMade = "made"

// ProductColumn is the key of the column of a product.
func ProductColumn(product int) string { return KeyProduct + " " + strconv.Itoa(product) }

// forProduct opens the heading of a column that is of one product.
const forProduct = "for "

// RowAll is the key of the column of all products.
const RowAll = "all products"

// ProductCosts is what each product consumes of each category in each plan, and what that
// comes to for a unit. It has no rows where there is one product.
func ProductCosts(e *cost.Estimate) Table {
	money := AsMoney(e.Currency)
	t := Table{Name: ProductCostsName, Title: "what each product costs by category, in " + e.Currency.Code, Lead: 2,
		Columns: slices.Concat(batchColumn, plain("category"))}
	if !several(e) {
		return t
	}
	for j, p := range e.Products {
		t.column(Column{Key: ProductColumn(j), Heading: forProduct + p.Name, Format: money, Sum: true})
	}
	t.column(Column{Key: RowAll, Heading: RowAll, Format: money})
	for _, b := range bom.Refs(e.Batches) {
		for _, c := range cost.Categories {
			if a := b.Categories[c]; !a.Unpriced && a.Value().IsZero() {
				continue
			}
			t.addAs(RowKey(KeyMade, b.ID(), int(c)), madeRow(b, c.String(), b.Categories[c],
				func(p *cost.ProductRun) Value {
					return known(p.Categories[c].Consumed, p.Categories[c].Unpriced || b.Categories[c].Unpriced)
				})...)
		}
		all := madeRow(b, RowConsumed, b.Total, func(p *cost.ProductRun) Value { return known(p.Consumed, p.Unpriced || b.Total.Unpriced) })
		each := madeRow(b, "for one unit", b.Total, func(p *cost.ProductRun) Value {
			return known(p.PerUnit(p.Consumed), p.Unpriced || b.Total.Unpriced).As(AsUnitMoney(e.Currency)).where(p.Size > 0)
		})
		each[len(each)-1] = Nothing()
		t.addRow(Row{Key: TotalKey(b.ID()), Role: Total, Values: all})
		t.addRow(Row{Key: UnitOf(TotalKey(b.ID())), Role: Total, Values: each})
	}
	t.totalsLast()
	return t
}

// madeRow is what each product and all of them come to in a row.
func madeRow(b *cost.Batch, what string, all cost.Amounts, of func(*cost.ProductRun) Value) []Value {
	return slices.Concat([]Value{BatchValue(b.ID()), Text(what)}, bom.Each(b.Products, of), []Value{known(all.Consumed, all.Unpriced)})
}
