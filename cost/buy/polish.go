package buy

import (
	"cmp"
	"slices"
)

// polish looks for better plans around the best one (large neighbourhood search; Shaw, CP98,
// Lecture Notes in Computer Science 1520, 1998, cited from memory): all parts but two are
// bought as they are there, and those two in any ways that the prices of a node do not rule
// out. What one of them would bring over a threshold, the other one brings back. It tells
// whether the best plan may be another one.
func polish(s *search, n *node) bool {
	if s.ties || s.best == nil || !s.hard() || s.steps < s.polishing {
		return false
	}
	began, all := s.steps, *n
	all.rules = nil
	p := &polisher{combiner: combiner{s: s, n: &all, bounded: feesBound(s, n), effort: tooMuch}}
	p.base = s.prove(&all)
	if p.width = s.target() - p.base; p.width >= 0 && p.list() {
		p.plant()
		for end := s.steps + polishSteps; p.better(end); {
		}
	}
	s.polishing = s.steps + polishShare*(s.steps-began)
	return true
}

// How many steps go into listing ways, and into pairs of parts without a better plan; how
// many ways there are of all parts, and of each at least; and how many other steps lie
// between one time and the next for each that it took.
const listSteps, polishSteps, polishWays, waysOfPart, polishShare = 60_000, 30_000, 4000, 8, 8

// polisher is such a search under way: a combiner of which all lists but two are left alone.
type polisher struct {
	combiner
	trees []*ways      // by part
	now   []*candidate // by part: as it is bought in the best plan
	rest  label        // what all others come to
	goods []total      // of them, by watched order
	found [2]*candidate
	best  int64 // cash with these
}

// list lists the ways to buy each part, the one of the best plan first; false where a part
// has none in the node.
func (p *polisher) list() bool {
	s, st := p.s, &p.s.work.prove
	p.lists = make([][]candidate, len(s.parts))
	for i, part := range s.parts {
		least, o := s.cheapest(i, p.n, st.weight), s.best.options[i]
		if !o.within(p.n.open, nil) {
			return false
		}
		sample := sample{p: p, part: i, least: least, every: 1}
		s.lister.most = max(listedWhenHard, listSteps/len(s.parts))
		s.lister.list(i, part, st.weight, p.n, least+p.width+slack, &sample)
		s.lister.most = 0
		if s.out {
			return false
		}
		p.lists[i] = append([]candidate{{option: o, over: o.weigh(st.weight, p.n.toll(i)) - least}}, sample.ways...)
	}
	p.prepare(st)
	return true
}

// sample takes every way that it is shown, every other one when they are many, and so on.
type sample struct {
	p           *polisher
	part        int
	least       float64
	seen, every int
	ways        []candidate
}

func (t *sample) visit(picks []pick, v float64) (enough bool) {
	s := t.p.s
	if t.seen++; t.seen%t.every != 0 {
		return false
	}
	t.ways = append(t.ways, candidate{option: s.m.option(s.parts[t.part], t.p.lines.keep(picks)), over: v - t.least})
	if len(t.ways) >= max(waysOfPart, polishWays/len(s.parts)) {
		for i := range len(t.ways) / 2 {
			t.ways[i] = t.ways[2*i+1]
		}
		t.ways, t.every = t.ways[:len(t.ways)/2], 2*t.every
	}
	return s.tick(stepsOfCandidate)
}

// better finds two parts that are better bought in other ways; false where there are none,
// or no more steps may be taken.
func (p *polisher) better(end int64) bool {
	for x := range p.now {
		for y := range x {
			if len(p.lists[x]) == 1 && len(p.lists[y]) == 1 {
				continue
			}
			p.free(x, y)
			if p.meet(p.trees[x], p.trees[y]); p.found[0] != nil {
				p.now[x], p.now[y] = p.found[0], p.found[1]
				c := &choice{}
				for _, o := range p.now {
					c.options = append(c.options, o.option)
				}
				before := p.s.best.cash
				p.s.take(c)
				return p.s.best.cash < before
			}
			if p.s.out || p.s.steps > end {
				return false
			}
		}
	}
	return false
}

