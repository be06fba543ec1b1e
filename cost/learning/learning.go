// Package learning tells how much sooner the hundredth unit is done than the
// first: Crawford's unit form of Wright's law, in which unit i takes
// i^log₂(rate) of the time of the first.
//
// It must not be mixed with the cumulative-average form, which gives other
// totals for the same rate.
package learning

import "math"

// Lot is the time of n units after so many were made before, as a multiple of that of the
// unit at which the time was taken: Σ (i/t)^log₂(rate) for k < i ≤ k + n.
//
// The terms are added one by one up to a hundredth unit, and where there are no more of
// them than that; beyond, Euler and Maclaurin's formula carries the sum on with an error
// far below 10⁻¹².
func Lot(before, n, timedAt int, rate float64) float64 {
	if n <= 0 {
		return 0
	}
	if rate == 1 {
		return float64(n)
	}
	b := math.Log2(rate)
	const direct = 100
	from, to, last := before+1, before+n, before+n
	if n > direct {
		last = max(before, direct)
	}
	sum := 0.0
	for i := from; i <= last; i++ {
		sum += math.Pow(float64(i), b)
	}
	if last < to {
		sum += tail(float64(last), float64(to), b)
	}
	return sum * math.Pow(float64(timedAt), -b)
}

// tail is Σ i^b for a < i ≤ n.
func tail(a, n, b float64) float64 {
	integral := math.Log(n / a)
	if b != -1 {
		integral = (math.Pow(n, b+1) - math.Pow(a, b+1)) / (b + 1)
	}
	f := func(x float64) float64 { return math.Pow(x, b) }
	d1 := func(x float64) float64 { return b * math.Pow(x, b-1) }
	d3 := func(x float64) float64 { return b * (b - 1) * (b - 2) * math.Pow(x, b-3) }
	return integral + (f(n)-f(a))/2 + (d1(n)-d1(a))/12 - (d3(n)-d3(a))/720
}
