package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

func days(d float64) bom.Quantity { return bom.Quantity(d * float64(bom.One)) }

func task(d float64, after ...int) Task { return Task{Days: days(d), After: after} }

func make1(t testing.TB, tasks []Task) Plan {
	t.Helper()
	p, err := Make(tasks, Week{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestWorkedExamples holds the method against examples that were worked out by
// others or by hand.
func TestWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		why   string
		tasks []Task
		start []float64
		slack []float64
		end   float64
		path  []int
	}{
		{
			// J. Heizer and B. Render, Operations Management, chapter on project
			// management: the example of eight activities A to H in weeks, which
			// ends after 15 on the path A-C-E-G-H. Figures from memory.
			why:   "textbook example with slack 0 1 0 1 0 6 0 0",
			tasks: []Task{task(2), task(3), task(2, 0), task(4, 0, 1), task(4, 2), task(3, 2), task(5, 3, 4), task(2, 5, 6)},
			start: []float64{0, 0, 2, 3, 4, 4, 8, 13},
			slack: []float64{0, 1, 0, 1, 0, 6, 0, 0},
			end:   15,
			path:  []int{0, 2, 4, 6, 7},
		},
		{
			// By hand: boards 16 and parts 8 days to the assembler, 12 there, plates
			// 2.5 days, soldering 3 on the boards, screwing 1 on both.
			why:   "two branches that join at the last task",
			tasks: []Task{task(16), task(8), task(12, 0, 1), task(2.5), task(3, 2), task(1, 3, 4)},
			start: []float64{0, 0, 16, 0, 28, 31},
			slack: []float64{0, 8, 0, 28.5, 0, 0},
			end:   32,
			path:  []int{0, 2, 4, 5},
		},
		{
			why:   "two paths of the same length are both critical, and the first is told",
			tasks: []Task{task(4), task(4), task(1, 0, 1)},
			start: []float64{0, 0, 4},
			slack: []float64{0, 0, 0},
			end:   5,
			path:  []int{0, 2},
		},
		{
			why:   "a task that stands before what it waits for",
			tasks: []Task{task(1, 1), task(2)},
			start: []float64{2, 0},
			slack: []float64{0, 0},
			end:   3,
			path:  []int{1, 0},
		},
		{
			why:   "what takes no time is on a path all the same",
			tasks: []Task{task(0), task(3, 0), task(0, 1)},
			start: []float64{0, 0, 3},
			slack: []float64{0, 0, 0},
			end:   3,
			path:  []int{0, 1},
		},
		{why: "nothing to do", end: 0},
	} {
		t.Run(c.why, func(t *testing.T) {
			p := make1(t, c.tasks)
			if p.End != days(c.end) {
				t.Errorf("ends on day %s; want %v", p.End, c.end)
			}
			for i, s := range p.Slots {
				if s.Start != days(c.start[i]) || s.Slack != days(c.slack[i]) {
					t.Errorf("task %d starts on day %s with slack %s; want %v and %v", i, s.Start, s.Slack, c.start[i], c.slack[i])
				}
			}
			if !slices.Equal(p.Path, c.path) {
				t.Errorf("path %v; want %v", p.Path, c.path)
			}
		})
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		why   string
		tasks []Task
	}{
		{"two tasks that wait for each other", []Task{task(1, 1), task(1, 0)}},
		{"a task that waits for itself", []Task{task(1, 0)}},
		{"a circle behind a task that could start", []Task{task(1), task(1, 0, 2), task(1, 1)}},
		{"a task that waits for one thatis missing", []Task{task(1, 3)}},
		{"days under 0", []Task{task(-1)}},
		{"more days than any plan has", []Task{task(2_000_000)}},
		{"more tasks than are planned", make([]Task, MaxTasks+1)},
	} {
		if p, err := Make(c.tasks, Week{}); err == nil || p.Slots != nil {
			t.Errorf("%s: planned", c.why)
		}
	}
}

// network is a random one of up to ten tasks; some take no time, and some do not
// wait for anything.
func network(r *rand.Rand) []Task {
	tasks := make([]Task, 1+r.IntN(10))
	for i := range tasks {
		tasks[i].Days = bom.Quantity(r.IntN(5)) * bom.One / 4
		for before := range i {
			if r.IntN(3) == 0 {
				tasks[i].After = append(tasks[i].After, before)
			}
		}
	}
	return tasks
}

// longest is the longest way from the start through a task, by trying every way.
func longest(tasks []Task, i int) bom.Quantity {
	before := bom.Quantity(0)
	for _, b := range tasks[i].After {
		before = max(before, longest(tasks, b))
	}
	return before + tasks[i].Days
}

func TestAgainstEveryPath(t *testing.T) {
	for seed := range uint64(checks.Runs(40_000)) {
		r := rand.New(rand.NewPCG(seed, 1))
		tasks := network(r)
		p := make1(t, tasks)
		where := fmt.Sprintf("network %d, %v", seed, tasks)
		end := bom.Quantity(0)
		for i, s := range p.Slots {
			if s.End != longest(tasks, i) || s.End-s.Start != tasks[i].Days {
				t.Fatalf("%s: task %d ends on day %s", where, i, s.End)
			}
			end = max(end, s.End)
		}
		if p.End != end {
			t.Fatalf("%s: ends on day %s; want %s", where, p.End, end)
		}
		sum := bom.Quantity(0)
		for n, i := range p.Path {
			sum += tasks[i].Days
			if !p.Slots[i].Critical() || n > 0 && !slices.Contains(tasks[i].After, p.Path[n-1]) {
				t.Fatalf("%s: path %v", where, p.Path)
			}
		}
		if sum != p.End {
			t.Fatalf("%s: the path takes %s days of %s", where, sum, p.End)
		}
		slackHolds(t, where, tasks, p)
		shuffled(t, where, r, tasks, p)
	}
}

// slackHolds puts each task off by its slack, which moves nothing, and by a
// little more, which moves the end by as much.
func slackHolds(t *testing.T, where string, tasks []Task, p Plan) {
	t.Helper()
	for i, s := range p.Slots {
		if s.Slack < 0 {
			t.Fatalf("%s: task %d has slack %s", where, i, s.Slack)
		}
		for _, more := range []bom.Quantity{0, 1, bom.One} {
			late := slices.Clone(tasks)
			late[i].Days += s.Slack + more
			if got := make1(t, late).End; got != p.End+more {
				t.Fatalf("%s: task %d longer by %s + %s ends on day %s; want %s", where, i, s.Slack, more, got, p.End+more)
			}
		}
	}
}

// shuffled plans the same tasks in another order.
func shuffled(t *testing.T, where string, r *rand.Rand, tasks []Task, p Plan) {
	t.Helper()
	at := r.Perm(len(tasks))
	other := make([]Task, len(tasks))
	for i, task := range tasks {
		other[at[i]].Days = task.Days
		for _, b := range task.After {
			other[at[i]].After = append(other[at[i]].After, at[b])
		}
	}
	q := make1(t, other)
	for i := range tasks {
		if q.Slots[at[i]] != p.Slots[i] {
			t.Fatalf("%s: in another order task %d has %v; want %v", where, i, q.Slots[at[i]], p.Slots[i])
		}
	}
}

func TestDirectChangesNothing(t *testing.T) {
	left := 0
	for seed := range uint64(checks.Runs(10_000)) {
		tasks := network(rand.New(rand.NewPCG(seed, 2)))
		direct, err := Direct(tasks)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := make1(t, tasks), make1(t, direct); !slices.Equal(a.Slots, b.Slots) || a.End != b.End {
			t.Fatalf("network %d: %v against %v", seed, a, b)
		}
		for i := range tasks {
			left += len(tasks[i].After) - len(direct[i].After)
			for n := range direct[i].After {
				fewer := slices.Clone(direct)
				fewer[i].After = slices.Delete(slices.Clone(direct[i].After), n, n+1)
				if reaches(fewer, i, direct[i].After[n]) {
					t.Fatalf("network %d: task %d waits twice for %d", seed, i, direct[i].After[n])
				}
			}
		}
	}
	if left == 0 {
		t.Error("no network had anything to leave out")
	}
}

func reaches(tasks []Task, i, goal int) bool {
	return slices.ContainsFunc(tasks[i].After, func(b int) bool { return b == goal || reaches(tasks, b, goal) })
}

// TestInTurnIsSoonest compares the order with every other that one pair of hands
// could keep.
func TestInTurnIsSoonest(t *testing.T) {
	better := 0
	for seed := range uint64(checks.Runs(8_000)) {
		tasks, hands := bench(rand.New(rand.NewPCG(seed, 3)))
		turn, err := InTurn(tasks, hands, Week{})
		if err != nil {
			t.Fatal(err)
		}
		got, ok := endOf(tasks, turn)
		if !ok {
			t.Fatalf("bench %d, %v: %v keeps what waits before what it waits for", seed, tasks, turn)
		}
		best := got
		permute(slices.Clone(hands), 0, func(other []int) {
			if end, ok := endOf(tasks, other); ok {
				best = min(best, end)
			}
		})
		if got != best {
			t.Fatalf("bench %d, %v: %v ends on day %s; %s is possible", seed, tasks, turn, got, best)
		}
		if asGiven, _ := endOf(tasks, hands); asGiven > got {
			better++
		}
	}
	if better == 0 {
		t.Error("the order given was the best everywhere, so that nothing was tested")
	}
}

// bench is a random network in which the last tasks are done by hand.
func bench(r *rand.Rand) (tasks []Task, hands []int) {
	free := 1 + r.IntN(4)
	for range free {
		tasks = append(tasks, Task{Days: bom.Quantity(r.IntN(10)) * bom.One})
	}
	for i := free; i < free+1+r.IntN(5); i++ {
		t := Task{Days: bom.Quantity(r.IntN(4)) * bom.One, After: []int{r.IntN(free)}}
		if i > free && r.IntN(2) == 0 {
			t.After = append(t.After, free+r.IntN(i-free))
		}
		tasks, hands = append(tasks, t), append(hands, i)
	}
	return tasks, hands
}

// endOf is when the last task ends if hands keep an order; ok is false where
// that cannot be.
func endOf(tasks []Task, turn []int) (bom.Quantity, bool) {
	chained := slices.Clone(tasks)
	for n := 1; n < len(turn); n++ {
		t := &chained[turn[n]]
		t.After = append(slices.Clone(t.After), turn[n-1])
	}
	p, err := Make(chained, Week{})
	return p.End, err == nil
}

func permute(list []int, from int, look func([]int)) {
	if from == len(list) {
		look(list)
		return
	}
	for i := from; i < len(list); i++ {
		list[from], list[i] = list[i], list[from]
		permute(list, from+1, look)
		list[from], list[i] = list[i], list[from]
	}
}
