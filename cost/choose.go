package cost

import (
	"cmp"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// pickSubstitutes decides for each batch of a run, and gives the run with what was decided
// on: no other substitute is looked at then. It warns where not every choice was weighed.
func pickSubstitutes(run Run) (Run, bom.Problems) {
	if !run.Substitutes || run.picked != nil {
		return run, nil
	}
	m, problems := New(run)
	if m == nil {
		return run, problems
	}
	m.costsOnly = true
	made := make([]decision, len(run.Batches))
	m.together(len(made), func(m *Model, i int) bool {
		made[i] = m.At(i).newChooser(run.Batches[i]).choose()
		return true
	})
	kept := make([]int, 0, len(m.swaps)) // indices into swaps
	run.picked = &picked{batches: map[planSize]decision{}}
	for i := range m.swaps {
		s := &m.swaps[i]
		if s.optional && !slices.ContainsFunc(made, func(d decision) bool { return d.takes[i] > 0 }) {
			continue
		}
		kept = append(kept, i)
		if s.optional {
			run.picked.rows = append(run.picked.rows, s.number)
		}
	}
	var warned bom.Problems
	for i, d := range made {
		at := m.At(i)
		d.complain(m, at.id(run.Batches[i]), &warned)
		takes := make([]bom.Quantity, len(kept))
		for to, from := range kept {
			takes[to] = d.takes[from]
		}
		d.takes = takes
		run.picked.batches[planSize{at.plan, run.Batches[i]}] = d
	}
	return run, warned
}

// undecided tells whether it is yet to be decided what substitutes a batch takes.
func (m *Model) undecided() bool {
	return m.swapped == nil && slices.ContainsFunc(m.swaps, func(s swap) bool { return s.optional })
}

// with is the model with so many pieces of each substitute. Shared with the model is its
// solver.
func (m *Model) with(takes []bom.Quantity) *Model {
	out := *m
	out.swapped, out.spare = takes, nil
	if out.swapped == nil {
		out.swapped = make([]bom.Quantity, len(m.swaps))
	}
	out.hazardsWith()
	out.ways = nil
	for _, way := range m.ways {
		out.ways = append(out.ways, way.with(out.swapped))
	}
	return &out
}

// hazardsWith finds the hazards of a unit again, where a substitute has others than its part.
func (m *Model) hazardsWith() {
	differs := slices.ContainsFunc(m.entries, func(e Entry) bool {
		return e.StandsFor > 0 && !slices.Equal(e.Line.Hazard, m.entries[e.StandsFor-1].Line.Hazard)
	})
	if !differs {
		return
	}
	gone, taken := make([]bool, len(m.entries)), make([]bool, len(m.entries))
	for i := range m.swaps {
		for _, e := range m.swaps[i].lines {
			of := m.entries[e].StandsFor - 1
			taken[e], gone[of] = m.swapped[i] > 0, gone[of] || m.swapped[i] == bom.MaxQuantity
		}
	}
	m.products = slices.Clone(m.products)
	for i := range m.products {
		m.products[i].mass.hazards = nil
	}
	m.zones, m.problems = nil, nil // what there is to say of them New said
	for i := range m.entries {
		e := &m.entries[i]
		if e.StandsFor == 0 && !gone[i] || taken[i] {
			m.products[e.Product].mass.carry(e.Line.Hazard)
		}
	}
	prepareZones(m)
}

// batchWithSubstitutes decides what substitutes a batch takes, and computes it.
func (m *Model) batchWithSubstitutes(size int) (Batch, bom.Problems) {
	c := m.newChooser(size)
	d, known := m.decided[planSize{m.plan, size}]
	if !known {
		d = c.choose()
	}
	b, problems := m.with(d.takes).Batch(size)
	if d.low.Valid && !b.Total.Unpriced {
		b.Bound = decimal.Min(b.Bound, d.low.Decimal.Sub(b.workValue()).Sub(b.extras(0)))
		b.Proven = b.Bound.Equal(b.Landed)
	}
	if !known {
		d.complain(m, b.ID(), &problems)
	}
	if !m.costsOnly && !problems.Failed() {
		b.Swaps = c.taken(&b)
	}
	return b, problems
}

// group are the ways to have the lines of a part, of which each batch takes one: the part
// alone first, then each substitute.
type group struct {
	part    int
	options []option
}

// option is so many pieces of a substitute.
type option struct {
	swap    int // -1: none
	pieces  bom.Quantity
	roughly float64 // what it adds, without the charges of orders
}

// chooser looks for the substitutes with which a batch lands cheapest.
type chooser struct {
	m      *Model
	size   int
	groups []group
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
	for i := range m.swaps {
		s := &m.swaps[i]
		if !s.optional {
			continue
		}
		need, _ := s.own(m, &b)
		if need == 0 {
			continue
		}
		part := s.standsFor(m)
		at := slices.IndexFunc(c.groups, func(g group) bool { return g.part == part })
		if at < 0 {
			at = len(c.groups)
			c.groups = append(c.groups, group{part, []option{{swap: -1}}})
		}
		for _, pieces := range amounts(none, &b, i) {
			c.groups[at].options = append(c.groups[at].options, option{i, pieces, roughlyMore(none, &b, i, min(pieces, need))})
		}
	}
	return c
}

// amounts are the pieces of a substitute that are weighed: all, and where the row lets
// units differ as many as leave the part or the substitute at the end of what some of its
// offers hold, or of its whole packs, or of what is on hand.
func amounts(m *Model, b *Batch, swap int) []bom.Quantity {
	s := &m.swaps[swap]
	part, sub := s.standsFor(m), m.entries[s.lines[0]].Part
	need, perUnit := s.own(m, b)
	out := []bom.Quantity{bom.MaxQuantity}
	if !s.row.Mix || m.parts[part].cuts != nil {
		return out
	}
	add := func(pieces bom.Quantity) {
		if pieces > 0 && pieces < need {
			out = addNew(out, pieces)
		}
	}
	for _, reach := range m.parts[part].reaches(need) {
		rest := need - m.parts[part].keeps(b, need, reach)
		add(rest)
		if perUnit > 0 { // to whole units
			add((rest + perUnit - 1) / perUnit * perUnit)
		}
	}
	for _, reach := range m.parts[sub].reaches(need) {
		others := bom.Quantity(0)
		for _, e := range m.parts[sub].Entries {
			others += b.Needs[e]
		}
		takes := m.parts[sub].covered(others, need, reach)
		add(takes)
		if perUnit > 0 {
			add(takes / perUnit * perUnit)
		}
	}
	return out
}

// reachesAtMost bounds the offers of which every selection is used up; of more, each alone
// and all together.
const reachesAtMost = 3

// reaches are the pieces of a part that selections of its offers hold, each in its whole
// stock or in the whole packs of a need, with what is on hand.
func (p *part) reaches(need bom.Quantity) (out []bom.Quantity) {
	hand := onHandOf(p.onHand)
	wanted := max(0, need+p.allowanceOver(need)-hand)
	var held []bom.Quantity
	for i := range p.offers {
		o := &p.offers[i]
		packs := wholePacks(o, wanted)
		if most := min(mostOf(o), packs); most > 0 && (most < wanted || len(p.offers) > 1) {
			held = append(held, most)
		}
	}
	sum := func(of ...bom.Quantity) {
		reach := hand
		for _, q := range of {
			reach = min(bom.MaxQuantity, reach+q)
		}
		out = addNew(out, reach)
	}
	sum()
	if len(held) > reachesAtMost {
		for _, q := range held {
			sum(q)
		}
		sum(held...)
		return out
	}
	for chosen := 1; chosen < 1<<len(held); chosen++ {
		var of []bom.Quantity
		for i, q := range held {
			if chosen&(1<<i) != 0 {
				of = append(of, q)
			}
		}
		sum(of...)
	}
	return out
}

// wholePacks are the most pieces of a need that an offer covers with nothing over.
func wholePacks(o *buy.Offer, need bom.Quantity) bom.Quantity {
	multiple := max(1, o.Multiple)
	n := int64(need/o.Pieces) / multiple * multiple
	if n < max(o.MOQ, o.Breaks[0].From) {
		return 0
	}
	return atMost(o.Pieces.Times(n))
}

// roughlyMore is what so many pieces of a substitute add, without the charges of orders.
func roughlyMore(m *Model, b *Batch, swap int, pieces bom.Quantity) float64 {
	s := &m.swaps[swap]
	_, perUnit := s.own(m, b)
	units := 1.0
	if perUnit > 0 {
		units = math.Ceil(pieces.Float() / perUnit.Float())
	}
	part, sub := m.parts[s.standsFor(m)].leastEach(m), m.parts[m.entries[s.lines[0]].Part].leastEach(m)
	switch {
	case math.IsInf(sub, 1):
		return sub
	case math.IsInf(part, 1):
		part = math.MaxFloat32
	}
	seconds := units * s.row.ExtraSeconds
	return (sub-part)*pieces.Float() + s.row.ExtraPerBatch.InexactFloat64() + units*s.row.ExtraPerUnit.InexactFloat64() +
		seconds*m.prices.Settings.LabourRate.InexactFloat64()/secondsPerHour
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
	sorted := make([][]int, count)
	for i, n := range order {
		sorted[i] = out[n]
	}
	return sorted
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
	for i := range all {
		w := &all[i]
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

// lacks are the parts that cannot be bought; all where the orders are too few.
func (w *weighed) lacks() (parts []int) {
	if w.plan.TooFewOrders {
		for i := range w.made.parts {
			parts = append(parts, i)
		}
		return parts
	}
	return bom.Each(w.plan.Short, func(s *buy.Shortage) int { return s.Part })
}

// taken tells which substitutes a batch takes, and what each saves.
func (c *chooser) taken(b *Batch) (out []Taken) {
	effort := cmp.Or(c.m.run.Effort, buy.DefaultEffort)
	var now *verdict // the batch as it is
	for i := range c.m.swaps {
		s := &c.m.swaps[i]
		if !s.optional || b.takes[i] == 0 || b.taken[i] == 0 {
			continue
		}
		t := Taken{Part: s.Part, Substitute: s.Substitute, Row: s.row, Units: b.taken[i], Lines: s.lines}
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
