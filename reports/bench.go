package reports

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// asTick is the format of a box to tick off on paper.
var asTick = Format{Kind: KindTick}

// tick is a column of boxes.
func tick() []Column { return columns(Column{Format: asTick}, "tick: done") }

// asBenchGrams is the format of grams that a batch takes: whole ones.
var asBenchGrams = Format{Kind: KindGrams}

// asHeight is the format of heights above a board.
var asHeight = Format{Kind: KindQuantity, Digits: 1, Keep: 3, Trim: true}

// benchColumns say what a line is and where it goes; benchValues fills them. Nothing
// stands where a line has none of it.
var benchColumns = plain("part", "value: Value, description", "package", "assembly", "place")

func benchValues(entry cost.Entry) []Value {
	l := entry.Line
	return []Value{Text(l.Part), Text(benchName(l)), Text(bom.ShortPackage(l.Package)), Text(sitsOn(entry)), Text(Designators(l.Designators))}
}

// benchName is the value of a line and its description; leads have their length.
func benchName(l *bom.Line) string {
	name := strings.Trim(l.Value+", "+l.Description, ", ")
	if l.CutMM > 0 {
		name = strings.TrimPrefix(name+", leads of "+l.CutMM.String()+" mm", ", ")
	}
	return name
}

// Units of what is counted at the bench.
const (
	inPieces = "pieces"
	inLeads  = "leads"
	inMetres = "m"
	inGrams  = "g"
)

// counted is a quantity of a line with what it is counted in.
func counted(l *bom.Line, q bom.Quantity) [2]Value {
	number := Quantity(q).where(q != 0)
	switch {
	case l.CutMM > 0:
		return [2]Value{number, Text(inLeads)}
	case l.Unit == inGrams:
		return [2]Value{number.As(asBenchGrams), Text(inGrams)}
	case l.Unit != "":
		return [2]Value{number, Text(l.Unit)}
	case l.Kind == bom.KindWire && !l.Quantity.IsWhole():
		return [2]Value{number, Text(inMetres)}
	}
	return [2]Value{number, Text(inPieces)}
}

// quantityColumns are those that counted fills.
func quantityColumns(name string) []Column {
	return slices.Concat(columns(Column{Format: AsQuantity}, name), plain("unit"))
}

// PickList is what to lay out for each batch: for all units to start, spares not
// counted, with a box to tick off. What an assembler places is not in it.
func PickList(e *cost.Estimate) Table {
	t := Table{
		Name:    "Pick list",
		Title:   "what to lay out",
		Notes:   append([]string{"for all units to start, spares not counted; what the assembler places is not in it"}, starting(e)...),
		Lead:    2,
		Columns: slices.Concat(batchColumn, benchColumns, quantityColumns("quantity"), tick()),
	}
	for _, b := range bom.Refs(e.Batches) {
		for i, entry := range e.Entries {
			if b.Places(&entry) || !b.Uses(&entry, i) || startsOf(b, &entry) == 0 {
				continue
			}
			need, ok := entry.PerUnit.Times(int64(startsOf(b, &entry)))
			if entry.Replaced || entry.StandsFor > 0 {
				need = b.Needs[i]
			}
			q := counted(entry.Line, need)
			q[0] = q[0].unless(!ok)
			t.addAs(RowKey(KeyLine, b.ID(), i), slices.Concat([]Value{BatchValue(b.ID())}, benchValues(entry), q[:], []Value{Nothing()})...)
		}
	}
	return t
}

// starting tells how many units are started where that is not the batch.
func starting(e *cost.Estimate) (notes []string) {
	for i := range e.Batches {
		if b := &e.Batches[i]; b.Starts != b.Size {
			notes = append(notes, fmt.Sprintf("batch %s: %s to start", b.ID().Shown(), Counted(b.Starts, "unit")))
		}
	}
	return notes
}

