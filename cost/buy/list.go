package buy

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// lister lists the options of one part whose weighted cash does not exceed a
// limit: the lines' goods, weighed, plus the consign fee. It considers every
// quantity of every offer, splits over any number of offers and more than the
// demand, and leaves out only what is proven to exceed the limit, so that the
// lists are complete unless it gave up.
//
// The proof is a linear bound. An offer's line covers x of the demand for no
// less than rate·x − gain, where rate is the least price per piece that it can
// have within the demand and gain the most that rounding takes off. What is
// still to be covered is filled from the cheapest rates up.
type lister struct {
	m       *model
	p       *part
	weight  []weight // by supplier
	limit   float64
	to      visitor
	stop    func() bool // asked now and then on the way; true: give up
	gaveUp  bool
	steps   int
	most    int    // steps that one list may take before it gives up; 0: any
	end     int    // and where that is
	granted uint64 // bits of the suppliers whose goods count for nothing: see grant

	branch []branch // offers in use, cheapest rate first
	picks  []pick
}

// visitor is shown each option that is listed, with its value. The lines are in
// no order and hold for the call only. True gives the list up.
type visitor interface {
	visit(picks []pick, value float64) (enough bool)
}

// branch is an offer at its weight.
type branch struct {
	offer  int
	weight weight
	level  float64 // weight of a home minor unit where nothing is rounded
	toll   float64 // of the line
	entry  float64 // toll and the weight of the line's fee
	rate   float64 // least weighted price per millionth of a piece
	round  float64 // most that rounding takes off a line's value
	gain   float64 // most by which a line's value can be below what it covers at the rate
	lucky  float64 // most by which a line's value can be below nothing
	most   int64
	gains  float64 // of this and all later branches
	luck   float64 // of this and all later branches
	lo, hi int64   // quantities that the rule leaves
	over   bool    // more than what covers the demand may be of use
}

// weight is what goods count for in the relaxed problem: per minor unit of
// their home amount and of their amount in the supplier's currency. The price
// of a threshold on the supplier's own amount goes into own, so that roundings
// between the currencies cannot blur it. Duty is for that beside the supplier's rate,
// see total. A fee is what each consign fee counts for beside itself: see paying.
type weight struct{ home, own, duty, fee float64 }

func (w weight) of(home, own int64) float64 { return w.home*float64(home) + w.own*float64(own) }

// fee is what a line of another supplier than the assembler adds, once.
func (l *lister) fee() float64 {
	switch {
	case !l.p.machine || l.p.brought:
		return 0
	case l.m.feeCounts:
		return float64(l.m.consign)*l.weight[l.m.assembler].home + l.weight[l.m.assembler].fee
	case l.m.consign == 0:
		return 0
	}
	return float64(l.m.consign) + l.weight[l.m.assembler].fee
}

// discount is what a fee that is weighed at less than nothing can still take off.
func (l *lister) discount(elsewhere bool) float64 {
	if elsewhere {
		return 0
	}
	return min(0, l.fee())
}

// at is the weight of a line of an offer: a home minor unit of it can add to duty, and
// to the value of the assembler's order without being paid there.
func (m *model) at(p *part, o *offer, w []weight) weight {
	out := w[o.supplier]
	if o.duty != 0 {
		out.home += out.duty * float64(o.duty)
	}
	if m.sent && p.machine && o.supplier != m.assembler {
		out.home += w[m.assembler].home - 1
	}
	out.duty, out.fee = 0, 0
	return out
}

// list runs through the options of a part that a node leaves.
func (l *lister) list(part int, p *part, weight []weight, n *node, limit float64, to visitor) {
	l.p, l.weight, l.limit, l.to, l.gaveUp, l.end = p, weight, limit, to, false, math.MaxInt
	if !l.begin(part, n) {
		return
	}
	l.picks = l.picks[:0]
	if l.most > 0 {
		l.end = l.steps + l.most
	}
	l.descend(0, p.demand, 0, false)
}

