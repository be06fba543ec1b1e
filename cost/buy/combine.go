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
	parent int32
	choice int32
}

// compare puts the label first that stands for another with the same goods
// still open.
func (l *label) compare(m *label) int {
	return cmp.Or(cmp.Compare(l.cash, m.cash), cmp.Compare(m.spare, l.spare), cmp.Compare(l.orders, m.orders), cmp.Compare(l.excess, m.excess))
}

// combiner runs through the combinations part by part, one layer of labels for
// each.
type combiner struct {
	s      *search
	n      *node
	width  float64
	effort int64 // combinations and options to be tried at most
	lists  [][]candidate
	order  []int // parts, fewest candidates first
	watch  []watched
	layers [][]label
	goods  []total // totals of the watched orders, of each label of the last layer in turn
}

// watched is an order whose charges depend on which candidates are combined.
type watched struct {
	counted
	start total // fixed goods
	two   bool  // home goods matter for the charges too: for customs
	bound bool  // the modes ask for more goods than every combination has
	lucky bool  // a top-up in a foreign currency: roundings can pay
	dull  bool  // inside one mode, at its own price: only roundings are open
	last  int   // layer after which its goods are known
	ahead lookahead
	least []total // by layer: of the parts from there on
	most  []total
}

// collect lists the candidates of all parts; false where they are too many.
func (c *combiner) collect() bool {
	s, st := c.s, &c.s.work.prove
	c.lists = make([][]candidate, len(s.parts))
	for i := range s.parts {
		least := s.cheapest(i, c.n, st.weight)
		s.lister.list(s.parts[i], st.weight, c.n, c.n.rule(i), least+c.width+slack, &gathering{c, i, least})
		if s.lister.gaveUp {
			return false
		}
	}
	c.thinOut()
	return true
}

// gathering makes candidates of the options of one part.
type gathering struct {
	c     *combiner
	part  int
	least float64
}

func (g *gathering) visit(picks []pick, v float64) (enough bool) {
	c, s := g.c, g.c.s
	c.lists[g.part] = append(c.lists[g.part], candidate{option: s.m.option(s.parts[g.part], slices.Clone(picks)), over: v - g.least})
	c.effort--
	return c.effort < 0 || s.tick(stepsOfCandidate)
}

// What a candidate and a label count for: they take room besides time.
const stepsOfCandidate, stepsOfLabel = 16, 2

// thinOut thins the lists until nothing changes.
func (c *combiner) thinOut() {
	st := &c.s.work.prove
	// Each round of thinning narrows the ranges, which thins again.
	for last := -1; ; {
		c.prepare(st)
		c.thin()
		now := 0
		for i := range c.lists {
			now += len(c.lists[i])
		}
		if now == last {
			break
		}
		last = now
	}
	for i := range c.lists {
		slices.SortStableFunc(c.lists[i], func(a, b candidate) int { return cmp.Compare(a.over, b.over) })
	}
}

