package workbook

import (
	"io"
	"io/fs"
	"path"
	"testing"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost"
	"tenoff/fixtures"
)

// demo computes a demo run.
func demo(t testing.TB, d fixtures.Demo, level bom.Level) *cost.Estimate {
	t.Helper()
	return estimated(t, demoRun(t, d, level))
}

func estimated(t testing.TB, run cost.Run) *cost.Estimate {
	t.Helper()
	e, ps := cost.Compute(run)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return e
}

// demoRun reads a demo run.
func demoRun(t testing.TB, d fixtures.Demo, level bom.Level) cost.Run {
	t.Helper()
	open := func(name string) ([]bom.Table, bom.Problems) {
		data, err := fs.ReadFile(d.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		return table.Read(name, data, table.DefaultLimits())
	}
	unit, problems := sheet.ReadBOM(d.BOM, open, sheet.Options{})
	names, err := fs.Glob(d.Files, path.Join(d.Prices, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var tabs []bom.Table
	for _, name := range names {
		tables, ps := open(name)
		tabs, problems = append(tabs, tables...), append(problems, ps...)
	}
	prices, ps := sheet.ReadPrices(tabs, d.Prices, sheet.Options{})
	if problems = append(problems, ps...); problems.Failed() {
		t.Fatal(problems)
	}
	readPrints(t, d.Files, unit, prices)
	return cost.Run{Name: d.Unit, Unit: unit, Prices: prices, Level: level, Batches: d.Batches}
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
