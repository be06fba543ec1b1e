package sheet

import (
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