// prepare finds the orders to watch and the ranges of their goods.
func (c *combiner) prepare(st *state) {
	c.arrange()
	c.watch = c.watch[:0]
	for i := range c.n.mask {
		if c.n.open>>i&1 == 0 {
			continue
		}
		sup := &c.s.m.suppliers[i]
		w := watched{counted: c.s.counted(c.n, i, st.weight[i]), start: total{sup.fixedOwn, sup.fixedHome},
			two: !sup.home && !(sup.duty.zero() && sup.tax.zero())}
		w.least, w.most = c.ranges(i)
		if !c.settled(&w) {
			c.watch = append(c.watch, w)
		}
	}
	for i := range c.lists {
		for j := range c.lists[i] {
			o := &c.lists[i][j]
			o.goods, o.flat = make([]total, len(c.watch)), o.fee
			for k := range o.picks {
				o.flat += o.picks[k].home
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
		lo, hi := total{tooMuch, tooMuch}, total{}
		for j := range c.lists[c.order[k]] {
			t := c.lists[c.order[k]][j].at(supplier)
			lo = total{min(lo.own, t.own), min(lo.home, t.home)}
			hi = total{max(hi.own, t.own), max(hi.home, t.home)}
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
			t.own += o.picks[i].own
			t.home += o.picks[i].home
		}
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
	mask := w.mask
	from := total{tooMuch, tooMuch}
	for left := mask; left != 0; left &= left - 1 {
		md := &c.s.modes[w.supplier][bits.TrailingZeros16(left)]
		from = total{min(from.own, md.lo.own), min(from.home, md.lo.home)}
		w.lucky = w.lucky || md.back > 0 && !c.s.m.suppliers[w.supplier].home
	}
	w.bound = lo.own < from.own || lo.home < from.home || !c.s.single(w.supplier, mask)
	for w.last = 0; w.least[w.last+1] != w.most[w.last+1]; {
		w.last++
	}
	md := &c.s.modes[w.supplier][bits.TrailingZeros16(mask)]
	inside := bits.OnesCount16(mask) == 1 && lo.own >= md.lo.own && hi.own <= md.hi.own &&
		lo.home >= md.lo.home && hi.home <= md.hi.home
	tilt := math.Abs(md.slope-w.weight.home)*float64(hi.home) + math.Abs(md.back+w.weight.own)*float64(hi.own)
	w.dull = inside && tilt < slack
	return inside && md.plain
}

// thin drops candidates that no combination can bring within the width, and
// those that another one of the same part makes needless.
func (c *combiner) thin() {
	goods := make([]total, len(c.watch))
	for _, part := range c.order {
		kept := c.lists[part][:0]
		lo, hi := c.spread(part)
		for _, o := range c.lists[part] {
			for w := range goods {
				goods[w] = c.watch[w].start.plus(o.goods[w])
			}
			if o.over+c.beyond(0, goods, lo, hi) <= c.width+slack {
				kept = append(kept, o)
			}
		}
		c.lists[part] = c.needed(kept)
	}
}

// spread gives the ranges of all parts but one.
func (c *combiner) spread(part int) (lo, hi []total) {
	lo, hi = make([]total, len(c.watch)), make([]total, len(c.watch))
	for w := range c.watch {
		a, b := total{tooMuch, tooMuch}, total{}
		for j := range c.lists[part] {
			t := c.lists[part][j].goods[w]
			a = total{min(a.own, t.own), min(a.home, t.home)}
			b = total{max(b.own, t.own), max(b.home, t.home)}
		}
		lo[w] = total{c.watch[w].least[0].own - a.own, c.watch[w].least[0].home - a.home}
		hi[w] = total{c.watch[w].most[0].own - b.own, c.watch[w].most[0].home - b.home}
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
		work := len(kept)/4 + 1
		if c.effort -= int64(work); c.effort < 0 || c.s.tick(work) {
			return append(kept, list[i:]...)
		}
		if !slices.ContainsFunc(kept, func(a candidate) bool { return c.replaces(&a, &list[i]) }) {
			kept = append(kept, list[i])
		}
	}
	return kept
}

// replaces tells whether a costs no more than b in any combination. Charges
// only rise with the goods but for free delivery, which the modes that are left
// grant or refuse to both, and for the top-up, which falls by less than the
// goods rise, roundings of an exchange set aside.
func (c *combiner) replaces(a, b *candidate) bool {
	if a.flat > b.flat || a.excess > b.excess || c.s.ties && a.spare < b.spare {
		return false
	}
	for w := range c.watch {
		x, y := a.goods[w], b.goods[w]
		if x.home > y.home || x.own > y.own {
			return false
		}
		if x.own != y.own {
			if c.watch[w].bound {
				return false
			}
			r := c.s.m.suppliers[c.watch[w].supplier].rate.value
			if c.watch[w].lucky && float64(y.home-x.home) < r*float64(y.own-x.own)+1 {
				return false
			}
		}
	}
	return true
}

// beyond is what the watched orders cost, at least, beyond the bound, once some
// of their goods are known and the rest is between least and most. Orders that
// were closed before layer k are left out.
func (c *combiner) beyond(k int, goods, least, most []total) float64 {
	var out float64
	for i := range c.watch {
		w := &c.watch[i]
		if w.last < k {
			continue
		}
		if w.dull {
			out += w.ahead.at(k, goods[i].home)
			continue
		}
		out += c.s.beyond(&w.counted, goods[i].plus(least[i]), goods[i].plus(most[i]))
	}
	return out
}

// counted is an order of a node with what the bound counts for it.
type counted struct {
	supplier int
	mask     uint16 // bits of the modes that are left
	weight   weight
	relaxed  float64 // the least that it costs beyond what its goods are weighed at
}

// counted notes what the bound counts for an order at a weight.
func (s *search) counted(n *node, i int, w weight) counted {
	relaxed, _ := s.order(i, n.mask[i], w)
	return counted{i, n.mask[i], w, relaxed}
}

// beyond is what an order costs, at least, beyond what the bound counts for it
// when its goods are between lo and hi; inf where no mode that is left holds
// such goods.
func (s *search) beyond(o *counted, lo, hi total) float64 {
	best := inf
	for left := o.mask; left != 0; left &= left - 1 {
		md := &s.modes[o.supplier][bits.TrailingZeros16(left)]
		a := total{max(lo.own, md.lo.own), max(lo.home, md.lo.home)}
		b := total{min(hi.own, md.hi.own), min(hi.home, md.hi.home)}
		if a.own > b.own || a.home > b.home {
			continue
		}
		v := md.base
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

// outcome of running through the combinations.
type outcome int

const (
	complete  outcome = iota // all were looked at
	truncated                // only the most promising were
	gaveUp                   // too many, or the limit was reached
)

// run goes through the combinations, keeping at most so many labels of each
// layer: those whose parts are nearest to their least values.
func (c *combiner) run(beam int) outcome {
	if slices.ContainsFunc(c.lists, func(l []candidate) bool { return len(l) == 0 }) {
		return complete
	}
	c.goods = c.goods[:0]
	for i := range c.watch {
		c.goods = append(c.goods, c.watch[i].start)
	}
	for i := range c.watch {
		c.lookAhead(&c.watch[i])
	}
	c.layers = append(c.layers[:0], []label{{parent: -1}})
	done := complete
	for k := range c.order {
		next, goods, ok := c.layer(k)
		if !ok {
			return gaveUp
		}
		if len(next) > beam {
			done = truncated
			next, goods = nearest(next, goods, c.watch, beam)
		}
		c.layers = append(c.layers, next)
		c.goods = goods
	}
	c.harvest()
	return done
}

// layer combines the labels so far with the candidates of one part more.
func (c *combiner) layer(k int) (next []label, nextGoods []total, ok bool) {
	stride, part := len(c.watch), c.order[k]
	sum, lo, hi := make([]total, stride), make([]total, stride), make([]total, stride)
	for w := range c.watch {
		lo[w], hi[w] = c.watch[w].least[k+1], c.watch[w].most[k+1]
	}
	var seen table
	seen.reset(stride)
	for f := range c.layers[k] {
		from := &c.layers[k][f]
		for o := range c.lists[part] {
			opt := &c.lists[part][o]
			l := label{from.over + opt.over, from.cash + opt.flat, from.spare + opt.spare, from.excess + opt.excess, from.orders, int32(f), int32(o)}
			if l.over > c.width+slack {
				break // the candidates' values rise
			}
			if c.effort--; c.effort < 0 || c.s.tick(stepsOfLabel) {
				return nil, nil, false
			}
			for w := range sum {
				g := &c.goods[f*stride+w]
				sum[w] = g.plus(opt.goods[w])
				l.cash += opt.goods[w].home
			}
			c.close(k, &l, sum)
			if l.over+c.beyond(k+1, sum, lo, hi) > c.width+slack {
				continue
			}
			old, fresh := seen.find(sum, nextGoods, c.watch, len(next))
			if fresh {
				next = append(next, l)
				nextGoods = append(nextGoods, sum...)
			} else if was := &next[old]; l.compare(was) < 0 {
				*was = l
				copy(nextGoods[int(old)*stride:], sum)
			}
		}
	}
	return next, nextGoods, true
}

// close adds the charges of the orders whose goods are known after a layer, to
// the minor unit, and forgets their goods: labels that differ in nothing else
// meet from then on.
func (c *combiner) close(k int, l *label, sum []total) {
	for i := range c.watch {
		w := &c.watch[i]
		if w.last != k {
			continue
		}
		sup, rest := &c.s.m.suppliers[w.supplier], w.least[k+1]
		t := sum[i].plus(rest)
		var charges int64
		// An order of nothing exists only where something forces it.
		if t != w.start || sup.forced {
			charges = c.s.m.sum(c.s.m.bill(sup, t))
			l.orders++
		}
		l.cash += charges
		l.over += max(0, float64(t.home+charges)-w.weight.of(t.home, t.own)-w.relaxed)
		sum[i] = total{}
	}
}

// nearest keeps the labels of a layer that are nearest to the bound. Of those that
// are about as near, it takes some of all kinds: their goods decide in the end.
func nearest(labels []label, goods []total, watch []watched, keep int) ([]label, []total) {
	stride := len(watch)
	type rank struct {
		near float64
		mix  uint64
		at   int
	}
	ranks := make([]rank, len(labels))
	for i := range labels {
		ranks[i] = rank{math.Floor(labels[i].over * nearSteps), hash(goods[i*stride:], watch), i}
	}
	slices.SortFunc(ranks, func(a, b rank) int {
		return cmp.Or(cmp.Compare(a.near, b.near), cmp.Compare(a.mix, b.mix), cmp.Compare(a.at, b.at))
	})
	out, kept := make([]label, keep), make([]total, 0, keep*stride)
	for i, r := range ranks[:keep] {
		out[i] = labels[r.at]
		kept = append(kept, goods[r.at*stride:(r.at+1)*stride]...)
	}
	return out, kept
}

// nearSteps is how many steps of a home minor unit are told apart there.
const nearSteps = 4

// harvest offers the cheapest of the last layer to the search. The charges of
// orders that are not watched are the same for all.
func (c *combiner) harvest() {
	last := c.layers[len(c.order)]
	if len(last) == 0 {
		return
	}
	best := 0
	for f := range last {
		if last[f].compare(&last[best]) < 0 {
			best = f
		}
	}
	c.s.take(&choice{options: c.trace(int32(best))})
}

// trace gives the options of a label of the last layer, by part.
func (c *combiner) trace(f int32) []option {
	out := make([]option, len(c.order))
	for k := len(c.order); k > 0; k-- {
		l := &c.layers[k][f]
		out[c.order[k-1]] = c.lists[c.order[k-1]][l.choice].option
		f = l.parent
	}
	return out
}
