package buy

import (
	"cmp"
	"container/heap"
	"iter"
	"math"
	"math/bits"
	"slices"
)

// search is one branch and bound over the modes of the orders.
type search struct {
	m         *model
	parts     []*part
	modes     [][]mode   // by supplier
	seconds   []second   // by supplier
	fees      second     // what a consign fee counts for: see paying
	prices    int        // of a node, those that are not yet used left out
	reached   []reach    // by supplier: the most goods that its order can have
	pool      [][]option // by part: options met so far
	floors    []floor    // by part
	best      *choice
	limit     int64 // home minor units: only plans of less cash are of interest
	effort    int64 // steps that may be taken
	closing   int64 // and how many more to raise the bound when they are spent
	stop      func() bool
	steps     int64
	improving int64   // of them, those that went into improving plans
	out       bool    // the effort is spent
	nodes     int     // made so far
	taken     int     // from the queue
	eager     bool    // a proof counts as hard from its first step on
	ties      bool    // plans that cost the same as the best are of interest too
	tied      []*node // where they may be
	lister    lister
	within    within
	work      scratch
}

// scratch holds what is used again from node to node, and from batch to batch.
type scratch struct {
	climber      climber
	split, prove state
	lower        lower
	cover        cover
	draft        draft
	trial, best  choice
	lines        slab // of the options in the pool
	front, back  block
	labels       stack[label]
	seen         table
}

// slab holds lines that are all given up at once.
type slab struct{ free []pick }

const leastSlab, largestSlab = 64, 1024

// keep copies lines into the slab.
func (l *slab) keep(picks []pick) []pick {
	if cap(l.free)-len(l.free) < len(picks) {
		size := min(max(leastSlab, 2*cap(l.free)), largestSlab)
		l.free = make([]pick, 0, max(size, len(picks)))
	}
	from := len(l.free)
	l.free = append(l.free, picks...)
	return l.free[from:len(l.free):len(l.free)]
}

// reset gives all lines up, and sees that there is room for some.
func (l *slab) reset(room int) {
	if l.free = l.free[:0]; cap(l.free) < room {
		l.free = make([]pick, 0, room)
	}
}

// stack gives lists room one after the other, and takes it all back at once.
type stack[T any] struct{ all, free []T }

// largestRoom is how much room is kept from one use to the next.
const largestRoom = 1 << 18

func (r *stack[T]) reset() {
	if cap(r.all) > largestRoom {
		r.all = nil
	}
	r.free = r.all[:0]
}

// next is an empty list with the room that is left.
func (r *stack[T]) next() []T { return r.free[:0] }

// keep leaves a list, begun by next, where it is.
func (r *stack[T]) keep(list []T) []T {
	if cap(list) > cap(r.free) { // it has outgrown the room that was left
		r.all = list[:0]
	}
	r.free = list[len(list):]
	return list[:len(list):len(list)]
}

// node is a set of plans: those whose orders are in the modes that are left.
type node struct {
	mask   []uint64  // by supplier: bits of the modes that are left
	open   uint64    // bits of the suppliers that can have lines
	over   uint64    // bits of those where more than is needed can be of use
	rules  []rule    // by part; nil: none
	price  []float64 // by supplier: what a home minor unit of goods counts for; then those of values: see second
	bound  float64   // no plan of this node costs less
	guess  float64   // where the bound is likely to be: it has not been proven
	seq    int
	width  float64  // of the last enumeration; 0: none yet
	aside  bool     // it holds nothing better than the best plan
	goods  []corner // by supplier: what the relaxed problem buys
	torn   torn
	core   *core     // its options are listed: see enlist
	lists  [][]int32 // by part: those that are left
	spread float64   // the gap at which they were too many to be listed
	paid   []uint64  // by supplier: bits of the headings that are paid for; nil where no duty is flat
	shut   []uint64  // by supplier: bits of those that no line has
	tolls  [][]float64
	paying paying
	fees   float64 // how many parts pay a consign fee in the relaxed problem
}

// rule narrows the quantities of one part's offers: of each in turn, at least
// lo and at most hi order units. Nil: none.
type rule []limits

type limits struct{ lo, hi int64 }

func (n *node) rule(part int) rule {
	if n.rules == nil {
		return nil
	}
	return n.rules[part]
}

// bounds gives what the rule leaves of an offer.
func (r rule) bounds(offer int) (lo, hi int64) {
	if r == nil {
		return 0, tooMuch
	}
	return r[offer].lo, r[offer].hi
}

