package calendar

import "container/heap"

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
	machines, busy := make([]machine, len(printers)), make([]ends, len(printers))
	for k, p := range printers {
		machines[k], busy[k] = p.machine(), make(ends, min(p.Count, all))
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
				if start := machines[k].start(busy[k][0], seconds); best < 0 || start < first {
					best, first = k, start
				}
			}
			if best < 0 {
				break
			}
			out[i][best]++
			busy[best][0] = first + p.Seconds[best]
			heap.Fix(&busy[best], 0)
		}
	}
	return out
}

// ends are the times at which the printers of a kind are free, the first first.
type ends []int64

func (e ends) Len() int           { return len(e) }
func (e ends) Less(i, j int) bool { return e[i] < e[j] }
func (e ends) Swap(i, j int)      { e[i], e[j] = e[j], e[i] }
func (e *ends) Push(any)          {} // as many as there are printers
func (e *ends) Pop() any          { return nil }
