package cost

import (
	"math"
	"testing"

	"tenoff/bom"
)

// Boards side by side: q lengths, q − 1 gaps and two borders. Three of 60 mm with gaps of
// 2 mm and borders of 5 mm make 194 mm (worked out from that sum).
func TestPanelSize(t *testing.T) {
	for _, c := range []struct {
		why           string
		row           bom.PanelRow
		length, width float64
		along, up     float64
	}{
		{"three in a row", bom.PanelRow{Per: 3, Across: 3, GapMM: 2, BorderMM: 5}, 60, 40, 194, 50},
		{"three in a column", bom.PanelRow{Per: 3, Across: 1, GapMM: 2, BorderMM: 5}, 40, 60, 50, 194},
		{"a position is left free", bom.PanelRow{Per: 5, Across: 3, GapMM: 1}, 10, 10, 32, 21},
		{"one", bom.PanelRow{Per: 1, GapMM: 2, BorderMM: 5}, 60, 40, 70, 50},
		{"six of 60 × 40 are nearest to a square two by three", bom.PanelRow{Per: 6}, 60, 40, 120, 120},
		{"four slim ones stand side by side", bom.PanelRow{Per: 4}, 20, 80, 80, 80},
		{"two squares: across or up are alike, and up is taken", bom.PanelRow{Per: 2}, 10, 10, 10, 20},
		{"a border squares what gaps stretch", bom.PanelRow{Per: 2, GapMM: 4, BorderMM: 3}, 50, 23, 56, 56},
	} {
		along, up := panelSize(&c.row, c.length, c.width)
		if math.Abs(along-c.along) > 1e-9 || math.Abs(up-c.up) > 1e-9 {
			t.Errorf("%s: %g × %g, want %g × %g", c.why, along, up, c.along, c.up)
		}
	}
}
