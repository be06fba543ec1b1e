package buy

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// candidate is an option of a part that may stand in a better plan.
type candidate struct {
	option
	index int32   // in the core
	over  float64 // its value over the part's least
	flat  int64   // goods of orders whose charges are settled, and fee
	goods []total // by watched order
}

// label is a set of options for the parts so far. Labels with the same totals
// of the orders that matter have the same charges to come: the best of them
// stands for all.
type label struct {
	over   float64
	cash   int64 // goods, fees and known charges so far
	spare  int64
	excess int64
	orders int32 // of those whose goods are known
	fees   int32 // parts that pay a consignment fee, where the node bounds them
	parent int32
	choice int32
}

// compare puts the label first that stands for another with the same goods
// still open.
func (l *label) compare(m *label) int {
	return cmp.Or(cmp.Compare(l.cash, m.cash), cmp.Compare(l.fees, m.fees), cmp.Compare(m.spare, l.spare), cmp.Compare(l.orders, m.orders), cmp.Compare(l.excess, m.excess))
}

// combiner runs through the combinations of the candidates of all parts: see meet.
type combiner struct {
	s           *search
	n           *node
	width       float64
	effort      int64 // combinations and options to be tried at most
	lists       [][]candidate
	order       []int // parts, fewest candidates first
	watch       []watched
	granted     uint64  // bits of the suppliers that are left out of account: see grant
	found       bool    // a combination within the width
	sifted      bool    // no candidate makes another one needless
	base        float64 // no plan costs less than this and what its options are over their parts' least
	settledCash int64   // charges of orders that are not watched
	lines       slab    // of the candidates
	bounded     bool    // the node bounds the parts that pay a consign fee
}

// watched is an order whose charges depend on which candidates are combined.
type watched struct {
	counted
	start   total // fixed goods
	two     bool  // home goods matter for the charges too: for customs
	mixed   bool  // and duty on lines of their own
	diluted bool  // more goods can make duty less
	bare    bool  // and so can goods that bring the order over the value up to which it is flat
	terms   *supplier
	bound   bool    // the modes ask for more goods than every combination has
	lucky   bool    // a top-up in a foreign currency: roundings can pay
	dull    bool    // inside one mode, at its own price: only roundings are open
	least   []total // by layer: of the parts from there on
	most    []total
}

// collect lists the candidates of all parts; false where they are too many.
func (c *combiner) collect() bool {
	s, st := c.s, &c.s.work.prove
	c.lists = make([][]candidate, len(s.parts))
	most := 0
	if divided(s, c.n) {
		most = mostListed
	}
	for i := range s.parts {
		if !c.list(i, st, most) {
			return false
		}
	}
	c.effort = max(c.effort, thinningEffort)
	c.thinOut()
	return true
}

// list lists the candidates of one part, in at most so many steps where there is a
// bound; false where there are too many.
func (c *combiner) list(i int, st *state, most int) bool {
	s := c.s
	least := s.cheapest(i, c.n, st.weight)
	c.lists[i] = c.lists[i][:0]
	if f := &s.floors[i]; f.clear > least+c.width+slack {
		c.lists[i] = append(c.lists[i], candidate{option: s.pool[i][f.pick]})
		return true
	}
	s.lister.most = most
	s.lister.list(i, s.parts[i], st.weight, c.n, least+c.width+slack, &gathering{c, i, least})
	s.lister.most = 0
	return !s.lister.gaveUp
}

// mostListed is how many steps go into the list of one part at most where values have
// been divided into steps.
const mostListed = 8000

// thinningEffort is how many steps may go into thinning lists at least.
const thinningEffort = 200_000

// gathering makes candidates of the options of one part.
type gathering struct {
	c     *combiner
	part  int
	least float64
}

func (g *gathering) visit(picks []pick, v float64) (enough bool) {
	c, s := g.c, g.c.s
	c.lists[g.part] = append(c.lists[g.part], candidate{option: s.m.option(s.parts[g.part], c.lines.keep(picks)), over: v - g.least})
	c.effort--
	return c.effort < 0 || s.tick(stepsOfCandidate)
}

