package buy

import (
	"math"
	"math/bits"
	"slices"
)

// state is the relaxed problem solved at some prices.
type state struct {
	value  float64
	weight []weight // by supplier
	pick   []int    // by part: index into the pool
	goods  []corner // by supplier: what the parts choose, fixed goods included
	asked  []asked  // by supplier: what the order would like best
	fees   int      // parts that pay a consign fee
}

// asked spans the goods at which an order costs least, and what its value is above
// what they are in its own currency.
type asked struct {
	least, most corner
	low, high   float64
}

func (a *asked) add(c corner, rate float64) {
	a.least = corner{min(a.least.own, c.own), min(a.least.home, c.home)}
	a.most = corner{max(a.most.own, c.own), max(a.most.home, c.home)}
	a.low, a.high = min(a.low, c.home-rate*c.own), max(a.high, c.home-rate*c.own)
}

// second is the second price of an order whose customs go by a value that is not just
// the goods in its own currency: what a home minor unit of that value beyond the goods
// counts for. It moves in steps of a scale, so that roundings, which are few, weigh as
// much as goods.
type second struct {
	at    int // among the prices; 0: the order has none
	scale float64
}

// onePrice begins with a price of goods alone for each order: most proofs are short.
func onePrice(s *search) {
	s.seconds = resized(s.seconds, len(s.m.suppliers))
	clear(s.seconds)
	s.fees = second{}
	s.prices = len(s.seconds)
}

// twoPrices gives orders a second price from where a proof is hard.
func twoPrices(s *search) {
	if s.prices > len(s.seconds) || !s.hard() {
		return
	}
	for i := range s.m.suppliers {
		sup := &s.m.suppliers[i]
		if sup.tied || sup.free || sup.lines == 0 {
			continue
		}
		most := &s.reached[i]
		s.seconds[i] = second{s.prices, max(1, valueScale*sup.rate.value*float64(most.own)/(sup.slip*float64(sup.lines)+float64(most.beside)+1))}
		s.prices++
	}
}

func (s *search) size(st *state) {
	if len(st.weight) != len(s.modes) || len(st.pick) != len(s.parts) {
		st.weight, st.goods, st.asked = make([]weight, len(s.modes)), make([]corner, len(s.modes)), make([]asked, len(s.modes))
		st.pick = make([]int, len(s.parts))
	}
}

// weights turns the prices of goods into weights of both amounts. A price
// below the slope of the order's cash is what a threshold on the supplier's
// own amount is worth; one above it is the price of a customs threshold, which
// is in home currency.
func (s *search) weights(n *node, price []float64, out []weight) {
	for i := range out {
		out[i] = weight{home: price[i]}
		if i == s.m.assembler {
			out[i].fee = feePrice(s, n, price)
		}
		sup := &s.m.suppliers[i]
		if sup.tied && !sup.mixed {
			continue
		}
		slope, steep, from := inf, inf, tooMuch
		for md := range s.placed(i, n.mask[i]) {
			slope, steep, from = min(slope, md.tilt), min(steep, md.steepness()), min(from, md.from)
		}
		if slope == inf {
			continue
		}
		out[i].duty = steep
		if w := s.seconds[i]; w.at > 0 {
			out[i].home = max(0, slope+w.scale*price[w.at])
			out[i].own = (price[i] - out[i].home) * sup.rate.value
			continue
		}
		// Where the value has to be more than what flat duty ends at, that is in home
		// currency as well.
		if price[i] < slope && !sup.tied && (sup.flat == 0 || from <= max(sup.fixedHome, sup.dutyTo)) {
			out[i].home, out[i].own = slope, (price[i]-slope)*sup.rate.value
		}
	}
}

// steepness is what duty beside the supplier's rate costs in the middle of a mode.
func (md *mode) steepness() float64 {
	switch {
	case md.spared:
		return float64(sparedWeight) / dutyScale
	case md.steep == 0 || md.insured == 0:
		return md.steep
	}
	from, to := md.values()
	return md.steep * (1 + md.insured/math.Sqrt(float64(max(1, from))*float64(max(1, to))))
}

// sparedWeight is how many times duty counts where an order has none, which keeps
// lines that bear some from it.
const sparedWeight = 50

