package cost

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// chooser looks for the substitutes with which a batch lands cheapest.
type chooser struct {
	m      *Model
	size   int
	groups []swapGroup
	like   *weighed // another choice
	left   int64    // effort
	most   int      // choices that are weighed

	decision
	best verdict
}

// verdict is what a choice comes to: an option of each group by its number.
type verdict struct {
	choice  []int
	changes int
	lacks   []int // parts that cannot be bought; of no plan all
	weight  decimal.Decimal
	low     decimal.Decimal // no plan of the choice comes to less, where it lacks nothing
	above   bool            // it comes to no less than it had to
}

// complain tells where not every choice was weighed.
func (d *decision) complain(m *Model, batch BatchID, problems *bom.Problems) {
	if !d.every {
		problems.Warnf(bom.Place{File: m.prices.Name, Sheet: bom.TabSubstitutes}, "", "fewer substitutes that are allowed",
			"for batch %s %d choices of substitutes were weighed, not all: they were changed one by one", batch, d.tried)
	}
}

// newChooser lists what a batch may take.
func (m *Model) newChooser(size int) *chooser {
	c := &chooser{m: m, size: size, left: cmp.Or(m.run.Effort, buy.DefaultEffort)}
	none := m.with(nil)
	b, problems := none.begin(size)
	if problems.Failed() {
		return c
	}
	for i, s := range bom.Refs(m.swaps) {
		if !s.optional {
			continue
		}
		need, _ := s.own(m, &b)
		if need == 0 {
			continue
		}
		part := s.standsFor(m)
		at := slices.IndexFunc(c.groups, func(g swapGroup) bool { return g.part == part })
		if at < 0 {
			at = len(c.groups)
			c.groups = append(c.groups, swapGroup{part, []swapOption{{swap: -1}}})
		}
		for _, pieces := range amounts(none, &b, i) {
			c.groups[at].options = append(c.groups[at].options, swapOption{i, pieces, roughlyMore(none, &b, i, min(pieces, need))})
		}
	}
	return c
}

// partsWeighed bounds how many choices are weighed: so many parts in all of them.
const partsWeighed = 64 * 1024

// choose decides on the pieces of each substitute.
func (c *chooser) choose() decision {
	c.most = max(1, partsWeighed/max(1, len(c.m.parts)))
	c.every = true
	count := 1
	for _, g := range c.groups {
		if count *= len(g.options); count > c.most {
			count, c.every = 0, false
			break
		}
	}
	if c.every {
		c.weighAll(c.all(count))
	} else {
		c.improve()
	}
	c.decision.takes = c.takes(c.best.choice)
	return c.decision
}

// all lists every choice, the ones that look cheapest first.
func (c *chooser) all(count int) [][]int {
	out, roughly := make([][]int, count), make([]float64, count)
	order := make([]int, count)
	for n := range out {
		rest := n
		for _, g := range c.groups {
			at := rest % len(g.options)
			out[n], roughly[n] = append(out[n], at), roughly[n]+g.options[at].roughly
			rest /= len(g.options)
		}
		order[n] = n
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(roughly[a], roughly[b]) })
	return bom.Each(order, func(n *int) []int { return out[*n] })
}

// weighAll weighs choices, and keeps the best.
func (c *chooser) weighAll(list [][]int) {
	for i, choice := range list {
		c.weigh(choice, max(1, c.left/int64(len(list)-i)))
	}
}

// improve starts from the parts alone or from what looks cheapest for each, whichever is
// cheaper, and changes them one by one, then two at once, until that helps no more.
func (c *chooser) improve() {
	none, cheapest := make([]int, len(c.groups)), make([]int, len(c.groups))
	for i, g := range c.groups {
		for at := range g.options {
			if g.options[at].roughly < g.options[cheapest[i]].roughly {
				cheapest[i] = at
			}
		}
	}
	c.weighAll([][]int{none, cheapest})
	for better := true; better; {
		for better = true; better; {
			better = c.change(nil)
		}
		for i := range c.groups {
			for at := range c.groups[i].options {
				if at != c.best.choice[i] {
					better = c.change([]int{i, at}) || better
				}
			}
		}
	}
}

// change gives one group another option, after one that is changed already, and tells
// whether that is better.
func (c *chooser) change(first []int) (better bool) {
	for i, g := range c.groups {
		if first != nil && i <= first[0] {
			continue
		}
		for at := range g.options {
			if at == c.best.choice[i] || c.tried >= c.most {
				continue
			}
			other := slices.Clone(c.best.choice)
			if other[i] = at; first != nil {
				other[first[0]] = first[1]
			}
			better = c.weigh(other, max(1, c.left/int64(c.most))) || better
		}
	}
	return better
}

