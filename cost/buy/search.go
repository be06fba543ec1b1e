package buy

import (
	"container/heap"
	"math"
	"math/bits"
)

// search is one branch and bound over the modes of the orders.
type search struct {
	m     *model
	parts []*part
	idle  int64 // consign fees of parts that are not bought
	modes [][]mode
	pool  [][]pooled // by part: options met so far
	best  *choice
	lim   func() bool
	ticks int
	out   bool // the limit was reached
	ties  bool // also look for plans that cost the same and are better in ties
	list  lister
}

// pooled is an option with its cost by supplier, ready for weighing.
type pooled struct {
	option
	terms []term
}

type term struct {
	supplier int
	home     float64
}

// node is a set of plans: those whose orders are in the modes that are left.
type node struct {
	mask   []uint16  // by supplier: bits of the modes that are left
	weight []float64 // by supplier: price of a home minor unit of goods there
	bound  float64   // no plan of this node costs less
	seq    int
}

type queue []*node

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	if q[i].bound != q[j].bound {
		return q[i].bound < q[j].bound
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

// tick counts work and asks the limit now and then.
func (s *search) tick() bool {
	if s.lim != nil && !s.out {
		if s.ticks++; s.ticks%256 == 0 && s.lim() {
			s.out = true
		}
	}
	return s.out
}

// target is the cash that a plan must not exceed to be of interest.
func (s *search) target() float64 {
	if s.best == nil {
		return inf
	}
	if s.ties {
		return float64(s.best.cash)
	}
	return float64(s.best.cash - 1)
}

// offer takes a plan if it is better than the best so far.
func (s *search) offer(c *choice) bool {
	if s.m.atMost > 0 && c.orders > s.m.atMost {
		return false
	}
	if s.best == nil || c.compare(s.best) < 0 {
		s.best = c
		return true
	}
	return false
}

// run searches until every node is worse than the best plan. The result is the
// bound: the best plan's cash where it is proven cheapest.
func (s *search) run(root *node) float64 {
	var q queue
	seq := 0
	add := func(n *node) {
		if !s.settle(n) {
			return
		}
		n.seq, seq = seq, seq+1
		heap.Push(&q, n)
	}
	add(root)
	for len(q) > 0 {
		n := heap.Pop(&q).(*node)
		if n.bound > s.target()+slack {
			break
		}
		if s.lim != nil && s.lim() {
			s.out = true
		}
		if s.out {
			return n.bound
		}
		a, b := s.split(n)
		if a == nil {
			s.finish(n)
			if s.out {
				return n.bound
			}
			continue
		}
		add(a)
		add(b)
	}
	if s.best == nil {
		return inf
	}
	return float64(s.best.cash)
}

func (s *search) open(n *node) []bool {
	out := make([]bool, len(n.mask))
	for i := range out {
		out[i] = s.canOpen(n, i)
	}
	return out
}

func (s *search) canOpen(n *node, i int) bool {
	return n.mask[i] != 0 && !(bits.OnesCount16(n.mask[i]) == 1 && s.modes[i][bits.TrailingZeros16(n.mask[i])].closed)
}

func (s *search) mustOpen(n *node, i int) bool {
	return n.mask[i] != 0 && !(s.modes[i][0].closed && n.mask[i]&1 != 0)
}

// settle bounds a node; false where it holds no better plan.
func (s *search) settle(n *node) bool {
	if !s.count(n) {
		return false
	}
	open := s.open(n)
	for i := range s.parts {
		if !s.ready(i, open) {
			return false
		}
	}
	s.climb(n, open)
	if n.bound <= s.target()+slack {
		return true
	}
	// The bound rests on the options met so far: prove that no other is
	// cheaper at these weights.
	n.bound = s.prove(n, open)
	return n.bound <= s.target()+slack
}

// count keeps the number of orders within the bound that was asked for.
func (s *search) count(n *node) bool {
	for i := range n.mask {
		if n.mask[i] == 0 {
			return false
		}
	}
	if s.m.atMost == 0 {
		return true
	}
	must := 0
	for i := range n.mask {
		if s.mustOpen(n, i) {
			must++
		}
	}
	if must == s.m.atMost {
		for i := range n.mask {
			if !s.mustOpen(n, i) {
				n.mask[i] = 1
			}
		}
	}
	return must <= s.m.atMost
}

// ready sees that a part has an option among the open suppliers; false where
// they do not cover it.
func (s *search) ready(i int, open []bool) bool {
	for j := range s.pool[i] {
		if s.pool[i][j].within(open) {
			return true
		}
	}
	p := s.parts[i]
	var picks []pick
	need := p.demand
	for j := range p.offers {
		o := &p.offers[j]
		if !open[o.supplier] || need <= 0 {
			continue
		}
		var best pick
		for k := range o.spans {
			c := s.m.pick(p, j, &o.spans[k], o.least(&o.spans[k], need))
			if best.q == 0 || min(c.covers, need) > min(best.covers, need) ||
				min(c.covers, need) == min(best.covers, need) && c.home < best.home {
				best = c
			}
		}
		picks = append(picks, best)
		need -= best.covers
	}
	if need > 0 {
		return false
	}
	s.keep(i, picks)
	return true
}

func (p *pooled) within(open []bool) bool {
	for i := range p.terms {
		if !open[p.terms[i].supplier] {
			return false
		}
	}
	return true
}

// keep adds an option to the pool of a part.
func (s *search) keep(i int, picks []pick) {
	o := pooled{option: s.m.option(s.parts[i], picks)}
	for j := range o.picks {
		o.terms = append(o.terms, term{o.picks[j].supplier, float64(o.picks[j].home)})
	}
	for j := range s.pool[i] {
		if s.pool[i][j].same(&o.option) {
			return
		}
	}
	s.pool[i] = append(s.pool[i], o)
}

// weigh is the value of an option at the weights.
func (p *pooled) weigh(weight []float64) float64 {
	out := float64(p.fee)
	for i := range p.terms {
		out += weight[p.terms[i].supplier] * p.terms[i].home
	}
	return out
}

// order is the least that one order can cost beyond what its goods are weighed
// at, and the goods at which it does.
func (s *search) order(i int, mask uint16, w float64) (value, goods float64) {
	value = inf
	for ; mask != 0; mask &= mask - 1 {
		md := &s.modes[i][bits.TrailingZeros16(mask)]
		at := md.lo
		if md.slope < w {
			at = md.hi
		}
		if v := md.base + (md.slope-w)*at; v < value {
			value, goods = v, at
		}
	}
	return value, goods
}

// state is the relaxed problem solved at some weights.
type state struct {
	value float64
	pick  []int     // by part: index into the pool
	goods []float64 // by supplier: what the parts ask for, fixed goods included
	asked []float64 // by supplier: what the order asks for
}

func (s *search) relax(n *node, weight []float64, open []bool, st *state) {
	st.value = float64(s.idle)
	for i := range s.modes {
		v, at := s.order(i, n.mask[i], weight[i])
		fixed := float64(s.m.suppliers[i].fixedHome)
		st.value += v + weight[i]*fixed
		st.goods[i], st.asked[i] = fixed, at
	}
	for i := range s.pool {
		best, at := inf, -1
		for j := range s.pool[i] {
			o := &s.pool[i][j]
			if v := o.weigh(weight); v < best && o.within(open) {
				best, at = v, j
			}
		}
		st.value += best
		st.pick[i] = at
		for _, t := range s.pool[i][at].terms {
			st.goods[t.supplier] += t.home
		}
	}
}

// climb raises the bound by moving the weights against what the parts and the
// orders disagree on (subgradient steps of Polyak's length).
func (s *search) climb(n *node, open []bool) {
	st := &state{pick: make([]int, len(s.parts)), goods: make([]float64, len(s.modes)), asked: make([]float64, len(s.modes))}
	w := append([]float64(nil), n.weight...)
	top := math.Inf(-1)
	factor := 1.0
	stale := 0
	steps := 30
	if s.best == nil {
		steps = 100
	}
	for k := 0; k < steps; k++ {
		s.relax(n, w, open, st)
		if st.value > top+1e-9 {
			top, stale = st.value, 0
			copy(n.weight, w)
		} else if stale++; stale >= 4 {
			factor, stale = factor/2, 0
			copy(w, n.weight)
			s.relax(n, w, open, st)
		}
		s.try(st)
		if top > s.target()+slack {
			break
		}
		var norm float64
		for i := range w {
			d := st.goods[i] - st.asked[i]
			norm += d * d
		}
		if norm == 0 {
			break
		}
		goal := st.value + max(1, 0.01*st.value)
		if s.best != nil {
			goal = max(float64(s.best.cash), st.value+1)
		}
		step := factor * (goal - st.value) / norm
		for i := range w {
			w[i] = max(0, w[i]+step*(st.goods[i]-st.asked[i]))
		}
	}
	n.bound = max(n.bound, top)
}

// try makes a plan of the parts' choices.
func (s *search) try(st *state) {
	options := make([]option, len(s.parts))
	for i := range options {
		options[i] = s.pool[i][st.pick[i]].option
	}
	s.offer(s.m.reckon(options, s.idle))
}

// prove bounds a node at its weights over all options there are.
func (s *search) prove(n *node, open []bool) float64 {
	out := float64(s.idle)
	for i := range s.modes {
		v, _ := s.order(i, n.mask[i], n.weight[i])
		out += v + n.weight[i]*float64(s.m.suppliers[i].fixedHome)
	}
	for i := range s.parts {
		out += s.cheapest(i, n.weight, open)
	}
	return out
}

// cheapest is the least value of a part's options at the weights; options that
// were not met before go into the pool.
func (s *search) cheapest(i int, weight []float64, open []bool) float64 {
	best := inf
	for j := range s.pool[i] {
		if s.pool[i][j].within(open) {
			best = min(best, s.pool[i][j].weigh(weight))
		}
	}
	l := &s.list
	var found []pick
	l.tick = nil
	l.visit = func(picks []pick, v float64) {
		if v < best-2*slack {
			best = v
			l.limit = best - 2*slack
			found = append(found[:0], picks...)
		}
	}
	l.list(s.parts[i], weight, open, best-2*slack)
	if found != nil {
		s.keep(i, found)
	}
	return best - 3*slack
}

// split divides a node at the order that is furthest from what the relaxed
// problem says it costs; nil where every order has one mode left.
func (s *search) split(n *node) (*node, *node) {
	open := s.open(n)
	st := &state{pick: make([]int, len(s.parts)), goods: make([]float64, len(s.modes)), asked: make([]float64, len(s.modes))}
	s.relax(n, n.weight, open, st)
	at, worst := -1, -1.0
	for i := range n.mask {
		if bits.OnesCount16(n.mask[i]) < 2 {
			continue
		}
		v, _ := s.order(i, n.mask[i], n.weight[i])
		gap := s.cost(i, n.mask[i], st.goods[i]) - (v + n.weight[i]*st.goods[i])
		if gap > worst {
			at, worst = i, gap
		}
	}
	if at < 0 {
		return nil, nil
	}
	var part uint16
	if s.modes[at][0].closed && n.mask[at]&1 != 0 {
		part = 1
	} else {
		part = s.holding(at, n.mask[at], st.goods[at])
	}
	return n.with(at, part), n.with(at, n.mask[at]&^part)
}

// holding is the mode, of those left, that holds an amount of goods; the
// nearest where none does.
func (s *search) holding(i int, mask uint16, goods float64) uint16 {
	best, at := inf, uint16(0)
	for ; mask != 0; mask &= mask - 1 {
		k := bits.TrailingZeros16(mask)
		md := &s.modes[i][k]
		off := max(md.lo-goods, goods-md.hi, 0)
		if off < best {
			best, at = off, 1<<k
		}
	}
	return at
}

// cost is what the order's modes say an amount of goods costs.
func (s *search) cost(i int, mask uint16, goods float64) float64 {
	md := &s.modes[i][bits.TrailingZeros16(s.holding(i, mask, goods))]
	return md.base + md.slope*min(max(goods, md.lo), md.hi)
}

func (n *node) with(i int, mask uint16) *node {
	out := &node{mask: append([]uint16(nil), n.mask...), weight: append([]float64(nil), n.weight...), bound: n.bound}
	out.mask[i] = mask
	return out
}
