package sheet

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// Dates as people write them on quotes. The names of months may be shortened to
// three letters.
var (
	isoDate    = regexp.MustCompile(`\b(\d{4})[-/](\d{1,2})[-/](\d{1,2})\b`)
	dottedDate = regexp.MustCompile(`\b(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})\b`)
	strokeDate = regexp.MustCompile(`\b(\d{1,2})[/-](\d{1,2})[/-](\d{4})\b`)
	dayMonth   = regexp.MustCompile(`\b(\d{1,2})(?:st|nd|rd|th|\.)?[ -](` + monthNames + `)[a-z]*\.?,?[ -](\d{4})\b`)
	monthDay   = regexp.MustCompile(`\b(` + monthNames + `)[a-z]*\.?[ -](\d{1,2})(?:st|nd|rd|th)?,?[ -](\d{4})\b`)
)

const monthNames = `(?i:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)`

// foundDate is a date in a text.
type foundDate struct {
	date    bom.Date
	twoWays bool // day and month could be the other way round
	at, end int  // where it stands in the text
}

// datesIn finds the dates in a text. With strokes, 11/02/2026, the day may stand
// first or second: it reads one way only where one of the two is no month.
func datesIn(text string) []foundDate {
	var out []foundDate
	for _, form := range []struct {
		re    *regexp.Regexp
		order [3]int // year, month, day
	}{{isoDate, [3]int{1, 2, 3}}, {dottedDate, [3]int{3, 2, 1}}, {dayMonth, [3]int{3, 2, 1}}, {monthDay, [3]int{3, 1, 2}}} {
		for _, m := range form.re.FindAllStringSubmatchIndex(text, -1) {
			part := func(n int) string { return text[m[2*form.order[n]]:m[2*form.order[n]+1]] }
			if date, ok := civil(part(0), part(1), part(2)); ok {
				out = append(out, foundDate{date: date, at: m[0], end: m[1]})
			}
		}
	}
	for _, m := range strokeDate.FindAllStringSubmatchIndex(text, -1) {
		first, second, year := text[m[2]:m[3]], text[m[4]:m[5]], text[m[6]:m[7]]
		date, ok := civil(year, second, first)
		other, also := civil(year, first, second)
		switch {
		case ok:
			out = append(out, foundDate{date, also && other != date, m[0], m[1]})
		case also:
			out = append(out, foundDate{date: other, at: m[0], end: m[1]})
		}
	}
	return out
}

// ofDate are words before the date in a heading: Price as of 2026-01-02.
var ofDate = regexp.MustCompile(`(?i)[\s,(\[]*\b(?:as of|as at|as per|dated?|on|of|from|since)?[:\s]*$`)

// withoutDate takes the dates out of a heading.
func withoutDate(heading string) (rest string, dated bool) {
	for _, found := range datesIn(heading) {
		return ofDate.ReplaceAllString(heading[:found.at], " ") + heading[found.end:], true
	}
	return heading, false
}

// civil puts a date together; ok is false where there is no such day.
func civil(year, month, day string) (bom.Date, bool) {
	n := strings.Index("janfebmaraprmayjunjulaugsepoctnovdec", strings.ToLower(month))/3 + 1
	if month[0] >= '0' && month[0] <= '9' {
		n, _ = strconv.Atoi(month) // two digits
	}
	d, _ := strconv.Atoi(day) // two digits
	return bom.ParseDate(fmt.Sprintf("%s-%02d-%02d", year, n, d))
}

// quoteDate reads the date of a row: in any form that reads one way.
func (q *quoteReader) quoteDate(c bom.Cell) bom.Date {
	if c.Blank() || !q.sound(c) {
		return bom.Date{}
	}
	found := datesIn(c.Text)
	if len(found) != 1 || found[0].twoWays {
		q.wrong(c, "a date written YYYY-MM-DD, or --heading '"+q.reg.head.Text["Date"]+"=' and --as-of", "not a date that reads one way")
		return bom.Date{}
	}
	return found[0].date
}

// otherDates are words before a date that is not that of the prices.
var otherDates = bom.WordSet("until till valid validity delivery deliver delivered due ship shipping shipped dispatch expires expiry expected required requested payment eta to")

// titleDate looks for the date of a quote in the rows above its headings and in that of
// the prices: the only one that is not said to be another.
func (q *quoteReader) titleDate() {
	dates, twoWays := map[bom.Date]bom.Place{}, bom.Place{}
	look := func(row bom.Row, i int) {
		c := row.Cells[i]
		for _, found := range datesIn(c.Text) {
			label := c.Text[:found.at]
			if strings.Trim(label, " :.-") == "" && i > 0 {
				label = row.Cells[i-1].Text
			}
			switch at := q.reg.table.At(row.Number, c.Col); {
			case aboutOther(label):
			case found.twoWays:
				twoWays = at
			default:
				dates[found.date] = at
			}
		}
	}
	q.titles(look)
	head := q.reg.head
	look(bom.Row{Number: head.Row, Cells: []bom.Cell{{Col: head.Col["Unit price"], Text: head.Text["Unit price"]}}}, 0)
	var day bom.Date
	for date := range dates {
		day = date
	}
	switch {
	case !q.opt.AsOf.IsZero():
		q.asOf = q.opt.AsOf
	case len(dates) == 1:
		q.asOf = day
	case len(dates) > 1:
		q.problems.Warnf(q.reg.table.At(0, 0), "", "--as-of YYYY-MM-DD", "several dates stand above the prices, so none is taken for that of the prices")
	case twoWays != bom.Place{}:
		q.problems.Warnf(twoWays, "", "--as-of YYYY-MM-DD", "a date reads two ways and is not taken for that of the prices")
	}
}

// aboutOther tells whether the last words before a date say that it is not the
// quote's.
func aboutOther(label string) bool {
	words := strings.Fields(strings.ToLower(label))
	return slices.ContainsFunc(words[max(0, len(words)-3):], func(w string) bool { return otherDates[strings.Trim(w, ":.,()")] })
}

// titles hands on the cells of the rows above the headings.
func (q *quoteReader) titles(use func(row bom.Row, cell int)) {
	for _, row := range q.reg.table.Rows {
		if row.Number >= q.reg.head.Row {
			return
		}
		for i := range row.Cells {
			use(row, i)
		}
	}
}

// currencyLabel opens a text that names the currency of the whole quote.
var currencyLabel = regexp.MustCompile(`(?i)\b(?:currency|prices?(?: are)?(?: all)? in|all amounts in|amounts in)\b[ :]*([A-Z]{3}|\p{Sc})?`)

// titleCodes looks for the currency of a quote in the rows above its headings.
func (q *quoteReader) titleCodes() {
	q.titles(func(row bom.Row, i int) {
		m := currencyLabel.FindStringSubmatch(row.Cells[i].Text)
		switch {
		case m == nil || q.codes != nil:
		case m[1] != "":
			q.codes = bom.CurrencySigns(m[1])
		case i+1 < len(row.Cells):
			q.codes = bom.CurrencySigns(row.Cells[i+1].Text)
		}
	})
}
