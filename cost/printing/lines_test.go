package printing_test

import (
	"math"
	"testing"

	"tenoff/bom"
	"tenoff/fixtures/shapes"
)

// portal is a lid of 40 × 20 × 2 on two feet of 5 × 20 × 10: 30 mm of it lie over air,
// between two edges of 20 mm where the feet hold it.
func portal() shapes.Mesh {
	return shapes.Cells([]float64{0, 5, 35, 40}, []float64{0, 20}, []float64{0, 10, 12}, func(i, j, k int) bool { return k == 1 || i != 1 })
}

// Over air lie 30 × 20 mm², less half of the walls of the lid, whose outline of 120 mm
// runs over air for 60, and 2 mm (common practice) on either foot.
func TestBridges(t *testing.T) {
	r := bare()
	r.Special.TopLayers, r.Special.BottomLayers = bom.Known(0), bom.Known(1)
	plain := computeOn(t, portal(), r, abrupt())
	const walls = 40*20 - 38.2*18.2
	const over, feet = 30*20 - walls/2 + 2*40, 2 * 3.2 * 18.2
	if want := 0.2 * (over + feet); !near(plain.Solid.VolumeMM3, want, 1e-4*want) {
		t.Errorf("%v mm³ of solid lines, want %v", plain.Solid.VolumeMM3, want)
	}
	r.Special.BridgeSpeed = bom.Known(r.SolidSpeed / 2)
	slow := computeOn(t, portal(), r, abrupt())
	if more, want := slow.Solid.Seconds-plain.Solid.Seconds, over/0.45/r.SolidSpeed; !near(more, want, 1e-3*want) {
		t.Errorf("%v s more at half the speed, want %v", more, want)
	}
	// half of the lines round the lid, (4 × 30 − 4 × 0.225 × 2) + (… 0.675 …) mm, run at 25 and not at 45 mm/s
	const lines = (120 - 8*0.225) + (120 - 8*0.675)
	if more, want := slow.Walls.Seconds-plain.Walls.Seconds, lines/2*(1/25.0-1/45.0); !near(more, want, 5e-3*want) {
		t.Errorf("walls take %v s more, want %v", more, want)
	}
	// strands of 0.4 mm hold π/4 × 0.4 mm³ on each mm²
	r.Special.BridgeMM = bom.Known(0.4)
	strands := computeOn(t, portal(), r, abrupt())
	if want := 0.2*feet + math.Pi/4*0.4*over; !near(strands.Solid.VolumeMM3, want, 1e-4*want) {
		t.Errorf("%v mm³ with strands, want %v", strands.Solid.VolumeMM3, want)
	}
	if more, want := strands.Solid.Seconds-slow.Solid.Seconds, over*(1/0.4-1/0.45)/25; !near(more, want, 1e-3*want) {
		t.Errorf("strands take %v s more, want %v", more, want)
	}
	// the lowest of three layers that close a top lies on sparse infill, where it is not solid below
	r.Special.TopLayers, r.Infill = bom.Known(3), 20
	const inside = 18.2 * 18.2
	tall := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if want := inside * (0.2*3 + math.Pi/4*0.4); !near(tall.Solid.VolumeMM3, want, 1e-4*want) {
		t.Errorf("over infill: %v mm³ of solid lines, want %v", tall.Solid.VolumeMM3, want)
	}
	for _, c := range []struct {
		why    string
		infill float64
		height float64
		layers float64
	}{{"solid below", 20, 0.8, 4}, {"filled wholly", 100, 10, 4}} {
		r.Infill = c.infill
		if e := computeOn(t, shapes.Box(20, 20, c.height), r, abrupt()); !near(e.Solid.VolumeMM3, inside*0.2*c.layers, 1e-3) {
			t.Errorf("%s: %v mm³ of solid lines, want %v", c.why, e.Solid.VolumeMM3, inside*0.2*c.layers)
		}
	}
	r.Special.TopLayers, r.Infill = bom.Known(0), 0
	// what lies on the bed is no bridge
	if e, same := computeOn(t, shapes.Box(20, 20, 10), r, abrupt()), computeOn(t, shapes.Box(20, 20, 10), bare(), abrupt()); e.Walls.Seconds != same.Walls.Seconds || !near(e.Solid.VolumeMM3, 18.2*18.2*0.2, 1e-6) {
		t.Errorf("%+v, without bridges %+v", e, same)
	}
}

