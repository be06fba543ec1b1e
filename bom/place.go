package bom

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Place is where something was read: a cell of a table, a row, a sheet or a
// whole file. Row and Col count from 1 as a spreadsheet shows them; 0 means
// that the place is the whole sheet or the whole row.
type Place struct {
	File  string // as the user named it, with forward slashes
	Sheet string // empty where the file is a single table (CSV)
	Row   int
	Col   int
}

// String gives "file:sheet:row:column", leaving out what is not known.
func (p Place) String() string {
	parts := make([]string, 0, 4)
	for _, s := range []string{p.File, p.Sheet} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	for _, n := range []int{p.Row, p.Col} {
		if n > 0 {
			parts = append(parts, strconv.Itoa(n))
		}
	}
	return strings.Join(parts, ":")
}

// Cell gives the place as a spreadsheet names it, "E14"; empty for a place
// that is not one cell.
func (p Place) Cell() string {
	if p.Row < 1 || p.Col < 1 {
		return ""
	}
	return ColumnLetters(p.Col) + strconv.Itoa(p.Row)
}

// ColumnLetters names a column counted from 1: 1 is A, 27 is AA.
func ColumnLetters(col int) string {
	var b []byte
	for ; col > 0; col = (col - 1) / 26 {
		b = append([]byte{byte('A' + (col-1)%26)}, b...)
	}
	return string(b)
}

// Origin ties a record to the row it was read from, so that each of its
// figures can name its cell.
type Origin struct {
	Head *Heading
	Row  int
}

// Heading is the heading row of one table: which known heading stands in which
// column. It is shared by all records of the table.
type Heading struct {
	File  string
	Sheet string
	Row   int
	Col   map[string]int    // canonical heading -> column, from 1
	Text  map[string]string // canonical heading -> as it stands there
	Mark  DecimalMark       // of figures typed as text, in a price sheet; unknown where nothing shows it
}

// At is the place of the figure under a canonical heading. A figure whose
// column is absent gives the place of the row.
func (o Origin) At(heading string) Place {
	if o.Head == nil {
		return Place{}
	}
	return Place{File: o.Head.File, Sheet: o.Head.Sheet, Row: o.Row, Col: o.Head.Col[heading]}
}

// Dated is what every row of the price sheet has besides its figures.
type Dated struct {
	Origin
	AsOf Date // of the figures; of an offer that stands in several rows, the oldest
	Note string
}

// Level of a complaint.
type Severity int

// The severities: an Error keeps an estimate from being made, a Warning is shown
// with it, an Assumption is a guess that fills what the input leaves open, a Note
// tells how something was read.
const (
	Error Severity = iota
	Warning
	Assumption
	Note
)

// Problem is one complaint about the input, as a value: what is wrong, what
// stands there, what would be right.
type Problem struct {
	Place    Place
	Severity Severity
	What     string // what is wrong, lower case, no full stop
	Found    string // what stands there; empty where nothing does
	Want     string // what would be right
	Hint     string // what may be meant, in brackets after Want; empty for none
	Each     string // names the row's part, where one cause may be met in many rows: see Grouped
	Cause    string // what is wrong without names and figures; empty where What has none: see ByCause
}

// foundLimit keeps one huge cell from flooding the terminal.
const foundLimit = 60

// String gives "place: what is wrong (what stands there); what would be right".
func (p Problem) String() string { return p.text("") }

// Graded is String with the severity after the place, unless it is an error.
func (p Problem) Graded() string {
	return p.text([...]string{Error: "", Warning: "warning: ", Assumption: "assumed: ", Note: "note: "}[p.Severity])
}

func (p Problem) text(grade string) string {
	var b strings.Builder
	if at := p.Place.String(); at != "" {
		b.WriteString(Printable(at))
		b.WriteString(": ")
	}
	b.WriteString(grade)
	b.WriteString(Printable(p.What))
	if p.Found != "" {
		fmt.Fprintf(&b, " (%s", Shown(p.Found))
		if cell := p.Place.Cell(); cell != "" && p.Place.Sheet != "" {
			fmt.Fprintf(&b, " in %s", cell)
		}
		b.WriteString(")")
	}
	if p.Want != "" {
		b.WriteString("; ")
		b.WriteString(Printable(p.Want))
	}
	if p.Hint != "" {
		fmt.Fprintf(&b, " (%s)", Printable(p.Hint))
	}
	return b.String()
}

// Shown quotes text from the input in quotes, cut where it is very long.
func Shown(s string) string {
	if r := []rune(s); len(r) > foundLimit {
		return fmt.Sprintf("%q… %d characters", Printable(string(r[:foundLimit])), len(r))
	}
	return `"` + Printable(s) + `"`
}

// Printable replaces control and format characters, which could move the
// cursor, change colours or turn the order of letters when the text of an input
// is shown on a terminal.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', r == '\r':
			return ' '
		case unicode.IsControl(r), r > unicode.MaxASCII && unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp):
			return '\uFFFD'
		}
		return r
	}, s)
}

// Problems gathers complaints in the order in which they are met.
type Problems []Problem

// Add appends one complaint.
func (ps *Problems) Add(p Problem) { *ps = append(*ps, p) }

// Errorf appends an error: what is wrong, what stands there, what would be right.
func (ps *Problems) Errorf(at Place, found, want, what string, args ...any) {
	ps.Add(Problem{Place: at, What: fmt.Sprintf(what, args...), Found: found, Want: want, Cause: what})
}

// Warnf appends a warning.
func (ps *Problems) Warnf(at Place, found, want, what string, args ...any) {
	ps.Add(Problem{Place: at, Severity: Warning, What: fmt.Sprintf(what, args...), Found: found, Want: want, Cause: what})
}

// Notef appends a note.
func (ps *Problems) Notef(at Place, what string, args ...any) {
	ps.Add(Problem{Place: at, Severity: Note, What: fmt.Sprintf(what, args...), Cause: what})
}

// Strict makes errors of assumptions.
func (ps Problems) Strict() Problems {
	for i := range ps {
		if ps[i].Severity == Assumption {
			ps[i].Severity = Error
		}
	}
	return ps
}

// Once leaves out what is said before.
func (ps Problems) Once() (out Problems) {
	seen := make(map[Problem]bool, len(ps))
	for _, p := range ps {
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	return out
}

// Failed tells whether any of the complaints is an error.
func (ps Problems) Failed() bool {
	return slices.ContainsFunc(ps, func(p Problem) bool { return p.Severity == Error })
}

// Of gives the complaints of one severity, in order.
func (ps Problems) Of(s Severity) Problems {
	return slices.DeleteFunc(slices.Clone(ps), func(p Problem) bool { return p.Severity != s })
}