// with narrows one offer further.
func (r rule) with(offers, offer int, lo, hi int64) rule {
	out := make(rule, offers)
	for i := range out {
		out[i].lo, out[i].hi = r.bounds(i)
	}
	out[offer].lo, out[offer].hi = max(out[offer].lo, lo), min(out[offer].hi, hi)
	return out
}

// queue is a heap of nodes, the most promising first.
type queue []*node

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	if q[i].guess != q[j].guess {
		return q[i].guess < q[j].guess
	}
	return q[i].seq < q[j].seq
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(*node)) }
func (q *queue) Pop() any {
	n := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return n
}

// lowestOf is the least bound of the nodes that are left. As long as it rests on
// a node that was not proven itself, it can be raised: up to a number of times
// that takes little.
func lowestOf(s *search, left []*node) float64 {
	s.out, s.effort = false, s.effort+s.closing
	defer func() { s.out = true }()
	for !s.out {
		n := slices.MinFunc(left, func(a, b *node) int { return cmp.Compare(a.bound, b.bound) })
		if n.guess <= n.bound {
			return n.bound
		}
		n.bound = max(n.bound, s.prove(n))
		n.guess = n.bound
	}
	return slices.MinFunc(left, func(a, b *node) int { return cmp.Compare(a.bound, b.bound) }).bound
}

// closingShare is what part of the effort is kept for that.
const closingShare = 16

// stepsOfNode is what a node counts for besides what is counted one by one.
const stepsOfNode = 256

// tick counts work, by the steps it took, and tells whether the effort is spent.
func (s *search) tick(steps int) bool {
	before := s.steps
	s.steps += int64(steps)
	switch {
	case s.out:
	case s.steps > s.effort:
		s.out = true
	case s.stop != nil && before/askEvery != s.steps/askEvery:
		s.out = s.stop()
	}
	return s.out
}

// How many steps lie between two questions whether to stop, and how many go into
// looking for plans that only tie.
const askEvery, tieSteps = 1 << 14, 20_000

// target is the cash that a plan must not exceed to be of interest.
func (s *search) target() float64 {
	switch {
	case s.best == nil:
		return float64(s.limit - 1)
	case s.ties:
		return float64(s.best.cash)
	}
	return float64(min(s.best.cash, s.limit) - 1)
}

// take reckons a plan and keeps it if it is better than the best so far.
func (s *search) take(c *choice) {
	c.reckon(s.m)
	if s.m.atMost > 0 && c.orders > s.m.atMost {
		return
	}
	if s.best == nil || c.compare(s.best) < 0 {
		s.best = &s.work.best
		s.best.copy(c)
	}
}

// run searches the plans of some nodes until every node is worse than the best
// plan. The result is the bound: the best plan's cash where it is proven
// cheapest. Nodes that may hold plans as good as the best are set aside.
func (s *search) run(roots ...*node) float64 {
	var q queue
	add := func(n *node) {
		n.seq, s.nodes = s.nodes, s.nodes+1
		if n.width > 0 && n.core == nil || s.ties && n.aside || s.settle(n) {
			heap.Push(&q, n)
		} else {
			s.setAside(n)
		}
	}
	for _, n := range roots {
		add(n)
	}
	for len(q) > 0 {
		n := s.next(&q)
		if n.bound > s.target()+slack {
			s.setAside(n)
			continue
		}
		if s.tick(stepsOfNode) {
			return lowestOf(s, append(q, n))
		}
		twoPrices(s)
		if n.guess > n.bound {
			s.certify(n)
			heap.Push(&q, n)
			continue
		}
		if n.core == nil {
			if exhaust(s, n) {
				continue
			}
			if parts := s.branch(n); parts != nil {
				for _, m := range parts {
					add(m)
				}
				continue
			}
		}
		again := finish(s, n)
		if s.out {
			return lowestOf(s, append(q, n))
		}
		if again == nil {
			s.setAside(n)
		}
		for _, m := range again {
			add(m)
		}
	}
	if s.best == nil {
		return inf
	}
	return float64(min(s.best.cash, s.limit))
}

// branch divides a node at an order's modes, at a heading, at the number of consignment fees or
// at an order's value; nil where it needs none of them.
func (s *search) branch(n *node) []*node {
	if a, b := s.split(n); a != nil {
		return some(a, b)
	}
	if a, b := decide(s, n); a != nil || b != nil {
		return some(a, b)
	}
	if parts := splitFees(s, n); parts != nil {
		return parts
	}
	return refine(s, n)
}