// values spans the value for customs in a mode.
func (md *mode) values() (from, to int64) {
	if md.topped {
		return md.from, md.to
	}
	return md.lo.home, md.hi.home
}

// order is the least that one order can cost beyond what its goods are weighed
// at, under so many headings, and the goods at which it does.
func (s *search) order(i int, mask uint64, w weight, heads int) (value float64, goods asked) {
	value = inf
	rate := s.m.suppliers[i].rate.value
	for ; mask != 0; mask &= mask - 1 {
		md := &s.modes[i][bits.TrailingZeros64(mask)]
		base, slope := md.base+md.flat*float64(heads), md.slope-w.home
		if sup := &s.m.suppliers[i]; sup.mixed && !md.closed {
			from, to := md.values()
			less, more := sup.besideDuty(md, &s.reached[i], to)
			if base += md.beside(less, more, from, to, sup.dutyNum-sup.leastDuty, w.duty); md.spared {
				slope += w.duty * float64(sup.dutyNum) // duty beside takes back that at the supplier's rate
			}
		}
		for _, c := range md.corners {
			switch v := base + slope*c.home - (md.back+w.own)*c.own; {
			case v < value-slack:
				value, goods = v, asked{c, c, c.home - rate*c.own, c.home - rate*c.own}
			case v < value+slack:
				value = min(v, value)
				goods.add(c, rate)
			}
		}
	}
	return value, goods
}

// orders is the part of the relaxed value that does not depend on the parts.
func (s *search) orders(n *node, st *state) {
	price := 0.0
	if s.m.assembler >= 0 {
		price = st.weight[s.m.assembler].fee
	}
	fees, _, _ := n.feesAsked(price)
	st.value, st.fees = float64(s.m.idle)+fees, 0
	for i := range s.modes {
		v, at := s.order(i, n.mask[i], st.weight[i], headings(s, n, i))
		sup := &s.m.suppliers[i]
		st.value += v + st.weight[i].of(sup.fixedHome, sup.fixedOwn)
		st.goods[i], st.asked[i] = corner{float64(sup.fixedOwn), float64(sup.fixedHome)}, at
	}
}

// relax solves the relaxed problem over the options met so far.
func (s *search) relax(n *node, price []float64, st *state) {
	s.weights(n, price, st.weight)
	s.orders(n, st)
	options := 0
	for i := range s.parts {
		if n.core != nil {
			options += len(n.lists[i])
		} else {
			options += len(s.pool[i])
		}
		v, at := s.favourite(i, n, st.weight)
		st.value += v
		st.pick[i] = at
		o := s.option(n, i, at)
		for k := range o.picks {
			p := &o.picks[k]
			g := &st.goods[p.supplier]
			g.home += float64(p.home)
			g.own += float64(p.own)
		}
		if o.value != 0 {
			st.goods[o.to].home += float64(o.value)
		}
		if o.pays {
			st.fees++
		}
	}
	s.tick(options / optionsPerStep)
}

// optionsPerStep is how many options of the pool are weighed in one step.
const optionsPerStep = 8

// favourite is the option of a part that weighs least, of those met so far.
func (s *search) favourite(i int, n *node, w []weight) (float64, int) {
	best, at, toll := inf, -1, n.toll(i)
	if n.core != nil {
		for _, j := range n.lists[i] {
			if v := n.core.options[i][j].weigh(w, toll); v < best {
				best, at = v, int(j)
			}
		}
		return best, at
	}
	r, pool := n.rule(i), s.pool[i]
	if s.within.of != n {
		s.within.begin(n, len(s.parts))
	}
	list := &s.within.parts[i]
	for ; list.seen < len(pool); list.seen++ {
		if pool[list.seen].within(n.open, r) {
			list.at = append(list.at, int32(list.seen))
		}
	}
	for _, j := range list.at {
		if v := pool[j].weigh(w, toll); v < best {
			best, at = v, int(j)
		}
	}
	return best, at
}

// within knows which options of the pool the node at hand allows: they are weighed
// a hundred times while its prices are looked for.
type within struct {
	of    *node
	parts []allowed
}

// allowed lists the options of a part, of those seen so far.
type allowed struct {
	seen int
	at   []int32
}

