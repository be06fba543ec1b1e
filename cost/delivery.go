package cost

import "tenoff/cost/sum"

// delivery states what an order's delivery costs, which is waived from some goods on.
func (s *sums) delivery(i int, t *TermSupplier, own sum.Ref) sum.Ref {
	free := s.once(sum.Figure{Key: sum.Key{Of: OfSupplier, At: i, What: "Free delivery over"}, Value: t.FreeOver.Decimal, Unit: t.Currency.Code,
		Place: t.At("Free delivery over"), AsOf: t.AsOf, Optional: true, Blank: !t.FreeOver.Valid})
	return s.AtLeast(own, free, 0, s.toHome(s.asked(i, t, "Delivery", t.Delivery), t.Currency))
}

// topUp states what an order lacks to the least that a supplier takes.
func (s *sums) topUp(i int, t *TermSupplier, own sum.Ref) sum.Ref {
	least := s.asked(i, t, "Minimum order", t.MinOrder)
	return s.AtLeast(own, least, 0, s.toHome(s.Sub(least, own), t.Currency))
}
