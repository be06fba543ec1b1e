package bom

import (
	"cmp"
	"fmt"
	"strings"
)

// eachShown is how many rows a complaint about many of them names.
const eachShown = 6

// Grouped makes one complaint of those that have one cause and differ in their
// rows alone: of one file and sheet, with the same What and Want, and with an
// Each. The others stay as they are. A group stands where its first stood.
func (ps Problems) Grouped() Problems {
	type cause struct {
		file, sheet string
		severity    Severity
		what, want  string
	}
	first := map[cause]int{}
	members := map[int]Problems{}
	var out Problems
	for _, p := range ps {
		c := cause{p.Place.File, p.Place.Sheet, p.Severity, p.What, p.Want}
		at, known := first[c]
		if p.Each == "" || !known {
			at = len(out)
			out = append(out, p)
		}
		if p.Each != "" {
			first[c] = at
			members[at] = append(members[at], p)
		}
	}
	for at, group := range members {
		if len(group) > 1 {
			out[at] = group.merged()
		}
	}
	return out
}

// merged is one complaint for all of a group.
func (ps Problems) merged() Problem {
	p := ps[0]
	p.Place.Row, p.Place.Col = 0, 0
	names := Each(ps[:min(len(ps), eachShown)], func(one *Problem) string { // of all there may be many
		var about []string
		if one.Place.Row > 0 {
			about = append(about, fmt.Sprintf("row %d", one.Place.Row))
		}
		if one.Hint != "" {
			about = append(about, one.Hint)
		}
		if len(about) == 0 {
			return one.Each
		}
		return one.Each + " (" + strings.Join(about, ", ") + ")"
	})
	p.What = fmt.Sprintf("%s, %d times: %s", p.What, len(ps), firstOf(names, len(ps)))
	p.Found, p.Each, p.Hint = "", "", ""
	return p
}

// ByCause puts complaints of one severity together that differ in their places, names and
// figures alone, in the order in which the first of each was met.
func (ps Problems) ByCause() []Problems {
	type cause struct {
		severity Severity
		what     string
	}
	at := map[cause]int{}
	var out []Problems
	for _, p := range ps {
		c := cause{p.Severity, cmp.Or(p.Cause, p.What)}
		i, known := at[c]
		if !known {
			i = len(out)
			at[c] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], p)
	}
	return out
}
