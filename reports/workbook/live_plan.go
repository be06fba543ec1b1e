package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// planTerms are the working columns of Plan that its bars are drawn from: where
// a bar begins, and its length as one that is critical or one that is not. What
// is not known is drawn as short as it can be.
var planTerms = []string{barFrom, barCritical, barSlack}

const (
	barFrom     = "Bar from"
	barCritical = "critical"
	barSlack    = "has slack"
)

// writePlan works out when the tasks of a batch start and end: a pass forward by the
// latest of what each waits for, and a pass back by what waits for it. In which
// turn hand work is done, and how long printing takes, stays as it was planned.
func writePlan(l *live, b *cost.Batch) {
	p := &b.Plan
	next := make([][]int, len(p.Tasks))
	for i, t := range p.Tasks {
		for _, before := range t.After {
			next[before] = append(next[before], i)
		}
		taskTimes(l, b, i)
	}
	total := "total " + strconv.Itoa(b.Size)
	if span := l.span(onPlan, "end", b.Size); span != "" && p.Known {
		l.set(onPlan, total, "end", "MAX("+span+")")
		doneBy(l, total)
	}
	for i := range p.Tasks {
		taskSlack(l, b, i, next[i])
		taskBar(l, b, i)
	}
}

func taskKey(b *cost.Batch, i int) string { return reports.RowKey(reports.KeyTask, b.Size, i) }

// days rounds to the millionth that plans are reckoned to.
func days(x string) string { return "ROUND(" + x + ",6)" }

// wholeDay is the first day at the start of which something is done.
func wholeDay(x string) string { return "-INT(-" + days(x) + ")" }

func taskTimes(l *live, b *cost.Batch, i int) {
	t, row := b.Plan.Tasks[i], taskKey(b, i)
	cell := func(col string) string { return l.ref(onPlan, row, col) }
	switch t.Kind {
	case cost.OrderTask, cost.AssemblyTask:
		l.set(onPlan, row, "days", l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, 0, l.supplier(t.Name)), "Lead days"))
	case cost.BenchTask:
		l.set(onPlan, row, "days", benchDays(l, b, t.Name))
	default:
		l.input(onPlan, row, "days")
	}
	var ends []string
	for _, before := range t.After {
		ends = append(ends, l.ref(onPlan, taskKey(b, before), "end"))
	}
	if len(ends) > 0 {
		l.set(onPlan, row, "start", "MAX("+strings.Join(ends, ",")+")")
	}
	l.set(onPlan, row, "end", days(cell("start")+"+"+cell("days")))
	doneBy(l, row)
}

// benchDays is how many days the rows of hand work of one kind take.
func benchDays(l *live, b *cost.Batch, appliesTo string) string {
	var hours []string
	for i, w := range b.Work {
		if w.AppliesTo == appliesTo {
			hours = append(hours, l.ref(onWork, reports.RowKey(reports.KeyWork, b.Size, i), "hours"))
		}
	}
	return days("(" + sumOf(hours) + ")/" + l.setting("Bench hours per day"))
}

// doneBy is the date of the first day at the start of which a task is done.
func doneBy(l *live, row string) {
	if d := l.e.Today; !d.IsZero() {
		l.set(onPlan, row, "by", fmt.Sprintf("DATE(%d,%d,%d)+%s", d.Year, int(d.Month), d.Day, wholeDay(l.ref(onPlan, row, "end"))))
	}
}

// taskSlack is how long a task can be put off: until the first of what waits for
// it must start, or until the whole ends.
func taskSlack(l *live, b *cost.Batch, i int, next []int) {
	row := taskKey(b, i)
	latest := l.ref(onPlan, "total "+strconv.Itoa(b.Size), "end")
	if len(next) > 0 {
		var starts []string
		for _, after := range next {
			starts = append(starts, l.ref(onPlan, taskKey(b, after), "start")+"+"+l.ref(onPlan, taskKey(b, after), "slack"))
		}
		latest = "MIN(" + strings.Join(starts, ",") + ")"
	}
	l.set(onPlan, row, "slack", days(latest+"-"+l.ref(onPlan, row, "end")))
	l.set(onPlan, row, "critical", "IF("+l.ref(onPlan, row, "slack")+`=0,"yes","no")`)
}

// taskBar fills in what the bar of a task is drawn from.
func taskBar(l *live, b *cost.Batch, i int) {
	t, row := b.Plan.Tasks[i], taskKey(b, i)
	critical, slack := decimal.Zero, decimal.Zero
	if t.Critical {
		critical = t.Takes.Decimal()
	} else {
		slack = t.Takes.Decimal()
	}
	if !b.Plan.Known {
		l.constant(onPlan, row, barFrom, t.Start.Decimal())
		l.constant(onPlan, row, barCritical, critical)
		l.constant(onPlan, row, barSlack, slack)
		return
	}
	is := l.ref(onPlan, row, "slack") + "=0"
	takes := l.ref(onPlan, row, "days")
	l.work(onPlan, row, barFrom, l.ref(onPlan, row, "start"), t.Start.Decimal())
	l.work(onPlan, row, barCritical, "IF("+is+","+takes+",0)", critical)
	l.work(onPlan, row, barSlack, "IF("+is+",0,"+takes+")", slack)
}

// repeatAbove has a large figure on the first sheet follow its row in the table.
func repeatAbove(l *live, row int, key string) {
	s := l.sheets[onUnit]
	for i := range l.e.Batches {
		_, from, ok := l.find(onUnit, key, columnKey("value", l.e.Batches[i].Size))
		v := s.value(from)
		if _, number := v.Decimal(); !ok || !number {
			continue
		}
		at := spot{row, from.col}
		s.working[at] = v
		s.give(at, formula{text: bom.ColumnLetters(from.col) + strconv.Itoa(from.row)})
	}
}
