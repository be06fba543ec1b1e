package cost

import (
	"fmt"
	"math"

	"tenoff/bom"
	"tenoff/cost/printing/calendar"
)

// plannedPlates bounds what is planned: improving a plan of more takes long, and
// they keep a few printers busy for years.
const plannedPlates = 5000

// planPrinting plans all started plates on their printers (calendar). Without a printer
// for every part nothing can be said.
func planPrinting(m *Model, b *Batch, beds []loads, problems *bom.Problems) {
	var printers []calendar.Printers
	kind := map[*bom.Printer]int{}
	started := 0
	for i, g := range m.groups {
		started += beds[i].started
		if g.printer == nil {
			return
		}
	}
	if started == 0 {
		return
	}
	at := m.entries[m.printed[0].entry].Line.At("Per plate")
	if started > plannedPlates {
		problems.Warnf(at, "", fmt.Sprintf("at most %d plates", plannedPlates), "batch %d takes %d plates, more than are planned; the days of printing are not known", b.Size, started)
		return
	}
	jobs := make([]calendar.Job, 0, started)
	for i, g := range m.groups {
		k, ok := kind[g.printer]
		if !ok {
			k = len(printers)
			kind[g.printer] = k
			printers = append(printers, calendar.Printers{Count: g.printer.Count, From: g.printer.AttendedMin[0], To: g.printer.AttendedMin[1]})
		}
		on := []int{k}
		beds[i].eachStarted(func(l *load, times int) {
			job := calendar.Job{Seconds: int64(math.Round(l.hours * secondsPerHour)), On: on}
			for range times {
				jobs = append(jobs, job)
			}
		})
	}
	plan, err := calendar.Make(printers, jobs)
	if err != nil {
		problems.Warnf(at, "", "plates that end within the time of a run", "the days of printing of batch %d are not known: %v", b.Size, err)
		return
	}
	hours := func(s int64) float64 { return float64(s) / secondsPerHour }
	b.Printing = Printing{Known: true, FinishH: hours(plan.Finish), BoundH: hours(plan.Bound), IdleH: hours(plan.Idle), Proven: plan.Proven()}
}
