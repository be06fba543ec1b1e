package reports

import (
	"cmp"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// asTick is the format of a box to tick off on paper.
var asTick = Format{Kind: KindTick}

// tick is a column of boxes.
func tick(key string, batch int) Column {
	return Column{Key: key, Heading: "done", Batch: batch, Format: asTick}
}

// atBench tells whether a line is handled by the maker: not what a machine
// places, and not the bare board that goes to the assembler.
func atBench(e cost.Entry) bool { return !e.Machine }

// PickList is what to lay out for one unit and for each batch, spares not
// counted, with boxes to tick off.
func PickList(e *cost.Estimate) Table {
	t := Table{
		Name:  "Pick list",
		Title: "what to lay out, for one unit and for each batch",
		Notes: []string{"what machines place is not in here; batch figures are for all units begun, without spares"},
		Lead:  3,
		Columns: []Column{
			{Key: "place", Heading: "Goes on"},
			{Key: "part", Heading: "Part"},
			{Key: "description", Heading: "Description"},
			{Key: "designators", Heading: "Designators"},
			{Key: "per unit", Heading: "One unit", Format: AsQuantity},
			tick("tick", 0),
		},
	}
	t.perBatch(e, Column{Key: "need", Heading: "units", Format: AsQuantity}, tick("tick", 0))
	for i, entry := range e.Entries {
		if !atBench(entry) {
			continue
		}
		values := []Value{Text(sitsOn(entry)), Text(entry.Line.Part), Text(describe(entry.Line)),
			Text(Designators(entry.Line.Designators)), Quantity(entry.PerUnit), Nothing()}
		for j := range e.Batches {
			need, ok := entry.PerUnit.Times(int64(e.Batches[j].Starts))
			values = append(values, known(need.Decimal(), !ok), Nothing())
		}
		t.addAs(RowKey(KeyLine, 0, i), values...)
	}
	return t
}

// heightOf ranks hand-fit parts by how far they usually stand off a board, by
// the class letters of their designators (common practice, no source): a board
// that lies on its parts then holds each one down while it is soldered.
var heightOf = map[string]int{
	"W": 0, "R": 1, "D": 2, "CR": 2, "RT": 2, "L": 3, "U": 4, "Y": 5, "C": 6, "Q": 7, "DS": 8, "F": 9, "S": 9,
	"TP": 9, "J": 10, "P": 10, "TB": 11, "T": 12, "K": 12, "LS": 13, "MP": 13, "H": 13, "BT": 14,
}

// tallest is the rank of classes that are not known.
const tallest = 15

// FitOrder is the order in which to solder hand-fit parts, the low ones first:
// by the height of the part where its line gives one, otherwise by its class;
// of the same class the one with fewer joints first. Empty unless the unit is
// built.
func FitOrder(e *cost.Estimate) Table {
	t := Table{
		Name:  "Fit order",
		Title: "in which order to fit and solder by hand: low parts first",
		Notes: []string{"by height where the bill of materials gives it, otherwise by class of part (common practice)"},
		Lead:  2,
		Columns: []Column{
			{Key: "step", Heading: "Step", Format: AsCount},
			{Key: "place", Heading: "Board"},
			{Key: "designators", Heading: "Designators"},
			{Key: "part", Heading: "Part"},
			{Key: "description", Heading: "Description"},
			{Key: "per board", Heading: "Pieces", Format: AsQuantity},
			{Key: "joints", Heading: "Joints each", Format: AsCount},
			tick("tick", 0),
		},
	}
	if e.Level != bom.LevelBuilt {
		return t
	}
	var lines []cost.Entry
	for _, entry := range e.Entries {
		if entry.Category == cost.ThroughHoleParts || entry.Line.Mount != bom.MountNone && !entry.Machine {
			lines = append(lines, entry)
		}
	}
	slices.SortStableFunc(lines, func(a, b cost.Entry) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(height(a.Line), height(b.Line)), cmp.Compare(a.Line.Joints.Count, b.Line.Joints.Count))
	})
	for i, entry := range lines {
		l := entry.Line
		joints := Nothing()
		if l.Joints.Known {
			joints = Count(l.Joints.Count)
		}
		pieces := entry.PerBoard
		if entry.Board < 0 {
			pieces = entry.PerUnit
		}
		t.add(Count(i+1), Text(sitsOn(entry)), Text(Designators(l.Designators)), Text(l.Part), Text(describe(l)),
			Quantity(pieces), joints, Nothing())
	}
	return t
}

// height ranks a line: SMT parts lie flat, then the classes. Heights in mm that
// a line gives are put on the same scale: about one rank for each millimetre.
func height(l *bom.Line) float64 {
	if l.Mount == bom.SMT {
		return -1
	}
	if l.Size[2].Known {
		return l.Size[2].Value
	}
	if len(l.Designators) > 0 {
		if rank, ok := heightOf[bom.ClassOf(l.Designators[0])]; ok {
			return float64(rank)
		}
	}
	return tallest
}

