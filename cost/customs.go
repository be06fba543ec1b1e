package cost

import "tenoff/cost/sum"

// customsSums are what duty and tax on an order go by.
type customsSums struct {
	goods        sum.Ref
	beside       []sum.Ref // what counts to the value besides: consignment fees, what is sent to the assembler
	heads        sum.Ref   // different headings; 0 where nothing is ordered
	dutied, duty sum.Ref   // of the goods, those with a duty of their own, and Σ × that in %; 0: none
}

// customs states duty, import tax and handling of an order, of which the delivery
// and the top-up are known. Limits are compared with the value alone, not with freight,
// and what is just at a limit is free.
func (s *charger) customs(c customsSums, name func(what string, r sum.Ref) sum.Ref, out *orderSums) {
	home := s.m.home.Code
	out.value = name("value for customs", s.Add(append([]sum.Ref{c.goods, out.topUp}, c.beside...)...))
	flat := s.Mul(s.Round(s.term("Flat duty per heading", s.t.FlatDuty, home), s.digits), c.heads)
	out.duty = name("duty", s.More(out.value, s.term("Duty free up to", s.t.DutyFreeUpTo, home), s.dutyByValue(c, out), flat))
	tax := s.Round(s.percent(s.Add(out.value, out.delivery, out.duty), s.term("Import tax %", s.t.Tax, "%")), s.digits)
	out.tax = name("tax", s.More(out.value, s.term("Tax free up to", s.t.TaxFreeUpTo, home), tax, 0))
	if s.m.prices.Settings.TaxRecovered {
		out.reclaim = out.tax
	}
	handling := s.Round(s.term("Handling fee", s.t.Handling, home), s.digits)
	out.handling = name("handling", s.More(out.duty, 0, handling, s.More(out.tax, 0, handling, 0)))
}

// dutyByValue states the duty on each line's value, with its share of the delivery by
// value where that counts: round(Σ value × duty % × (value in all + delivery) ÷ value in all).
func (s *charger) dutyByValue(c customsSums, out *orderSums) sum.Ref {
	rate := s.term("Duty %", s.t.Duty, "%")
	cif := s.m.prices.Settings.CIF
	if c.dutied == 0 && cif {
		return s.Round(s.percent(s.Add(out.value, out.delivery), rate), s.digits)
	}
	all := s.Add(s.Mul(s.Sub(out.value, c.dutied), rate), c.duty)
	if !cif {
		return s.Round(s.Div(all, s.Count(100)), s.digits)
	}
	return s.Round(s.Div(s.Mul(all, s.Add(out.value, out.delivery)), s.Mul(out.value, s.Count(100))), s.digits)
}
