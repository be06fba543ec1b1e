package sheet

import (
	"strings"
	"testing"

	"tenoff/bom"
)

// TestLooksLikeDesignators: common practice, no source.
func TestLooksLikeDesignators(t *testing.T) {
	for text, want := range map[string]bool{
		"R12, U$3": true, "C1,4,9": true, "R1 - R4": true, "": false, "4 R1": false,
		"BC547 transistor NPN": false, "R12 and more": false, "C37635331": false,
	} {
		if looksLikeDesignators(text) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
}

func TestRunningNumbers(t *testing.T) {
	for text, want := range map[string]bool{"1 2 3": true, "1. 2. 4.": true, "1": false, "4 100": false, "1 2 2": false, "1 x": false} {
		var cells []bom.Cell
		for _, f := range strings.Fields(text) {
			cells = append(cells, bom.Cell{Text: f})
		}
		if runningNumbers(cells) != want {
			t.Errorf("%s: %v", text, !want)
		}
	}
}

// TestFieldsByContent: what a column whose heading says nothing is read as, by what stands in it.
func TestFieldsByContent(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"names", "Qty,Alpha,Beta,Gamma\n1,red foot with hole,B,900000000000000000000\n2,blue knob,B,80000000000000000000000\n1,wooden box,A,700000000000000000000000\n", `1 red foot with hole, 2 blue knob, 1 wooden box, column B, headed "Alpha", is read as Description, by what stands in it; `},
		{"links name nothing", "Qty,Alpha,Beta,Gamma\n1,https://example.org/foot,foot red,9\n2,https://example.org/knob,knob,8\n1,https://example.org/box,wooden box,7\n", `1 foot red, 2 knob, 1 wooden box, column C, headed "Beta", is read as Description, by what stands in it; `},
		{"nor do words that one field has already", "Qty,Supplier,Alpha\n1,Corner Parts of Larkfield,foot\n2,Corner Parts of Larkfield,knob\n1,Corner Parts of Larkfield,box\n", `1 foot, 2 knob, 1 box, column C, headed "Alpha", is read as Description, by what stands in it; `},
		{"some names stand elsewhere", "Qty,Description,Alpha\n1,foot,\n2,,knob red\n1,,box of wood\n3,,pin of brass\n", `1 foot, 2 knob red, 1 box of wood, 3 pin of brass, column C, headed "Alpha", is read as Value, by what stands in it; `},
		{"a long text in one row", "Qty,Alpha,Bin,Beta\n1,red foot,3,\n2,knob,4,what is said at length of one of them and of none of the others there are\n1,box,9,\n", `1 red foot, 2 knob, 1 box, column B, headed "Alpha", is read as Description, by what stands in it; `},
		{"one row without a name", "Qty,P/N,Alpha\n1,A,red foot\n2,B,knob blue\n1,C,box oak\n1,,pin\n", `1 A, 2 B, 1 C, 1 , `},
		{"names beside values", "Qty,Description,Value,Alpha\n1,foot,a1,x red\n2,,b2,knob\n1,box,c3,crate\n", `1 a1, 2 b2, 1 c3, `},
		{"names beside part numbers", "Qty,Description,P/N,Alpha\n1,foot,a1,x red\n2,,b2,knob\n1,box,c3,crate\n", `1 a1, 2 b2, 1 c3, `},
		{"values beside part numbers", "Ref,P/N,Package,Alpha\nR1,A1,0603,10k\nR2,A2,0603,22k\nC1,A3,0603,1u\nC2,A4,0603,2u\n", `1 u, 1 A1, 1 A2, 1 A3, 1 A4, `},
		{"values beside descriptions", "Ref,Description,Package,Alpha\nR1,chip,0603,10k\nR2,chip,0603,22k\nC1,chip,0603,1u\nC2,chip,0603,2u\n", `1 u, 1 chip, 1 chip, 1 chip, 1 chip, `},
		{"a few texts more", "Qty,Description,Alpha\n1,foot,\n2,,knob\n1,box,\n3,pin,\n", `1 foot, 2 , 1 box, 3 pin, `},
		{"texts that nothing calls for", "Qty,Description,Alpha\n1,foot,red a\n2,knob,blue b\n1,box,oak c\n", `1 foot, 2 knob, 1 box, `},
		{"counts", ",Description,Material\n3,foot,oak\n2,knob,oak\n7,box,ash\n", `3 foot, 2 knob, 7 box, column A is read as Quantity, by what stands in it; `},
		{"rows that are numbered", ",Description,Material\n1,foot,oak\n2,knob,oak\n3,box,ash\n", `1 foot, 1 knob, 1 box, `},
		{"sums in few rows", ",Description,Material\n4,foot,oak\n,knob,oak\n,box,oak\n2,lid,oak\n", `1 foot, 1 knob, 1 box, 1 lid, `},
		{"types that look like places", "Qty,Description,Package,Mount\n1,BC547,TO-92,THT\n2,BC557,TO-92,THT\n1,LM358,DIP-8,THT\n", `1 BC547, 2 BC557, 1 LM358, `},
		{"types that look like places, beside values", "Qty,Description,Value,Package\n1,NE555,timer,DIP-8\n2,TL072,amp,DIP-8\n1,LM358,amp,DIP-8\n", `1 timer DIP-8, 2 amp DIP-8, 1 amp DIP-8, `},
		{"yes and no is no word for fitted", "Qty,P/N,Alpha\n1,A,yes\n2,B,no\n1,C,yes\n", `1 A, 2 B, 1 C, `},
		{"sides are no values", "Ref,Package,Alpha\nR1,0603,lower\nR2,0805,lower\nC1,0402,upper\nC2,0603,upper\n", `1 u, 1 0603, 1 0805, 1 0402, 1 0603, `},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", c.text)), Options{})
		got := ""
		for l := range read.MadeLines() {
			got += l.Quantity.String() + " " + l.Part + ", "
		}
		for _, p := range problems {
			if strings.Contains(p.What, "by what stands in it") {
				got += p.What + "; "
			}
		}
		if got != c.want {
			t.Errorf("%s: %s", c.why, got)
		}
	}
}

func TestTitleSays(t *testing.T) {
	for title, want := range map[string]section{
		"SMD, bottom side": {mount: bom.SMT, side: bom.Bottom}, "Through-hole, top": {mount: bom.THT, side: bom.Top},
		"SMD and THT": {}, "Top and bottom": {},
	} {
		if got := titleSays(title); got != want {
			t.Errorf("%s: %+v", title, got)
		}
	}
}
