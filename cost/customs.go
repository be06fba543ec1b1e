package cost

import "tenoff/cost/sum"

// customs states duty, import tax and handling of an order (5.9), of which the delivery
// is known.
func (s *sums) customs(i int, t *TermSupplier, goods sum.Ref, name func(what string, r sum.Ref) sum.Ref, out *orderSums) {
	home := s.m.home.Code
	value := goods
	if s.m.prices.Settings.CIF {
		value = name("value for customs", s.Add(goods, out.delivery))
	}
	duty := s.Round(s.percent(value, s.term(i, t, "Duty %", t.Duty, "%")), s.digits)
	out.duty = name("duty", s.AtLeast(value, s.term(i, t, "Duty free under", t.DutyFreeUnder, home), duty, 0))
	tax := s.Round(s.percent(s.Add(goods, out.delivery, out.duty), s.term(i, t, "Import tax %", t.Tax, "%")), s.digits)
	out.tax = name("tax", s.AtLeast(value, s.term(i, t, "Tax free under", t.TaxFreeUnder, home), tax, 0))
	if s.m.prices.Settings.TaxRecovered {
		out.reclaim = out.tax
	}
	handling := s.Round(s.term(i, t, "Handling fee", t.Handling, home), s.digits)
	out.handling = name("handling", s.More(out.duty, 0, handling, s.More(out.tax, 0, handling, 0)))
}
