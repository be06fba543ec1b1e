package buy

import (
	"cmp"
	"slices"
)

// fill writes the best choice into a plan, in the order of the problem.
func (s *Solver) fill(plan *Plan, x *search) {
	bought, lines := make([][]pick, len(s.problem.Parts)), 0
	for i, p := range x.parts {
		bought[p.index] = x.best.options[i].picks
		lines += len(bought[p.index])
	}
	plan.Lines = make([]Line, 0, lines)
	for i, picks := range bought {
		first := len(plan.Lines)
		for _, k := range picks {
			plan.Lines = append(plan.Lines, s.line(&s.model.parts[s.at[i]], k))
		}
		slices.SortFunc(plan.Lines[first:], func(a, b Line) int { return cmp.Compare(a.Offer, b.Offer) })
	}
	plan.Landed = money(x.best.cash, s.problem.Home.Digits)
}

func (s *Solver) line(p *part, k pick) Line {
	o := &p.offers[k.offer]
	return Line{Part: p.index, Offer: o.index, Supplier: o.supplier, Quantity: k.q, Home: money(k.home, s.problem.Home.Digits)}
}
