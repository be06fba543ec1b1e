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
// another, each at most two.
func (s *shop) give(from, to *machine, n, back int) bool {
	seen := map[[4]int64]bool{}
	for out := range choices(len(from.queue), n) {
		for in := range choices(len(to.queue), back) {
			key, ok := s.allowed(from, to, out, in)
			if s.work > enoughWork {
				return false
			}
			if !ok || seen[key] {
				continue
			}
			seen[key] = true
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

// choices goes through all ways to choose k of n positions, k at most 2. What it
// yields is valid until the next.
func choices(n, k int) iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		c := make([]int, k)
		switch k {
		case 0:
			yield(c)
		case 1:
			for c[0] = 0; c[0] < n; c[0]++ {
				if !yield(c) {
					return
				}
			}
		default:
			for c[0] = 0; c[0] < n; c[0]++ {
				for c[1] = c[0] + 1; c[1] < n; c[1]++ {
					if !yield(c) {
						return
					}
				}
			}
		}
	}
}

// allowed tells whether both machines can print what they would get, and gives a
// key that is the same for exchanges of equal lengths.
func (s *shop) allowed(from, to *machine, out, in []int) (key [4]int64, ok bool) {
	s.work++
	for i, q := range out {
		j := from.queue[q]
		if !s.can[j][to.kind] {
			return key, false
		}
		key[i] = s.jobs[j].Seconds + 1
	}
	for i, q := range in {
		j := to.queue[q]
		if !s.can[j][from.kind] {
			return key, false
		}
		key[2+i] = s.jobs[j].Seconds + 1
	}
	slices.Sort(key[:2])
	slices.Sort(key[2:])
	return key, true
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
		t = m.start(t)
		pick := 0
		for i, j := range left {
			s.work++
			if e := t + s.jobs[j].Seconds; m.start(e) == e {
				pick = i
				break
			}
		}
		out = append(out, left[pick])
		t += s.jobs[left[pick]].Seconds
		left = slices.Delete(left, pick, pick+1)
	}
	return out
}
