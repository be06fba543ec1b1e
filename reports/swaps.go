package reports

import (
	"encoding/json"
	"fmt"
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
		Columns: []Column{
			batchColumn,
			{Key: "part", Heading: "Part"},
			{Key: "substitute", Heading: "Substitute"},
			{Key: "pieces", Heading: "Pieces", Format: AsQuantity},
			{Key: "of", Heading: "of", Format: AsQuantity},
			{Key: "units", Heading: "Units", Format: AsCount},
			{Key: "saves", Heading: "Saves", Unit: e.Currency.Code, Format: money},
			{Key: "where", Heading: "Where"},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		for j := range b.Swaps {
			s := &b.Swaps[j]
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

// jsonSwap is a substitute that a batch takes. Saved is landed cash and own work; empty
// where the part alone runs short.
type jsonSwap struct {
	Part       string          `json:"part"`
	Substitute string          `json:"substitute"`
	Pieces     json.RawMessage `json:"pieces"`
	Of         json.RawMessage `json:"of"`
	Units      int             `json:"units"`
	Saves      string          `json:"saves,omitempty"`
	RunsShort  bool            `json:"runs_short"`
	Where      []jsonSwapLine  `json:"where"`
}

type jsonSwapLine struct {
	Assembly    string          `json:"assembly"`
	Designators []string        `json:"designators"`
	Pieces      json.RawMessage `json:"pieces"`
	Of          json.RawMessage `json:"of"`
}

// jsonSwaps tells which substitutes a batch takes.
func jsonSwaps(e *cost.Estimate, b *cost.Batch) (out []jsonSwap) {
	for i := range b.Swaps {
		s := &b.Swaps[i]
		x := jsonSwap{Part: s.Part, Substitute: s.Substitute, Pieces: json.RawMessage(s.Pieces.String()), Of: json.RawMessage(s.Of.String()), Units: s.Units, RunsShort: s.Wanted}
		if !s.Wanted {
			x.Saves = money(e.Currency).amount(s.Saves, false)
		}
		for _, l := range swapLines(e, b, s) {
			x.Where = append(x.Where, jsonSwapLine{l.entry.Path, append([]string{}, l.entry.Line.Designators...), json.RawMessage(l.pieces.String()), json.RawMessage(l.of.String())})
		}
		out = append(out, x)
	}
	return out
}
