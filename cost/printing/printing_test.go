package printing_test

import (
	"math"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost/printing"
	"tenoff/fixtures/shapes"
)

func near(got, want, within float64) bool { return math.Abs(got-want) <= within }

func cut() printing.Cut {
	return printing.Cut{LayerMM: 0.2, LineMM: 0.45, Walls: 2, TopLayers: 4, BottomLayers: 4, Accelerate: 1000, JunctionMM: 0.02}
}

func slice(t testing.TB, m shapes.Mesh, c printing.Cut) []printing.Layer {
	t.Helper()
	layers, err := printing.Slice(solid(t, m), c)
	if err != nil {
		t.Fatal(err)
	}
	return layers
}

// Perimeters and areas of plane figures, from their formulas.
func TestSectionsOfKnownBodies(t *testing.T) {
	polygon := func(n float64, r float64) (outline, area float64) {
		return 2 * n * r * math.Sin(math.Pi/n), n / 2 * r * r * math.Sin(2*math.Pi/n)
	}
	o60, a60 := polygon(60, 10)
	o90, a90 := polygon(90, 20)
	i90, b90 := polygon(90, 16)
	for _, c := range []struct {
		name                   string
		mesh                   shapes.Mesh
		outline, area, corners float64
	}{
		{"box", shapes.Box(20, 30, 10), 100, 600, 4},
		{"two boxes", append(shapes.Box(20, 30, 10), shapes.Box(5, 5, 10).Move(40, 0, 0)...), 120, 625, 8},
		{"prism of 60 sides", shapes.Prism(60, 10, 10), o60, a60, 60 * math.Tan(math.Pi/60)},
		{"tube", shapes.Tube(20, 16, 10, 90), o90 + i90, a90 - b90, 0},
		{"far from the origin", shapes.Box(20, 30, 10).Move(5000, -7000, 300), 100, 600, 4},
	} {
		layers := slice(t, c.mesh, cut())
		if len(layers) != 50 {
			t.Errorf("%s: %d layers, want 50", c.name, len(layers))
		}
		for i, l := range layers {
			if !near(l.Outline, c.outline, 1e-3) || !near(l.Area, c.area, 1e-2) || !near(l.Corners, c.corners, 1e-4) {
				t.Fatalf("%s, layer %d: outline %v, area %v, corners %v, want %v, %v, %v", c.name, i, l.Outline, l.Area, l.Corners, c.outline, c.area, c.corners)
			}
		}
	}
}

// A sphere of radius 10 has at the height z a circle of radius √(100 − z²); its
// sections add up to its volume, and what lies open to its great circle.
func TestSectionsOfASphere(t *testing.T) {
	c := cut()
	c.Walls = 0 // nothing of the slope is covered by walls
	layers := slice(t, shapes.Sphere(10, 300, 600), c)
	volume, top, bottom := 0.0, 0.0, 0.0
	for i, l := range layers {
		z := -10 + (float64(i)+0.5)*0.2
		r := math.Sqrt(100 - z*z)
		if !near(l.Area, math.Pi*r*r, 0.06) || !near(l.Outline, 2*math.Pi*r, 0.02) || !near(l.Corners, math.Pi, 0.01) {
			t.Errorf("at %.1f: outline %v, area %v, corners %v", z, l.Outline, l.Area, l.Corners)
		}
		volume += l.Area * 0.2
		top += l.Top.Flat + l.Top.Sloped
		bottom += l.Bottom.Flat + l.Bottom.Sloped
	}
	if !near(volume, 4188.790205, 1) {
		t.Errorf("sections come to %v mm³, want 4188.79", volume)
	}
	if !near(top, 314.159265, 2) || !near(bottom, top, 1e-6) {
		t.Errorf("%v mm² open above and %v below, want 314.16", top, bottom)
	}
}

