package reports

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// amountColumn is one of the six amounts of everything that costs something. The key
// is that of the sums, the heading that of the row of Unit cost.
type amountColumn struct {
	key, heading string
	of           func(cost.Amounts) decimal.Decimal
}

var amountColumns = []amountColumn{
	{"cash", RowCash, func(a cost.Amounts) decimal.Decimal { return a.Cash }},
	{"own", RowOwn, func(a cost.Amounts) decimal.Decimal { return a.Own }},
	{"stock", RowStock, func(a cost.Amounts) decimal.Decimal { return a.Stock }},
	{"consumed", "consumed", func(a cost.Amounts) decimal.Decimal { return a.Consumed }},
	{"surplus", RowSurplus, func(a cost.Amounts) decimal.Decimal { return a.Surplus }},
	{"reclaim", RowReclaim, func(a cost.Amounts) decimal.Decimal { return a.Reclaim }},
}

// AmountRows are the rows of Unit cost that show the amounts of a batch, with the keys of
// the amounts.
func AmountRows(e *cost.Estimate) (rows [][2]string) {
	for _, c := range amountsOf(e) {
		if c.key != "consumed" {
			rows = append(rows, [2]string{c.heading, c.key})
		}
	}
	return rows
}

// sometimes tells of an amount that many runs have nothing of.
func (c *amountColumn) sometimes() bool { return c.key != "cash" && c.key != "consumed" }

// amountsOf are the amounts that an estimate has any of: cash out and what is consumed
// always.
func amountsOf(e *cost.Estimate) []amountColumn {
	return slices.DeleteFunc(slices.Clone(amountColumns), func(c amountColumn) bool {
		return c.sometimes() && !slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return !c.of(b.Total).IsZero() })
	})
}

// AmountKeys are the keys of the columns of Batch cost and Who pays.
func AmountKeys(e *cost.Estimate) []string { return keysOf(amountsOf(e)) }

func keysOf(amounts []amountColumn) []string {
	return bom.Each(amounts, func(c *amountColumn) string { return c.key })
}

// identity says what the amounts come to.
const identity = "cash out + own work + from stock = consumed + surplus stock + to reclaim"
