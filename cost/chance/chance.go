// Package chance draws what may turn out otherwise: figures that are known only
// as a lowest, a most likely and a highest value, and how many of a number come
// out good.
//
//  1. [Pert] is the beta-PERT distribution of a figure, and [Curve] the same,
//     ready to be drawn from.
//  2. [Draws] draws figures and numbers of good ones from a seed, the same on
//     every machine.
//  3. [Quantiles] reads P10, P50 and P90 off what came out.
package chance

import "slices"

// Three are the values that are not exceeded in 10, 50 and 90 of 100 cases.
type Three struct{ P10, P50, P90 float64 }

// Quantiles sorts the values and reads P10, P50 and P90: of n values the one at
// rank ⌈n × share⌉, so that each is a value that occurred. Without values all
// are 0.
func Quantiles(values []float64) Three {
	if len(values) == 0 {
		return Three{}
	}
	slices.Sort(values)
	at := func(percent int) float64 { return values[max(0, (len(values)*percent+99)/100-1)] }
	return Three{at(10), at(50), at(90)}
}
