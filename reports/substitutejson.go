package reports

import (
	"io"
	"slices"

	"tenoff/bom"
	"tenoff/cost/waysout"
)

// WaysOutSchema names the shape of the JSON that WriteWaysOutJSON writes.
const WaysOutSchema = "tenoff-ways-out-1"

// WriteWaysOutJSON writes the ways out where parts run short, for programs. Money is a
// string in home currency, of a unit with four decimals; what is not known is "?". The ways
// of a part that is looked at alone hold the state of the run with all else in stock; those
// that are chosen together hold that of the part alone, and others that of the whole choice
// with that one way changed.
func WriteWaysOutJSON(w io.Writer, s waysout.Shortages, currency bom.Currency, today bom.Date, warnings []string) error {
	j := waysJSON{money(currency), &wayWriter{currency: currency, today: today}}
	return writeJSON(w, object{{"schema", WaysOutSchema}, {"currency", currency.Code}, {"short", bom.Each(s.Parts, j.shortage)},
		{"together", bom.Each(s.Together, j.joint)}, {"warnings", warnings}})
}

// IsWaysOutJSON tells whether the bytes are ways out that WriteWaysOutJSON wrote, of any
// schema number.
func IsWaysOutJSON(data []byte) bool { return hasSchema(data, "tenoff-ways-out-") }

// waysJSON writes ways for programs.
type waysJSON struct {
	money
	words *wayWriter
}

// shortage is a part that one batch is short of. in_stock is the run with the part in stock.
// What is allowed and enough stands among the ways, the best first.
func (j waysJSON) shortage(p *waysout.Shortage) object {
	return slices.Concat(object{{"part", p.Part}}, jsonID(p.Size, p.Batch), object{
		{"left", jsonQuantity(p.Left)}, {"required", jsonQuantity(p.Required)}, {"in_stock", j.state(p.Before)},
		{"ways", bom.Each(p.Ways, func(w *waysout.Way) object { return j.way(w, "") })},
		{"not_allowed", bom.Each(p.Barred, func(s **bom.Substitute) string { return (*s).Substitute })}, {"not_enough", p.Lacking},
		{"to_think_about", bom.Each(p.Near, func(n *waysout.NearMiss) object { return object{{"part", n.Part}, {"how", n.How}} })},
	})
}

// joint is what is chosen for several parts of a batch together, and what another way for one
// of them makes of the run. Nothing is chosen where some are stuck. of_run is there where
// plans have as many units in all.
func (j waysJSON) joint(c *waysout.Joint) object {
	out := object{{"batch", c.Size}}
	if _, sized := c.Batch.Size(); !sized {
		out = append(out, field{"of_run", string(c.Batch)})
	}
	var chosen []object
	for i := range c.Ways {
		chosen = append(chosen, j.way(&c.Ways[i], c.Parts[i]))
	}
	var run any = jsonNull
	if len(c.Stuck) == 0 {
		run = j.state(c.State)
	}
	return append(out, object{{"parts", c.Parts}, {"no_way_out", c.Stuck}, {"every_choice_tried", c.Every},
		{"chosen", chosen}, {"run", run},
		{"others", bom.Each(c.Changes, func(x *waysout.Changed) object { return j.way(&x.Way, x.Part) })}}...)
}

// way is a way out: elsewhere, substitute, mix, wait or fewer, of a part among several that
// are decided together. rule is that by which a passive stands in that the price sheet does
// not list; land patterns are there where that of the substitute is another; what is
// expected is waited for, in order units.
func (j waysJSON) way(w *waysout.Way, part string) object {
	note := ""
	if r := w.Row; r != nil {
		note = joinNotes(j.words.extras(r), r.Note)
	}
	expected := bom.Each(w.Expected, func(o **bom.Offer) object {
		return object{{"supplier", (*o).Supplier}, {"order_code", (*o).Code}, {"more", (*o).More}, {"on", (*o).MoreOn.String()}}
	})
	return append(object{
		{"part", ifGiven(part)}, {"way", wayKinds[w.Kind]}, {"substitute", ifGiven(w.Substitute)},
		{"rule", ifGiven(w.Rule)}, {"note", ifGiven(note)},
		{"land_pattern", ifGiven(w.From)}, {"substitute_land_pattern", ifGiven(w.To)}, {"sellers", w.Sellers},
		{"expected", ifGiven(expected)},
	}, j.state(w.State)...)
}

// state is what matters of a batch when ways are compared.
func (j waysJSON) state(s waysout.State) object {
	return append(object{{"built", s.Size}, {"unit", j.perUnit(s.Unit, s.Unknown)}, {"cash", j.amount(s.Cash, s.Unknown)},
		{"landed_cash_and_own_work", j.amount(s.Weight, s.Unknown)}}, jsonDay(s.Day, !s.DayOpen, j.words.today)...)
}
