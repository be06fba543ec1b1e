package cost

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Rules narrow what may be ordered, for the sake of fewer orders or less
// waiting.
type Rules struct {
	AtMost      int      // orders; 0: no bound
	Without     []string // suppliers that nothing is ordered from
	By          bom.Date // day on which every order must have arrived; zero: none
	InStockOnly bool     // only offers whose stock is stated
}

// Any tells whether there is a rule at all.
func (r Rules) Any() bool {
	return r.AtMost > 0 || len(r.Without) > 0 || !r.By.IsZero() || r.InStockOnly
}

// each takes the rules apart, with a name for each.
func (r Rules) each() (names []string, rules []Rules) {
	add := func(name string, one Rules) { names, rules = append(names, name), append(rules, one) }
	if r.AtMost > 0 {
		add(fmt.Sprintf("at most %d orders", r.AtMost), Rules{AtMost: r.AtMost})
	}
	for _, s := range r.Without {
		add("without "+s, Rules{Without: []string{s}})
	}
	if !r.By.IsZero() {
		add("here by "+r.By.String(), Rules{By: r.By})
	}
	if r.InStockOnly {
		add("only what is in stock", Rules{InStockOnly: true})
	}
	return names, rules
}

// ruleOut finds the suppliers that the rules leave nothing to be ordered from,
// and why.
func (m *Model) ruleOut() {
	m.ruledOut = make([]string, len(m.suppliers))
	for _, name := range m.run.Rules.Without {
		if i, ok := m.supplierOf[fold(name)]; ok {
			m.ruledOut[i] = "left out"
			continue
		}
		var known []string
		for _, s := range m.suppliers {
			known = append(known, s.Name)
		}
		m.problems.Errorf(bom.Place{File: m.prices.Name}, name, "one of: "+strings.Join(known, ", "), "no such supplier to leave out")
	}
	if !m.run.Rules.By.IsZero() {
		m.ruleOutSlow(m.run.Today.DaysUntil(m.run.Rules.By))
	}
	if m.assembler >= 0 && len(m.boards) > 0 && m.ruledOut[m.assembler] != "" {
		m.problems.Errorf(m.settingPlace("Assembler"), m.prices.Settings.Assembler,
			"another assembler, or none", "the assembler is ruled out: %s", m.ruledOut[m.assembler])
	}
}

// ruleOutSlow leaves out suppliers that take longer than some days, and those
// of which it is not known how long they take.
func (m *Model) ruleOutSlow(days int) {
	for i, s := range m.suppliers {
		switch {
		case m.ruledOut[i] != "":
		case !s.LeadKnown:
			m.ruledOut[i] = "lead days not known"
			if s.Head != nil {
				m.problems.Warnf(s.At("Lead days"), s.Name, "fill in Lead days", "left out, since it is not known how long it takes")
			}
		case s.LeadDays > days:
			m.ruledOut[i] = fmt.Sprintf("takes %d days", s.LeadDays)
		}
	}
}

// mayOrder tells whether the rules let anything be ordered from a supplier.
func (m *Model) mayOrder(supplier int) bool { return m.ruledOut[supplier] == "" }

// Extra is what one rule, taken alone, adds to the cash of each batch.
type Extra struct {
	Rule    string
	Batches []ExtraCash // one for each batch of the run
}

// ExtraCash is a change of cash against the plan without rules. Where the rule
// leaves something that cannot be bought, it is not known.
type ExtraCash struct {
	Cash     decimal.Decimal
	Unpriced bool
}

// extras computes the run with each of its rules alone and with none.
func extras(run Run) []Extra {
	if !run.Rules.Any() {
		return nil
	}
	names, rules := run.Rules.each()
	free := cashOf(run, Rules{})
	out := make([]Extra, len(names))
	for i, one := range rules {
		out[i].Rule = names[i]
		for j, with := range cashOf(run, one) {
			out[i].Batches = append(out[i].Batches, ExtraCash{
				Cash: with.Cash.Sub(free[j].Cash), Unpriced: with.Unpriced || free[j].Unpriced,
			})
		}
	}
	return out
}

// cashOf gives the total of each batch under some rules.
func cashOf(run Run, rules Rules) []Amounts {
	run.Rules = rules
	out := make([]Amounts, len(run.Batches))
	m, _ := New(run)
	for i, size := range run.Batches {
		if m == nil {
			out[i].Unpriced = true
			continue
		}
		b, problems := m.Batch(size)
		out[i] = b.Total
		out[i].Unpriced = out[i].Unpriced || problems.Failed()
	}
	return out
}
