package cost

import (
	"cmp"
	"fmt"
	"slices"

	"tenoff/bom"
)

// WaysOut finds the parts that run short, and compares every way out (5.14): offers that
// were left out, each substitute, a mix, waiting, fewer units. Each is the whole run,
// planned anew. A part is short where its offers do not supply what a batch wants, or where
// the batch would buy it from a supplier that is taken for dry.
//
// Where the run is stopped, what was not tried is left out.
func WaysOut(run Run) (Shortages, bom.Problems) { return waysOut(run, true) }

// waysOut finds the ways out, and where that is asked for decides about several parts together.
func waysOut(run Run, together bool) (out Shortages, _ bom.Problems) {
	run.Substitutes, run.picked = false, nil // each is looked at
	then, problems := New(run)
	if then == nil {
		return out, problems
	}
	dry := run.Scarce.Dry
	run.Scarce = Scarcity{}
	m, problems := New(run)
	if m == nil {
		return out, problems
	}
	for i, size := range run.Batches {
		if s := run.Stop; s != nil && s() {
			break
		}
		s := newScene(m.at(i), then.at(i), dry, size)
		s.batch = i
		if len(s.short) == 0 {
			continue
		}
		s.compare()
		for i := range s.short {
			out.Parts = append(out.Parts, s.short[i].Shortage)
		}
		if together && len(s.short) > 1 {
			out.Together = append(out.Together, s.decide())
		}
	}
	return out, problems
}

// scene is one batch of a run that some parts are short of.
type scene struct {
	m, then *Model // with the stocks of the price sheet, and with what is left of them
	dry     []string
	size    int
	batch   int // which of the run's
	short   []shortPart
	known   passives
	offerOf []int // by offer of the price sheet: index into short of its part; -1: of none
}

// shortPart is a part that is short, by its number in the model.
type shortPart struct {
	Shortage
	part   int
	lacked bool // by the stocks of the price sheet
	tried  []Way
	full   []Way // of the ways out, those that build all units; the one with fewer where there is no other
}

// newScene finds what a batch is short of.
func newScene(m, then *Model, dry []string, size int) *scene {
	s := &scene{m: m, then: then, dry: dry, size: size, known: listPassives(m)}
	lacked, short := shortAt(m, size), shortAt(then, size)
	if len(s.dry) > 0 {
		b, _ := m.Batch(size)
		for i := range b.Purchases {
			if p := &b.Purchases[i]; p.Kind == Goods && s.isDry(p.Supplier) && !slices.Contains(short, p.Index) {
				short = append(short, p.Index)
			}
		}
		slices.Sort(short)
	}
	s.offerOf = make([]int, len(m.prices.Offers))
	for i := range s.offerOf {
		s.offerOf[i] = -1
		if found := m.find(m.prices.Offers[i].Part); len(found) == 1 {
			s.offerOf[i] = slices.Index(short, found[0])
		}
	}
	b, ok := then.needsAt(size)
	for _, part := range short {
		p := shortPart{part: part, lacked: slices.Contains(lacked, part)}
		p.Part, p.Batch, p.Size = m.parts[part].Key, m.id(size), size
		if then.parts[part].Unit != grams && ok {
			sums := then.scratch()
			sums.b = &b
			_, run := sums.demandOf(part)
			p.Left, p.Required = stockReach(then, part), run.Need+run.Allowance
		}
		s.short = append(s.short, p)
	}
	return s
}

// isDry tells whether a supplier is taken for dry.
func (s *scene) isDry(supplier string) bool { return names(s.dry, supplier) }

// tryable lists what may be done about a part, before it is known what comes of it.
func (s *scene) tryable(p *shortPart) {
	part := &s.then.parts[p.part]
	if part.Unit == grams {
		return
	}
	dry := slices.ContainsFunc(part.rows, func(o *bom.Offer) bool { return s.isDry(o.Supplier) })
	if dry || s.m.run.Rules.Any() {
		p.tried = append(p.tried, Way{Kind: Elsewhere})
	}
	found, barred := candidatesFor(s.m, p.part, s.known)
	p.Barred, p.Near = barred, nearMisses(p.part, s.known)
	for _, c := range found {
		w := Way{Kind: Substituted, Substitute: c.substitute, Row: c.row, Rule: c.rule}
		w.From, w.To = landPatterns(s.m, p.Part, c.substitute)
		p.tried = append(p.tried, w)
		if c.row != nil && c.row.Mix && part.cuts == nil && p.Left > 0 {
			w.Kind = Mixed
			p.tried = append(p.tried, w)
		}
	}
	w := Way{Kind: Waiting}
	for i, at := range s.offerOf {
		if o := &s.m.prices.Offers[i]; o.More > 0 && at >= 0 && s.short[at].part == p.part {
			w.Expected = append(w.Expected, o)
		}
	}
	if w.Expected != nil {
		p.tried = append(p.tried, w)
	}
	if units := largestBuilt(s.then, p.part, s.size); units > 0 && p.Left < p.Required {
		p.tried = append(p.tried, Way{Kind: Fewer, State: State{Size: units}})
	}
}

