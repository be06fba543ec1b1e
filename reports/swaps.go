package reports

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// Swaps is which substitutes each batch takes, how many pieces are of them and where, and
// what each saves.
func Swaps(e *cost.Estimate) Table {
	money := AsMoney(e.Currency)
	t := Table{
		Name:  "Substitutes",
		Title: "substitutes that are taken, since that is cheaper or the part runs short",
		Notes: []string{"saves: landed cash and labour, against the part alone with all else as it is"},
		Lead:  3,
		Columns: slices.Concat(
			batchColumn, plain("part", "substitute"),
			columns(Column{Format: AsQuantity}, "pieces", "of: of"),
			columns(Column{Format: AsCount}, "units"),
			columns(Column{Unit: e.Currency.Code, Format: money}, "saves"),
			plain("where"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		for _, s := range bom.Refs(b.Swaps) {
			saves := Number(s.Saves)
			if s.Wanted {
				saves = Text("runs short")
			}
			where := bom.Each(swapLines(e, b, s), func(l *swapLine) string { return l.text() })
			t.add(BatchValue(b.ID()), Text(s.Part), Text(s.Substitute), Quantity(s.Pieces), Quantity(s.Of), Count(s.Units), saves, Text(strings.Join(where, "; ")))
		}
	}
	return t
}

// swapLine is a line of a part of which some pieces are of a substitute.
type swapLine struct {
	entry      *cost.Entry
	pieces, of bom.Quantity
}

// text says where the substitute goes: "main board D1, 15 of 40".
func (l *swapLine) text() string {
	name := strings.TrimSpace(sitsOn(*l.entry) + " " + Designators(l.entry.Line.Designators))
	if l.pieces < l.of {
		name += fmt.Sprintf(", %s of %s", bom.Grouped(l.pieces.String()), bom.Grouped(l.of.String()))
	}
	return name
}

// swapLines are the lines on which a batch has a substitute.
func swapLines(e *cost.Estimate, b *cost.Batch, s *cost.Taken) (out []swapLine) {
	for _, i := range s.Lines {
		if b.Needs[i] > 0 {
			out = append(out, swapLine{&e.Entries[i], b.Needs[i], b.Needs[i] + b.Needs[e.Entries[i].StandsFor-1]})
		}
	}
	return out
}

// jsonSwaps tells which substitutes a batch takes, and where. saves is landed cash and own
// work, left out where the part alone runs short.
func jsonSwaps(e *cost.Estimate, b *cost.Batch) []object {
	return bom.Each(b.Swaps, func(s *cost.Taken) object {
		var saves any
		if !s.Wanted {
			saves = money(e.Currency).amount(s.Saves, false)
		}
		lines := swapLines(e, b, s)
		return object{
			{"part", s.Part}, {"substitute", s.Substitute}, {"pieces", jsonQuantity(s.Pieces)}, {"of", jsonQuantity(s.Of)},
			{"units", s.Units},
			{"saves", saves}, {"runs_short", s.Wanted}, {"where", bom.Each(lines, func(l *swapLine) object {
				return object{{"assembly", l.entry.Path}, {"designators", l.entry.Line.Designators},
					{"pieces", jsonQuantity(l.pieces)}, {"of", jsonQuantity(l.of)}}
			})},
		}
	})
}