// next takes a node from the queue: the most promising one, and now and then the one that
// has been proven least, which can be more promising than it is thought to be.
func (s *search) next(q *queue) *node {
	s.taken++
	at := 0
	if s.hard() && s.taken%leastProvenEvery == 0 {
		for i, n := range *q {
			if m := (*q)[at]; n.guess > n.bound && (m.guess <= m.bound || n.bound < m.bound) {
				at = i
			}
		}
		s.tick(len(*q) / nodesPerStep)
	}
	return heap.Remove(q, at).(*node)
}

// leastProvenEvery is how often that is, and nodesPerStep how many nodes are looked at
// in one step.
const leastProvenEvery, nodesPerStep = 4, 16

// certify proves the bound of a node. Where options that were not met before make
// it lower than it was thought to be, prices are looked for once more.
func (s *search) certify(n *node) {
	rounds, near := columnRounds, 0.2
	if !s.hard() {
		rounds, near = columnRoundsSoon, 1
	}
	for range rounds {
		guess := n.guess
		bound := s.prove(n)
		n.bound = max(n.bound, bound)
		if bound > guess-near {
			break
		}
		n.guess = s.climb(n)
	}
	n.guess = n.bound
}

// columnRounds is how often options are looked for that the prices of a node lack
// (column generation), and how often where the proof has just begun.
const columnRounds, columnRoundsSoon = 10, 4

// setAside remembers a node that holds nothing better than the best plan, but
// perhaps something as good.
func (s *search) setAside(n *node) {
	if !s.ties && s.best != nil && n.bound <= float64(s.best.cash)+slack {
		if n.core != nil {
			if n = n.core.root; n.aside {
				return
			}
		}
		n.aside = true
		s.tied = append(s.tied, n)
	}
}

// newNode makes a node of what is left of each order's modes in another one; nil where
// that is nothing, or more orders than are allowed.
func (s *search) newNode(of *node, mask []uint64, rules []rule) *node {
	n := &node{mask: mask, price: append([]float64(nil), of.price...), bound: of.bound, guess: of.bound, rules: rules, spread: inf,
		paid: of.paid, shut: of.shut, paying: of.paying}
	must := 0
	for i, left := range mask {
		if left == 0 {
			return nil
		}
		if !s.canClose(i, left) {
			must++
		}
	}
	if s.m.atMost > 0 && must > s.m.atMost {
		return nil
	}
	for i, left := range mask {
		if s.m.atMost > 0 && s.m.atMost == must && s.canClose(i, left) {
			mask[i] = 1
		}
		if !s.canClose(i, mask[i]) || mask[i] != 1 {
			n.open |= 1 << i
			if reaches(s, i, mask[i]) {
				n.over |= 1 << i
			}
		}
	}
	if a := s.m.assembler; s.m.sent && n.open>>a&1 != 0 && drawn(s, a, n.mask[a]) {
		n.over = ^uint64(0) // whoever sends more makes its order cheaper
	}
	return n
}

// reaches tells whether some of the modes of an order can ask for more goods than
// the demands do: those that begin at a threshold from which on the order is
// cheaper, and a top-up in a foreign currency, where roundings can pay. In all
// others goods that are not needed cost at least nothing, and the plan without
// them is in this node or in another one.
func reaches(s *search, i int, mask uint64) bool {
	sup := &s.m.suppliers[i]
	for md := range s.placed(i, mask) {
		// Where lines have duty of their own, goods of less take the place of a top-up.
		if md.lo.own >= sup.freeOwn && sup.delivery > 0 && sup.fixedOwn < sup.freeOwn || md.topped && (sup.mixed || !sup.tied) {
			return true
		}
	}
	return drawn(s, i, mask)
}

// drawn tells whether some of the modes of an order are cheaper the more its value is:
// those from where duty is no longer flat, and those in which the share of the delivery
// that bears the most duty shrinks.
func drawn(s *search, i int, mask uint64) bool {
	sup := &s.m.suppliers[i]
	if sup.flat == 0 && !s.m.diluted(sup) {
		return false
	}
	for md := range s.placed(i, mask) {
		if md.flat == 0 && sup.flat > 0 && sup.fixedHome <= sup.dutyTo || md.insured > 0 && md.from < s.m.wantedValue(sup) {
			return true
		}
	}
	return false
}