// Fasteners is which fasteners and inserts to have at hand at each step of
// putting a unit together. Empty unless the unit is built.
func Fasteners(e *cost.Estimate) Table {
	t := Table{
		Name:  "Fasteners",
		Title: "fasteners and inserts by step",
		Notes: []string{"inserts before screws; the steps are those of the hand work"},
		Lead:  2,
		Columns: []Column{
			{Key: "step", Heading: "Step"},
			{Key: "place", Heading: "Goes on"},
			{Key: "description", Heading: "Size"},
			{Key: "part", Heading: "Part"},
			{Key: "per unit", Heading: "One unit", Format: AsQuantity},
		},
	}
	t.perBatch(e, Column{Key: "need", Heading: "units", Format: AsQuantity})
	t.column(tick("tick", 0))
	if e.Level != bom.LevelBuilt {
		return t
	}
	for _, kind := range []bom.Kind{bom.KindInsert, bom.KindFastener} {
		for i, entry := range e.Entries {
			if entry.Line.Kind != kind {
				continue
			}
			values := []Value{Text(stepFor(e, kind)), Text(sitsOn(entry)), Text(describe(entry.Line)), Text(entry.Line.Part), Quantity(entry.PerUnit)}
			for j := range e.Batches {
				values = append(values, Quantity(e.Batches[j].Needs[i]))
			}
			t.addAs(RowKey(KeyLine, 0, i), append(values, Nothing())...)
		}
	}
	return t
}

// stepFor names the hand work that is done to lines of a kind.
func stepFor(e *cost.Estimate, kind bom.Kind) string {
	var names []string
	if len(e.Batches) > 0 {
		for _, w := range e.Batches[0].Work {
			if w.AppliesTo == string(kind) {
				names = append(names, w.Operation)
			}
		}
	}
	if len(names) == 0 {
		return string(kind)
	}
	return strings.Join(names, ", ")
}

// Bags is what goes into each bag of a kit: the boards, the hand-fit parts of
// each board, fasteners and inserts, printed parts, and the rest. Empty unless
// the level is kit.
func Bags(e *cost.Estimate) Table {
	t := Table{
		Name:  "Bags",
		Title: "what goes into each bag of one kit",
		Lead:  2,
		Columns: []Column{
			{Key: "bag", Heading: "Bag"},
			{Key: "part", Heading: "Part"},
			{Key: "description", Heading: "Description"},
			{Key: "designators", Heading: "Designators"},
			{Key: "per unit", Heading: "Pieces", Format: AsQuantity},
			tick("tick", 0),
		},
	}
	if e.Level != bom.LevelKit {
		return t
	}
	type item struct {
		rank int
		bag  string
		e    cost.Entry
	}
	var items []item
	for _, entry := range e.Entries {
		if rank, bag := bagOf(entry); bag != "" {
			items = append(items, item{rank, bag, entry})
		}
	}
	slices.SortStableFunc(items, func(a, b item) int { return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.bag, b.bag)) })
	for _, it := range items {
		l := it.e.Line
		t.add(Text(it.bag), Text(l.Part), Text(describe(l)), Text(Designators(l.Designators)), Quantity(it.e.PerUnit), Nothing())
	}
	return t
}

// bagOf names the bag of a line; none for what a machine has placed already and
// for packing, which goes around the bags.
func bagOf(e cost.Entry) (rank int, bag string) {
	switch {
	case e.Machine || e.Line.Kind == bom.KindPacking:
		return 0, ""
	case e.Line.Kind == bom.KindBoard:
		return 1, "boards"
	case e.Category == cost.ThroughHoleParts || e.Category == cost.SMTParts:
		return 2, "parts of " + sitsOn(e)
	case e.Category == cost.Fasteners:
		return 3, "fasteners and inserts"
	case e.Category == cost.PrintedParts:
		return 4, "printed parts"
	}
	return 5, "wire and other parts"
}

// Cutting is how leads are cut from rings: as many rings as a row says, all alike.
func Cutting(e *cost.Estimate) Table {
	t := Table{
		Name:  "Cutting",
		Title: "how leads are cut from rings",
		Notes: []string{"spares are cut as well; the rest is what is left of each ring"},
		Lead:  2,
		Columns: []Column{
			batchColumn,
			{Key: "part", Heading: "Part"},
			{Key: "description", Heading: "Description"},
			{Key: "ring", Heading: "Ring", Unit: "m", Format: AsQuantity},
			{Key: "rings", Heading: "Rings", Format: AsCount},
			{Key: "leads", Heading: "Each cut to"},
			{Key: "rest", Heading: "Rest", Unit: "mm", Format: AsQuantity},
			tick("tick", 0),
		},
	}
	for _, b := range e.Batches {
		for _, r := range b.Cuts {
			leads := make([]string, len(r.Leads))
			for i, l := range r.Leads {
				leads[i] = l.String()
			}
			p := e.Parts[r.Part]
			t.add(Count(b.Size), Text(p.Key), Text(p.Description), Number(r.RingMM.Decimal().Shift(-3)), Count(r.Times), Text(strings.Join(leads, ", ")),
				Quantity(r.RestMM), Nothing())
		}
	}
	return t
}
