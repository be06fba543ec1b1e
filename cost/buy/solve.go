package buy

import (
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Solver holds what does not change from one batch size to the next: suppliers
// and offers, read once. It is not safe for concurrent use.
type Solver struct {
	problem Problem
	model   *model
}

// New reads a problem. Errors are figures that make no sense (a negative
// price, an offer of an unknown supplier, a currency without a rate); they
// name supplier, part and offer.
func New(p Problem) (*Solver, error) {
	m, err := compile(&p)
	if err != nil {
		return nil, err
	}
	return &Solver{p, m}, nil
}

// Solve finds the cheapest plan of a problem.
func Solve(p Problem) (Plan, error) {
	s, err := New(p)
	if err != nil {
		return Plan{}, err
	}
	demand := make([]bom.Quantity, len(p.Parts))
	for i := range p.Parts {
		demand[i] = p.Parts[i].Demand
	}
	fixed := make([]Fixed, len(p.Suppliers))
	for i := range p.Suppliers {
		fixed[i] = p.Suppliers[i].Fixed
	}
	return s.Solve(demand, fixed)
}

// Solve finds the cheapest plan for one batch: what it needs of each part of
// the problem, and the fixed goods of each supplier. Both stand in the order
// of the problem and replace what stands there.
func (s *Solver) Solve(demand []bom.Quantity, fixed []Fixed) (Plan, error) {
	if len(demand) != len(s.problem.Parts) || len(fixed) != len(s.problem.Suppliers) {
		return Plan{}, fmt.Errorf("%d demands and %d fixed goods for %d parts and %d suppliers",
			len(demand), len(fixed), len(s.problem.Parts), len(s.problem.Suppliers))
	}
	if err := s.model.fix(demand, fixed); err != nil {
		return Plan{}, err
	}
	x := s.model.search(s.problem.Limit)
	root := x.root()
	bound := x.run(root)
	plan := Plan{Short: s.short()}
	if x.best == nil {
		plan.TooFewOrders = true
		plan.Fewest = x.fewest()
		return plan, nil
	}
	if x.best.cash >= tooMuch {
		return Plan{}, fmt.Errorf("the run costs more than can be counted")
	}
	plan.Proven = !x.out
	s.fill(&plan, x)
	plan.Bound = plan.Landed
	if !plan.Proven {
		plan.Bound = money(int64(math.Ceil(max(0, bound)-slack)), s.problem.Home.Digits)
		plan.Proven = plan.Bound.GreaterThanOrEqual(plan.Landed)
		plan.Bound = decimal.Min(plan.Bound, plan.Landed)
	}
	return plan, nil
}

// search prepares the branch and bound of the batch that is fixed.
func (m *model) search(limit func() bool) *search {
	s := &search{m: m, lim: limit}
	s.list.m = m
	for i := range m.parts {
		p := &m.parts[i]
		if p.demand == 0 || p.reach() < p.demand {
			s.idle += m.fee(p, nil)
			continue
		}
		s.parts = append(s.parts, p)
		s.pool = append(s.pool, nil)
		for _, o := range m.single(p) {
			s.keep(len(s.parts)-1, o.picks)
		}
	}
	return s
}

// reach is the most that can be bought of a part, in millionths.
func (p *part) reach() int64 {
	var out int64
	for i := range p.offers {
		out = min(demandLimit, out+p.offers[i].most)
	}
	return out
}

// root is the node of all plans. No order of a best plan holds more goods than
// a plan that buys every part where it is dearest.
func (s *search) root() *node {
	n := &node{bound: math.Inf(-1)}
	for i := range s.m.suppliers {
		sup := &s.m.suppliers[i]
		s.modes = append(s.modes, s.m.modes(sup, float64(sup.fixedHome)+s.most(i)))
		n.mask = append(n.mask, uint16(1)<<len(s.modes[i])-1)
		n.weight = append(n.weight, s.modes[i][len(s.modes[i])-1].slope)
	}
	return n
}

// most is the most that a useful plan can order of parts from a supplier.
func (s *search) most(i int) float64 {
	var out float64
	for _, p := range s.parts {
		for j := range p.offers {
			o := &p.offers[j]
			if o.supplier != i {
				continue
			}
			var line float64
			for k := range o.spans {
				_, _, home := s.m.cash(o, &o.spans[k], s.m.useful(p, j, &o.spans[k]))
				line = max(line, float64(home))
			}
			out += line
		}
	}
	return out
}

// short lists the parts that cannot be covered, in the order of the problem.
func (s *Solver) short() []Shortage {
	out := make([]*Shortage, len(s.problem.Parts))
	for i := range s.model.parts {
		p := &s.model.parts[i]
		if most := p.reach(); most < p.demand {
			out[p.index] = &Shortage{p.index, bom.Quantity(p.demand), bom.Quantity(most)}
		}
	}
	var list []Shortage
	for _, x := range out {
		if x != nil {
			list = append(list, *x)
		}
	}
	return list
}

// fewest is the least number of orders that cover the demand.
func (s *search) fewest() int {
	for n := s.m.atMost + 1; n <= len(s.m.suppliers); n++ {
		if s.coverable(n, 0, make([]bool, len(s.m.suppliers))) {
			return n
		}
	}
	return len(s.m.suppliers)
}

func (s *search) coverable(orders, i int, open []bool) bool {
	if i == len(open) {
		for j := range s.parts {
			if !s.ready(j, open) {
				return false
			}
		}
		return orders >= 0
	}
	if orders > 0 {
		open[i] = true
		if s.coverable(orders-1, i+1, open) {
			return true
		}
		open[i] = false
	}
	return !s.m.suppliers[i].forced && s.coverable(orders, i+1, open)
}
