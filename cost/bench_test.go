package cost_test

import (
	"fmt"
	"testing"

	"tenoff/cost"
	"tenoff/fixtures/typed"
)

// BenchmarkEstimate computes 60 lines at 5 batch sizes, without files.
func BenchmarkEstimate(b *testing.B) {
	typed.AsTheCommand(b)
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
	typed.AsTheCommand(b)
	run := demo(b, "frost-alarm").read(b)
	run.Batches = []int{10, 40, 100}
	b.ReportAllocs()
	for b.Loop() {
		compute(b, run)
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
	typed.AsTheCommand(b)
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
