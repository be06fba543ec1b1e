package buy

import (
	"cmp"
	"slices"
)

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
	f.enter()
	return f.combine(0, base)
}

// fewPlans is how many plans are tried one by one, and how many options there may
// be besides the best of each part.
const fewPlans = 64

// few gathers the options that could stand in a plan as good as the best.
type few struct {
	s     *search
	ways  [][]way // by part
	count int     // of all ways
	plans int     // tried so far
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
	f.s, f.count, f.plans = s, 0, 0
	f.ways, f.pick = resized(f.ways, len(s.parts)), f.pick[:0]
	f.lines.reset()
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
	s.lister.list(s.parts[i], s.work.prove.weight, n.open, n.rule(i), f.least+gap+slack, f)
	return !s.lister.gaveUp
}

func (f *few) visit(picks []pick, v float64) (enough bool) {
	f.ways[f.part] = append(f.ways[f.part], way{picks: f.lines.keep(picks), over: v - f.least})
	f.count++
	return f.count > len(f.ways)+fewPlans || f.s.tick(1)
}

// enter puts the options into the pool, and those of a part in the order of their
// values.
func (f *few) enter() {
	for i, ways := range f.ways {
		for j := range ways {
			if w := &ways[j]; w.picks != nil {
				w.at = f.s.keep(i, w.picks)
			}
		}
		slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(a.over, b.over) })
	}
}

// combine tries every combination whose bound, that of the parts before i
// included, is no more than the best plan costs; false where they are too many.
func (f *few) combine(i int, bound float64) bool {
	if i == len(f.ways) {
		if f.s.reckonPicks(f.pick) <= f.s.best.cash {
			f.s.offer(f.pick)
		}
		f.plans++
		return f.plans <= fewPlans
	}
	for _, w := range f.ways[i] {
		if bound+w.over > float64(f.s.best.cash)+slack {
			break // the others are over it too
		}
		if f.pick = append(f.pick[:i], w.at); !f.combine(i+1, bound+w.over) {
			return false
		}
	}
	return true
}
