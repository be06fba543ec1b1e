package cost

import (
	"slices"

	"tenoff/bom"
)

// Batch computes one batch size. Errors among the problems mean that the batch
// cannot be made as the input stands; the batch then holds what is known.
func (m *Model) Batch(size int) (Batch, bom.Problems) {
	var problems bom.Problems
	b := Batch{Size: size}
	m.needs(&b, &problems)
	if problems.Failed() {
		return b, problems
	}
	b.beds = m.plates(&b, &problems)
	if !m.costsOnly {
		m.days(&b, b.beds, &problems)
	}
	s := m.newSums(&b)
	s.printing()
	s.boardDemands()
	s.demands()
	s.assembly()
	m.buyAll(s, &problems)
	s.purchases()
	s.allOrders()
	s.postage(&problems)
	s.swaps()
	s.handWork()
	if !m.costsOnly {
		m.planDays(&b)
	}
	s.spread()
	s.addUp()
	s.whoPays()
	s.ask()
	s.charge()
	return b, problems
}

// sortLines puts the lines of every part under the categories they fall in.
func (m *Model) sortLines() {
	all := make([]categoryLines, 0, len(m.parts))
	for i := range m.parts {
		p := &m.parts[i]
		if first := m.entries[p.Entries[0]].Category; !slices.ContainsFunc(p.Entries, func(e int) bool { return m.entries[e].Category != first }) {
			all = append(all, categoryLines{first, p.Entries})
			p.in = all[len(all)-1 : len(all) : len(all)]
			continue
		}
		for _, c := range Categories {
			var lines []int
			for _, e := range p.Entries {
				if m.entries[e].Category == c {
					lines = append(lines, e)
				}
			}
			if lines != nil {
				p.in = append(p.in, categoryLines{c, lines})
			}
		}
	}
}
