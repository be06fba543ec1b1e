package sheet

import (
	"fmt"
	"slices"
	"testing"

	"tenoff/bom"
)

// The list says what a line is a hazard by, else the tab parts does.
func TestHazards(t *testing.T) {
	list := csvTable("u", "Qty,P/N,Kind,Hazard\n1,CELL-1,other,\"Lithium cells, magnets\"\n1,CELL-2,other,\n1,BELL,other,\n")
	a, problems := ReadBOM("u", files(list), Options{Parts: []bom.PartRule{{Part: "CELL-*", Hazard: []string{"lithium cells"}}}})
	if problems.Failed() {
		t.Fatal(problems)
	}
	for i, want := range [][]string{{"Lithium cells", "magnets"}, {"lithium cells"}, nil} {
		if got := a.Lines[i].Hazard; !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", a.Lines[i].Part, got, want)
		}
	}
}

// The list says how high a part stands and what its quantity is counted in, else the tab
// parts says the height and pieces are counted.
func TestHeightsAndUnits(t *testing.T) {
	list := csvTable("u", "Qty,P/N,Kind,Height mm\n1,RELAY-1,part,15.5\n2,RELAY-2,part,\n0.5 m,WR-1,wire,\n20 g,GLUE,other,\n1,BELL,other,\n")
	a, problems := ReadBOM("u", files(list), Options{Parts: []bom.PartRule{{Part: "RELAY-*", Height: bom.Known(12)}}})
	if problems.Failed() {
		t.Fatal(problems)
	}
	for i, want := range []struct {
		height float64
		unit   string
	}{{15.5, ""}, {12, ""}, {0, "m"}, {0, "g"}, {0, ""}} {
		if l := a.Lines[i]; l.Size[2].Value != want.height || l.Unit != want.unit {
			t.Errorf("%s: %g mm, %q; want %g mm, %q", l.Part, l.Size[2].Value, l.Unit, want.height, want.unit)
		}
	}
}

// The tab parts says what a list leaves open, by part number before package, and no more.
func TestPartRules(t *testing.T) {
	list := csvTable("u", "Ref,P/N,Value,Package,Mass g\nR1,,10k,R_0603_1608Metric,\nR2,,22k,0603,0.5\nU1,HX1,,ODD-X,\nTP1,,,,\nU2,A-1-B-2,,SO-8,\nU3,A-1-C,,SO-8,\n")
	a, problems := ReadBOM("u", files(list), Options{Parts: []bom.PartRule{{Package: "0805", MassG: bom.Known(9)}, {Package: "0603", MassG: bom.Known(0.1), Side: bom.Bottom},
		{Part: "OTHER", MassG: bom.Known(8)}, {Part: "TP1", Kind: bom.KindPrinted}, {Part: "A-*-B-*", MassG: bom.Known(7)}}})
	expect(t, problems, "warning: u:5:2: only its designator says which part this is; a part number, a value and a package, or a description",
		"u:5: no material is given for the printed part; a material of the tab materials",
		"u:5: no filament and time are given for a piece; both Filament g and Print hours of one piece, or a mesh or toolpath in File")
	for i, want := range []string{"10k 0603 1 part SMT 2 bottom board, 0.1 g", "22k 0603 1 part SMT 2 bottom board, 0.5 g", "HX1 1 part SMT 8 top board, 0 g",
		"TP1 1 printed  ? top kit, 0 g", "A-1-B-2 1 part SMT 8 top board, 7 g", "A-1-C 1 part SMT 8 top board, 0 g"} {
		if l := a.Lines[0].Sub.Lines[i]; fmt.Sprint(show(l), ", ", l.MassG.Value, " g") != want {
			t.Errorf("%s, %g g; want %s", show(l), l.MassG.Value, want)
		}
	}
}
