package cost

import "tenoff/bom"

// Levels computes a run at every level, the least finished first. Something
// that cannot be bought leaves the batch unknown at its level. The errors are
// those of the run itself; purchases that are not proven are warned of.
func Levels(run Run) ([]LevelRun, bom.Problems) {
	var out []LevelRun
	var warned bom.Problems
	for _, level := range bom.Levels {
		run.Level = level
		m, problems := New(run)
		if m == nil {
			return nil, problems
		}
		m.costsOnly = true
		l := LevelRun{Level: level}
		for _, size := range run.Batches {
			b, problems := m.Batch(size)
			l.Points = append(l.Points, LevelPoint{
				Point{Size: size, Starts: b.Starts, Categories: b.Categories, Total: b.Total, Proven: b.Proven, OffBy: b.OffBy()},
				b.state(false).Hours,
			})
			last := &l.Points[len(l.Points)-1]
			last.Total.Unpriced = last.Total.Unpriced || problems.Failed()
			if b.OffBy().IsPositive() {
				warned.Warnf(bom.Place{File: run.Prices.Name}, "", moreEffort,
					"purchases of batch %d at level %s may be up to %s %s over the cheapest",
					size, level, b.OffBy().StringFixed(m.home.Digits), m.home.Code)
			}
		}
		out = append(out, l)
	}
	return out, warned
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