// placed runs through the modes of an order that are left and in which it is placed.
func (s *search) placed(i int, mask uint64) iter.Seq[*mode] {
	return func(yield func(*mode) bool) {
		for ; mask != 0; mask &= mask - 1 {
			if md := &s.modes[i][bits.TrailingZeros64(mask)]; !md.closed && !yield(md) {
				return
			}
		}
	}
}

// canClose tells whether no order is among the modes; it is always the first.
func (s *search) canClose(i int, mask uint64) bool { return s.modes[i][0].closed && mask&1 != 0 }

// settle finds prices for a node; false where it holds no better plan. The bound
// is proven only where it would drop the node.
func (s *search) settle(n *node) bool {
	if n.core != nil {
		return settleCore(s, n)
	}
	for i := range s.parts {
		if !s.ready(i, n.open, n.rule(i)) {
			n.bound = inf
			return false
		}
	}
	layTolls(s, n)
	n.guess = max(n.bound, s.climb(n))
	if n.guess > s.target()+slack {
		n.bound = max(n.bound, s.prove(n))
		n.guess = n.bound
	}
	return n.bound <= s.target()+slack
}

// split divides a node at the order that is furthest from what the relaxed
// problem says it costs; nil where every order has one mode left.
func (s *search) split(n *node) (*node, *node) {
	st := &s.work.split
	s.size(st)
	s.relax(n, n.price, st)
	at, worst := -1, math.Inf(-1)
	for i := range n.mask {
		if s.single(i, n.mask[i]) {
			continue
		}
		v, _ := s.order(i, n.mask[i], st.weight[i], headings(s, n, i))
		goods := n.goods[i]
		gap := s.cost(i, n.mask[i], goods) - (v + st.weight[i].home*goods.home + st.weight[i].own*goods.own)
		if gap > worst {
			at, worst = i, gap
		}
	}
	if at < 0 {
		return nil, nil
	}
	part := uint64(1)
	if !s.canClose(at, n.mask[at]) {
		held := holding(s, at, n.mask[at], n.goods[at])
		if part = s.group(at, held) & n.mask[at]; s.modes[at][bits.TrailingZeros64(held)].group >= stepGroup {
			part = below(s, at, n.mask[at], held)
		}
	}
	with := func(left uint64) *node {
		mask := append([]uint64(nil), n.mask...)
		mask[at] = left
		return s.newNode(n, mask, n.rules)
	}
	a, b := with(part), with(n.mask[at]&^part)
	if a == nil {
		a, b = b, a
	}
	return a, b
}

// group is the modes that differ from one only by the top-up. They are not
// divided: the cash of an order is convex over them, so that the relaxation
// loses nothing.
func (s *search) group(i int, one uint64) uint64 {
	md := &s.modes[i][bits.TrailingZeros64(one)]
	var out uint64
	for k := range s.modes[i] {
		if s.modes[i][k].group == md.group {
			out |= 1 << k
		}
	}
	return out
}

// single tells whether an order's modes need not be divided any more.
func (s *search) single(i int, mask uint64) bool {
	return mask&^s.group(i, mask&-mask) == 0
}

// holding is the mode, of those left, that holds an amount of goods; the
// nearest where none does.
func holding(s *search, i int, mask uint64, goods corner) uint64 {
	best, at := inf, uint64(0)
	for ; mask != 0; mask &= mask - 1 {
		k := bits.TrailingZeros64(mask)
		md := &s.modes[i][k]
		rate := s.m.suppliers[i].rate.value
		value := 0.0
		if md.topped {
			value = goods.home + rate*(float64(s.m.suppliers[i].minOwn)-goods.own)
			value = max(float64(md.from)-0.5-value, value-0.5-float64(md.to), 0)
		}
		off := value + max(float64(md.lo.home)-goods.home, goods.home-float64(md.hi.home), 0) +
			rate*max(float64(md.lo.own)-goods.own, goods.own-float64(md.hi.own), 0)
		if off < best {
			best, at = off, 1<<k
		}
	}
	return at
}

// cost is what the order's modes say an amount of goods costs.
func (s *search) cost(i int, mask uint64, goods corner) float64 {
	md := &s.modes[i][bits.TrailingZeros64(holding(s, i, mask, goods))]
	return md.base + md.slope*goods.home - md.back*goods.own
}
