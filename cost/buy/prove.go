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
	over   uint64   // and those where more than is needed could be of use, as it was listed
	rule   *limits  // of the first offer; nil: no rule
	toll   *float64 // likewise
	weight []weight // by offer
	fee    float64  // what a consign fee counts for, but for its cash
	value  float64
	clear  float64 // no other option has a value below this
	pick   int     // the option of the pool that has the least
}

// holds tells whether a floor of a part in a node still stands, and notes what it is asked
// for. Rules and tolls never change: a list that begins at the same place is the same.
// Where more than is needed is of use in fewer orders now, fewer options are left, none of
// which is below the floor.
func (f *floor) holds(s *search, i int, n *node, w []weight) bool {
	m, p := s.m, s.parts[i]
	open, over, rule, toll := n.open&p.from, n.over&p.from, first(n.rule(i)), first(n.toll(i))
	fee := 0.0
	if m.consign > 0 && p.machine {
		if fee = w[m.assembler].fee; m.feeCounts {
			fee += w[m.assembler].home * float64(m.consign)
		}
	}
	same := f.known && f.open == open && over&^f.over == 0 && f.rule == rule && f.toll == toll && f.fee == fee
	f.open, f.rule, f.toll, f.fee, f.weight = open, rule, toll, fee, resized(f.weight, len(p.offers))
	for j := range p.offers {
		now := m.at(p, &p.offers[j], w)
		same = same && f.weight[j] == now
		f.weight[j] = now
	}
	if f.known = true; !same {
		f.over = over
	}
	return same
}

// first is the place of a list's first entry; nil: there is none.
func first[T any](list []T) *T {
	if len(list) == 0 {
		return nil
	}
	return &list[0]
}

// cheapest bounds the value of a part's options from below, by less than a
// rounding of float64.
func (s *search) cheapest(i int, n *node, w []weight) float64 {
	f := &s.floors[i]
	if !f.holds(s, i, n, w) {
		lay(s, f, i, n, w)
		f.known = !s.lister.gaveUp
	}
	return f.value
}

// lay works a floor out. Options that were not met before go into the pool.
func lay(s *search, f *floor, i int, n *node, w []weight) {
	best, at := s.favourite(i, n, w)
	margin := 0.0
	if s.best != nil {
		if gap := max(0, float64(s.best.cash)-n.guess); gap <= clearOver {
			margin = gap + float64(len(s.parts)+1)*floorSlack
		}
	}
	low := &s.work.lower
	*low = lower{of: &s.lister, best: best, clear: inf, margin: margin + slack, picks: low.picks[:0]}
	if at >= 0 {
		low.picks = append(low.picks, s.pool[i][at].picks...)
	}
	if s.lister.most = listedSteps; s.hard() && !s.m.heads {
		s.lister.most = listedWhenHard
	}
	s.lister.list(i, s.parts[i], w, n, best+low.margin, low)
	s.lister.most = 0
	tabled := s.lister.gaveUp && !s.out && tabulate(s, low)
	if s.lister.gaveUp && !s.out && !tabled {
		s.lister.list(i, s.parts[i], w, n, low.best+low.margin, low)
	}
	if low.found {
		at = s.keep(i, low.picks)
	}
	f.value, f.pick, f.clear = low.best-floorSlack, at, min(low.clear, low.best+low.margin)
	if tabled {
		s.lister.gaveUp, f.clear = false, f.value
	}
	if s.lister.gaveUp { // no option can be below what filling the demand costs
		f.value = min(low.best, s.lister.fill(0, s.parts[i].demand)+s.lister.discount(false)) - floorSlack
		f.clear = f.value
	}
}

// tabulate finds the least value of the part at hand by a table; false where it
// is too large for one.
func tabulate(s *search, low *lower) bool {
	v, picks, steps, ok := s.work.cover.solve(&s.lister)
	s.tick(steps)
	if ok && v < low.best-2*slack {
		low.best, low.found = v, true
		low.picks = append(low.picks[:0], picks...)
	}
	return ok
}

// How many steps go into listing options before their least value is looked for in a
// table, and how many in a proof that takes long: a table takes less time, but knows no
// next option, and where lines bear tolls for their headings that settles more.
const listedSteps, listedWhenHard = 2000, 200

// floorSlack is how far a floor is put below the least value that was found. The
// floors of all parts together are below a plan by so much for each of them.
const floorSlack = 3 * slack

// How far over the least the next option is looked for, in home minor units, and
// among how many.
const clearOver, clearAmong = 16, 8

// lower looks for the option of a part with the least value, and for the value
// of the next one.
type lower struct {
	of     *lister
	best   float64
	picks  []pick  // its lines
	found  bool    // they were not met before
	clear  float64 // the least value of other options
	margin float64
	seen   int
}

func (l *lower) visit(picks []pick, v float64) (enough bool) {
	switch {
	case v < l.best-2*slack:
		l.clear = min(l.clear, l.best)
		l.best, l.found = v, true
		l.picks = append(l.picks[:0], picks...)
	case !sameLines(l.picks, picks):
		l.clear = min(l.clear, v)
	}
	if l.seen++; l.seen > clearAmong {
		l.margin = -3 * slack // only what is lower is of interest
	}
	l.of.limit = l.best + l.margin
	return false
}
