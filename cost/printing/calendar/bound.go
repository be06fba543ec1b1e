package calendar

import (
	"cmp"
	"slices"
)

// bound is a time before which no plan ends: the longest plate; all work shared
// evenly, with no more running through a night than the longest plate; and, since of
// m·k + 1 plates on m machines one machine gets k + 1, the k + 1 shortest of the
// m·k + 1 longest plates one after the other.
func (s *shop) bound() int64 {
	lengths := slices.Clone(s.seconds)
	slices.SortFunc(lengths, func(a, b int64) int { return cmp.Compare(b, a) })
	work := int64(0)
	for _, l := range lengths {
		work += l
	}
	first := s.start(0, 0)
	b := max(first+lengths[0], s.even(work, lengths[0]))
	m := len(s.machines)
	for k := 1; m*k < len(lengths); k++ {
		sum := first
		for _, l := range lengths[m*k-k : m*k+1] {
			sum += l
		}
		b = max(b, sum)
	}
	return b
}

// even is the earliest time by which the machines could do work that is shared at
// will among them.
func (s *shop) even(work, longest int64) int64 {
	enough := func(until int64) bool { return int64(len(s.machines))*s.room(until, longest) >= work }
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

// room is the most that a printer can print until a time, with plates that take
// at most so long: in unattended hours only a plate that was started before them
// runs on.
func (h *hours) room(until, longest int64) int64 {
	if h.from == h.to {
		return until
	}
	attended := h.attended()
	if h.watched {
		longest = 0
	}
	since := func(t int64) int64 { // from the beginning of an attended time on
		days, rest := t/day, t%day
		return days*(attended+min(day-attended, longest)) + min(rest, attended) + min(max(0, rest-attended), longest)
	}
	if h.from < h.to {
		return since(max(0, until-h.from))
	}
	return since(until+day-h.from) - since(day-h.from)
}
