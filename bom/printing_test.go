package bom

import (
	"strconv"
	"testing"
)

func TestKinematicsFillsWhatIsNotGiven(t *testing.T) {
	p := Printer{Limits: map[string]float64{
		"Max speed X mm/s":         150,
		"Max acceleration E mm/s2": 5000,
		"Junction deviation mm":    0.05,
		"Max speed Z mm/s":         0, // would forbid all lifting
	}}
	want := DefaultLimits()
	want.Speed[0], want.Acceleration[3], want.JunctionMM = 150, 5000, 0.05
	if got := p.Kinematics(); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

// What the sheet says of a blank cell is what a blank recipe holds.
func TestRecipeDefaultsAreThoseOfTheSheet(t *testing.T) {
	r := DefaultRecipe()
	have := map[string]float64{
		"Layer mm": r.LayerMM, "Line width mm": r.LineMM, "Walls": float64(r.Walls), "Solid layers": float64(r.SolidLayers),
		"Infill %": r.Infill, "Wall speed mm/s": r.WallSpeed, "Solid speed mm/s": r.SolidSpeed, "Infill speed mm/s": r.InfillSpeed,
		"Travel speed mm/s": r.TravelSpeed, "Flow limit mm3/s": r.FlowLimit, "Acceleration mm/s2": r.Acceleration,
		"Start seconds": r.StartS, "Layer change seconds": r.LayerChangeS, "Skirt loops": float64(r.SkirtLoops), "Support %": r.Support,
	}
	for _, c := range RecipeTab.Columns {
		if !c.Form.Numeric() {
			continue
		}
		want, err := strconv.ParseFloat(c.Default, 64)
		got, ok := have[c.Heading]
		if err != nil || !ok || got != want {
			t.Errorf("%s: the sheet says %q, the recipe %v", c.Heading, c.Default, got)
		}
		delete(have, c.Heading)
	}
	if len(have) > 0 {
		t.Errorf("without a column: %v", have)
	}
}
