package buy

import (
	"cmp"
	"math/bits"
	"slices"

	"tenoff/bom"
)

// fill writes the best choice into a plan, in the order of the problem.
func (s *Solver) fill(plan *Plan, x *search) {
	m, home := s.model, s.problem.Home.Digits
	bought, lines := make([][]pick, len(s.problem.Parts)), 0
	for i, p := range x.parts {
		bought[p.index] = x.best.options[i].picks
		lines += len(bought[p.index])
	}
	plan.Lines = make([]Line, 0, lines)
	for i, picks := range bought {
		first := len(plan.Lines)
		for _, k := range picks {
			plan.Lines = append(plan.Lines, s.line(&m.parts[s.at[i]], k))
		}
		slices.SortFunc(plan.Lines[first:], func(a, b Line) int { return cmp.Compare(a.Offer, b.Offer) })
	}
	plan.Orders = make([]Order, 0, x.best.orders)
	for i := range m.suppliers {
		sup := &m.suppliers[i]
		if !sup.exists(x.best.lines[i]) {
			continue
		}
		t := x.best.totals[i]
		b := m.bill(sup, t, bits.OnesCount64(x.best.heads[i]))
		beside := int64(0) // counted to the value, and no goods
		if i == m.assembler {
			beside = s.beside(x)
		}
		o := Order{Supplier: i, Goods: money(t.own, sup.currency.Digits), GoodsHome: money(t.home-beside, home),
			Delivery: money(b.delivery, home), Waived: b.waived, TopUp: money(b.topUp, home),
			Value: money(b.value, home), Duty: money(b.duty, home), Tax: money(b.tax, home),
			Handling: money(b.handling, home)}
		if sup.flat > 0 && b.value <= sup.dutyTo {
			o.Headings = max(1, bits.OnesCount64(x.best.heads[i]))
		}
		cash := t.home - beside + m.sum(b)
		if sup.fees {
			o.Consigned = s.consigned(bought)
			fees := int64(len(o.Consigned)) * m.consign
			o.ConsignFees = money(fees, home)
			cash += fees
		}
		o.Cash = money(cash, home)
		plan.Landed = plan.Landed.Add(o.Cash)
		plan.Orders = append(plan.Orders, o)
	}
}

// beside is what the value of the assembler's order holds beside its goods.
func (s *Solver) beside(x *search) int64 {
	a := &s.model.suppliers[s.model.assembler]
	out := x.best.totals[s.model.assembler].home - a.fixedHome + a.fixedBeside
	for i := range x.parts {
		for _, k := range x.best.options[i].picks {
			if k.supplier == s.model.assembler {
				out -= k.home
			}
		}
	}
	return out
}

// consigned lists the machine-placed parts that cost a fee.
func (s *Solver) consigned(bought [][]pick) []int {
	var out []int
	for i := range s.model.parts {
		p := &s.model.parts[i]
		if p.brought && s.model.consign > 0 || s.model.fee(p, bought[p.index]) > 0 {
			out = append(out, p.index)
		}
	}
	slices.Sort(out)
	return out
}

func (s *Solver) line(p *part, k pick) Line {
	o := &p.offers[k.offer]
	in := &s.problem.Parts[p.index].Offers[o.index]
	at := slices.IndexFunc(o.spans, func(s span) bool { return s.from <= k.q && k.q <= s.to })
	cash, _, home := s.model.cash(o, &o.spans[at], k.q)
	line := Line{Part: p.index, Offer: o.index, Supplier: o.supplier, Quantity: k.q,
		Bought: bom.Quantity(k.q * o.pieces), Cash: money(cash, in.Currency.Digits)}
	if line.Home = line.Cash; !o.isHome {
		line.Home = money(home, s.problem.Home.Digits)
	}
	for i := range in.Breaks {
		if in.Breaks[i].From <= k.q {
			line.Price = in.Breaks[i].Price
		}
	}
	return line
}
