package workbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// planTerms are the working columns of Plan that its bars are drawn from: where
// a bar begins, and its length as one that is critical or one that is not. What
// is not known is drawn as short as it can be.
var planTerms = []string{barFrom, barCritical, barSlack, onPath, leg, pathSoFar, faultSays, fault}

const (
	barFrom     = "Bar from"
	barCritical = "critical"
	barSlack    = "has slack"

	onPath    = "On path" // 1 for a task of the critical path
	leg       = "Leg"     // how the path tells it
	pathSoFar = "Path"    // the path down to it
)

// writePlan works out when the tasks of a batch start and end: a pass forward by the
// latest of what each waits for, and a pass back by what waits for it. In which
// turn hand work is done, and how long printing takes, stays as it was planned.
func writePlan(l *live, b *cost.Batch) {
	p, w := &b.Plan, newWeek(l.e)
	next := make([][]int, len(p.Tasks))
	for i, t := range p.Tasks {
		for _, before := range t.After {
			next[before] = append(next[before], i)
		}
		taskTimes(l, b, i, w)
	}
	total := reports.TotalKey(b.ID())
	if span := l.span(onPlan, "end", b.ID()); span != "" && p.Known {
		l.set(onPlan, total, "end", "MAX("+span+")")
		doneBy(l, total)
	}
	for i := range p.Tasks {
		taskSlack(l, b, i, next[i], w)
		taskBar(l, b, i)
	}
	writePath(l, b, next, w)
}

// writePath tells the critical path: the last task of all, and before each task the first
// that it waits for until it starts. Hand work is told together, after all else.
func writePath(l *live, b *cost.Batch, next [][]int, w week) {
	p := &b.Plan
	if !p.Known || len(p.Tasks) == 0 {
		return
	}
	total := reports.TotalKey(b.ID())
	on := make([]bool, len(p.Tasks))
	for _, i := range p.Path {
		on[i] = true
	}
	var bench, ends []string
	said, before := "", ""
	for i := range p.Tasks {
		row := taskKey(b, i)
		ends = append(ends, l.ref(onPlan, row, "end"))
		l.work(onPlan, row, onPath, pathTest(l, b, i, next[i], ends[:i], total, w), decimal.NewFromInt(oneIf(on[i])))
		days, is := l.ref(onPlan, row, "days"), l.ref(onPlan, row, onPath)
		t := &p.Tasks[i]
		text, words := `""`, ""
		if t.Kind == cost.BenchTask {
			bench = append(bench, is+"*"+days)
		} else {
			name := l.ref(onPlan, row, "task")
			if t.Kind == cost.OrderTask {
				name = l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, "", l.supplier(t.Name)), "supplier")
			}
			text = "IF(AND(" + is + "=1," + days + `>0),` + name + `&" "&` + shortDays(days) + `&" d","")`
			if on[i] && t.Takes > 0 {
				words = reports.Leg(*t) + " " + reports.ShortDays(t.Takes) + " d"
			}
		}
		l.workText(onPlan, row, leg, text, words)
		link := l.ref(onPlan, row, leg)
		if before != "" {
			link = before + "&IF(OR(" + before + `="",` + link + `=""),""," → ")&` + link
		}
		if said != "" && words != "" {
			said += " → "
		}
		said += words
		l.workText(onPlan, row, pathSoFar, link, said)
		before = l.ref(onPlan, row, pathSoFar)
	}
	if hours := sumOf(bench); len(bench) > 0 {
		before = before + "&IF((" + hours + ")=0,\"\",IF(" + before + `="",""," → ")&"hand work "&` + shortDays("("+hours+")") + `&" d")`
	}
	l.set(onPlan, total, "after", before)
}

