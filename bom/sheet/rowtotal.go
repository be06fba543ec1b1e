package sheet

import (
	"fmt"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// rowCash is what a row says of money: how many pieces, what one costs and what they do.
type rowCash struct{ n, each, all decimal.Decimal }

// cashIn reads how many pieces a row is of and what one costs; ok is false where nothing is
// bought, or the figures do not read.
func cashIn(row bom.Row, quantity, one int) (c rowCash, ok bool) {
	n, _ := bom.ParseWhole(find(row, quantity).Text, bom.MarkDot)
	c = rowCash{n: decimal.NewFromInt(n), each: figureIn(row, one)}
	return c, n > 0 && c.each.IsPositive()
}

// with adds what stands in another cell as the total; ok is false where that is no figure.
func (c rowCash) with(cell bom.Cell) (all rowCash, ok bool) {
	f, err := bom.ParseFigure(cell.Text, bom.MarkUnknown)
	c.all = f.Value
	return c, err == nil && !f.Percent
}

// agrees tells whether a row's total is quantity × price. Either may be shown rounded: to
// cents, or to more decimals where it has them. A spreadsheet keeps 15 digits.
func (c rowCash) agrees() bool {
	within := c.n.Mul(halfDigit(c.each)).Add(halfDigit(c.all)).Add(c.all.Abs().Shift(-12))
	return c.all.Sub(c.each.Mul(c.n)).Abs().LessThanOrEqual(within)
}

// halfDigit is half a unit of the last digit that a figure is shown with, or half a cent
// where it has fewer.
func halfDigit(d decimal.Decimal) decimal.Decimal { return decimal.New(5, min(-3, d.Exponent()-1)) }

// cashTally counts the rows whose total is quantity × price, and of several pieces those in
// which it is and is not.
type cashTally struct{ agree, several, differ int }

// mostly tells whether a total is quantity × price in most rows of several pieces.
func (t cashTally) mostly() bool { return t.several > 3*t.differ }

// tallyCash holds each column against the quantity × what stands in one.
func tallyCash(rows []bom.Row, quantity, one int) map[int]cashTally {
	tallies := map[int]cashTally{}
	for _, row := range rows[:min(len(rows), contentRows)] {
		cash, ok := cashIn(row, quantity, one)
		if !ok {
			continue
		}
		several := !cash.n.Equal(decimal.NewFromInt(1))
		for _, cell := range row.Cells {
			c, ok := cash.with(cell)
			t := tallies[cell.Col]
			switch {
			case !ok || cell.Col == quantity:
			case c.agrees():
				if t.agree++; several {
					t.several++
				}
			case several:
				t.differ++
			}
			tallies[cell.Col] = t
		}
	}
	return tallies
}

// multiplied tells whether a column holds the quantity × what one costs.
func multiplied(rows []bom.Row, quantity, one, all int) bool {
	return tallyCash(rows, quantity, one)[all].mostly()
}

// isUnitCost tells whether a column × the quantity is what stands in another one.
func isUnitCost(col, quantity int, rows []bom.Row) bool {
	return totalColumn(tallyCash(rows, quantity, col)) != 0
}

// totalColumn is the leftmost column that holds totals; 0 for none. What any column may bear
// out by chance takes three rows.
func totalColumn(tallies map[int]cashTally) int {
	for _, col := range slices.Sorted(maps.Keys(tallies)) {
		if t := tallies[col]; t.agree >= 3 && t.mostly() {
			return col
		}
	}
	return 0
}

// headedTotal is the column that is headed as the total of its row and holds it in some row;
// else the one that holds totals by what stands in it.
func (reg *region) headedTotal(quantity, one int) int {
	tallies := tallyCash(reg.rows, quantity, one)
	for _, col := range slices.Sorted(maps.Keys(reg.extra)) {
		if bom.CostHeading(reg.extra[col]) == "Total" && tallies[col].agree > 0 {
			return col
		}
	}
	return totalColumn(tallies)
}

// checkRows tells of rows whose own total is not quantity × price: one of the figures is
// wrong, and nothing tells which.
func (r *lineReader) checkRows() {
	price, quantity := r.reg.head.Col["Price"], r.reg.head.Col["Quantity"]
	col := r.reg.headedTotal(quantity, price)
	for _, row := range r.reg.rows {
		cash, bought := cashIn(row, quantity, price)
		if n, sure := r.unitPieces(row); sure && n > 1 {
			continue
		}
		if c, ok := cash.with(find(row, col)); ok && bought && !c.agrees() {
			said := fmt.Sprintf("%s × %s is %s and not %s", c.n, c.each, c.each.Mul(c.n), c.all)
			r.problems.Add(bom.Problem{Place: r.reg.table.At(row.Number, col), Severity: bom.Warning,
				What: "the total of a row is not quantity × price, and the price counts", Found: said, Want: "the right one of the three", Each: said})
		}
	}
}
