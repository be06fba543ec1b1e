package revision

import (
	"cmp"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// mixture is a run half way from an old one to a new one.
type mixture struct {
	old, new cost.Run
	products []*product
	gone     []string // products of the old run alone, of which the plans of the new one have none
	tabs     []tabMixer
	done     map[any]bool // keys of the changes that are applied
}

func newMixture(before, after cost.Run) *mixture {
	m := &mixture{old: before, new: after, tabs: priceTabs(), done: map[any]bool{}}
	if after.Programme == nil {
		m.products = []*product{{lines: pair(before.Unit, after.Unit, "")}}
		return m
	}
	type lists struct{ old, new *bom.Assembly }
	known := map[lists]*pairing{} // a list that several products have changes once
	for i := range after.Programme.Products {
		p := &product{new: &after.Programme.Products[i]}
		of := lists{nil, p.new.Unit}
		for j := range before.Programme.Products {
			if had := &before.Programme.Products[j]; bom.SameName(had.Name, p.new.Name) {
				p.old, of.old = had, had.Unit
			}
		}
		if p.old == nil {
			of.old = of.new // it comes as a whole
		}
		if known[of] == nil {
			known[of] = pair(of.old, of.new, "")
		}
		p.lines = known[of]
		m.products = append(m.products, p)
	}
	for i := range before.Programme.Products {
		name := before.Programme.Products[i].Name
		if !slices.ContainsFunc(m.products, func(p *product) bool { return bom.SameName(p.new.Name, name) }) {
			m.gone = append(m.gone, name)
		}
	}
	return m
}

// product is one product in two revisions; of a run of one, its lines alone.
type product struct {
	old, new *bom.Product // old: nil where it is new
	lines    *pairing
}

// productKey tells what may become of a product, beside its lines.
type productKey struct {
	name string
	what string
}

func (p *product) key(what string) productKey { return productKey{p.new.Name, what} }

// changes lists what became of a product beside its lines.
func (p *product) changes(out *[]change) {
	switch {
	case p.new == nil:
	case p.old == nil:
		*out = append(*out, change{LineChange{Kind: LineAdded, What: "product " + p.new.Name, To: p.new.Level.String()}, p.key(isNew)})
	case p.old.Level != p.new.Level:
		*out = append(*out, change{LineChange{LineChanged, "product " + p.new.Name, "level " + p.old.Level.String(), "level " + p.new.Level.String()}, p.key(level)})
	}
}

const (
	isNew  = "new"
	isGone = "gone"
	level  = "level"
)

// changes lists all changes in the order in which they are applied.
func (m *mixture) changes() []change {
	out := bom.Each(m.gone, func(name *string) change {
		return change{LineChange{Kind: LineRemoved, What: "product " + *name}, productKey{*name, isGone}}
	})
	seen := map[any]bool{}
	for _, p := range m.products {
		p.changes(&out)
		p.lines.changes(&out, seen)
	}
	for _, t := range m.tabs {
		out = append(out, t.changes(m.old.Prices, m.new.Prices)...)
	}
	slices.SortStableFunc(out, func(a, b change) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// fill gives a run the lists as far as their changes are applied. Of a product that is new
// none is made before it comes.
func (m *mixture) fill(run *cost.Run) {
	mixed := map[*pairing]*bom.Assembly{}
	for _, p := range m.products {
		if mixed[p.lines] == nil {
			mixed[p.lines] = p.lines.mixed(m.done)
		}
	}
	if m.new.Programme == nil {
		run.Unit = mixed[m.products[0].lines]
		return
	}
	out := &bom.Programme{File: m.new.Programme.File}
	for _, plan := range m.new.Programme.Plans {
		plan.Units = slices.Clone(plan.Units)
		for i, p := range m.products {
			if p.old == nil && !m.done[p.key(isNew)] {
				plan.Units[i] = 0
			}
		}
		out.Plans = append(out.Plans, plan)
	}
	run.Batches = bom.Each(out.Plans, func(p *bom.Plan) int { return p.All() })
	for _, p := range m.products {
		as := *p.new
		if as.Unit = mixed[p.lines]; p.old != nil && !m.done[p.key(level)] {
			as.Level = p.old.Level
		}
		out.Products = append(out.Products, as)
	}
	run.Programme, run.Unit = out, out.Unit()
}

// prices is the price sheet as far as its changes are applied.
func (m *mixture) prices() *bom.Prices {
	out := *m.new.Prices
	for _, t := range m.tabs {
		t.fill(&out, m.old.Prices, m.new.Prices, m.done)
	}
	return &out
}

// pairing is one bill of materials in two revisions, line by line.
type pairing struct {
	old, new *bom.Assembly
	slots    []*slot
}

// slot is a line of the old revision, of the new one, or of both.
type slot struct {
	path     string
	old, new *bom.Line
	sub      *pairing // where both hold lines
	differs  bool
	becomes  change // where it differs
}

// slotKey tells one slot from another, however often its file is used.
type slotKey struct{ old, new lineKey }

// lineKey tells one line of one file from another; one that was not read from a file is
// told by its address.
type lineKey struct {
	place bom.Place
	line  *bom.Line
}

func keyOf(l *bom.Line) lineKey {
	if l.Head == nil {
		return lineKey{line: l}
	}
	return lineKey{place: l.At("")}
}

func (s *slot) key() slotKey {
	var k slotKey
	if s.old != nil {
		k.old = keyOf(s.old)
	}
	if s.new != nil {
		k.new = keyOf(s.new)
	}
	return k
}

// pair matches the lines of two revisions: first those of the same part, then
// those that share a designator, of which the value or the part has changed.
// The slots stand in the order of the new revision, the removed lines last.
func pair(before, after *bom.Assembly, path string) *pairing {
	p := &pairing{old: before, new: after}
	partner := make([]*bom.Line, len(after.Lines))
	used := map[*bom.Line]bool{}
	match := func(fits func(a, b *bom.Line) bool) {
		for i, b := range after.Lines {
			for _, a := range before.Lines {
				if partner[i] == nil && !used[a] && a.Kind == b.Kind && fits(a, b) {
					partner[i], used[a] = a, true
				}
			}
		}
	}
	match(func(a, b *bom.Line) bool { return samePart(a, b) && sharesDesignator(a, b) })
	match(func(a, b *bom.Line) bool { return samePart(a, b) && a.Quantity == b.Quantity })
	match(samePart)
	match(sharesDesignator)
	add := func(a, b *bom.Line) {
		s := &slot{path: path, old: a, new: b}
		if a != nil && b != nil && a.Sub != nil && b.Sub != nil {
			s.sub = pair(a.Sub, b.Sub, strings.TrimPrefix(path+" / "+b.Part, " / "))
		}
		s.becomes, s.differs = s.change()
		p.slots = append(p.slots, s)
	}
	for i, b := range after.Lines {
		add(partner[i], b)
	}
	for _, a := range before.Lines {
		if !used[a] {
			add(a, nil)
		}
	}
	return p
}

func samePart(a, b *bom.Line) bool { return bom.ExactKey(a.Part) == bom.ExactKey(b.Part) }

func sharesDesignator(a, b *bom.Line) bool {
	return slices.ContainsFunc(a.Designators, func(d string) bool { return slices.Contains(b.Designators, d) })
}

// changes lists the slots that differ, each once.
func (p *pairing) changes(out *[]change, seen map[any]bool) {
	for _, s := range p.slots {
		if s.differs && !seen[s.becomes.key] {
			seen[s.becomes.key] = true
			*out = append(*out, s.becomes)
		}
		if s.sub != nil {
			s.sub.changes(out, seen)
		}
	}
}

// change tells what became of a line.
func (s *slot) change() (change, bool) {
	c := change{key: s.key()}
	switch {
	case s.old == nil:
		c.LineChange = LineChange{Kind: LineAdded, What: s.name(s.new), To: s.new.Quantity.String()}
	case s.new == nil:
		c.LineChange = LineChange{Kind: LineRemoved, What: s.name(s.old), From: s.old.Quantity.String()}
	default:
		from, to := differing(lineFields(s.old), lineFields(s.new))
		if from == "" && to == "" {
			return c, false
		}
		c.LineChange = LineChange{Kind: LineChanged, What: s.name(s.old), From: from, To: to}
	}
	return c, true
}

// name says which line it is: board or assembly, part, first designator.
func (s *slot) name(l *bom.Line) string {
	name := l.Part
	if len(l.Designators) > 0 {
		name += " (" + strings.Join(l.Designators[:min(3, len(l.Designators))], ", ")
		if len(l.Designators) > 3 {
			name += ", …"
		}
		name += ")"
	}
	if s.path != "" {
		return s.path + ": " + name
	}
	return name
}

// mixed is the assembly with the changes that are done.
func (p *pairing) mixed(done map[any]bool) *bom.Assembly {
	out := &bom.Assembly{File: p.new.File, Sheet: p.new.Sheet}
	for _, s := range p.slots {
		l := s.new
		if s.differs && !done[s.becomes.key] {
			l = s.old
		}
		if l == nil {
			continue
		}
		if s.sub != nil {
			whole := *l
			whole.Sub = s.sub.mixed(done)
			l = &whole
		}
		out.Lines = append(out.Lines, l)
	}
	return out
}
