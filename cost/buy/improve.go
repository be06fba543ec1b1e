package buy

import "cmp"

// draft is a plan in the making: options of the pool, with the totals they
// lead to.
type draft struct {
	pick   []int
	totals []total
	lines  []int
	cash   []int64 // by supplier: of its order
	fees   int64
	excess int64
}

// reckonPicks is the cash of the plan that a choice from the pool makes.
func (s *search) reckonPicks(pick []int) int64 {
	d := s.draft(pick)
	return d.sum()
}

func (s *search) draft(pick []int) *draft {
	n := len(s.modes)
	d := &s.work.draft
	if len(d.totals) != n {
		*d = draft{totals: make([]total, n), lines: make([]int, n), cash: make([]int64, n)}
	}
	d.pick, d.fees, d.excess = append(d.pick[:0], pick...), s.idle, 0
	for i := range s.m.suppliers {
		d.totals[i] = total{s.m.suppliers[i].fixedOwn, s.m.suppliers[i].fixedHome}
		d.lines[i] = 0
	}
	for i, j := range d.pick {
		d.add(&s.pool[i][j].option, 1)
	}
	for i := range d.cash {
		d.cash[i] = s.bill(d, i)
	}
	return d
}

// bill is the cash of one order of a draft.
func (s *search) bill(d *draft, i int) int64 {
	if sup := &s.m.suppliers[i]; sup.exists(d.lines[i]) {
		return s.m.order(sup, d.totals[i])
	}
	return 0
}

func (d *draft) add(o *option, sign int64) {
	d.fees += sign * o.fee
	d.excess += sign * o.excess
	for k := range o.picks {
		p := &o.picks[k]
		d.totals[p.supplier].own += sign * p.own
		d.totals[p.supplier].home += sign * p.home
		d.lines[p.supplier] += int(sign)
	}
}

func (d *draft) sum() int64 {
	out := d.fees
	for _, c := range d.cash {
		out += c
	}
	return out
}

// improve takes a plan to where no single part can be bought better, and no
// order that misses its free delivery can be filled up to it for less.
func (s *search) improve(pick []int) {
	d := s.draft(pick)
	for s.exchange(d) || s.fillUp(d) {
	}
	options := make([]option, len(s.parts))
	for i, j := range d.pick {
		options[i] = s.pool[i][j].option
	}
	s.take(s.m.reckon(options, s.idle))
}

// exchange gives each part in turn its best option while the others stay.
func (s *search) exchange(d *draft) bool {
	changed := false
	for i := range s.parts {
		old := d.pick[i]
		best, at := s.standing(d), old
		for j := range s.pool[i] {
			if j == old {
				continue
			}
			s.swap(d, i, j)
			if now := s.standing(d); now.compare(best) < 0 && s.allowed(now) {
				best, at = now, j
			}
			s.swap(d, i, old)
		}
		if at != old {
			s.swap(d, i, at)
			changed = true
		}
	}
	return changed
}

// standing is what drafts are compared by.
type standing struct {
	cash   int64
	orders int
	excess int64
}

func (a standing) compare(b standing) int {
	return cmp.Or(cmp.Compare(a.cash, b.cash), cmp.Compare(a.orders, b.orders), cmp.Compare(a.excess, b.excess))
}

func (s *search) standing(d *draft) standing {
	out := standing{cash: d.sum(), excess: d.excess}
	for i := range s.m.suppliers {
		if s.m.suppliers[i].exists(d.lines[i]) {
			out.orders++
		}
	}
	return out
}

func (s *search) allowed(x standing) bool { return s.m.atMost == 0 || x.orders <= s.m.atMost }

// swap changes the option of one part.
func (s *search) swap(d *draft, i, j int) {
	from, to := &s.pool[i][d.pick[i]].option, &s.pool[i][j].option
	d.add(from, -1)
	d.add(to, 1)
	d.pick[i] = j
	for k := range from.picks {
		d.cash[from.picks[k].supplier] = s.bill(d, from.picks[k].supplier)
	}
	for k := range to.picks {
		d.cash[to.picks[k].supplier] = s.bill(d, to.picks[k].supplier)
	}
}

