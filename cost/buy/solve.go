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
	demand, fixed := demands(p)
	return s.Solve(demand, fixed)
}

// demands gives what a problem needs of each part, and each supplier's fixed
// goods.
func demands(p Problem) ([]bom.Quantity, []Fixed) {
	demand := make([]bom.Quantity, len(p.Parts))
	for i := range p.Parts {
		demand[i] = p.Parts[i].Demand
	}
	fixed := make([]Fixed, len(p.Suppliers))
	for i := range p.Suppliers {
		fixed[i] = p.Suppliers[i].Fixed
	}
	return demand, fixed
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
	bound := inf
	if root := x.root(); root != nil {
		bound = x.run(root)
	}
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
	s := &search{m: m, limit: limit}
	s.lister.m = m
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

// root is the node of all plans.
func (s *search) root() *node {
	var mask []uint16
	var price []float64
	for i := range s.m.suppliers {
		modes := s.m.modes(&s.m.suppliers[i], s.most(i))
		s.modes = append(s.modes, modes)
		mask = append(mask, uint16(1)<<len(modes)-1)
		price = append(price, modes[len(modes)-1].slope)
	}
	return s.newNode(mask, price, math.Inf(-1), nil)
}

// most is the most that useful lines of all parts can add to an order.
func (s *search) most(i int) total {
	var out total
	for _, p := range s.parts {
		for j := range p.offers {
			o := &p.offers[j]
			if o.supplier != i {
				continue
			}
			var line total
			for k := range o.spans {
				_, own, home := s.m.cash(o, &o.spans[k], s.m.useful(p, j, &o.spans[k]))
				line = total{max(line.own, own), max(line.home, home)}
			}
			out.own, out.home = min(tooMuch, out.own+line.own), min(tooMuch, out.home+line.home)
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
		if s.coverable(n, 0, 0) {
			return n
		}
	}
	return len(s.m.suppliers)
}

func (s *search) coverable(orders, i int, open uint64) bool {
	if i == len(s.m.suppliers) {
		for j := range s.parts {
			if !s.ready(j, open, nil) {
				return false
			}
		}
		return true
	}
	if orders > 0 && s.coverable(orders-1, i+1, open|1<<i) {
		return true
	}
	return !s.m.suppliers[i].forced && s.coverable(orders, i+1, open)
}