func TestWhatLiesOpen(t *testing.T) {
	// a plate with a boss: the top of the plate is open but for the boss
	layers := slice(t, shapes.Cells([]float64{0, 20, 40, 60}, []float64{0, 20, 40, 60}, []float64{0, 4, 10}, func(i, j, k int) bool {
		return k == 0 || i == 1 && j == 1
	}), cut())
	for i, l := range layers {
		top, bottom := 0.0, 0.0
		switch i {
		case 0:
			bottom = 3600
		case 19:
			top = 3200
		case 49:
			top = 400
		}
		if !near(l.Top.Flat, top, 1e-6) || !near(l.Bottom.Flat, bottom, 1e-6) || l.Top.Sloped+l.Bottom.Sloped != 0 {
			t.Errorf("layer %d: %+v, want %v above and %v below", i, l, top, bottom)
		}
	}
	// A cone that rises 2 mm for each mm inwards steps back 0.4 mm in four
	// layers: two walls of 0.45 mm close it.
	for i, l := range slice(t, shapes.Revolve([][2]float64{{0, 0}, {20, 0}, {10, 20}, {0, 20}}, 90, false), cut()) {
		if l.Top.Sloped != 0 || i < 99 && l.Top.Flat != 0 {
			t.Errorf("layer %d of the steep cone: %+v", i, l)
		}
	}
	// One that rises 1 mm for 3 mm inwards steps back 2.4 mm in four layers, of
	// which walls close 0.9; at a radius of 50 a layer of 0.6 mm is 188.5 mm².
	gentle := slice(t, shapes.Revolve([][2]float64{{0, 0}, {80, 0}, {20, 20}, {0, 20}}, 720, false), cut())
	c := gentle[50]
	want := 2 * math.Pi * (80 - 3*10.1) * 0.6
	if !near(c.Top.Flat+c.Top.Sloped, want, 0.5) { // a step of 0.6 mm is wider than a line: it counts as flat
		t.Errorf("gentle cone: %+v, want %v", c, want)
	}
}

// A solid cube of 20 mm: all its volume is printed, 8 cm³ × 1.24 g/cm³.
func TestASolidCubeWeighsWhatItIs(t *testing.T) {
	r := recipe()
	r.Infill, r.SkirtLoops = 100, 0
	e := compute(t, shapes.Box(20, 20, 20), r)
	if !near(e.G, 9.92, 1e-6) {
		t.Errorf("%v g, want 9.92", e.G)
	}
	if want := 8000 / 2.405281875 / 1000; !near(e.FilamentM, want, 1e-9) {
		t.Errorf("%v m, want %v", e.FilamentM, want)
	}
}

// The shares of a cube of 20 mm by hand: walls 400 − 18.2² on 100 layers, four
// solid layers below and above, a fifth of the rest.
func TestSharesOfACube(t *testing.T) {
	e := compute(t, shapes.Box(20, 20, 20), recipe())
	inner := 18.2 * 18.2
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"walls", e.Walls.VolumeMM3, (400 - inner) * 20},
		{"solid", e.Solid.VolumeMM3, inner * 0.2 * 8},
		{"infill", e.Infill.VolumeMM3, inner * 0.2 * 92 * 0.2},
		{"skirt", e.Skirt.VolumeMM3, (80 + 10*math.Pi) * 0.45 * 0.2},
	} {
		if !near(c.got, c.want, 1e-4*c.want) {
			t.Errorf("%s: %v mm³, want %v", c.name, c.got, c.want)
		}
	}
}

func TestHalfTheLayerHeightTakesAboutTwiceAsLong(t *testing.T) {
	for name, m := range map[string]shapes.Mesh{"box": shapes.Box(20, 20, 20), "case": shapes.Case(), "stake": shapes.Stake(), "cap": shapes.CapUpper()} {
		thick, thin := recipe(), recipe()
		thin.LayerMM /= 2
		thin.SolidLayers *= 2 // as thick as before
		a, b := compute(t, m, thick), compute(t, m, thin)
		if ratio := b.Seconds / a.Seconds; ratio < 1.8 || ratio > 2.15 {
			t.Errorf("%s: %v times as long", name, ratio)
		}
		if !near(b.G, a.G, 0.03*a.G) {
			t.Errorf("%s: %v g and %v g", name, a.G, b.G)
		}
	}
}

