package sweep

import (
	"tenoff/bom"
	"tenoff/cost"
)

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

// Levels computes a run at every level, the least finished first. Something that cannot be
// bought leaves the batch unknown at its level. The errors are those of the run itself;
// purchases that are not proven are warned of.
func Levels(run cost.Run) (out []LevelRun, warned bom.Problems) {
	for _, level := range bom.Levels {
		run.Level = level
		m, problems := cost.New(run)
		if m == nil {
			return nil, problems
		}
		home := run.Prices.Settings.Home
		l := LevelRun{Level: level, Points: make([]LevelPoint, len(run.Batches))}
		m.Costs(run.Batches, nil, func(i int, b *cost.Batch, problems bom.Problems) {
			l.Points[i] = LevelPoint{Point: pointOf(b, problems), Hours: b.Hours()}
		})
		for _, p := range l.Points {
			if p.OffBy.IsPositive() {
				warned.Warnf(bom.Place{File: run.Prices.Name}, "", cost.MoreEffort, "purchases of batch %s at level %s may be up to %s %s over the cheapest",
					bom.GroupedCount(p.Size), level, home.Shown(p.OffBy), home.Code)
			}
		}
		out = append(out, l)
	}
	return out, warned
}
