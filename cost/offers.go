package cost

import (
	"cmp"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/partname"
)

// tieOffers ties the rows of the tab offers, and the spools of the tab materials,
// to the parts of the run.
func tieOffers(m *Model) {
	for _, o := range bom.Refs(m.prices.Offers) {
		if p, ok := m.findOne(o.Part, o.At("Part number")); ok && len(o.Breaks) > 0 { // of the run, and with a price
			m.parts[p].rows = append(m.parts[p].rows, o)
		}
	}
	for _, p := range bom.Refs(m.parts) {
		sortOffers(m, p.rows)
		had := len(p.rows)
		p.rows = slices.DeleteFunc(p.rows, func(o *bom.Offer) bool {
			ruledOut := !m.supply.mayOrder(m.supply.index(o.Supplier)) || m.run.Rules.InStockOnly && o.Stock < 0
			return ruledOut && !p.among(m.run.Anywhere) || cannotCut(m, p, o)
		})
		oneRing(m, p)
		p.ruledOut = had > 0 && len(p.rows) == 0
		for _, o := range p.rows {
			p.offers = append(p.offers, buy.Offer{
				Supplier: m.supply.index(o.Supplier), Code: o.Code,
				Currency: o.Currency, Rate: m.supply.rate(o.Currency, o.At("Currency")),
				Pieces: leadsFrom(p, o), MOQ: o.MOQ, Multiple: o.Multiple, Stock: p.stockOf(m, o), Breaks: o.Breaks,
				LineFee: o.LineFee, Heading: bom.NormalHeading(o.Heading), Duty: o.Duty,
				Worth: decimal.NewNullDecimal(worthOf(m.prices, o.Worth, setWorth, o.Origin).Percent),
			})
		}
	}
}

// sortOffers puts the rows of the tab offers in an order that does not depend
// on where they stand in the sheet.
func sortOffers(m *Model, rows []*bom.Offer) {
	key := func(o *bom.Offer) string { return m.supply.keys[m.supply.index(o.Supplier)] }
	slices.SortStableFunc(rows, func(a, b *bom.Offer) int {
		return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(a.Code, b.Code))
	})
}

// stockOf is how many order units an offer of a part has, those included that are waited for.
func (p *part) stockOf(m *Model, o *bom.Offer) int64 {
	if o.Stock >= 0 && o.More > 0 && p.among(m.run.WaitFor) {
		return o.Stock + o.More
	}
	return o.Stock
}

// among tells whether a part is one of those that are named.
func (p *part) among(names []string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return partname.Same(name, p.Key) })
}

// leastEach is what a piece costs at the last break of some offer, infinite where there are
// none.
func (p *part) leastEach(m *Model) float64 {
	least := math.Inf(1)
	for _, o := range bom.Refs(p.offers) {
		last := o.Breaks[len(o.Breaks)-1].Price.InexactFloat64()
		least = min(least, last*m.supply.rate(o.Currency, bom.Place{}).InexactFloat64()/o.Pieces.Float())
	}
	return least
}

// canBuy is the most that the offers of a part hold, in whole orders: what
// cannot be ordered since the minimum or the multiple exceeds the stock does
// not count.
func (p *part) canBuy() bom.Quantity {
	var sum bom.Quantity
	for _, o := range p.offers {
		sum = min(bom.MaxQuantity, sum+mostOf(&o))
	}
	return sum
}

// mostOf is the most that can be ordered of one offer.
func mostOf(o *buy.Offer) bom.Quantity {
	multiple := max(1, o.Multiple)
	most := o.Stock / multiple * multiple
	switch {
	case o.Stock < 0:
		return bom.MaxQuantity
	case most < max(o.MOQ, o.Breaks[0].From):
		return 0
	}
	return atMost(o.Pieces.Times(most))
}

// atMost is a product, or the most that is counted where it is beyond that.
func atMost(q bom.Quantity, ok bool) bom.Quantity {
	if !ok {
		return bom.MaxQuantity
	}
	return q
}

// tieStock ties the rows of the tab on hand to parts.
func tieStock(m *Model) {
	for _, oh := range bom.Refs(m.prices.OnHand) {
		if p, ok := m.findOne(oh.Part, oh.At("Part number")); ok {
			same := slices.IndexFunc(m.parts[p].onHand, func(o *bom.OnHand) bool {
				return o.UnitValue.Equal(oh.UnitValue) && bom.Fold(o.GivenBy) == bom.Fold(oh.GivenBy)
			})
			if same >= 0 {
				m.problems.Errorf(oh.At("Part number"), oh.Part, "keep one row for it", "the part stands twice with this unit value and giver, here and in row %d, spelt otherwise",
					m.parts[p].onHand[same].At("Part number").Row)
				continue
			}
			m.parts[p].onHand = append(m.parts[p].onHand, oh)
			tellLength(m, &m.parts[p], oh)
		}
	}
}

// onHandOf is how much some rows of the tab on hand hold.
func onHandOf(rows []*bom.OnHand) (sum bom.Quantity) {
	for _, oh := range rows {
		sum = min(bom.MaxQuantity, sum+oh.Quantity)
	}
	return sum
}

// stockReach is what can be bought and what is on hand.
func stockReach(m *Model, part int) bom.Quantity {
	return min(bom.MaxQuantity, m.parts[part].canBuy()+onHandOf(m.parts[part].onHand))
}
