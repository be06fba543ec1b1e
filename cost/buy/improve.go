package buy

import (
	"math/bits"
	"slices"
)

// draft is a plan in the making: options of the pool, with the totals they
// lead to.
type draft struct {
	pick   []int
	totals []total
	lines  []int
	cash   []int64 // by supplier: of its order
	uses   [][]int // by supplier and heading, where duty is flat for each: lines
	fees   int64
	spare  int64
	excess int64
}

// draft is the plan that a choice makes, from a node's options or, for nil, from the pool.
func (s *search) draft(from *node, pick []int) *draft {
	n := len(s.modes)
	d := &s.work.draft
	if len(d.totals) != n {
		*d = draft{totals: make([]total, n), lines: make([]int, n), cash: make([]int64, n)}
	}
	d.pick, d.fees, d.excess = append(d.pick[:0], pick...), s.m.idle, 0
	d.spare = 0
	for i := range s.m.suppliers {
		d.totals[i] = s.m.suppliers[i].fixed()
		d.lines[i] = 0
	}
	d.begin(s.m)
	for i, j := range d.pick {
		d.add(s.option(from, i, j), 1)
	}
	for i := range d.cash {
		d.cash[i] = s.bill(d, i)
	}
	return d
}

// bill is the cash of one order of a draft.
func (s *search) bill(d *draft, i int) int64 {
	if sup := &s.m.suppliers[i]; sup.exists(d.lines[i]) {
		return s.m.order(sup, d.totals[i], d.headings(s.m, i))
	}
	return 0
}

func (d *draft) add(o *option, sign int64) {
	d.fees += sign * o.fee
	d.spare += sign * o.spare
	d.excess += sign * o.excess
	for k := range o.picks {
		p := &o.picks[k]
		t := &d.totals[p.supplier]
		t.own, t.home, t.duty = t.own+sign*p.own, t.home+sign*p.home, t.duty+sign*p.duty
		d.lines[p.supplier] += int(sign)
		if d.uses != nil && d.uses[p.supplier] != nil {
			d.uses[p.supplier][p.head] += int(sign)
		}
	}
	if o.value != 0 {
		d.totals[o.to].home += sign * o.value
	}
}

// begin counts what stands under headings whatever is bought.
func (d *draft) begin(m *model) {
	if !m.heads {
		return
	}
	if d.uses == nil {
		d.uses = make([][]int, len(m.suppliers))
	}
	for i := range m.suppliers {
		s := &m.suppliers[i]
		if s.flat == 0 {
			continue
		}
		d.uses[i] = resized(d.uses[i], len(s.heads))
		clear(d.uses[i])
		d.uses[i][0] = bits.OnesCount64(s.fixedHeads())
	}
}

// headings is how many headings an order of a draft has, where duty is flat for each.
func (d *draft) headings(m *model, supplier int) (n int) {
	if !m.heads {
		return 0
	}
	for _, lines := range d.uses[supplier] {
		if lines > 0 {
			n++
		}
	}
	return n
}

// turnedHeadings is how many it has with another option of one part.
func (d *draft) turnedHeadings(m *model, supplier int, from, to *option) int {
	if !m.heads || d.uses[supplier] == nil {
		return 0
	}
	count := func(o *option, by int) {
		for i := range o.picks {
			if p := &o.picks[i]; p.supplier == supplier {
				d.uses[supplier][p.head] += by
			}
		}
	}
	count(from, -1)
	count(to, 1)
	n := d.headings(m, supplier)
	count(to, -1)
	count(from, 1)
	return n
}

func (d *draft) sum() int64 {
	out := d.fees
	for _, c := range d.cash {
		out += c
	}
	return out
}

// improve takes a plan to where no single part can be bought better, of the options met
// so far and, while that takes no more than a share of the steps, of those that bring an
// order to a threshold: what matters more, once plans are good, is to prove them.
func (s *search) improve(pick []int) {
	d := s.draft(nil, pick)
	before := s.steps
	for exchangeFor(s, d) || s.mayImprove(before) && fit(s, d) {
	}
	s.improving += s.steps - before
	s.offer(d.pick)
}

