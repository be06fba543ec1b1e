package calendar

import (
	"cmp"
	"iter"
	"slices"
)

// Improving ends after so many jobs were looked at: about a hundredth of a
// second.
const enoughWork = 500_000

// improve exchanges jobs between a machine and one that ends sooner, one for
// none, one, or two, and two for one, as long as both end sooner than the first
// did.
func (s *shop) improve(bound int64) {
	for i := range s.machines {
		s.settle(&s.machines[i], s.machines[i].queue)
	}
	for s.finish() > bound && s.work < enoughWork && s.exchange() {
	}
}

// settle gives a machine jobs, in the best order that is found.
func (s *shop) settle(m *machine, jobs []int) {
	m.queue, m.end = s.arrange(m, jobs)
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

// give looks for a number of jobs of one machine to be exchanged for some of
// another, each at most two. Jobs of one length are as good as each other: only
// the first of them are tried.
func (s *shop) give(from, to *machine, n, back int) bool {
	mine, theirs := s.firsts(from, to), s.firsts(to, from)
	for out := range choices(mine, n) {
		for in := range choices(theirs, back) {
			if s.work++; s.work > enoughWork {
				return false
			}
			a, endA := s.arrange(from, traded(from.queue, out, to.queue, in))
			if endA >= from.end {
				continue
			}
			b, endB := s.arrange(to, traded(to.queue, in, from.queue, out))
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
	seconds int64 // of the job there
	again   bool  // a job of the same length stands before it
}

// firsts lists where the first two jobs of each length stand in a queue, of those
// that another machine can print.
func (s *shop) firsts(m, other *machine) []spot {
	var out []spot
	met := map[int64]int{}
	for at, j := range m.queue {
		if seconds := s.jobs[j].Seconds; s.can[j][other.kind] && met[seconds] < 2 {
			out = append(out, spot{at, seconds, met[seconds] == 1})
			met[seconds]++
		}
	}
	return out
}

// choices goes through all ways to choose k spots, k at most 2, that differ in
// the lengths of their jobs, and gives the places. What it yields is valid until
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
func (s *shop) arrange(m *machine, jobs []int) (queue []int, end int64) {
	queue = slices.Clone(jobs)
	slices.SortStableFunc(queue, func(a, b int) int { return cmp.Compare(s.jobs[b].Seconds, s.jobs[a].Seconds) })
	s.work += len(queue)
	end = s.through(m, queue)
	if m.from == m.to {
		return queue, end
	}
	other := slices.Clone(queue)
	slices.Reverse(other)
	for _, try := range [][]int{other, s.byDay(m, queue)} {
		if e := s.through(m, try); e < end {
			queue, end = try, e
		}
	}
	return queue, end
}

// byDay fills each day with jobs that end in attended hours and leaves the
// longest for the night. The jobs come longest first.
func (s *shop) byDay(m *machine, jobs []int) []int {
	left := slices.Clone(jobs)
	out := make([]int, 0, len(jobs))
	t := int64(0)
	for len(left) > 0 {
		t = m.start(t, 0)
		pick := 0
		for i, j := range left {
			s.work++
			seconds := s.jobs[j].Seconds
			if e := t + seconds; m.watched && m.start(t, seconds) == t || !m.watched && m.start(e, 0) == e {
				pick = i
				break
			}
		}
		seconds := s.jobs[left[pick]].Seconds
		out = append(out, left[pick])
		t = m.start(t, seconds) + seconds
		left = slices.Delete(left, pick, pick+1)
	}
	return out
}
