package reports

import (
	"slices"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// texts gives the texts of one column of a table.
func texts(t Table, key string) []string {
	var out []string
	for i, c := range t.Columns {
		if c.Key != key {
			continue
		}
		for _, r := range t.Rows {
			out = append(out, r.Values[i].Exact(r.Values[i].FormatIn(c)))
		}
		break
	}
	return out
}

// fit is a line of handFit.
type fit struct {
	part, designator, pack string
	kind                   bom.Kind
	mount                  bom.Mount
	joints                 int
	path                   string
	machine                bool
	change                 func(l *bom.Line)
}

// handFit is an estimate of lines that are handled at the bench, and others.
func handFit(level bom.Level, fits ...fit) *cost.Estimate {
	e := &cost.Estimate{Currency: bom.Currency{Code: "EUR", Digits: 2}, Level: level, Batches: []cost.Batch{{Size: 10, Starts: 11}, {Size: 40, Starts: 40}}}
	for _, f := range fits {
		l := &bom.Line{Part: f.part, Package: f.pack, Kind: f.kind, Mount: f.mount, Side: bom.Top, Quantity: bom.One,
			Joints: bom.Joints{Count: f.joints, Known: f.mount != bom.MountNone}}
		if f.designator != "" {
			l.Designators = []string{f.designator}
		}
		if f.change != nil {
			f.change(l)
		}
		board := -1
		if f.mount != bom.MountNone {
			board = 0
		}
		e.Entries = append(e.Entries, cost.Entry{Line: l, Path: f.path, Board: board, PerUnit: l.Quantity, PerBoard: l.Quantity, Machine: f.machine})
		for i := range e.Batches {
			need, _ := l.Quantity.Times(int64(e.Batches[i].Starts))
			e.Batches[i].Needs = append(e.Batches[i].Needs, need)
		}
	}
	return e
}

// Low parts come first, by the height that is given, else by the package, whatever
// letters their designators have; the bottom side after the top side, what is plugged
// in at the end, and what no assembler places alone.
func TestFitOrder(t *testing.T) {
	tall := func(mm float64) func(*bom.Line) { return func(l *bom.Line) { l.Size[2] = bom.Known(mm) } }
	fits := []fit{
		{part: "BOARD", kind: bom.KindBoard},
		{part: "HOLDER", designator: "BT1", mount: bom.THT, joints: 2, path: "main", change: func(l *bom.Line) { l.Side = bom.Bottom }},
		{part: "RELAY", designator: "R9", pack: "relay", mount: bom.THT, joints: 5, path: "main"},
		{part: "UNKNOWN", designator: "R8", pack: "own-7", mount: bom.THT, joints: 2, path: "main"},
		{part: "LOW-HEADER", designator: "J1", pack: "PinHeader_1x06", mount: bom.THT, joints: 6, path: "main", change: tall(2.5)},
		{part: "RESISTOR", designator: "R1", pack: "axial", mount: bom.THT, joints: 2, path: "main"},
		{part: "CHIP", designator: "U2", pack: "DIP-8", mount: bom.THT, path: "main"},
		{part: "SOCKET", designator: "XU2", pack: "DIP-8", mount: bom.THT, joints: 8, path: "main"},
		{part: "BY-HAND", designator: "D7", pack: "SMA", mount: bom.SMT, joints: 2, path: "main"},
		{part: "PLACED", designator: "U1", pack: "SOIC-8", mount: bom.SMT, joints: 8, path: "main", machine: true},
	}
	built := handFit(bom.LevelBuilt, fits...)
	if got, want := texts(FitOrder(built), "part"), []string{"BY-HAND", "LOW-HEADER", "RESISTOR", "SOCKET", "RELAY", "UNKNOWN", "HOLDER", "CHIP"}; !slices.Equal(got, want) {
		t.Errorf("fit order %v, want %v", got, want)
	}
	if got, want := texts(FitOrder(built), "height"), []string{"2.4", "2.5", "3.0", "5.0", "15.0", "", "", "5.0"}; !slices.Equal(got, want) {
		t.Errorf("heights %q, want %q", got, want)
	}
	if got := texts(FitOrder(built), "place"); got[6] != "BT1, bottom side" || got[1] != "J1" {
		t.Errorf("places %q", got)
	}
	kit := handFit(bom.LevelKit, fits...)
	if got := texts(FitOrder(kit), "part"); len(got) != 0 {
		t.Errorf("fitted for a kit by hand: %v, and nobody counts it", got)
	}
	kit.Batches[0].Work = []cost.Work{{AppliesTo: "smt"}}
	if got := texts(FitOrder(kit), "part"); !slices.Equal(got, []string{"BY-HAND"}) {
		t.Errorf("fitted for a kit by hand: %v", got)
	}
}

// The rows of a batch are that batch's alone, for all units that are started; leads have
// their length, lengths are metres and masses whole grams.
func TestPickList(t *testing.T) {
	built := handFit(bom.LevelBuilt,
		fit{part: "PLACED", designator: "U1", pack: "SOIC-8", mount: bom.SMT, path: "main", machine: true},
		fit{part: "RESISTOR", designator: "R1", pack: "axial", mount: bom.THT, path: "main", change: func(l *bom.Line) { l.Value, l.Description = "4k7", "1 %" }},
		fit{part: "LEAD", kind: bom.KindWire, change: func(l *bom.Line) { l.CutMM = bom.Whole(250) }},
		fit{part: "LENGTH", kind: bom.KindWire, change: func(l *bom.Line) { l.Quantity = bom.One / 2 }},
		fit{part: "ROPE", kind: bom.KindOther, change: func(l *bom.Line) { l.Unit = "m" }},
		fit{part: "GLUE", kind: bom.KindOther, change: func(l *bom.Line) { l.Unit, l.Quantity = "g", bom.One/3 }},
	)
	list := PickList(built)
	for key, want := range map[string][]string{
		"batch":    {"10", "10", "10", "10", "10", "40", "40", "40", "40", "40"},
		"part":     {"RESISTOR", "LEAD", "LENGTH", "ROPE", "GLUE", "RESISTOR", "LEAD", "LENGTH", "ROPE", "GLUE"},
		"value":    {"4k7, 1 %", "leads of 250 mm", "", "", "", "4k7, 1 %", "leads of 250 mm", "", "", ""},
		"assembly": {"main", "unit", "unit", "unit", "unit", "main", "unit", "unit", "unit", "unit"},
		"quantity": {"11", "11", "5.5", "11", "4", "40", "40", "20", "40", "13"},
		"unit":     {"pieces", "leads", "m", "m", "g", "pieces", "leads", "m", "m", "g"},
	} {
		if got := texts(list, key); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", key, got, want)
		}
	}
	if got := list.Notes; !slices.Contains(got, "batch 10: 11 units to start") || len(got) != 2 {
		t.Errorf("notes %q", got)
	}
}

