package printing_test

import (
	"math"
	"testing"

	"tenoff/bom"
	"tenoff/cost/printing"
	"tenoff/fixtures/shapes"
)

// abrupt are limits at which a line takes its length over its speed.
func abrupt() bom.KinematicLimits {
	l := bom.DefaultLimits()
	l.Speed, l.Acceleration = [4]float64{1e4, 1e4, 1e4, 1e4}, [4]float64{1e8, 1e8, 1e8, 1e8}
	return l
}

// bare is a recipe of walls alone, without skirt and without time between lines.
func bare() bom.Recipe {
	r := bom.DefaultRecipe()
	r.SolidLayers, r.Infill, r.SkirtLoops, r.LayerChangeS, r.FlowLimit = 0, 0, 0, 0, 0
	r.Acceleration, r.TravelSpeed = 1e8, 1e4
	return r
}

func computeOn(t testing.TB, m shapes.Mesh, r bom.Recipe, limits bom.KinematicLimits) *printing.Estimate {
	t.Helper()
	e, err := printing.Compute(solid(t, m), r, limits, pla)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// A figure that is given as what a blank cell means changes nothing.
func TestBlankFiguresAreThoseOfOthers(t *testing.T) {
	r := recipe()
	blank := compute(t, shapes.Case(), r)
	four := bom.Known(4)
	r.Special = bom.SpecialLines{FirstLayerMM: bom.Known(0.2), TopLayers: four, BottomLayers: four, OuterSpeed: bom.Known(45), SmallSpeed: bom.Known(45),
		FirstSpeed: bom.Known(45), TopSpeed: bom.Known(50)}
	if given := compute(t, shapes.Case(), r); *given != *blank {
		t.Errorf("%+v, blank %+v", given, blank)
	}
}

// Of 10 mm the lowest layer takes 0.3; the middles of layers of 0.2 stand from 0.4
// in steps of 0.2 below 10 mm, 48 of them: 20 × 20 × (0.3 + 48 × 0.2) mm³.
func TestFirstLayer(t *testing.T) {
	r := recipe()
	r.Infill, r.SkirtLoops, r.Special.FirstLayerMM = 100, 0, bom.Known(0.3)
	e := compute(t, shapes.Box(20, 20, 10), r)
	if want := 400 * (0.3 + 48*0.2) / 1000 * pla.Density; e.Layers != 49 || !near(e.G, want, 1e-9) {
		t.Errorf("%d layers, %v g; want 49, %v", e.Layers, e.G, want)
	}
	for i, l := range slice(t, shapes.Box(20, 20, 10), printing.Cut{LayerMM: 0.2, FirstMM: 0.3, LineMM: 0.45, Walls: 2, TopLayers: 1, BottomLayers: 1}) {
		if want := map[bool]float64{true: 0.3, false: 0.2}[i == 0]; l.Height != want || !near(l.Area, 400, 1e-6) {
			t.Errorf("layer %d: %+v", i, l)
		}
	}
	// A cone of radius 10 at the foot and 0 at 20 mm has at the height z the radius
	// (20 − z) / 2.
	r.Special.FirstLayerMM = bom.Known(0.8)
	cut := cut()
	cut.FirstMM = 0.8
	for i, l := range slice(t, shapes.Revolve([][2]float64{{0, 0}, {10, 0}, {0, 20}}, 720, false), cut) {
		z := 0.4
		if i > 0 {
			z = 0.8 + 0.2*(float64(i)-0.5)
		}
		if radius := (20 - z) / 2; !near(l.Area, math.Pi*radius*radius, 0.01) || !near(l.Outline, 2*math.Pi*radius, 0.01) {
			t.Fatalf("layer %d: %+v, radius %v", i, l, radius)
		}
	}
}

// Five solid layers below and two above a cube, by hand as in TestSharesOfACube.
func TestTopAndBottomApart(t *testing.T) {
	r := recipe()
	r.Special.BottomLayers, r.Special.TopLayers = bom.Known(5), bom.Known(2)
	e := compute(t, shapes.Box(20, 20, 20), r)
	if inner := 18.2 * 18.2; !near(e.Solid.VolumeMM3, inner*0.2*7, 1e-6) || !near(e.Infill.VolumeMM3, inner*0.2*93*0.2, 1e-6) {
		t.Errorf("solid %v mm³, infill %v mm³", e.Solid.VolumeMM3, e.Infill.VolumeMM3)
	}
}

// Two lines of 0.45 mm in a square of 20 mm are 4 × 19.55 and 4 × 18.65 mm long.
func TestSpeedsOfLines(t *testing.T) {
	box := shapes.Box(20, 20, 10) // 50 layers
	const outer, inner = 4 * 19.55, 4 * 18.65
	r := bare()
	r.WallSpeed, r.Special.OuterSpeed, r.Special.FirstSpeed = 60, bom.Known(25), bom.Known(20)
	e := computeOn(t, box, r, abrupt())
	if want := 49*(outer/25+inner/60) + (outer+inner)/20; !near(e.Walls.Seconds, want, 1e-3*want) {
		t.Errorf("walls take %v s, want %v", e.Walls.Seconds, want)
	}
	// Four solid layers above, of which the uppermost is slower; lines of 18.2² / 0.45 mm.
	r.Special.TopLayers, r.Special.TopSpeed, r.SolidSpeed = bom.Known(4), bom.Known(30), 80
	e = computeOn(t, box, r, abrupt())
	const lines = 18.2 * 18.2 / 0.45
	if want := lines/30 + 3*lines/80; !near(e.Solid.Seconds, want, 1e-3*want) {
		t.Errorf("solid layers take %v s, want %v", e.Solid.Seconds, want)
	}
}

// A layer that would take less than the least time takes exactly that, unless the
// slowest speed is reached before.
func TestLeastLayerTime(t *testing.T) {
	r := bare()
	r.LeastS, r.SlowestSpeed = 7, 1e-3
	e := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if !near(e.Seconds, 50*7, 1e-9) {
		t.Errorf("50 layers of 7 s take %v s", e.Seconds)
	}
	const lines = 4*19.55 + 4*18.65
	r.LeastS, r.SlowestSpeed = 60, 10
	e = computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if want := 50 * lines / 10; !near(e.Walls.Seconds, want, 1e-3*want) {
		t.Errorf("at 10 mm/s walls take %v s, want %v", e.Walls.Seconds, want)
	}
	r.WallSpeed = 8 // below the slowest speed already
	e = computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if want := 50 * lines / 8; !near(e.Walls.Seconds, want, 1e-3*want) {
		t.Errorf("at 8 mm/s walls take %v s, want %v", e.Walls.Seconds, want)
	}
	r.LeastS = 1 // slower than that anyway
	if other := computeOn(t, shapes.Box(20, 20, 10), r, abrupt()); other.Seconds != e.Seconds {
		t.Errorf("%v s and %v s", other.Seconds, e.Seconds)
	}
}

// What is pressed out at the start of a plate is shared by the pieces on it: 100 mm
// of filament of 1.75 mm are 240.5281875 mm³.
func TestPrime(t *testing.T) {
	r := recipe()
	plain, err := printing.Measure(bom.PrintFiles{Solid: solid(t, shapes.Case())}, r, bom.DefaultLimits(), pla.Density, pla.DiameterMM)
	if err != nil {
		t.Fatal(err)
	}
	r.PrimeMM = 100
	primed, err := printing.Measure(bom.PrintFiles{Solid: solid(t, shapes.Case())}, r, bom.DefaultLimits(), pla.Density, pla.DiameterMM)
	if err != nil {
		t.Fatal(err)
	}
	a, b := &plain[0], &primed[0]
	const g = 0.2405281875 * 1.24
	if a.G != b.G || !near(b.GOn(1).Value, a.G.Value+g, 1e-9) || !near(b.GOn(4).Value, a.G.Value+g/4, 1e-9) || !near(b.FilamentM, a.FilamentM+0.1, 1e-9) {
		t.Errorf("%+v and %+v", a, b)
	}
}
