package cost

import (
	"cmp"
	"math"
	"slices"

	"tenoff/bom"
	"tenoff/cost/printing/calendar"
	"tenoff/cost/yield"
)

// givePrinters gives each plate to the printer that is free for it first, the longest
// plate first, and complains of plates that no attended time holds.
func givePrinters(m *Model, b *Batch, problems *bom.Problems) {
	choice := false
	for _, l := range bom.Refs(b.beds) {
		if l.printer == nil {
			return // of none of them is known when they are printed
		}
		for j, n := range l.pieces {
			choice = choice || n > 0 && len(m.printed[m.groups[l.group].lines[j]].others) > 0
		}
	}
	shop := shopOf(m)
	if !choice {
		told := map[*bom.Printer]bool{}
		for _, l := range bom.Refs(b.beds) {
			if !told[l.printer] && !shop[printerIndex(m.prices.Printers, l.printer)].Holds(wholeSeconds(l.hours)) {
				told[l.printer] = true
				tellWatched(m, l, problems)
			}
		}
		return
	}
	slices.SortStableFunc(b.beds, func(a, b bed) int { return cmp.Compare(wholeSeconds(b.hours), wholeSeconds(a.hours)) })
	plates := bom.Each(b.beds, func(b *bed) calendar.Plate { return calendar.Plate{Times: b.times, Seconds: plateSeconds(m, b)} })
	var given []bed
	for i, on := range calendar.FreeFirst(shop, plates) {
		left := b.beds[i].times
		for k, n := range on {
			if n > 0 {
				l := b.beds[i]
				l.times, l.printer = n, &m.prices.Printers[k]
				l.hours = hoursOn(m, &l.load, m.groups[l.group].lines, l.printer)
				given = append(given, l)
				left -= n
			}
		}
		if left > 0 {
			tellWatched(m, &b.beds[i], problems)
			return
		}
	}
	b.beds = given
}

// shopOf states the printers that there are for the calendar.
func shopOf(m *Model) []calendar.Printers {
	return bom.Each(m.prices.Printers, func(p *bom.Printer) calendar.Printers {
		return calendar.Printers{Count: p.Count, From: p.AttendedMin[0], To: p.AttendedMin[1], Watched: p.Watched}
	})
}

// plateSeconds is how long a plate takes on each printer; less than 0 where that cannot
// print it.
func plateSeconds(m *Model, l *bed) []int64 {
	lines := m.groups[l.group].lines
	out := make([]int64, len(m.prices.Printers))
	for k := range out {
		p := &m.prices.Printers[k]
		out[k] = -1
		if l.fitsOn(m, lines, p) {
			out[k] = wholeSeconds(hoursOn(m, &l.load, lines, p))
		}
	}
	return out
}

func wholeSeconds(hours float64) int64 { return int64(math.Round(hours * secondsPerHour)) }

// fitsOn tells whether a plate fits on a printer besides the one it is laid for: each
// piece of it does, and several of them take no more than its bed; where they are not laid
// out, than the bed that they are printed on.
func (l *bed) fitsOn(m *Model, lines []int, p *bom.Printer) bool {
	if p == l.printer {
		return true
	}
	pieces := 0
	for i, n := range l.pieces {
		if n > 0 && m.printed[lines[i]].by(p) == nil {
			return false
		}
		pieces += n
	}
	room := l.size
	if room == (bom.Point{}) && pieces > 1 {
		room = bom.Point{l.printer.BedMM[0].Value, l.printer.BedMM[1].Value}
	}
	return p.Holds(room)
}

// tellWatched complains of a plate that must be attended until it ends, for longer than
// anybody is there.
func tellWatched(m *Model, l *bed, problems *bom.Problems) {
	at := slices.IndexFunc(l.pieces, func(n int) bool { return n > 0 })
	line := lineOf(m, &m.printed[m.groups[l.group].lines[at]])
	problems.Errorf(l.printer.At("Runs on unattended"), "no", "longer attended hours, fewer pieces on a plate, or yes",
		"a plate of %s takes %.2f h, longer than %s is attended", line.Part, l.hours, l.printer.Name)
}

// enoughPlates is how many plates are to be begun so that so many come out good, at the
// confidence of the settings.
func enoughPlates(s *bom.Settings, good int, printer *bom.Printer, problems *bom.Problems) int {
	if printer == nil {
		return good
	}
	n, err := yield.Enough(good, 1-fraction(printer.Failure), fraction(s.Confidence))
	if err != nil {
		problems.Errorf(printer.At("Failure %"), printer.Failure.String(), "a lower failure rate", "%v", err)
	}
	return max(n, good)
}

// plannedPlates bounds what is planned: improving a plan of more takes long, and
// they keep a few printers busy for years.
const plannedPlates = 5000

// planPrinting plans on their printers (calendar) as many plates as are enough at the
// confidence of the settings. Without a printer for every part nothing can be said.
func planPrinting(m *Model, b *Batch, problems *bom.Problems) {
	for i := range b.beds {
		if b.beds[i].printer == nil {
			return
		}
	}
	spares := spareBeds(m, b, problems)
	planned := 0
	for i := range b.beds {
		planned += b.beds[i].times + spares[i]
	}
	if planned == 0 {
		return
	}
	at := m.entries[m.printed[0].entry].Line.At("Per plate")
	if planned > plannedPlates {
		problems.Warnf(at, "", "at most "+bom.GroupedCount(plannedPlates)+" plates", "batch %s takes %s plates, more than are planned; the days of printing are not known", b.ID().Shown(), bom.GroupedCount(planned))
		return
	}
	plates := make([][]int64, len(m.prices.Printers)) // by printer: the seconds of each
	for i, l := range bom.Refs(b.beds) {
		k := printerIndex(m.prices.Printers, l.printer)
		plates[k] = append(plates[k], slices.Repeat([]int64{wholeSeconds(l.hours)}, l.times+spares[i])...)
	}
	plans := make([]calendar.Plan, len(plates))
	finish, bound, idle := int64(0), int64(0), int64(0)
	for k, printers := range shopOf(m) {
		var err error
		if plans[k], err = calendar.Make(printers, plates[k]); err != nil {
			problems.Warnf(at, "", "plates that end within the time of a run", "the days of printing of batch %s are not known: %v", b.ID().Shown(), err)
			return
		}
		finish, bound = max(finish, plans[k].Finish), max(bound, plans[k].Bound)
	}
	for k := range plans {
		idle += plans[k].Idle(finish)
	}
	hours := func(s int64) float64 { return float64(s) / secondsPerHour }
	b.Printing = Printing{Known: true, FinishH: hours(finish), BoundH: hours(bound), IdleH: hours(idle)}
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
