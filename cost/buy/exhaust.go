package buy

// exhaust goes through all plans of a node that could be as good as the best,
// where they are so few that no more thought is needed: for most runs the
// cheapest way to buy each part, and nothing else. It tells whether it did.
func (s *search) exhaust(n *node) bool {
	if s.best == nil {
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
	f.combine(0, gap)
	return true
}

// fewPlans is how many combinations of options are tried one by one.
const fewPlans = 64

// few gathers the options that could stand in a plan as good as the best.
type few struct {
	s     *search
	plans int     // that the parts so far make
	ways  [][]way // by part
	part  int     // the part at hand
	least float64 // and the least value of its options
	lines slab
	pick  []int // by part: the option of the plan in the making
}

// way is one option.
type way struct {
	picks []pick
	at    int     // in the pool
	over  float64 // its value over the part's least
}

func (f *few) reset(s *search) {
	f.s, f.plans, f.ways, f.pick = s, 1, resized(f.ways, len(s.parts)), f.pick[:0]
	f.lines.reset()
}

// collect lists the options of one part that are within the gap; false where
// they make too many plans.
func (f *few) collect(n *node, i int, gap float64) bool {
	s := f.s
	f.part, f.least, f.ways[i] = i, s.floors[i].value, f.ways[i][:0]
	if s.floors[i].clear > f.least+gap+slack {
		f.ways[i] = append(f.ways[i], way{at: s.floors[i].pick})
		return true
	}
	s.lister.list(s.parts[i], s.work.prove.weight, n.open, n.rule(i), f.least+gap+slack, f)
	f.plans *= len(f.ways[i])
	return !s.lister.gaveUp
}

func (f *few) visit(picks []pick, v float64) (enough bool) {
	f.ways[f.part] = append(f.ways[f.part], way{picks: f.lines.keep(picks), over: v - f.least})
	return len(f.ways[f.part])*f.plans > fewPlans || f.s.tick(1)
}

// combine tries every combination whose parts together are within the gap.
func (f *few) combine(i int, gap float64) {
	if i == len(f.ways) {
		f.s.offer(f.pick)
		return
	}
	for _, w := range f.ways[i] {
		if w.over <= gap+slack {
			if w.picks != nil {
				w.at = f.s.keep(i, w.picks)
			}
			f.pick = append(f.pick, w.at)
			f.combine(i+1, gap-w.over)
			f.pick = f.pick[:i]
		}
	}
}
