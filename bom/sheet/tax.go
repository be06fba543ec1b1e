package sheet

import (
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// agreeOnTax leaves those of several columns of prices that say the same of tax: in a list
// those with tax, which is paid, and in a quote those without, to which the supplier's row
// of the price sheet adds it. A line total that says otherwise than the prices is none.
func (reg *region) agreeOnTax(claims []claim, head bom.Row, problems *bom.Problems) []claim {
	quote := isQuote(reg.tab)
	taxed := func(c claim) bool {
		said, _ := bom.TaxIn(find(head, c.col).Text)
		return said == bom.WithTax || !quote && said == bom.GrossPrice
	}
	isPrice := func(c claim) bool { return priceHeads[c.column.Heading] }
	with, without := -1, -1
	for i, c := range claims {
		switch {
		case !isPrice(c):
		case c.rank == mapped:
			return claims
		case taxed(c):
			with = i
		default:
			without = i
		}
	}
	if quote {
		claims = reg.leaveGross(claims, head, problems)
	}
	if with >= 0 && without >= 0 && !quote {
		taken, left := find(head, claims[with].col), find(head, claims[without].col)
		problems.Add(bom.Problem{Place: reg.table.At(head.Number, taken.Col), Severity: bom.Assumption, Found: taken.Text, What: "prices with tax are taken, and not those beside them",
			Want: "if that is wrong, --heading '" + taken.Text + "='", Each: bom.Shown(left.Text)})
	}
	return slices.DeleteFunc(claims, func(c claim) bool {
		if c.column.Heading == "Line total" {
			return without >= 0 && taxed(c)
		}
		return with >= 0 && without >= 0 && isPrice(c) && taxed(c) == quote
	})
}

// leaveGross leaves gross prices of a quote that stand beside others: those hold a tax or
// lack a discount that the others do not.
func (reg *region) leaveGross(claims []claim, head bom.Row, problems *bom.Problems) []claim {
	taken, left := 0, 0
	for _, c := range claims {
		if said, _ := bom.TaxIn(find(head, c.col).Text); !priceHeads[c.column.Heading] {
			continue
		} else if said == bom.GrossPrice {
			left = c.col
		} else if said != bom.WithTax {
			taken = c.col
		}
	}
	if taken == 0 || left == 0 {
		return claims
	}
	reg.gross = left
	reg.known[left] = true // is told here
	problems.Add(bom.Problem{Place: reg.table.At(head.Number, taken), Severity: bom.Assumption, Found: find(head, taken).Text, What: "these prices are taken, and not the gross ones beside them",
		Want: "if that is wrong, --heading '" + find(head, taken).Text + "='", Each: bom.Shown(find(head, left).Text)})
	return slices.DeleteFunc(claims, func(c claim) bool { return c.col == left })
}

// Untaxed tells where the prices of the lists of a unit are headed as without tax, for
// those who use them: what is paid is more.
func Untaxed(unit *bom.Assembly) (problems bom.Problems) {
	told := map[*bom.Heading]bool{nil: true}
	for l := range unit.MadeLines() {
		head := l.Origin.Head
		if told[head] || len(l.Offered.Breaks) == 0 {
			continue
		}
		told[head] = true
		if said, _ := bom.TaxIn(head.Text["Price"]); said == bom.WithoutTax {
			at := bom.Place{File: head.File, Sheet: head.Sheet, Row: head.Row, Col: head.Col["Price"]}
			problems.Add(bom.Problem{Place: at, Severity: bom.Warning, Found: head.Text["Price"], What: "prices count as they stand, without tax",
				Want: "where it is paid and does not come back, give its rate under Import tax % in the supplier's row of a price sheet"})
		}
	}
	return problems
}

// Words for what an order is charged besides its goods, and those that may stand beside
// one; common practice, no source.
var (
	listCharges = bom.WordSet("shipping delivery freight postage courier handling vat tax taxes gst customs duty duties discount rebate " +
		"versand versandkosten fracht porto mwst rabatt frais livraison tva remise spedizione iva verzending verzendkosten btw")
	besideCharges = bom.WordSet("packing packaging h total insurance frais di de port")
)

// isCharge tells whether a row of a list is a charge on the whole order, as its names, or
// else its first words, say.
func (reg *region) isCharge(row bom.Row) bool {
	named := false
	for _, h := range reg.cols {
		switch c := find(row, h.col); {
		case c.Text == "":
		case h.column.Heading == "Part number" || h.column.Heading == "Description" || h.column.Heading == "Value":
			if named = true; !saysCharge(c.Text) {
				return false
			}
		}
	}
	words := func(c bom.Cell) bool { return strings.ContainsFunc(c.Text, unicode.IsLetter) }
	first := slices.IndexFunc(row.Cells, words)
	return len(row.Cells) > 1 && (named || first >= 0 && saysCharge(row.Cells[first].Text))
}

// saysCharge tells whether a text names a charge and nothing else.
func saysCharge(text string) bool {
	return len(text) <= headingLength && allCharges(plainWords(text), listCharges, besideWords, besideCharges)
}

// aCharge tells of a row that is a charge.
func aCharge(at bom.Place, row bom.Row) bom.Problem {
	p := leftOut(at, "delivery, tax or a discount is no part of a unit, and not counted", rowText(row))
	p.Severity, p.Want = bom.Warning, "in a price sheet, Delivery and Import tax % in the supplier's row"
	return p
}
