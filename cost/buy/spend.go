package buy

// spend turns charges of the best plan into goods where that costs the same: a
// top-up to the minimum order, or a delivery that is free from an amount on. Of
// all lines that can grow, the one that leaves the most surplus grows first.
func (s *search) spend() {
	pick := make([]int, len(s.parts))
	for i := range s.parts {
		pick[i] = s.keep(i, s.best.options[i].picks)
	}
	d := s.draft(pick)
	for range spendRounds * len(s.parts) {
		if !s.spendOnce(d) {
			break
		}
	}
	s.offer(d.pick)
}

func (s *search) spendOnce(d *draft) bool {
	best, part, at := s.standing(d), -1, 0
	for i, p := range s.parts {
		old := d.pick[i]
		for a := range p.offers {
			o := &p.offers[a]
			if d.lines[o.supplier] == 0 && !s.m.suppliers[o.supplier].forced {
				continue
			}
			room, mine := d.totals[o.supplier], s.pool[i][old].at(o.supplier)
			room.own, room.home = room.own-mine.own, room.home-mine.home
			for _, q := range s.growing(p, a, s.pool[i][old].quantity(a), room) {
				line, ok := s.m.lineOf(p, a, q)
				if !ok || q <= s.pool[i][old].quantity(a) {
					continue
				}
				had := len(s.pool[i])
				j := s.keep(i, s.enlarge(p, &s.pool[i][old], line, false).picks)
				s.swap(d, i, j)
				now := s.standing(d)
				better := now.compare(best) < 0 && s.allowed(now)
				if s.swap(d, i, old); better {
					best, part, at = now, i, j
				} else if j == had {
					s.pool[i] = s.pool[i][:had]
				}
			}
		}
	}
	if part >= 0 {
		s.swap(d, part, at)
	}
	return part >= 0
}

// spendRounds is how often a line grows at most, on the average.
const spendRounds = 4

// growing lists larger quantities of an offer: those that bring its order to a
// threshold, and the next ones at distances that double.
func (s *search) growing(p *part, offer int, now int64, room total) []int64 {
	o := &p.offers[offer]
	out := s.fitting(p, o, room)
	for k := range o.spans {
		sp, most := &o.spans[k], s.m.useful[o.first+k]
		from := max(sp.from, now+o.step)
		for q, far := from, o.step; q <= most; q, far = from+far, 2*far {
			out = append(out, q)
		}
	}
	return out
}
