package buy

import (
	"cmp"
	"slices"
)

// block is a set of parts whose combinations have been run through, part by part,
// one layer of labels for each.
type block struct {
	parts  []int
	layers [][]label
	goods  []total // of the watched orders, of each label of the last layer in turn
	before []total // of the layer before: room for the next
	closed []bool  // by watched order: its charges are counted
	least  []total // by watched order: what all other parts add, and in the back what is fixed
	most   []total
}

// run goes through the combinations from both ends of the order of the parts, and
// where the two blocks meet pairs their labels (Horowitz and Sahni, Journal of the
// ACM 21, 1974, cited from memory). False: they are too many, or the effort is spent.
func (c *combiner) run() bool {
	if slices.ContainsFunc(c.lists, func(l []candidate) bool { return len(l) == 0 }) {
		return true
	}
	c.s.work.labels.reset()
	front, back := c.newBlock(false), c.newBlock(true)
	// Where only roundings are open the pairs would be as good as each other.
	dull := !slices.ContainsFunc(c.watch, func(w watched) bool { return !w.dull })
	for from, to := 0, len(c.order); from < to; {
		b, part := front, c.order[from]
		if !dull && c.work(back, c.order[to-1]) < c.work(front, part) {
			b, part = back, c.order[to-1]
			to--
		} else {
			from++
		}
		if !c.extend(b, part) {
			return false
		}
		last := len(b.layers) - 1
		b.layers[last] = c.s.work.labels.keep(b.layers[last])
	}
	return c.join(front, back)
}

// work is how many combinations a block has with one part more.
func (c *combiner) work(b *block, part int) int {
	return len(b.layers[len(b.layers)-1]) * len(c.lists[part])
}

func (c *combiner) newBlock(back bool) *block {
	b := &c.s.work.front
	if back {
		b = &c.s.work.back
	}
	if cap(b.goods)+cap(b.before) > largestRoom {
		b.goods, b.before = nil, nil
	}
	*b = block{layers: [][]label{{{parent: -1}}}, closed: make([]bool, len(c.watch)), goods: b.goods[:0], before: b.before[:0]}
	for i := range c.watch {
		w := &c.watch[i]
		goods, others := w.start, total{} // what is fixed counts for the front
		if back {
			goods, others = others, goods
		}
		b.goods, b.least, b.most = append(b.goods, goods), append(b.least, others.plus(w.least[0])), append(b.most, others.plus(w.most[0]))
	}
	return b
}

// extend combines the labels of a block with the candidates of one part more.
func (c *combiner) extend(b *block, part int) bool {
	stride := len(c.watch)
	b.parts = append(b.parts, part)
	lo, hi := c.span(part)
	ending := make([]bool, stride) // orders whose goods are known from now on
	for w := range c.watch {
		b.least[w], b.most[w] = b.least[w].minus(lo[w]), b.most[w].minus(hi[w])
		ending[w] = !b.closed[w] && b.least[w] == b.most[w]
		b.closed[w] = b.closed[w] || ending[w]
	}
	seen := &c.s.work.seen
	seen.reset(stride)
	sum := make([]total, stride)
	next, goods := c.s.work.labels.next(), b.before[:0]
	from := b.layers[len(b.layers)-1]
	for f := range from {
		for o := range c.lists[part] {
			opt := &c.lists[part][o]
			l := label{from[f].over + opt.over, from[f].cash + opt.flat, from[f].spare + opt.spare, from[f].excess + opt.excess, from[f].orders, from[f].fees, int32(f), int32(o)}
			if c.bounded && opt.pays {
				l.fees++
			}
			if l.over > c.width+slack {
				break // the candidates' values rise
			}
			if c.effort--; c.effort < 0 || c.s.tick(stepsOfLabel) {
				return false
			}
			for w := range sum {
				l.cash += opt.goods[w].home
				switch sum[w] = b.goods[f*stride+w].plus(opt.goods[w]); {
				case ending[w]:
					c.close(w, &l, sum[w].plus(b.least[w]))
					sum[w] = total{}
				case b.closed[w]:
					sum[w] = total{}
				}
			}
			if l.over+c.beyond(b.closed, sum, b.least, b.most) > c.width+slack {
				continue
			}
			old, fresh := seen.find(sum, goods, c.watch, len(next))
			if fresh {
				next, goods = append(next, l), append(goods, sum...)
			} else if was := &next[old]; l.compare(was) < 0 {
				*was = l
				copy(goods[int(old)*stride:], sum)
			}
		}
	}
	b.layers, b.goods, b.before = append(b.layers, next), goods, b.goods
	return true
}