// pathTest is 1 where a task is on the critical path.
func pathTest(l *live, b *cost.Batch, i int, next []int, earlier []string, total string, w week) string {
	end := l.ref(onPlan, taskKey(b, i), "end")
	if len(next) == 0 { // the first of those that end last
		test := end + "=" + l.ref(onPlan, total, "end")
		for j, e := range earlier {
			if !waitedFor(b, j) {
				test += "," + e + "<>" + l.ref(onPlan, total, "end")
			}
		}
		return "IF(AND(" + test + "),1,0)"
	}
	var tests []string
	for _, k := range next {
		waits := l.ref(onPlan, taskKey(b, k), "start")
		if w.ties(&b.Plan.Tasks[k]) {
			waits = l.ref(onPlan, taskKey(b, k), waitsUntil)
		}
		test := l.ref(onPlan, taskKey(b, k), onPath) + "=1," + end + "=" + waits
		for _, j := range b.Plan.Tasks[k].After {
			if j == i {
				break
			}
			test += "," + l.ref(onPlan, taskKey(b, j), "end") + "<>" + waits
		}
		tests = append(tests, "AND("+test+")")
	}
	return "IF(OR(" + strings.Join(tests, ",") + "),1,0)"
}

// waitedFor tells whether another task waits for one.
func waitedFor(b *cost.Batch, i int) bool {
	return slices.ContainsFunc(b.Plan.Tasks, func(t cost.Task) bool { return slices.Contains(t.After, i) })
}

// shortDays shows a tenth of a day, and what is less than that as such.
func shortDays(ref string) string { return "IF(ROUND(" + ref + `,1)=0,"< 0.1",ROUND(` + ref + ",1))" }

// planHead tells when a batch is ready, and why not earlier. Where something is not known
// no formula reckons the day.
func planHead(e *cost.Estimate, b *cost.Batch) string {
	head := planned(b) + ": "
	if !b.Plan.Known {
		return head + reports.ReadyWords(e, b) + reckonedOnce
	}
	if day, ok := readyDate(e, b).Day(); ok {
		head += "ready " + reports.ShownDate(day) + " (day " + strconv.Itoa(b.Plan.Day()) + ")"
	} else {
		head += "ready on day " + strconv.Itoa(b.Plan.Day())
	}
	if path := reports.PlanPath(&b.Plan); path != "" {
		head += ": " + path
	}
	return head
}

// reckonedOnce says that a day does not follow the cells.
const reckonedOnce = ", as of the run"

// writeHead has the line above a batch's plan follow it.
func writeHead(l *live, b *cost.Batch, row int) {
	c := sum.Cell{Sheet: sheetPlan, Col: 1, Row: row}
	text := planHead(l.e, b)
	if !b.Plan.Known {
		l.say(c, textOf(text), text)
		return
	}
	total := reports.TotalKey(b.ID())
	day := wholeDay(l.ref(onPlan, total, "end"))
	formula := textOf(planned(b)+": ready on day ") + "&" + day
	if _, dated := readyDate(l.e, b).Day(); dated {
		formula = textOf(planned(b)+": ready ") + "&" + dateWords(l.ref(onPlan, total, "by")) + `&" (day "&` + day + `&")"`
	}
	path := l.ref(onPlan, total, "after")
	if reports.PlanPath(&b.Plan) != "" {
		formula += `&IF(` + path + `="","",": "&` + path + `)`
	}
	l.say(c, formula, text)
}

func taskKey(b *cost.Batch, i int) string { return reports.RowKey(reports.KeyTask, b.ID(), i) }

// days rounds to the millionth that plans are reckoned to.
func days(x string) string { return "ROUND(" + x + ",6)" }

// wholeDay is the first day at the start of which something is done.
func wholeDay(x string) string { return "-INT(-" + days(x) + ")" }

