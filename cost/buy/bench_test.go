package buy

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
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

func BenchmarkPlan25x5(b *testing.B)  { benchmark(b, 25, 5, 20) }
func BenchmarkPlan40x5(b *testing.B)  { benchmark(b, 40, 5, 50) }
func BenchmarkPlan120x8(b *testing.B) { benchmark(b, 120, 8, 50) }
