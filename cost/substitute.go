package cost

import (
	"cmp"
	"slices"

	"tenoff/bom"
)

// Substitutes compares what stands in for some parts. Without names it looks at
// all parts whose stock does not cover the largest batch of the run. Where several run
// short at once, the others are replaced by their best substitute at the same time. A name
// that is no part of the run is an error.
func Substitutes(run Run, names []string) ([]Trouble, bom.Problems) {
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	largest := slices.Max(run.Batches)
	limits := m.Limits(largest)
	var parts []int
	for _, name := range names {
		found := m.find(name)
		if len(found) != 1 {
			problems.Add(bom.Problem{Place: bom.Place{File: run.Unit.File}, Found: name, What: "unknown part",
				Want: "a part number of the bill of materials", Hint: suggest(name, partKeys(m))})
			continue
		}
		parts = append(parts, found[0])
	}
	if problems.Failed() {
		return nil, problems
	}
	if len(names) == 0 {
		for _, l := range limits {
			parts = append(parts, m.find(l.Part)...)
		}
	}
	swaps := bestSwaps(m, limits)
	var out []Trouble
	for _, p := range parts {
		t := Trouble{Part: m.parts[p].Key}
		for _, l := range limits {
			swap, found := swaps[l.Part]
			switch {
			case l.Part == t.Part:
				t.Limits = append(t.Limits, l)
			case found:
				t.With = append(t.With, swap)
			default:
				t.Without = append(t.Without, l.Part)
			}
		}
		t.look(m, p, m.run)
		out = append(out, t)
	}
	return out, problems
}

// bestSwaps gives for each of several parts that run short the best substitute that is
// allowed, by what it does with all others in stock. One that runs short itself is none.
func bestSwaps(m *Model, limits []Limit) map[string]Swap {
	swaps := map[string]Swap{}
	if len(limits) < 2 {
		return swaps
	}
	short := func(key string) bool {
		return slices.ContainsFunc(limits, func(l Limit) bool { return sameKey(l.Part, key) })
	}
	for _, l := range limits {
		var others []int
		for _, o := range limits {
			if o.Part != l.Part {
				others = append(others, m.find(o.Part)...)
			}
		}
		t := Trouble{Part: l.Part}
		t.look(m, m.find(l.Part)[0], asIfInStock(m, m.run, others...))
		for _, c := range t.Candidates {
			if c.Allowed && !short(c.Substitute) {
				swaps[l.Part] = Swap{l.Part, c.Substitute, true}
				break
			}
		}
	}
	return swaps
}

func partKeys(m *Model) []string {
	var out []string
	for _, p := range m.parts {
		out = append(out, p.Key)
	}
	return out
}

// look tries the candidates of a part in a run, in which others that run short are replaced.
func (t *Trouble) look(m *Model, part int, run Run) {
	run.Take = slices.Concat(run.Take, t.With)
	t.Before = states(asIfInStock(m, run, part))
	for _, c := range candidatesFor(m, part) {
		tryCandidate(m, run, &c, *t)
		t.Candidates = append(t.Candidates, c)
	}
	slices.SortStableFunc(t.Candidates, func(a, b Candidate) int { return a.compare(b) })
}

// asIfInStock is a run with enough of some parts at each of their offers.
func asIfInStock(m *Model, run Run, parts ...int) Run {
	prices := *run.Prices
	prices.Offers = slices.Clone(prices.Offers)
	for i := range prices.Offers {
		if found := m.find(prices.Offers[i].Part); len(found) == 1 && slices.Contains(parts, found[0]) {
			prices.Offers[i].Stock = -1
		}
	}
	run.Prices = &prices
	return run
}

// states computes every batch of a run.
func states(run Run) []State {
	out := make([]State, len(run.Batches))
	m, _ := New(run)
	for i, size := range run.Batches {
		if m == nil {
			out[i].Unknown = true
			continue
		}
		b, problems := m.Batch(size)
		out[i] = b.state(problems.Failed())
	}
	return out
}