// What a candidate and a label count for: they take room besides time.
const stepsOfCandidate, stepsOfLabel = 2, 2

// thinOut thins the lists until nothing changes. Each round of thinning narrows the
// ranges, which thins again; what makes others needless is looked for last, as it
// takes longest.
func (c *combiner) thinOut() {
	st := &c.s.work.prove
	for last, sifted := -1, c.sifted; ; {
		c.prepare(st)
		c.thin()
		now, least := 0, math.MaxInt
		for i := range c.lists {
			now, least = now+len(c.lists[i]), min(least, len(c.lists[i]))
		}
		switch out := c.s.tick(now); {
		case least == 0:
			return
		case !out && (now < last || last < 0):
			last = now
			continue
		}
		if sifted || c.s.out {
			break
		}
		for i := range c.lists {
			c.lists[i] = c.needed(c.lists[i])
		}
		sifted = true
	}
	for i := range c.lists {
		slices.SortStableFunc(c.lists[i], func(a, b candidate) int { return cmp.Compare(a.over, b.over) })
	}
}

// prepare finds the orders to watch and the ranges of their goods.
func (c *combiner) prepare(st *state) {
	c.arrange()
	c.watch, c.settledCash = c.watch[:0], c.s.m.idle
	for i := range c.n.mask {
		if c.n.open>>i&1 == 0 {
			continue
		}
		sup := &c.s.m.suppliers[i]
		if c.granted>>i&1 != 0 {
			v, _ := c.s.order(i, c.n.mask[i], weight{}, 0)
			c.settledCash += int64(math.Floor(v))
			continue
		}
		w := watched{counted: countedOf(c.s, c.n, i, st.weight[i]), start: sup.fixed(),
			two: !sup.tied && !sup.free, terms: sup}
		c.settledCash += sup.fixedHome
		w.least, w.most = c.ranges(i)
		if !c.settled(&w) {
			c.watch = append(c.watch, w)
		} else if t := w.start.plus(w.least[0]); t != w.start || sup.forced {
			c.settledCash += c.s.m.sum(c.s.m.bill(w.terms, t, w.heads))
		}
	}
	count := 0
	for i := range c.lists {
		count += len(c.lists[i])
	}
	c.s.tick(count * len(c.s.modes) / optionsPerStep)
	room := make([]total, count*len(c.watch))
	for i := range c.lists {
		for j := range c.lists[i] {
			o := &c.lists[i][j]
			o.goods, room = room[:len(c.watch):len(c.watch)], room[len(c.watch):]
			o.flat = o.fee
			if o.value == 0 || c.granted>>o.to&1 == 0 {
				o.flat += o.value
			}
			for k := range o.picks {
				if c.granted>>o.picks[k].supplier&1 == 0 {
					o.flat += o.picks[k].home
				}
			}
			for w := range c.watch {
				o.goods[w] = o.at(c.watch[w].supplier)
				o.flat -= o.goods[w].home
			}
		}
	}
}

// arrange orders the parts so that one order after another gets its final goods
// early: the fewer the combinations of the parts that touch it, the sooner they
// come. Parts with one candidate come first.
func (c *combiner) arrange() {
	touch := make([][]int, len(c.s.modes)) // by supplier: parts whose candidates differ there
	c.order = c.order[:0]
	taken := make([]bool, len(c.lists))
	for i, list := range c.lists {
		if len(list) < 2 {
			c.order = append(c.order, i)
			taken[i] = true
			continue
		}
		for sup := range touch {
			first := list[0].at(sup)
			if slices.ContainsFunc(list, func(o candidate) bool { return o.at(sup) != first }) {
				touch[sup] = append(touch[sup], i)
			}
		}
	}
	for {
		best, size := -1, inf
		for sup := range touch {
			touch[sup] = slices.DeleteFunc(touch[sup], func(i int) bool { return taken[i] })
			if ways := c.ways(touch[sup]); len(touch[sup]) > 0 && ways < size {
				best, size = sup, ways
			}
		}
		if best < 0 {
			break
		}
		slices.SortStableFunc(touch[best], func(a, b int) int { return cmp.Compare(len(c.lists[a]), len(c.lists[b])) })
		for _, i := range touch[best] {
			c.order = append(c.order, i)
			taken[i] = true
		}
	}
	// Last, parts whose candidates add the same to every order and differ in
	// what is left over alone.
	for i := range c.lists {
		if !taken[i] {
			c.order = append(c.order, i)
		}
	}
}

