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
	r.Special = bom.SpecialLines{FirstLayerMM: bom.Known(0.2), FillLineMM: bom.Known(0.45), TopLayers: four, BottomLayers: four, OuterSpeed: bom.Known(45), SmallSpeed: bom.Known(45),
		FirstSpeed: bom.Known(45), TopSpeed: bom.Known(50)}
	if given := compute(t, shapes.Case(), r); *given != *blank {
		t.Errorf("%+v, blank %+v", given, blank)
	}
}

// Of 10 mm the lowest layer takes 0.3; the middles of layers of 0.2 stand from 0.4
// in steps of 0.2 up to 10 mm, 49 of them: 20 × 20 × (0.3 + 49 × 0.2) mm³.
func TestFirstLayer(t *testing.T) {
	r := recipe()
	r.Infill, r.SkirtLoops, r.Special.FirstLayerMM = 100, 0, bom.Known(0.3)
	e := compute(t, shapes.Box(20, 20, 10), r)
	if want := 400 * (0.3 + 49*0.2) / 1000 * pla.Density; e.Layers != 50 || !near(e.G, want, 1e-9) {
		t.Errorf("%d layers, %v g; want 50, %v", e.Layers, e.G, want)
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
	// Lines twice as wide are half as long, and hold as much.
	r.Special.FillLineMM = bom.Known(0.9)
	wide := computeOn(t, box, r, abrupt())
	if !near(wide.Solid.Seconds, e.Solid.Seconds/2, 1e-3*e.Solid.Seconds) || !near(wide.Solid.VolumeMM3, e.Solid.VolumeMM3, 1e-6) {
		t.Errorf("wide lines: %+v, narrow ones %+v", wide.Solid, e.Solid)
	}
	// So it is where just the uppermost lines are, of the one layer of four.
	top := r
	top.Special.FillLineMM, top.Special.TopLineMM = bom.Measure{}, bom.Known(0.9)
	if one, want := computeOn(t, box, top, abrupt()), lines/2/30+3*lines/80; !near(one.Solid.Seconds, want, 1e-3*want) || !near(one.Solid.VolumeMM3, e.Solid.VolumeMM3, 1e-6) {
		t.Errorf("wide lines above: %+v, want %v s and %v mm³", one.Solid, want, e.Solid.VolumeMM3)
	}
	r.FlowLimit = 0.9 * 0.2 * 10 // 10 mm/s of the wide lines
	if slow := computeOn(t, box, r, abrupt()); !near(slow.Solid.Seconds, 4*lines/2/10, 1e-3*slow.Solid.Seconds) {
		t.Errorf("by the flow: %+v", slow.Solid)
	}
	// With nine tenths of the filament a tenth faster, and as much lighter; what is pressed
	// out at restarts is as it was.
	full := computeOn(t, box, r, abrupt())
	r.Flow = 90
	less := computeOn(t, box, r, abrupt())
	if !near(less.Solid.Seconds, 0.9*full.Solid.Seconds, 1e-3*full.Solid.Seconds) || !near(less.G, 0.9*full.G, 1e-9) || !near(less.FilamentM, 0.9*full.FilamentM, 1e-9) {
		t.Errorf("of nine tenths %+v, of all %+v", less, full)
	}
	r.PullInside, r.RestartMM = true, 1
	if e := computeOn(t, box, r, abrupt()); e.PullBacks == 0 || !near(e.FilamentM, less.FilamentM+e.PullBacks/1000, 1e-9) {
		t.Errorf("%v m after %v restarts of 1 mm, %v without", e.FilamentM, e.PullBacks, less.FilamentM)
	}
}

// A layer that would take less than the least time by its lengths and speeds is slowed
// down to just that, unless the slowest speed is reached before. Speeding up and slowing
// down comes on top.
func TestLeastLayerTime(t *testing.T) {
	r := bare()
	r.LeastS, r.SlowestSpeed = 7, 1e-3
	e := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if !near(e.Seconds, 50*7, 0.05) { // and what a printer needs that speeds up at 10^8 mm/s²
		t.Errorf("50 layers of 7 s take %v s", e.Seconds)
	}
	// 76.4 mm round a square of one line of 0.9 mm, slowed from 50 to 10 mm/s, go straight
	// through corners that allow 6.948688455 mm/s at 1000 mm/s² (see TestOutlinesArePlannedLikeToolpaths),
	// and the way to them at 200 mm/s (see TestWaysBetweenOutlines)
	slow := r
	slow.Walls, slow.LineMM, slow.WallSpeed, slow.Acceleration, slow.LeastS = 1, 0.9, 50, 1000, 7.64+1.25*0.7124*20/200
	limits := bom.DefaultLimits()
	limits.JunctionMM = 0.02
	const v, corner = 10, 6.948688455
	ramp := func(from float64) float64 { return (v-from)/1000 - (v*v-from*from)/(2*1000*v) } // lost in one
	if e, want := computeOn(t, shapes.Box(20, 20, 10), slow, limits), 50*76.4/80*(80.0/v+2*ramp(0)+6*ramp(corner)); !near(e.Walls.Seconds, want, 5e-4*want) {
		t.Errorf("slowed to 10 mm/s walls take %v s, want %v", e.Walls.Seconds, want)
	}
	slow.LeastS = 0.1 // which it takes anyway
	never := slow
	never.LeastS = 0
	if e, want := computeOn(t, shapes.Box(20, 20, 10), slow, limits), computeOn(t, shapes.Box(20, 20, 10), never, limits); *e != *want {
		t.Errorf("%+v, without a least time %+v", e, want)
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

// Outlines of cylinders of 5, 7 and 8 mm radius are 31.4, 44.0 and 50.3 mm long; 41 mm is
// the limit (common practice). Two lines of 0.45 mm run at r − 0.225 and r − 0.675, the
// inner one of 7 mm on 39.7 mm.
func TestSmallOutlines(t *testing.T) {
	r := bare()
	r.WallSpeed, r.Special.OuterSpeed, r.Special.SmallSpeed, r.Special.FirstSpeed = 60, bom.Known(40), bom.Known(20), bom.Known(60)
	for _, c := range []struct{ radius, outer, inner float64 }{{5, 20, 20}, {7, 40, 20}, {8, 40, 60}} {
		e := computeOn(t, shapes.Prism(360, c.radius, 10), r, abrupt())
		if want := 50 * 2 * math.Pi * ((c.radius-0.225)/c.outer + (c.radius-0.675)/c.inner); !near(e.Walls.Seconds, want, 5e-3*want) {
			t.Errorf("radius %v: %v s, want %v", c.radius, e.Walls.Seconds, want)
		}
	}
	// A hole is an outline too: the tube's outside is large, its inside small.
	e := computeOn(t, shapes.Tube(12, 5, 10, 360), r, abrupt())
	want := 50 * 2 * math.Pi * ((12-0.225)/40 + (12-0.675)/60 + (5+0.225+5+0.675)/20)
	if !near(e.Walls.Seconds, want, 5e-3*want) {
		t.Errorf("tube: %v s, want %v", e.Walls.Seconds, want)
	}
}

// What is thinner than its lines is filled, but for the round sides of the lines, each
// of which leaves (1 − π/4) / 2 of the square of its height empty. Four lines of 0.45 mm
// would be 1.8 mm wide.
func TestThinWallsAreFilled(t *testing.T) {
	r := recipe()
	r.SkirtLoops, r.Infill, r.SolidLayers = 0, 0, 0
	for _, c := range []struct {
		name   string
		mesh   shapes.Mesh
		volume float64
		thin   float64 // length of the outlines of what is thin, mm
	}{
		{"a plate of 0.8 mm on its edge", shapes.Box(40, 0.8, 10), 40 * 0.8 * 10, 80},
		{"a plate of 0.8 mm lying", shapes.Box(40, 30, 0.8), (40*30 - 38.2*28.2) * 0.8, 0},
		{"a wall of 1.2 mm", shapes.Box(50, 1.2, 10), 50 * 1.2 * 10, 100},
		{"a wall of 2 mm: 0.2 are left, less than a line", shapes.Box(50, 2, 10), 50 * 2 * 10, 100},
		{"a wall of 3 mm has room for its lines", shapes.Box(50, 3, 10), (50*3 - 48.2*1.2) * 10, 0},
		{"a thin tube", shapes.Tube(10, 9.2, 10, 720), math.Pi * (100 - 9.2*9.2) * 10, 2 * math.Pi * 19.2},
		{"a frame of 1.2 mm round a block beside it", append(shapes.Tube(20, 18.8, 10, 720), shapes.Box(20, 20, 10).Move(-10, -10, 0)...),
			(math.Pi*(400-18.8*18.8) + 400 - 18.2*18.2) * 10, 2 * math.Pi * 38.8},
	} {
		want := (c.volume - c.thin*10*0.2*(1-math.Pi/4)/2) / 1000 * pla.Density
		if e := compute(t, c.mesh, r); !near(e.G, want, 0.01*e.G) {
			t.Errorf("%s: %v g, want %v", c.name, e.G, want)
		}
	}
}

// What is left inside the walls of a tower of 8 mm is 6.2² = 38.4 mm².
func TestSmallInsidesAreSolid(t *testing.T) {
	r := recipe()
	r.SkirtLoops = 0
	towers := append(shapes.Box(8, 8, 20), shapes.Box(30, 30, 20).Move(20, 0, 0)...)
	sparse := compute(t, towers, r)
	r.SolidUnder = 30
	if e := compute(t, towers, r); e.G != sparse.G {
		t.Errorf("%v g, and %v g where nothing is so small", sparse.G, e.G)
	}
	r.SolidUnder = 40
	e := compute(t, towers, r)
	const more = 6.2 * 6.2 * 92 * 0.2 // measured by lines across it
	if !near(e.Infill.VolumeMM3, sparse.Infill.VolumeMM3-0.2*more, 0.02*more) || !near(e.G, sparse.G+0.8*more/1000*pla.Density, 0.02*more/1000*pla.Density) {
		t.Errorf("%v g, and %v g sparsely", e.G, sparse.G)
	}
	// A hole takes what is left of its island: (10² − 4²) − 0.9 × 4 × 10 − 0.9 × 4 × 4, with
	// the corners of both.
	frame := shapes.Cells([]float64{0, 3, 7, 10}, []float64{0, 3, 7, 10}, []float64{0, 20}, func(i, j, k int) bool { return i != 1 || j != 1 })
	left := 8.2*8.2 - 5.8*5.8
	r.SolidUnder = 1.01 * left
	if e := compute(t, frame, r); e.Infill.VolumeMM3 != 0 {
		t.Errorf("%v mm² are left, under %v: %v mm³ of infill", left, r.SolidUnder, e.Infill.VolumeMM3)
	}
	r.SolidUnder = 0.99 * left
	if e := compute(t, frame, r); e.Infill.VolumeMM3 == 0 {
		t.Errorf("%v mm² are left, over %v: no infill", left, r.SolidUnder)
	}
}

// Lines along the diagonal of a square that are linked along its sides go along two of
// them: 2 × 18.2 mm of line more on each of the 92 layers of infill, whatever the
// spacing. Lines of 0.45 mm end half their width before the side, 0.45 √2 mm shorter each,
// and at 20 % there is one for each 2.25 mm of the 18.2 √2 mm across.
func TestLinkedInfill(t *testing.T) {
	r := recipe()
	plain := compute(t, shapes.Box(20, 20, 20), r)
	r.InfillLinked = true
	linked := compute(t, shapes.Box(20, 20, 20), r)
	const across = 18.2 * math.Sqrt2 / 2.25
	if more, want := linked.Infill.VolumeMM3-plain.Infill.VolumeMM3, 92*(2*18.2-across*0.45*math.Sqrt2)*0.45*0.2; !near(more, want, 0.05*want) {
		t.Errorf("%v mm³ more, want %v", more, want)
	}
	if linked.TravelS > 0.6*plain.TravelS {
		t.Errorf("%v s between lines that are linked, %v s else", linked.TravelS, plain.TravelS)
	}
}

// Linked lines side by side fill an area just so: a strip of 0.9 mm inside of the walls of
// a bar of 2.7 × 60 mm holds 0.9 × 58.2 mm² ÷ 0.45 mm of line with its links.
func TestLinkedLinesInAStrip(t *testing.T) {
	r := bare()
	r.Infill, r.InfillLinked, r.InfillSpeed = 100, true, 50
	e := computeOn(t, shapes.Box(60, 2.7, 10), r, abrupt())
	if want := 50 * 0.9 * 58.2 / 0.45 / 50; !near(e.Infill.Seconds, want, 0.01*want) || !near(e.Infill.VolumeMM3, 0.9*58.2*10, 0.01*0.9*58.2*10) {
		t.Errorf("%+v, want %v s", e.Infill, want)
	}
	// Of 0.45 √2 mm across it, a line is as long, and so is its link. From rest to rest the
	// slowest corner of a printer of 1000 mm/s² with a junction deviation of 0.02 mm is gone
	// through at √(1000 × 0.02 × s ÷ (1 − s)), s = cos 67.5°, 3.520 mm/s, the fastest, s = cos 22.5°,
	// at 15.58 mm/s; every other line goes from the one to the one, the next from the
	// other to the other, and links between.
	r.Acceleration = 1000
	limits := bom.DefaultLimits()
	limits.JunctionMM = 0.02
	const long, a = 0.45 * math.Sqrt2, 1000.0
	ramp := func(from, to float64) float64 { // never up to 50 mm/s
		peak := math.Sqrt((from*from + to*to + 2*a*long) / 2)
		return (peak-from)/a + (peak-to)/a
	}
	s := func(cos float64) float64 { return math.Sqrt(a * 0.02 * cos / (1 - cos)) }
	slow, fast := s(math.Cos(67.5*math.Pi/180)), s(math.Cos(22.5*math.Pi/180))
	lines := 50 * 0.9 * 58.2 / 0.45 / (2 * long)
	want := lines * (ramp(slow, fast) + (ramp(slow, slow)+ramp(fast, fast))/2)
	if e := computeOn(t, shapes.Box(60, 2.7, 10), r, limits); !near(e.Infill.Seconds, want, 0.02*want) {
		t.Errorf("%v s, want %v", e.Infill.Seconds, want)
	}
}

// The middle of the fifth layer of 0.2 mm is the top of a plate of 0.9 mm: the layer
// is printed.
func TestLayerWhoseMiddleIsTheTop(t *testing.T) {
	if e := compute(t, shapes.Box(20, 20, 0.9), recipe()); e.Layers != 5 {
		t.Errorf("%d layers, want 5", e.Layers)
	}
}

// Triangles of outlines that do not meet leave a figure near the closed body's.
func TestOutlinesWithGaps(t *testing.T) {
	s := solid(t, shapes.Box(20, 20, 20))
	whole, err := printing.Compute(s, recipe(), bom.DefaultLimits(), pla)
	if err != nil {
		t.Fatal(err)
	}
	s.Triangles[0][0][0] += 1e-4 // as rounding in a file does
	torn, err := printing.Compute(s, recipe(), bom.DefaultLimits(), pla)
	if err != nil || !near(torn.G, whole.G, 0.02*whole.G) || !near(torn.Seconds, whole.Seconds, 0.05*whole.Seconds) {
		t.Errorf("%+v, %+v, %v", torn, whole, err)
	}
}

// A cone that rises 1 mm for 3 mm inwards, from a radius of 80 mm to a top of 20 mm:
// a layer of 0.2 mm lays 0.6 mm all round open, of which walls of 0.9 mm close a part;
// four layers close the rest, and reach 2 mm (common practice) further in.
func TestSolidLayersHoldInTheInfill(t *testing.T) {
	r := recipe()
	r.SkirtLoops, r.Special.BottomLayers = 0, bom.Known(0)
	e := compute(t, shapes.Revolve([][2]float64{{0, 0}, {80, 0}, {20, 20}, {0, 20}}, 720, false), r)
	radius := func(layer int) float64 { return 80 - 3*0.2*(float64(layer)+0.5) }
	want := 0.0
	for i := range 100 {
		open, edge := 0.0, 0.0
		for j := i; j < min(i+4, 100); j++ {
			open += 2 * math.Pi * radius(j) * (0.6 - 0.9/4)
			edge += 2 * math.Pi * radius(j) * 2 / 4
		}
		if i >= 96 {
			open += math.Pi * 20 * 20
		}
		want += 0.2 * min(math.Pi*math.Pow(radius(i)-0.9, 2), open+edge)
	}
	if !near(e.Solid.VolumeMM3, want, 0.01*want) {
		t.Errorf("%v mm³ of solid layers, want %v", e.Solid.VolumeMM3, want)
	}
}

// From one outline to the next the nozzle goes to the nearest of as many points of the
// area, a quarter farther (Johnson and McGeoch 1997) than the shortest tour, 0.7124 √(area ×
// number) long in all (Beardwood, Halton and Hammersley 1959); from one line of a wall to
// the next it goes the width of a line.
func TestWaysBetweenOutlines(t *testing.T) {
	r := bare()
	r.TravelSpeed = 100
	one := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if want := 50 * (1.25*0.7124*20 + 0.45) / 100; !near(one.TravelS, want, 0.01*want) {
		t.Errorf("one outline: %v s, want %v", one.TravelS, want)
	}
	three := append(append(shapes.Box(20, 20, 10), shapes.Box(20, 20, 10).Move(40, 0, 0)...), shapes.Box(20, 20, 10).Move(0, 40, 0)...)
	if want := 50 * (1.25*0.7124*60*math.Sqrt(3) + 3*0.45) / 100; !near(computeOn(t, three, r, abrupt()).TravelS, want, 0.01*want) {
		t.Errorf("three outlines: %v s, want %v", computeOn(t, three, r, abrupt()).TravelS, want)
	}
}

// Round a square of 19.1 mm, half a line inside of 20 mm with one line of 0.9, a
// printer of 1000 mm/s² that takes right angles at 6.948688455 mm/s (checked in bom)
// runs up to 50 mm/s on each side, from rest at the first and to rest at the last.
func TestOutlinesArePlannedLikeToolpaths(t *testing.T) {
	r := bare()
	r.Walls, r.LineMM, r.Acceleration, r.WallSpeed = 1, 0.9, 1000, 50
	limits := bom.DefaultLimits()
	limits.JunctionMM = 0.02
	e := computeOn(t, shapes.Box(20, 20, 2), r, limits)
	const v, a, corner = 50, 1000, 6.948688455
	side := func(from, to float64) float64 { // trapezoid: the time of the ramps and of what is left between
		ramps := (v*v-from*from)/(2*a) + (v*v-to*to)/(2*a)
		return (v-from)/a + (v-to)/a + (20-ramps)/v
	}
	// A line on the outline of 80 mm is 76.4 mm long, and takes as much less.
	want := 10 * (side(0, corner) + 2*side(corner, corner) + side(corner, 0)) * 76.4 / 80
	if !near(e.Walls.Seconds, want, 1e-3*want) {
		t.Errorf("%v s, want %v", e.Walls.Seconds, want)
	}
}
