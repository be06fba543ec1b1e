package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

func (p *priceReader) quote(d *decoder) {
	cell := d.cell
	if noneOf(d, "Price", "Low", "High", "Set-up", "Per dm2") {
		noPrice(d, "Price", d.key(cell("Board")))
		return
	}
	q := bom.Quote{Dated: d.dated(), Board: d.key(cell("Board")), Fabricator: d.key(cell("Fabricator")), Lot: d.whole(cell("Lot"), 0, 1),
		LengthMM: d.measure(cell("Length mm"), false), WidthMM: d.measure(cell("Width mm"), false), Option: d.key(cell("Option")), AtMost: d.whole(cell("At most"), 0, 1),
		Worth: d.percentIfAny(cell("Surplus worth %"), 100)}
	if cell("Fabricator").Blank() {
		q.Fabricator = p.prices.Settings.Fabricator
		if q.Fabricator == "" {
			d.problems.Errorf(d.place(cell("Fabricator")), "", "a fabricator, or the setting Board fabricator", "no fabricator is given for the board")
		}
	}
	q.Currency = p.currency(d, cell("Currency"), p.currencyOf(q.Fabricator))
	q.Price, q.SetUp, q.PerDM2 = d.money(cell("Price"), q.Currency), d.money(cell("Set-up"), q.Currency), d.money(cell("Per dm2"), q.Currency)
	q.Range = d.bounds(bom.FormMoney, rangedCell(d), cell("Low"), cell("High"), limits{})
	checkQuote(d, p.onPanel[bom.ExactKey(q.Board)] == 1)
	// A price that holds once stands beside the usual one of the same lot.
	d.once(cell("Board"), "the same lot of the board", q.Board, q.Fabricator, q.Option, decimal.NewFromInt(q.Lot).String(), decimal.NewFromInt(q.AtMost).String())
	p.prices.Quotes = append(p.prices.Quotes, q)
}

// rangedCell is the money that Low and High of a row are about.
func rangedCell(d *decoder) bom.Cell {
	cell := d.cell
	switch {
	case !cell("Lot").Blank():
		return cell("Price")
	case !cell("Per dm2").Blank():
		return cell("Per dm2")
	}
	return cell("Set-up")
}

// checkQuote tells a row with a lot from one with set-up and rate. The size of what it
// prices may follow from that of the one board type on a panel.
func checkQuote(d *decoder, follows bool) {
	board, lot, price, atMost := d.cell("Board"), d.cell("Lot"), d.cell("Price"), d.cell("At most")
	setUp, perDM2, length, width := d.cell("Set-up"), d.cell("Per dm2"), d.cell("Length mm"), d.cell("Width mm")
	switch {
	case !lot.Blank():
		if price.Blank() {
			d.problems.Errorf(d.place(price), "", "the price of the whole lot", "the lot has no price")
		}
		for _, c := range []bom.Cell{setUp, perDM2} {
			if !c.Blank() {
				d.wrong(c, "a row of its own, without a lot", "the row quotes a lot")
			}
		}
	case !atMost.Blank():
		d.wrong(atMost, "blank, or the number of boards in Lot", "only lots are counted, and the row has none")
	case !price.Blank():
		d.wrong(price, "the number of boards in Lot, or Set-up and Per dm2 instead of a price", "a price is that of a lot, and the row has none")
	case setUp.Blank() && perDM2.Blank():
		d.problems.Errorf(d.place(board), board.Text, "a lot and its price, or Set-up and Per dm2", "the row has no price")
	case !perDM2.Blank() && (length.Blank() || width.Blank()) && !(follows && length.Blank() && width.Blank()):
		d.wrong(perDM2, "Length mm and Width mm of the board", "a rate by area needs the size of the board")
	}
}
