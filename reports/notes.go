package reports

import (
	"slices"
	"strings"

	"tenoff/cost"
)

// PricesUsed is every setting and price that the estimate rests on, with its
// date and the cell it came from.
func PricesUsed(e *cost.Estimate) Table {
	t := Table{
		Name:  "Prices used",
		Title: "every setting and price used, with its date and where it was read",
		Lead:  2,
		Columns: slices.Concat(
			plain("what", "name"),
			columns(Column{Format: asTyped}, "value"),
			plain("unit: In"),
			columns(Column{Format: AsDate}, "as of"),
			plain("file", "sheet", "cell", "note"),
		),
	}
	for i, s := range e.Sources {
		cell := Text(s.Place.Cell())
		if cell.IsNothing() && s.Place.Row > 0 {
			cell = Count(s.Place.Row)
		}
		value, unit := Text(s.Value), Nothing()
		if s.Amount.Valid {
			value, unit = Number(s.Amount.Decimal).As(asTyped), Text(s.Unit)
			if s.What == "printed part" {
				value = value.As(asComputed)
			}
		}
		t.addAs(RowKey(KeySource, "", i), Text(s.What), Text(s.Name), value, unit, Date(s.AsOf), Text(s.Place.File), Text(s.Place.Sheet), cell, Text(s.Note))
	}
	return t
}

// asTyped is the format of a figure with the decimals that it was given with.
var asTyped = Format{Kind: KindPrice, Keep: priceDigits, Trim: true, All: true}

// asComputed is the format of a figure that may come from a mesh: a reader sees
// three decimals, files keep what sums need.
var asComputed = Format{Kind: KindPrice, Digits: 3, Keep: priceDigits, Trim: true}

// Warnings is what lacks a price, what to mind, what is assumed, and which lines are not in the
// estimate.
func Warnings(e *cost.Estimate) Table {
	t := Table{
		Name:    "Warnings",
		Title:   "notes: what is missing, warnings, cautions, and what is excluded",
		Lead:    1,
		Columns: plain("kind", "what", "source: Source or reason"),
	}
	for _, m := range Missing(e) {
		t.add(Text("no price"), Text(m), Nothing())
	}
	for _, w := range e.Warnings {
		t.add(Text("warning"), Text(w), Nothing())
	}
	for _, a := range e.Assumptions {
		t.add(Text("assumption"), Text(a), Nothing())
	}
	for _, c := range e.Cautions {
		t.add(Text("caution"), Text(c.Text), Text(c.Source))
	}
	for _, u := range e.Unfitted {
		what := sitsOn(u) + ": " + u.Line.Part
		for _, s := range []string{Designators(u.Line.Designators), describe(u.Line)} {
			if s != "" && s != u.Line.Part {
				what += ", " + s
			}
		}
		t.add(Text("excluded"), Text(strings.TrimSuffix(what, ": ")), Text(u.Why))
	}
	return t
}
