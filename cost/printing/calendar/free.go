package calendar

import "slices"

// Plate is a plate, or several alike, and how long it takes on each kind of printer.
type Plate struct {
	Times   int
	Seconds []int64 // by kind; less than 0: it cannot be printed there
}

// FreeFirst gives plates, in their order, each to the printer that is free for it first,
// of several the first in the list (list scheduling, R. L. Graham, 1969). It tells by
// plate how many go to each kind; a plate that no printer holds goes nowhere.
func FreeFirst(printers []Printers, plates []Plate) [][]int {
	all := 0
	for _, p := range plates {
		all += p.Times
	}
	attended, busy := make([]hours, len(printers)), make([][]int64, len(printers)) // until when the printers of a kind are busy, by rising time
	for k, p := range printers {
		attended[k], busy[k] = p.hours(), make([]int64, min(p.Count, all))
	}
	out := make([][]int, len(plates))
	for i, p := range plates {
		out[i] = make([]int, len(printers))
		for range p.Times {
			best, first := -1, int64(0)
			for k := range printers {
				seconds := p.Seconds[k]
				if seconds < 0 || len(busy[k]) == 0 || !printers[k].Holds(seconds) {
					continue
				}
				if start := attended[k].start(busy[k][0], seconds); best < 0 || start < first {
					best, first = k, start
				}
			}
			if best < 0 {
				break
			}
			out[i][best]++
			end := first + p.Seconds[best]
			at, _ := slices.BinarySearch(busy[best][1:], end)
			busy[best] = slices.Insert(busy[best][1:], at, end)
		}
	}
	return out
}