// Solid layers under the top of a plate reach 2 mm (common practice) under a boss on
// it, and end at the plate's walls.
func TestSolidLayersReachUnderABoss(t *testing.T) {
	r := bare()
	r.Special.TopLayers, r.Special.BottomLayers = bom.Known(3), bom.Known(0)
	boss := shapes.Cells([]float64{0, 20, 40, 60}, []float64{0, 20, 40, 60}, []float64{0, 4, 10}, func(i, j, k int) bool {
		return k == 0 || i == 1 && j == 1
	})
	const plate, top = 58.2*58.2 - 400 + 2*80, 18.2 * 18.2
	if e, want := computeOn(t, boss, r, abrupt()), 3*0.2*(plate+top); !near(e.Solid.VolumeMM3, want, 1e-3*want) {
		t.Errorf("%v mm³ of solid layers, want %v", e.Solid.VolumeMM3, want)
	}
}

// A cone of rings lower than a layer is closed as one of a single ring is.
func TestFineSlopesAreClosedAsCoarseOnes(t *testing.T) {
	r := bare()
	r.SolidLayers, r.Infill = 4, 20
	profile := [][2]float64{{0, 0}, {80, 0}}
	for i := 1; i <= 300; i++ {
		profile = append(profile, [2]float64{80 - 60*float64(i)/300, 20 * float64(i) / 300})
	}
	fine := computeOn(t, shapes.Revolve(append(profile, [2]float64{0, 20}), 90, false), r, abrupt())
	coarse := computeOn(t, shapes.Revolve([][2]float64{{0, 0}, {80, 0}, {20, 20}, {0, 20}}, 90, false), r, abrupt())
	if !near(fine.Solid.VolumeMM3, coarse.Solid.VolumeMM3, 0.03*coarse.Solid.VolumeMM3) {
		t.Errorf("%v mm³ of solid layers, and %v of a coarse cone", fine.Solid.VolumeMM3, coarse.Solid.VolumeMM3)
	}
}

// What is too small for its lines takes as long a line as it holds.
func TestLinesInASliver(t *testing.T) {
	r := bare()
	e := computeOn(t, shapes.Prism(3, 1.2, 10), r, abrupt())
	if want := e.Walls.VolumeMM3 / (0.45 * 0.2) / r.WallSpeed; !near(e.Walls.Seconds, want, 0.02*want) {
		t.Errorf("%v s for %v mm³, want %v", e.Walls.Seconds, e.Walls.VolumeMM3, want)
	}
}

// The lowest layer of 0.3 mm has two lines of 0.6 mm: 400 − 17.6² mm², the others
// 400 − 18.2². Its lines that fill are as wide.
func TestLinesOfTheLowestLayer(t *testing.T) {
	r := bare()
	r.Special.FirstLayerMM, r.Special.FirstLineMM = bom.Known(0.3), bom.Known(0.6)
	r.Special.BottomLayers, r.Special.TopLayers, r.SkirtLoops = bom.Known(1), bom.Known(0), 1
	e := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if want := (400-17.6*17.6)*0.3 + 49*(400-18.2*18.2)*0.2; !near(e.Walls.VolumeMM3, want, 1e-6*want) {
		t.Errorf("walls hold %v mm³, want %v", e.Walls.VolumeMM3, want)
	}
	if want := 17.6 * 17.6 / 0.6 / r.WallSpeed; !near(e.Solid.VolumeMM3, 17.6*17.6*0.3, 1e-6) || !near(e.Solid.Seconds, want, 1e-3*want) {
		t.Errorf("the lowest layer: %+v, want %v s", e.Solid, want)
	}
	if want := (80 + 10*math.Pi) * 0.6 * 0.3; !near(e.Skirt.VolumeMM3, want, 1e-6) {
		t.Errorf("the skirt holds %v mm³, want %v", e.Skirt.VolumeMM3, want)
	}
	r.FlowLimit = 0.6 * 0.3 * 10 // 10 mm/s of these lines
	if slow := computeOn(t, shapes.Box(20, 20, 10), r, abrupt()); !near(slow.Solid.Seconds, 17.6*17.6/0.6/10, 0.1) {
		t.Errorf("by the flow the lowest layer takes %v s", slow.Solid.Seconds)
	}
}

