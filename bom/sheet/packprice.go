package sheet

import (
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
