package buy

// fit looks, one part after the other, for a split over two offers that brings an
// order just to one of its thresholds while the other parts stay: of the options
// that few prices of the relaxed problem ever choose, those that plans are made of.
func fit(s *search, d *draft) bool {
	if s.best != nil && float64(d.sum()) > fitWithin*float64(s.best.cash) {
		return false
	}
	changed := false
	for i := range s.parts {
		changed = fitPart(s, d, i) || changed
	}
	return changed
}

// fitWithin is how near to the best plan, as a ratio, a plan is worth fitting.
const fitWithin = 1.01

func fitPart(s *search, d *draft, i int) bool {
	p, before := s.parts[i], d.pick[i]
	best, at := standingOf(s, d), before
	old := s.pool[i][before]
	for a := range p.offers {
		o := &p.offers[a]
		room := d.totals[o.supplier]
		mine := old.at(o.supplier)
		room.own, room.home = room.own-mine.own, room.home-mine.home
		for _, q := range fitting(s, o, room) {
			for b := range p.offers {
				picks, ok := pair(s, p, a, b, q)
				if !ok {
					continue
				}
				s.tick(1)
				option := s.m.option(p, picks)
				if now := turned(s, d, i, &option); now.compare(best) < 0 && s.allowed(now) {
					best, at = now, s.keep(i, picks)
					s.swap(d, i, at)
				}
			}
		}
	}
	return at != before
}

// fitting lists quantities of an offer that bring its order to about a threshold,
// from both sides.
func fitting(s *search, o *offer, room total) (out []int64) {
	sup := &s.m.suppliers[o.supplier]
	for k := range o.spans {
		sp := &o.spans[k]
		to := min(sp.to, s.m.useful[o.first+k])
		near := func(left int64, rate float64, over bool) {
			if left <= 0 || left >= tooMuch/2 || sp.unit == 0 {
				return
			}
			q := int64(float64(left)*rate/sp.unit) / o.step * o.step
			if q >= sp.from && q <= to {
				out = append(out, q)
			}
			if q += o.step; over && q >= sp.from && q <= to {
				out = append(out, q)
			}
		}
		near(sup.minOwn-room.own, sup.rate.value, true)
		near(sup.freeOwn-room.own, sup.rate.value, true)
		if !sup.free {
			near(sup.dutyTo-room.home, 1, sup.flat > 0) // over it duty is no longer flat
			near(sup.taxTo-room.home, 1, sup.flat > 0)
		}
	}
	return out
}

// pair buys q of one offer and what is still needed from another one.
func pair(s *search, p *part, a, b int, q int64) ([]pick, bool) {
	first, ok := s.m.lineOf(p, a, q)
	if !ok {
		return nil, false
	}
	need := p.demand - first.covers
	if a == b {
		return []pick{first}, need <= 0
	}
	if need <= 0 {
		return nil, false
	}
	rest, ok := s.m.stopgap(p, b, need, 0, tooMuch)
	return []pick{first, rest}, ok && rest.covers >= need
}

// lineOf is a line of a quantity; false where the offer does not allow it.
func (m *model) lineOf(p *part, offer int, q int64) (pick, bool) {
	o := &p.offers[offer]
	for k := range o.spans {
		if sp := &o.spans[k]; sp.from <= q && q <= sp.to {
			return m.pick(p, offer, sp, q), true
		}
	}
	return pick{}, false
}