func (w *within) begin(n *node, parts int) {
	w.of, w.parts = n, resized(w.parts, parts)
	for i := range w.parts {
		w.parts[i] = allowed{at: w.parts[i].at[:0]}
	}
}

// climb raises the bound by moving the prices against what the parts and the
// orders disagree on, and tries the plans that the parts choose on the way. It
// knows only the options met so far: what the prices are worth is for prove to
// say.
func (s *search) climb(n *node) float64 {
	c := &s.work.climber
	s.size(&c.best)
	s.size(&c.trial)
	c.s, c.n, c.top, c.least = s, n, math.Inf(-1), math.MaxInt64
	c.price, c.tried = append(c.price[:0], n.price[:s.prices]...), c.tried[:0]
	c.limits()
	c.bundle.reset(len(c.price))
	c.bundle.add(c.look(), c)
	c.ascend()
	c.note()
	if c.top <= s.target()+slack && (n.core == nil || s.mayImprove(s.steps)) {
		s.improve(pooled(s, n, c.pick))
	}
	return c.top
}

// layTolls levies the tolls of a node at the prices that it has from the one it is part of.
func layTolls(s *search, n *node) {
	if !s.m.heads {
		return
	}
	st := &s.work.prove
	s.size(st)
	s.weights(n, n.price, st.weight)
	levy(s, n)
}

// climber is a climb under way. The node holds the best prices so far.
type climber struct {
	s           *search
	n           *node
	best, trial state // at the best prices so far, and at those that are tried
	price       []float64
	low, high   []float64 // what the prices can be
	top         float64   // the highest value so far
	least       int64     // cash of the cheapest plan that the parts chose
	pick        []int     // and the options it takes
	tried       []int     // the options of the plan that was reckoned last
	bundle      bundle
}

// limits bounds the prices.
func (c *climber) limits() {
	s := c.s
	c.low, c.high = resized(c.low, len(c.price)), resized(c.high, len(c.price))
	for i := range s.modes {
		c.low[i], c.high[i] = wanted, dearest
		w := s.seconds[i]
		if w.at == 0 {
			continue
		}
		tilt := inf
		for md := range s.placed(i, c.n.mask[i]) {
			tilt = min(tilt, md.tilt)
		}
		if tilt == inf {
			tilt = 0
		}
		c.low[w.at], c.high[w.at] = -tilt/w.scale, dearestValue/w.scale
	}
	if w := s.fees; w.at > 0 {
		if c.low[w.at], c.high[w.at] = wanted, dearest; !feesBound(s, c.n) {
			c.low[w.at], c.high[w.at] = 0, 0
		}
	}
}

func (c *climber) done() bool { return c.top > c.s.target()+slack }

// look solves the relaxed problem at the prices and keeps what is best.
func (c *climber) look() *state {
	st := &c.trial
	c.s.relax(c.n, c.price, st)
	if c.least == math.MaxInt64 || !slices.Equal(c.tried, st.pick) {
		c.tried = append(c.tried[:0], st.pick...)
		if cash := c.s.draft(c.n, st.pick).sum(); cash < c.least {
			c.least = cash
			c.pick = append(c.pick[:0], st.pick...)
		}
	}
	if st.value > c.top {
		c.top = st.value
		copy(c.n.price, c.price)
		c.best, c.trial = c.trial, c.best
		st = &c.best
	}
	return st
}

// wanted and dearest bound the prices: goods never count for more than this
// many times their cash. Where an order has to reach a threshold and its goods
// take the place of a top-up, they can count for less than nothing.
const wanted, dearest = -4, 16

// dearestValue is how much a value beyond the goods can count for, and valueScale what
// part of the spread of goods its steps are scaled to.
const dearestValue, valueScale = 4096, 0.1

// How many times the relaxed problem is solved in one climb at most, and by how
// little it must promise to rise to be solved again, in home minor units.
// climbSoon is that for proofs that have just begun; most end before they are
// hard. And how far from the best prices others are looked for at most.
const climbSteps, climbLeast, climbSoon, farthest = 60, 0.02, 0.3, 4

