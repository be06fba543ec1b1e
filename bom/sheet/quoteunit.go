package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// ofUnits reads a number of pieces that may stand as a unit does: per 100, pcs.
func (q *quoteReader) ofUnits(c bom.Cell) bom.Cell {
	if n := q.unitOf(c.Text); c.Kind == bom.Text && !c.Blank() && n > 0 {
		c.Text = decimal.NewFromInt(n).String()
	}
	return c
}

// unit settles what a price is for by the column of units, which may say 100 pcs. The line total
// tells whether the quantity counts those, which are packs then, or pieces.
func (q *quoteReader) unit(p *bom.QuotedPart, raw *rawQuoted) {
	head := q.reg.head
	if raw.Unit.Blank() || noContent(raw.Unit.Text) || head.Col["Unit price"] == 0 && !q.pricedSteps() {
		return
	}
	n := q.unitOf(raw.Unit.Text)
	told := !raw.Pieces.Blank() || !raw.Per.Blank() || q.headOf("Unit price").per > 1
	switch name := head.Text["Unit"]; {
	case n == 1 || told:
		return
	case n == 0:
		q.warn(raw.Unit, "nothing says how many pieces the price is for; it is taken for one of a piece", "pieces such as 100 pcs, or a column Pieces", bom.Shown(raw.Unit.Text))
		return
	default:
		price, err := q.parse(raw.Price)
		total, err2 := q.parse(raw.Total)
		if err != nil || err2 != nil || p.Quantity == 0 || !total.Value.IsPositive() {
			q.wrong(raw.Unit, "--heading '"+name+"=Pieces' if it counts packs of so many, --heading '"+name+"=Price per' if it counts pieces",
				"the price is for %d, and no line total tells what the quantity counts", n)
			return
		}
		plain := price.Value.Mul(decimal.NewFromInt(p.Quantity))
		if total.Value.Mul(total.Value).Mul(decimal.NewFromInt(n)).LessThan(plain.Mul(plain)) { // nearer to a price per so many
			raw.Per = raw.Unit
			return
		}
		raw.Pieces = raw.Unit
	}
}
