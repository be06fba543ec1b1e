package reports

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// Substitutes lays out what each substitute does to the run, a row for each
// candidate and batch size, the best candidate of each part first.
func Substitutes(troubles []cost.Trouble, sizes []int, currency bom.Currency) Table {
	money, code := AsMoney(currency), currency.Code
	t := Table{
		Name:  "Substitutes",
		Title: "what each substitute does to the whole run",
		Notes: []string{
			"more (or less) than with the part itself in stock, with purchases planned anew; cash out in all: of the batch then",
			"enough for: good units of the largest batch that the substitute's stock covers",
		},
		Lead: 3,
		Columns: []Column{
			{Key: "part", Heading: "Part"},
			{Key: "substitute", Heading: "Substitute"},
			batchColumn,
			{Key: "cash", Heading: "More cash", Unit: code, Format: money},
			{Key: "consumed", Heading: "More consumed", Unit: code, Format: money},
			{Key: "in all", Heading: "Cash out in all", Unit: code, Format: money},
			{Key: "surplus", Heading: "More surplus stock", Unit: code, Format: money},
			{Key: "hours", Heading: "More hand work", Unit: "h", Format: AsHours},
			{Key: "lead", Heading: "Later", Unit: "days", Format: AsCount},
			{Key: "builds", Heading: "Enough for", Unit: "units", Format: AsCount},
		},
	}
	t.together(troubles)
	var limits, none []string
	for _, tr := range troubles {
		for _, l := range tr.Limits {
			limits = append(limits, fmt.Sprintf("%s %s (%s in stock)", tr.Part, ShownCount(l.Units), Quantity(l.Stock).Shown(AsQuantity)))
		}
		if len(tr.Candidates) == 0 {
			none = append(none, tr.Part)
		}
	}
	if len(limits) > 0 {
		t.note("units that the stock of the part itself is enough for: " + strings.Join(limits, ", "))
	}
	if len(none) > 0 {
		t.note("no substitute is listed, and the rules for passives find none: " + strings.Join(none, ", "))
	}
	for _, tr := range troubles {
		for _, c := range tr.Candidates {
			t.note(fmt.Sprintf("%s for %s: %s", c.Substitute, tr.Part, reason(c)))
			for i, ch := range c.Batches {
				t.add(Text(tr.Part), Text(c.Substitute), Count(sizes[i]),
					known(ch.Cash, ch.Unknown), known(ch.Consumed, ch.Unknown), known(ch.State.Cash, ch.State.Unknown),
					known(ch.Surplus, ch.Unknown), Float(ch.Hours), Count(ch.LeadDays), Count(c.Units))
			}
		}
	}
	return t
}

// together notes which parts are replaced at the same time, and which cannot be.
func (t *Table) together(troubles []cost.Trouble) {
	var swaps, without []string
	for _, tr := range troubles {
		for _, s := range tr.With {
			if text := s.Part + " by " + s.Substitute; !slices.Contains(swaps, text) {
				swaps = append(swaps, text)
			}
		}
		for _, part := range tr.Without {
			if !slices.Contains(without, part) {
				without = append(without, part)
			}
		}
	}
	if len(swaps) > 0 {
		t.note("short at the same time and replaced together: each row replaces the other short parts as well, " + strings.Join(swaps, ", "))
	}
	if len(without) > 0 {
		t.note("short at the same time without a substitute that is allowed: " + strings.Join(without, ", ") + "; where they are needed nothing can be told")
	}
}

// reason is why a candidate may stand in, or that it may not.
func reason(c cost.Candidate) string {
	parts := []string{c.Rule}
	if !c.Allowed {
		parts = []string{"not allowed"}
	}
	if c.Note != "" {
		parts = append(parts, c.Note)
	}
	return strings.Join(parts, ": ")
}

// RuleCosts lays out what each rule on the orders adds, taken alone.
func RuleCosts(e *cost.Estimate) Table {
	t := Table{
		Name:    "Rules",
		Title:   "what each rule on the orders adds to the cash out, taken alone",
		Lead:    1,
		Columns: []Column{{Key: "rule", Heading: "Rule"}},
	}
	t.perBatch(e, Column{Key: "more", Heading: "more cash", Unit: e.Currency.Code, Format: AsMoney(e.Currency)})
	for _, x := range e.Extras {
		values := []Value{Text(x.Rule)}
		for _, b := range x.Batches {
			values = append(values, known(b.Cash, b.Unpriced))
		}
		t.add(values...)
	}
	return t
}