// ascend finds the best prices by a proximal bundle method (Lemaréchal, Lecture
// Notes in Economics and Mathematical Systems 117, 1976, cited from memory): what
// was met so far bounds the value from above by planes, and the next prices are
// the best by those planes, less a fine for going far.
func (c *climber) ascend() {
	b := &c.bundle
	goal := min(float64(c.least), c.s.target()+1)
	norm := dot(b.planes[0].slope, b.planes[0].slope)
	if norm < slack {
		return
	}
	b.reach = max(1, goal-c.top) / norm / 2
	least := float64(climbLeast)
	if !c.s.hard() {
		least = climbSoon
	}
	for range climbSteps {
		if c.done() {
			return
		}
		gain := b.solve(c)
		for gain < least {
			// Too little is promised so near; look further away.
			steepest := b.steepest()
			if steepest < slack || b.reach*steepest > farthest {
				return
			}
			b.reach *= 8
			gain = b.solve(c)
		}
		for i := range c.price {
			c.price[i] = min(max(c.low[i], c.n.price[i]+b.reach*b.mean[i]), c.high[i])
		}
		before := c.top
		st := c.look()
		switch {
		case st.value > before+gain/2:
			b.reach *= 2
		case st.value < before-gain:
			b.reach /= 2
		}
		b.add(st, c)
	}
}

// note leaves with the node what the best prices do not say: the goods of the
// orders and the parts, on the average over the planes that hold them in place.
func (c *climber) note() {
	b, n := &c.bundle, c.n
	if n.goods == nil {
		n.goods = make([]corner, len(c.s.modes))
	}
	clear(n.goods)
	n.fees = 0
	for k := range b.planes {
		n.fees += b.share[k] * float64(b.planes[k].fees)
		for i := range n.goods {
			n.goods[i].own += b.share[k] * b.planes[k].goods[i].own
			n.goods[i].home += b.share[k] * b.planes[k].goods[i].home
		}
	}
	n.torn = c.torn()
}

// torn is a part that the relaxed problem buys partly in one way and partly in
// another.
type torn struct {
	part, one, other int
	share            float64 // of the other way, of both
}

// torn finds the part of which most goods change their supplier between its two
// ways; its share is 0 where no part has two.
func (c *climber) torn() (out torn) {
	b, worst := &c.bundle, 0.0
	var ways []int
	var shares []float64
	for i := range c.s.parts {
		ways, shares = ways[:0], shares[:0]
		for k := range b.planes {
			if b.share[k] < 1e-6 {
				continue
			}
			at := slices.Index(ways, b.planes[k].pick[i])
			if at < 0 {
				at, ways, shares = len(ways), append(ways, b.planes[k].pick[i]), append(shares, 0)
			}
			shares[at] += b.share[k]
		}
		for x := range ways {
			for y := range x {
				if v := moves(c.s.option(c.n, i, ways[x]), c.s.option(c.n, i, ways[y])) * min(shares[x], shares[y]); v > worst {
					worst, out = v, torn{i, ways[x], ways[y], shares[y] / (shares[x] + shares[y])}
				}
			}
		}
	}
	return out
}

// excess is how many more goods, in home minor units, the parts choose than the order
// would like, and by how much more, in steps, their value is beyond its goods; 0 where it is
// as well served by what they choose.
func excess(s *search, i int, st *state) (goods, beyond float64) {
	g, asked, w := &st.goods[i], &st.asked[i], s.seconds[i]
	if st.weight[i].own == 0 && w.at == 0 {
		return beside(g.home, asked.least.home, asked.most.home), 0
	}
	rate := s.m.suppliers[i].rate.value
	goods = rate * beside(g.own, asked.least.own, asked.most.own)
	if w.at == 0 {
		return goods, 0
	}
	value := g.home - rate*g.own
	beyond = beside(value, asked.low, asked.high)
	// Where both are within what the order likes, their sum may not be.
	over := beside(g.home-goods-beyond, asked.least.home, asked.most.home)
	share := w.scale * w.scale / (1 + w.scale*w.scale) // the nearest, as the steps are counted
	return goods + share*over, w.scale * (beyond + (1-share)*over)
}

// beside is how far x lies above or, negative, below a range.
func beside(x, lo, hi float64) float64 { return max(0, x-hi) + min(0, x-lo) }
