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
	m := p.machine()
	return !m.watched || m.from == m.to || seconds <= m.attended()
}

func (p Printers) machine() machine {
	m := machine{from: int64(p.From) * minute, to: int64(p.To) * minute, watched: p.Watched}
	if m.to-m.from == day {
		m.to = m.from
	}
	return m
}

// Job is one plate.
type Job struct {
	Seconds int64
	On      []int // indices of the printers that can print it; empty: all
}

// Run is one plate on its printer.
type Run struct {
	Job        int // index
	Printers   int // index of the kind
	Number     int // which of them, from 0
	Start, End int64
}

// Plan is when everything is printed.
type Plan struct {
	Runs         []Run // in the order of starting
	Finish       int64 // end of the last plate
	Idle         int64 // s in which printers stand still before the finish, from when each could first start
	Bound        int64 // no plan ends before
	LongestFirst int64 // finish before plates were exchanged
}

// The bounds of what is planned.
const (
	MaxJobs    = 100_000
	MaxSeconds = 1000 * day
)

// Make plans all jobs. The result is the same for the same input. An error says
// that a job is too long or negative, or that no printer can print it.
func Make(printers []Printers, jobs []Job) (Plan, error) {
	if len(jobs) > MaxJobs {
		return Plan{}, fmt.Errorf("%d plates are too many to be planned; at most %d", len(jobs), MaxJobs)
	}
	s, err := newShop(printers, jobs)
	if err != nil {
		return Plan{}, err
	}
	if len(jobs) == 0 {
		return Plan{}, nil
	}
	s.longestFirst()
	p := Plan{LongestFirst: s.finish(), Bound: s.bound()}
	s.improve(p.Bound)
	s.collect(&p)
	return p, nil
}

// machine is one printer.
type machine struct {
	kind, number int
	from, to     int64 // attended, s after midnight; equal: always
	watched      bool  // until a plate ends
	queue        []int // jobs, in order
	end          int64
}

type shop struct {
	jobs     []Job
	can      [][]bool // job, kind
	machines []machine
	work     int // comparisons so far, so that improving ends
}

func newShop(printers []Printers, jobs []Job) (*shop, error) {
	s := &shop{jobs: jobs, can: make([][]bool, len(jobs))}
	for k, p := range printers {
		m := p.machine()
		if p.From < 0 || p.To < 0 || m.from > day || m.to > day || p.Count < 0 {
			return nil, fmt.Errorf("printers %d: %d, attended from minute %d to %d of the day, cannot be", k+1, p.Count, p.From, p.To)
		}
		m.kind = k
		for m.number = range min(p.Count, len(jobs)) {
			s.machines = append(s.machines, m)
		}
	}
	all := make([]bool, len(jobs)*len(printers))
	for i, j := range jobs {
		if j.Seconds < 0 || j.Seconds > MaxSeconds {
			return nil, fmt.Errorf("plate %d takes %d s; it must take from 0 to %d", i+1, j.Seconds, MaxSeconds)
		}
		s.can[i] = all[i*len(printers) : (i+1)*len(printers)]
		for k, p := range printers {
			s.can[i][k] = (len(j.On) == 0 || slices.Contains(j.On, k)) && p.Holds(j.Seconds)
		}
		if !slices.ContainsFunc(s.machines, func(m machine) bool { return s.can[i][m.kind] }) {
			return nil, fmt.Errorf("no printer can print plate %d", i+1)
		}
	}
	return s, nil
}

// attended is how long a machine is attended at a time, where that is not always.
func (m *machine) attended() int64 { return (m.to - m.from + day) % day }

// start is the first time from t on at which a plate that takes so long can be started.
func (m *machine) start(t, seconds int64) int64 {
	if m.from == m.to {
		return t
	}
	t = m.attendedAt(t)
	if left := m.attended() - (t%day-m.from+day)%day; m.watched && seconds > left {
		return m.attendedAt(t + left) // the next time, which holds it
	}
	return t
}

// attendedAt is the first time from t on at which a machine is attended.
func (m *machine) attendedAt(t int64) int64 {
	clock := t % day
	switch {
	case m.from < m.to && clock < m.from:
		return t - clock + m.from
	case m.from < m.to && clock >= m.to:
		return t - clock + day + m.from
	case m.from > m.to && clock >= m.to && clock < m.from:
		return t - clock + m.from
	}
	return t
}

// through is when a machine is done with jobs in their order.
func (s *shop) through(m *machine, queue []int) (end int64) {
	for _, j := range queue {
		end = m.start(end, s.jobs[j].Seconds) + s.jobs[j].Seconds
	}
	return end
}

// longestFirst gives each job, the longest first, to the machine that ends it
// first.
func (s *shop) longestFirst() {
	order := make([]int, len(s.jobs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.jobs[b].Seconds, s.jobs[a].Seconds) })
	for _, j := range order {
		best, end := -1, int64(0)
		for i := range s.machines {
			m := &s.machines[i]
			if !s.can[j][m.kind] {
				continue
			}
			if e := m.start(m.end, s.jobs[j].Seconds) + s.jobs[j].Seconds; best < 0 || e < end {
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

// collect writes the plan down.
func (s *shop) collect(p *Plan) {
	p.Finish = s.finish()
	p.Runs = make([]Run, 0, len(s.jobs))
	for i := range s.machines {
		m := &s.machines[i]
		t, busy := int64(0), int64(0)
		for _, j := range m.queue {
			from := m.start(t, s.jobs[j].Seconds)
			t = from + s.jobs[j].Seconds
			busy += s.jobs[j].Seconds
			p.Runs = append(p.Runs, Run{Job: j, Printers: m.kind, Number: m.number, Start: from, End: t})
		}
		p.Idle += max(0, p.Finish-m.start(0, 0)-busy)
	}
	slices.SortFunc(p.Runs, func(a, b Run) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Printers, b.Printers), cmp.Compare(a.Number, b.Number), cmp.Compare(a.Job, b.Job))
	})
}
