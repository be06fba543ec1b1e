package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

type rawQuote struct {
	Board      Cell `csv:"Board"`
	Fabricator Cell `csv:"Fabricator"`
	Lot        Cell `csv:"Lot"`
	Price      Cell `csv:"Price"`
	Low        Cell `csv:"Low"`
	High       Cell `csv:"High"`
	Currency   Cell `csv:"Currency"`
	Length     Cell `csv:"Length mm"`
	Width      Cell `csv:"Width mm"`
	Option     Cell `csv:"Option"`
	SetUp      Cell `csv:"Set-up"`
	PerDM2     Cell `csv:"Per dm2"`
	AtMost     Cell `csv:"At most"`
	Worth      Cell `csv:"Surplus worth %"`
	Dated
}

func (p *priceReader) quote(d *decoder, r *rawQuote, at bom.Origin) {
	if !d.need(r.Board) {
		return
	}
	if noneOf(d, "Price", "Low", "High", "Set-up", "Per dm2") {
		noPrice(d, "Price", d.key(r.Board))
		return
	}
	q := bom.Quote{Origin: at, Board: d.key(r.Board), Fabricator: d.key(r.Fabricator), Lot: d.whole(r.Lot, 0, 1),
		LengthMM: d.measure(r.Length, false), WidthMM: d.measure(r.Width, false), Option: d.key(r.Option), AtMost: d.whole(r.AtMost, 0, 1),
		Worth: d.percentIfAny(r.Worth, 100), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if r.Fabricator.Blank() {
		q.Fabricator = p.prices.Settings.Fabricator
		if q.Fabricator == "" {
			d.problems.Errorf(d.place(r.Fabricator), "", "a fabricator, or the setting Board fabricator", "no fabricator is given for the board")
		}
	}
	q.Currency = p.currency(d, r.Currency, p.currencyOf(q.Fabricator))
	q.Price, q.SetUp, q.PerDM2 = d.money(r.Price, q.Currency), d.money(r.SetUp, q.Currency), d.money(r.PerDM2, q.Currency)
	q.Range = d.bounds(bom.FormMoney, rangedCell(r), r.Low, r.High, limits{})
	checkQuote(d, r, p.onPanel[bom.ExactKey(q.Board)] == 1)
	// A price that holds once stands beside the usual one of the same lot.
	d.once(r.Board, "the same lot of the board", q.Board, q.Fabricator, q.Option, decimal.NewFromInt(q.Lot).String(), decimal.NewFromInt(q.AtMost).String())
	p.prices.Quotes = append(p.prices.Quotes, q)
}

// rangedCell is the money that Low and High of a row are about.
func rangedCell(r *rawQuote) Cell {
	switch {
	case !r.Lot.Blank():
		return r.Price
	case !r.PerDM2.Blank():
		return r.PerDM2
	}
	return r.SetUp
}

// checkQuote tells a row with a lot from one with set-up and rate. The size of what it
// prices may follow from that of the one board type on a panel.
func checkQuote(d *decoder, r *rawQuote, follows bool) {
	switch {
	case !r.Lot.Blank():
		if r.Price.Blank() {
			d.problems.Errorf(d.place(r.Price), "", "the price of the whole lot", "the lot has no price")
		}
		for _, c := range []Cell{r.SetUp, r.PerDM2} {
			if !c.Blank() {
				d.wrong(c, "a row of its own, without a lot", "the row quotes a lot")
			}
		}
	case !r.AtMost.Blank():
		d.wrong(r.AtMost, "blank, or the number of boards in Lot", "only lots are counted, and the row has none")
	case !r.Price.Blank():
		d.wrong(r.Price, "the number of boards in Lot, or Set-up and Per dm2 instead of a price", "a price is that of a lot, and the row has none")
	case r.SetUp.Blank() && r.PerDM2.Blank():
		d.problems.Errorf(d.place(r.Board), r.Board.Text, "a lot and its price, or Set-up and Per dm2", "the row has no price")
	case !r.PerDM2.Blank() && (r.Length.Blank() || r.Width.Blank()) && !(follows && r.Length.Blank() && r.Width.Blank()):
		d.wrong(r.PerDM2, "Length mm and Width mm of the board", "a rate by area needs the size of the board")
	}
}
