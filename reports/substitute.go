package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/rulecost"
	"tenoff/cost/waysout"
)

// WaysOutByPart lays out the ways out of each part in a table of its own, and after them
// what to do about several parts together. Parts without a way out share a table.
func WaysOutByPart(s waysout.Shortages, currency bom.Currency, today bom.Date) (out []Table) {
	none := Table{Name: "No way out", Notes: []string{"no way out where nobody else sells the part, no substitute is to be had and nothing is expected:"}}
	for first := 0; first < len(s.Parts); first++ {
		part := s.Parts[first].Part
		if slices.ContainsFunc(s.Parts[:first], func(p waysout.Shortage) bool { return p.Part == part }) {
			continue
		}
		t := waysTable(part, part, currency)
		w := wayWriter{&t, currency, today}
		var told []string
		one := !slices.ContainsFunc(s.Parts[first+1:], func(p waysout.Shortage) bool { return p.Part == part })
		for i := first; i < len(s.Parts); i++ {
			p := &s.Parts[i]
			if p.Part != part {
				continue
			}
			told = append(told, shortText(p))
			for j := range p.Ways {
				w.row(&p.Ways[j], p.Before, p.Batch)
				if one { // the title says for how many units
					t.Rows[len(t.Rows)-1].Values[0] = Nothing()
				}
			}
			w.notes(p)
		}
		t.Title = part + ": " + strings.Join(told, "; ")
		if len(t.Rows) == 0 {
			none.note(append([]string{t.Title}, t.Notes...)...)
			continue
		}
		out = append(out, t)
	}
	if len(none.Notes) > 1 {
		out = append(out, none)
	}
	return append(out, bom.Each(s.Together, func(j *waysout.Joint) Table { return together(j, currency, today) })...)
}

func waysTable(name, title string, currency bom.Currency) Table {
	money, each := AsMoney(currency), AsUnitMoney(currency)
	return Table{Name: name, Title: title, Lead: 2, Columns: slices.Concat(
		columns(Column{Format: AsCount}, "batch"),
		plain("way: Way out"),
		columns(Column{Unit: currency.Code, Format: each}, "unit: Unit cost"),
		columns(Column{Format: each}, "more unit: more"),
		columns(Column{Format: money}, "cash: Cash out", "more cash: more"),
		plain("ready"),
		columns(Column{Unit: "d", Format: AsCount}, "later: later"),
		columns(Column{Format: AsCount}, "built"),
	)}
}

// wayWriter adds ways to a table.
type wayWriter struct {
	*Table
	currency bom.Currency
	today    bom.Date
}

// row adds what a way makes of the run, against the run with the part in stock.
func (w *wayWriter) row(way *waysout.Way, before waysout.State, batch cost.BatchID) {
	w.add(append([]Value{BatchValue(batch), Text(wayText(way))}, w.state(way.State, before)...)...)
}

func (w *wayWriter) state(s, before waysout.State) []Value {
	open := s.Unknown || before.Unknown
	return []Value{
		known(s.Unit, s.Unknown), known(s.Unit.Sub(before.Unit), open),
		known(s.Cash, s.Unknown), known(s.Cash.Sub(before.Cash), open),
		Text(w.day(s)), Count(s.Day - before.Day).unless(s.DayOpen || before.DayOpen), Count(s.Size),
	}
}

// day is the day at the start of which a batch is ready.
func (w *wayWriter) day(s waysout.State) string {
	text := "day " + strconv.Itoa(s.Day)
	if day := w.today.Plus(s.Day); !day.IsZero() {
		text = ShownDate(day)
	}
	if s.DayOpen {
		return "not before " + text
	}
	return text
}

// wayKinds are the kinds of ways in words.
var wayKinds = [...]string{waysout.Elsewhere: "elsewhere", waysout.Substituted: "substitute", waysout.Mixed: "mix", waysout.Waiting: "wait", waysout.Fewer: "fewer"}

// wayText says what a way is.
func wayText(w *waysout.Way) string {
	switch w.Kind {
	case waysout.Substituted:
		return w.Substitute
	case waysout.Mixed:
		return "mix with " + w.Substitute
	}
	return wayKinds[w.Kind]
}

// shortText says how much of a part there is, and how much is required.
func shortText(p *waysout.Shortage) string {
	if p.Left < p.Required {
		return fmt.Sprintf("%s to be had of %s required for %s", bom.Grouped(p.Left.String()), bom.Grouped(p.Required.String()), unitsOf(p.Batch))
	}
	return fmt.Sprintf("%s required for %s", bom.Grouped(p.Required.String()), unitsOf(p.Batch))
}

