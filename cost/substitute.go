package cost

import (
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// candidate is a part that may stand in for another.
type candidate struct {
	substitute string
	row        *bom.Substitute // nil where it is found by the rules for passives
	rule       string
}

// passives are those among the parts of a run and, after them, among what else the price
// sheet has offers for, each once.
type passives []namedPassive

type namedPassive struct {
	part int // index into Model.parts; -1: not one of the run
	key  string
	partname.Passive
}

// listPassives finds the passives of a model.
func listPassives(m *Model) (out passives) {
	for i := range m.parts {
		if p, ok := passiveAt(m, i); ok {
			out = append(out, namedPassive{i, m.parts[i].Key, p})
		}
	}
	seen := map[string]bool{}
	for i := range m.prices.Offers {
		o := &m.prices.Offers[i]
		if len(o.Breaks) == 0 || seen[bom.ExactKey(o.Part)] {
			continue
		}
		seen[bom.ExactKey(o.Part)] = true
		c, value, pkg := partname.Split(o.Part)
		if !c.Known || len(m.find(o.Part)) > 0 {
			continue
		}
		key := c.Value.Key() + valueMark + c.Package.Key
		if p, ok := partname.PassiveOf(&bom.Line{Value: value, Package: pkg}); ok && !seen[key] {
			seen[key] = true
			out = append(out, namedPassive{-1, o.Part, p})
		}
	}
	return out
}

// of is the passive that a part of the run is.
func (ps passives) of(part int) (partname.Passive, bool) {
	for _, p := range ps {
		if p.part == part {
			return p.Passive, true
		}
	}
	return partname.Passive{}, false
}

// candidatesFor lists what the price sheet names and what the rules for passives
// find; and what the price sheet names and does not allow.
func candidatesFor(m *Model, part int, known passives) (out []candidate, barred []*bom.Substitute) {
	has := func(key string) bool {
		return slices.ContainsFunc(out, func(c candidate) bool { return partname.Same(c.substitute, key) }) ||
			slices.ContainsFunc(barred, func(s *bom.Substitute) bool { return partname.Same(s.Substitute, key) })
	}
	for i := range m.prices.Substitutes {
		s := &m.prices.Substitutes[i]
		switch found := m.find(s.Part); {
		case len(found) != 1 || found[0] != part || has(s.Substitute):
		case s.Allowed:
			out = append(out, candidate{substitute: s.Substitute, row: s})
		default:
			barred = append(barred, s)
		}
	}
	wanted, ok := known.of(part)
	if !ok {
		return out, barred
	}
	for _, p := range known {
		if rule, fits := p.StandsIn(wanted); fits && p.part != part && !has(p.key) {
			out = append(out, candidate{substitute: p.key, rule: rule})
		}
	}
	return out, barred
}

// nearMisses lists what the rules for passives do not let stand in, and that differs in one
// thing alone.
func nearMisses(part int, known passives) (out []NearMiss) {
	wanted, ok := known.of(part)
	if !ok {
		return nil
	}
	for _, p := range known {
		if how, near := p.Nearly(wanted); near && p.part != part {
			out = append(out, NearMiss{p.key, how})
		}
	}
	return out
}

// passiveAt reads a part as a passive from its first line.
func passiveAt(m *Model, part int) (partname.Passive, bool) {
	if len(m.parts[part].Entries) == 0 || m.parts[part].Unit == grams {
		return partname.Passive{}, false
	}
	return partname.PassiveOf(m.entries[m.parts[part].Entries[0]].Line)
}

// checkWaysOut complains of what the price sheet says of substitutes and of what is
// expected, and cannot be.
func checkWaysOut(m *Model) {
	for i := range m.prices.Substitutes {
		s := &m.prices.Substitutes[i]
		if from, to := landPatterns(m, s.Part, s.Substitute); s.Mix && from != "" {
			m.problems.Errorf(s.At("Mix"), "yes", "no, or a substitute in the package "+from,
				"%s is in another package than %s, %s, and one board has one land pattern", bom.Shown(s.Substitute), bom.Shown(s.Part), to)
		}
	}
	warnOfCircles(m)
	if m.run.Today.IsZero() {
		return
	}
	for i := range m.parts {
		for _, o := range m.parts[i].rows {
			if o.More > 0 && o.MoreOn.Before(m.run.Today) {
				m.problems.Add(bom.Problem{Place: o.At("More on"), Severity: bom.Warning, Found: o.MoreOn.String(), Each: o.Part,
					What: "the day on which more come in is past", Want: "the day that holds now, or what came in under Stock"})
			}
		}
	}
}

// warnOfCircles warns of substitutes that lead back to the part: where all of them run
// short, none helps.
func warnOfCircles(m *Model) {
	rows := m.prices.Substitutes
	told := make([]bool, len(rows))
	for first := range rows {
		path := []int{first}
		for at := first; ; {
			at = slices.IndexFunc(rows, func(r bom.Substitute) bool {
				return r.Allowed && bom.ExactKey(r.Part) == bom.ExactKey(rows[path[len(path)-1]].Substitute)
			})
			if at < 0 || told[at] || !rows[first].Allowed {
				break
			}
			if at == first {
				words := []string{rows[first].Part}
				for _, i := range path {
					told[i] = true
					words = append(words, rows[i].Substitute)
				}
				last := &rows[path[len(path)-1]]
				m.problems.Warnf(last.At("Substitute"), last.Substitute, "a part outside the circle for when all of them run short",
					"substitutes in a circle: %s", strings.Join(words, ", "))
				break
			}
			if slices.Contains(path, at) {
				break
			}
			path = append(path, at)
		}
	}
}

// landPatterns are the packages of a part and its substitute, where both are known and
// are not the same; else nothing.
func landPatterns(m *Model, part, substitute string) (from, to string) {
	a, b := packageNamed(m, part), packageNamed(m, substitute)
	if a == "" || b == "" || bom.ReadPackage(a).Key == bom.ReadPackage(b).Key {
		return "", ""
	}
	return a, b
}

// packageNamed is the package of a part as a line of the run has it, or as its value and
// package tell; empty where neither does.
func packageNamed(m *Model, key string) string {
	if l := partname.LineWith(m.run.Unit, key); l != nil {
		return l.Package
	}
	return partname.Read(key).Package.Family
}
