package plan

import (
	"math/rand/v2"
	"slices"
	"testing"

	"tenoff/bom"
)

// TestWeek: a run that is ordered on a Thursday, worked by hand on a calendar. Orders move and
// hands work from Monday to Friday; printing goes on over the week-end.
func TestWeek(t *testing.T) {
	thursday := Week{true, true, false, false, true, true, true}
	parts := Task{Days: days(3), Working: true}                     // Thu, Fri, Mon: there as Tuesday begins
	print := Task{Days: days(2.5)}                                  // Thu to Saturday noon
	screw := Task{Days: days(1.5), After: []int{1}, Working: true}  // begins on Monday, done on Tuesday noon
	solder := Task{Days: days(0.5), After: []int{0}, Working: true} // Tuesday morning
	pack := Task{Days: days(4), After: []int{2, 3}, Working: true}  // Tuesday noon to Monday noon
	post := Task{Days: 0, After: []int{4}, Working: true}           // at once
	spool := Task{Days: days(2), Working: true, Arrives: true}      // Thu, Fri: there on Monday; may leave then to be there on Wednesday
	lid := Task{Days: days(5.5), After: []int{6}}                   // Mon to Saturday noon
	p, err := Make([]Task{parts, print, screw, solder, pack, post, spool, lid}, thursday)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []Slot{
		{days(0), days(5), days(0)},
		{days(0), days(2.5), days(1.5)}, // may be done as late as Monday begins
		{days(4), days(5.5), days(0)},
		{days(5), days(5.5), days(0)},
		{days(5.5), days(11.5), days(0)},
		{days(11.5), days(11.5), days(0)},
		{days(0), days(4), days(4)},
		{days(4), days(9.5), days(2)},
	} {
		if p.Slots[i] != want {
			t.Errorf("task %d: %v, want %v", i, p.Slots[i], want)
		}
	}
	if want := []int{1, 2, 4}; !slices.Equal(p.Path, want) {
		t.Errorf("path %v, want %v", p.Path, want)
	}
}

// TestWeekByQuarters holds starts, ends, latest begins and working time against a clock that
// goes on by quarters of a day.
func TestWeekByQuarters(t *testing.T) {
	const quarter = bom.One / 4
	r := rand.New(rand.NewPCG(3, 7))
	for range 2000 {
		var w Week
		for i := range w {
			w[i] = r.IntN(2) == 0
		}
		works := func(at bom.Quantity) bool { return w.Every() || w[at/bom.One%7] }
		task := Task{Days: bom.Quantity(1+r.IntN(60)) * quarter, Working: true}
		at, worked := bom.Quantity(r.IntN(60))*quarter, bom.Quantity(0)
		for q := bom.Quantity(0); q < at; q += quarter {
			if works(q) {
				worked += quarter
			}
		}
		if got := w.Worked(at); got != worked {
			t.Fatalf("%v: worked %v by %v, want %v", w, got, at, worked)
		}
		start := at
		for !works(start) {
			start += quarter
		}
		end := start
		for left := task.Days; left > 0; end += quarter {
			if works(end) {
				left -= quarter
			}
		}
		if s := w.starts(&task, at); s != start || w.ends(&task, s) != end {
			t.Fatalf("%v: %v days from %v on: %v to %v, want %v to %v", w, task.Days, at, s, w.ends(&task, s), start, end)
		}
		// The latest begin is a working moment by which the task ends in time, and a quarter
		// later it does not.
		late := end + bom.Quantity(r.IntN(9))*quarter
		begin := w.begins(&task, late)
		if !works(begin) || w.ends(&task, begin) > late {
			t.Fatalf("%v: %v days by %v begin at %v", w, task.Days, late, begin)
		}
		if after := w.starts(&task, begin+quarter); w.ends(&task, after) <= late {
			t.Fatalf("%v: %v days by %v could begin after %v", w, task.Days, late, begin)
		}
	}
}

// TestWeekOfOrders holds orders against a calendar of whole days: they are there as the
// working day begins that comes after as many working days, and not on the day before if
// that is none.
func TestWeekOfOrders(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 11))
	for range 2000 {
		var w Week
		for i := range w {
			w[i] = r.IntN(2) == 0
		}
		order := Task{Days: bom.Whole(int64(1 + r.IntN(15))), Working: true, Arrives: true}
		start, there := w.starts(&order, 0), bom.Quantity(0)
		for n := -bom.One; n < order.Days; there += bom.One {
			if w.On(there) {
				n += bom.One
			}
		}
		there -= bom.One
		if got := w.ends(&order, start); got != there {
			t.Fatalf("%v: an order of %v days is there on %v, want %v", w, order.Days, got, there)
		}
		by := bom.Whole(int64(r.IntN(40)))
		if got := order.Days <= w.LeadBy(by); got != (there <= by) {
			t.Fatalf("%v: an order of %v days is there on %v; by %v: %v", w, order.Days, there, by, got)
		}
		if by < there {
			continue
		}
		begin := w.begins(&order, by)
		if !w.On(begin) || w.ends(&order, begin) > by || w.ends(&order, w.next(begin+bom.One)) <= by {
			t.Fatalf("%v: an order of %v days by %v leaves on %v", w, order.Days, by, begin)
		}
	}
}
