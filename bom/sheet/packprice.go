package sheet

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// packColumn finds the column that says for how many pieces a price of a list is: where the
// price × the quantity ÷ that is what stands in another column, in three rows at least and
// in none otherwise. 0: none, a price is that of one.
func (reg *region) packColumn() int {
	price, quantity := reg.head.Col["Price"], reg.head.Col["Quantity"]
	if price == 0 || quantity == 0 {
		return 0
	}
	type pair struct{ pack, total int }
	agrees, differs := map[pair]int{}, map[pair]bool{}
	for _, row := range reg.rows[:min(len(reg.rows), contentRows)] {
		each, others := decimal.Zero, []columnFigure(nil)
		n, err := bom.ParseWhole(find(row, quantity).Text, bom.MarkDot)
		if err != nil || n < 1 || len(row.Cells) > mostPackCells {
			continue
		}
		for _, c := range row.Cells {
			f, err := bom.ParseFigure(c.Text, bom.MarkUnknown)
			switch {
			case err != nil || !f.Value.IsPositive() || c.Col == quantity:
			case c.Col == price:
				each = f.Value
			default:
				others = append(others, columnFigure{c.Col, f.Value})
			}
		}
		cash, many := each.Mul(decimal.NewFromInt(n)), decimal.NewFromInt(n)
		for _, p := range others {
			if each.IsZero() || !p.value.IsInteger() || p.value.Equal(decimal.NewFromInt(1)) || p.value.Equal(many) {
				continue
			}
			for _, t := range others {
				if t.col == p.col {
					continue
				}
				off := t.value.Mul(p.value).Sub(cash).Abs()
				if of := (pair{p.col, t.col}); off.Mul(decimal.NewFromInt(1000)).LessThanOrEqual(cash) {
					agrees[of]++
				} else {
					differs[of] = true
				}
			}
		}
	}
	found := 0
	for of, rows := range agrees {
		if rows >= 3 && !differs[of] && (found == 0 || of.pack < found) {
			found = of.pack
		}
	}
	return found
}

// pricesOfRows finds the row of a total that is the sum of the prices as they stand, and not
// of each × its quantity: they are then those of whole rows. 0: none, or another column holds
// price × quantity.
func (reg *region) pricesOfRows() int {
	price, quantity := reg.head.Col["Price"], reg.head.Col["Quantity"]
	if price == 0 || quantity == 0 || len(reg.sums) == 0 {
		return 0
	}
	figure := func(row bom.Row, col int) decimal.Decimal {
		f, err := bom.ParseFigure(find(row, col).Text, bom.MarkUnknown)
		if err != nil {
			return decimal.Zero
		}
		return f.Value
	}
	plain, each, priced := decimal.Zero, decimal.Zero, int64(0)
	for _, row := range reg.rows {
		if p := figure(row, price); p.IsPositive() {
			priced++
			plain, each = plain.Add(p), each.Add(p.Mul(figure(row, quantity)))
		}
	}
	rounding := decimal.New(5*(priced+1), -3)
	for _, row := range reg.sums {
		sum := figure(row, price)
		if priced >= 3 && sum.Sub(plain).Abs().LessThanOrEqual(rounding) && sum.Sub(each).Abs().GreaterThan(rounding) && !isUnitCost(price, quantity, reg.rows) {
			return row.Number
		}
	}
	return 0
}

// withoutTotals takes the claim off one of two columns that are headed as prices, where it
// holds the quantity × the other in most rows: in a quote it is the line total.
func (f finder) withoutTotals(claims []claim, rows []bom.Row) []claim {
	var prices []int // indexes of claims
	quantity := 0
	for i, c := range claims {
		switch {
		case c.column.Heading == "Line total", c.rank == mapped && priceHeads[c.column.Heading]:
			return claims
		case c.column.Heading == "Quantity" && quantity == 0:
			quantity = c.col
		case priceHeads[c.column.Heading]:
			prices = append(prices, i)
		}
	}
	if len(prices) != 2 || quantity == 0 {
		return claims
	}
	for _, pair := range [][2]int{{prices[0], prices[1]}, {prices[1], prices[0]}} {
		if !multiplied(rows, quantity, claims[pair[0]].col, claims[pair[1]].col) {
			continue
		}
		if total, ok := f.tab.Column("Line total"); ok {
			claims[pair[1]].column = total
			return claims
		}
		return slices.Delete(claims, pair[1], pair[1]+1)
	}
	return claims
}

// priceHeads are the columns of what one costs.
var priceHeads = map[string]bool{"Price": true, "Unit price": true}

// multiplied tells whether a column holds the quantity × what one costs, rounded to cents
// either way, in most rows of several pieces.
func multiplied(rows []bom.Row, quantity, one, all int) bool {
	agree, differ := 0, 0
	for _, row := range rows[:min(len(rows), contentRows)] {
		n, err := bom.ParseWhole(find(row, quantity).Text, bom.MarkDot)
		each, wrong := bom.ParseFigure(find(row, one).Text, bom.MarkUnknown)
		total, bad := bom.ParseFigure(find(row, all).Text, bom.MarkUnknown)
		if err != nil || wrong != nil || bad != nil || n < 2 {
			continue
		}
		rounding := decimal.NewFromInt(n + 1).Mul(decimal.New(5, -3))
		if total.Value.Sub(each.Value.Mul(decimal.NewFromInt(n))).Abs().LessThanOrEqual(rounding) {
			agree++
		} else {
			differ++
		}
	}
	return agree > 3*differ
}

// columnFigure is a figure of a row, with its column.
type columnFigure struct {
	col   int
	value decimal.Decimal
}

// mostPackCells is how many cells a row has at most for the figures of one to be held
// against each other.
const mostPackCells = 40

// ofOne gives the price of one piece, where the prices of a list are those of packs.
func (r *lineReader) ofOne(price decimal.Decimal) decimal.Decimal {
	n, err := bom.ParseWhole(find(r.reg.rows[r.row], r.pack).Text, bom.MarkDot)
	if r.pack == 0 || err != nil || n < 2 {
		return price
	}
	return price.DivRound(decimal.NewFromInt(n), priceDecimals)
}
