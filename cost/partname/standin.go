package partname

import (
	"slices"

	"tenoff/bom"
)

// Standins finds what may stand in for the parts of a run: what the price sheet names, and
// by the rules for passives other parts of the run and what else the price sheet has offers
// for.
type Standins struct {
	rows     []bom.Substitute
	find     func(key string) []int
	passives []namedPassive // each once
}

// Listed is a part of a run with the first line that has it; without one nothing is known to
// stand in for it but what the price sheet names.
type Listed struct {
	Key  string
	Line *bom.Line
}

// Standin is a part that may stand in for another.
type Standin struct {
	Part string
	Row  *bom.Substitute // nil where it is found by the rules for passives
	Rule string          // of those
}

// NearMiss is a passive that differs from another in one thing that a designer might agree to.
type NearMiss struct{ Part, How string }

type namedPassive struct {
	part int // of the run; -1: not one of it
	key  string
	Passive
}

// NewStandins looks through the parts of a run and a price sheet; find gives the parts, by
// their places in the list, that a key of the price sheet means.
func NewStandins(parts []Listed, prices *bom.Prices, find func(key string) []int) *Standins {
	s := &Standins{rows: prices.Substitutes, find: find}
	for i, p := range parts {
		if p.Line == nil {
			continue
		}
		if passive, ok := PassiveOf(p.Line); ok {
			s.passives = append(s.passives, namedPassive{i, p.Key, passive})
		}
	}
	seen, known := map[string]bool{}, map[[2]string]bool{}
	for _, o := range bom.Refs(prices.Offers) {
		if len(o.Breaks) == 0 || seen[bom.ExactKey(o.Part)] {
			continue
		}
		seen[bom.ExactKey(o.Part)] = true
		c, value, pkg := Split(o.Part)
		if !c.Known || len(find(o.Part)) > 0 {
			continue
		}
		key := [2]string{c.Value.Key(), c.Package.Key}
		if p, ok := PassiveOf(&bom.Line{Value: value, Package: pkg}); ok && !known[key] {
			known[key] = true
			s.passives = append(s.passives, namedPassive{-1, o.Part, p})
		}
	}
	return s
}

// of is the passive that a part of the run is.
func (s *Standins) of(part int) (Passive, bool) {
	for _, p := range s.passives {
		if p.part == part {
			return p.Passive, true
		}
	}
	return Passive{}, false
}

// For lists what the price sheet names and what the rules for passives find; and what the
// price sheet names and does not allow.
func (s *Standins) For(part int) (found []Standin, barred []*bom.Substitute) {
	has := func(key string) bool {
		return slices.ContainsFunc(found, func(c Standin) bool { return Same(c.Part, key) }) ||
			slices.ContainsFunc(barred, func(r *bom.Substitute) bool { return Same(r.Substitute, key) })
	}
	for _, r := range bom.Refs(s.rows) {
		switch parts := s.find(r.Part); {
		case len(parts) != 1 || parts[0] != part || has(r.Substitute):
		case r.Allowed:
			found = append(found, Standin{Part: r.Substitute, Row: r})
		default:
			barred = append(barred, r)
		}
	}
	wanted, ok := s.of(part)
	if !ok {
		return found, barred
	}
	for _, p := range s.passives {
		if rule, fits := p.StandsIn(wanted); fits && p.part != part && !has(p.key) {
			found = append(found, Standin{Part: p.key, Rule: rule})
		}
	}
	return found, barred
}

// Near lists what the rules for passives do not let stand in, and that differs in one
// thing alone.
func (s *Standins) Near(part int) (out []NearMiss) {
	wanted, ok := s.of(part)
	if !ok {
		return nil
	}
	for _, p := range s.passives {
		if how, near := p.Nearly(wanted); near && p.part != part {
			out = append(out, NearMiss{p.key, how})
		}
	}
	return out
}

// LandPatterns are the packages of a part and its substitute, where both are known, of a
// line or of what they are called, and are not the same; else nothing.
func LandPatterns(unit *bom.Assembly, part, substitute string) (from, to string) {
	a, b := packageNamed(unit, part), packageNamed(unit, substitute)
	if a == "" || b == "" || bom.ReadPackage(a).Key == bom.ReadPackage(b).Key {
		return "", ""
	}
	return a, b
}

// packageNamed is the package of a part as a line of the unit has it, or as its value and
// package tell; empty where neither does.
func packageNamed(unit *bom.Assembly, key string) string {
	if l := LineWith(unit, key); l != nil {
		return l.Package
	}
	return Read(key).Package.Family
}
