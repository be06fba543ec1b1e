// Package chance draws figures that are known only as a lowest, a most likely
// and a highest value.
//
// 1. [Pert] is the beta-PERT distribution of such a figure.
// 2. [Draws] draws numbers from a seed, the same on every machine.
// 3. [Quantiles] reads P10, P50 and P90 off what came out.
package chance

import (
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Pert is a three-point figure. Low ≤ Mode ≤ High; where all are equal it is
// certain.
type Pert struct{ Low, Mode, High float64 }

// shape gives α = 1 + 4(m−a)/(b−a) and β = 1 + 4(b−m)/(b−a) (beta-PERT; Malcolm
// et al., Operations Research 7, 1959).
func (p Pert) shape() (alpha, beta float64) {
	width := p.High - p.Low
	return 1 + 4*(p.Mode-p.Low)/width, 1 + 4*(p.High-p.Mode)/width
}

// Certain tells whether there is but one value.
func (p Pert) Certain() bool { return !(p.High > p.Low) }

// Mean is (a + 4m + b) / 6.
func (p Pert) Mean() float64 { return (p.Low + 4*p.Mode + p.High) / 6 }

// Quantile is the value that is not exceeded with probability u, 0 ≤ u ≤ 1.
func (p Pert) Quantile(u float64) float64 {
	if p.Certain() {
		return p.Mode
	}
	alpha, beta := p.shape()
	return p.Low + (p.High-p.Low)*mathext.InvRegIncBeta(alpha, beta, u)
}

// Draws is a stream of random numbers.
type Draws struct {
	source rand.Source
	r      *rand.Rand
}

// NewDraws starts a stream; stream tells apart several of one seed.
func NewDraws(seed, stream uint64) *Draws {
	source := rand.NewPCG(seed, stream)
	return &Draws{source, rand.New(source)}
}

// Pert draws a figure, by the inverse of its distribution: one number of the
// stream for each.
func (d *Draws) Pert(p Pert) float64 { return p.Quantile(d.r.Float64()) }

// oneByOne is the number up to which each is drawn by itself.
const oneByOne = 1000

// Good draws how many of n come out good, each with the same chance.
func (d *Draws) Good(n int, chance float64) int {
	switch {
	case chance <= 0:
		return 0
	case chance >= 1:
		return n
	case n > oneByOne:
		return int(distuv.Binomial{N: float64(n), P: chance, Src: d.source}.Rand())
	}
	good := 0
	for range n {
		if d.r.Float64() < chance {
			good++
		}
	}
	return good
}

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
