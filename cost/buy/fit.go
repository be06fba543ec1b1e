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
	targets := [...]int64{sup.minOwn - room.own, sup.freeOwn - room.own}
	for k := range o.spans {
		sp := &o.spans[k]
		for _, t := range targets {
			if t <= 0 || t >= tooMuch/2 || sp.unit == 0 {
				continue
			}
			q := int64(float64(t) * sup.rate.value / sp.unit)
			q = q / o.step * o.step
			for _, q := range [...]int64{q, q + o.step} {
				if q >= sp.from && q <= sp.to && q <= s.m.useful[o.first+k] {
					out = append(out, q)
				}
			}
		}
		for _, t := range [...]int64{sup.dutyTo - room.home, sup.taxTo - room.home} {
			if t <= 0 || t >= tooMuch/2 || sp.unit == 0 || sup.free {
				continue
			}
			q := int64(float64(t)/sp.unit) / o.step * o.step
			if q >= sp.from && q <= min(sp.to, s.m.useful[o.first+k]) {
				out = append(out, q)
			}
			if q += o.step; sup.flat > 0 && q >= sp.from && q <= min(sp.to, s.m.useful[o.first+k]) {
				out = append(out, q) // over it duty is no longer flat
			}
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
