package cost

import (
	"tenoff/bom"
	"tenoff/cost/sum"
)

// order states one order: its goods, the charges, consignment fees.
func (s *charger) order(g goodsSums) {
	i, t := s.at, s.t
	own := s.name(OfOrder, i, "own", s.Add(g.own...), t.Currency.Digits)
	goods := s.money(OfOrder, i, "goods", s.Add(g.cash...))
	one := s.Count(1)
	placed := s.name(OfOrder, i, "Ordered", s.More(s.Add(g.lines...), 0, one, 0), 0)
	consign := sum.Ref(0)
	if s.m.populatedBy(i) {
		consign = s.Mul(s.Add(g.consigned...), s.toHome(s.asked("Consignment fee per line", t.ConsignPerLine), t.Currency))
	}
	consign = s.money(OfOrder, i, "consign", consign)
	c := customsSums{goods: goods, beside: append([]sum.Ref{consign}, g.sent...), heads: placed, dutied: g.dutied, duty: g.duty}
	if len(g.headed) > 0 {
		c.heads = s.name(OfOrder, i, "headings", s.Max(placed, s.Add(g.headed...)), 0)
	}
	out := s.chargesOn(own, c, func(x sum.Ref) sum.Ref { return s.Equal(placed, one, x, 0) },
		func(what string, r sum.Ref) sum.Ref { return s.money(OfOrder, i, what, r) })
	out.placed, out.consign = placed, consign
	s.money(OfOrder, i, "total", s.Add(goods, out.delivery, out.topUp, out.consign, out.duty, out.tax, out.handling))
	s.orders[i] = out
	if s.Value(placed).IsZero() {
		return
	}
	asked, digits := OrderAsked{}, t.Currency.Digits
	for _, c := range g.consigned {
		asked.Consign = asked.Consign.Add(t.ConsignPerLine.Round(digits).Mul(s.Value(c)))
	}
	if s.Value(out.delivery).IsPositive() {
		asked.Delivery = t.Delivery.Round(digits)
	}
	if s.Value(out.topUp).IsPositive() {
		asked.TopUp = t.MinOrder.Sub(s.Value(own)).Round(digits)
	}
	s.b.Orders = append(s.b.Orders, Order{
		Supplier: t.Name, Currency: t.Currency, Terms: i, Goods: s.Value(goods), GoodsOwn: s.Value(own),
		Delivery: s.Value(out.delivery), TopUp: s.Value(out.topUp), Consign: s.Value(out.consign), Value: s.Value(out.value),
		Duty: s.Value(out.duty), Tax: s.Value(out.tax), Reclaim: s.Value(out.reclaim), Handling: s.Value(out.handling),
		Asked: asked, LeadDays: t.LeadDays, LeadKnown: t.LeadKnown,
	})
}

// chargesOn states what an order is charged where it is placed, each charge under the
// name that it is given.
func (s *charger) chargesOn(own sum.Ref, c customsSums, placed func(sum.Ref) sum.Ref, name func(what string, r sum.Ref) sum.Ref) (out orderSums) {
	out.delivery = name("delivery", placed(s.delivery(own)))
	out.topUp = name("topup", placed(s.topUp(own)))
	s.customs(c, name, &out)
	return out
}

// stateOrders state what the order to each supplier costs beside its goods, also
// where nothing is ordered there.
func stateOrders(s *sums) {
	var l lineSums
	for i := range s.buys {
		if b := &s.buys[i]; b.quantity != 0 {
			l.suppliers, l.own = append(l.suppliers, b.supplier), append(l.own, b.own)
			l.cash, l.quantities = append(l.cash, b.cash), append(l.quantities, b.quantity)
			l.headings, l.dutied, l.duty = append(l.headings, b.heading), append(l.dutied, b.dutied), append(l.duty, b.duty)
		}
	}
	s.orders = make([]orderSums, len(s.m.terms.Suppliers))
	for i := range s.m.terms.Suppliers {
		tag, t := s.Count(int64(i+1)), &s.m.terms.Suppliers[i]
		o := goodsSums{own: []sum.Ref{s.Of(tag, l.suppliers, l.own)}, cash: []sum.Ref{s.Of(tag, l.suppliers, l.cash)}, lines: []sum.Ref{s.Of(tag, l.suppliers, l.quantities)}}
		if s.m.terms.duties {
			o.dutied, o.duty = s.Of(tag, l.suppliers, l.dutied), s.Of(tag, l.suppliers, l.duty)
		}
		fees := 0
		if s.m.populatedBy(i) {
			fees = atAssembler(s, &o, t, tag)
		}
		headingsAt(s, i, &o, &l, fees)
		s.charger(i).order(o)
	}
}

// lineSums are the lines of all orders.
type lineSums struct{ suppliers, own, cash, quantities, headings, dutied, duty []sum.Ref }

