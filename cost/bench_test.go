package cost_test

import (
	"fmt"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost"
)

// linesRun is a run of so many lines, all but nine of which have two offers each
// with two breaks.
func linesRun(lines int) input {
	in := lamp.with()
	var unit, board, offers strings.Builder
	unit.WriteString(in["unit.csv"])
	board.WriteString(in["board.csv"])
	offers.WriteString(in["prices/offers.csv"])
	offer := func(part, supplier, pack string, cents int64) {
		price := decimal.New(cents, -3)
		fmt.Fprintf(&offers, "%s,%s,x,,1,1,%s,1,%s\n%s,%s,x,,1,1,%s,200,%s\n", part, supplier, pack, price, part, supplier, pack, price.Mul(decimal.New(8, -1)))
	}
	for i := range (lines - 8) / 2 {
		fmt.Fprintf(&board, "R%d,RES-%d,resistor,0603,SMT,,top\n", i+10, i)
		offer(fmt.Sprintf("RES-%d", i), "Corner Parts", "1", int64(20+7*i))
		offer(fmt.Sprintf("RES-%d", i), "Placing House", "1", int64(17+7*i))
	}
	for i := range (lines - 9) / 2 {
		fmt.Fprintf(&unit, ",%d,BOLT-%d,bolt,fastener,,,,,,,,1,,,\n", i%4+1, i)
		offer(fmt.Sprintf("BOLT-%d", i), "Corner Parts", "25", int64(600+50*i))
		offer(fmt.Sprintf("BOLT-%d", i), "Spool House", "50", int64(1100+90*i))
	}
	return in.with("unit.csv", unit.String(), "board.csv", board.String(), "prices/offers.csv", offers.String())
}

// asTheCommand collects garbage as cmd/tenoff does, for the rest of a benchmark.
func asTheCommand(b *testing.B) {
	before := debug.SetGCPercent(400)
	b.Cleanup(func() { debug.SetGCPercent(before) })
}

// BenchmarkEstimate computes 60 lines at 5 batch sizes, without files.
func BenchmarkEstimate(b *testing.B) {
	asTheCommand(b)
	run := linesRun(60).read(b)
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

// BenchmarkLines shows that an estimate takes time in proportion to its lines.
func BenchmarkLines(b *testing.B) {
	for _, lines := range []int{30, 60, 120, 240} {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			run := linesRun(lines).read(b)
			run.Batches = []int{10, 25, 40, 100, 200}
			b.ReportAllocs()
			for b.Loop() {
				compute(b, run)
			}
		})
	}
}

// BenchmarkSweepLines shows the same of a sweep, here over 100 sizes.
func BenchmarkSweepLines(b *testing.B) {
	for _, lines := range []int{30, 60, 120, 240} {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			run := linesRun(lines).read(b)
			b.ReportAllocs()
			for b.Loop() {
				sweep(b, run, 1, 100)
			}
		})
	}
}

// BenchmarkSweep computes 500 sizes of a run of more than 60 lines.
func BenchmarkSweep(b *testing.B) {
	run := linesRun(60).read(b)
	b.ReportAllocs()
	for b.Loop() {
		sweep(b, run, 1, 500)
	}
}

// BenchmarkSweepDemo computes 500 sizes of the larger demo.
func BenchmarkSweepDemo(b *testing.B) {
	run := demo(b, "frost-alarm").read(b)
	b.ReportAllocs()
	for b.Loop() {
		sweep(b, run, 1, 500)
	}
}