// FitOrder is the order in which to solder by hand what goes on each board: SMT parts
// before through-hole parts, the top side before the bottom side, low parts before high
// ones (a board that lies on its parts then holds each one down while it is soldered),
// and what has no joints, such as a chip in a socket, at the end.
func FitOrder(e *cost.Estimate) Table {
	t := Table{
		Name:  "Fit order",
		Title: "in which order to fit and solder by hand: low parts first",
		Notes: []string{"heights as the list or the tab parts gives them, else by the package (common practice); what has none is fitted last"},
		Lead:  2,
		Columns: slices.Concat(columns(Column{Format: AsCount}, "step"), benchColumns,
			columns(Column{Unit: "mm", Format: asHeight}, "height"), columns(Column{Format: AsQuantity}, "per board: On one board"), tick()),
	}
	var lines []cost.Entry
	for i, entry := range e.Entries {
		if e.Uses(i) && entry.Line.Mount != bom.MountNone && fittedHere(e, entry) {
			lines = append(lines, entry)
		}
	}
	slices.SortStableFunc(lines, func(a, b cost.Entry) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(turn(a.Line), turn(b.Line)), cmp.Compare(heightOrLast(a.Line), heightOrLast(b.Line)))
	})
	for i, entry := range lines {
		l := entry.Line
		high, pieces, values := height(l), entry.PerBoard, benchValues(entry)
		if l.Side == bom.Bottom {
			values[4] = Text(strings.TrimPrefix(Designators(l.Designators)+", bottom side", ", "))
		}
		if entry.Board < 0 {
			pieces = entry.PerUnit
		}
		t.add(slices.Concat([]Value{Count(i + 1)}, values, []Value{Float(high.Value).where(high.Known), Quantity(pieces), Nothing()})...)
	}
	return t
}

// fittedHere tells whether a part is soldered at the bench: all that no assembler places
// where the unit is built; below that SMT parts alone, where work on them is counted.
func fittedHere(e *cost.Estimate, entry cost.Entry) bool {
	switch {
	case e.Placed(&entry):
		return false
	case levelOf(e, entry.Product) == bom.LevelBuilt:
		return true
	}
	return entry.Line.Mount == bom.SMT && slices.ContainsFunc(e.Batches, func(b cost.Batch) bool {
		return slices.ContainsFunc(b.Work, func(w cost.Work) bool { return w.AppliesTo == "smt" })
	})
}

// turn is in which round of the work on a board a line is fitted.
func turn(l *bom.Line) int {
	round := 0
	switch {
	case l.Joints.Known && l.Joints.Count == 0:
		round = 4
	case l.Mount == bom.THT:
		round = 2
	}
	if l.Side == bom.Bottom {
		round++
	}
	return round
}

// height is how far a line stands off its board, in mm.
func height(l *bom.Line) bom.Measure {
	if l.Size[2].Known {
		return l.Size[2]
	}
	return bom.PackageHeight(l.Package)
}

func heightOrLast(l *bom.Line) float64 {
	if h := height(l); h.Known {
		return h.Value
	}
	return math.Inf(1)
}

// Screws is which inserts and fasteners to have at hand at each step of putting the
// units of a batch together: inserts, then what holds an assembly together before what
// holds the unit. Empty unless the unit is built.
func Screws(e *cost.Estimate) Table {
	t := Table{
		Name:  "Screws",
		Title: "inserts and screws by step",
		Notes: append([]string{"for all units to start, spares not counted"}, starting(e)...),
		Lead:  3,
		Columns: slices.Concat(
			batchColumn, columns(Column{Format: AsCount}, "step"),
			plain("operation", "assembly", "part", "value: Size"),
			columns(Column{Format: AsQuantity}, "per unit", "quantity"), tick(),
		),
	}
	steps := screwSteps(e)
	for _, b := range bom.Refs(e.Batches) {
		for s, entries := range steps {
			for _, i := range entries {
				entry := e.Entries[i]
				if !b.Uses(&entry, i) {
					continue
				}
				t.addAs(RowKey(KeyLine, b.ID(), i), BatchValue(b.ID()), Count(s+1), Text(operationOn(b, entry.Line.Kind)), Text(sitsOn(entry)),
					Text(entry.Line.Part), Text(benchName(entry.Line)), Quantity(entry.PerUnit), Quantity(b.Needs[i]), Nothing())
			}
		}
	}
	return t
}

