package cutting

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Lead is a length and how many of it are wanted.
type Lead struct {
	Length int64
	Count  int
}

// Ring is a way to cut a ring, and how many rings are cut so.
type Ring struct {
	Times int
	Leads []int // of each length
	Rest  int64
}

// Plan is a way to cut all leads.
type Plan struct {
	Rings []Ring // those that are cut alike stand together
	Count int    // of rings
	Bound int    // no plan takes fewer
}

// The bounds of what is worked out: steps of improving, some thousandths of a second, and
// the number of parts that a ring is thought to consist of. Leads of a ring with more are
// taken for a little longer than they are.
const (
	cheap    = 1_000_000
	mostPart = 1 << 16
)

// Make plans the cuts. An error says which lead is longer than the ring, or is none.
func Make(ring int64, leads []Lead) (Plan, error) {
	for _, l := range leads {
		if l.Length <= 0 || l.Length > ring || l.Count < 0 {
			return Plan{}, fmt.Errorf("%d leads of %d cannot be cut from %d", l.Count, l.Length, ring)
		}
	}
	c := newCutter(ring, leads)
	best := c.firstFit()
	bound := c.bound()
	better := func(rings []Ring) bool {
		if count(rings) < count(best) {
			best = rings
		}
		return count(best) == bound
	}
	if !better(c.fill(c.fullest)) && !better(c.fill(c.withLongest)) {
		for c.correct(better) && c.work < cheap {
		}
	}
	for i := range best {
		best[i].Leads, best[i].Rest = c.given(best[i].Leads)
	}
	return Plan{Rings: best, Count: count(best), Bound: bound}, nil
}

func count(rings []Ring) (n int) {
	for _, r := range rings {
		n += r.Times
	}
	return n
}

// cutter holds the lengths, the longest first, in parts of the ring.
type cutter struct {
	ring    int64
	leads   []Lead // as they were given
	order   []int  // of them
	room    int    // parts of a ring
	lengths []int
	counts  []int
	values  []int64 // of the lengths, for the correction
	dice    uint64

	best, next []int64   // value in so much room
	taken      [][]int32 // of each length
	work       int
}

func newCutter(ring int64, leads []Lead) *cutter {
	c := &cutter{ring: ring, leads: leads, dice: 1}
	part := int64(0)
	for i, l := range leads {
		if l.Count > 0 {
			c.order = append(c.order, i)
			part = gcd(part, l.Length)
		}
	}
	slices.SortStableFunc(c.order, func(a, b int) int { return cmp.Compare(leads[b].Length, leads[a].Length) })
	part = max(1, part)
	if ring/part > mostPart {
		part = (ring + mostPart - 1) / mostPart
	}
	c.room = int(ring / part)
	for _, i := range c.order {
		length := int((leads[i].Length + part - 1) / part)
		// A lead that is as long as the ring still fits.
		c.lengths = append(c.lengths, min(length, c.room))
		c.counts = append(c.counts, leads[i].Count)
		c.values = append(c.values, int64(length)*valueUnit)
	}
	return c
}

func gcd(a, b int64) int64 {
	for b > 0 {
		a, b = b, a%b
	}
	return a
}

// given is what is cut from a ring, by the lengths as they were given, and what is left.
func (c *cutter) given(cuts []int) (leads []int, rest int64) {
	leads, rest = make([]int, len(c.leads)), c.ring
	for k, n := range cuts {
		leads[c.order[k]] = n
		rest -= int64(n) * c.leads[c.order[k]].Length
	}
	return leads, rest
}

