package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/plan"
)

// weekTerms are the working columns of Plan where not every day is a working day.
var weekTerms = []string{waitsUntil, workedBefore, latestEnd, workedAtLatest}

const (
	waitsUntil     = "Waits until"          // the end of the last that a task waits for
	workedBefore   = "Working days before"  // from the start of day 0 to that
	latestEnd      = "Latest end"           // by which what comes after is in time
	workedAtLatest = "Working days, latest" // from the start of day 0 to the latest start
)

// week writes times of tasks that go on on working days alone. Times are days from the start
// of day 0 on; working time is counted in working days from then on.
type week struct {
	plan.Week
	perWeek           int
	works, past, days string // by day from day 0 on: 1 or 0, working days before it; of each working day which it is
}

func newWeek(e *cost.Estimate) week {
	w := week{Week: plan.Week(e.WorkingDays.From(e.Today))}
	var works, past, days []string
	for i, is := range w.Week {
		works, past = append(works, strconv.Itoa(int(oneIf(is)))), append(past, strconv.Itoa(w.perWeek))
		if is {
			days, w.perWeek = append(days, strconv.Itoa(i)), w.perWeek+1
		}
	}
	w.works, w.past, w.days = strings.Join(works, ","), strings.Join(past, ","), strings.Join(days, ",")
	return w
}

// ties tells whether a task goes on on working days alone, and not every day is one.
func (w week) ties(t *cost.Task) bool { return !w.Every() && t.Kind.Working() }

// worked is how much working time is over at a time.
func (w week) worked(at string) string {
	day := "MOD(INT(" + at + "),7)+1"
	return days(fmt.Sprintf("INT(INT(%[1]s)/7)*%[2]d+CHOOSE(%[3]s,%[4]s)+(%[1]s-INT(%[1]s))*CHOOSE(%[3]s,%[5]s)", at, w.perWeek, day, w.past, w.works))
}

// after is the working moment by which so much working time is over.
func (w week) after(worked string) string { return w.within("INT("+worked+")", worked) }

// until is when so much working time is over, at the latest as a working day ends.
func (w week) until(worked string) string {
	worked = days(worked)
	return w.within("(-INT(-"+worked+")-1)", worked)
}

// within is a time on the working day of a number, counted from 0.
func (w week) within(day, worked string) string {
	return days(fmt.Sprintf("INT(%[1]s/%[2]d)*7+CHOOSE(MOD(%[1]s,%[2]d)+1,%[3]s)+%[4]s-%[1]s", day, w.perWeek, w.days, worked))
}

// begin writes when a task begins that waits until a time, and when it ends. What takes no
// time happens on any day.
func (w week) begin(l *live, b *cost.Batch, i int, waits string) (start, end string) {
	row := taskKey(b, i)
	at := w.waits(b, i)
	l.work(onPlan, row, waitsUntil, waits, at.Decimal())
	waits = l.ref(onPlan, row, waitsUntil)
	l.work(onPlan, row, workedBefore, w.worked(waits), w.Worked(at).Decimal())
	before, takes := l.ref(onPlan, row, workedBefore), l.ref(onPlan, row, "days")
	over := w.until(before + "+" + takes)
	if b.Plan.Tasks[i].Kind.Arrives() {
		over = w.after(days(before + "+" + takes))
	}
	return "IF(" + takes + "=0," + waits + "," + w.after(before) + ")", "IF(" + takes + "=0," + waits + "," + over + ")"
}

// waits is the end of the last task that one waits for.
func (w week) waits(b *cost.Batch, i int) (until bom.Quantity) {
	for _, before := range b.Plan.Tasks[i].After {
		until = max(until, b.Plan.Tasks[before].End)
	}
	return until
}

// slack is how long a task can be put off that must have ended at a time.
func (w week) slack(l *live, b *cost.Batch, i int, latest string, end bom.Quantity) string {
	row, t := taskKey(b, i), b.Plan.Tasks[i]
	l.work(onPlan, row, latestEnd, latest, end.Decimal())
	latest = l.ref(onPlan, row, latestEnd)
	start, takes := l.ref(onPlan, row, "start"), l.ref(onPlan, row, "days")
	before, left := w.worked(latest), w.Worked(end)
	if t.Kind.Arrives() { // by a day that is no working day: on the last one before
		before += "+CHOOSE(MOD(INT(" + latest + "),7)+1," + w.works + ")-1"
		left -= bom.Quantity(1-oneIf(w.On(end))) * bom.One
	}
	l.work(onPlan, row, workedAtLatest, days(before+"-"+takes), left.Decimal().Sub(t.Takes.Decimal()))
	return "IF(" + takes + "=0," + latest + "," + w.after(l.ref(onPlan, row, workedAtLatest)) + ")-" + start
}
