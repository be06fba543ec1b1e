package cost

import (
	"tenoff/bom"
	"tenoff/cost/buy"
)

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

// stockReach is what can be bought and what is on hand.
func stockReach(m *Model, part int) bom.Quantity {
	return min(bom.MaxQuantity, m.parts[part].canBuy()+onHandOf(m.parts[part].onHand))
}