// Inserts come before screws, those of an assembly before those of the unit.
func TestScrews(t *testing.T) {
	fits := []fit{
		{part: "SCREW", kind: bom.KindFastener},
		{part: "SCREW-IN", kind: bom.KindFastener, path: "stand / foot"},
		{part: "NUT", kind: bom.KindFastener},
		{part: "SCREW-STAND", kind: bom.KindFastener, path: "stand"},
		{part: "INSERT", kind: bom.KindInsert},
	}
	built := handFit(bom.LevelBuilt, fits...)
	built.Batches[1].Work = []cost.Work{{Operation: "drive screws", AppliesTo: "fastener"}}
	list := Screws(built)
	if got, want := texts(list, "part")[:5], []string{"INSERT", "SCREW-IN", "SCREW-STAND", "SCREW", "NUT"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got, want := texts(list, "step")[5:], []string{"1", "2", "3", "4", "4"}; !slices.Equal(got, want) {
		t.Errorf("steps %v, want %v", got, want)
	}
	if got, want := texts(list, "operation")[4:7], []string{"fastener", "insert", "drive screws"}; !slices.Equal(got, want) {
		t.Errorf("operations %v, want %v", got, want)
	}
	if got := Screws(handFit(bom.LevelKit, fits...)); len(got.Rows) > 0 {
		t.Error("nothing is screwed together for a kit")
	}
}

// The bags of a kit are the boards and assemblies of the list, and hold what the receiver
// fits: nothing that an assembler or the maker has soldered, and no packing.
func TestBags(t *testing.T) {
	fits := []fit{
		{part: "BOARD", kind: bom.KindBoard},
		{part: "PLACED", designator: "U1", mount: bom.SMT, path: "main", machine: true},
		{part: "SOLDERED", designator: "Q1", mount: bom.SMT, path: "main"},
		{part: "SOUNDER", designator: "LS1", mount: bom.THT, path: "main"},
		{part: "BASE", kind: bom.KindOther},
		{part: "SCREW", kind: bom.KindFastener, path: "screw bag"},
		{part: "GRIP-BAG", kind: bom.KindPacking, path: "screw bag"},
		{part: "NUT", kind: bom.KindFastener, path: "screw bag"},
		{part: "LEAD", kind: bom.KindWire, change: func(l *bom.Line) { l.CutMM = bom.Whole(250) }},
	}
	kit := handFit(bom.LevelKit, fits...)
	kit.Batches[0].Work = []cost.Work{{AppliesTo: "smt"}}
	list := Bags(kit)
	if got, want := texts(list, "part"), []string{"BOARD", "BASE", "LEAD", "SOUNDER", "SCREW", "NUT"}; !slices.Equal(got, want) {
		t.Errorf("bags hold %v, want %v", got, want)
	}
	if got, want := texts(list, "bag"), []string{looseBag, looseBag, looseBag, "main", "screw bag", "screw bag"}; !slices.Equal(got, want) {
		t.Errorf("bags %v, want %v", got, want)
	}
	if got, want := texts(list, "value")[2]+" "+texts(list, "unit")[2], "leads of 250 mm leads"; got != want {
		t.Errorf("a lead is counted in %q, want %q", got, want)
	}
	kit.Batches[0].Work = nil
	if got := texts(Bags(kit), "part"); !slices.Contains(got, "SOLDERED") {
		t.Error("what nobody is counted for soldering is in no bag")
	}
	if len(Bags(handFit(bom.LevelBuilt, fits...)).Rows) > 0 {
		t.Error("a built unit has no bags")
	}
}
