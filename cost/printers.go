package cost

import (
	"cmp"
	"math"
	"slices"

	"tenoff/bom"
	"tenoff/cost/printing/calendar"
)

// shopOf states the printers that there are for the calendar.
func shopOf(m *Model) []calendar.Printers {
	out := make([]calendar.Printers, len(m.prices.Printers))
	for i := range m.prices.Printers {
		p := &m.prices.Printers[i]
		out[i] = calendar.Printers{Count: p.Count, From: p.AttendedMin[0], To: p.AttendedMin[1], Watched: p.Watched}
	}
	return out
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
			out[k] = seconds(hoursOn(m, &l.load, lines, p))
		}
	}
	return out
}

func seconds(hours float64) int64 { return int64(math.Round(hours * secondsPerHour)) }

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

// givePrinters gives each plate to the printer that is free for it first, the longest
// plate first, and complains of plates that no attended time holds.
func givePrinters(m *Model, b *Batch, problems *bom.Problems) {
	choice := false
	for i := range b.beds {
		l := &b.beds[i]
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
		for i := range b.beds {
			l := &b.beds[i]
			if !told[l.printer] && !shop[printerIndex(m.prices.Printers, l.printer)].Holds(seconds(l.hours)) {
				told[l.printer] = true
				tellWatched(m, l, problems)
			}
		}
		return
	}
	slices.SortStableFunc(b.beds, func(a, b bed) int { return cmp.Compare(seconds(b.hours), seconds(a.hours)) })
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

// tellWatched complains of a plate that must be attended until it ends, for longer than
// anybody is there.
func tellWatched(m *Model, l *bed, problems *bom.Problems) {
	at := slices.IndexFunc(l.pieces, func(n int) bool { return n > 0 })
	line := lineOf(m, &m.printed[m.groups[l.group].lines[at]])
	problems.Errorf(l.printer.At("Runs on unattended"), "no", "longer attended hours, fewer pieces on a plate, or yes",
		"a plate of %s takes %.2f h, longer than %s is attended", line.Part, l.hours, l.printer.Name)
}
