package buy

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// pick is one line: q order units of an offer.
type pick struct {
	offer    int // in part.offers
	supplier int
	q        int64
	covers   int64 // millionths of a piece
	own      int64 // supplier's minor units, without the fee of the line
	home     int64
	duty     int64 // beside that at the supplier's rate: see total
	head     int   // of the supplier's headings
}

// option is one way to cover the demand of a part. Picks stand in the order of
// the part's offers.
type option struct {
	picks  []pick
	fee    int64  // cash on no order, home minor units: see adds
	value  int64  // what counts to the value of the assembler's order beside its lines
	to     int    // the assembler
	excess int64  // bought over the demand, in millionths
	pays   bool   // a consign fee
	spare  int64  // what is not taken is worth: surplus, home minor units
	from   uint64 // bits of the suppliers whose orders it adds to
}

// adds notes what an option costs and counts beside its lines: the consign fee, and
// what lines of others than the assembler count to the value of its order. There they
// are part of the goods, so that what is no fee is taken off again.
func (m *model) adds(p *part, out *option) {
	out.fee = m.fee(p, out.picks)
	if out.pays = out.fee > 0; m.feeCounts {
		out.fee, out.value = 0, out.fee
	}
	if m.sent && p.machine {
		for i := range out.picks {
			if k := &out.picks[i]; k.supplier != m.assembler {
				out.fee, out.value = out.fee-k.home, out.value+k.home
			}
		}
	}
	if out.to = m.assembler; out.value != 0 {
		out.from |= 1 << out.to
	}
}

// fee is the consign fee of a part that these picks decide on.
func (m *model) fee(p *part, picks []pick) int64 {
	if !p.machine || p.brought || m.consign == 0 {
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
	out := option{picks: picks, excess: -p.demand}
	slices.SortFunc(picks, func(a, b pick) int { return cmp.Compare(a.offer, b.offer) })
	for i := range picks {
		out.excess += picks[i].covers
		out.from |= 1 << picks[i].supplier
	}
	out.spare = p.surplus(picks, p.demand+out.excess)
	m.adds(p, &out)
	return out
}

// surplus is what is left of lines that hold so much together is worth: of each line,
// worth × (cash − round(cash × taken / bought)), rounded.
func (p *part) surplus(picks []pick, bought int64) (sum int64) {
	if bought <= p.taken {
		return 0
	}
	used := ratio{num: uint64(p.taken), den: uint64(bought)}
	for i := range picks {
		k := &picks[i]
		sum += p.offers[k.offer].worth.times(k.home - used.times(k.home))
	}
	return sum
}

func (m *model) pick(p *part, offer int, s *span, q int64) pick {
	o := &p.offers[offer]
	own, home := m.cash(o, s, q)
	return pick{offer, o.supplier, q, o.covers(q), own, home, o.dutyOn(home), o.head}
}

// dutyOn is what duty on a line comes to beside that at the supplier's rate.
func (o *offer) dutyOn(home int64) int64 {
	switch {
	case o.duty == 0:
		return 0
	case home > mostDuty/max(o.duty, -o.duty):
		return mostDuty
	}
	return home * o.duty
}

// mostDuty is where duty stops being summed up.
const mostDuty = int64(1) << 56

// weigh is what an option counts for in the relaxed problem, with the tolls of its part
// where there are some.
func (o *option) weigh(w []weight, toll []float64) float64 {
	v := float64(o.fee)
	if o.value != 0 {
		v += w[o.to].home * float64(o.value)
	}
	if o.pays {
		v += w[o.to].fee
	}
	for i := range o.picks {
		p := &o.picks[i]
		x := &w[p.supplier]
		if v += x.of(p.home, p.own); x.duty != 0 {
			v += x.duty * float64(p.duty)
		}
		if toll != nil {
			v += toll[p.offer]
		}
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
	target, value := to.minOwn, m.wantedValue(to)
	if to.delivery > 0 && to.freeOwn < tooMuch {
		target = max(target, to.freeOwn)
	}
	if m.sent && p.machine && o.supplier != m.assembler {
		value = max(value, m.wantedValue(&m.suppliers[m.assembler]))
	}
	own, home := m.cash(o, s, q)
	if own >= target && home >= value || s.price.zero() {
		return q // what is free brings no order nearer to a threshold
	}
	steps := int((s.to - q) / o.step)
	guess := min(max(float64(target-own)*to.rate.value, float64(value-home))/(s.unit*float64(o.step)), float64(steps))
	return q + o.step*int64(searchNear(int(guess), steps, func(i int) bool {
		own, home := m.cash(o, s, q+int64(i)*o.step)
		return own >= target && home >= value
	}))
}

// wantedValue is the value for customs up to which more goods can make an order cheaper:
// where flat duty ends, and where the delivery weighs more than the goods that its share
// of duty is spread over.
func (m *model) wantedValue(s *supplier) (out int64) {
	if s.flat > 0 {
		out = s.dutyTo + 1
	}
	if m.diluted(s) {
		out = max(out, int64(math.Ceil((1+s.tax.value)*float64(s.mostDuty-s.leastDuty)/dutyScale*float64(s.delivery)))+1)
	}
	return out
}

// diluted tells whether duty on a delivery hangs on what else is ordered.
func (m *model) diluted(s *supplier) bool { return s.mixed && m.insured(s.delivery) > 0 }

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
