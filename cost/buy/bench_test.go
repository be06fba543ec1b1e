package buy

import (
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"tenoff/bom"
	"tenoff/cost/workers"
	"tenoff/fixtures/checks"
)

// The benchmarks report, besides the mean, the median and the slowest of their
// seeds: a mean hides the one run that takes for ever.
func benchmark(b *testing.B, parts, suppliers, seeds int) {
	benchmarkRuns(b, seeds, func(seed int) Problem {
		return randomRun(rand.New(rand.NewPCG(uint64(seed), uint64(parts))), usual(parts, suppliers))
	})
}

// customsRun is a usual run with all that customs can ask for a line.
func customsRun(parts, suppliers, seed int) Problem {
	r := rand.New(rand.NewPCG(uint64(seed), uint64(parts)))
	p := randomRun(r, usual(parts, suppliers))
	customs(r, &p, 150)
	return p
}

func benchmarkRuns(b *testing.B, seeds int, run func(seed int) Problem) {
	var runs []Problem
	for seed := range seeds {
		runs = append(runs, run(seed))
	}
	times, proven := make([]time.Duration, seeds), 0
	for b.Loop() {
		proven = 0
		for i, p := range runs {
			start := time.Now()
			plan, err := Solve(p)
			if err != nil {
				b.Fatalf("seed %d: %v", i, err)
			}
			if times[i] = time.Since(start); plan.Proven {
				proven++
			}
		}
	}
	slices.Sort(times)
	b.ReportMetric(float64(proven)/float64(seeds)*100, "%proven")
	b.ReportMetric(float64(times[seeds/2].Microseconds())/1000, "median-ms")
	b.ReportMetric(float64(times[seeds-1].Microseconds())/1000, "slowest-ms")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkReference times CBC on the first runs of the same benchmarks, in a
// program that is easier than ours: without the roundings of lines, duty and
// tax. It is stopped after 100 s a run.
func benchmarkReference(b *testing.B, parts, suppliers, seeds int) {
	benchmarkAgainst(b, seeds, func(seed int) Problem {
		return randomRun(rand.New(rand.NewPCG(uint64(seed), uint64(parts))), usual(parts, suppliers))
	})
}

func benchmarkAgainst(b *testing.B, seeds int, run func(seed int) Problem) {
	checks.Program(b, "cbc")
	var ours, theirs []time.Duration
	for b.Loop() {
		ours, theirs = nil, nil
		for seed := range seeds {
			p := run(seed)
			start := time.Now()
			if _, err := Solve(p); err != nil {
				b.Fatal(err)
			}
			ours = append(ours, time.Since(start))
			g := programOf(p, true)
			start = time.Now()
			runReference(b, g, enough)
			theirs = append(theirs, time.Since(start))
		}
	}
	slices.Sort(ours)
	slices.Sort(theirs)
	b.ReportMetric(theirs[seeds/2].Seconds()*1000, "median-ms")
	b.ReportMetric(theirs[seeds-1].Seconds()*1000, "slowest-ms")
	b.ReportMetric(theirs[seeds/2].Seconds()/ours[seeds/2].Seconds(), "times-ours")
	b.ReportMetric(0, "ns/op")
}

func BenchmarkReference40x5(b *testing.B)  { benchmarkReference(b, 40, 5, 15) }
func BenchmarkReference120x8(b *testing.B) { benchmarkReference(b, 120, 8, 5) }

// BenchmarkCustoms plans runs with flat duty for each heading, duty of lines' own, line
// fees and parts sent to the assembler.
func BenchmarkCustoms60x5(b *testing.B) {
	benchmarkRuns(b, 20, func(seed int) Problem { return customsRun(60, 5, seed) })
}

func BenchmarkPlan25x5(b *testing.B)  { benchmark(b, 25, 5, 20) }
func BenchmarkPlan40x5(b *testing.B)  { benchmark(b, 40, 5, 50) }
func BenchmarkPlan120x8(b *testing.B) { benchmark(b, 120, 8, 50) }

// BenchmarkSweep plans one run of 40 parts and 5 suppliers at 100 batch sizes,
// with what does not change between them read once.
func BenchmarkSweep40x5(b *testing.B) {
	p := randomRun(rand.New(rand.NewPCG(3, 40)), usual(40, 5))
	s, err := New(p)
	if err != nil {
		b.Fatal(err)
	}
	full, fixed := demands(p)
	demand := slices.Clone(full)
	b.ReportAllocs()
	for b.Loop() {
		for n := range 100 {
			for i := range full {
				demand[i] = bom.Whole(full[i].Ceil() * int64(n+1) / 100)
			}
			if plan, err := s.Solve(demand, nil, fixed); err != nil || !plan.Proven {
				b.Fatalf("size %d: %v, proven %v", n+1, err, plan.Proven)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/100, "ms/size")
}

// benchmarkHard plans a hundred hard runs with the default effort and tells how
// many are proven, within how many steps, and how far off the others can be.
func benchmarkHard(b *testing.B, parts, suppliers int) {
	const seeds = 100
	times, steps := make([]time.Duration, seeds), make([]int64, seeds)
	var offBy []float64 // of those that are not proven, in % of the landed cash
	for b.Loop() {
		offBy = nil
		for seed := range seeds {
			p := hardRun(parts, suppliers, seed)
			start := time.Now()
			plan, err := Solve(p)
			if err != nil {
				b.Fatal(err)
			}
			times[seed], steps[seed] = time.Since(start), plan.Steps
			if !plan.Proven {
				offBy = append(offBy, 100*plan.Landed.Sub(plan.Bound).Div(plan.Landed).InexactFloat64())
			}
		}
	}
	slices.Sort(times)
	slices.Sort(steps)
	slices.Sort(offBy)
	b.ReportMetric(float64(seeds-len(offBy)), "proven")
	b.ReportMetric(float64(steps[seeds/2]), "median-steps")
	b.ReportMetric(times[seeds/2].Seconds()*1000, "median-ms")
	b.ReportMetric(times[seeds-1].Seconds()*1000, "slowest-ms")
	if n := len(offBy); n > 0 {
		b.ReportMetric(offBy[n/2], "median-off-%")
		b.ReportMetric(offBy[n-1], "most-off-%")
	}
	b.ReportMetric(0, "ns/op")
}

func BenchmarkHard15x7(b *testing.B)  { benchmarkHard(b, 15, 7) }
func BenchmarkHard40x5(b *testing.B)  { benchmarkHard(b, 40, 5) }
func BenchmarkHard120x8(b *testing.B) { benchmarkHard(b, 120, 8) }

// BenchmarkHardReference times CBC on hard runs, in the program that is easier
// than ours: see BenchmarkReference.
func BenchmarkHardReference40x5(b *testing.B) {
	benchmarkAgainst(b, 15, func(seed int) Problem { return hardRun(40, 5, seed) })
}

// BenchmarkLineFees plans runs with fees of lines, and its reference times CBC on the first
// of them: see BenchmarkReference.
func BenchmarkLineFees40x5(b *testing.B) { benchmarkRuns(b, 20, lineFeeRun) }

func BenchmarkLineFeesReference40x5(b *testing.B) { benchmarkAgainst(b, 5, lineFeeRun) }

// BenchmarkHardSweep plans a hard run at 500 batch sizes on all processors, as a sweep does,
// each with an effort of its own.
func BenchmarkHardSweep40x5(b *testing.B) {
	const sizes = 500
	p := hardRun(40, 5, 9)
	first, err := New(p)
	if err != nil {
		b.Fatal(err)
	}
	full, fixed := demands(p)
	solvers := make([]*Solver, workers.Count(sizes))
	for i := range solvers {
		solvers[i] = first.Twin()
	}
	var proven atomic.Int64
	for b.Loop() {
		proven.Store(0)
		workers.AtOnce(sizes, func(worker, n int) bool {
			demand := make([]bom.Quantity, len(full))
			for i := range full {
				demand[i] = bom.Whole(full[i].Ceil() * int64(n+1) / (sizes / 2))
			}
			plan, err := solvers[worker].Solve(demand, nil, fixed)
			if err != nil {
				b.Error(err)
			} else if plan.Proven {
				proven.Add(1)
			}
			return err == nil
		})
	}
	b.ReportMetric(float64(proven.Load()), "proven")
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s")
}
