package buy

import (
	"cmp"
	"slices"
	"sort"
)

// pick is one line: q order units of an offer.
type pick struct {
	offer    int // in part.offers
	supplier int
	q        int64
	covers   int64 // millionths of a piece
	own      int64 // supplier's minor units
	home     int64
}

// option is one way to cover the demand of a part. Picks stand in the order of
// the part's offers.
type option struct {
	picks  []pick
	fee    int64  // consign fee, home minor units
	excess int64  // bought over the demand, in millionths
	spare  int64  // value of that at what was paid for it: surplus, home minor units
	from   uint64 // bits of the suppliers
}

// fee is the consign fee of a part with these picks.
func (m *model) fee(p *part, picks []pick) int64 {
	if !p.machine || m.consign == 0 {
		return 0
	}
	for i := range picks {
		if picks[i].supplier != m.assembler {
			return m.consign
		}
	}
	if len(picks) == 0 {
		return m.consign
	}
	return 0
}

// option makes an option of lines, which it puts in order and keeps.
func (m *model) option(p *part, picks []pick) option {
	out := option{picks: picks, fee: m.fee(p, picks), excess: -p.demand}
	slices.SortFunc(picks, func(a, b pick) int { return cmp.Compare(a.offer, b.offer) })
	for i := range picks {
		out.excess += picks[i].covers
		out.from |= 1 << picks[i].supplier
	}
	out.spare = surplus(&out, p.demand)
	return out
}

// surplus is what of the cash of an option is not used up: cash − round(cash ×
// demand / bought).
func surplus(o *option, demand int64) int64 {
	if o.excess <= 0 {
		return 0
	}
	cash := o.home()
	return cash - ratio{num: uint64(demand), den: uint64(demand + o.excess)}.times(cash)
}

func (m *model) pick(p *part, offer int, s *span, q int64) pick {
	o := &p.offers[offer]
	_, own, home := m.cash(o, s, q)
	return pick{offer, o.supplier, q, o.covers(q), own, home}
}

// weigh is what an option counts for in the relaxed problem.
func (o *option) weigh(w []weight) float64 {
	v := float64(o.fee)
	for i := range o.picks {
		p := &o.picks[i]
		v += w[p.supplier].of(p.home, p.own)
	}
	return v
}

// sameLines tells whether two options are made of the same lines, in whatever
// order.
func sameLines(a, b []pick) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !slices.ContainsFunc(b, func(p pick) bool { return p.offer == a[i].offer && p.q == a[i].q }) {
			return false
		}
	}
	return true
}

// least is the smallest allowed quantity of a span that covers need, or its
// last where none does.
func (o *offer) least(s *span, need int64) int64 {
	q := ceilDiv(ceilDiv(need, o.pieces), o.step) * o.step
	return min(max(q, s.from), s.to)
}

// within cuts a span to quantities between lo and hi; ok is false where nothing
// is left.
func (s span) within(lo, hi, step int64) (out span, ok bool) {
	s.from = max(s.from, ceilDiv(lo, step)*step)
	s.to = min(s.to, hi/step*step)
	return s, s.from <= s.to
}

// mostUseful is the largest quantity of a span that can stand in a cheapest plan.
// Beyond it the line alone covers the whole demand and alone brings the order
// over its last threshold from below; a step less then costs no more, leaves
// less over, and every other charge can only fall with the goods.
func (m *model) mostUseful(p *part, offer int, s *span) int64 {
	o := &p.offers[offer]
	q := o.least(s, p.demand)
	to := &m.suppliers[o.supplier]
	target := to.minOwn
	if to.delivery > 0 && to.freeOwn < tooMuch {
		target = max(target, to.freeOwn)
	}
	_, own, _ := m.cash(o, s, q)
	if own >= target || s.price.zero() {
		return q // what is free brings no order nearer to a threshold
	}
	steps := int((s.to - q) / o.step)
	guess := min(float64(target-own)*to.rate.value/(s.unit*float64(o.step)), float64(steps))
	return q + o.step*int64(searchNear(int(guess), steps, func(i int) bool {
		_, own, _ := m.cash(o, s, q+int64(i)*o.step)
		return own >= target
	}))
}

// searchNear finds what sort.Search does, sooner where it is near a guess
// between 0 and n.
func searchNear(guess, n int, holds func(int) bool) int {
	const near = 2
	lo, hi := max(0, guess-near), min(n, guess+near)
	if lo > 0 && holds(lo-1) || hi < n && !holds(hi) {
		lo, hi = 0, n
	}
	return lo + sort.Search(hi-lo, func(i int) bool { return holds(lo + i) })
}

// alone is the cheapest way to cover the demand of a part from one offer; false
// where it does not reach.
func (m *model) alone(p *part, offer int) (best pick, ok bool) {
	o := &p.offers[offer]
	for i := range o.spans {
		s := &o.spans[i]
		c := m.pick(p, offer, s, o.least(s, p.demand))
		if c.covers >= p.demand && (!ok || c.home < best.home) {
			best, ok = c, true
		}
	}
	return best, ok
}