// screwSteps are the lines of inserts and fasteners, by index, those of a step together.
func screwSteps(e *cost.Estimate) [][]int {
	var lines []int
	for i, entry := range e.Entries {
		if e.Uses(i) && levelOf(e, entry.Product) == bom.LevelBuilt && (entry.Line.Kind == bom.KindInsert || entry.Line.Kind == bom.KindFastener) {
			lines = append(lines, i)
		}
	}
	compare := func(i, j int) int {
		a, b := e.Entries[i], e.Entries[j]
		return cmp.Or(-cmp.Compare(a.Line.Kind, b.Line.Kind), // insert, fastener
			cmp.Compare(depth(b), depth(a)), cmp.Compare(a.Path, b.Path))
	}
	slices.SortStableFunc(lines, compare)
	var steps [][]int
	for n, i := range lines {
		if n == 0 || compare(lines[n-1], i) != 0 {
			steps = append(steps, nil)
		}
		steps[len(steps)-1] = append(steps[len(steps)-1], i)
	}
	return steps
}

// depth is how many assemblies of the list a line stands in.
func depth(e cost.Entry) int {
	if e.Path == "" {
		return 0
	}
	return 1 + strings.Count(e.Path, " / ")
}

// operationOn names the hand work that is done to lines of a kind.
func operationOn(b *cost.Batch, kind bom.Kind) string {
	var names []string
	for _, w := range b.Work {
		if w.AppliesTo == string(kind) {
			names = append(names, w.Operation)
		}
	}
	return cmp.Or(strings.Join(names, ", "), string(kind))
}

// looseBag is where what stands in no assembly of the list goes.
const looseBag = "loose in the box"

// Bags is what goes into each bag of a kit: what its receiver fits, a bag for each board
// and assembly of the list, by its name there. Empty unless the level is kit.
func Bags(e *cost.Estimate) Table {
	t := Table{
		Name:    "Bags",
		Title:   "what goes into each bag of one kit",
		Notes:   []string{"bags are the boards and assemblies of the list; what is soldered before is not in them"},
		Lead:    2,
		Columns: slices.Concat(plain("bag", "part", "value: Value, description", "package", "place"), quantityColumns("per unit: In one kit"), tick()),
	}
	for _, entry := range bagged(e) {
		l, q := entry.Line, counted(entry.Line, entry.PerUnit)
		if inSome(e, &entry) {
			q = [2]Value{Nothing(), Text("in some units in place of " + e.Entries[entry.StandsFor-1].Line.Part)}
		}
		t.add(Text(cmp.Or(entry.Path, looseBag)), Text(l.Part), Text(benchName(l)), Text(bom.ShortPackage(l.Package)), Text(Designators(l.Designators)), q[0], q[1], Nothing())
	}
	return t
}

// bagged are the lines that the receiver of a kit fits, those of a bag together; none of
// any other level.
func bagged(e *cost.Estimate) (lines []cost.Entry) {
	first := map[string]int{}
	for i, entry := range e.Entries {
		if levelOf(e, entry.Product) != bom.LevelKit || e.Placed(&entry) || entry.Line.Kind == bom.KindPacking || fittedHere(e, entry) || !e.Uses(i) {
			continue
		}
		if _, ok := first[entry.Path]; !ok {
			first[entry.Path] = i
		}
		lines = append(lines, entry)
	}
	slices.SortStableFunc(lines, func(a, b cost.Entry) int { return cmp.Compare(first[a.Path], first[b.Path]) })
	return lines
}

// inSome tells whether a line is of a substitute that some units have and others have not.
func inSome(e *cost.Estimate, entry *cost.Entry) bool {
	return entry.StandsFor > 0 && e.Uses(entry.StandsFor-1)
}

// Cutting is how leads are cut from rings: as many rings as a row says, all alike.
func Cutting(e *cost.Estimate) Table {
	t := Table{
		Name:  "Cutting list",
		Title: "how leads are cut from rings",
		Notes: []string{"spares are cut as well; the rest is what is left of each ring"},
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("part", "description"),
			columns(Column{Unit: "m", Format: AsQuantity}, "ring"),
			columns(Column{Format: AsCount}, "rings"),
			plain("leads: Each cut to"),
			columns(Column{Unit: "mm", Format: AsQuantity}, "rest"), tick(),
		),
	}
	for _, b := range e.Batches {
		for _, r := range b.Cuts {
			leads := bom.Each(r.Leads, func(l *cost.CutLeads) string { return l.String() })
			p := e.Parts[r.Part]
			t.add(BatchValue(b.ID()), Text(p.Key), Text(p.Description), Number(r.RingMM.Decimal().Shift(-3)), Count(r.Times), Text(strings.Join(leads, ", ")),
				Quantity(r.RestMM).where(r.RestMM != 0), Nothing())
		}
	}
	return t
}
