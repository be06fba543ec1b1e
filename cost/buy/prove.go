package buy

// prove bounds a node at its prices over all options there are.
func (s *search) prove(n *node) float64 {
	st := &s.work.prove
	s.size(st)
	s.weights(n, n.price, st.weight)
	s.orders(n, st)
	out := st.value
	for i := range s.parts {
		out += s.cheapest(i, n, st.weight)
	}
	return out
}

// floor is the least value of a part's options, with the weights at which it is:
// most parts see no change from one node to the next.
type floor struct {
	known  bool
	open   uint64   // those of the part's suppliers that were open
	weight []weight // by offer
	value  float64
}

// holds tells whether a floor still stands, and notes what it is asked for.
func (f *floor) holds(p *part, open uint64, w []weight) bool {
	same := f.known && f.open == open
	f.known, f.open = true, open
	if len(f.weight) != len(p.offers) {
		f.weight = make([]weight, len(p.offers))
	}
	for j := range p.offers {
		now := w[p.offers[j].supplier]
		same = same && f.weight[j] == now
		f.weight[j] = now
	}
	return same
}

// cheapest bounds the value of a part's options from below, by less than a
// rounding of float64.
func (s *search) cheapest(i int, n *node, w []weight) float64 {
	f := &s.floors[i]
	if r := n.rule(i); r != nil {
		f.known = false
		return s.leastOption(i, n, w)
	}
	if !f.holds(s.parts[i], n.open&s.parts[i].from, w) {
		f.value = s.leastOption(i, n, w)
		f.known = !s.lister.gaveUp
	}
	return f.value
}

// leastOption is cheapest worked out. Options that were not met before go into
// the pool.
func (s *search) leastOption(i int, n *node, w []weight) float64 {
	best, _ := s.favourite(i, n, w)
	l := &s.lister
	s.lower = lower{best: best}
	l.visit, l.tick = s.noteLower, nil
	l.list(s.parts[i], w, n.open, n.rule(i), best-3*slack)
	if s.lower.picks != nil {
		s.keep(i, s.lower.picks)
	}
	if l.gaveUp { // no option can be below what filling the demand costs
		return min(s.lower.best, l.fill(0, s.parts[i].demand)) - 3*slack
	}
	return s.lower.best - 3*slack
}

// lower is the option with the least value that a list has shown so far.
type lower struct {
	best  float64
	picks []pick
}

// note keeps an option that is clearly lower, and asks the lister for no higher
// ones.
func (s *search) note(picks []pick, v float64) {
	if v < s.lower.best-2*slack {
		s.lower.best = v
		s.lister.limit = v - 3*slack
		s.lower.picks = append(s.lower.picks[:0], picks...)
	}
}