// compare works out every way of every part alone, all else as if in stock.
func (s *scene) compare() {
	type trial struct{ part, way int }
	var all []trial
	for i := range s.short {
		p := &s.short[i]
		s.tryable(p)
		for w := range p.tried {
			all = append(all, trial{i, w})
		}
	}
	if len(all) == 0 {
		return
	}
	var before State
	atOnce(len(all)+1, func(_, i int) bool {
		chosen := make([]*Way, len(s.short))
		if i == len(all) {
			before = s.plan(chosen).State
			return true
		}
		p := &s.short[all[i].part]
		w := &p.tried[all[i].way]
		chosen[all[i].part] = w
		o := s.plan(chosen)
		if w.State, w.Sellers = o.State, o.sellers; o.lacks {
			w.Size = 0 // no way out
		}
		return true
	})
	for i := range s.short {
		s.short[i].Before = before
		s.short[i].rank()
	}
}

// rank keeps what is a way out, the best first.
func (p *shortPart) rank() {
	for _, w := range p.tried {
		switch {
		case w.Size > 0:
			p.Ways = append(p.Ways, w)
		case w.Kind == Substituted:
			p.Lacking = append(p.Lacking, w.Substitute)
		}
	}
	slices.SortStableFunc(p.Ways, func(a, b Way) int {
		return cmp.Or(boolFirst(!a.Unknown, !b.Unknown), a.Unit.Cmp(b.Unit), cmp.Compare(a.Day, b.Day), cmp.Compare(a.Kind, b.Kind))
	})
	p.full = slices.DeleteFunc(slices.Clone(p.Ways), func(w Way) bool { return w.Size < p.Size })
	if len(p.full) == 0 {
		p.full = p.Ways
	}
}

func boolFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// planned is what comes of a choice.
type planned struct {
	State
	lacks   bool     // a part that is chosen for cannot be bought after all
	sellers []string // of the parts that are chosen for
}

// plan computes the batch with a way chosen for each part that is short; a part without
// one is taken for in stock.
func (s *scene) plan(chosen []*Way) planned {
	run := s.m.run
	run.Take = slices.Clone(run.Take)
	size := s.size
	var wanted []string
	for i, w := range chosen {
		if w == nil {
			continue
		}
		part := s.short[i].Part
		wanted = append(wanted, part)
		switch w.Kind {
		case Elsewhere:
			run.anywhere = append(run.anywhere, part)
		case Substituted, Mixed:
			run.Take = append(run.Take, Swap{Part: part, Substitute: w.Substitute, found: w.Row == nil, mixed: w.Kind == Mixed})
			wanted = append(wanted, w.Substitute)
		case Waiting:
			run.waitFor = append(run.waitFor, part)
		case Fewer:
			size = min(size, w.Size)
		}
	}
	run.Prices = s.stocks(chosen)
	out := planned{State: State{Size: size, Unknown: true}, lacks: true}
	m, _ := New(run)
	if m == nil {
		return out
	}
	b, problems := m.at(s.batch).Batch(size)
	out.State, out.lacks = b.state(problems.Failed()), problems.Failed()
	for _, name := range wanted {
		for _, part := range m.find(name) {
			out.lacks = out.lacks || b.Parts[part].Unpriced
			if slices.ContainsFunc(m.parts[part].Entries, func(e int) bool { return b.Provides(&m.entries[e]) }) {
				out.sellers = addNew(out.sellers, b.Assembler+", with the boards")
			}
			for i := range b.Purchases {
				if p := &b.Purchases[i]; p.Kind == Goods && p.Index == part && !slices.Contains(out.sellers, p.Supplier) {
					out.sellers = append(out.sellers, p.Supplier)
				}
			}
		}
	}
	return out
}

// state is what matters of a batch when ways to make it are compared.
func (b *Batch) state(failed bool) State {
	s := State{Size: b.Size, Unit: b.PerUnit(b.Total.Consumed), Cash: b.Total.Cash, Unknown: failed || b.Total.Unpriced}
	s.Weight = b.Total.Cash.Sub(b.Total.Reclaim).Add(b.Total.Own)
	s.Day, s.DayOpen = b.Plan.Day(), !b.Plan.Known
	return s
}

