package buy

import (
	"cmp"
	"slices"
	"sort"
)

// lister lists the options of one part whose weighted cash does not exceed a
// limit: Σ weight of the supplier × home cash of the line, plus the consign
// fee. It considers every quantity of every offer, splits over any number of
// offers and more than the demand, and leaves out only what is proven to
// exceed the limit, so that the lists are complete.
//
// The proof is a linear bound. An offer's line covers x of the demand for no
// less than rate·x − gain, where rate is the least price per piece that it can
// have within the demand and gain the most that rounding takes off. What is
// still to be covered is filled from the cheapest rates up.
type lister struct {
	m      *model
	p      *part
	weight []float64 // by supplier; never negative
	limit  float64
	visit  func(picks []pick, value float64)
	tick   func() bool // true: give up
	gaveUp bool

	branch []branch // offers in use, cheapest rate first
	picks  []pick
}

// branch is an offer at its weight.
type branch struct {
	offer  int
	weight float64
	rate   float64 // least weighted price per millionth of a piece
	gain   float64 // weighted
	most   int64
	gains  float64 // of this and all later branches
}

// fee is a bound that stays valid while picks are added.
func (l *lister) fee(elsewhere bool) float64 {
	if elsewhere && l.p.machine {
		return float64(l.m.consign)
	}
	return 0
}

// list runs through the options over the suppliers that are open.
func (l *lister) list(p *part, weight []float64, open []bool, limit float64) {
	l.p, l.weight, l.limit, l.gaveUp = p, weight, limit, false
	l.branch = l.branch[:0]
	for i := range p.offers {
		o := &p.offers[i]
		if open[o.supplier] {
			w := weight[o.supplier]
			l.branch = append(l.branch, branch{offer: i, weight: w, rate: w * o.perPiece(p.demand),
				gain: w * o.gain, most: o.most})
		}
	}
	slices.SortStableFunc(l.branch, func(a, b branch) int { return cmp.Compare(a.rate, b.rate) })
	var gains float64
	for i := len(l.branch) - 1; i >= 0; i-- {
		gains += l.branch[i].gain
		l.branch[i].gains = gains
	}
	l.picks = l.picks[:0]
	l.descend(0, p.demand, 0, false)
}

// perPiece is the least home cash per millionth of a piece within a demand,
// before rounding.
func (o *offer) perPiece(demand int64) float64 {
	least := inf
	for i := range o.spans {
		s := &o.spans[i]
		unit := s.unit / float64(o.pieces)
		if c := o.covers(s.from); c > demand {
			unit *= float64(c) / float64(demand)
		}
		least = min(least, unit)
	}
	return least
}

// fill bounds the cost of covering need from branch i on.
func (l *lister) fill(i int, need int64) float64 {
	if need <= 0 {
		return 0
	}
	if i == len(l.branch) {
		return inf
	}
	out := -l.branch[i].gains
	for ; i < len(l.branch); i++ {
		b := &l.branch[i]
		if b.most >= need {
			return max(0, out+b.rate*float64(need))
		}
		out += b.rate * float64(b.most)
		need -= b.most
	}
	return inf
}

func (l *lister) descend(i int, need int64, value float64, elsewhere bool) {
	if l.gaveUp || value+l.fill(i, need) > l.limit+slack {
		return
	}
	if i == len(l.branch) {
		l.visit(l.picks, value)
		l.gaveUp = l.tick != nil && l.tick()
		return
	}
	b := &l.branch[i]
	o := &l.p.offers[b.offer]
	fee := 0.0
	if !elsewhere && o.supplier != l.m.assembler {
		fee = l.fee(true)
	}
	gone := elsewhere || o.supplier != l.m.assembler
	for j := range o.spans {
		s := &o.spans[j]
		try := func(q int64) bool {
			c := l.m.pick(l.p, b.offer, s, q)
			v := value + fee + b.weight*float64(c.home)
			if v > l.limit+slack {
				return false
			}
			l.picks = append(l.picks, c)
			l.descend(i+1, max(0, need-c.covers), v, gone)
			l.picks = l.picks[:len(l.picks)-1]
			return !l.gaveUp
		}
		full := s.to + o.step // first quantity that covers the need alone
		if need <= o.covers(s.to) {
			full = o.least(s, need)
		}
		// Below full, the bound is convex in the quantity: what the line
		// costs is linear, what is left to cover costs ever less per piece.
		lo, hi := l.interval(i, s, need, value+fee, s.from, full-o.step)
		for q := hi; q >= lo; q -= o.step {
			try(q)
		}
		// From full on, cost only rises.
		for q, last := full, l.m.useful(l.p, b.offer, s); q <= last && try(q); q += o.step {
		}
	}
	l.descend(i+1, need, value, elsewhere)
}

// interval narrows the quantities lo..hi of a span to those whose bound is
// within the limit; hi < lo where none is.
func (l *lister) interval(i int, s *span, need int64, value float64, lo, hi int64) (int64, int64) {
	if hi < lo {
		return lo, hi
	}
	b := &l.branch[i]
	o := &l.p.offers[b.offer]
	bound := func(k int) float64 {
		q := lo + int64(k)*o.step
		return value + b.weight*s.unit*float64(q) - b.gain + l.fill(i+1, need-o.covers(q))
	}
	n := int((hi-lo)/o.step) + 1
	// inf on the left: not even all later offers cover the rest.
	first := sort.Search(n, func(k int) bool { return bound(k) < inf })
	best := first + sort.Search(max(0, n-first-1), func(k int) bool { return bound(first+k+1) > bound(first+k) })
	if best >= n || bound(best) > l.limit+slack {
		return lo, lo - o.step
	}
	from := first + sort.Search(best-first, func(k int) bool { return bound(first+k) <= l.limit+slack })
	to := best + sort.Search(n-1-best, func(k int) bool { return bound(best+k+1) > l.limit+slack })
	return lo + int64(from)*o.step, lo + int64(to)*o.step
}

// slack absorbs the rounding of float64 sums: a millionth of a minor unit.
const slack = 1e-6
