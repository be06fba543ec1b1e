package cost

import (
	"cmp"
	"fmt"
	"slices"

	"tenoff/bom"
	"tenoff/cost/printing/calendar"
)

// plannedPlates bounds what is planned: improving a plan of more takes long, and
// they keep a few printers busy for years.
const plannedPlates = 5000

// planPrinting plans on their printers (calendar) as many plates as are enough at the
// confidence of the settings. Without a printer for every part nothing can be said.
func planPrinting(m *Model, b *Batch, problems *bom.Problems) {
	planned := 0
	var jobs []calendar.Job
	for i := range b.beds {
		if b.beds[i].printer == nil {
			return
		}
	}
	spares := spareBeds(m, b, problems)
	for i := range b.beds {
		planned += b.beds[i].times + spares[i]
	}
	if planned == 0 {
		return
	}
	at := m.entries[m.printed[0].entry].Line.At("Per plate")
	if planned > plannedPlates {
		problems.Warnf(at, "", fmt.Sprintf("at most %d plates", plannedPlates), "batch %s takes %d plates, more than are planned; the days of printing are not known", b.ID(), planned)
		return
	}
	var shop []calendar.Printers // those that print
	kind := map[int]int{}
	for i := range b.beds {
		l := &b.beds[i]
		at := printerIndex(m.prices.Printers, l.printer)
		if _, ok := kind[at]; !ok {
			kind[at] = len(shop)
			shop = append(shop, shopOf(m)[at])
		}
		job := calendar.Job{Seconds: seconds(l.hours), On: []int{kind[at]}}
		for range l.times + spares[i] {
			jobs = append(jobs, job)
		}
	}
	plan, err := calendar.Make(shop, jobs)
	if err != nil {
		problems.Warnf(at, "", "plates that end within the time of a run", "the days of printing of batch %s are not known: %v", b.ID(), err)
		return
	}
	hours := func(s int64) float64 { return float64(s) / secondsPerHour }
	b.Printing = Printing{Known: true, FinishH: hours(plan.Finish), BoundH: hours(plan.Bound), IdleH: hours(plan.Idle)}
}

// spareBeds is how many plates of each kind are planned besides those that must come out,
// so that enough do on each printer: the longest first.
func spareBeds(m *Model, b *Batch, problems *bom.Problems) []int {
	type key struct {
		group   int
		printer *bom.Printer
	}
	good, done, spares := map[key]int{}, map[key]bool{}, make([]int, len(b.beds))
	order := make([]int, len(b.beds))
	for i := range b.beds {
		good[key{b.beds[i].group, b.beds[i].printer}] += b.beds[i].times
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(b.beds[j].hours, b.beds[i].hours) })
	for _, i := range order {
		k := key{b.beds[i].group, b.beds[i].printer}
		if done[k] {
			continue
		}
		done[k] = true
		more := enoughPlates(&m.prices.Settings, good[k], k.printer, problems) - good[k]
		whole := more / good[k]
		more %= good[k]
		for _, j := range order {
			if l := &b.beds[j]; l.group == k.group && l.printer == k.printer {
				again := min(more, l.times)
				more -= again
				spares[j] = l.times*whole + again
			}
		}
	}
	return spares
}