func (b *Batch) state(failed bool) State {
	s := State{Cash: b.Total.Cash, Consumed: b.Total.Consumed, Surplus: b.Total.Surplus, Unknown: failed || b.Total.Unpriced}
	for _, w := range b.Work {
		s.Hours += w.Hours
	}
	for _, o := range b.Orders {
		s.LeadDays = max(s.LeadDays, o.LeadDays)
	}
	return s
}

// candidatesFor lists what the price sheet names and what the rules for passives
// find among the parts of the run.
func candidatesFor(m *Model, part int) []Candidate {
	var out []Candidate
	has := func(key string) bool {
		return slices.ContainsFunc(out, func(c Candidate) bool { return sameKey(c.Substitute, key) })
	}
	for _, s := range m.prices.Substitutes {
		if found := m.find(s.Part); len(found) == 1 && found[0] == part && !has(s.Substitute) {
			out = append(out, Candidate{Substitute: s.Substitute, Rule: "listed", Note: s.Note, Allowed: s.Allowed})
		}
	}
	wanted, ok := passiveAt(m, part)
	if !ok {
		return out
	}
	for i := range m.parts {
		p, ok := passiveAt(m, i)
		if !ok || i == part || has(m.parts[i].Key) {
			continue
		}
		if rule, fits := p.standsIn(wanted); fits {
			out = append(out, Candidate{Substitute: m.parts[i].Key, Rule: rule, Allowed: true})
		}
	}
	return out
}

// passiveAt reads a part as a passive from its first line.
func passiveAt(m *Model, part int) (passive, bool) {
	if len(m.parts[part].Entries) == 0 || m.parts[part].Unit == grams {
		return passive{}, false
	}
	return passiveOf(part, m.entries[m.parts[part].Entries[0]].Line)
}

// tryCandidate makes the plan anew with a candidate. One that is not allowed is tried as
// well, so that its row shows what it would do.
func tryCandidate(m *Model, run Run, c *Candidate, t Trouble) {
	run.Take = append(slices.Clone(run.Take), Swap{t.Part, c.Substitute, true})
	if !c.Allowed {
		run.Prices = allowed(run.Prices)
	}
	after := states(run)
	for i, s := range after {
		before := t.Before[i]
		c.Batches = append(c.Batches, Change{
			State: s, Cash: s.Cash.Sub(before.Cash), Consumed: s.Consumed.Sub(before.Consumed), Surplus: s.Surplus.Sub(before.Surplus),
			Hours: s.Hours - before.Hours, LeadDays: s.LeadDays - before.LeadDays, Unknown: s.Unknown || before.Unknown,
		})
	}
	largest := slices.Max(run.Batches)
	c.Units, c.Covers = largest, true
	with, _ := New(run)
	if with == nil {
		c.Units, c.Covers = 0, false
		return
	}
	for _, l := range with.Limits(largest) {
		if sameKey(l.Part, c.Substitute) {
			c.Units, c.Covers = l.Units, false
		}
	}
}

// allowed is the price sheet with every substitute allowed.
func allowed(p *bom.Prices) *bom.Prices {
	out := *p
	out.Substitutes = slices.Clone(p.Substitutes)
	for i := range out.Substitutes {
		out.Substitutes[i].Allowed = true
	}
	return &out
}

// compare ranks candidates: allowed ones first, then those that cover the
// largest batch, then by the cash of the largest batch, then by name.
func (c Candidate) compare(d Candidate) int {
	last := len(c.Batches) - 1
	return cmp.Or(
		boolFirst(c.Allowed, d.Allowed), boolFirst(c.Covers, d.Covers),
		boolFirst(!c.Batches[last].State.Unknown, !d.Batches[last].State.Unknown),
		c.Batches[last].State.Cash.Cmp(d.Batches[last].State.Cash),
		cmp.Compare(c.Substitute, d.Substitute))
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
