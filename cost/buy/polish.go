package buy

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
	now    []*candidate // by part: as it is bought in the best plan
	blocks []*block     // by part: of its ways alone
	trees  []*tree      // of them
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

// plant makes the blocks and trees of all lists, and notes how the best plan buys each part.
func (p *polisher) plant() {
	j := p.joint()
	for i, list := range p.lists {
		b := &block{parts: []int{i}, layers: [][]label{{{parent: -1}}, nil}}
		for k := range list {
			o := &list[k]
			cash := o.flat
			for w := range o.goods {
				cash += o.goods[w].home
			}
			b.layers[1] = append(b.layers[1], label{over: o.over, cash: cash, spare: o.spare, excess: o.excess, choice: int32(k)})
			b.goods = append(b.goods, o.goods...)
		}
		p.now, p.blocks, p.trees = append(p.now, &list[0]), append(p.blocks, b), append(p.trees, j.plant(b))
	}
}

// joint pairs blocks in all watched orders.
func (p *polisher) joint() *joint {
	j := &joint{c: &p.combiner, limit: p.s.target() - p.base + slack}
	for w := range p.watch {
		j.watch, j.goods = append(j.watch, w), append(j.goods, p.watch[w].start)
	}
	return j
}

// better finds two parts that are better bought in other ways; false where there are none,
// or no more steps may be taken.
func (p *polisher) better(end int64) bool {
	for x := range p.now {
		for y := range x {
			if len(p.lists[x]) == 1 && len(p.lists[y]) == 1 {
				continue
			}
			j := p.free(x, y)
			if j.meet(p.trees[x], p.trees[y]); j.found {
				p.now[x], p.now[y] = &p.lists[x][j.pair[0]], &p.lists[y][j.pair[1]]
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

// free is the pairing of two parts' ways where all others are bought as in the best plan.
func (p *polisher) free(x, y int) *joint {
	j := p.joint()
	j.front, j.back = p.blocks[x], p.blocks[y]
	for i, o := range p.now {
		if i == x || i == y {
			continue
		}
		j.rest.over, j.rest.cash = j.rest.over+o.over, j.rest.cash+o.flat
		for w := range p.watch {
			j.rest.cash += o.goods[w].home
			j.goods[w] = j.goods[w].plus(o.goods[w])
		}
	}
	return j
}
