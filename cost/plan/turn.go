package plan

import (
	"cmp"
	"slices"
)

// InTurn gives the order in which one pair of hands does some of the tasks, by
// their indices, so that the last of them ends as soon as it can: each in the
// order of its earliest start, those that could start together in the order
// given, in which no task may stand before one that it waits for. It is the rule
// of E. L. Lawler (Optimal Sequencing of a Single Machine Subject to Precedence
// Constraints, Management Science 19, 1973) turned round, with earliest starts
// for latest ends. Nothing that hands do may wait, by way of something they do
// not do, for something else that they do. Errors are those of [Make].
func InTurn(tasks []Task, hands []int, w Week) ([]int, error) {
	p, err := Make(tasks, w)
	if err != nil {
		return nil, err
	}
	turn := slices.Clone(hands)
	slices.SortStableFunc(turn, func(a, b int) int { return cmp.Compare(p.Slots[a].Start, p.Slots[b].Start) })
	return turn, nil
}

// Direct leaves out of what each task waits for everything that another task it
// waits for waits for already. Starts, ends and slack stay as they are. Errors
// are those of [Make].
func Direct(tasks []Task) ([]Task, error) {
	order, err := inOrder(tasks)
	if err != nil {
		return nil, err
	}
	above := make([][]bool, len(tasks)) // all that must have ended before
	room := make([]bool, len(tasks)*len(tasks))
	links := 0
	for i := range tasks {
		links += len(tasks[i].After)
	}
	after := make([]int, 0, links) // of all tasks
	out := make([]Task, len(tasks))
	for _, i := range order {
		further := room[i*len(tasks) : (i+1)*len(tasks)]
		for _, before := range tasks[i].After {
			for a, is := range above[before] {
				further[a] = further[a] || is
			}
		}
		first := len(after)
		for _, before := range tasks[i].After {
			if !further[before] && !slices.Contains(after[first:], before) {
				after = append(after, before)
			}
		}
		out[i] = tasks[i]
		out[i].After = after[first:len(after):len(after)]
		for _, before := range tasks[i].After {
			further[before] = true
		}
		above[i] = further
	}
	return out, nil
}
