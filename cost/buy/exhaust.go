package buy

// exhaust goes through all plans of a node that could be as good as the best,
// where they are so few that no more thought is needed: for most runs the
// cheapest way to buy each part, and nothing else. It tells whether it did. The
// node's bound is proven then, or the node holds nothing better.
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
	f.reset(len(s.parts))
	for i := range s.parts {
		if !f.collect(s, n, i, gap) {
			return false
		}
	}
	f.combine(s, 0, gap)
	return true
}

// fewPlans is how many combinations of options are tried one by one.
const fewPlans = 64

// few holds the options, by part, that could stand in a plan as good as the
// best.
type few struct {
	options []option
	over    []float64 // of each option: its value over the part's least
	from    []int     // by part: its first option; one more for the end
	plans   int
	chosen  []option
	visit   func(picks []pick, v float64)
}

func (f *few) reset(parts int) {
	f.options, f.over, f.plans = f.options[:0], f.over[:0], 1
	f.from = append(f.from[:0], 0)
	f.chosen = f.chosen[:0]
}

// collect lists the options of one part; false where they make too many plans.
func (f *few) collect(s *search, n *node, i int, gap float64) bool {
	st, l := &s.work.prove, &s.lister
	least := s.cheapest(i, n, st.weight)
	first := len(f.options)
	l.visit = func(picks []pick, v float64) {
		f.options = append(f.options, s.m.option(s.parts[i], picks))
		f.over = append(f.over, v-least)
	}
	l.tick = func() bool { return (len(f.options)-first)*f.plans > fewPlans || s.tick(1) }
	l.list(s.parts[i], st.weight, n.open, n.rule(i), least+gap+slack)
	f.from = append(f.from, len(f.options))
	f.plans *= len(f.options) - first
	return !l.gaveUp
}

// combine tries every combination whose parts together are within the gap.
func (f *few) combine(s *search, i int, gap float64) {
	if i == len(s.parts) {
		s.take(s.m.reckon(append([]option(nil), f.chosen...), s.idle))
		return
	}
	for j := f.from[i]; j < f.from[i+1]; j++ {
		if f.over[j] <= gap+slack {
			f.chosen = append(f.chosen, f.options[j])
			f.combine(s, i+1, gap-f.over[j])
			f.chosen = f.chosen[:i]
		}
	}
}