// ways is the logarithm of the number of combinations of some parts.
func (c *combiner) ways(parts []int) float64 {
	var out float64
	for _, i := range parts {
		out += math.Log(float64(len(c.lists[i])))
	}
	return out
}

// ranges gives the least and most that the parts from each layer on add to an
// order.
func (c *combiner) ranges(supplier int) (least, most []total) {
	least, most = make([]total, len(c.order)+1), make([]total, len(c.order)+1)
	for k := len(c.order) - 1; k >= 0; k-- {
		lo, hi := highest, lowest
		for j := range c.lists[c.order[k]] {
			t := c.lists[c.order[k]][j].at(supplier)
			lo, hi = lo.lower(t), hi.upper(t)
		}
		least[k], most[k] = least[k+1].plus(lo), most[k+1].plus(hi)
	}
	return least, most
}

// at is what an option adds to an order.
func (o *option) at(supplier int) total {
	var t total
	for i := range o.picks {
		if o.picks[i].supplier == supplier {
			t = t.plus(o.picks[i].total())
		}
	}
	if o.value != 0 && supplier == o.to {
		t.home += o.value
	}
	return t
}

// settled tells whether an order's charges are the same for all combinations,
// and notes what matters where they are not.
func (c *combiner) settled(w *watched) bool {
	lo, hi := w.start.plus(w.least[0]), w.start.plus(w.most[0])
	if lo == hi {
		return true
	}
	single := c.s.single(w.supplier, w.mask)
	w.reach(c.s, lo, hi)
	from, values, flat := tooMuch, tooMuch, false
	var md *mode
	for left := w.mask; left != 0; left &= left - 1 {
		md = &c.s.modes[w.supplier][bits.TrailingZeros64(left)]
		from = min(from, md.lo.own)
		w.lucky = w.lucky || md.topped && !w.terms.tied
		w.mixed = w.mixed || md.steep > 0 || md.spared
		w.diluted = w.diluted || md.steep > 0 && md.insured > 0
		if !md.closed {
			values, flat = min(values, md.from), flat || md.flat > 0
		}
	}
	w.bare = w.terms.flat > 0 && !flat && lo.home < values
	w.bound = lo.own < from || !single
	inside := bits.OnesCount64(w.mask) == 1 && lo.own >= md.lo.own && hi.own <= md.hi.own &&
		lo.home >= md.lo.home && hi.home <= md.hi.home
	tilt := math.Abs(md.slope-w.weight.home)*float64(hi.home) + math.Abs(md.back+w.weight.own)*float64(hi.own)
	w.dull = inside && tilt < slack && !w.mixed && md.group < stepGroup
	return inside && md.plain
}

// reach narrows the modes of an order to those that goods between two totals can be in:
// most of them are far from the threshold that a node leaves open. Where there is none,
// all are left: no combination is in the node.
func (o *counted) reach(s *search, lo, hi total) {
	apart := func(md *mode) bool {
		a, b := lo.upper(md.lo), hi.lower(md.hi)
		return a.own > b.own || a.home > b.home
	}
	within := o.mask
	for left := o.mask; left != 0; left &= left - 1 {
		if k := bits.TrailingZeros64(left); apart(&s.modes[o.supplier][k]) {
			within &^= 1 << k
		}
	}
	if within != 0 {
		o.mask = within
	}
}

