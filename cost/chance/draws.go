package chance

import (
	"hash/fnv"
	"math"
	"math/bits"
	"math/rand/v2"
)

// Draws is a stream of random numbers.
type Draws struct{ source *rand.PCG }

// NewDraws starts the stream that a name has under a seed. Neither the other
// streams nor their order change what it draws.
func NewDraws(seed uint64, name string) *Draws {
	h := fnv.New64a()
	h.Write([]byte(name)) // never fails
	return &Draws{rand.NewPCG(seed, h.Sum64())}
}

// even is a number of 53 bits, evenly spread over 0 ≤ u < 1.
func (d *Draws) even() float64 { return float64(d.source.Uint64()>>11) * 0x1p-53 }

// From draws a figure: one number of the stream for each.
func (d *Draws) From(c *Curve) float64 { return c.At(d.even()) }

// lanes is how many are tossed at once.
const lanes = 64

// Good draws how many of n come out good, each with the same chance: a draw of
// the binomial distribution. Each of them is good where a number that is evenly
// spread over 0 to 1 lies under the chance. Such numbers are drawn for 64 at a
// time, one binary digit after the other from the first on, until each of them
// differs from the chance: seven or eight numbers of the stream for 64.
func (d *Draws) Good(n int, chance float64) int {
	switch {
	case !(chance > 0):
		return 0
	case chance >= 1:
		return n
	}
	digits := uint64(math.Ldexp(chance, 64))
	good := 0
	for ; n > 0; n -= lanes {
		open := ^uint64(0) >> (lanes - min(n, lanes)) // those that are not settled
		for rest := digits; open != 0 && rest != 0; rest <<= 1 {
			drawn := d.source.Uint64()
			if rest>>63 == 1 {
				good += bits.OnesCount64(open &^ drawn) // 0 where the chance has 1: under it
				open &= drawn
			} else {
				open &^= drawn // 1 where the chance has 0: over it
			}
		}
	}
	return good
}

// Tries draws how many have to be begun until n come out good where each fails
// with the same chance, under 1: what fails is begun again, and again where it
// fails again.
func (d *Draws) Tries(n int, failure float64) int {
	begun := n
	for again := d.Good(n, failure); again > 0; again = d.Good(again, failure) {
		begun += again
	}
	return begun
}
