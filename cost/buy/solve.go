package buy

import (
	"cmp"
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Solver holds what does not change from one batch size to the next: suppliers
// and offers, read once. It is not safe for concurrent use: see [Solver.Twin].
type Solver struct {
	// Effort is how many steps the proof of the next plan may take, as in
	// Problem, from which New takes it.
	Effort int64
	// Under, in home currency, is what the next plan must cost less than to be of interest:
	// where the bounds show that none does, the search ends there (Plan.NotUnder).
	Under decimal.NullDecimal

	// Unwanted are parts that a batch has none of, and that an assembler is not sent
	// either; nil: none.
	Unwanted []bool
	// Brought are parts of which a batch sends some from stock: their consignment fee is due.
	Brought []bool

	problem Problem
	model   *model
	at      []int // by part of the problem: its place among those of the model
	search  search
	eager   bool // see search: for tests
}

// New reads a problem. Errors are figures that make no sense (a negative
// price, an offer of an unknown supplier, a currency without a rate); they
// name supplier, part and offer.
func New(p Problem) (*Solver, error) {
	m, err := compile(&p)
	if err != nil {
		return nil, err
	}
	at := make([]int, len(m.parts))
	for i := range m.parts {
		at[m.parts[i].index] = i
	}
	return &Solver{Effort: p.Effort, problem: p, model: m, at: at}, nil
}

// Twin gives a solver of the same problem that another goroutine can use at the
// same time. Its Stop, which is the same, must then be safe for that too.
func (s *Solver) Twin() *Solver {
	return &Solver{Effort: s.Effort, problem: s.problem, model: s.model.twin(), at: s.at}
}

// Solve finds the cheapest plan for one batch: what it needs of each part of
// the problem, what of it is taken (nil: all; the rest is surplus), and the fixed goods
// of each supplier. They stand in the order of the problem and replace what stands there.
func (s *Solver) Solve(demand, taken []bom.Quantity, fixed []Fixed) (Plan, error) {
	if len(demand) != len(s.problem.Parts) || taken != nil && len(taken) != len(demand) || len(fixed) != len(s.problem.Suppliers) {
		return Plan{}, fmt.Errorf("%d demands, %d of them taken, and %d fixed goods for %d parts and %d suppliers",
			len(demand), len(taken), len(fixed), len(s.problem.Parts), len(s.problem.Suppliers))
	}
	if err := s.model.fix(demand, taken, fixed, s.Unwanted, s.Brought); err != nil {
		return Plan{}, err
	}
	x := &s.search
	prepare(x, s.model, cmp.Or(s.Effort, DefaultEffort), s.problem.Stop)
	x.eager = s.eager
	if s.Under.Valid {
		x.limit = min(tooMuch, minor(s.Under.Decimal, s.problem.Home.Digits))
	}
	bound := x.solve()
	plan := Plan{Short: s.short()}
	if !x.out && (x.best == nil || x.best.cash >= x.limit) {
		if fewest, _ := fewest(x); s.model.atMost == 0 || fewest <= s.model.atMost {
			plan.NotUnder, plan.Bound, plan.Steps = true, money(x.limit, s.problem.Home.Digits), x.steps
			return plan, nil
		}
	}
	if x.best == nil {
		plan.TooFewOrders, plan.Steps = true, x.steps
		plan.Fewest, _ = fewest(x)
		return plan, nil
	}
	if x.best.cash >= tooMuch {
		return Plan{}, fmt.Errorf("the run costs more than can be counted")
	}
	s.fill(&plan, x)
	plan.Bound = money(bound, s.problem.Home.Digits)
	plan.Proven, plan.Steps = bound == x.best.cash, x.steps
	return plan, nil
}

// solve finds the best plan of the batch that is fixed, and gives the cash below
// which there is none.
func (s *search) solve() int64 {
	bound := s.run(some(rootNode(s))...)
	if s.out && s.best == nil {
		rescue(s)
	}
	if s.best == nil {
		return 0
	}
	if !s.out && s.best.cash >= s.limit {
		return s.limit
	}
	if s.out {
		spend(s)
		least := int64(math.Ceil(max(0, bound) - slack))
		return min(least, s.best.cash)
	}
	// Proven: see whether another plan ties and is better in other ways.
	s.ties, s.effort = true, s.steps+tieSteps
	forget(s)
	s.run(s.tied...)
	spend(s)
	return s.best.cash
}

// rescue makes some plan where the search was stopped before it met one within
// the bound on orders.
func rescue(s *search) {
	orders, open := fewest(s)
	if orders > s.m.atMost {
		return
	}
	n := blank(s)
	for i, modes := range s.modes {
		if n.price[i] = 1; modes[0].closed && open>>i&1 == 0 {
			n.mask[i] = 1
		}
	}
	if n := s.newNode(n, n.mask, nil); n != nil {
		s.settle(n)
	}
}

// blank is what the node of all plans is made of: nothing is decided.
func blank(s *search) *node {
	n := &node{bound: math.Inf(-1), paying: unbounded(s)}
	for _, modes := range s.modes {
		n.mask = append(n.mask, uint64(1)<<len(modes)-1)
		n.price = append(n.price, modes[len(modes)-1].slope)
	}
	n.price = append(n.price, make([]float64, len(n.price)+1)...)
	onePrice(s)
	if s.m.heads {
		n.paid, n.shut = make([]uint64, len(s.m.suppliers)), make([]uint64, len(s.m.suppliers))
		for i := range s.m.suppliers {
			n.paid[i] = s.m.suppliers[i].fixedHeads()
		}
	}
	return n
}

// prepare readies the search for the batch that is fixed, and takes up what the
// last batch has left.
func prepare(s *search, m *model, effort int64, stop func() bool) {
	*s = search{m: m, limit: math.MaxInt64, effort: effort - effort/closingShare, closing: effort / closingShare, stop: stop, parts: s.parts[:0], modes: s.modes, seconds: s.seconds, pool: s.pool, floors: s.floors, lister: s.lister, work: s.work}
	s.lister.m, s.lister.steps = m, 0
	s.lister.stop = func() bool { return s.tick(stepsPerAsk) }
	for i := range m.parts {
		p := &m.parts[i]
		if p.demand == 0 || p.reach() < p.demand {
			continue
		}
		s.parts = append(s.parts, p)
	}
	s.pool, s.floors = roomy(resized(s.pool, len(s.parts)), fewOfAPart), resized(s.floors, len(s.parts))
	offers := 0
	for _, p := range s.parts {
		offers += len(p.offers)
	}
	s.work.lines.reset(offers + offers/4)
	var weights []weight // room for those of all floors
	for i, p := range s.parts {
		f := &s.floors[i]
		if f.known = false; cap(f.weight) < len(p.offers) {
			if weights == nil {
				weights = make([]weight, offers)
			}
			f.weight, weights = weights[:0:len(p.offers)], weights[len(p.offers):]
		}
		s.pool[i] = s.pool[i][:0]
		for j := range p.offers {
			if line, ok := m.alone(p, j); ok {
				s.keep(i, []pick{line})
			}
		}
	}
}

// resized gives a list another length, with the room that it has already.
func resized[T any](list []T, n int) []T {
	if n <= cap(list) {
		return list[:n]
	}
	return append(list[:cap(list)], make([]T, n-cap(list))...)
}

// roomy gives every list that has no room yet room for n, all from one piece.
func roomy[T any](lists [][]T, n int) [][]T {
	var room []T
	for i := range lists {
		if cap(lists[i]) > 0 {
			continue
		}
		if len(room) < n {
			room = make([]T, n*(len(lists)-i))
		}
		lists[i], room = room[:0:n], room[n:]
	}
	return lists
}

// fewOfAPart is how many options of a part there is room for at first.
const fewOfAPart = 3

// reach is the most that can be bought of a part, in millionths.
func (p *part) reach() int64 {
	var out int64
	for i := range p.offers {
		out = min(demandLimit, out+p.offers[i].most)
	}
	return out
}

// rootNode is the node of all plans; nil where more orders are forced than allowed.
func rootNode(s *search) *node {
	s.modes = s.modes[:0]
	s.reached = most(s)
	for i := range s.m.suppliers {
		s.modes = append(s.modes, s.m.modes(&s.m.suppliers[i], s.reached[i]))
	}
	of := blank(s)
	return s.newNode(of, of.mask, nil)
}

// most is the most that useful lines of all parts can add to each order.
func most(s *search) []reach {
	out := make([]reach, len(s.m.suppliers))
	for _, p := range s.parts {
		sent := int64(0)
		for j := range p.offers {
			o := &p.offers[j]
			var line total
			for k := range o.spans {
				own, home := s.m.cash(o, &o.spans[k], s.m.useful[o.first+k])
				line = total{max(line.own, own), max(line.home, home), 0}
			}
			to := &out[o.supplier]
			to.own, to.home = min(tooMuch, to.own+line.own), min(tooMuch, to.home+line.home)
			if duty := o.dutyOn(line.home); duty > 0 {
				to.duty += duty
			} else {
				to.less += duty
			}
			if o.fee > 0 {
				to.beside += int64(math.Ceil(o.rate.value*float64(o.fee))) + 1
			}
			if o.supplier != s.m.assembler {
				sent += line.home
			}
		}
		if s.m.assembler < 0 || !p.machine {
			continue
		}
		more, to := int64(0), &out[s.m.assembler]
		if s.m.feeCounts {
			more += s.m.consign
		}
		if s.m.sent {
			more += sent
		}
		to.home, to.beside = min(tooMuch, to.home+more), min(tooMuch, to.beside+more)
	}
	return out
}

// short lists the parts that cannot be covered, in the order of the problem.
func (s *Solver) short() (out []Shortage) {
	for i, at := range s.at {
		p := &s.model.parts[at]
		if most := p.reach(); most < p.demand {
			out = append(out, Shortage{i, bom.Quantity(p.demand), bom.Quantity(most)})
		}
	}
	return out
}

// fewest is the least number of orders that cover the demand, and the suppliers
// that do.
func fewest(s *search) (int, uint64) {
	for n := range len(s.m.suppliers) {
		if open, ok := coverable(s, n, 0, 0); ok {
			return n, open
		}
	}
	return len(s.m.suppliers), ^uint64(0)
}

func coverable(s *search, orders, i int, open uint64) (uint64, bool) {
	if i == len(s.m.suppliers) {
		for j := range s.parts {
			if !s.ready(j, open, nil) {
				return 0, false
			}
		}
		return open, true
	}
	if orders > 0 {
		if all, ok := coverable(s, orders-1, i+1, open|1<<i); ok {
			return all, true
		}
	}
	if s.m.suppliers[i].forced {
		return 0, false
	}
	return coverable(s, orders, i+1, open)
}
