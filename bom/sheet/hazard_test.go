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
