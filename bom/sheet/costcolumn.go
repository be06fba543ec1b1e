package sheet

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// costByContent finds the prices of a list in which no heading says what one costs: under
// one such as Cost, where the list tells what it is of, else under one such as Total cost.
// Where it cannot be told that is said.
func costByContent(t *bom.Table, head bom.Row, rows []bom.Row, taken map[int]*bom.Column, take func(string, func(int, string) bool), problems *bom.Problems) {
	quantity, price := columnOf(taken, "Quantity"), func() bool { return columnOf(taken, "Price") != 0 }
	if quantity == 0 && columnOf(taken, "Designator") == 0 {
		for _, kind := range []string{"Cost", "Total"} { // of one piece
			take("Price", func(col int, heading string) bool {
				return !price() && bom.CostHeading(heading) == kind && holdsMoney(col, quantity, rows)
			})
		}
		return
	}
	open := 0
	take("Price", func(col int, heading string) bool {
		if bom.CostHeading(heading) != "Cost" {
			return false
		}
		if isUnitCost(col, quantity, rows) || bom.SpeaksOfOne(heading) {
			return true
		}
		each, all := costSays(col, quantity, rows)
		open = col
		return each || all
	})
	if price() || quantity == 0 {
		return
	}
	take("Price", func(col int, heading string) bool { // headed EUR
		return len(bom.CurrencySigns(heading)) > 0 && isUnitCost(col, quantity, rows)
	})
	take("Price", func(col int, heading string) bool {
		return !price() && bom.CostHeading(heading) == "Total" && holdsMoney(col, quantity, rows)
	})
	if open == 0 {
		sumByContent(t, head, rows, quantity, take, price, problems)
	}
	if !price() && open != 0 {
		problems.Warnf(t.At(head.Number, open), "", "head it Unit price or Total cost",
			"column %s may hold what one piece costs or what all in its row do, and is left out", columnName(open, find(head, open).Text))
	}
}

// sumByContent takes a column that is headed Total and nothing more for what the rows cost, where
// its figures are not what may be counted. Whether they are money is sure where a currency stands
// beside one or they add up to a total; it is told.
func sumByContent(t *bom.Table, head bom.Row, rows []bom.Row, quantity int, take func(string, func(int, string) bool), price func() bool, problems *bom.Problems) {
	take("Price", func(col int, heading string) bool {
		if price() || bom.CostHeading(heading) != "Sum" || !holdsMoney(col, quantity, rows) {
			return false
		}
		_, all := costSays(col, quantity, rows)
		told, at := columnName(col, heading), t.At(head.Number, col)
		switch signed, counted := lookOfMoney(col, quantity, rows); {
		case signed || all && !counted:
		case counted:
			problems.Warnf(at, "", "head it Total cost, if it is that", "column %s may hold what all in its row cost or how many they are, and is left out", told)
			return false
		default:
			problems.Add(bom.Problem{Place: at, Severity: bom.Assumption, What: fmt.Sprintf("column %s holds money, and no numbers of pieces", told),
				Want: "if that is wrong, --heading '" + heading + "=' leaves it out"})
		}
		return true
	})
}

// lookOfMoney tells whether figures of a column have currencies, and whether they may be numbers of
// pieces: all are whole, or as many times the quantity in each row.
func lookOfMoney(col, quantity int, rows []bom.Row) (signed, counted bool) {
	whole, alike, several, times := true, true, false, decimal.Decimal{}
	first := decimal.Zero
	for _, row := range rows[:min(len(rows), contentRows)] {
		c, n := find(row, col), figureIn(row, quantity)
		f, err := bom.ParseFigure(c.Text, bom.MarkUnknown)
		if err != nil || !f.Value.IsPositive() || !n.IsPositive() {
			continue
		}
		signed = signed || f.Sign != "" || c.Sign != 0
		whole = whole && f.Value.IsInteger() && !strings.ContainsAny(c.Text, ".,")
		if first.IsZero() {
			first, times = n, f.Value.DivRound(n, priceDecimals)
		}
		several = several || !n.Equal(first)
		alike = alike && f.Value.DivRound(n, priceDecimals).Equal(times)
	}
	return signed, whole || alike && several
}

// columnOf is the column that a field is read from; 0 for none.
func columnOf(taken map[int]*bom.Column, field string) int {
	for col, column := range taken {
		if column.Heading == field {
			return col
		}
	}
	return 0
}

// ofRows tells whether the prices of a list are those of whole rows: it is headed so, or
// its heading leaves it open and they add up to the total as they stand.
func (f finder) ofRows(head bom.Row, rows []bom.Row, taken map[int]*bom.Column) bool {
	price, quantity := columnOf(taken, "Price"), columnOf(taken, "Quantity")
	heading := find(head, price).Text
	if quantity == 0 || f.mapped[bom.NormalHeading(heading)] {
		return false
	}
	switch bom.CostHeading(heading) {
	case "Total", "Sum":
		return true
	case "Cost":
		_, all := costSays(price, quantity, rows)
		return all && !bom.SpeaksOfOne(heading)
	}
	return false
}

// fewestCosts is how many rows it takes for a total to tell what it is the sum of.
const fewestCosts = 3

// costSays tells what the figures of a column are by a total under them: each the cost of
// one piece, or all of its row. Where there is one piece in every row it is both.
func costSays(col, quantity int, rows []bom.Row) (each, all bool) {
	var totals []decimal.Decimal
	plain, times, costs, several := decimal.Zero, decimal.Zero, int64(0), false
	for _, row := range rows {
		cost, n := figureIn(row, col), find(row, quantity).Text
		if !cost.IsPositive() {
			continue
		}
		many, err := bom.ParseFigure(n, bom.MarkUnknown)
		switch {
		case strings.TrimSpace(n) == "" || totalWords[totalWord(row.Cells[0].Text)]:
			totals = append(totals, cost)
		case err != nil:
			return false, false
		default:
			costs, plain, times = costs+1, plain.Add(cost), times.Add(cost.Mul(many.Value))
			several = several || !many.Value.Equal(decimal.NewFromInt(1))
		}
	}
	if !several {
		return costs > 0, false
	}
	rounding := decimal.New(5*(costs+1), -3)
	for _, t := range totals {
		each = each || costs >= fewestCosts && t.Sub(times).Abs().LessThanOrEqual(rounding)
		all = all || costs >= fewestCosts && t.Sub(plain).Abs().LessThanOrEqual(rounding)
	}
	return each, all
}

// holdsMoney tells whether figures stand in most rows of a column, of those that have a
// quantity where there is a column of them.
func holdsMoney(col, quantity int, rows []bom.Row) bool {
	good, all := 0, 0
	for _, row := range rows[:min(len(rows), contentRows)] {
		if quantity != 0 && find(row, quantity).Text == "" || find(row, col).Text == "" {
			continue
		}
		all++
		if figureIn(row, col).IsPositive() {
			good++
		}
	}
	return good > 0 && 2*good >= all
}