func (s *search) mayImprove(began int64) bool {
	return s.improving+s.steps-began <= improveFirst+s.steps/improveShare
}

// How many steps may go into improving plans whatever else is done, and what part
// of all others.
const improveFirst, improveShare = 30_000, 6

// offer hands the plan that a choice from the pool makes to the search.
func (s *search) offer(pick []int) {
	t := &s.work.trial
	t.options = slices.Grow(t.options[:0], len(pick))
	for i, j := range pick {
		t.options = append(t.options, s.pool[i][j])
	}
	s.take(t)
}

// exchangeFor gives each part in turn its best option while the others stay.
func exchangeFor(s *search, d *draft) bool {
	changed := false
	for i := range s.parts {
		if _, at := tryOptions(s, d, i, standingOf(s, d)); at >= 0 {
			s.swap(d, i, at)
			changed = true
		}
	}
	return changed
}

// hard tells whether a proof has taken so long that prices are worth more time.
func (s *search) hard() bool { return s.after(hardFrom) }

// after tells whether the proof has taken so many steps for each part.
func (s *search) after(steps int) bool { return s.eager || s.steps > int64(steps*len(s.parts)) }

// tryOptions gives a part each other option in turn and finds the one that makes a
// draft better than a standing, and best; -1 where none does.
func tryOptions(s *search, d *draft, i int, best standing) (standing, int) {
	old, at := d.pick[i], -1
	s.tick(len(s.pool[i])/plansPerStep + 1)
	for j := range s.pool[i] {
		if j == old {
			continue
		}
		if now := turned(s, d, i, &s.pool[i][j]); now.compare(best) < 0 && s.allowed(now) {
			best, at = now, j
		}
	}
	return best, at
}

// plansPerStep is how many exchanges are tried in one step.
const plansPerStep = 2

// hardFrom is how many steps for each part that is.
const hardFrom = 5000

func standingOf(s *search, d *draft) standing {
	out := standing{cash: d.sum(), spare: d.spare, excess: d.excess}
	for i := range s.m.suppliers {
		if sup := &s.m.suppliers[i]; sup.exists(d.lines[i]) {
			out.orders++
		}
	}
	return out
}

// turned is the standing of a draft with another option of one part.
func turned(s *search, d *draft, part int, to *option) standing {
	from := &s.pool[part][d.pick[part]]
	out := standing{cash: d.fees - from.fee + to.fee, spare: d.spare - from.spare + to.spare, excess: d.excess - from.excess + to.excess}
	for i := range d.cash {
		sup, lines, cash := &s.m.suppliers[i], d.lines[i], d.cash[i]
		if (from.from|to.from)>>i&1 != 0 {
			lines += to.linesAt(i) - from.linesAt(i)
			if cash = 0; sup.exists(lines) {
				cash = s.m.order(sup, d.totals[i].minus(from.at(i)).plus(to.at(i)), d.turnedHeadings(s.m, i, from, to))
			}
		}
		out.cash += cash
		if sup.exists(lines) {
			out.orders++
		}
	}
	return out
}

// linesAt is how many lines an option has on an order.
func (o *option) linesAt(supplier int) (n int) {
	for i := range o.picks {
		if o.picks[i].supplier == supplier {
			n++
		}
	}
	return n
}

func (s *search) allowed(x standing) bool { return s.m.atMost == 0 || x.orders <= s.m.atMost }

// swap changes the option of one part.
func (s *search) swap(d *draft, i, j int) {
	from, to := &s.pool[i][d.pick[i]], &s.pool[i][j]
	d.add(from, -1)
	d.add(to, 1)
	d.pick[i] = j
	for left := from.from | to.from; left != 0; left &= left - 1 {
		k := bits.TrailingZeros64(left)
		d.cash[k] = s.bill(d, k)
	}
}