// Between its ends a wall of 1.2 mm has room for a line of 0.45 mm on either side. Of the 0.3 mm
// between, the round sides of four lines take 4 × 0.02146 mm (layers of 0.2 mm).
func TestGapsBetweenLines(t *testing.T) {
	wall := shapes.Box(50, 1.2, 10)
	r := bare()
	r.TravelSpeed, r.Special.GapSpeed = 100, bom.Known(0)
	empty := computeOn(t, wall, r, abrupt())
	r.Special.GapSpeed = bom.Known(20)
	filled := computeOn(t, wall, r, abrupt())
	const round = 0.2 * (1 - math.Pi/4) / 2
	if more, want := filled.Walls.VolumeMM3-empty.Walls.VolumeMM3, 48.2*(0.3-4*round)*10; !near(more, want, 0.05*want) {
		t.Errorf("gaps hold %v mm³, want %v", more, want)
	}
	if more, want := filled.Walls.Seconds-empty.Walls.Seconds, 50*48.2/20; !near(more, want, 1e-3*want) {
		t.Errorf("gaps take %v s, want %v", more, want)
	}
	// the nozzle goes from the outline to the gap and back: the tour (see TestWaysBetweenOutlines) of two points, not of one
	if more, want := filled.TravelS-empty.TravelS, 50*1.25*0.7124*math.Sqrt(50*1.2)*(math.Sqrt2-1)/r.TravelSpeed; !near(more, want, 1e-3*want) {
		t.Errorf("%v s more between lines, want %v", more, want)
	}
	// what is thinner than two lines is one line along its middle
	r.Special.GapSpeed = bom.Known(20)
	thin := computeOn(t, shapes.Box(50, 0.6, 10), r, abrupt())
	if want := 50 * 50 / r.WallSpeed; !near(thin.Walls.Seconds, want, 0.03*want) {
		t.Errorf("a wall of one line takes %v s, want %v", thin.Walls.Seconds, want)
	}
	r.Special.GapSpeed = bom.Measure{} // lines are widened, but none is narrower than one
	if thin := computeOn(t, shapes.Box(50, 0.3, 10), r, abrupt()); !near(thin.Walls.Seconds, 50*50/r.WallSpeed, 0.03*thin.Walls.Seconds) {
		t.Errorf("a wall thinner than a line takes %v s, want %v", thin.Walls.Seconds, 50*50/r.WallSpeed)
	}
	r.Special.GapSpeed = bom.Known(20)
	// two lines lie over one another by up to four tenths (common practice): 0.8 mm hold both, whole
	two := computeOn(t, shapes.Box(50, 0.8, 10), r, abrupt())
	if want := 2 * 50 * 0.45 * 10; !near(two.Walls.VolumeMM3, want, 0.03*want) {
		t.Errorf("two lines in 0.8 mm hold %v mm³, want %v", two.Walls.VolumeMM3, want)
	}
	// a wall of 0.94 mm leaves less than a tenth of a line beside the round sides: no line is laid
	r.Special.GapSpeed = bom.Known(1)
	narrow := computeOn(t, shapes.Box(50, 0.94, 10), r, abrupt())
	r.Special.GapSpeed = bom.Known(0)
	if none := computeOn(t, shapes.Box(50, 0.94, 10), r, abrupt()); narrow.Walls.Seconds != none.Walls.Seconds {
		t.Errorf("%v s with a line in the gap, %v s without", narrow.Walls.Seconds, none.Walls.Seconds)
	}
	// beside the round sides of four lines, 2.27 mm have no room for a line of the infill, and 2.32 do
	r.Special.GapSpeed, r.Infill = bom.Known(20), 20
	if e := computeOn(t, shapes.Box(50, 2.27, 10), r, abrupt()); e.Infill.VolumeMM3 != 0 {
		t.Errorf("%+v, want no infill", e)
	}
	if e := computeOn(t, shapes.Box(50, 2.32, 10), r, abrupt()); e.Infill.VolumeMM3 == 0 {
		t.Errorf("%+v, want infill", e)
	}
	r.Infill = 0
	// there are no gaps where the walls have room
	r.Special.GapSpeed = bom.Measure{}
	plain := computeOn(t, shapes.Box(50, 30, 10), r, abrupt())
	r.Special.GapSpeed = bom.Known(20)
	if e := computeOn(t, shapes.Box(50, 30, 10), r, abrupt()); *e != *plain {
		t.Errorf("%+v, without gaps %+v", e, plain)
	}
}

