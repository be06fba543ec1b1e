package calendar

import (
	"cmp"
	"fmt"
	"slices"
)

const (
	minute = 60
	day    = 24 * 60 * minute
)

// Printers are so many printers of one kind.
type Printers struct {
	Count    int
	From, To int  // attended from and to, minutes after midnight; over midnight where To is earlier; always where they are equal or a day apart
	Watched  bool // a plate must end in attended hours as well
}

// Holds tells whether a plate that takes so long can be printed: where a printer is
// watched, the attended hours must hold it.
func (p Printers) Holds(seconds int64) bool {
	m := p.hours()
	return !m.watched || m.from == m.to || seconds <= m.attended()
}

func (p Printers) hours() hours {
	h := hours{from: int64(p.From) * minute, to: int64(p.To) * minute, watched: p.Watched}
	if h.to-h.from == day {
		h.to = h.from
	}
	return h
}

// Plan is when everything is printed.
type Plan struct {
	Finish int64 // end of the last plate
	Bound  int64 // no plan ends before

	printers, begin, busy int64
}

// Idle is how long the printers that print stand still until a time, from when each could
// first start, summed over them.
func (p *Plan) Idle(until int64) int64 { return p.printers*(until-p.begin) - p.busy }

// MaxSeconds bounds how long a plate takes.
const MaxSeconds = 1000 * day

// Make plans plates of so many seconds each on printers that are alike. The result is
// the same for the same input. An error says that a plate is too long or negative, or
// that no printer can print it.
func Make(printers Printers, seconds []int64) (Plan, error) {
	s, err := newShop(printers, seconds)
	if err != nil || len(seconds) == 0 {
		return Plan{}, err
	}
	s.longestFirst()
	p := Plan{Bound: s.bound(), printers: int64(len(s.machines)), begin: s.start(0, 0)}
	s.improve(p.Bound)
	p.Finish = s.finish()
	for _, long := range seconds {
		p.busy += long
	}
	return p, nil
}

// hours are those in which plates can be started.
type hours struct {
	from, to int64 // attended, s after midnight; equal: always
	watched  bool  // until a plate ends
}

// machine is one printer and the plates that it prints.
type machine struct {
	queue []int // indices, in order
	end   int64
}

// shop is printers that are alike, and what they print.
type shop struct {
	hours
	seconds  []int64 // by plate
	machines []machine
	work     int // comparisons so far, so that improving ends
}

func newShop(p Printers, seconds []int64) (*shop, error) {
	s := &shop{hours: p.hours(), seconds: seconds}
	if p.From < 0 || p.To < 0 || s.from > day || s.to > day || p.Count < 0 {
		return nil, fmt.Errorf("%d printers, attended from minute %d to %d of the day, cannot be", p.Count, p.From, p.To)
	}
	s.machines = make([]machine, min(p.Count, len(seconds)))
	for i, long := range seconds {
		if long < 0 || long > MaxSeconds {
			return nil, fmt.Errorf("plate %d takes %d s; it must take from 0 to %d", i+1, long, MaxSeconds)
		}
		if len(s.machines) == 0 || !p.Holds(long) {
			return nil, fmt.Errorf("no printer can print plate %d", i+1)
		}
	}
	return s, nil
}

// attended is how long a printer is attended at a time, where that is not always.
func (h *hours) attended() int64 { return (h.to - h.from + day) % day }

// start is the first time from t on at which a plate that takes so long can be started.
func (h *hours) start(t, seconds int64) int64 {
	if h.from == h.to {
		return t
	}
	t = h.attendedAt(t)
	if left := h.attended() - (t%day-h.from+day)%day; h.watched && seconds > left {
		return h.attendedAt(t + left) // the next time, which holds it
	}
	return t
}

// attendedAt is the first time from t on at which a printer is attended.
func (h *hours) attendedAt(t int64) int64 {
	clock := t % day
	switch {
	case h.from < h.to && clock < h.from:
		return t - clock + h.from
	case h.from < h.to && clock >= h.to:
		return t - clock + day + h.from
	case h.from > h.to && clock >= h.to && clock < h.from:
		return t - clock + h.from
	}
	return t
}

// through is when a machine is done with plates in their order.
func (s *shop) through(queue []int) (end int64) {
	for _, j := range queue {
		end = s.start(end, s.seconds[j]) + s.seconds[j]
	}
	return end
}

// longestFirst gives each plate, the longest first, to the machine that ends it
// first.
func (s *shop) longestFirst() {
	order := make([]int, len(s.seconds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.seconds[b], s.seconds[a]) })
	for _, j := range order {
		best, end := -1, int64(0)
		for i := range s.machines {
			if e := s.start(s.machines[i].end, s.seconds[j]) + s.seconds[j]; best < 0 || e < end {
				best, end = i, e
			}
		}
		m := &s.machines[best]
		m.queue = append(m.queue, j)
		m.end = end
	}
}

func (s *shop) finish() (last int64) {
	for i := range s.machines {
		last = max(last, s.machines[i].end)
	}
	return last
}
