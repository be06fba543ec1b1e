package table

import (
	"strings"
	"testing"
)

func TestPadded(t *testing.T) {
	tests := []struct{ why, in, want string }{
		{"columns lined up by blanks, with a title, dashes and blank lines",
			"Parts of the frost alarm\n\nPart  Value   Device      Package\n----  -----   ----------  -------\n\nC1    100n    CAP-SMALL   C-0805\nSW1           KEY, TALL\n",
			"1: A=\"Parts of the frost alarm\"\n3: A=\"Part\" B=\"Value\" C=\"Device\" D=\"Package\"\n6: A=\"C1\" B=\"100n\" C=\"CAP-SMALL\" D=\"C-0805\"\n7: A=\"SW1\" C=\"KEY, TALL\"\n"},
		{"headings one blank apart",
			"Qty Value  Parts\n2   1k5    R1, R2\n1          J1\n",
			"1: A=\"Qty\" B=\"Value\" C=\"Parts\"\n2: A=\"2\" B=\"1k5\" C=\"R1, R2\"\n3: A=\"1\" C=\"J1\"\n"},
		{"a heading of two words",
			"Qty  Part number  Package\n2    RS-0010-XL   0603\n1    LD-77Q-R     LED3\n",
			"1: A=\"Qty\" B=\"Part number\" C=\"Package\"\n2: A=\"2\" B=\"RS-0010-XL\" C=\"0603\"\n3: A=\"1\" B=\"LD-77Q-R\" C=\"LED3\"\n"},
		{"characters count, not bytes",
			"Part  Value  Package\nR1    470Ω   0603\nR2    1k     0805\n",
			"1: A=\"Part\" B=\"Value\" C=\"Package\"\n2: A=\"R1\" B=\"470Ω\" C=\"0603\"\n3: A=\"R2\" B=\"1k\" C=\"0805\"\n"},
		{"a remark is one cell",
			"Part  Value  Package\nR1    470    0603\nR2    1k     0805\nR3    1k     0805\nR4    1k     0805\nAll resistors are of one per cent.\nLegend is on\n",
			"1: A=\"Part\" B=\"Value\" C=\"Package\"\n2: A=\"R1\" B=\"470\" C=\"0603\"\n3: A=\"R2\" B=\"1k\" C=\"0805\"\n4: A=\"R3\" B=\"1k\" C=\"0805\"\n5: A=\"R4\" B=\"1k\" C=\"0805\"\n6: A=\"All resistors are of one per cent.\"\n7: A=\"Legend is on\"\n"},
		{"a separator goes before",
			"Part list  value\nReference,Value\nR1,10k\n",
			"1: A=\"Part list  value\"\n2: A=\"Reference\" B=\"Value\"\n3: A=\"R1\" B=\"10k\"\n"},
		{"prose is none", "Value and package of each part\nare told by the drawing,\nwhich nobody has.\n",
			"1: A=\"Value and package of each part\"\n2: A=\"are told by the drawing\"\n3: A=\"which nobody has.\"\n"},
		{"an inch is no quote", "Part  Value\nX1    19\" rack\nX2    \"new\n",
			"1: A=\"Part\" B=\"Value\"\n2: A=\"X1\" B=\"19\\\" rack\"\n3: A=\"X2\" B=\"\\\"new\"\n"},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			tables, probs := Read("x.txt", []byte(tt.in), Limits{})
			if got := show(tables); got != tt.want || len(probs) > 0 {
				t.Errorf("got\n%swant\n%s%s", got, tt.want, said(probs))
			}
		})
	}
}

// A text that is too long for its column would be cut into two others.
func TestPaddedOverrun(t *testing.T) {
	in := "Part  Value  Package\nR1    470    0603\nR2    1k     0805\nR3    a-long-value 0805\n"
	_, probs := Read("x.txt", []byte(in), Limits{})
	if got := said(probs); !probs.Failed() || !strings.Contains(got, "runs over") || !strings.Contains(got, "x.txt:4:2") {
		t.Errorf("said %q", got)
	}
}
