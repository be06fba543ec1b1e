package reports

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// PlanName is the table that tells when batches are ready.
const PlanName = "Plan"

// asPlanDays shows a hundredth of a day, about a quarter of an hour.
var asPlanDays = Format{Kind: KindHours, Digits: 2, Keep: 6, Trim: true}

// benchNames say what a task of hand work is by what it applies to.
var benchNames = map[string]string{
	"smt": "solder SMT parts by hand", "tht": "solder through-hole parts", "printed": "finish printed parts", "insert": "set inserts",
	"wire": "cut and fit wires", "other": "fit substitutes", "fastener": "screw together", "test": "test", "bagging": "bag", "packing": "pack",
}

// TaskName is a task in words.
func TaskName(t cost.Task) string {
	switch t.Kind {
	case cost.OrderTask:
		return "order from " + t.Name
	case cost.AssemblyTask:
		return "assembly at " + t.Name
	case cost.PrintTask:
		return "printing"
	case cost.MissingTask:
		return "what cannot be bought"
	}
	return benchNames[t.Name]
}

// Plan is when each batch is ready: all its tasks with what they wait for. Where
// something is not known, what rests on it shows "?", and the notes tell what it
// is and where it belongs.
func Plan(e *cost.Estimate) Table {
	t := Table{
		Name:  PlanName,
		Title: "when each batch is ready, and what it waits for",
		Notes: []string{"days count from the start of " + dayNought(e.Today) + ", on which everything is ordered; slack: days that a task can be put off; " +
			"critical: putting it off puts off the whole"},
		Lead: 2,
		Columns: slices.Concat(
			batchColumn, plain("task"),
			columns(Column{Format: AsDate}, "from", "by: Done by"),
			columns(Column{Unit: "day", Format: asPlanDays}, "start"),
			columns(Column{Unit: "days", Format: asPlanDays}, "days: Takes"),
			columns(Column{Unit: "day", Format: asPlanDays}, "end"),
			columns(Column{Unit: "days", Format: asPlanDays}, "slack"),
			plain("critical", "after: Waits for"),
		),
	}
	t.note(weekNote(e)...)
	for _, g := range planGaps(e) {
		t.note("not known, and counted as no time at all: " + g)
	}
	for _, b := range bom.Refs(e.Batches) {
		for j := range b.Plan.Tasks {
			t.addAs(RowKey(KeyTask, b.ID(), j), taskRow(b, j, e.Today)...)
		}
		p := &b.Plan
		t.addTotal(b, map[string]Value{"task": Text("ready"), "by": doneBy(e.Today, p.Ready, p.Known),
			"end": Quantity(p.Ready).unless(!p.Known), "after": Text(PlanPath(p))})
	}
	t.totalsLast()
	return t
}

func taskRow(b *cost.Batch, i int, today bom.Date) []Value {
	p := &b.Plan
	t := p.Tasks[i]
	critical := map[bool]string{true: "yes", false: "no"}[t.Critical]
	after := bom.Each(t.After, func(before *int) string { return TaskName(p.Tasks[*before]) })
	return []Value{
		BatchValue(b.ID()), Text(TaskName(t)), Date(today.Plus(int(t.Start / bom.One))).unless(!t.Placed), doneBy(today, t.End, t.Known), Quantity(t.Start).unless(!t.Placed), Quantity(t.Takes).unless(!t.Sure),
		Quantity(t.End).unless(!t.Known), Quantity(t.Slack).unless(!p.Known), Text(critical).unless(!p.Known), Text(strings.Join(after, "; ")),
	}
}

// weekNote tells which days count, where not all do.
func weekNote(e *cost.Estimate) []string {
	if e.WorkingDays == 0 {
		return nil
	}
	return []string{"orders move and hands work on " + e.WorkingDays.String() + ", and what they take is in working days; printers run every day"}
}

// dayNought names the day that days are counted from.
func dayNought(today bom.Date) string {
	if today.IsZero() {
		return "day 0"
	}
	return "day 0, " + today.String()
}

// doneBy is the day at the start of which something is done.
func doneBy(today bom.Date, end bom.Quantity, sure bool) Value {
	return Date(today.Plus(int(end.Ceil()))).unless(!sure)
}

// leg is a step of the critical path, with the days that it takes.
type leg struct {
	what    string
	takes   bom.Quantity
	span    bom.Quantity // from its start to its end; more where it goes on on working days alone
	working bool
}

