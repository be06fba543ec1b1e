package buy

// spend turns charges of the best plan into goods where that costs the same: a
// top-up to the minimum order, or a delivery that is free from an amount on. Of
// all lines that can grow, the one that leaves the most surplus grows first; once from
// the lines as they are, and once from what is needed of each part.
func spend(s *search) {
	pick, least := make([]int, len(s.parts)), make([]int, len(s.parts))
	more := false
	for i := range s.parts {
		pick[i] = s.keep(i, s.best.options[i].picks)
		least[i] = s.keep(i, lean(s, s.parts[i], &s.best.options[i]))
		more = more || least[i] != pick[i]
	}
	grow(s, pick)
	if more {
		grow(s, least)
	}
}

// lean is as much of the lines of an option as its part needs.
func lean(s *search, p *part, o *option) (out []pick) {
	need := p.demand
	for _, k := range o.picks {
		if need > 0 {
			k, _ = s.m.stopgap(p, k.offer, need, 0, k.q)
			out, need = append(out, k), need-k.covers
		}
	}
	return out
}

func grow(s *search, pick []int) {
	d := s.draft(nil, pick)
	for range spendRounds * len(s.parts) {
		if !spendOnce(s, d) {
			break
		}
	}
	s.offer(d.pick)
}

func spendOnce(s *search, d *draft) bool {
	best, part, at := standingOf(s, d), -1, 0
	for i, p := range s.parts {
		old := d.pick[i]
		for a := range p.offers {
			o := &p.offers[a]
			if d.lines[o.supplier] == 0 && !s.m.suppliers[o.supplier].forced {
				continue
			}
			for _, line := range growing(s, d, i, a, best.cash) {
				to := enlarge(s, p, &s.pool[i][old], line)
				if now := turned(s, d, i, &to); now.compare(best) < 0 && s.allowed(now) {
					best, part, at = now, i, s.keep(i, to.picks)
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

// growing lists larger lines of an offer with which a plan costs at most so much:
// those that bring their order to a threshold, and the next ones at distances that
// double.
func growing(s *search, d *draft, part, offer int, most int64) (out []pick) {
	p, old := s.parts[part], &s.pool[part][d.pick[part]]
	o := &p.offers[offer]
	sup, goods, now := &s.m.suppliers[o.supplier], d.totals[o.supplier], old.line(offer)
	room := goods.minus(now.total())
	others := d.sum() - d.cash[o.supplier]
	add := func(line pick) bool {
		ok := line.q > now.q && others+s.m.order(sup, room.plus(line.total()), d.headings(s.m, o.supplier)) <= most
		if ok {
			out = append(out, line)
		}
		return ok
	}
	more := goods.own < sup.minOwn || goods.own < sup.freeOwn && sup.delivery > 0 || goods.home < s.m.wantedValue(sup)
	if more {
		for _, q := range fitting(s, o, room) {
			if line, ok := s.m.lineOf(p, offer, q); ok {
				add(line)
			}
		}
	}
	for k := range o.spans {
		sp, useful := &o.spans[k], s.m.useful[o.first+k]
		from := max(sp.from, now.q+o.step)
		for q, far := from, o.step; q <= useful; q, far = from+far, 2*far {
			// Beyond its thresholds an order only ever costs more.
			if !add(s.m.pick(p, offer, sp, q)) && !more {
				break
			}
		}
	}
	return out
}

// enlarge puts a line in place of the same offer's line of an option, or beside the
// others.
func enlarge(s *search, p *part, old *option, line pick) option {
	picks, need := []pick{line}, p.demand-line.covers
	for _, k := range old.picks {
		if k.offer != line.offer {
			picks = append(picks, k)
			need -= k.covers
		}
	}
	if need > 0 {
		return *old
	}
	return s.m.option(p, picks)
}
