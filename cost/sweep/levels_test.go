package sweep_test

import (
	"fmt"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
)

// TestLevels: each level is the run computed at that level alone, and what is
// made further has the work of what is made less far in it, but bagging.
func TestLevelsSideBySide(t *testing.T) {
	for _, name := range []string{"frost-alarm", "morse-kit"} {
		run := typed.Demo(t, name).Read(t)
		run.Batches = []int{10, 40}
		levels, problems := sweep.Levels(run)
		if problems.Failed() || len(levels) != len(bom.Levels) {
			t.Fatalf("%s: %d levels, %s", name, len(levels), typed.Said(problems))
		}
		for i, level := range bom.Levels {
			run.Level = level
			alone := typed.Compute(t, run)
			if levels[i].Level != level {
				t.Errorf("%s: level %s stands where %s should", name, levels[i].Level, level)
			}
			for j, p := range levels[i].Points {
				where := fmt.Sprintf("%s, %s, batch %d", name, level, p.Size)
				hours := 0.0
				for _, w := range alone.Batches[j].Work {
					hours += w.Hours
				}
				if p.Hours != hours || p.Size != run.Batches[j] {
					t.Errorf("%s: %g h of hand work, alone %g", where, p.Hours, hours)
				}
				typed.Same(t, where, p.Total, alone.Batches[j].Total)
				for c := range p.Categories {
					typed.Same(t, where+", "+cost.Category(c).String(), p.Categories[c], alone.Batches[j].Categories[c])
				}
			}
		}
		for j := range run.Batches {
			board, built := levels[0].Points[j], levels[len(levels)-1].Points[j]
			if board.Total.Consumed.GreaterThan(built.Total.Consumed) || board.Hours > built.Hours {
				t.Errorf("%s: the board alone costs more than the finished unit", name)
			}
		}
	}
}

func TestLevelsUnknown(t *testing.T) {
	in := typed.Steady.With("prices/offers.csv", "Part number,Supplier,Stock,Price\nTHING,Corner Parts,30,2\n")
	run := in.Read(t)
	run.Batches = []int{30, 31}
	levels, _ := sweep.Levels(run)
	for _, l := range levels {
		if l.Level != bom.LevelBoard && (l.Points[0].Total.Unpriced || !l.Points[1].Total.Unpriced) {
			t.Errorf("%s: what the stock does not cover is not marked: %+v", l.Level, l.Points)
		}
	}
	run.Rules.Without = []string{"Nobody"}
	if levels, problems := sweep.Levels(run); levels != nil || !problems.Failed() {
		t.Error("a run that cannot be estimated has levels")
	}
}
