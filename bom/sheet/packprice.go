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
		if len(row.Cells) > mostPackCells {
			continue
		}
		for _, c := range row.Cells {
			f, _ := bom.ParseFigure(c.Text, bom.MarkUnknown)
			switch {
			case !f.Value.IsPositive() || c.Col == quantity:
			case c.Col == price:
				each = f.Value
			default:
				others = append(others, columnFigure{c.Col, f.Value})
			}
		}
		n := figureIn(row, quantity)
		cash := each.Mul(n)
		for _, p := range others {
			if cash.IsZero() || !p.value.IsInteger() || p.value.Equal(decimal.NewFromInt(1)) || p.value.Equal(n) {
				continue
			}
			for _, t := range others {
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

// priceSums are the sums of the prices of a list.
type priceSums struct {
	plain  decimal.Decimal // as they stand
	each   decimal.Decimal // of each × its quantity
	priced int64           // rows that have a price
}

func (reg *region) priceSums() (s priceSums) {
	for _, row := range reg.rows {
		if p := figureIn(row, reg.head.Col["Price"]); p.IsPositive() {
			n := figureIn(row, reg.head.Col["Quantity"])
			s.priced++
			s.plain, s.each = s.plain.Add(p), s.each.Add(p.Mul(n))
		}
	}
	for _, row := range reg.charges {
		p := figureIn(row, reg.head.Col["Price"])
		s.plain, s.each = s.plain.Add(p), s.each.Add(p)
	}
	return s
}

// figureIn is the figure of a row in a column; 0 where none stands there.
func figureIn(row bom.Row, col int) decimal.Decimal {
	f, _ := bom.ParseFigure(find(row, col).Text, bom.MarkUnknown)
	return f.Value
}

// checkTotal holds the prices of a list against its total. Where that is their sum as they
// stand, and no column holds price × quantity, they are those of whole rows, unless the
// heading says that they are those of one piece. Where it is far under price × quantity that
// is told.
func (r *lineReader) checkTotal() {
	price, quantity := r.reg.head.Col["Price"], r.reg.head.Col["Quantity"]
	if quantity == 0 || r.reg.unit != 0 {
		return
	}
	at, s := r.reg.table.At(r.reg.head.Row, price), r.reg.priceSums()
	if s.priced < 3 {
		return
	}
	rounding := decimal.New(5*(s.priced+1), -3)
	most, of := decimal.Zero, bom.Row{}
	for _, row := range r.reg.sums {
		sum := figureIn(row, price)
		if sum.Sub(s.plain).Abs().LessThanOrEqual(rounding) && sum.Sub(s.each).Abs().GreaterThan(rounding) && !isUnitCost(price, quantity, r.reg.rows) {
			if head := r.reg.head.Text["Price"]; bom.SpeaksOfOne(head) {
				r.problems.Warnf(at, head, "the heading Price, if each is that of its whole row", "the prices add up to the total in row %d as they stand, and are read as the heading says", row.Number)
				return
			}
			r.pack = quantity
			r.problems.Warnf(at, "", "the heading Unit price, if that is wrong", "the prices add up to the total in row %d as they stand, so each is read as that of its whole row", row.Number)
			return
		}
		for _, c := range row.Cells {
			f, _ := bom.ParseFigure(c.Text, bom.MarkUnknown)
			money := c.Col == price || f.Sign != "" || bom.SpeaksOfMoney(r.reg.extra[c.Col])
			if money && f.Value.GreaterThan(most) && r.reg.isTotal(row) {
				most, of = f.Value, row
			}
		}
	}
	if most.IsPositive() && s.each.GreaterThan(most.Mul(decimal.New(farOver, -2))) {
		r.problems.Warnf(at, "", "prices of one piece; --heading '"+r.reg.head.Text["Price"]+"=' leaves them out",
			"the prices × the quantities come to %s, and the total in row %d is %s", s.each.Round(2), of.Number, most.Round(2))
	}
}

// farOver is by how many hundredths of a total prices have to be over it: tax, freight and
// rounding are no reason to doubt them.
const farOver = 150

// withoutTotals takes the claim off one of two columns that are headed as prices, where it
// holds the quantity × the other in most rows: in a quote it is the line total.
func (f finder) withoutTotals(claims []claim, head bom.Row, rows []bom.Row) []claim {
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
	if len(prices) == 1 {
		for _, c := range head.Cells { // Cost, Quantity, Part cost
			if bom.CostHeading(c.Text) == "Cost" && !f.dropped[bom.NormalHeading(c.Text)] && multiplied(rows, quantity, c.Col, claims[prices[0]].col) {
				claims[prices[0]].col = c.Col
				return claims
			}
		}
	}
	if len(prices) != 2 {
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

// columnFigure is a figure of a row, with its column.
type columnFigure struct {
	col   int
	value decimal.Decimal
}

// mostPackCells is how many cells a row has at most for the figures of one to be held
// against each other.
const mostPackCells = 40

// ofOne gives the price of one piece, where the prices of a list are those of packs. One of
// a whole row is that of the fewest that are sold, where it needs less.
func (r *lineReader) ofOne(price decimal.Decimal) decimal.Decimal {
	if r.per > 0 {
		return price.DivRound(decimal.NewFromInt(r.per), priceDecimals)
	}
	n, _ := bom.ParseWhole(find(r.reg.rows[r.row], r.pack).Text, bom.MarkDot)
	if r.pack != 0 && r.pack == r.reg.head.Col["Quantity"] {
		least, _ := bom.ParseWhole(find(r.reg.rows[r.row], r.reg.head.Col["MOQ"]).Text, bom.MarkDot)
		n = max(n, least)
	}
	if n < 2 {
		return price
	}
	return price.DivRound(decimal.NewFromInt(n), priceDecimals)
}

// stepOfOne is ofOne of a price break: those stand beside prices of packs, never of rows.
func (r *lineReader) stepOfOne(price decimal.Decimal) decimal.Decimal {
	if r.per > 0 || r.pack == r.reg.head.Col["Quantity"] {
		return price
	}
	return r.ofOne(price)
}