// Hours are those of all hand work.
func (b *Batch) Hours() (sum float64) {
	for _, w := range b.Work {
		sum += w.Hours
	}
	return sum
}

// stocks is the price sheet with what is left of the parts for which a way is chosen, and
// enough of the others.
func (s *scene) stocks(chosen []*Way) *bom.Prices {
	out := *s.m.prices
	out.Offers = slices.Clone(out.Offers)
	for i := range out.Offers {
		switch at := s.offerOf[i]; {
		case at < 0, chosen[at] != nil:
			out.Offers[i].Stock = s.then.prices.Offers[i].Stock
		case s.short[at].lacked:
			out.Offers[i].Stock = -1
		}
	}
	return &out
}

// choicesAtMost bounds how many choices for all parts are tried; beyond, ways are changed
// one by one.
const choicesAtMost = 1024

// decide chooses a way for each part, all together.
func (s *scene) decide() Joint {
	out := Joint{Batch: s.m.id(s.size), Size: s.size, Before: s.short[0].Before, Every: true}
	count := 1
	for i := range s.short {
		p := &s.short[i]
		out.Parts = append(out.Parts, p.Part)
		if len(p.full) == 0 {
			out.Stuck = append(out.Stuck, p.Part)
		}
		if count *= len(p.full); count > choicesAtMost {
			count, out.Every = choicesAtMost+1, false
		}
	}
	if out.Stuck != nil {
		return out
	}
	c := &choices{scene: s, known: map[string]planned{}}
	best := make([]int, len(s.short))
	if out.Every {
		best = c.best(c.all(count))
	} else {
		for i := range s.short {
			best[i] = s.short[i].lightest()
		}
		for {
			better := c.best(append([][]int{best}, c.neighbours(best)...))
			if slices.Equal(better, best) {
				break
			}
			best = better
		}
	}
	if c.of(best).lacks {
		out.Stuck = out.Parts
		return out
	}
	out.State = c.of(best).State
	for i, at := range best {
		out.Ways = append(out.Ways, s.short[i].full[at])
	}
	for _, other := range c.neighbours(best) {
		i := 0
		for other[i] == best[i] {
			i++
		}
		if p := c.of(other); !p.lacks {
			w := s.short[i].full[other[i]]
			w.State = p.State
			out.Changes = append(out.Changes, Changed{s.short[i].Part, w})
		}
	}
	out.Tried = len(c.known)
	return out
}

// lightest is the way of the least landed cash and own work.
func (p *shortPart) lightest() (best int) {
	for i := range p.full {
		if p.full[i].Weight.LessThan(p.full[best].Weight) {
			best = i
		}
	}
	return best
}

// choices are choices of a way for each part, with what comes of those that were tried.
type choices struct {
	*scene
	known map[string]planned
}

func keyOfChoice(choice []int) string { return fmt.Sprint(choice) }

// of is what comes of a choice that was tried.
func (c *choices) of(choice []int) planned { return c.known[keyOfChoice(choice)] }

// all lists every choice.
func (c *choices) all(count int) [][]int {
	out := make([][]int, count)
	for n := range out {
		rest := n
		for i := range c.short {
			ways := len(c.short[i].full)
			out[n] = append(out[n], rest%ways)
			rest /= ways
		}
	}
	return out
}

// neighbours lists the choices that differ from one in a single way.
func (c *choices) neighbours(from []int) (out [][]int) {
	for i := range from {
		for way := range c.short[i].full {
			if way != from[i] {
				other := slices.Clone(from)
				other[i] = way
				out = append(out, other)
			}
		}
	}
	return out
}

// best tries choices, and gives the one of the least landed cash and own work, then the
// earliest day, then the first.
func (c *choices) best(list [][]int) []int {
	tried := make([]planned, len(list))
	atOnce(len(list), func(_, i int) bool {
		tried[i].lacks = true
		if stop := c.m.run.Stop; stop != nil && stop() {
			return true
		}
		if p, ok := c.known[keyOfChoice(list[i])]; ok {
			tried[i] = p
			return true
		}
		chosen := make([]*Way, len(list[i]))
		for part, way := range list[i] {
			chosen[part] = &c.short[part].full[way]
		}
		tried[i] = c.plan(chosen)
		return true
	})
	best := 0
	for i := range tried {
		c.known[keyOfChoice(list[i])] = tried[i]
		if tried[i].compare(&tried[best]) < 0 {
			best = i
		}
	}
	return list[best]
}

func (p *planned) compare(q *planned) int {
	return cmp.Or(boolFirst(!p.lacks, !q.lacks), boolFirst(!p.Unknown, !q.Unknown), p.Weight.Cmp(q.Weight), cmp.Compare(p.Day, q.Day))
}
