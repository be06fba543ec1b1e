package cost

import "tenoff/bom"

// Plan is when a batch is ready. Days are counted from the start of day 0, on
// which everything is ordered: what is 12 days on the way is there when day 12
// begins.
type Plan struct {
	Tasks []Task
	Ready bom.Quantity // days; no earlier than that where Known is false
	Known bool
	Gaps  []Gap // what is not known; none where Known is true
	Path  []int // a critical path through Tasks, first to last
}

// Gap is something without which it cannot be said how long a task takes.
type Gap struct {
	What  string
	Place bom.Place // where it is to be filled in
}

// TaskKind is what sort of task it is.
type TaskKind int

// Task is one thing that takes time. Where Placed or Known is false, Start and End
// are no earlier than they stand; where the plan is not known, Slack and Critical
// are as if what is not known took no time.
type Task struct {
	Kind     TaskKind
	Name     string       // the supplier, or what the hand work applies to
	Takes    bom.Quantity // working days, but for printing
	Sure     bool         // Takes is known
	Quoted   bool         // Takes is of a quote, and not the lead days of the supplier
	Start    bom.Quantity
	End      bom.Quantity
	Slack    bom.Quantity
	Placed   bool // Start is known: how long everything takes that it waits for
	Known    bool // Placed and Sure
	Critical bool
	After    []int // tasks that it waits for directly; indices into Plan.Tasks
}

// Day is the first day at the start of which the batch is ready.
func (p *Plan) Day() int { return int(p.Ready.Ceil()) }

// Made tells whether there is a plan at all: a batch whose costs alone are worked
// out has none.
func (p *Plan) Made() bool { return p.Known || len(p.Gaps) > 0 }

// The kinds of task.
const (
	OrderTask    TaskKind = iota // an order is on its way
	AssemblyTask                 // boards are populated
	PrintTask                    // plates are printed
	BenchTask                    // hand work
	MissingTask                  // what nobody sells arrives, nobody knows when
)

// Working tells whether such tasks go on on working days alone.
func (k TaskKind) Working() bool { return k != PrintTask }

// Arrives tells whether such tasks are done as a working day begins.
func (k TaskKind) Arrives() bool { return k == OrderTask || k == AssemblyTask }
