package cost

import (
	"fmt"
	"strings"

	"tenoff/bom"
)

// applyRules finds the suppliers that the rules leave nothing to be ordered from,
// and why.
func applyRules(m *Model) {
	m.supply.ruledOut = make([]string, len(m.supply.list))
	for _, name := range m.run.Rules.Without {
		if i, ok := m.supply.of[bom.Fold(name)]; ok {
			m.supply.ruledOut[i] = "left out"
			continue
		}
		known := bom.Each(m.supply.list, func(s *bom.Supplier) string { return s.Name })
		m.problems.Errorf(bom.Place{File: m.prices.Name}, name, "one of: "+strings.Join(known, ", "), "unknown supplier to leave out")
	}
	if !m.run.Rules.By.IsZero() {
		ruleOutSlow(m, m.run.Today.DaysUntil(m.run.Rules.By))
	}
}

// ruleOutSlow leaves out suppliers that take longer than some days, and those
// of which it is not known how long they take.
func ruleOutSlow(m *Model, days int) {
	left, of := m.week().LeadBy(bom.Whole(int64(days))), m.prices.Settings.WorkingDays.Day()
	for i, s := range m.supply.list {
		switch {
		case m.supply.ruledOut[i] != "":
		case !s.LeadKnown:
			m.supply.ruledOut[i] = "lead days not known"
			if s.Head != nil {
				m.problems.Warnf(s.At("Lead days"), s.Name, "fill in Lead days", "left out, since it is not known how long it takes")
			}
		case bom.Whole(int64(s.LeadDays)) > left:
			m.supply.ruledOut[i] = fmt.Sprintf("takes %d %ss", s.LeadDays, of)
		}
	}
}

// mayOrder tells whether the rules let anything be ordered from a supplier.
func (s *supply) mayOrder(supplier int) bool { return s.ruledOut[supplier] == "" }
