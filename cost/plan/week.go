package plan

import "tenoff/bom"

// Week tells of seven days, from day 0 on, on which of them those tasks go on that are tied to
// working days; the days after them are like them. The zero value is every day.
type Week [7]bool

// Every tells whether all days are working days.
func (w Week) Every() bool { return w == Week{} || w.perWeek() == len(w) }

func (w Week) perWeek() (n int) {
	for _, works := range w {
		if works {
			n++
		}
	}
	return n
}

const week = 7 * bom.One

// Worked is how much of a time from the start of day 0 on is working time.
func (w Week) Worked(t bom.Quantity) bom.Quantity {
	if w.Every() {
		return t
	}
	whole := t / week
	days := whole * bom.Quantity(w.perWeek()) * bom.One
	for day, left := 0, t-whole*week; left > 0; day, left = day+1, left-bom.One {
		if w[day] {
			days += min(left, bom.One)
		}
	}
	return days
}

// starts is when a task that waits until a time can begin. What takes no time happens on any
// day.
func (w Week) starts(t *Task, at bom.Quantity) bom.Quantity {
	if w.any(t) {
		return at
	}
	return w.next(at)
}

// next is the first working moment from a time on.
func (w Week) next(at bom.Quantity) bom.Quantity {
	for !w.On(at) {
		at = (at/bom.One + 1) * bom.One
	}
	return at
}

// On tells whether a time is on a working day.
func (w Week) On(at bom.Quantity) bool { return w.Every() || w[at%week/bom.One] }

// LeadBy is how many working days an order of day 0 may take to be there as a day begins: on
// a day that is none nothing arrives, so it has to be there on the last one before.
func (w Week) LeadBy(day bom.Quantity) bom.Quantity {
	days := w.Worked(day)
	if !w.On(day) {
		days = max(days-bom.One, 0)
	}
	return days
}

// any tells whether a task goes on on any day.
func (w Week) any(t *Task) bool { return !t.Working || t.Days == 0 || w.Every() }

// ends is when a task that begins at a time is done.
func (w Week) ends(t *Task, at bom.Quantity) bom.Quantity {
	if w.any(t) {
		return at + t.Days
	}
	weeks, left := w.weeks(t.Days)
	at += weeks * week
	for {
		next := (at/bom.One + 1) * bom.One
		if w[at%week/bom.One] {
			if at+left <= next {
				if t.Arrives {
					return w.next(at + left)
				}
				return at + left
			}
			left -= next - at
		}
		at = next
	}
}

// begins is when a task that must be done at a time has to begin at the latest.
func (w Week) begins(t *Task, end bom.Quantity) bom.Quantity {
	if w.any(t) {
		return end - t.Days
	}
	for t.Arrives && !w.On(end) {
		end = (end/bom.One - 1) * bom.One
	}
	weeks, left := w.weeks(t.Days)
	end -= weeks * week
	for {
		day := (end+bom.One-1)/bom.One - 1
		if w[day%7] {
			if end-left >= day*bom.One {
				return end - left
			}
			left -= end - day*bom.One
		}
		end = day * bom.One
	}
}

// weeks are the whole weeks that working days take, and what is left over of them; it is
// never nothing.
func (w Week) weeks(days bom.Quantity) (weeks, left bom.Quantity) {
	of := bom.Quantity(w.perWeek()) * bom.One
	weeks = (days - 1) / of
	return weeks, days - weeks*of
}