// fillUp brings orders that pay for delivery up to the threshold where that
// costs less than the delivery.
func (s *search) fillUp(d *draft) bool {
	for i := range s.m.suppliers {
		sup := &s.m.suppliers[i]
		gap := sup.freeOwn - d.totals[i].own
		if d.lines[i] == 0 || sup.delivery == 0 || gap <= 0 || sup.rate.value*float64(gap) > 2*float64(sup.delivery) || gap > 1<<16 {
			continue
		}
		if s.fillOne(d, i, int(gap)) {
			return true
		}
	}
	return false
}

// extra is more of one line: a step of the filling.
type extra struct {
	pick pick
	own  int
	home int64
}

// fillOne finds the additions of lines of one order that reach a gap for the
// least home cash: a covering knapsack over own minor units.
func (s *search) fillOne(d *draft, supplier, gap int) bool {
	cost := make([]int64, gap+1) // least home cash for at least so many own minor units
	for g := 1; g <= gap; g++ {
		cost[g] = tooMuch
	}
	var from [][]int32 // by part and amount: which extra
	var lists [][]extra
	var parts []int
	for i := range s.parts {
		list := s.extras(d, i, supplier, gap)
		if len(list) == 0 || len(parts) == fillParts {
			continue
		}
		next := append([]int64(nil), cost...)
		took := make([]int32, gap+1)
		for k, e := range list {
			for g := gap; g > 0; g-- {
				if c := cost[max(0, g-e.own)] + e.home; c < next[g] {
					next[g], took[g] = c, int32(k+1)
				}
			}
		}
		cost = next
		from, lists, parts = append(from, took), append(lists, list), append(parts, i)
	}
	if cost[gap] >= tooMuch {
		return false
	}
	before, undo := d.sum(), append([]int(nil), d.pick...)
	for g, k := gap, len(parts)-1; k >= 0 && g > 0; k-- {
		if t := from[k][g]; t > 0 {
			e := lists[k][t-1]
			s.swap(d, parts[k], s.enlarge(parts[k], d.pick[parts[k]], e.pick))
			g = max(0, g-e.own)
		}
	}
	if d.sum() < before && s.allowed(s.standing(d)) {
		return true
	}
	for i, j := range undo {
		if d.pick[i] != j {
			s.swap(d, i, j)
		}
	}
	return false
}

// The filling looks at so many parts and so many steps of each: it only has to
// be good, the enumeration that follows is complete.
const fillParts, fillSteps = 24, 40

// extras lists what a part can add to an order, up to the first that reaches
// the gap alone.
func (s *search) extras(d *draft, i, supplier, gap int) []extra {
	p := s.parts[i]
	var out []extra
	for j := range p.offers {
		o := &p.offers[j]
		if o.supplier != supplier {
			continue
		}
		var now pick
		for _, k := range s.pool[i][d.pick[i]].picks {
			if k.offer == j {
				now = k
			}
		}
		for k := range o.spans {
			sp := &o.spans[k]
			q := max(sp.from, now.q+o.step)
			for n := 0; q <= sp.to && n < fillSteps; n, q = n+1, q+o.step {
				e := s.m.pick(p, j, sp, q)
				if e.own > now.own {
					out = append(out, extra{e, int(min(e.own-now.own, int64(gap))), e.home - now.home})
				}
				if e.own-now.own >= int64(gap) {
					break
				}
			}
		}
	}
	return out
}

// enlarge puts a line in place of the same offer's line of an option, or
// beside the others.
func (s *search) enlarge(i, j int, line pick) int {
	picks := []pick{line}
	for _, k := range s.pool[i][j].picks {
		if k.offer != line.offer {
			picks = append(picks, k)
		}
	}
	return s.keep(i, picks)
}
