package workbook

import (
	"fmt"
	"io"
	"testing"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/cost"
	"tenoff/fixtures"
	"tenoff/fixtures/typed"
	"tenoff/reports"
)

// demo computes a demo run.
func demo(t testing.TB, d fixtures.Demo, level bom.Level) *reports.Report {
	t.Helper()
	return estimated(t, demoRun(t, d, level))
}

func estimated(t testing.TB, run cost.Run) *reports.Report {
	t.Helper()
	return &reports.Report{Estimate: typed.Compute(t, run)}
}

// demoRun reads a demo run.
func demoRun(t testing.TB, d fixtures.Demo, level bom.Level) cost.Run {
	t.Helper()
	run := typed.Demo(t, d.Name).Read(t)
	run.Name, run.Level, run.Batches = d.Unit, level, d.Batches
	return run
}

// programmeRun is the demo of several products, in plans of so many of each.
func programmeRun(t testing.TB, plans ...[]int) cost.Run {
	t.Helper()
	in := typed.Demo(t, fixtures.Demos()[0].Name)
	programme, problems := sheet.ReadProgramme(fixtures.RunFile, in.Open, sheet.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	run := cost.Run{Name: "alarms and spares", Prices: in.Read(t).Prices, Programme: programme}
	for i := range programme.Products {
		p := &programme.Products[i]
		p.Unit = in.Unit(t, p.BOM, run.Prices)
	}
	if len(plans) > 0 {
		programme.Plans = nil
	}
	for i, units := range plans {
		programme.Plans = append(programme.Plans, bom.Plan{Name: fmt.Sprintf("Run %d", i+1), Units: units})
	}
	run.Unit = programme.Unit()
	for i := range programme.Plans {
		run.Batches = append(run.Batches, programme.Plans[i].All())
	}
	return run
}

// BenchmarkWriteDemo writes the workbook of the main demo run, three batches.
func BenchmarkWriteDemo(b *testing.B) {
	e := demo(b, fixtures.Demos()[0], bom.LevelBuilt)
	for b.Loop() {
		if err := Write(io.Discard, e, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
