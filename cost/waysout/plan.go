package waysout

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost"
)

// planned is what comes of a choice.
type planned struct {
	State
	lacks   bool     // a part that is chosen for cannot be bought after all
	sellers []string // of the parts that are chosen for
}

// grade puts what lacks nothing first.
func (p *planned) grade() int {
	if p.lacks {
		return 2 + p.State.grade()
	}
	return p.State.grade()
}

// plan computes the batch with a way chosen for each part that is short; a part without
// one is taken for in stock.
func (s *scene) plan(chosen []*Way) planned {
	run := s.run
	run.Take = slices.Clone(run.Take)
	size := s.size()
	var wanted []string
	for i, w := range chosen {
		if w == nil {
			continue
		}
		part := s.short[i].Part
		wanted = append(wanted, part)
		switch w.Kind {
		case Elsewhere:
			run.Anywhere = append(run.Anywhere, part)
		case Substituted, Mixed:
			run.Take = append(run.Take, cost.Swap{Part: part, Substitute: w.Substitute, Unlisted: w.Row == nil, Mixed: w.Kind == Mixed})
			wanted = append(wanted, w.Substitute)
		case Waiting:
			run.WaitFor = append(run.WaitFor, part)
		case Fewer:
			size = min(size, w.Size)
		}
	}
	run.Prices = s.stocks(chosen)
	out := planned{State: State{Size: size, Unknown: true}, lacks: true}
	m, _ := cost.New(run)
	if m == nil {
		return out
	}
	b, problems := m.At(s.batch).Batch(size)
	out.State, out.lacks = stateOf(&b, problems.Failed()), problems.Failed()
	e := m.Describe()
	for _, name := range wanted {
		for _, part := range m.Find(name) {
			out.lacks = out.lacks || b.Parts[part].Unpriced
			if slices.ContainsFunc(e.Parts[part].Entries, func(i int) bool { return b.Provides(&e.Entries[i]) }) {
				out.sell(b.Assembler + ", with the boards")
			}
			for i := range b.Purchases {
				if p := &b.Purchases[i]; p.Kind == cost.Goods && p.Index == part {
					out.sell(p.Supplier)
				}
			}
		}
	}
	return out
}

// sell notes who sells a part that is chosen for.
func (p *planned) sell(by string) {
	if !slices.Contains(p.sellers, by) {
		p.sellers = append(p.sellers, by)
	}
}

// stateOf is what matters of a batch when ways to make it are compared.
func stateOf(b *cost.Batch, failed bool) State {
	s := State{Size: b.Size, Unit: b.PerUnit(b.Total.Consumed), Cash: b.Total.Cash, Unknown: failed || b.Total.Unpriced}
	s.Weight = b.Total.Cash.Sub(b.Total.Reclaim).Add(b.Total.Own)
	s.Day, s.DayOpen = b.Plan.Day(), !b.Plan.Known
	return s
}

// stocks is the price sheet with what is left of the parts for which a way is chosen, and
// enough of the others.
func (s *scene) stocks(chosen []*Way) *bom.Prices {
	out := *s.m.Prices()
	out.Offers = slices.Clone(out.Offers)
	for i := range out.Offers {
		switch at := s.offerOf[i]; {
		case at < 0, chosen[at] != nil:
			out.Offers[i].Stock = s.then.Prices().Offers[i].Stock
		case s.short[at].lacked:
			out.Offers[i].Stock = -1
		}
	}
	return &out
}
