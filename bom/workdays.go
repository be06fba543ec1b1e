package bom

import "strings"

// Workdays are the days of a week on which orders move and hands work: bit 0 is Monday. The
// zero value is every day.
type Workdays uint8

var dayNames = []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}

const everyDay = "every day"

// ParseWorkdays reads days and spans of days, such as "Mon-Fri" or "Tue, Thu-Sat"; a span may
// go over the end of the week. All seven are every day.
func ParseWorkdays(text string) (days Workdays, ok bool) {
	if strings.EqualFold(strings.TrimSpace(text), everyDay) {
		return 0, true
	}
	for _, span := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		first, last, isSpan := strings.Cut(strings.NewReplacer("–", "-", " to ", "-").Replace(span), "-")
		if !isSpan {
			last = first
		}
		from, to := dayOf(first), dayOf(last)
		if from < 0 || to < 0 {
			return 0, false
		}
		for ; from != to; from = (from + 1) % len(dayNames) {
			days |= 1 << from
		}
		days |= 1 << to
	}
	if days == 1<<len(dayNames)-1 {
		return 0, true
	}
	return days, days != 0
}

// dayOf is the day of the week that a name or its beginning means, counted from Monday; -1
// for none.
func dayOf(name string) int {
	name = strings.ToLower(strings.TrimSuffix(strings.TrimSpace(name), "."))
	for i, day := range dayNames {
		if len(name) >= 2 && strings.HasPrefix(strings.ToLower(day), name) {
			return i
		}
	}
	return -1
}

// String names the days shortly: "Mon-Fri", "Mon, Wed-Fri".
func (w Workdays) String() string {
	if w == 0 {
		return everyDay
	}
	var spans []string
	for i := 0; i < len(dayNames); i++ {
		first := i
		for i < len(dayNames) && w&(1<<i) != 0 {
			i++
		}
		switch i - first {
		case 0:
		case 1:
			spans = append(spans, dayNames[first][:3])
		default:
			spans = append(spans, dayNames[first][:3]+"-"+dayNames[i-1][:3])
		}
	}
	return strings.Join(spans, ", ")
}

// Day is what a day of an order or of hand work is called.
func (w Workdays) Day() string {
	if w == 0 {
		return "day"
	}
	return "working day"
}

// From tells of the seven days from a date on whether they are working days. A date that is
// not known is a Monday.
func (w Workdays) From(d Date) (works [7]bool) {
	first := 0
	if !d.IsZero() {
		first = (int(d.time().Weekday()) + 6) % len(dayNames) // Go counts from Sunday
	}
	for i := range works {
		works[i] = w == 0 || w&(1<<((first+i)%len(dayNames))) != 0
	}
	return works
}