func taskTimes(l *live, b *cost.Batch, i int, w week) {
	t, row := b.Plan.Tasks[i], taskKey(b, i)
	cell := func(col string) string { return l.ref(onPlan, row, col) }
	switch t.Kind {
	case cost.OrderTask, cost.AssemblyTask:
		if !t.Quoted {
			l.set(onPlan, row, "days", l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, "", l.supplier(t.Name)), "Lead days"))
		}
	case cost.BenchTask:
		l.set(onPlan, row, "days", benchDays(l, b, t.Name))
	default:
		l.input(onPlan, row, "days")
	}
	ends := bom.Each(t.After, func(before *int) string { return l.ref(onPlan, taskKey(b, *before), "end") })
	start, end := "MAX("+strings.Join(ends, ",")+")", cell("start")+"+"+cell("days")
	if len(ends) == 0 {
		start = "0"
	}
	if w.ties(&t) {
		start, end = w.begin(l, b, i, start)
	}
	if len(ends) > 0 || w.ties(&t) {
		l.set(onPlan, row, "start", start)
	}
	if d := l.e.Today; !d.IsZero() {
		l.set(onPlan, row, "from", fmt.Sprintf("DATE(%d,%d,%d)+INT(%s)", d.Year, int(d.Month), d.Day, days(cell("start"))))
	}
	l.set(onPlan, row, "end", days(end))
	doneBy(l, row)
}

// benchDays is how many days the rows of hand work of one kind take, in whole millionths.
func benchDays(l *live, b *cost.Batch, appliesTo string) string {
	var hours []string
	for i, w := range b.Work {
		if w.AppliesTo == appliesTo {
			hours = append(hours, l.ref(onWork, reports.RowKey(reports.KeyWork, b.ID(), i), "hours"))
		}
	}
	return "INT(ROUND((" + sumOf(hours) + ")/" + l.setting("Bench hours per day") + "*1000000,3))/1000000"
}

// doneBy is the date of the first day at the start of which a task is done.
func doneBy(l *live, row string) {
	if d := l.e.Today; !d.IsZero() {
		l.set(onPlan, row, "by", fmt.Sprintf("DATE(%d,%d,%d)+%s", d.Year, int(d.Month), d.Day, wholeDay(l.ref(onPlan, row, "end"))))
	}
}

// taskSlack is how long a task can be put off: until the first of what waits for
// it must start, or until the whole ends.
func taskSlack(l *live, b *cost.Batch, i int, next []int, w week) {
	row := taskKey(b, i)
	latest := l.ref(onPlan, reports.TotalKey(b.ID()), "end")
	if len(next) > 0 {
		starts := bom.Each(next, func(after *int) string {
			return l.ref(onPlan, taskKey(b, *after), "start") + "+" + l.ref(onPlan, taskKey(b, *after), "slack")
		})
		latest = "MIN(" + strings.Join(starts, ",") + ")"
	}
	slack := latest + "-" + l.ref(onPlan, row, "end")
	if t := &b.Plan.Tasks[i]; w.ties(t) {
		end := b.Plan.Ready
		for _, after := range next {
			end = min(end, b.Plan.Tasks[after].Start+b.Plan.Tasks[after].Slack)
		}
		slack = w.slack(l, b, i, latest, end)
	}
	l.set(onPlan, row, "slack", days(slack))
	l.set(onPlan, row, "critical", "IF("+l.ref(onPlan, row, "slack")+`=0,"yes","no")`)
}

// taskBar fills in what the bar of a task is drawn from.
func taskBar(l *live, b *cost.Batch, i int) {
	t, row := b.Plan.Tasks[i], taskKey(b, i)
	critical, slack := decimal.Zero, decimal.Zero
	if t.Critical {
		critical = (t.End - t.Start).Decimal()
	} else {
		slack = (t.End - t.Start).Decimal()
	}
	if !b.Plan.Known {
		l.constant(onPlan, row, barFrom, t.Start.Decimal())
		l.constant(onPlan, row, barCritical, critical)
		l.constant(onPlan, row, barSlack, slack)
		return
	}
	is := l.ref(onPlan, row, "slack") + "=0"
	takes := l.ref(onPlan, row, "end") + "-" + l.ref(onPlan, row, "start")
	l.work(onPlan, row, barFrom, l.ref(onPlan, row, "start"), t.Start.Decimal())
	l.work(onPlan, row, barCritical, "IF("+is+","+takes+",0)", critical)
	l.work(onPlan, row, barSlack, "IF("+is+",0,"+takes+")", slack)
}
