package buy

import (
	"math"
	"math/bits"
	"slices"
)

// refine divides a node at the value of an order of which so much is open that the share
// of the delivery in the duty of its lines is too: each half gets a mode of its own. Nil
// where no order needs it.
func refine(s *search, n *node) (out []*node) {
	at, mode, worst := -1, 0, looseDuty
	for i := range n.mask {
		if !s.m.diluted(&s.m.suppliers[i]) {
			continue
		}
		for left := n.mask[i]; left != 0; left &= left - 1 {
			k := bits.TrailingZeros64(left)
			if loose := loose(s, i, k); loose > worst && len(s.modes[i])+2 <= mostModes {
				at, mode, worst = i, k, loose
			}
		}
	}
	if at < 0 {
		return nil
	}
	for _, half := range halves(s, at, mode) {
		mask := slices.Clone(n.mask)
		if mask[at] &^= 1 << mode; half >= 0 {
			mask[at] |= 1 << half
		}
		if m := s.newNode(n, mask, n.rules); m != nil {
			out = append(out, m)
		}
	}
	return out
}

// looseDuty is how much of an order's duty may be open, in home minor units, and
// mostModes how many modes there is room for.
const looseDuty, mostModes = 1.0, 64

// loose is how much duty on the delivery can differ within a mode.
func loose(s *search, supplier, mode int) float64 {
	md := &s.modes[supplier][mode]
	if md.steep == 0 || md.insured == 0 {
		return 0
	}
	from, to := md.values()
	if from >= to {
		return 0
	}
	less, more := s.m.suppliers[supplier].besideDuty(md, &s.reached[supplier], to)
	return md.steep * md.insured * (1/float64(max(1, from)) - 1/float64(max(1, to))) / 2 * float64(max(more, -less))
}

// halves gives the modes of the halves of a mode's values; -1 where one of them has no
// goods.
func halves(s *search, supplier, mode int) [2]int {
	md := s.modes[supplier][mode]
	if md.halves != [2]int{} {
		return md.halves
	}
	from, to := md.values()
	middle := int64(math.Sqrt(float64(max(1, from)) * float64(to)))
	middle = min(max(middle, from), to-1)
	var out [2]int
	for k := range out {
		half := md
		if k == 0 {
			half.to = middle
		} else {
			half.from = middle + 1
		}
		if !half.topped {
			half.lo.home, half.hi.home = max(half.lo.home, half.from), min(half.hi.home, half.to)
		}
		if half.corners = s.m.suppliers[supplier].corners(&half, s.reached[supplier].beside); len(half.corners) == 0 {
			out[k] = -1
			continue
		}
		out[k] = len(s.modes[supplier])
		s.modes[supplier] = append(s.modes[supplier], half)
	}
	s.modes[supplier][mode].halves = out
	return out
}
