package table

import (
	"math"
	"slices"
	"strings"
	"sync"

	"tenoff/bom"
)

// separators are tried in this order; of two that fit equally well the first
// wins. A tab is seldom typed by chance, and a comma also parts decimals. Bars draw a
// table in plain text: | R1 | 10k |
var separators = [...]byte{'\t', ';', ',', '|'}

// sniffRecords is how many records are looked at: the heading row stands among
// them (design, 3.1).
const sniffRecords = 30

// separatorOf finds the separator of text with LF line ends. The one that
// yields a row with more known headings than any other is taken; without known
// headings, the one that cuts the records most evenly and into most fields.
func separatorOf(text string) byte {
	records := sniff(text)
	best, most, tied := byte(','), 1, false
	for i, sep := range separators {
		n := 0
		for _, r := range records {
			n = max(n, knownIn(r.text, sep, r.counts[i]))
		}
		switch {
		case n > most:
			best, most, tied = sep, n, false
		case n == most:
			tied = true
		}
	}
	if most > 1 && !tied {
		return best
	}
	best, top := ',', 0.0
	for i, sep := range separators {
		if s := evenness(records, i); s > top {
			best, top = sep, s
		}
	}
	return best
}

// sniffed is one record: its text, and how often each separator stands in it
// outside quotes.
type sniffed struct {
	text   string
	counts [len(separators)]int
}

// sniff cuts the first records. A quote opens a quoted field after any of the
// separators, since it is not yet known which one counts.
func sniff(text string) []sniffed {
	var (
		out    []sniffed
		cur    sniffed
		start  int
		quoted bool
		fresh  = true // nothing but spaces since a separator
	)
	flush := func(end int) {
		if cur.text = text[start:end]; strings.Trim(cur.text, " ") != "" {
			out = append(out, cur)
		}
		cur, start, fresh = sniffed{}, end+1, true
	}
	for i := 0; i < len(text) && len(out) < sniffRecords; i++ {
		c := text[i]
		switch {
		case quoted:
			quoted = c != '"'
		case c == '"' && (fresh || i > 0 && text[i-1] == '"'):
			quoted, fresh = true, false
		case c == '\n':
			flush(i)
		case c == ' ':
		default:
			fresh = false
			for k, sep := range separators {
				if c == sep {
					cur.counts[k]++
					fresh = true
				}
			}
		}
	}
	if len(out) < sniffRecords && start < len(text) {
		flush(len(text))
	}
	return out
}

// evenness scores a separator: the number of columns it yields, lowered for
// each record that has another number of fields. A record without the separator
// weighs most, unless it stands above all that have it, as a title does.
func evenness(records []sniffed, sep int) float64 {
	seen := map[int]int{}
	titles := 0
	for _, r := range records {
		if n := r.counts[sep]; n > 0 {
			seen[n]++
		} else if len(seen) == 0 {
			titles++
		}
	}
	with := 0
	for _, n := range seen {
		with += n
	}
	without := len(records) - with - titles
	best := 0.0
	for n, even := range seen {
		misses := float64(titles) + 2*float64(without) + 0.1*float64(with-even)
		best = max(best, float64(n)*math.Exp2(-misses))
	}
	return best
}

// knownIn counts the fields of a record that are known headings.
func knownIn(record string, sep byte, count int) int {
	if count == 0 || len(record) > 64*1024 {
		return 0
	}
	seen := map[string]bool{}
	for field := range strings.SplitSeq(record, string(sep)) {
		if field = strings.Trim(trim(field), `"`); isHeading(field) {
			seen[bom.NormalHeading(field)] = true
		}
	}
	return len(seen)
}

// isHeading tells whether a text is a known heading.
func isHeading(text string) bool {
	if knownHeadings()[bom.NormalHeading(text)] {
		return true
	}
	fields, _ := bom.HeadingFields(text)
	return len(fields) > 0
}

var knownHeadings = sync.OnceValue(func() map[string]bool {
	known := map[string]bool{}
	for _, tab := range slices.Concat([]bom.Tab{bom.BOMTab, bom.QuoteTab, bom.ProgrammeTab}, bom.PriceTabs, bom.RunTabs) {
		for _, c := range tab.Columns {
			known[bom.NormalHeading(c.Heading)] = true
			for _, s := range c.Synonyms {
				known[bom.NormalHeading(s)] = true
			}
		}
	}
	return known
})
