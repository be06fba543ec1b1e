package cost_test

import (
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost"
)

// input is a run typed as CSV texts: files by name, of which unit.csv is the
// unit's bill of materials and prices/… are the tabs of the price sheet.
type input map[string]string

// read turns the texts into a run, and fails the test where they do not read.
func (in input) read(t testing.TB) cost.Run {
	t.Helper()
	run, problems := in.tryRead()
	if problems.Failed() {
		t.Fatalf("the test's own input does not read: %v", problems)
	}
	return run
}

func (in input) tryRead() (cost.Run, bom.Problems) {
	open := func(name string) ([]bom.Table, bom.Problems) {
		text, ok := in[name]
		if !ok {
			return nil, bom.Problems{{Place: bom.Place{File: name}, What: "no such file"}}
		}
		return table.Read(name, []byte(text), table.DefaultLimits())
	}
	unit, problems := sheet.ReadBOM("unit.csv", open, sheet.Options{})
	var tables []bom.Table
	for _, tab := range bom.TabNames() {
		name := "prices/" + strings.ReplaceAll(tab, " ", "-") + ".csv"
		if _, ok := in[name]; ok {
			t, ps := open(name)
			tables, problems = append(tables, t...), append(problems, ps...)
		}
	}
	prices, ps := sheet.ReadPrices(tables, "prices", sheet.Options{})
	problems = append(problems, ps...)
	if !problems.Failed() {
		problems = append(problems, in.readPrints(unit, prices)...)
	}
	return cost.Run{Unit: unit, Prices: prices, Level: bom.LevelBuilt, Batches: []int{10}}, problems
}

// with gives a copy with some of the texts replaced.
func (in input) with(texts ...string) input {
	out := input{}
	for k, v := range in {
		out[k] = v
	}
	for i := 0; i < len(texts); i += 2 {
		out[texts[i]] = texts[i+1]
	}
	return out
}

// demo reads one of the demo runs from the fixtures.
func demo(t testing.TB, name string) input {
	t.Helper()
	in := input{}
	dir := filepath.Join("..", "fixtures", "demo", name)
	for _, pattern := range []string{"*.csv", "prices/*.csv", "*.stl", "*.gcode"} {
		files, err := filepath.Glob(filepath.Join(dir, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			in[path.Join(path.Dir(pattern), filepath.Base(f))] = string(text)
		}
	}
	return in
}

// compute estimates a run and fails the test on errors.
func compute(t testing.TB, run cost.Run) *cost.Estimate {
	t.Helper()
	e, problems := cost.Compute(run)
	if problems.Failed() {
		t.Fatalf("unexpected: %v", problems)
	}
	return e
}

// one estimates a run at one batch size.
func one(t testing.TB, run cost.Run, size int) cost.Batch {
	t.Helper()
	run.Batches = []int{size}
	return compute(t, run).Batches[0]
}

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func equal(t testing.TB, what string, got decimal.Decimal, want string) {
	t.Helper()
	if !got.Equal(d(want)) {
		t.Errorf("%s is %s; want %s", what, got, want)
	}
}
