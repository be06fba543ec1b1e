package bom

import "time"

// Date is a civil date without a clock. The zero value means that no date is
// known.
//
// Every price carries one, so that it is kept small.
type Date struct {
	Year       int32
	Month, Day int8
}

// ParseDate reads an ISO 8601 calendar date, YYYY-MM-DD.
func ParseDate(s string) (Date, bool) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, false
	}
	return dateOf(t), true
}

// IsZero tells whether no date is known.
func (d Date) IsZero() bool { return d == Date{} }

// String gives YYYY-MM-DD, or nothing where no date is known.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return d.time().Format(time.DateOnly)
}

// DaysUntil counts the days from d to e; negative when e is earlier.
func (d Date) DaysUntil(e Date) int {
	return int((e.time().Unix() - d.time().Unix()) / secondsPerDay)
}

// Plus is the day so many days later; no date stays none.
func (d Date) Plus(days int) Date {
	if d.IsZero() {
		return d
	}
	return dateOf(d.time().AddDate(0, 0, days))
}

func dateOf(t time.Time) Date {
	return Date{int32(t.Year()), int8(t.Month()), int8(t.Day())}
}

const secondsPerDay = 24 * 60 * 60

// Before tells whether d is earlier than e.
func (d Date) Before(e Date) bool { return d.time().Before(e.time()) }

func (d Date) time() time.Time {
	return time.Date(int(d.Year), time.Month(d.Month), int(d.Day), 0, 0, 0, 0, time.UTC)
}