// firstFit cuts the longest first, from the first ring that holds it. Rings that hold
// alike are cut alike.
func (c *cutter) firstFit() []Ring {
	var rings []Ring
	var left []int // parts of each kind of ring
	for k, length := range c.lengths {
		n := c.counts[k]
		for i := 0; i < len(rings) && n > 0; i++ {
			fit := min(left[i]/length, n)
			if fit == 0 {
				continue
			}
			full := min(n/fit, rings[i].Times)
			if full < rings[i].Times { // the others of this kind stay as they are, behind
				other := Ring{Times: rings[i].Times - full, Leads: slices.Clone(rings[i].Leads)}
				rings, left = slices.Insert(rings, i+1, other), slices.Insert(left, i+1, left[i])
			}
			rings[i].Times = full
			rings[i].Leads[k] += fit
			left[i] -= fit * length
			n -= full * fit
		}
		for n > 0 {
			each := min(c.room/length, n)
			r := Ring{Times: n / each, Leads: make([]int, len(c.lengths))}
			r.Leads[k] = each
			rings, left = append(rings, r), append(left, c.room-each*length)
			n -= r.Times * each
		}
	}
	return rings
}

// fill fills ring after ring. One that can be filled alike with what is left is repeated.
func (c *cutter) fill(next func(left []int) []int) (rings []Ring) {
	left := slices.Clone(c.counts)
	for slices.ContainsFunc(left, func(n int) bool { return n > 0 }) {
		cuts := next(left)
		times := -1
		for k, n := range cuts {
			if n > 0 && (times < 0 || left[k]/n < times) {
				times = left[k] / n
			}
		}
		for k, n := range cuts {
			left[k] -= times * n
		}
		rings = append(rings, Ring{Times: times, Leads: cuts})
	}
	return rings
}

// fullest fills a ring as full as can be.
func (c *cutter) fullest(left []int) []int { return c.sumUnder(c.room, left) }

// withLongest fills a ring with the longest that is left, and as full as can be.
func (c *cutter) withLongest(left []int) []int {
	k := slices.IndexFunc(left, func(n int) bool { return n > 0 })
	rest := slices.Clone(left)
	rest[k]--
	cuts := c.sumUnder(c.room-c.lengths[k], rest)
	cuts[k]++
	return cuts
}

// sumUnder takes the lengths whose sum comes nearest to some room, of several ways that
// with the most of the longest.
func (c *cutter) sumUnder(room int, left []int) []int {
	// sums[k] are the sums that the lengths from k on can come to.
	sums := make([]sumSet, len(left)+1)
	sums[len(left)] = newSums(room)
	sums[len(left)].set(0)
	for k := len(left) - 1; k >= 0; k-- {
		sums[k] = slices.Clone(sums[k+1])
		for range min(left[k], room/c.lengths[k]) {
			// One more of this length on what was reached with one fewer.
			next := slices.Clone(sums[k+1])
			next.addMoved(sums[k], c.lengths[k], room)
			sums[k] = next
			c.work += len(next)
		}
	}
	cuts, at := make([]int, len(left)), sums[0].last()
	for k := range left {
		for n := min(left[k], at/c.lengths[k]); n >= 0; n-- {
			if sums[k+1].has(at - n*c.lengths[k]) {
				cuts[k], at = n, at-n*c.lengths[k]
				break
			}
		}
	}
	return cuts
}

// bound is a number of rings that every plan takes: Martello and Toth's L2 (Knapsack
// Problems, 1990, section 8.3; cited from memory). For any length K up to half a ring,
// leads longer than the ring less K go with none of K or more, and no two over half go
// together.
func (c *cutter) bound() (most int) {
	ring := float64(c.ring)
	tries := []float64{0}
	for _, l := range c.leads {
		if 2*l.Length <= c.ring && l.Count > 0 {
			tries = append(tries, float64(l.Length))
		}
	}
	for _, limit := range tries {
		apart, free, rest := 0, 0.0, 0.0
		for _, l := range c.leads {
			length, n := float64(l.Length), float64(l.Count)
			switch {
			case length > ring-limit:
				apart += l.Count
			case 2*length > ring:
				apart += l.Count
				free += n * (ring - length)
			case length >= limit:
				rest += n * length
			}
		}
		const noise = 1e-9
		most = max(most, apart+max(0, int(math.Ceil((rest-free)/ring-noise))))
	}
	return most
}
