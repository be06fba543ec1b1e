package buy

import (
	"math"
	"slices"
)

// A part pays a consign fee or it does not: how many do is a whole number. Where the
// assembler's order has room for some of the parts alone, the relaxed problem takes a
// fraction of a part, and which one it is hardly matters. Nodes are divided at that
// number then, and a fee has a price of its own: what it counts for beside itself.

// paying is how many parts of a node pay a consign fee.
type paying struct{ least, most int }

// unbounded is that of a node where anything is possible.
func unbounded(s *search) paying { return paying{0, len(s.parts)} }

// feesBound tells whether a node says how many parts pay a fee.
func feesBound(s *search, n *node) bool { return n.paying != unbounded(s) }

// feePrice is what each fee counts for beside itself.
func feePrice(s *search, n *node, price []float64) float64 {
	if s.fees.at == 0 || !feesBound(s, n) {
		return 0
	}
	return s.fees.scale * price[s.fees.at]
}

// feesAsked is the number of fees at which a price of theirs leaves least, and that.
func (n *node) feesAsked(price float64) (value float64, least, most int) {
	switch least, most = n.paying.least, n.paying.most; {
	case price > 0:
		least = most
	case price < 0:
		most = least
	}
	return -price * float64(least), least, most
}

// splitFees divides a node at the number of parts that pay a fee; nil where the relaxed
// problem takes a whole number of them.
func splitFees(s *search, n *node) []*node {
	if s.m.consign == 0 || s.ties || !s.after(feesFrom) {
		return nil
	}
	at := int(math.Floor(n.fees + feesWhole))
	if n.fees < float64(at)+feesWhole || at < n.paying.least || at >= n.paying.most || !s.eager && s.target()-n.bound < feesOver {
		return nil
	}
	if s.fees.at == 0 {
		s.fees = second{s.prices, float64(s.m.consign)}
		s.prices++
	}
	var out []*node
	for _, part := range []paying{{n.paying.least, at}, {at + 1, n.paying.most}} {
		if m := s.newNode(n, slices.Clone(n.mask), n.rules); m != nil {
			m.paying = part
			out = append(out, m)
		}
	}
	return out
}

// After how many steps for each part nodes are divided so, how far from a whole number
// it has to be, and how far off the best plan, in home minor units.
const feesFrom, feesWhole, feesOver = 5000, 0.01, 20