func TestWhatARecipeChanges(t *testing.T) {
	base := compute(t, shapes.Case(), recipe())
	for _, c := range []struct {
		why    string
		change func(*bom.Recipe)
		ok     func(e *printing.Estimate) bool
	}{
		{"a flow limit of 2 mm³/s slows all lines to 22 mm/s", func(r *bom.Recipe) { r.FlowLimit = 2 }, func(e *printing.Estimate) bool {
			return e.Seconds > 1.5*base.Seconds && e.G == base.G
		}},
		{"a tenth for supports", func(r *bom.Recipe) { r.Support = 10 }, func(e *printing.Estimate) bool {
			return near(e.G, 1.1*base.G, 1e-9) && near(e.Seconds, 1.1*base.Seconds, 1e-6)
		}},
		{"a second more at each layer", func(r *bom.Recipe) { r.LayerChangeS++ }, func(e *printing.Estimate) bool {
			return near(e.Seconds, base.Seconds+float64(base.Layers), 1e-6)
		}},
		{"no infill", func(r *bom.Recipe) { r.Infill = 0 }, func(e *printing.Estimate) bool { return e.Infill.VolumeMM3 == 0 && e.G < base.G }},
		{"no walls: infill up to the edge", func(r *bom.Recipe) { r.Walls = 0 }, func(e *printing.Estimate) bool { return e.Walls.VolumeMM3 == 0 && e.G > 0 }},
		{"more walls than there is room for: solid", func(r *bom.Recipe) { r.Walls, r.SkirtLoops = 500, 0 }, func(e *printing.Estimate) bool {
			return e.G < 33.63552*1.24 && near(e.G, 33.63552*1.24, 0.015*e.G) // less the round sides of its lines
		}},
		{"slower acceleration", func(r *bom.Recipe) { r.Acceleration = 200 }, func(e *printing.Estimate) bool { return e.Seconds > base.Seconds }},
	} {
		r := recipe()
		c.change(&r)
		if e := compute(t, shapes.Case(), r); !c.ok(e) {
			t.Errorf("%s: %+v, before %+v", c.why, e, base)
		}
	}
}

func TestImpossibleRecipes(t *testing.T) {
	for want, change := range map[string]func(*bom.Recipe, *printing.Filament){
		"Layer mm is 0":              func(r *bom.Recipe, f *printing.Filament) { r.LayerMM = 0 },
		"Line width mm is NaN":       func(r *bom.Recipe, f *printing.Filament) { r.LineMM = math.NaN() },
		"Walls is -1":                func(r *bom.Recipe, f *printing.Filament) { r.Walls = -1 },
		"Infill % is 101":            func(r *bom.Recipe, f *printing.Filament) { r.Infill = 101 },
		"Wall speed mm/s is 0":       func(r *bom.Recipe, f *printing.Filament) { r.WallSpeed = 0 },
		"Acceleration mm/s2 is +Inf": func(r *bom.Recipe, f *printing.Filament) { r.Acceleration = math.Inf(1) },
		"Density g/cm3 is 0":         func(r *bom.Recipe, f *printing.Filament) { f.Density = 0 },
		"too many layers":            func(r *bom.Recipe, f *printing.Filament) { r.LayerMM = 1e-5 },
	} {
		r, f := recipe(), pla
		change(&r, &f)
		if _, err := printing.Compute(solid(t, shapes.Box(20, 20, 20)), r, bom.DefaultLimits(), f); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// Bodies of any kind give figures that can be: the plastic is at most the body's
// and the skirt's.
func TestAnyTrianglesGiveAFigure(t *testing.T) {
	state := uint64(7)
	next := func() float64 {
		state = state*6364136223846793005 + 1442695040888963407
		return float64(state>>40) / (1 << 24) * 30
	}
	for range 200 {
		s := &bom.Solid{Max: bom.Point{30, 30, 30}}
		for range 40 {
			var tr bom.Triangle
			for c := range tr {
				tr[c] = bom.Point{next(), next(), math.Round(next())} // many corners at one height
			}
			s.Triangles = append(s.Triangles, tr)
		}
		full := recipe()
		full.InsetMM, full.SolidUnder, full.Special = 0.8, 30, bom.SpecialLines{FirstLineMM: bom.Known(0.8), BridgeMM: bom.Known(0.4),
			BridgeSpeed: bom.Known(10), GapSpeed: bom.Known(20)}
		for _, r := range []bom.Recipe{recipe(), full} {
			e, err := printing.Compute(s, r, bom.DefaultLimits(), pla)
			if err != nil || !(e.G >= 0) || !(e.Seconds > 0) || math.IsInf(e.Seconds, 0) {
				t.Fatalf("%+v %v", e, err)
			}
		}
	}
}

func benchmarkCompute(b *testing.B, m shapes.Mesh, height float64) {
	s := solid(b, m)
	r := recipe()
	r.LayerMM = height / 200
	for b.Loop() {
		e, err := printing.Compute(s, r, bom.DefaultLimits(), pla)
		if err != nil || e.Layers != 200 {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s.Triangles)), "triangles")
}

// A million triangles cut at 200 layers: small ones, and ones that cross all
// layers.
func BenchmarkSlice(b *testing.B) {
	b.Run("sphere", func(b *testing.B) { benchmarkCompute(b, shapes.Sphere(40, 700, 714), 80) })
	b.Run("upright prism", func(b *testing.B) {
		benchmarkCompute(b, shapes.Tube(40, 30, 80, 125_000), 80)
	})
}
