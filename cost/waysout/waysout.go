package waysout

import (
	"cmp"
	"slices"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/partname"
	"tenoff/cost/workers"
)

// Find finds the parts that run short, and compares every way out: offers that
// were left out, each substitute, a mix, waiting, fewer units. Each is the whole run,
// planned anew. A part is short where its offers do not supply what a batch wants, or where
// the batch would buy it from a supplier that is taken for dry. Where several parts of a batch
// are short, a way is chosen for all of them together as well.
//
// Where the run is stopped, what was not tried is left out.
func Find(run cost.Run) (out Shortages, _ bom.Problems) {
	run.Substitutes = false // each is looked at
	then, problems := cost.New(run)
	if then == nil {
		return out, problems
	}
	dry := run.Scarce.Dry
	run.Scarce = cost.Scarcity{}
	m, problems := cost.New(run)
	if m == nil {
		return out, problems
	}
	parts, standins := m.Describe(), m.Standins()
	for i := range run.Batches {
		if s := run.Stop; s != nil && s() {
			break
		}
		s := &scene{run: run, batch: i, m: m.At(i), then: then.At(i), dry: dry, parts: parts, standins: standins}
		s.findShort()
		if len(s.short) == 0 {
			continue
		}
		s.compare()
		out.Parts = append(out.Parts, bom.Each(s.short, func(p *shortPart) Shortage { return p.Shortage })...)
		if len(s.short) > 1 {
			out.Together = append(out.Together, s.decide())
		}
	}
	return out, problems
}

// scene is one batch of a run that some parts are short of.
type scene struct {
	run      cost.Run    // nothing of which is taken for gone
	batch    int         // which of the run's
	m, then  *cost.Model // with the stocks of the price sheet, and with what is left of them
	dry      []string
	parts    *cost.Estimate // lines and parts of the run
	standins *partname.Standins
	short    []shortPart
	offerOf  []int // by offer of the price sheet: index into short of its part; -1: of none
}

// shortPart is a part that is short, by its number in the estimate.
type shortPart struct {
	Shortage
	part   int
	builds int  // units that what is left of it is enough for
	lacked bool // by the stocks of the price sheet
	tried  []Way
	full   []Way // of the ways out, those that build all units; the one with fewer where there is no other
}

// size is how many units are wanted.
func (s *scene) size() int { return s.run.Batches[s.batch] }

// findShort finds what the batch is short of.
func (s *scene) findShort() {
	size := s.size()
	lacked, short := s.m.Short(size), s.then.Short(size)
	if len(s.dry) > 0 {
		b, _ := s.m.Batch(size)
		for i := range b.Purchases {
			if p := &b.Purchases[i]; p.Kind == cost.Goods && s.isDry(p.Supplier) && !slices.Contains(short, p.Index) {
				short = append(short, p.Index)
			}
		}
		slices.Sort(short)
	}
	offers := s.m.Prices().Offers
	s.offerOf = make([]int, len(offers))
	for i := range s.offerOf {
		s.offerOf[i] = -1
		if found := s.m.Find(offers[i].Part); len(found) == 1 {
			s.offerOf[i] = slices.Index(short, found[0])
		}
	}
	id := s.run.IDs()[s.batch]
	for _, part := range short {
		p := shortPart{part: part, lacked: slices.Contains(lacked, part)}
		p.Part, p.Batch, p.Size = s.parts.Parts[part].Key, id, size
		if reach := s.then.Reach(part, size); reach.Required > 0 {
			p.Left, p.Required, p.builds = reach.Stock, reach.Required, reach.Units
		}
		s.short = append(s.short, p)
	}
}

// isDry tells whether a supplier is taken for dry.
func (s *scene) isDry(supplier string) bool {
	return slices.ContainsFunc(s.dry, func(name string) bool { return bom.SameName(name, supplier) })
}

// tryable lists what may be done about a part, before it is known what comes of it.
func (s *scene) tryable(p *shortPart) {
	part := &s.parts.Parts[p.part]
	if part.Unit == "g" {
		return // filament, of which no stock is stated
	}
	offers := s.m.Prices().Offers
	dry, more := false, []*bom.Offer(nil)
	for i, at := range s.offerOf {
		if at < 0 || s.short[at].part != p.part {
			continue
		}
		dry = dry || len(offers[i].Breaks) > 0 && s.isDry(offers[i].Supplier)
		if offers[i].More > 0 {
			more = append(more, &offers[i])
		}
	}
	if dry || s.run.Rules.Any() {
		p.tried = append(p.tried, Way{Kind: Elsewhere})
	}
	cut := slices.ContainsFunc(part.Entries, func(e int) bool { return s.parts.Entries[e].Line.CutMM > 0 })
	found, barred := s.standins.For(p.part)
	p.Barred, p.Near = barred, s.standins.Near(p.part)
	for _, c := range found {
		w := Way{Kind: Substituted, Substitute: c.Part, Row: c.Row, Rule: c.Rule}
		w.From, w.To = partname.LandPatterns(s.run.Unit, p.Part, c.Part)
		p.tried = append(p.tried, w)
		if c.Row != nil && c.Row.Mix && !cut && p.Left > 0 && (p.lacked || p.Left < p.Required) {
			w.Kind = Mixed
			p.tried = append(p.tried, w)
		}
	}
	if more != nil {
		p.tried = append(p.tried, Way{Kind: Waiting, Expected: more})
	}
	if p.builds > 0 && p.Left < p.Required {
		p.tried = append(p.tried, Way{Kind: Fewer, State: State{Size: p.builds}})
	}
}

// compare works out every way of every part alone, all else as if in stock.
func (s *scene) compare() {
	type trial struct{ part, way int }
	var all []trial
	for i, p := range bom.Refs(s.short) {
		s.tryable(p)
		for w := range p.tried {
			all = append(all, trial{i, w})
		}
	}
	if len(s.short) == 0 {
		return
	}
	var before State
	workers.AtOnce(len(all)+1, func(_, i int) bool {
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
		return cmp.Or(cmp.Compare(a.grade(), b.grade()), a.Unit.Cmp(b.Unit), cmp.Compare(a.Day, b.Day), cmp.Compare(a.Kind, b.Kind))
	})
	p.full = slices.DeleteFunc(slices.Clone(p.Ways), func(w Way) bool { return w.Size < p.Size })
	if len(p.full) == 0 {
		p.full = p.Ways
	}
}
