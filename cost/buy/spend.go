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
	for range s.parts {
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
			for _, q := range s.fitting(p, o, room) {
				line, ok := s.m.lineOf(p, a, q)
				if !ok || q <= s.pool[i][old].quantity(a) {
					continue
				}
				j := s.keep(i, s.enlarge(p, &s.pool[i][old], line, false).picks)
				s.swap(d, i, j)
				if now := s.standing(d); now.compare(best) < 0 && s.allowed(now) {
					best, part, at = now, i, j
				}
				s.swap(d, i, old)
			}
		}
	}
	if part >= 0 {
		s.swap(d, part, at)
	}
	return part >= 0
}
