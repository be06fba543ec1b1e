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
	figure := func(c bom.Cell) (decimal.Decimal, bool) {
		f, err := bom.ParseFigure(c.Text, bom.MarkUnknown)
		return f.Value, err == nil && f.Value.IsPositive()
	}
	for _, row := range reg.rows[:min(len(reg.rows), contentRows)] {
		each, ok := figure(find(row, price))
		n, err := bom.ParseWhole(find(row, quantity).Text, bom.MarkDot)
		if !ok || err != nil || n < 1 {
			continue
		}
		cash := each.Mul(decimal.NewFromInt(n))
		for _, p := range row.Cells {
			pack, err := bom.ParseWhole(p.Text, bom.MarkDot)
			if err != nil || pack < 2 || pack == n || p.Col == price || p.Col == quantity {
				continue
			}
			for _, t := range row.Cells {
				total, ok := figure(t)
				if !ok || t.Col == price || t.Col == quantity || t.Col == p.Col {
					continue
				}
				off := total.Mul(decimal.NewFromInt(pack)).Sub(cash).Abs()
				if of := (pair{p.Col, t.Col}); off.Mul(decimal.NewFromInt(1000)).LessThanOrEqual(cash) {
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

// ofOne gives the price of one piece, where the prices of a list are those of packs.
func (r *lineReader) ofOne(price decimal.Decimal) decimal.Decimal {
	n, err := bom.ParseWhole(find(r.reg.rows[r.row], r.pack).Text, bom.MarkDot)
	if r.pack == 0 || err != nil || n < 2 {
		return price
	}
	return price.DivRound(decimal.NewFromInt(n), priceDecimals)
}
