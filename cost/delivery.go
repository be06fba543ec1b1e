package cost

import "tenoff/cost/sum"

// delivery states what an order's delivery costs, which is waived from some goods on.
func (s *charger) delivery(own sum.Ref) sum.Ref {
	free := s.once(listed(sum.Figure{Key: sum.Key{Of: OfSupplier, At: s.at, What: "Free delivery over"}, Value: s.t.FreeOver.Decimal, Unit: s.t.Currency.Code,
		Place: s.t.At("Free delivery over"), AsOf: s.t.AsOf, Optional: true, Blank: !s.t.FreeOver.Valid}, s.t.Name, s.t.Note))
	return s.AtLeast(own, free, 0, s.toHome(s.asked("Delivery", s.t.Delivery), s.t.Currency))
}

// topUp states what an order lacks to the least that a supplier takes.
func (s *charger) topUp(own sum.Ref) sum.Ref {
	least := s.asked("Minimum order", s.t.MinOrder)
	return s.AtLeast(own, least, 0, s.toHome(s.Sub(least, own), s.t.Currency))
}
