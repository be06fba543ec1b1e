package cost

import "tenoff/cost/sum"

// order states one order (5.9): its goods, the charges, consignment fees.
func (s *sums) order(i int, t *TermSupplier, g goodsSums) {
	own := s.name(OfOrder, i, "own", s.Add(g.own...), t.Currency.Digits)
	goods := s.money(OfOrder, i, "goods", s.Add(g.cash...))
	one := s.Count(1)
	placed := s.name(OfOrder, i, "Ordered", s.More(s.Add(g.lines...), 0, one, 0), 0)
	out := s.chargesOn(i, t, own, goods, func(x sum.Ref) sum.Ref { return s.Equal(placed, one, x, 0) },
		func(what string, r sum.Ref) sum.Ref { return s.money(OfOrder, i, what, r) })
	out.placed = placed
	consign := sum.Ref(0)
	if t.Assembler {
		consign = s.Mul(s.Add(g.consigned...), s.toHome(s.asked(i, t, "Consign fee per line", t.ConsignPerLine), t.Currency))
	}
	out.consign = s.money(OfOrder, i, "consign", consign)
	s.money(OfOrder, i, "total", s.Add(goods, out.delivery, out.topUp, out.consign, out.duty, out.tax, out.handling))
	s.orders[i] = out
	if s.Value(placed).IsZero() {
		return
	}
	s.b.Orders = append(s.b.Orders, Order{
		Supplier: t.Name, Currency: t.Currency, Terms: i, Goods: s.Value(goods), GoodsOwn: s.Value(own),
		Delivery: s.Value(out.delivery), TopUp: s.Value(out.topUp), Consign: s.Value(out.consign),
		Duty: s.Value(out.duty), Tax: s.Value(out.tax), Reclaim: s.Value(out.reclaim), Handling: s.Value(out.handling),
		LeadDays: t.LeadDays, LeadKnown: t.LeadKnown,
	})
}

// chargesOn states what an order of goods is charged where it is placed, each charge under
// the name that it is given.
func (s *sums) chargesOn(i int, t *TermSupplier, own, goods sum.Ref, placed func(sum.Ref) sum.Ref, name func(what string, r sum.Ref) sum.Ref) (out orderSums) {
	out.delivery = name("delivery", placed(s.delivery(i, t, own)))
	out.topUp = name("topup", placed(s.topUp(i, t, own)))
	s.customs(i, t, goods, name, &out)
	return out
}

// stateOrders state what the order to each supplier costs beside its goods (5.9), also
// where nothing is ordered there.
func stateOrders(s *sums) {
	var suppliers, own, cash, quantities []sum.Ref
	for i := range s.buys {
		if l := &s.buys[i]; l.quantity != 0 {
			suppliers, own = append(suppliers, l.supplier), append(own, l.own)
			cash, quantities = append(cash, l.cash), append(quantities, l.quantity)
		}
	}
	s.orders = make([]orderSums, len(s.m.terms.Suppliers))
	for i := range s.m.terms.Suppliers {
		tag, t := s.Count(int64(i+1)), &s.m.terms.Suppliers[i]
		o := goodsSums{own: []sum.Ref{s.Of(tag, suppliers, own)}, cash: []sum.Ref{s.Of(tag, suppliers, cash)}, lines: []sum.Ref{s.Of(tag, suppliers, quantities)}}
		if t.Assembler {
			atAssembler(s, &o, t)
		}
		s.order(i, t, o)
	}
}

// atAssembler adds the fees for populating boards, and the parts that cost a
// consignment fee.
func atAssembler(s *sums, o *goodsSums, t *TermSupplier) {
	for i, f := range s.b.Fees {
		if f.Kind != AssemblyFee {
			continue
		}
		own := s.inOwn(s.fees[i].amount, s.fees[i].cash, f.Currency, t.Currency)
		o.own, o.cash, o.lines = append(o.own, own), append(o.cash, s.fees[i].cash), append(o.lines, s.Count(1))
	}
	for i := range s.parts {
		if c := s.parts[i].consigned; c != 0 {
			o.consigned = append(o.consigned, c)
		}
	}
}

// stateConsigned states whether a machine-placed part costs a fee: unless the assembler
// sells all that is bought of it.
func stateConsigned(s *sums, part int, lines []int) {
	one := s.Count(1)
	out := one
	if len(lines) > 0 {
		var all, suppliers []sum.Ref
		for _, i := range lines {
			if s.buys[i].quantity != 0 {
				all, suppliers = append(all, s.buys[i].quantity), append(suppliers, s.buys[i].supplier)
			}
		}
		sold := s.Of(s.Count(int64(s.m.terms.supplier[s.m.assembler]+1)), suppliers, all)
		out = s.More(sold, 0, s.Equal(s.Add(all...), sold, 0, one), one)
	}
	s.parts[part].consigned = s.name(OfPart, part, "Consigned", out, 0)
}
