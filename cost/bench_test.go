package cost_test

import (
	"fmt"
	"runtime/debug"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/typed"
)

// asTheCommand collects garbage as cmd/tenoff does, for the rest of a benchmark.
func asTheCommand(b *testing.B) {
	before := debug.SetGCPercent(400)
	b.Cleanup(func() { debug.SetGCPercent(before) })
}

// BenchmarkEstimate computes 60 lines at 5 batch sizes, without files.
func BenchmarkEstimate(b *testing.B) {
	asTheCommand(b)
	run := typed.Lines(60).Read(b)
	run.Batches = []int{10, 25, 40, 100, 200}
	b.ReportAllocs()
	for b.Loop() {
		if _, problems := cost.Compute(run); problems.Failed() {
			b.Fatal(said(problems))
		}
	}
}

func BenchmarkDemo(b *testing.B) {
	asTheCommand(b)
	run := demo(b, "frost-alarm").read(b)
	run.Batches = []int{10, 40, 100}
	b.ReportAllocs()
	for b.Loop() {
		compute(b, run)
	}
}

// BenchmarkWaysOut finds every way out of three short parts of 60 lines: three substitutes,
// each for all units or in a mix, and waiting; 343 choices for all of them.
func BenchmarkWaysOut(b *testing.B) {
	asTheCommand(b)
	in := input(typed.Lines(60))
	offers := strings.Replace(in["prices/offers.csv"], "Price\n", "Price,More,More on\n", 1)
	rows := "Part number,Substitute,Extra per unit,Extra seconds per unit,Mix\n"
	for i, part := range []string{"TERM-2", "CHIP-8", "BOX-S"} {
		code := []string{"C-12", "C-8", "C-60"}[i]
		offers = strings.ReplaceAll(offers, part+",Corner Parts,"+code+",,1,1,1,1,", part+",Corner Parts,"+code+",30,1,1,1,1,")
		offers = strings.ReplaceAll(offers, part+",Corner Parts,"+code+",,1,1,1,25,", part+",Corner Parts,"+code+",30,1,1,1,25,")
		offers += fmt.Sprintf("%s,Far Parts,,10,1,1,1,1,1.40,500,2026-12-24\n", part)
		for n := range 3 {
			rows += fmt.Sprintf("%s,%s-%d,0.05,%d,yes\n", part, part, n, 10*n)
			offers += fmt.Sprintf("%s-%d,%s,,,1,1,1,1,%d.50\n", part, n, []string{"Corner Parts", "Far Parts", "Spool House"}[n], 1+n)
		}
	}
	run := in.with("prices/offers.csv", offers, "prices/substitutes.csv", rows).read(b)
	run.Batches, run.Today = []int{100}, bom.Date{Year: 2026, Month: 12, Day: 1}
	for b.Loop() {
		found, problems := cost.WaysOut(run)
		if problems.Failed() || len(found.Together) != 1 || found.Together[0].Tried != 343 || found.Together[0].Stuck != nil {
			b.Fatalf("%s %+v", said(problems), found)
		}
	}
}

// BenchmarkLines shows that an estimate takes time in proportion to its lines.
func BenchmarkLines(b *testing.B) {
	for _, lines := range []int{30, 60, 120, 240} {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			run := typed.Lines(lines).Read(b)
			run.Batches = []int{10, 25, 40, 100, 200}
			b.ReportAllocs()
			for b.Loop() {
				compute(b, run)
			}
		})
	}
}

// BenchmarkSubstitutes computes 60 lines at 5 batch sizes, with five substitutes that each
// may take.
func BenchmarkSubstitutes(b *testing.B) {
	asTheCommand(b)
	in := input(typed.Lines(60))
	offers, rows := in["prices/offers.csv"], "Part number,Substitute,Extra per unit,Mix\n"
	for i, part := range []string{"TERM-2", "CHIP-8", "BOX-S", "RES-3", "BOLT-2"} {
		rows += fmt.Sprintf("%s,%s-X,0.0%d,%s\n", part, part, i, []string{"yes", "no"}[i%2])
		offers += fmt.Sprintf("%s-X,%s,,150,1,1,1,1,0.%d\n", part, []string{"Corner Parts", "Far Parts", "Spool House"}[i%3], 10+7*i)
	}
	run := in.with("prices/offers.csv", offers, "prices/substitutes.csv", rows).read(b)
	run.Batches, run.Substitutes = []int{10, 25, 40, 100, 200}, true
	b.ReportAllocs()
	for b.Loop() {
		e, problems := cost.Compute(run)
		if problems.Failed() || len(e.Batches[4].Swaps) == 0 {
			b.Fatal(said(problems))
		}
	}
}
