package chance

import "math"

// Pert is a three-point figure. Low ≤ Mode ≤ High; where all are equal it is
// certain.
type Pert struct{ Low, Mode, High float64 }

// Certain tells whether there is but one value.
func (p Pert) Certain() bool { return !(p.High > p.Low) }

// shape gives α = 1 + 4(m−a)/(b−a) and β = 1 + 4(b−m)/(b−a) (beta-PERT; Malcolm
// et al., Operations Research 7, 1959).
func (p Pert) shape() (alpha, beta float64) {
	width := p.High - p.Low
	return 1 + float64(4*(p.Mode-p.Low))/width, 1 + float64(4*(p.High-p.Mode))/width
}

// cells is how many steps of equal width a curve has. Within a step values are
// spread evenly, which puts no probability wrong by more than 0.0004, near an
// end that is hardly ever reached, and elsewhere by less than a tenth of that.
const cells = 512

// Curve is the distribution of a figure, ready to be drawn from. It is reckoned
// with the four operations and square roots alone, none of them fused with
// another (a conversion between a product and a sum sees to that: The Go
// Programming Language Specification, Floating-point operators), so that every
// machine draws the same values.
type Curve struct {
	low, width float64
	below      [cells + 1]float64 // probability of a value below each step's lower end
	first      [cells]uint16      // step at which to begin to look for a probability
}

// NewCurve prepares a figure that is not certain.
func NewCurve(p Pert) *Curve {
	c := &Curve{low: p.Low, width: p.High - p.Low}
	alpha, beta := p.shape()
	whole := lowerPart(alpha, beta, 0.5) + lowerPart(beta, alpha, 0.5)
	for i := 1; i < cells; i++ {
		x := float64(i) / cells
		if x <= 0.5 {
			c.below[i] = lowerPart(alpha, beta, x) / whole
		} else {
			c.below[i] = 1 - lowerPart(beta, alpha, 1-x)/whole
		}
	}
	c.below[cells] = 1
	step := 0
	for i := range c.first {
		for c.below[step+1] <= float64(i)/cells {
			step++
		}
		c.first[i] = uint16(step)
	}
	return c
}

// At is the value that is not exceeded with probability u, 0 ≤ u < 1.
func (c *Curve) At(u float64) float64 {
	i := int(c.first[int(u*cells)])
	for c.below[i+1] <= u {
		i++
	}
	x := (float64(i) + (u-c.below[i])/(c.below[i+1]-c.below[i])) / cells
	return c.low + float64(c.width*x)
}

// lowerPart is the incomplete beta function ∫₀ˣ t^(a−1) (1−t)^(b−1) dt for
// 0 < x ≤ 1/2 and a + b = 6, by its series
//
//	x^a (1−x)^b / a × Σ (a+b)…(a+b+n−1) / ((a+1)…(a+n)) x^n
//
// (NIST Digital Library of Mathematical Functions, 8.17.8 with 15.2.1).
func lowerPart(a, b, x float64) float64 {
	sum, term := 1.0, 1.0
	for n := 0.0; term > 1e-17*sum; n++ {
		term = float64(term * (a + b + n) / (a + 1 + n) * x)
		sum += term
	}
	// x^a (1−x)^b = (x / (1−x))^a × (1−x)^(a+b)
	y := 1 - x
	y2 := y * y
	return float64(power(x/y, a) * y2 * y2 * y2 / a * sum)
}

// power is x^a for x > 0 and 0 ≤ a < 8: whole powers by multiplication, and the
// rest of a, bit by bit, by square roots.
func power(x, a float64) float64 {
	whole, rest := math.Modf(a)
	out := 1.0
	for range int(whole) {
		out *= x
	}
	for root := x; rest > 0; {
		root = math.Sqrt(root)
		rest *= 2
		if rest >= 1 {
			out *= root
			rest--
		}
	}
	return out
}
