package buy

import (
	"math/bits"
	"slices"
)

// sparse is an option of a part during the last enumeration.
type sparse struct {
	option
	over float64 // value over the part's least
}

// label is a set of choices for the parts so far. Choices that lead to the
// same totals differ only in cash, so the best of them stands for all.
type label struct {
	key    key
	over   float64
	parent int32
	choice int32
}

// key is the totals of the orders that matter, as far as they fit.
type key [keySize]total

const keySize = 8

// finish enumerates the plans of a node that could still be better than the
// best: for each part the options whose value is within the gap between bound
// and best plan, then all their combinations whose values together are.
func (s *search) finish(n *node) {
	open := s.open(n)
	base := s.prove(n, open)
	n.bound = max(n.bound, base)
	gap := s.target() - base
	if gap < -slack {
		return
	}
	lists := make([][]sparse, len(s.parts))
	for i := range s.parts {
		least := s.cheapest(i, n.weight, open)
		l := &s.list
		l.tick = s.tick
		l.visit = func(picks []pick, v float64) {
			lists[i] = append(lists[i], sparse{s.m.option(s.parts[i], picks), v - least})
		}
		l.list(s.parts[i], n.weight, open, least+gap+slack)
		if s.out {
			return
		}
	}
	s.combine(n, lists, base)
}

// combine runs through the combinations, part by part.
func (s *search) combine(n *node, lists [][]sparse, base float64) {
	order := make([]int, len(lists))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return len(lists[a]) - len(lists[b]) })
	c := &combiner{s: s, n: n, lists: lists, order: order, base: base}
	c.prepare()
	c.run()
}

// combiner holds the layers of labels, one per part.
type combiner struct {
	s      *search
	n      *node
	lists  [][]sparse
	order  []int
	base   float64
	least  [][]float64 // by layer and supplier: least home cash of the parts from there on
	most   [][]float64
	layers [][]label
	relax  []float64 // by supplier: what the bound counts for the order
	watch  []int     // suppliers whose totals matter
	exact  bool      // the watched totals fit the key
	start  []total
}

func (c *combiner) prepare() {
	S := len(c.s.modes)
	c.least = make([][]float64, len(c.order)+1)
	c.most = make([][]float64, len(c.order)+1)
	c.least[len(c.order)] = make([]float64, S)
	c.most[len(c.order)] = make([]float64, S)
	lo, hi, sum := make([]float64, S), make([]float64, S), make([]float64, S)
	for k := len(c.order) - 1; k >= 0; k-- {
		for i := range lo {
			lo[i], hi[i] = inf, 0
		}
		for _, o := range c.lists[c.order[k]] {
			clear(sum)
			for _, p := range o.picks {
				sum[p.supplier] += float64(p.home)
			}
			for i := range sum {
				lo[i], hi[i] = min(lo[i], sum[i]), max(hi[i], sum[i])
			}
		}
		c.least[k], c.most[k] = make([]float64, S), make([]float64, S)
		for i := range lo {
			c.least[k][i] = c.least[k+1][i] + lo[i]
			c.most[k][i] = c.most[k+1][i] + hi[i]
		}
	}
	c.relax = make([]float64, S)
	for i := range c.relax {
		c.relax[i], _ = c.s.order(i, c.n.mask[i], c.n.weight[i])
		c.start = append(c.start, total{c.s.m.suppliers[i].fixedOwn, c.s.m.suppliers[i].fixedHome})
		if c.s.canOpen(c.n, i) && c.most[0][i] > 0 {
			c.watch = append(c.watch, i)
		}
	}
	c.exact = len(c.watch) <= keySize
	if !c.exact {
		c.watch = c.watch[:keySize]
	}
}

// extra is what the watched orders cost, at least, beyond the bound, once the
// totals of the parts so far are known.
func (c *combiner) extra(k int, at *key) float64 {
	var out float64
	for w, i := range c.watch {
		lo := float64(at[w].home) + c.least[k][i]
		hi := float64(at[w].home) + c.most[k][i]
		best := inf
		for mask := c.n.mask[i]; mask != 0; mask &= mask - 1 {
			md := &c.s.modes[i][bits.TrailingZeros16(mask)]
			a, b := max(lo, md.lo), min(hi, md.hi)
			if a > b {
				continue
			}
			goods := a
			if md.slope < c.n.weight[i] {
				goods = b
			}
			best = min(best, md.base+(md.slope-c.n.weight[i])*goods)
		}
		out += best - c.relax[i]
	}
	return out
}

func (c *combiner) run() {
	gap := c.s.target() - c.base
	var first label
	for w, i := range c.watch {
		first.key[w] = c.start[i]
	}
	first.parent = -1
	c.layers = append(c.layers, []label{first})
	for k, part := range c.order {
		var next []label
		seen := map[key]int32{}
		for f := range c.layers[k] {
			from := &c.layers[k][f]
			for o := range c.lists[part] {
				opt := &c.lists[part][o]
				l := label{key: from.key, over: from.over + opt.over, parent: int32(f), choice: int32(o)}
				if l.over > gap+slack {
					continue
				}
				for _, p := range opt.picks {
					if w := slices.Index(c.watch, p.supplier); w >= 0 {
						l.key[w].own += p.own
						l.key[w].home += p.home
					}
				}
				if c.s.tick() {
					return
				}
				if l.over+c.extra(k+1, &l.key) > gap+slack {
					continue
				}
				if c.exact {
					if old, ok := seen[l.key]; ok {
						if c.better(k, &l, &next[old]) {
							next[old] = l
						}
						continue
					}
					seen[l.key] = int32(len(next))
				}
				next = append(next, l)
			}
		}
		c.layers = append(c.layers, next)
	}
	for f := range c.layers[len(c.order)] {
		c.s.offer(c.s.m.reckon(c.trace(len(c.order), int32(f)), c.s.idle))
	}
}

// better tells which of two labels with the same totals is better: the lower
// fees, then the less left over.
func (c *combiner) better(k int, a, b *label) bool {
	x, y := c.tally(k+1, a), c.tally(k+1, b)
	if x.home != y.home {
		return x.home < y.home
	}
	return x.own < y.own
}

// tally sums fees (home) and excess (own) of a label's choices.
func (c *combiner) tally(k int, l *label) total {
	var t total
	for at := *l; k > 0; k-- {
		o := &c.lists[c.order[k-1]][at.choice]
		t.home += o.fee
		t.own += o.excess
		at = c.layers[k-1][at.parent]
	}
	return t
}

// trace gives the options of a label, by part.
func (c *combiner) trace(k int, f int32) []option {
	out := make([]option, len(c.order))
	for ; k > 0; k-- {
		l := &c.layers[k][f]
		out[c.order[k-1]] = c.lists[c.order[k-1]][l.choice].option
		f = l.parent
	}
	return out
}
