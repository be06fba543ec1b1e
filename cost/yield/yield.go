// Package yield answers how many must be begun so that enough come out good.
//
//  1. [Board] gives the share of good boards from the defects per million
//     opportunities (IPC-7912).
//  2. [Enough] gives the number to start so that, with the wanted confidence, the
//     number of good ones reaches the batch.
//
// Defects are taken as independent of each other.
package yield

import (
	"errors"
	"math"
	"math/big"

	"github.com/shopspring/decimal"
	"gonum.org/v1/gonum/mathext"
)

// Board is the share of good boards, (1 − DPMO/10⁶)^opportunities (IPC-7912);
// opportunities are placements plus solder joints of one board.
func Board(dpmo float64, opportunities int) float64 {
	if dpmo <= 0 || opportunities <= 0 {
		return 1
	}
	return math.Exp(float64(opportunities) * math.Log1p(-dpmo/1e6))
}

// MaxStarts bounds what [Enough] looks through.
const MaxStarts = 100_000_000

// ErrHopeless says that no number of starts within [MaxStarts] is enough.
var ErrHopeless = errors.New("the yield is so low that no reasonable number of starts is enough")

// Enough is the smallest n with P(Binomial(n, yield) ≥ good) ≥ confidence, both
// as shares of one. A yield of one or more needs no spare. ErrHopeless is
// returned where n would exceed MaxStarts.
//
// P(Binomial(n, y) ≥ N) is the regularised incomplete beta function
// I_y(N, n−N+1) (NIST Digital Library of Mathematical Functions, 8.17.5).
func Enough(good int, yield, confidence float64) (int, error) {
	if good <= 0 {
		return 0, nil
	}
	if yield >= 1 {
		return good, nil
	}
	if !(yield > 0) || !(confidence < 1) {
		return 0, ErrHopeless
	}
	low, high := good-1, good // low is never enough, high becomes so
	for !isEnough(high, good, yield, confidence) {
		low, high = high, high+max(1, high-good+1)
		if high > MaxStarts {
			return 0, ErrHopeless
		}
	}
	for high-low > 1 {
		if mid := low + (high-low)/2; isEnough(mid, good, yield, confidence) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, nil
}

// A probability this near to the confidence may be equal to it (one unit at
// 95 % yield and 95 % confidence), which floating point cannot tell; ties need
// few starts, since the probability is a fraction with denominator 100ⁿ.
const (
	nearTie      = 1e-9
	exactAtMost  = 400
	yieldDecimal = 12
)

func isEnough(n, good int, yield, confidence float64) bool {
	p := mathext.RegIncBeta(float64(good), float64(n-good+1), yield)
	if math.Abs(p-confidence) > nearTie || n > exactAtMost {
		return p >= confidence
	}
	return exactly(n, good, rational(yield)).Cmp(rational(confidence)) >= 0
}

// rational reads a share back as the decimal fraction that was typed.
func rational(share float64) *big.Rat {
	return decimal.NewFromFloat(share).Round(yieldDecimal).Rat()
}

// exactly sums the binomial probabilities of good, …, n successes in rationals.
func exactly(n, good int, y *big.Rat) *big.Rat {
	bad := new(big.Rat).Sub(big.NewRat(1, 1), y)
	term := big.NewRat(1, 1) // C(n,k) y^k bad^(n-k), from k = n down
	for range n {
		term.Mul(term, y)
	}
	sum := new(big.Rat).Set(term)
	step := new(big.Rat).Quo(bad, y)
	for k := n; k > good; k-- {
		term.Mul(term, step)
		term.Mul(term, big.NewRat(int64(k), int64(n-k+1)))
		sum.Add(sum, term)
	}
	return sum
}