// headingsAt states which customs headings an order has: those of the supplier's offers,
// and one for all lines without. Boards, spools and assembly fees have none.
func headingsAt(s *sums, supplier int, o *goodsSums, l *lineSums, fees int) {
	sold := make([]bool, 1+len(s.m.terms.headings))
	for i := range s.m.terms.Offers {
		if offer := &s.m.terms.Offers[i]; offer.Supplier == supplier {
			sold[offer.Heading] = true
		}
	}
	t := &s.m.terms.Suppliers[supplier]
	if len(s.m.terms.headings) == 0 || s.m.costsOnly && t.FlatDuty.IsZero() {
		return
	}
	one := s.Count(1)
	for h, sold := range sold {
		var lines []sum.Ref
		if sold {
			lines = append(lines, s.Of(s.Count(int64((supplier+1)*headingStep+h)), l.headings, l.quantities))
		}
		if h == 0 && fees > 0 {
			lines = append(lines, s.Count(int64(fees)))
		}
		if len(lines) > 0 {
			o.headed = append(o.headed, s.More(s.Add(lines...), 0, one, 0))
		}
	}
}

// atAssembler adds the fees for populating boards, the parts that cost a consignment
// fee, and what others send there; it tells how many fees there are.
func atAssembler(s *sums, o *goodsSums, t *bom.Supplier, tag sum.Ref) (fees int) {
	for i, f := range s.b.Fees {
		if f.Kind != AssemblyFee {
			continue
		}
		own := s.inOwn(s.fees[i].amount, s.fees[i].cash, f.Currency, t.Currency)
		o.own, o.cash, o.lines = append(o.own, own), append(o.cash, s.fees[i].cash), append(o.lines, s.Count(1))
		fees++
		if t.PartsSent {
			o.sent = append(o.sent, s.boards[f.Index].stock)
		}
	}
	for i := range s.parts {
		if c := s.parts[i].consigned; c != 0 {
			o.consigned = append(o.consigned, c)
		}
		if t.PartsSent && s.m.parts[i].sent {
			o.sent = append(o.sent, s.parts[i].stock)
		}
	}
	for i := range s.b.Purchases {
		if b := &s.buys[i]; t.PartsSent && b.quantity != 0 && s.m.sentToAssembler(&s.b.Purchases[i]) {
			o.sent = append(o.sent, s.Equal(b.supplier, tag, 0, b.cash))
		}
	}
	return fees
}

// sentToAssembler tells whether what is bought goes to the assembler: boards that it
// populates, and the parts that it places.
func (m *Model) sentToAssembler(p *Purchase) bool {
	if p.Kind == Lots {
		return m.making.populates(m, p.Index)
	}
	return m.parts[p.Index].sent
}

// populatedBy tells whether a supplier of the terms populates the boards.
func (m *Model) populatedBy(term int) bool {
	return m.making.assembler >= 0 && m.terms.supplier[m.making.assembler] == term
}

// stateConsigned states whether a machine-placed part costs a fee: unless the assembler
// sells all that is bought of it, and none is sent there from stock.
func stateConsigned(s *sums, part int, lines []int, fromStock bool) {
	one := s.Count(1)
	out := one
	if len(lines) > 0 && !fromStock {
		var all, suppliers []sum.Ref
		for _, i := range lines {
			if s.buys[i].quantity != 0 {
				all, suppliers = append(all, s.buys[i].quantity), append(suppliers, s.buys[i].supplier)
			}
		}
		sold := s.Of(s.Count(int64(s.m.terms.supplier[s.m.making.assembler]+1)), suppliers, all)
		out = s.More(sold, 0, s.Equal(s.Add(all...), sold, 0, one), one)
	}
	s.parts[part].consigned = s.name(OfPart, part, "Consigned", out, 0)
}

// orderCharge is what an order is charged for something.
type orderCharge struct {
	what string
	portion
}

// charges are what an order costs beside its goods, in the category that each falls in.
func (o *orderSums) charges(c Category) []orderCharge {
	switch c {
	case SMTAssembly:
		return []orderCharge{{"consignment fees", spent(o.consign)}}
	case Delivery:
		return []orderCharge{{"delivery", spent(o.delivery)}, {"minimum-order surcharge", spent(o.topUp)}}
	case DutyAndTax:
		tax := spent(o.tax)
		if o.reclaim != 0 {
			tax = portion{cash: o.tax, reclaim: o.reclaim}
		}
		return []orderCharge{{"duty", spent(o.duty)}, {"tax", tax}, {"handling", spent(o.handling)}}
	}
	return nil
}

// chargedIn are the categories that charges of orders fall in.
var chargedIn = []Category{SMTAssembly, Delivery, DutyAndTax}