// thin drops candidates that no combination can bring within the width, and
// those that another one of the same part makes needless.
func (c *combiner) thin() {
	goods, closed := make([]total, len(c.watch)), make([]bool, len(c.watch))
	for _, part := range c.order {
		kept := c.lists[part][:0]
		lo, hi := c.spread(part)
		for _, o := range c.lists[part] {
			for w := range goods {
				goods[w] = c.watch[w].start.plus(o.goods[w])
			}
			if o.over+c.beyond(closed, goods, lo, hi) <= c.width+slack {
				kept = append(kept, o)
			}
		}
		if c.lists[part] = kept; len(kept) == 0 {
			return
		}
	}
}

// spread gives the ranges of all parts but one.
func (c *combiner) spread(part int) (lo, hi []total) {
	lo, hi = make([]total, len(c.watch)), make([]total, len(c.watch))
	for w := range c.watch {
		a, b := highest, lowest
		for j := range c.lists[part] {
			t := c.lists[part][j].goods[w]
			a, b = a.lower(t), b.upper(t)
		}
		lo[w], hi[w] = c.watch[w].least[0].minus(a), c.watch[w].most[0].minus(b)
	}
	return lo, hi
}

// needed drops candidates that another of the same part replaces in every plan
// at no cost.
func (c *combiner) needed(list []candidate) []candidate {
	slices.SortStableFunc(list, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.flat, b.flat), cmp.Compare(a.excess, b.excess))
	})
	kept := list[:0]
	for i := range list {
		// Comparing with all that are kept is work too.
		work := len(kept)/comparedPerStep + 1
		if c.effort -= int64(work); c.effort < 0 || c.s.tick(work) {
			return append(kept, list[i:]...)
		}
		needless := false
		for j := range kept {
			if needless = c.replaces(&kept[j], &list[i]); needless {
				break
			}
		}
		if !needless {
			kept = append(kept, list[i])
		}
	}
	return kept
}

// comparedPerStep is how many candidates are compared in one step.
const comparedPerStep = 16

// replaces tells whether a costs no more than b in any combination. Charges
// only rise with the goods but for free delivery, which the modes that are left
// grant or refuse to both, and for the top-up, which falls by no more than the
// goods rise but for the roundings of an exchange. A plan that is replaced by one
// below a customs threshold, and so outside of the node, costs no more either.
func (c *combiner) replaces(a, b *candidate) bool {
	if c.bounded && a.pays != b.pays || a.flat > b.flat || a.excess > b.excess && c.granted == 0 || c.s.ties && a.spare < b.spare {
		return false
	}
	for i := range c.watch {
		w, x, y := &c.watch[i], a.goods[i], b.goods[i]
		if x.home != y.home && (w.bare || w.diluted) || w.mixed && w.terms.duties(x) > w.terms.duties(y) || w.diluted && x.duty != y.duty {
			return false
		}
		if x.home > y.home || x.own > y.own || x.own != y.own && w.bound {
			return false
		}
		// With a top-up the order costs what its minimum does, and what the
		// lines' roundings add up to besides.
		if x.own != y.own && w.lucky && !w.terms.asLucky(x, y) {
			return false
		}
	}
	return true
}

// asLucky tells whether the roundings of an exchange add no more to the home
// amount of a than to that of b, which has no less of both.
func (s *supplier) asLucky(a, b total) bool {
	if s.rate.wide != nil {
		return false
	}
	// b.home − a.home ≥ rate × (b.own − a.own)
	hi, lo := bits.Mul64(uint64(b.home-a.home), s.rate.den)
	top, low := bits.Mul64(uint64(b.own-a.own), s.rate.num)
	return hi > top || hi == top && lo >= low
}