// notes adds what the ways of a part need.
func (w *wayWriter) notes(p *waysout.Shortage) {
	for _, way := range bom.Refs(p.Ways) {
		name := wayText(way)
		if way.Kind == waysout.Mixed {
			name = way.Substitute
		}
		if needs := w.needs(way); needs != "" {
			w.noteOnce(name + ": " + needs)
		}
	}
	for _, s := range p.Barred {
		w.noteOnce(s.Substitute + ": " + joinNotes("not allowed", s.Note))
	}
	for _, n := range p.Near {
		w.noteOnce(n.Part + ": to think about, not used: " + n.How)
	}
	for _, name := range p.Lacking {
		w.noteOnce(fmt.Sprintf("%s: not enough of it is offered for %s", name, unitsOf(p.Batch)))
	}
}

func (w *wayWriter) noteOnce(text string) {
	if !slices.Contains(w.Notes, text) {
		w.note(text)
	}
}

// needs says what a way takes besides money and days.
func (w *wayWriter) needs(way *waysout.Way) string {
	var needs []string
	switch way.Kind {
	case waysout.Elsewhere:
		needs = append(needs, "from "+strings.Join(way.Sellers, ", "))
	case waysout.Waiting:
		for _, o := range way.Expected {
			needs = append(needs, fmt.Sprintf("%s more at %s on %s", bom.Grouped(strconv.FormatInt(o.More, 10)), cmp.Or(o.Supplier, o.Code), ShownDate(o.MoreOn)))
		}
	}
	needs = append(needs, way.Rule)
	if r := way.Row; r != nil {
		needs = append(needs, w.extras(r), r.Note)
	}
	if way.From != "" {
		needs = append(needs, "another land pattern: "+way.To+" in place of "+way.From)
	}
	return joinNotes(needs...)
}

// extras says what a substitute costs besides the part.
func (w *wayWriter) extras(r *bom.Substitute) string {
	var parts []string
	money := func(d decimal.Decimal) string { return Number(d).Shown(AsPrice(w.currency)) + " " + w.currency.Code }
	if !r.ExtraPerUnit.IsZero() {
		parts = append(parts, money(r.ExtraPerUnit)+" a unit")
	}
	if !r.ExtraPerBatch.IsZero() {
		parts = append(parts, money(r.ExtraPerBatch)+" a batch")
	}
	if r.ExtraSeconds > 0 {
		parts = append(parts, strconv.FormatFloat(r.ExtraSeconds, 'f', -1, 64)+" s of bench time a unit")
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, ", ") + " more"
}

func joinNotes(notes ...string) string {
	return strings.Join(slices.DeleteFunc(notes, func(s string) bool { return s == "" }), "; ")
}

// together lays out the joint choice of a batch, and what changing one way of it costs.
func together(j *waysout.Joint, currency bom.Currency, today bom.Date) Table {
	title := fmt.Sprintf("%d parts together, %s", len(j.Parts), unitsOf(j.Batch))
	t := waysTable("Together "+string(j.Batch), title, currency)
	if len(j.Stuck) > 0 {
		return Table{Name: t.Name, Notes: []string{title + ": no way out, for want of " + strings.Join(j.Stuck, ", ")}}
	}
	var chosen []string
	for i := range j.Parts {
		chosen = append(chosen, j.Parts[i]+": "+wayText(&j.Ways[i]))
	}
	t.Title += ", by the least landed cash and own work: " + strings.Join(chosen, "; ")
	t.Columns = t.Columns[1:]
	t.Lead = 1
	w := wayWriter{&t, currency, today}
	t.add(append([]Value{Text("as chosen")}, w.state(j.State, j.Before)...)...)
	for _, c := range bom.Refs(j.Changes) {
		t.addRow(Row{Role: Figure, Values: append([]Value{Text(c.Part + ": " + wayText(&c.Way))}, w.state(c.Way.State, j.State)...)})
	}
	if len(j.Changes) > 0 {
		t.note("the other rows: one part otherwise, all else as chosen, and how much more than that")
	}
	if !j.Every {
		t.note(fmt.Sprintf("%s choices were tried, not all: ways were changed one by one", ShownCount(j.Tried)))
	}
	return t
}

// RuleCosts lays out what each rule on the orders adds, taken alone.
func RuleCosts(r *Report) Table {
	t := Table{
		Name:    "Rules",
		Title:   "what each rule and each what-if adds to the cash out, taken alone",
		Lead:    1,
		Columns: plain("rule"),
	}
	t.PerBatch(r.Estimate, Column{Key: "more", Heading: "more cash", Unit: r.Currency.Code, Format: AsMoney(r.Currency)})
	for _, x := range r.Extras {
		more := bom.Each(x.Batches, func(b *rulecost.ExtraCash) Value { return known(b.Cash, b.Unpriced) })
		t.add(append([]Value{Text(x.Rule)}, more...)...)
	}
	return t
}