// Outlines that are moved into a box of 20 mm by 0.1 mm leave one of 19.8 mm; the
// hole of a tube gets wider.
func TestOutlinesMovedInwards(t *testing.T) {
	r := recipe()
	r.SkirtLoops, r.Infill, r.InsetMM = 0, 100, 0.1
	if e, want := compute(t, shapes.Box(20, 20, 10), r), 19.8*19.8*10/1000*pla.Density; !near(e.G, want, 1e-6) {
		t.Errorf("%v g, want %v", e.G, want)
	}
	e, same := compute(t, shapes.Tube(20, 10, 10, 360), r), recipe()
	same.SkirtLoops, same.Infill = 0, 100
	if want := compute(t, shapes.Tube(19.9, 10.1, 10, 360), same); !near(e.G, want.G, 1e-3*want.G) || !near(e.Walls.VolumeMM3, want.Walls.VolumeMM3, 2e-3*want.Walls.VolumeMM3) || !near(e.Seconds, want.Seconds, 0.01*want.Seconds) {
		t.Errorf("%+v, want %+v", e, want)
	}
}

// With its own speed what fills the lowest layer takes 17.6² mm² ÷ 0.6 mm ÷ 30 mm/s, and
// its walls what they take at 20 mm/s, as without it.
func TestFirstLayerFillSpeed(t *testing.T) {
	r := bare()
	r.Special.FirstLayerMM, r.Special.FirstLineMM = bom.Known(0.3), bom.Known(0.6)
	r.Special.BottomLayers, r.Special.TopLayers, r.Special.FirstSpeed = bom.Known(1), bom.Known(0), bom.Known(20)
	slow := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	r.Special.FirstFillSpeed = bom.Known(30)
	e := computeOn(t, shapes.Box(20, 20, 10), r, abrupt())
	if want := 17.6 * 17.6 / 0.6 / 30; !near(e.Solid.Seconds, want, 1e-3*want) || e.Walls != slow.Walls {
		t.Errorf("%+v and walls %+v, want %v s and %+v", e.Solid, e.Walls, want, slow.Walls)
	}
	if want := 17.6 * 17.6 / 0.6 / 20; !near(slow.Solid.Seconds, want, 1e-3*want) {
		t.Errorf("without it %v s, want %v", slow.Solid.Seconds, want)
	}
}

