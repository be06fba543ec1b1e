package pricesheet

import (
	"fmt"

	"tenoff/bom"
	"tenoff/cost/quoting"
)

// CheckOffers holds the price sheet as it was written, read again, against the
// offers that were to be entered: every price that shall hold holds, and the other
// figures are those that were meant.
func CheckOffers(p *bom.Prices, offers []quoting.Offer) error {
	for _, want := range bom.Refs(offers) {
		got := offerIn(p, want)
		if got == nil {
			return fmt.Errorf("the offer of %s from %sis missing", want.Part, want.Supplier)
		}
		if err := checkOffer(got, want); err != nil {
			return fmt.Errorf("%s from %s: %w", want.Part, want.Supplier, err)
		}
	}
	return nil
}

// offerIn finds an offer; one without an order code is the only one of its part
// and supplier.
func offerIn(p *bom.Prices, want *quoting.Offer) *bom.Offer {
	return bom.First(p.Offers, func(o *bom.Offer) bool {
		return o.Part == want.Part && o.Supplier == want.Supplier && (o.Code == want.Code || want.Code == "")
	})
}

func checkOffer(got *bom.Offer, want *quoting.Offer) error {
	for _, b := range want.Breaks {
		if err := holdsAt(got, b.From, b); err != nil {
			return err
		}
	}
	for _, b := range got.Breaks { // one that is no price of its own repeats the one below it
		held := want.Breaks[0]
		for _, w := range want.Breaks {
			if w.From <= b.From {
				held = w
			}
		}
		if b.From < held.From {
			return fmt.Errorf("a price holds from %d, and none should", b.From)
		}
		if err := holdsAt(got, b.From, held); err != nil {
			return err
		}
	}
	switch {
	case got.Currency.Code != want.Currency.Code:
		return fmt.Errorf("its currency is %s, and should be %s", got.Currency, want.Currency)
	case want.StockSaid && got.Stock != want.Stock:
		return fmt.Errorf("its stock is %d, and should be %d", got.Stock, want.Stock)
	case want.MOQ > 0 && got.MOQ != max(want.MOQ, want.Breaks[0].From):
		return fmt.Errorf("its MOQ is %d, and should be %d", got.MOQ, want.MOQ)
	case want.Multiple > 0 && got.Multiple != want.Multiple:
		return fmt.Errorf("its multiple is %d, and should be %d", got.Multiple, want.Multiple)
	case want.Pieces > 0 && got.Pieces != want.Pieces:
		return fmt.Errorf("its pieces are %s, and should be %s", got.Pieces, want.Pieces)
	}
	return nil
}

// holdsAt tells whether a price is what an offer asks at a quantity.
func holdsAt(o *bom.Offer, quantity int64, want quoting.Break) error {
	for i := len(o.Breaks) - 1; i >= 0; i-- {
		if b := o.Breaks[i]; b.From <= quantity {
			if !b.Price.Equal(want.Price) {
				return fmt.Errorf("its price for %d is %s, and should be %s", quantity, b.Price, want.Price)
			}
			return nil
		}
	}
	return fmt.Errorf("it has no price for %d", quantity)
}
