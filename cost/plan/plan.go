package plan

import (
	"fmt"
	"slices"

	"tenoff/bom"
)

// Task is one thing that takes time.
type Task struct {
	Days    bom.Quantity // that it takes, 0 or more
	After   []int        // indices of the tasks that must have ended
	Working bool         // its days are working days
	Arrives bool         // it is done as a working day begins, as orders are; Days are whole then
}

// Slot is when a task is done at the earliest, in days from the start of day 0.
type Slot struct {
	Start, End bom.Quantity
	Slack      bom.Quantity // days that it can be put off without moving the end of the whole
}

// Critical tells that putting the task off moves the end of the whole.
func (s Slot) Critical() bool { return s.Slack == 0 }

// Plan is when all tasks are done.
type Plan struct {
	Slots []Slot // one for each task
	End   bom.Quantity
	Path  []int // one critical path, first to last: each waits for the one before
}

// The bounds of what is planned.
const (
	MaxTasks = 1000
	MaxDays  = 1_000_000 * bom.One // of one task
)

// Make plans tasks that each start as soon as all that they wait for has ended, or on the
// working day after that. An error says that a task's days are out of bounds, that it waits for one that
// is not there, or that tasks wait for each other in a circle.
func Make(tasks []Task, w Week) (Plan, error) {
	order, err := inOrder(tasks)
	if err != nil {
		return Plan{}, err
	}
	p := Plan{Slots: make([]Slot, len(tasks))}
	for _, i := range order {
		s := &p.Slots[i]
		s.Start = w.starts(&tasks[i], p.waits(&tasks[i]))
		s.End = w.ends(&tasks[i], s.Start)
		p.End = max(p.End, s.End)
	}
	p.backward(tasks, order, w)
	p.Path = p.critical(tasks)
	return p, nil
}

// waits is until when a task waits for what comes before it.
func (p *Plan) waits(t *Task) (until bom.Quantity) {
	for _, before := range t.After {
		until = max(until, p.Slots[before].End)
	}
	return until
}

// backward fills in the slack: what is left to the latest start of each task, by
// which everything after it still starts in time.
func (p *Plan) backward(tasks []Task, order []int, w Week) {
	latest := make([]bom.Quantity, len(tasks))
	for i := range latest {
		latest[i] = p.End
	}
	for n := len(order) - 1; n >= 0; n-- {
		i := order[n]
		starts := w.begins(&tasks[i], latest[i])
		p.Slots[i].Slack = starts - p.Slots[i].Start
		for _, before := range tasks[i].After {
			latest[before] = min(latest[before], starts)
		}
	}
}

// critical walks back from the end: of several tasks that could be next, the
// first.
func (p *Plan) critical(tasks []Task) []int {
	all := make([]int, len(tasks))
	for i := range all {
		all[i] = i
	}
	var back []int
	end, among := p.End, all
	for {
		at := p.endingAt(end, among)
		if at < 0 {
			break
		}
		back = append(back, at)
		end, among = p.waits(&tasks[at]), tasks[at].After
	}
	path := make([]int, len(back))
	for i, at := range back {
		path[len(back)-1-i] = at
	}
	return path
}

// endingAt is the first of some tasks that ends at a time, or -1.
func (p *Plan) endingAt(end bom.Quantity, among []int) int {
	if at := slices.IndexFunc(among, func(i int) bool { return p.Slots[i].End == end }); at >= 0 {
		return among[at]
	}
	return -1
}

// inOrder lists the tasks so that each stands behind all that it waits for.
func inOrder(tasks []Task) ([]int, error) {
	if len(tasks) > MaxTasks {
		return nil, fmt.Errorf("%d tasks are too many to be planned; at most %d", len(tasks), MaxTasks)
	}
	waits := make([]int, len(tasks))
	follow := make([]int, len(tasks)) // how many wait for a task
	links := 0
	for i, t := range tasks {
		if t.Days < 0 || t.Days > MaxDays {
			return nil, fmt.Errorf("task %d takes %s days; it must take from 0 to %s", i+1, t.Days, MaxDays)
		}
		for _, before := range t.After {
			if before < 0 || before >= len(tasks) {
				return nil, fmt.Errorf("task %d waits for a task that does not exist", i+1)
			}
			follow[before]++
		}
		waits[i] = len(t.After)
		links += len(t.After)
	}
	next := make([][]int, len(tasks)) // that wait for a task
	room := make([]int, links)
	for i, n := range follow {
		next[i], room = room[:0:n], room[n:]
	}
	for i, t := range tasks {
		for _, before := range t.After {
			next[before] = append(next[before], i)
		}
	}
	order := make([]int, 0, len(tasks))
	for i, n := range waits {
		if n == 0 {
			order = append(order, i)
		}
	}
	for at := 0; at < len(order); at++ {
		for _, i := range next[order[at]] {
			if waits[i]--; waits[i] == 0 {
				order = append(order, i)
			}
		}
	}
	if len(order) < len(tasks) {
		return nil, fmt.Errorf("tasks wait for each other in a circle")
	}
	return order, nil
}
