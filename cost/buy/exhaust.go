package buy

import (
	"cmp"
	"math/bits"
	"slices"
)

// exhaust goes through all plans of a node that could be as good as the best,
// where they are so few that no more thought is needed: for most runs the
// cheapest way to buy each part, and nothing else. It tells whether it did.
func exhaust(s *search, n *node) bool {
	if s.best == nil || !fewNear(s, n) {
		return false
	}
	base := s.prove(n)
	n.bound = max(n.bound, base)
	gap := float64(s.best.cash) - base
	if gap < -slack {
		return true
	}
	f := &s.work.few
	f.reset(s)
	for i := range s.parts {
		if !f.collect(n, i, gap) {
			return false
		}
	}
	return !f.enter(n) || f.combine(0, base)
}

// fewNear tells whether few options may lie between the bound of a node and the best
// plan: of many parts, some always have another option at a price a little higher.
func fewNear(s *search, n *node) bool {
	return len(s.parts) <= fewOptions || float64(s.best.cash)-n.guess <= clearOver
}

// How many options there may be besides the best of each part; how many plans
// are tried one by one whatever comes of it; and how many where it is known
// beforehand that there are no more.
const fewOptions, fewPlans, knownPlans = 16, 64, 5000

// few gathers the options that could stand in a plan as good as the best.
type few struct {
	s     *search
	ways  [][]way // by part
	count int     // of all ways
	left  int     // plans that may still be tried
	part  int     // the part at hand
	least float64 // and the least value of its options
	lines slab
	pick  []int     // by part: its best option
	torn  []int     // the parts that have more than one
	from  uint64    // bits of the suppliers of their options
	moved []counted // the orders that differ from plan to plan
	still []shift   // by torn part and moved order: what that part and those after it can change, against their best options
	draft *draft    // the plan in the making; of the orders that are moved, cash is set at the end
}

// shift spans what may be added to the goods of an order.
type shift struct{ least, most total }

// way is one option.
type way struct {
	picks []pick
	at    int     // in the pool
	over  float64 // its value over the part's least
}

func (f *few) reset(s *search) {
	f.s, f.count, f.from = s, 0, 0
	f.ways, f.pick, f.torn = roomy(resized(f.ways, len(s.parts)), fewOfAPart), f.pick[:0], f.torn[:0]
	f.lines.reset(0)
}

// collect lists the options of one part that are within the gap; false where
// they are too many.
func (f *few) collect(n *node, i int, gap float64) bool {
	s := f.s
	f.part, f.least, f.ways[i] = i, s.floors[i].value, f.ways[i][:0]
	if s.floors[i].clear > f.least+gap+slack {
		f.ways[i] = append(f.ways[i], way{at: s.floors[i].pick})
		return true
	}
	s.lister.list(i, s.parts[i], s.work.prove.weight, n, f.least+gap+slack, f)
	return !s.lister.gaveUp
}

func (f *few) visit(picks []pick, v float64) (enough bool) {
	f.ways[f.part] = append(f.ways[f.part], way{picks: f.lines.keep(picks), over: v - f.least})
	f.count++
	return f.count > len(f.ways)+fewOptions || f.s.tick(1)
}

// enter puts the options into the pool, those of a part in the order of their
// values, and begins with the plan of the best of each; false where a part has
// none.
func (f *few) enter(n *node) bool {
	plans := 1
	for i, ways := range f.ways {
		if len(ways) == 0 {
			return false
		}
		for j := range ways {
			if w := &ways[j]; w.picks != nil {
				w.at = f.s.keep(i, w.picks)
			}
		}
		slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(a.over, b.over) })
		f.pick = append(f.pick, ways[0].at)
		if len(ways) > 1 {
			f.tear(i)
			plans = min(plans*len(ways), knownPlans+1)
		}
	}
	f.lookAhead(n)
	f.draft = f.s.draft(f.pick)
	if f.left = fewPlans; plans <= knownPlans {
		f.left = plans
	}
	return true
}

// tear notes a part that has more than one option.
func (f *few) tear(part int) {
	f.torn = append(f.torn, part)
	for _, w := range f.ways[part] {
		f.from |= f.s.pool[part][w.at].from
	}
}

// lookAhead finds the orders that are moved, and how far the torn parts from
// each on can still move them.
func (f *few) lookAhead(n *node) {
	f.moved = f.moved[:0]
	for left := f.from; left != 0; left &= left - 1 {
		i := bits.TrailingZeros64(left)
		f.moved = append(f.moved, countedOf(f.s, n, i, f.s.work.prove.weight[i]))
	}
	stride := len(f.moved)
	f.still = resized(f.still, (len(f.torn)+1)*stride)
	clear(f.still[len(f.torn)*stride:])
	for k := len(f.torn) - 1; k >= 0; k-- {
		part := f.torn[k]
		for m := range f.moved {
			to := f.moved[m].supplier
			was, c := f.s.pool[part][f.pick[part]].at(to), shift{}
			for _, w := range f.ways[part] {
				is := f.s.pool[part][w.at].at(to)
				c.least, c.most = c.least.lower(is.minus(was)), c.most.upper(is.minus(was))
			}
			later := f.still[(k+1)*stride+m]
			f.still[k*stride+m] = shift{c.least.plus(later.least), c.most.plus(later.most)}
		}
	}
}

// beyond is what the moved orders cost, at least, beyond the bound once the torn
// parts before k are settled.
func (f *few) beyond(k int) float64 {
	var out float64
	for m := range f.moved {
		w := &f.moved[m]
		now, c := f.draft.totals[w.supplier], f.still[k*len(f.moved)+m]
		out += beyondBound(f.s, w, now.plus(c.least), now.plus(c.most))
	}
	return out
}

// combine tries every combination of the torn parts from k on whose bound, that
// of the parts before included, is no more than the best plan costs; false where
// they are too many.
func (f *few) combine(k int, bound float64) bool {
	if k == len(f.torn) {
		return f.try()
	}
	part := f.torn[k]
	for i := range f.ways[part] {
		w := &f.ways[part][i]
		room := float64(f.s.best.cash) + slack - (bound + w.over)
		if room < 0 {
			break // the others are over it too
		}
		if f.turn(part, w.at); f.beyond(k+1) <= room && !f.combine(k+1, bound+w.over) {
			return false
		}
	}
	f.turn(part, f.pick[part])
	return true
}

// turn gives a part another option.
func (f *few) turn(part, to int) {
	options, d := f.s.pool[part], f.draft
	d.add(&options[d.pick[part]], -1)
	d.add(&options[to], 1)
	d.pick[part] = to
}

// try offers the plan to the search if it is as good as the best; false where no
// more may be tried.
func (f *few) try() bool {
	d := f.draft
	for m := range f.moved {
		i := f.moved[m].supplier
		d.cash[i] = f.s.bill(d, i)
	}
	if d.sum() <= f.s.best.cash {
		f.s.offer(d.pick)
	}
	f.left--
	return f.left >= 0
}