// beyond is what the watched orders cost, at least, beyond the bound, once some
// of their goods are known and the rest is between least and most. Orders whose
// charges are counted already are left out.
func (c *combiner) beyond(closed []bool, goods, least, most []total) float64 {
	var out float64
	for i := range c.watch {
		if w := &c.watch[i]; !w.dull && !closed[i] {
			out += beyondBound(c.s, &w.counted, goods[i].plus(least[i]), goods[i].plus(most[i]))
		}
	}
	return out
}

// counted is an order of a node with what the bound counts for it.
type counted struct {
	supplier int
	mask     uint64 // bits of the modes that are left
	heads    int    // headings that flat duty is counted for
	weight   weight
	relaxed  float64 // the least that it costs beyond what its goods are weighed at
}

// countedOf notes what the bound counts for an order at a weight.
func countedOf(s *search, n *node, i int, w weight) counted {
	heads := headings(s, n, i)
	relaxed, _ := s.order(i, n.mask[i], w, heads)
	return counted{supplier: i, mask: n.mask[i], heads: heads, weight: w, relaxed: relaxed}
}

// beyondBound is what an order costs, at least, beyond what the bound counts for it
// when its goods are between lo and hi; inf where no mode that is left holds
// such goods.
func beyondBound(s *search, o *counted, lo, hi total) float64 {
	best := inf
	under := s.m.suppliers[o.supplier].dutyNum - s.m.suppliers[o.supplier].leastDuty
	for left := o.mask; left != 0; left &= left - 1 {
		md := &s.modes[o.supplier][bits.TrailingZeros64(left)]
		a, b := lo.upper(md.lo), hi.lower(md.hi)
		if a.own > b.own || a.home > b.home {
			continue
		}
		v := md.base + md.flat*float64(o.heads)
		if md.topped || md.steep > 0 {
			from, to := s.m.suppliers[o.supplier].values(md, a, b)
			if from > to || !s.m.suppliers[o.supplier].dutiable(md, lo.duty, hi.duty, from, to) {
				continue
			}
			v += md.beside(lo.duty, hi.duty, from, to, under, o.weight.duty)
		} else if md.spared {
			sup := &s.m.suppliers[o.supplier]
			if !sup.dutiable(md, lo.duty, hi.duty, a.home, b.home) {
				continue
			}
			v += md.beside(lo.duty, min(hi.duty, dutyScale/2-sup.dutyNum*a.home), a.home, b.home, under, o.weight.duty)
		} else if o.weight.duty != 0 {
			v += md.beside(lo.duty, hi.duty, 0, 0, under, o.weight.duty)
		}
		if f := md.slope - o.weight.home; f >= 0 {
			v += f * float64(a.home)
		} else {
			v += f * float64(b.home)
		}
		if f := md.back + o.weight.own; f >= 0 {
			v -= f * float64(b.own)
		} else {
			v -= f * float64(a.own)
		}
		best = min(best, v)
	}
	return max(0, best-o.relaxed)
}

// values spans the value for customs of goods between a and b in a mode; from is above
// to where there is none.
func (s *supplier) values(md *mode, a, b total) (from, to int64) {
	if !md.topped {
		return a.home, b.home
	}
	// Up to the roundings of the top-up.
	from = a.home + int64(s.rate.value*float64(s.minOwn-b.own)) - 1
	to = b.home + int64(s.rate.value*float64(s.minOwn-a.own)) + 2
	return max(from, md.from), min(to, md.to)
}

// dutiable tells whether an order can be in a mode by the duty of its lines.
func (s *supplier) dutiable(md *mode, less, more, from, to int64) bool {
	switch {
	case md.spared:
		return s.dutyNum*from+less < dutyScale/2
	case md.dutiable:
		return float64(s.dutyNum*to+more)*(1+md.insured/float64(max(1, from))) >= dutyScale/2-1
	}
	return true
}

// duties is the duty on an order's lines, in parts of dutyScale.
func (s *supplier) duties(t total) int64 { return s.dutyNum*t.home + t.duty }
