package buy

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

// The benchmarks report, besides the mean, the median and the slowest of their
// seeds: a mean hides the one run that takes for ever.
func benchmark(b *testing.B, parts, suppliers, seeds int) {
	var runs []Problem
	for seed := range seeds {
		r := rand.New(rand.NewPCG(uint64(seed), uint64(parts)))
		runs = append(runs, randomRun(r, usual(parts, suppliers)))
	}
	times := make([]time.Duration, seeds)
	for b.Loop() {
		for i, p := range runs {
			start := time.Now()
			plan, err := Solve(p)
			if err != nil || !plan.Proven {
				b.Fatalf("seed %d: %v, proven %v", i, err, plan.Proven)
			}
			times[i] = time.Since(start)
		}
	}
	slices.Sort(times)
	b.ReportMetric(float64(times[seeds/2].Microseconds())/1000, "median-ms")
	b.ReportMetric(float64(times[seeds-1].Microseconds())/1000, "slowest-ms")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkReference times CBC on the first runs of the same benchmarks, in a
// program that is easier than ours: without the roundings of lines, duty and
// tax. It is stopped after 100 s a run.
func benchmarkReference(b *testing.B, parts, suppliers, seeds int) {
	checks.Program(b, "cbc")
	var ours, theirs []time.Duration
	for b.Loop() {
		ours, theirs = nil, nil
		for seed := range seeds {
			p := randomRun(rand.New(rand.NewPCG(uint64(seed), uint64(parts))), usual(parts, suppliers))
			start := time.Now()
			if _, err := Solve(p); err != nil {
				b.Fatal(err)
			}
			ours = append(ours, time.Since(start))
			g := programOf(p, true)
			start = time.Now()
			runReference(b, g)
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
			if plan, err := s.Solve(demand, fixed); err != nil || !plan.Proven {
				b.Fatalf("size %d: %v, proven %v", n+1, err, plan.Proven)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/100, "ms/size")
}
