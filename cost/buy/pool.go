package buy

// ready sees that a part has an option among the open suppliers and within its
// rule; false where there is none.
func (s *search) ready(i int, open uint64, r rule) bool {
	for j := range s.pool[i] {
		if s.pool[i][j].within(open, r) {
			return true
		}
	}
	p := s.parts[i]
	var picks []pick
	need := p.demand
	add := func(must bool) bool {
		for j := range p.offers {
			o := &p.offers[j]
			lo, hi := r.bounds(j)
			if must != (lo > 0) || !must && need <= 0 || hi == 0 {
				continue
			}
			c, ok := s.m.stopgap(p, j, need, lo, hi)
			if ok = ok && open>>o.supplier&1 != 0; ok {
				picks = append(picks, c)
				need -= c.covers
			} else if must {
				return false
			}
		}
		return true
	}
	if !add(true) || !add(false) || need > 0 {
		return false
	}
	s.keep(i, picks)
	return true
}

// stopgap is the cheapest line of an offer that covers a need, or the longest
// where none does.
func (m *model) stopgap(p *part, offer int, need, lo, hi int64) (best pick, ok bool) {
	o := &p.offers[offer]
	for k := range o.spans {
		s, left := o.spans[k].within(lo, hi, o.step)
		if !left {
			continue
		}
		c := m.pick(p, offer, &s, o.least(&s, need))
		a, b := min(c.covers, need), min(best.covers, need)
		if best.q == 0 || a > b || a == b && c.home < best.home {
			best = c
		}
	}
	return best, best.q > 0
}

func (o *option) within(open uint64, r rule) bool {
	if o.from&^open != 0 {
		return false
	}
	for i := range r {
		if q := o.quantity(i); q < r[i].lo || q > r[i].hi {
			return false
		}
	}
	return true
}

// quantity is what an option orders of an offer.
func (o *option) quantity(offer int) int64 { return o.line(offer).q }

// line is the line that an option has of an offer, which may be of nothing.
func (o *option) line(offer int) *pick {
	for i := range o.picks {
		if o.picks[i].offer == offer {
			return &o.picks[i]
		}
	}
	return &pick{}
}

// keep adds an option to the pool of a part and gives its place there.
func (s *search) keep(i int, picks []pick) int {
	for j := range s.pool[i] {
		if sameLines(s.pool[i][j].picks, picks) {
			return j
		}
	}
	p := s.parts[i]
	s.pool[i] = append(s.pool[i], s.m.option(p, s.work.lines.keep(picks)))
	return len(s.pool[i]) - 1
}
