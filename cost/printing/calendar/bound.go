package calendar

import (
	"cmp"
	"slices"
)

// bound is a time before which no plan ends: the longest job; all work shared
// evenly, with no more running through a night than the longest job; and, since of m·k + 1 jobs on m machines one machine gets k + 1, the
// k + 1 shortest of the m·k + 1 longest jobs one after the other. Each is taken
// for the jobs of every set of printers that some jobs are bound to, and for all
// jobs.
func (s *shop) bound() (b int64) {
	done := map[string]bool{}
	kinds := 0
	if len(s.can) > 0 {
		kinds = len(s.can[0])
	}
	all := make([]bool, kinds)
	for k := range all {
		all[k] = true
	}
	sets := append(slices.Clone(s.can), all)
	for i, set := range sets {
		if i > 0 && slices.Equal(set, sets[i-1]) { // without a key: plates of one kind come one after the other
			continue
		}
		key := make([]byte, kinds)
		for k, can := range set {
			if can {
				key[k] = 1
			}
		}
		if done[string(key)] {
			continue
		}
		done[string(key)] = true
		b = max(b, s.boundOf(set))
	}
	return b
}

// boundOf looks at the machines of a set of kinds and at the jobs that can be
// printed nowhere else.
func (s *shop) boundOf(set []bool) (b int64) {
	var there []*machine
	for i := range s.machines {
		if set[s.machines[i].kind] {
			there = append(there, &s.machines[i])
		}
	}
	var lengths []int64
	work := int64(0)
	for j, can := range s.can {
		bound := true
		for k := range can {
			bound = bound && (!can[k] || set[k])
		}
		if bound {
			lengths = append(lengths, s.jobs[j].Seconds)
			work += s.jobs[j].Seconds
		}
	}
	if len(there) == 0 || len(lengths) == 0 {
		return 0
	}
	slices.SortFunc(lengths, func(a, b int64) int { return cmp.Compare(b, a) })
	first := there[0].start(0, 0)
	for _, m := range there {
		first = min(first, m.start(0, 0))
	}
	b = max(first+lengths[0], even(there, work, lengths[0]))
	m := len(there)
	for k := 1; m*k < len(lengths); k++ {
		sum := first
		for _, l := range lengths[m*k-k : m*k+1] {
			sum += l
		}
		b = max(b, sum)
	}
	return b
}

// even is the earliest time by which machines could do work that is shared at
// will among them.
func even(there []*machine, work, longest int64) int64 {
	enough := func(until int64) bool {
		room := int64(0)
		for _, m := range there {
			room += m.room(until, longest)
		}
		return room >= work
	}
	low, high := int64(0), int64(day)
	for !enough(high) {
		low, high = high, 2*high
	}
	for high-low > 1 {
		mid := low + (high-low)/2
		if enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// room is the most that a machine can print until a time, with plates that take
// at most so long: in unattended hours only a plate that was started before them
// runs on.
func (m *machine) room(until, longest int64) int64 {
	if m.from == m.to {
		return until
	}
	attended := m.attended()
	if m.watched {
		longest = 0
	}
	since := func(t int64) int64 { // from the beginning of an attended time on
		days, rest := t/day, t%day
		return days*(attended+min(day-attended, longest)) + min(rest, attended) + min(max(0, rest-attended), longest)
	}
	if m.from < m.to {
		return since(max(0, until-m.from))
	}
	return since(until+day-m.from) - since(day-m.from)
}
