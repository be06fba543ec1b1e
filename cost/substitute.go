package cost

import (
	"cmp"
	"slices"

	"tenoff/bom"
)

// Substitutes compares what stands in for some parts. Without names it looks at
// all parts whose stock does not cover the largest batch of the run. A name
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
			problems.Add(bom.Problem{Place: bom.Place{File: run.Unit.File}, Found: name, What: "no such part in this run",
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
	var out []Trouble
	for _, p := range parts {
		out = append(out, troubleWith(m, p, limits))
	}
	return out, problems
}

func partKeys(m *Model) []string {
	var out []string
	for _, p := range m.parts {
		out = append(out, p.Key)
	}
	return out
}

func troubleWith(m *Model, part int, limits []Limit) Trouble {
	t := Trouble{Part: m.parts[part].Key}
	for _, l := range limits {
		if l.Part == t.Part {
			t.Limits = append(t.Limits, l)
		}
	}
	t.Before = states(asIfInStock(m, part))
	for _, c := range candidatesFor(m, part) {
		tryCandidate(m, &c, t)
		t.Candidates = append(t.Candidates, c)
	}
	slices.SortStableFunc(t.Candidates, func(a, b Candidate) int { return a.compare(b) })
	return t
}

// asIfInStock is the run with enough of one part at each of its offers.
func asIfInStock(m *Model, part int) Run {
	run := m.run
	prices := *m.prices
	prices.Offers = slices.Clone(prices.Offers)
	for i := range prices.Offers {
		if found := m.find(prices.Offers[i].Part); len(found) == 1 && found[0] == part {
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
func tryCandidate(m *Model, c *Candidate, t Trouble) {
	run := m.run
	run.Take = append(slices.Clone(run.Take), Swap{t.Part, c.Substitute, true})
	if !c.Allowed {
		run.Prices = allowed(m.prices)
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
