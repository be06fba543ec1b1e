package calendar

import (
	"cmp"
	"iter"
	"slices"
)

// Improving ends after so many plates were looked at: about a hundredth of a
// second.
const enoughWork = 500_000

// improve exchanges plates between a machine and one that ends sooner, one for
// none, one, or two, and two for one, as long as both end sooner than the first
// did.
func (s *shop) improve(bound int64) {
	for i := range s.machines {
		m := &s.machines[i]
		m.queue, m.end = s.arrange(m.queue)
	}
	for s.finish() > bound && s.work < enoughWork && s.exchange() {
	}
}

// exchange makes one improvement, of the machines that end last if it can, else
// of others, which may make room for those; false where there is none.
func (s *shop) exchange() bool {
	last := s.finish()
	for _, latest := range [2]bool{true, false} {
		for i := range s.machines {
			from := &s.machines[i]
			if (from.end == last) != latest {
				continue
			}
			for j := range s.machines {
				to := &s.machines[j]
				if to.end < from.end && (s.give(from, to, 1, 0) || s.give(from, to, 1, 1) || s.give(from, to, 2, 1) || s.give(from, to, 1, 2)) {
					return true
				}
			}
		}
	}
	return false
}

// give looks for a number of plates of one machine to be exchanged for some of
// another, each at most two. Plates of one length are as good as each other: only
// the first of them are tried.
func (s *shop) give(from, to *machine, n, back int) bool {
	mine, theirs := s.firsts(from.queue), s.firsts(to.queue)
	for out := range choices(mine, n) {
		for in := range choices(theirs, back) {
			if s.work++; s.work > enoughWork {
				return false
			}
			a, endA := s.arrange(traded(from.queue, out, to.queue, in))
			if endA >= from.end {
				continue
			}
			b, endB := s.arrange(traded(to.queue, in, from.queue, out))
			if endB >= from.end {
				continue
			}
			from.queue, from.end = a, endA
			to.queue, to.end = b, endB
			return true
		}
	}
	return false
}

// spot is a place in a queue.
type spot struct {
	at      int
	seconds int64 // of the plate there
	again   bool  // a plate of the same length stands before it
}

// firsts lists where the first two plates of each length stand in a queue.
func (s *shop) firsts(queue []int) []spot {
	var out []spot
	met := map[int64]int{}
	for at, j := range queue {
		if seconds := s.seconds[j]; met[seconds] < 2 {
			out = append(out, spot{at, seconds, met[seconds] == 1})
			met[seconds]++
		}
	}
	return out
}

// choices goes through all ways to choose k spots, k at most 2, that differ in
// the lengths of their plates, and gives the places. What it yields is valid until
// the next.
func choices(spots []spot, k int) iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		c := make([]int, k)
		if k == 0 {
			yield(c)
			return
		}
		for i, a := range spots {
			if a.again {
				continue
			}
			if c[0] = a.at; k == 1 {
				if !yield(c) {
					return
				}
				continue
			}
			for _, b := range spots[i+1:] {
				if b.again && b.seconds != a.seconds {
					continue
				}
				if c[1] = b.at; !yield(c) {
					return
				}
			}
		}
	}
}

// traded is a queue without some of its positions and with some of another's.
func traded(queue, without, other, with []int) []int {
	out := make([]int, 0, len(queue)+len(with))
	for i, j := range queue {
		if !slices.Contains(without, i) {
			out = append(out, j)
		}
	}
	for _, i := range with {
		out = append(out, other[i])
	}
	return out
}

// arrange looks for an order in which a machine is through soonest: the longest
// first; the shortest first; and, as long as it is attended, the longest that
// ends while it still is, the longest of all last for the night.
func (s *shop) arrange(plates []int) (queue []int, end int64) {
	queue = slices.Clone(plates)
	slices.SortStableFunc(queue, func(a, b int) int { return cmp.Compare(s.seconds[b], s.seconds[a]) })
	s.work += len(queue)
	end = s.through(queue)
	if s.from == s.to {
		return queue, end
	}
	other := slices.Clone(queue)
	slices.Reverse(other)
	for _, try := range [][]int{other, s.byDay(queue)} {
		if e := s.through(try); e < end {
			queue, end = try, e
		}
	}
	return queue, end
}

// byDay fills each day with plates that end in attended hours and leaves the
// longest for the night. The plates come longest first.
func (s *shop) byDay(plates []int) []int {
	left := slices.Clone(plates)
	out := make([]int, 0, len(plates))
	t := int64(0)
	for len(left) > 0 {
		t = s.start(t, 0)
		pick := 0
		for i, j := range left {
			s.work++
			seconds := s.seconds[j]
			if e := t + seconds; s.watched && s.start(t, seconds) == t || !s.watched && s.start(e, 0) == e {
				pick = i
				break
			}
		}
		seconds := s.seconds[left[pick]]
		out = append(out, left[pick])
		t = s.start(t, seconds) + seconds
		left = slices.Delete(left, pick, pick+1)
	}
	return out
}