// begin finds the offers of the part at hand that a node leaves, and what they bound; false
// where it leaves no option.
func (l *lister) begin(part int, n *node) bool {
	p := l.p
	open, r, toll := n.open, n.rule(part), n.toll(part)
	l.branch = l.branch[:0]
	for i := range p.offers {
		o := &p.offers[i]
		lo, hi := r.bounds(i)
		if open>>o.supplier&1 == 0 || hi == 0 {
			if lo > 0 {
				return false
			}
			continue
		}
		if (lo > 0 || hi < tooMuch) && o.perPiece(p.demand, lo, hi) == inf { // no quantity is left
			if lo > 0 {
				return false
			}
			continue
		}
		b := l.newBranch(i, l.m.at(p, o, l.weight), lo, hi)
		if b.entry = b.weight.home * o.rate.value * float64(o.fee); toll != nil {
			b.toll, b.entry = toll[i], b.entry+toll[i]
		}
		if b.entry < 0 {
			b.gain, b.lucky = b.gain-b.entry, b.lucky-b.entry
		}
		b.over = n.over>>o.supplier&1 != 0
		l.branch = append(l.branch, b)
	}
	slices.SortStableFunc(l.branch, func(a, b branch) int { return cmp.Compare(a.rate, b.rate) })
	var gains, luck float64
	for i := len(l.branch) - 1; i >= 0; i-- {
		b := &l.branch[i]
		gains, luck = gains+b.gain, luck+b.lucky
		b.gains, b.luck = gains, luck
	}
	return true
}

func (l *lister) newBranch(i int, w weight, lo, hi int64) branch {
	o := &l.p.offers[i]
	rate := l.m.suppliers[o.supplier].rate.value
	b := branch{offer: i, weight: w, lo: lo, hi: hi, most: o.most, level: w.home + w.own/rate}
	if hi < tooMuch {
		b.most = min(o.most, o.covers(hi))
	}
	if b.rate = b.level * l.m.perUnit[o.at]; lo > 0 || hi < tooMuch {
		b.rate = b.level * o.perPiece(l.p.demand, lo, hi)
	}
	if b.level < 0 {
		b.draw(l, o)
		return b
	}
	// What rounding adds to the own amount is gained too where that is negative, and
	// what it takes off where it is not.
	b.round = b.level*o.gain.price + w.home*o.gain.rate
	if w.own != 0 && !o.own {
		b.round = b.level*(o.gain.price+o.gain.rate) + math.Abs(w.own)*0.5
	}
	if w.own < 0 {
		if b.lucky = w.home * o.gain.rate; !o.own {
			b.lucky = -w.own * 0.5
		}
	}
	b.gain = b.round
	return b
}

// draw sets the bounds of an offer whose goods are wanted more than they cost, as
// their order has to reach a threshold: a line is worth no more than the largest
// that is of use.
func (b *branch) draw(l *lister, o *offer) {
	w := b.weight
	b.rate = 0
	b.round = -b.level*(0.5*o.rate.value+0.5) + 0.5*(math.Abs(w.home)+math.Abs(w.own))
	for k := range o.spans {
		if s, ok := o.spans[k].within(b.lo, min(b.hi, l.m.useful[o.first+k]), o.step); ok {
			b.lucky = max(b.lucky, -b.level*s.unit*float64(s.to)+b.round)
		}
	}
	b.gain = b.lucky
}

