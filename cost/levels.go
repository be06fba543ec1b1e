package cost

import "tenoff/bom"

// LevelRun is a run at one level: how far the unit is made.
type LevelRun struct {
	Level  bom.Level
	Points []LevelPoint // one for each batch of the run
}

// LevelPoint is one batch at one level.
type LevelPoint struct {
	Point
	Hours float64 // of hand work
}

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