// span is the least and most that a part adds to each watched order.
func (c *combiner) span(part int) (lo, hi []total) {
	k := slices.Index(c.order, part)
	for i := range c.watch {
		w := &c.watch[i]
		lo, hi = append(lo, w.least[k].minus(w.least[k+1])), append(hi, w.most[k].minus(w.most[k+1]))
	}
	return lo, hi
}

// close adds the charges of an order whose goods are known, to the minor unit.
// Labels that differ in nothing else meet from then on.
func (c *combiner) close(i int, l *label, t total) {
	w := &c.watch[i]
	var charges int64
	// An order of nothing exists only where something forces it.
	if t != w.start || w.terms.forced {
		b := c.s.m.bill(w.terms, t, w.heads)
		if charges = c.s.m.sum(b); w.bare && b.value <= w.terms.dutyTo {
			l.over = inf // in another node, where its headings are counted
		}
		l.orders++
	}
	l.cash += charges
	l.over += max(0, float64(t.home+charges)-w.weight.of(t.home, t.own)-w.weight.duty*float64(t.duty)-w.relaxed)
}

// joint is the pairing of two blocks: of the orders that both add to.
type joint struct {
	c           *combiner
	watch       []int
	front, back *block
	limit       float64
	found       bool
	best        label
	pair        [2]int32
}

// join finds the best pair of labels of two blocks that hold all parts; false where they
// are too many.
func (c *combiner) join(front, back *block) bool {
	j := &joint{c: c, front: front, back: back, limit: c.width + slack}
	for w := range c.watch {
		if !front.closed[w] && !back.closed[w] {
			j.watch = append(j.watch, w)
		}
	}
	a, b := j.plant(front), j.plant(back)
	if a == nil || b == nil {
		return true
	}
	if !j.meet(a, b) {
		return false
	}
	if !j.found {
		return true
	}
	options := make([]option, len(c.order))
	c.trace(front, j.pair[0], options)
	c.trace(back, j.pair[1], options)
	c.s.take(&choice{options: options})
	c.found = true
	return true
}

// trace gives the options of a label of a block's last layer.
func (c *combiner) trace(b *block, f int32, out []option) {
	for k := len(b.parts); k > 0; k-- {
		l := &b.layers[k][f]
		out[b.parts[k-1]] = c.lists[b.parts[k-1]][l.choice].option
		f = l.parent
	}
}

// tree holds labels of a block by the goods of the joint orders, so that whole sets
// of pairs are dropped at once (a k-d tree; Bentley, Communications of the ACM 18,
// 1975, cited from memory).
type tree struct {
	over   float64 // least of its labels
	lo, hi []total // by joint order
	labels []int32 // of a leaf
	parts  [2]*tree
}

// leafLabels is how many labels are not divided further.
const leafLabels = 8

// plant makes the tree of a block's labels; nil where there are none.
func (j *joint) plant(b *block) *tree {
	last := b.layers[len(b.layers)-1]
	if len(last) == 0 {
		return nil
	}
	labels := make([]int32, len(last))
	for f := range labels {
		labels[f] = int32(f)
	}
	return j.grow(b, labels)
}

