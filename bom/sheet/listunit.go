package sheet

import (
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// saysSeveral tells whether a unit is several pieces in so many words: 100 pcs, pack of 50.
// A bare number in a list may count anything.
func saysSeveral(text string) bool {
	number, _, words, _ := unitParts(text)
	return number != "" && len(words) > 0
}

// takesUnit tells whether a column of a list holds units of several pieces, which are what a
// price beside them is for.
func (reg *region) takesUnit(col int, cells []bom.Cell) bool {
	if len(reg.prices()) > 0 && bom.UnitHeading(reg.extra[col]) &&
		slices.ContainsFunc(cells, func(c bom.Cell) bool { return saysSeveral(c.Text) }) {
		reg.unit = col
	}
	return reg.unit == col
}

// prices lists the columns of prices: that of the price, and those of price breaks.
func (reg *region) prices() []int {
	cols := slices.Sorted(maps.Keys(reg.steps))
	if price := reg.head.Col["Price"]; price != 0 {
		cols = slices.Insert(cols, 0, price)
	}
	return cols
}

// checkUnits settles whether the quantities of rows whose unit is several pieces count pieces
// or such units, where no designators and no total of the row tell: all ones count packs.
func (r *lineReader) checkUnits() {
	if r.unit = r.reg.unit; r.unit == 0 {
		return
	}
	quantity := r.reg.head.Col["Quantity"]
	r.packs = quantity != 0
	for _, row := range r.reg.rows {
		n, sure := r.unitPieces(row)
		if q, _ := bom.ParseWhole(find(row, quantity).Text, bom.MarkDot); n > 1 && !sure && q != 1 {
			r.packs = false
		}
	}
}

// unitPieces is how many pieces the price of a row is for by its unit; 0: that does not say, or the
// total of the row tells that its quantity counts such units. sure tells that the row bears it out.
func (r *lineReader) unitPieces(row bom.Row) (n int64, sure bool) {
	quantity, text := r.reg.head.Col["Quantity"], find(row, r.unit).Text
	if !saysSeveral(text) {
		return 0, false
	}
	if n = r.unitOf(text); n < 2 {
		return 0, false
	}
	if !figureIn(row, quantity).IsInteger() {
		return 0, true // half a pack
	}
	for _, price := range r.reg.prices() {
		cash, _ := cashIn(row, quantity, price)
		for _, c := range row.Cells {
			switch all, is := cash.with(c); {
			case !is || !all.all.IsPositive() || r.reg.known[c.Col]:
			case all.agrees():
				return 0, true
			case all.of(n).agrees():
				return n, true
			}
		}
	}
	return n, !find(row, r.reg.head.Col["Designator"]).Blank()
}

// piecesOfUnit is how many of what the quantity counts the prices of the row that is read are for, by
// its unit; it is told.
func (r *lineReader) piecesOfUnit(l *bom.Line) int64 {
	n, sure := r.unitPieces(r.reg.rows[r.row])
	if l.Kind == "" && (n == 0 && sure || n > 1 && !sure && r.packs) {
		l.Kind, l.Given.Kind = bom.KindOther, true // a purchase: a bag of screws, not one of them
	}
	if n < 2 {
		return 1
	}
	unit := find(r.reg.rows[r.row], r.unit)
	told := bom.Problem{Place: r.place(unit), Severity: bom.Warning, Found: unit.Text, Each: bom.Shown(lineName(l) + ", " + unit.Text),
		What: "a price is read as that of as many pieces as its unit says", Want: "--heading '" + r.reg.extra[r.unit] + "=' if the quantity counts such units"}
	switch {
	case sure:
		told.Severity, told.Want = bom.Note, ""
	case r.packs:
		told.What, told.Want = "a quantity of 1 whose unit is several pieces is read as one pack", "the number of pieces as quantity, if the whole pack is not needed"
		n = 1
	}
	if l.Fitted {
		r.problems.Add(told)
	}
	return n
}

// of is the same row where its price is for n pieces.
func (c rowCash) of(n int64) rowCash {
	c.each = c.each.DivRound(decimal.NewFromInt(n), priceDecimals)
	return c
}