// takes are the pieces of each substitute by a choice.
func (c *chooser) takes(choice []int) []bom.Quantity {
	out := make([]bom.Quantity, len(c.m.swaps))
	for i, at := range choice {
		if o := &c.groups[i].options[at]; o.swap >= 0 {
			out[o.swap] = o.pieces
		}
	}
	return out
}

// weigh finds what a choice comes to where it may be the best, keeps it where it is, and
// tells so.
func (c *chooser) weigh(choice []int, effort int64) bool {
	if stop := c.m.run.Stop; stop != nil && stop() && c.best.choice != nil {
		c.every = false
		return false
	}
	c.tried++
	v := verdict{choice: choice}
	for _, at := range choice {
		if at > 0 {
			v.changes++
		}
	}
	under := decimal.NullDecimal{}
	first := c.best.choice == nil
	before := !first && cmp.Or(cmp.Compare(v.changes, c.best.changes), slices.Compare(v.choice, c.best.choice)) < 0
	if !first && len(c.best.lacks) == 0 {
		under = decimal.NewNullDecimal(c.best.weight)
		if before { // which wins where both are the same
			under.Decimal = under.Decimal.Add(decimal.New(1, -c.m.home.Digits))
		}
	}
	landed := c.land(c.takes(choice), under, effort)
	v.lacks, v.weight, v.low, v.above = landed.lacks, landed.weight, landed.low, landed.above
	if v.above {
		return false
	}
	if len(v.lacks) == 0 && (!c.low.Valid || v.low.LessThan(c.low.Decimal)) {
		c.low = decimal.NewNullDecimal(v.low)
	}
	if !first && !v.better(&c.best, before) {
		return false
	}
	c.best = v
	return true
}

// better tells whether a choice beats another: it lacks less, or comes to less; of the same
// that which is before the other.
func (v *verdict) better(w *verdict, before bool) bool {
	switch {
	case len(v.lacks) != len(w.lacks):
		return len(v.lacks) < len(w.lacks)
	case !slices.Equal(v.lacks, w.lacks):
		return before
	}
	d := v.weight.Cmp(w.weight)
	return d < 0 || d == 0 && before
}

// land finds the least that so many pieces of the substitutes come to, by whichever making
// of the boards.
func (c *chooser) land(takes []bom.Quantity, under decimal.NullDecimal, effort int64) (v verdict) {
	t := c.m.with(takes)
	t.costsOnly = true
	all := t.weighAll(c.size, c.like)
	if c.like == nil && all[0].sums != nil {
		c.like = &all[0]
	}
	v.above = true
	for i, w := range bom.Refs(all) {
		if w.sums == nil {
			continue
		}
		w.solveUnder(under, max(1, effort/int64(len(all)-i)))
		c.left = max(0, c.left-w.plan.Steps)
		if w.above {
			continue
		}
		x := verdict{lacks: w.lacks(), weight: w.weight(), low: w.bound.Add(w.besides())}
		if !v.above && len(v.lacks) == 0 { // of a plan that lacks something the bound says nothing
			if len(x.lacks) > 0 {
				continue
			}
			x.low = decimal.Min(x.low, v.low)
			v.low = x.low
		}
		if v.above || x.better(&v, false) {
			if v = x; len(v.lacks) == 0 {
				under = decimal.NewNullDecimal(v.weight)
			}
		}
	}
	return v
}

// taken tells which substitutes a batch takes, and what each saves.
func (c *chooser) taken(b *Batch) (out []Taken) {
	effort := cmp.Or(c.m.run.Effort, buy.DefaultEffort)
	var now *verdict // the batch as it is
	for i, s := range bom.Refs(c.m.swaps) {
		if !s.optional || b.takes[i] == 0 || b.taken[i] == 0 {
			continue
		}
		t := Taken{Part: s.Part, Substitute: s.Substitute, Units: b.taken[i], Lines: s.lines}
		for _, e := range s.lines {
			t.Pieces += b.Needs[e]
			t.Of += b.Needs[e] + b.Needs[c.m.entries[e].StandsFor-1]
		}
		without := slices.Clone(b.takes)
		without[i] = 0
		if now == nil {
			v := c.land(b.takes, decimal.NullDecimal{}, effort)
			now = &v
		}
		if other := c.land(without, decimal.NullDecimal{}, effort); len(other.lacks) > len(now.lacks) {
			t.Wanted = true
		} else {
			t.Saves = other.weight.Sub(now.weight)
		}
		out = append(out, t)
	}
	return out
}
