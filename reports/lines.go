package reports

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// Lines is every line of the bills of materials with its quantities and costs
// in each batch. The total is that of the lines: fees, delivery, duty, postage
// and hand work are no line's.
func Lines(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Lines",
		Title: "every line, with what it needs and costs in each batch",
		Notes: []string{"required: pieces the batch takes, before the allowance; fees, delivery, duty, postage and hand work are not in here"},
		Lead:  3,
		Columns: slices.Concat(
			plain("path: Assembly", "part", "designators", "description", "category"),
			columns(Column{Format: AsQuantity}, "per unit"),
		),
	}
	t.PerBatch(e,
		Column{Key: "need", Heading: "required", Format: AsQuantity},
		Column{Key: "cash", Heading: "cash", Unit: code, Format: money},
		Column{Key: "consumed", Heading: "consumed", Unit: code, Format: money},
	)
	cash, used := make([]sum, len(e.Batches)), make([]sum, len(e.Batches))
	for i, entry := range e.Entries {
		if !e.Uses(i) {
			continue
		}
		values := []Value{
			Text(sitsOn(entry)), Text(entry.Line.Part), Text(Designators(entry.Line.Designators)),
			Text(describe(entry.Line)), Text(entry.Category.String()), Quantity(entry.PerUnit),
		}
		for j, b := range bom.Refs(e.Batches) {
			a := b.Lines[i]
			values = append(values, Quantity(b.Needs[i]), known(a.Cash, a.Unpriced), known(a.Consumed, a.Unpriced))
			cash[j].add(a.Cash, a.Unpriced)
			used[j].add(a.Consumed, a.Unpriced)
		}
		t.addRow(Row{Key: RowKey(KeyLine, "", i), Values: values})
	}
	values := []Value{Text("all lines"), Nothing(), Nothing(), Nothing(), Nothing(), Nothing()}
	for j := range e.Batches {
		values = append(values, Nothing(), cash[j].value(), used[j].value())
	}
	t.addRow(Row{Key: "total", Role: Total, Values: values})
	return t
}

// sitsOn names where in the unit a line belongs.
func sitsOn(e cost.Entry) string { return cmp.Or(e.Path, "unit") }

// describe is the description of a line; without one, its value and package.
func describe(l *bom.Line) string {
	text := cmp.Or(l.Description, strings.TrimSpace(l.Value+" "+bom.ShortPackage(l.Package)))
	if l.CutMM > 0 {
		text = strings.TrimPrefix(text+", cut to "+l.CutMM.String()+" mm", ", ")
	}
	return text
}

// shortestRun is the number of designators from which a run is written with
// its ends only.
const shortestRun = 3

// Designators writes designators in their order, runs as "R4-R7".
func Designators(all []string) string {
	var parts []string
	for i := 0; i < len(all); {
		j := i + 1
		for j < len(all) && follows(all[j-1], all[j]) {
			j++
		}
		if j-i >= shortestRun {
			parts = append(parts, all[i]+"-"+all[j-1])
		} else {
			parts = append(parts, all[i:j]...)
		}
		i = j
	}
	return strings.Join(parts, ", ")
}

// follows tells whether b is the designator after a: same letters, next number.
func follows(a, b string) bool {
	letters, n, ok := splitDesignator(a)
	next, m, okNext := splitDesignator(b)
	return ok && okNext && letters == next && m == n+1
}

func splitDesignator(s string) (letters string, n int, ok bool) {
	letters = strings.TrimRight(s, "0123456789")
	digits := s[len(letters):]
	if digits == "" || digits[0] == '0' {
		return s, 0, false
	}
	n, err := strconv.Atoi(digits)
	return letters, n, err == nil
}