// Three boxes side by side are gone to 50 times each, and a hole is left on each layer. Of
// one box nothing is pulled back for unless it is inside: then on the ways to its outline,
// and to the two parts into which a hole splits its infill.
func TestPullingBack(t *testing.T) {
	r := bare()
	r.PullBackS, r.RestartMM = 0.12, 0.1
	one := shapes.Box(20, 20, 10)
	three := append(append(shapes.Box(20, 20, 10), shapes.Box(20, 20, 10).Move(40, 0, 0)...), shapes.Box(20, 20, 10).Move(0, 40, 0)...)
	frame := shapes.Cells([]float64{0, 8, 12, 20}, []float64{0, 8, 12, 20}, []float64{0, 10}, func(i, j, k int) bool { return i != 1 || j != 1 })
	for _, c := range []struct {
		why    string
		mesh   shapes.Mesh
		inside bool
		infill float64
		times  float64
	}{
		{"one part", one, false, 20, 0},
		{"three parts", three, false, 20, 3 * 50},
		{"a frame", frame, false, 20, 50},
		{"inside one part", one, true, 20, 2 * 50},
		{"inside, without infill", one, true, 0, 50},
		{"inside a frame", frame, true, 20, 4 * 50},
	} {
		still := r
		still.PullBackS, still.RestartMM, still.Infill = 0, 0, c.infill
		r.PullInside, r.Infill = c.inside, c.infill
		e, none := computeOn(t, c.mesh, r, abrupt()), computeOn(t, c.mesh, still, abrupt())
		if want := c.times * 0.12; e.PullBacks != c.times || !near(e.Seconds-none.Seconds, want, 1e-6) {
			t.Errorf("%s: %v times and %v s more, want %v and %v", c.why, e.PullBacks, e.Seconds-none.Seconds, c.times, want)
		}
		if want := c.times * 0.1; !near((e.FilamentM-none.FilamentM)*1000, want, 1e-6) || !near(e.G-none.G, want*math.Pi/4*1.75*1.75/1000*pla.Density, 1e-9) {
			t.Errorf("%s: %v mm of filament more, want %v", c.why, (e.FilamentM-none.FilamentM)*1000, want)
		}
	}
}

// The line in a gap begins beside the wall: nothing is pulled back for it.
func TestNoPullingBackForGaps(t *testing.T) {
	r := bare()
	r.PullBackS, r.PullInside, r.Special.GapSpeed = 0.12, true, bom.Known(20)
	if e := computeOn(t, shapes.Box(50, 1.2, 10), r, abrupt()); e.PullBacks != 50 {
		t.Errorf("%v times, want 50", e.PullBacks)
	}
}

// Two squares of 12 mm that a web of 2 mm joins: four lines of 0.45 mm leave 0.2 mm of
// it, and so part the insides of 10.2² = 104 mm².
func TestNarrowPlacesPartTheInside(t *testing.T) {
	r := recipe()
	r.SolidLayers = 0
	dumbbell := shapes.Cells([]float64{0, 12, 18, 30}, []float64{0, 5, 7, 12}, []float64{0, 10}, func(i, j, k int) bool { return i != 1 || j == 1 })
	r.SolidUnder = 107
	if e := compute(t, dumbbell, r); e.Infill.VolumeMM3 > 0 || !near(e.Solid.VolumeMM3, 50*0.2*2*10.2*10.2, 0.06*50*0.2*2*10.2*10.2) {
		t.Errorf("%v mm³ of infill, %v solid", e.Infill.VolumeMM3, e.Solid.VolumeMM3)
	}
	r.SolidUnder = 103
	if e := compute(t, dumbbell, r); e.Solid.VolumeMM3 > 0 {
		t.Errorf("%v mm³ solid", e.Solid.VolumeMM3)
	}
	broad := shapes.Cells([]float64{0, 12, 18, 30}, []float64{0, 4, 8, 12}, []float64{0, 10}, func(i, j, k int) bool { return i != 1 || j == 1 })
	r.SolidUnder = 150
	if e := compute(t, broad, r); e.Solid.VolumeMM3 > 0 {
		t.Errorf("through a web of 4 mm: %v mm³ solid", e.Solid.VolumeMM3)
	}
}

