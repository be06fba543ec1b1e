package cost

import (
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// Standins finds what may stand in for the parts of the run.
func (m *Model) Standins() *partname.Standins {
	parts := make([]partname.Listed, len(m.parts))
	for i, p := range bom.Refs(m.parts) {
		if parts[i].Key = p.Key; p.Unit != grams {
			parts[i].Line = m.entries[p.Entries[0]].Line
		}
	}
	return partname.NewStandins(parts, m.prices, m.Find)
}

// checkSubstitutes complains of what the price sheet says of substitutes and of what is
// expected, and cannot be.
func checkSubstitutes(m *Model) {
	for _, s := range bom.Refs(m.prices.Substitutes) {
		if from, to := partname.LandPatterns(m.run.Unit, s.Part, s.Substitute); s.Mix && from != "" {
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
