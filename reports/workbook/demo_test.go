package workbook

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"testing"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost"
	"tenoff/fixtures"
	"tenoff/reports"
)

// demo computes a demo run.
func demo(t testing.TB, d fixtures.Demo, level bom.Level) *reports.Report {
	t.Helper()
	return estimated(t, demoRun(t, d, level))
}

func estimated(t testing.TB, run cost.Run) *reports.Report {
	t.Helper()
	e, ps := cost.Compute(run)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return &reports.Report{Estimate: e}
}

// demoRun reads a demo run.
func demoRun(t testing.TB, d fixtures.Demo, level bom.Level) cost.Run {
	t.Helper()
	unit, problems := sheet.ReadBOM(d.BOM, opener(t, d), sheet.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	prices := demoPrices(t, d)
	readPrints(t, d.Files, unit, prices)
	return cost.Run{Name: d.Unit, Unit: unit, Prices: prices, Level: level, Batches: d.Batches}
}

// opener opens the files of a demo run.
func opener(t testing.TB, d fixtures.Demo) sheet.Opener {
	return func(name string) ([]bom.Table, bom.Problems) {
		data, err := fs.ReadFile(d.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		return table.Read(name, data, table.DefaultLimits())
	}
}

func demoPrices(t testing.TB, d fixtures.Demo) *bom.Prices {
	t.Helper()
	names, err := fs.Glob(d.Files, path.Join(d.Prices, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var tabs []bom.Table
	var problems bom.Problems
	open := opener(t, d)
	for _, name := range names {
		tables, ps := open(name)
		tabs, problems = append(tabs, tables...), append(problems, ps...)
	}
	prices, ps := sheet.ReadPrices(tabs, d.Prices, sheet.Options{})
	if problems = append(problems, ps...); problems.Failed() {
		t.Fatal(problems)
	}
	return prices
}

// programmeRun is the demo of several products, in plans of so many of each.
func programmeRun(t testing.TB, plans ...[]int) cost.Run {
	t.Helper()
	d := fixtures.Demos()[0]
	open := opener(t, d)
	programme, problems := sheet.ReadProgramme(fixtures.RunFile, open, sheet.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	prices := demoPrices(t, d)
	for i := range programme.Products {
		p := &programme.Products[i]
		if p.Unit, problems = sheet.ReadBOM(p.BOM, open, sheet.Options{}); problems.Failed() {
			t.Fatal(problems)
		}
		readPrints(t, d.Files, p.Unit, prices)
	}
	run := cost.Run{Name: "alarms and spares", Prices: prices, Programme: programme}
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