// Round the ends of the dumbbell the inner line is closed in two of about 4 × 10.65 mm,
// longer than 41 mm; where they are 10 mm wide, of about 4 × 8.65: these run at the speed
// of small outlines, and those round the web between them do not.
func TestLinesOfPartedInsides(t *testing.T) {
	r := bare()
	r.WallSpeed, r.Special.OuterSpeed, r.Special.FirstSpeed = 60, bom.Known(40), bom.Known(60)
	slower := func(side, length float64) {
		t.Helper()
		m := shapes.Cells([]float64{0, side, side + 6, 2*side + 6}, []float64{0, side/2 - 1, side/2 + 1, side}, []float64{0, 10}, func(i, j, k int) bool { return i != 1 || j == 1 })
		r.Special.SmallSpeed = bom.Measure{}
		all := computeOn(t, m, r, abrupt())
		r.Special.SmallSpeed = bom.Known(20)
		some := computeOn(t, m, r, abrupt())
		if want := 50 * length * (1.0/20 - 1.0/60); !near(some.Walls.Seconds-all.Walls.Seconds, want, 0.1*want) {
			t.Errorf("of %v mm: %v s more, want about %v", side, some.Walls.Seconds-all.Walls.Seconds, want)
		}
	}
	slower(12, 0)
	slower(10, 2*(4*10-2)) // of the outline, which is what the lines are counted by
}

// Three layers close the bottom of a box of 20 mm: the lowest of 0.3 mm with what lines of
// 0.6 mm leave, the others of 0.2 mm with what lines of 0.45 mm do.
func TestLayersOverBroadLines(t *testing.T) {
	r := bare()
	r.Special.FirstLayerMM, r.Special.FirstLineMM = bom.Known(0.3), bom.Known(0.6)
	r.Special.BottomLayers, r.Special.TopLayers = bom.Known(3), bom.Known(0)
	if e, want := compute(t, shapes.Box(20, 20, 10), r), 17.6*17.6*0.3+2*18.2*18.2*0.2; !near(e.Solid.VolumeMM3, want, 1e-6) {
		t.Errorf("%v mm³ solid, want %v", e.Solid.VolumeMM3, want)
	}
}

// Of 50 layers alike the lowest alone speeds up as slowly as all do in a slower recipe.
func TestFirstLayerAcceleration(t *testing.T) {
	r, stops := bare(), bom.DefaultLimits()
	r.TravelSpeed, stops.JunctionMM = 120, 1e-9 // a stop at each corner, whatever the acceleration
	seconds := func(all float64, first bom.Measure) float64 {
		r.Acceleration, r.Special.FirstAcceleration = all, first
		return computeOn(t, shapes.Box(20, 20, 10), r, stops).Seconds
	}
	fast, slow := seconds(1000, bom.Measure{}), seconds(100, bom.Measure{})
	if got, want := seconds(1000, bom.Known(100)), fast+(slow-fast)/50; !near(got, want, 1e-3) || slow < 1.2*fast {
		t.Errorf("%v s, want %v; %v all fast, %v all slow", got, want, fast, slow)
	}
}

// Four layers of 0.2 mm close a cone that runs 0.23 mm at each: walls of 0.9 mm leave 0.02
// of them, too little for a line, and just the top of 10 mm radius is closed. Where they
// leave 0.3 mm, the slope is closed as well.
func TestSlopesThatWallsClose(t *testing.T) {
	r := bare()
	r.Special.TopLayers, r.Special.BottomLayers = bom.Known(4), bom.Known(0)
	cone := func(run float64) float64 {
		return compute(t, shapes.Revolve([][2]float64{{0, 0}, {20, 0}, {10, 10 / run * 0.2}, {0, 10 / run * 0.2}}, 360, false), r).Solid.VolumeMM3
	}
	top := 4 * 0.2 * math.Pi * 9.1 * 9.1
	if got := cone(0.23); !near(got, top, 0.05*top) {
		t.Errorf("%v mm³ solid, want the top's %v", got, top)
	}
	if got := cone(0.3); got < 2*top {
		t.Errorf("%v mm³ solid, want more than twice the top's %v", got, top)
	}
}