// perPiece is the least home cash per millionth of a piece within a demand,
// before rounding.
func (o *offer) perPiece(demand, lo, hi int64) float64 {
	least := inf
	for i := range o.spans {
		s, ok := o.spans[i].within(lo, hi, o.step)
		if !ok {
			continue
		}
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
	if i == len(l.branch) {
		if need <= 0 {
			return 0
		}
		return inf
	}
	if need <= 0 {
		return -l.branch[i].luck
	}
	out, least := -l.branch[i].gains, -l.branch[i].luck
	for ; i < len(l.branch); i++ {
		b := &l.branch[i]
		if b.most >= need {
			return max(least, out+b.rate*float64(need))
		}
		out += b.rate * float64(b.most)
		need -= b.most
	}
	return inf
}

// stepsPerAsk is how many steps may pass before the limit is asked again: a few
// milliseconds of work.
const stepsPerAsk = 1 << 14

func (l *lister) descend(i int, need int64, value float64, elsewhere bool) {
	l.count(1)
	if l.gaveUp || value+l.discount(elsewhere)+l.fill(i, need) > l.limit+slack {
		return
	}
	if i == len(l.branch) {
		l.gaveUp = l.to.visit(l.picks, value)
		return
	}
	b := &l.branch[i]
	o := &l.p.offers[b.offer]
	fee := 0.0
	if !elsewhere && o.supplier != l.m.assembler {
		fee = l.fee()
	}
	gone := elsewhere || o.supplier != l.m.assembler
	begun := value + fee + b.entry + l.discount(gone) // what any line of the offer comes to at least, goods aside
	for j := range o.spans {
		cut, ok := o.spans[j].within(b.lo, b.hi, o.step)
		if !ok {
			continue
		}
		s := &cut
		try := func(c pick) bool {
			v := value + fee + b.toll + b.weight.of(c.home, c.own)
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
		lo, hi := s.from, full-o.step
		if l.granted>>o.supplier&1 != 0 {
			lo = max(lo, hi) // fewer pieces cost no less
		}
		if b.level >= 0 {
			hi = l.reach(i, s, need, begun, hi)
		}
		if (hi-lo)/o.step > stepsToSearch {
			lo, hi = l.interval(i, s, need, begun, lo, hi)
		}
		var last pick
		for q := hi; q >= lo; q -= o.step {
			// Fewer pieces for the same money are no use.
			c := l.m.pick(l.p, b.offer, s, q)
			if q < hi && c.home == last.home && c.own == last.own {
				continue
			}
			last = c
			try(c)
		}
		l.enough(i, j, s, full, begun-b.round+l.fill(i+1, 0), try)
	}
	if b.lo == 0 {
		l.descend(i+1, need, value, elsewhere)
	}
}

// enough tries the quantities of a span that cover the need alone, from full on: a
// line's value only rises there, but for roundings, and only falls where goods are
// wanted. rest is what all else comes to at least.
func (l *lister) enough(i, j int, s *span, full int64, rest float64, try func(pick) bool) {
	b := &l.branch[i]
	o := &l.p.offers[b.offer]
	most := min(s.to, full)
	if b.over {
		most = min(s.to, l.m.useful[o.first+j])
	}
	q, step := full, o.step
	if b.level < 0 {
		q, step = most, -o.step
	}
	for ; q >= full && q <= most && rest+b.level*s.unit*float64(q) <= l.limit+slack && try(l.m.pick(l.p, b.offer, s, q)); q += step {
	}
}

// count counts steps, and asks now and then whether to go on.
func (l *lister) count(steps int) {
	before := l.steps
	l.steps += steps
	if before/stepsPerAsk != l.steps/stepsPerAsk && l.stop != nil && l.stop() || l.steps > l.end {
		l.gaveUp = true
	}
}

// reach is the largest quantity of a span, up to one that does not cover the
// need, at which the limit can be kept: what is left costs at least this
// offer's rate, and so every unit of a dearer span adds the difference.
func (l *lister) reach(i int, s *span, need int64, value float64, hi int64) int64 {
	if hi < s.from {
		return hi
	}
	b := &l.branch[i]
	o := &l.p.offers[b.offer]
	room := l.limit + 2*slack - (value + b.level*s.unit*float64(s.from) + b.rate*float64(need-o.covers(s.from)) - b.gains)
	dearer := (b.level*s.unit - b.rate*float64(o.pieces)) * float64(o.step)
	switch {
	case room < 0:
		return s.from - o.step
	case room < dearer*float64((hi-s.from)/o.step):
		return s.from + int64(room/dearer+slack)*o.step
	}
	return hi
}

// stepsToSearch is how many quantities are tried rather than searched through.
const stepsToSearch = 4

// interval narrows the quantities lo..hi of a span to those whose bound is
// within the limit; hi < lo where none is.
func (l *lister) interval(i int, s *span, need int64, value float64, lo, hi int64) (int64, int64) {
	b := &l.branch[i]
	o := &l.p.offers[b.offer]
	bound := func(k int) float64 {
		q := lo + int64(k)*o.step
		return value + b.level*s.unit*float64(q) - b.round + l.fill(i+1, need-o.covers(q))
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