// planLegs are the steps of the critical path. Those of hand work are taken together, and
// what takes no time is left out.
func planLegs(p *cost.Plan) (legs []leg) {
	bench := leg{what: "hand work", working: true}
	for _, i := range p.Path {
		t := p.Tasks[i]
		switch {
		case t.Kind == cost.BenchTask: // nothing else comes after it
			bench.takes, bench.span = bench.takes+t.Takes, bench.span+t.End-t.Start
		case t.Takes > 0:
			legs = append(legs, leg{Leg(t), t.Takes, t.End - t.Start, t.Kind.Working()})
		}
	}
	if bench.takes > 0 {
		legs = append(legs, bench)
	}
	return legs
}

// PlanPath tells the critical path: "Panel House 7 d → assembly at Placing House
// 12 d → hand work 0.2 d".
func PlanPath(p *cost.Plan) string {
	return strings.Join(bom.Each(planLegs(p), func(l *leg) string { return l.what + " " + ShortDays(l.takes) + " d" }), " → ")
}

// Leg is a task as the critical path names it.
func Leg(t cost.Task) string {
	if t.Kind == cost.OrderTask {
		return t.Name
	}
	return TaskName(t)
}

// ShortDays shows a tenth of a day, and what is less than that as such.
func ShortDays(q bom.Quantity) string {
	tenths := q.Decimal().Round(1)
	if tenths.IsZero() {
		return "< 0.1"
	}
	return tenths.String()
}

// PlanLines tell in words when each batch is ready and what it waits for, and
// what is not known.
func PlanLines(e *cost.Estimate) []string {
	var lines []string
	for i := range e.Batches {
		if !e.Batches[i].Plan.Made() {
			continue
		}
		line := PlanHead(e, &e.Batches[i])
		if path := PlanPath(&e.Batches[i].Plan); path != "" {
			line += ": " + path
		}
		lines = append(lines, line)
	}
	if len(lines) > 0 {
		lines = append(lines, weekNote(e)...)
	}
	gaps := planGaps(e)
	if more := len(gaps) - mostGaps; more > 0 {
		gaps = append(gaps[:mostGaps], fmt.Sprintf("and %d more", more))
	}
	if len(gaps) > 0 {
		lines = append(lines, "not known, and counted as no time at all: "+strings.Join(gaps, "; "))
	}
	return lines
}

// PlanHead tells when a batch is ready.
func PlanHead(e *cost.Estimate, b *cost.Batch) string {
	return "batch " + b.ID().Shown() + ": " + ReadyWords(e, b)
}

// DayGaps counts what the plans lack.
func DayGaps(e *cost.Estimate) int { return len(planGaps(e)) }

// mostGaps is how many gaps are told in full where space is short.
const mostGaps = 5

// planGaps lists what the plans lack, each once, with its place.
func planGaps(e *cost.Estimate) []string {
	var out []string
	for i := range e.Batches {
		for _, g := range e.Batches[i].Plan.Gaps {
			if text := gapText(g); !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}

func gapText(g cost.Gap) string {
	if at := place(g.Place); !at.IsNothing() {
		return g.What + " (" + at.Exact(AsText) + ")"
	}
	return g.What
}

// jsonPlan is when a batch is ready. Days are numbers, null where they are not known. path
// and waits_for are indices into tasks.
func jsonPlan(p *cost.Plan, today bom.Date) object {
	if !p.Made() {
		return nil
	}
	var tasks []object
	for _, t := range p.Tasks {
		days := func(q bom.Quantity, sure bool) any {
			if !sure {
				return jsonNull
			}
			return jsonQuantity(q)
		}
		var critical any = t.Critical
		if !p.Known {
			critical = jsonNull
		}
		tasks = append(tasks, object{{"task", TaskName(t)}, {"start", days(t.Start, t.Placed)}, {"days", days(t.Takes, t.Sure)},
			{"end", days(t.End, t.Known)}, {"slack", days(t.Slack, p.Known)}, {"critical", critical}, {"waits_for", t.After}})
	}
	return append(jsonDay(p.Day(), p.Known, today), object{{"not_known", bom.Each(p.Gaps, func(g *cost.Gap) string { return gapText(*g) })}, {"path", p.Path}, {"tasks", tasks}}...)
}

// jsonDay is the day of a plan at the start of which a batch is ready, and its date; null and
// no date where some of it is not known and the day is the first possible.
func jsonDay(day int, known bool, today bom.Date) object {
	var ready, date any = jsonNull, nil
	if known {
		ready, date = day, ifGiven(today.Plus(day).String())
	}
	return object{{"ready_day", ready}, {"no_earlier_than", day}, {"date", date}}
}