func (j *joint) grow(b *block, labels []int32) *tree {
	stride, last := len(j.c.watch), b.layers[len(b.layers)-1]
	t := &tree{over: inf}
	widest, spread := -1, int64(0)
	for _, w := range j.watch {
		lo, hi := highest, lowest
		for _, f := range labels {
			g := b.goods[int(f)*stride+w]
			lo, hi = lo.lower(g), hi.upper(g)
		}
		t.lo, t.hi = append(t.lo, lo), append(t.hi, hi)
		if hi.home-lo.home > spread && !j.c.watch[w].dull {
			widest, spread = w, hi.home-lo.home
		}
	}
	for _, f := range labels {
		t.over = min(t.over, last[f].over)
	}
	out := j.c.s.tick(len(labels)*len(j.watch)/labelsPerStep + 1)
	if out || len(labels) <= leafLabels || widest < 0 && len(labels) <= leafLabels*leafLabels {
		t.labels = labels
		return t
	}
	slices.SortFunc(labels, func(x, y int32) int {
		by := 0
		if widest >= 0 {
			by = cmp.Compare(b.goods[int(x)*stride+widest].home, b.goods[int(y)*stride+widest].home)
		}
		return cmp.Or(by, cmp.Compare(last[x].over, last[y].over), cmp.Compare(x, y))
	})
	half := len(labels) / 2
	t.parts = [2]*tree{j.grow(b, labels[:half]), j.grow(b, labels[half:])}
	return t
}

// How many labels are looked at in one step while a tree grows, and how many pairs
// while two meet.
const labelsPerStep, pairsPerStep = 16, 4

// meet tries the pairs of two trees that can lie within the limit; false where they
// are too many.
func (j *joint) meet(a, b *tree) bool {
	bound := a.over + b.over
	for i, w := range j.watch {
		if bound > j.limit {
			return true
		}
		if o := &j.c.watch[w]; !o.dull {
			bound += beyondBound(j.c.s, &o.counted, a.lo[i].plus(b.lo[i]), a.hi[i].plus(b.hi[i]))
		}
	}
	if bound > j.limit {
		return true
	}
	if j.c.effort--; j.c.effort < 0 || j.c.s.tick(1) {
		return false
	}
	switch {
	case a.labels == nil && (b.labels != nil || j.wider(a, b)):
		return j.meet(a.parts[0], b) && j.meet(a.parts[1], b)
	case b.labels == nil:
		return j.meet(a, b.parts[0]) && j.meet(a, b.parts[1])
	}
	j.c.s.tick(len(a.labels) * len(b.labels) / pairsPerStep)
	for _, f := range a.labels {
		for _, g := range b.labels {
			j.try(f, g)
		}
	}
	return true
}

// wider tells which of two trees is better divided.
func (j *joint) wider(a, b *tree) bool {
	var x, y int64
	for i := range j.watch {
		x, y = max(x, a.hi[i].home-a.lo[i].home), max(y, b.hi[i].home-b.lo[i].home)
	}
	return x >= y
}

// try takes a pair of labels up if it is better than the best so far.
func (j *joint) try(f, g int32) {
	c, stride := j.c, len(j.c.watch)
	x, y := &j.front.layers[len(j.front.parts)][f], &j.back.layers[len(j.back.parts)][g]
	l := label{x.over + y.over, x.cash + y.cash, x.spare + y.spare, x.excess + y.excess, x.orders + y.orders, x.fees + y.fees, f, g}
	for _, w := range j.watch {
		if l.over > j.limit {
			return
		}
		c.close(w, &l, j.front.goods[int(f)*stride+w].plus(j.back.goods[int(g)*stride+w]))
	}
	if l.over > j.limit || j.found && l.compare(&j.best) >= 0 || c.granted != 0 && float64(l.cash+c.settledCash) > c.s.target() {
		return
	}
	j.found, j.best, j.pair = true, l, [2]int32{f, g}
	// What costs a minor unit less is of interest next; what costs the same where
	// plans that tie are.
	most := float64(l.cash+c.settledCash-1) - c.base
	if c.s.ties {
		most++
	}
	j.limit = min(j.limit, most+slack)
}
