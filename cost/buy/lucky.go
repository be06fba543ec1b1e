package buy

import (
	"math/bits"
)

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

// ease finds the orders of a node in which goods that are not needed cost nothing
// but for roundings, as they take the place of a top-up to the minimum, or bring
// the order to its free delivery. Where delivery has to be free, it is taken for
// granted while combinations are looked through, at the price of a top-up to there:
// such an order can nearly always be filled up with goods for the same money.
func (c *combiner) ease() {
	if c.width > divideOver || c.s.ties || !c.s.hard() {
		return
	}
	for i, mask := range c.n.mask {
		if !c.s.single(i, mask) || mask == 1 && c.s.modes[i][0].closed {
			continue
		}
		free, _ := reaches(c.s, i, mask)
		md := &c.s.modes[i][bits.TrailingZeros64(mask)]
		if md.group >= stepGroup {
			continue
		}
		if sup := &c.s.m.suppliers[i]; sup.mixed || sup.flat > 0 {
			continue // more goods can make duty less
		}
		if md.lo.home > c.s.m.suppliers[i].fixedHome {
			continue // less goods can be below a customs threshold, where they pay for delivery
		}
		if p := c.n.price[i]; free && (md.back > 0 || md.slope == 1) && p > -easeUnder && p < easeUnder {
			c.eased |= 1 << i
		}
	}
	for left := c.eased; left != 0; left &= left - 1 {
		w := watched{counted: countedOf(c.s, c.n, bits.TrailingZeros64(left), c.s.work.prove.weight[bits.TrailingZeros64(left)])}
		was := w.relaxed
		c.easeOrder(&w)
		c.shift += was - w.relaxed
	}
}

// easeUnder is the price of goods, of their cash, under which free delivery is
// taken for granted.
const easeUnder = 0.01

// easeOrder gives an order the terms and modes that it is eased to.
func (c *combiner) easeOrder(w *watched) {
	w.terms = c.s.m.suppliers[w.supplier]
	w.terms.minOwn, w.terms.freeOwn = max(w.terms.minOwn, w.terms.freeOwn), 0
	group := c.s.modes[w.supplier][bits.TrailingZeros64(w.mask)].group
	for _, md := range c.s.m.modes(&w.terms, c.s.reached[w.supplier]) {
		if !md.closed && md.group == group {
			w.eased = append(w.eased, md)
		}
	}
	w.relaxed = inf
	for i := range w.eased {
		for _, at := range w.eased[i].corners {
			w.relaxed = min(w.relaxed, w.eased[i].at(at, w.weight))
		}
	}
}

// at is what a mode says that an order costs beyond what its goods are weighed at.
func (md *mode) at(c corner, w weight) float64 {
	return md.base + (md.slope-w.home)*c.home - (md.back+w.own)*c.own
}

// modesLeft gives the modes that a counted order has left.
func modesLeft(s *search, o *counted) []mode {
	if o.eased != nil {
		return o.eased
	}
	var out []mode
	for left := o.mask; left != 0; left &= left - 1 {
		out = append(out, s.modes[o.supplier][bits.TrailingZeros64(left)])
	}
	return out
}

// filled tells whether a plan gets the free deliveries that were taken for
// granted, or can be filled up so that it does at no cost.
func (c *combiner) filled(found *choice) bool {
	s, promised := c.s, found.cash
	var short []int
	for left := c.eased; left != 0; left &= left - 1 {
		i := bits.TrailingZeros64(left)
		if sup := &s.m.suppliers[i]; found.totals[i].own < sup.freeOwn {
			w := watched{counted: counted{supplier: i, mask: c.n.mask[i]}}
			c.easeOrder(&w)
			promised -= s.m.order(sup, found.totals[i], c.n.counts(i)) - s.m.order(&w.terms, found.totals[i], c.n.counts(i))
			short = append(short, i)
		}
	}
	if len(short) == 0 || float64(promised) > s.target() {
		return true
	}
	pick := make([]int, len(s.parts))
	for i := range s.parts {
		pick[i] = s.keep(i, found.options[i].picks)
	}
	d := s.draft(pick)
	for _, i := range short {
		sup := &s.m.suppliers[i]
		if gap := sup.freeOwn - d.totals[i].own; sup.freeOwn <= sup.minOwn || gap > 1<<16 || !fillOne(s, d, i, int(gap)) {
			bringToFree(s, d, i)
		}
	}
	s.offer(d.pick)
	return s.best.cash <= promised
}

// bringToFree brings an order to its free delivery with more of one line, where that
// makes the plan cheaper.
func bringToFree(s *search, d *draft, supplier int) {
	best, part, at := standingOf(s, d), -1, 0
	sup := &s.m.suppliers[supplier]
	for i, p := range s.parts {
		old := d.pick[i]
		for a := range p.offers {
			o := &p.offers[a]
			if o.supplier != supplier {
				continue
			}
			for k := range o.spans {
				sp := &o.spans[k]
				from := max(sp.from, s.pool[i][old].quantity(a)+o.step)
				most := s.m.useful[o.first+k]
				s.tick(int(max(0, most-from)/o.step) / quantitiesPerStep)
				for q := from; q <= most; q += o.step {
					line := s.m.pick(p, a, sp, q)
					was := s.pool[i][old].at(supplier)
					t := d.totals[supplier].plus(line.total()).minus(was)
					if d.sum()-d.cash[supplier]+s.m.order(sup, t, d.headings(s.m, supplier)) >= best.cash {
						continue
					}
					to := enlarge(s, p, &s.pool[i][old], line, false)
					if now := turned(s, d, i, &to); now.compare(best) < 0 && s.allowed(now) {
						best, part, at = now, i, s.keep(i, to.picks)
					}
				}
			}
		}
	}
	if part >= 0 {
		s.swap(d, part, at)
	}
}

// record is where a list of quantities begins: in which span of the model, and at
// which quantity.
type record struct {
	span int
	from int64
}

// records lists the quantities of a span from one on that are luckier than all
// smaller ones.
func (l *lister) records(b *branch, span int, from int64) []pick {
	o := &l.p.offers[b.offer]
	key := record{o.first + span, from}
	if out, ok := l.luckiest[key]; ok {
		return out
	}
	sup, s := &l.m.suppliers[o.supplier], &o.spans[span]
	most := min(s.to, l.m.useful[o.first+span])
	var out []pick
	for q := from; q <= most; q += o.step {
		c := l.m.pick(l.p, b.offer, s, q)
		if n := len(out); n == 0 || !sup.asLucky(out[n-1].total(), c.total()) {
			out = append(out, c)
		}
		if sup.tied {
			break
		}
		if (q-from)/o.step%quantitiesPerStep == 0 {
			l.count(1)
		}
	}
	if l.gaveUp {
		return out
	}
	if l.luckiest == nil {
		l.luckiest = map[record][]pick{}
	}
	l.luckiest[key] = out
	return out
}
