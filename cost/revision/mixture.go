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
	lines    *pairing
	tabs     []tabMixer
	done     map[any]bool // keys of the changes that are applied
}

func newMixture(before, after cost.Run) *mixture {
	return &mixture{before, after, pair(before.Unit, after.Unit, ""), priceTabs(), map[any]bool{}}
}

// changes lists all changes in the order in which they are applied.
func (m *mixture) changes() []change {
	var out []change
	m.lines.changes(&out, map[any]bool{})
	for _, t := range m.tabs {
		out = append(out, t.changes(m.old.Prices, m.new.Prices)...)
	}
	slices.SortStableFunc(out, func(a, b change) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// unit is the bill of materials as far as its changes are applied.
func (m *mixture) unit() *bom.Assembly { return m.lines.mixed(m.done) }

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