// free sums up what all parts but two come to.
func (p *polisher) free(x, y int) {
	p.found, p.best, p.width = [2]*candidate{}, int64(p.s.target())+1, p.s.target()-p.base
	p.rest, p.goods = label{cash: p.settledCash}, p.goods[:0]
	for w := range p.watch {
		p.goods = append(p.goods, p.watch[w].start)
		p.rest.cash -= p.watch[w].start.home
	}
	for i, o := range p.now {
		if i == x || i == y {
			continue
		}
		p.rest.over, p.rest.cash = p.rest.over+o.over, p.rest.cash+o.flat
		for w := range p.watch {
			p.goods[w] = p.goods[w].plus(o.goods[w])
		}
	}
}

// meet tries the pairs of ways of two parts that can be cheap enough.
func (p *polisher) meet(a, b *ways) {
	bound := p.rest.over + a.over + b.over
	for w := 0; w < len(p.watch) && bound <= p.width+slack; w++ {
		bound += beyondBound(p.s, &p.watch[w].counted, p.goods[w].plus(a.lo[w]).plus(b.lo[w]), p.goods[w].plus(a.hi[w]).plus(b.hi[w]))
	}
	if p.s.tick(1) || bound > p.width+slack {
		return
	}
	switch {
	case a.list == nil && (b.list != nil || a.wide >= b.wide):
		p.meet(a.halves[0], b)
		p.meet(a.halves[1], b)
	case b.list == nil:
		p.meet(a, b.halves[0])
		p.meet(a, b.halves[1])
	default:
		p.s.tick(len(a.list) * len(b.list) / pairsPerStep)
		for _, x := range a.list {
			for _, y := range b.list {
				p.try(x, y)
			}
		}
	}
}

// try takes a pair of ways up if it is better than what was found so far.
func (p *polisher) try(x, y *candidate) {
	l := p.rest
	l.over, l.cash = l.over+x.over+y.over, l.cash+x.flat+y.flat
	for w := 0; w < len(p.watch) && l.over <= p.width+slack; w++ {
		t := p.goods[w].plus(x.goods[w]).plus(y.goods[w])
		l.cash += t.home
		p.close(w, &l, t)
	}
	if l.over <= p.width+slack && l.cash < p.best {
		p.found, p.best, p.width = [2]*candidate{x, y}, l.cash, min(p.width, float64(l.cash-1)-p.base)
	}
}

// ways holds ways to buy a part by what they add to the watched orders, as tree does for
// labels.
type ways struct {
	over   float64 // least of them
	lo, hi []total // by watched order
	wide   int64   // widest spread of goods
	list   []*candidate
	halves [2]*ways
}

// plant makes the trees of all lists, and notes how the best plan buys each part.
func (p *polisher) plant() {
	for i := range p.lists {
		list := make([]*candidate, len(p.lists[i]))
		for j := range list {
			list[j] = &p.lists[i][j]
		}
		p.now = append(p.now, list[0])
		p.trees = append(p.trees, p.grow(list))
	}
}

func (p *polisher) grow(list []*candidate) *ways {
	t := &ways{over: inf}
	at := -1
	for w := range p.watch {
		lo, hi := highest, lowest
		for _, o := range list {
			lo, hi = lo.lower(o.goods[w]), hi.upper(o.goods[w])
		}
		if t.lo, t.hi = append(t.lo, lo), append(t.hi, hi); hi.home-lo.home > t.wide {
			t.wide, at = hi.home-lo.home, w
		}
	}
	for _, o := range list {
		t.over = min(t.over, o.over)
	}
	p.s.tick(len(list)*len(p.watch)/labelsPerStep + 1)
	if len(list) <= leafLabels || at < 0 {
		t.list = list
		return t
	}
	slices.SortStableFunc(list, func(x, y *candidate) int {
		return cmp.Or(cmp.Compare(x.goods[at].home, y.goods[at].home), cmp.Compare(x.over, y.over))
	})
	t.halves = [2]*ways{p.grow(list[:len(list)/2]), p.grow(list[len(list)/2:])}
	return t
}
