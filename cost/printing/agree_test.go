package printing_test

import (
	"bytes"
	"io/fs"
	"math"
	"testing"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/toolpath"
	"tenoff/cost/printing"
	"tenoff/fixtures"
	"tenoff/fixtures/shapes"
)

var pla = printing.Filament{Density: 1.24, DiameterMM: 1.75} // typical data-sheet value, from memory

func recipe() bom.Recipe {
	r := bom.DefaultRecipe()
	r.LayerChangeS = 0.25 // pull back, lift, return, as the toolpath below does it
	return r
}

// settings print by a recipe.
func settings(r bom.Recipe) shapes.Settings {
	return shapes.Settings{Layer: r.LayerMM, Line: r.LineMM, Walls: r.Walls, Infill: r.Infill / 100,
		WallSpeed: r.WallSpeed, SolidSpeed: r.SolidSpeed, InfillSpeed: r.InfillSpeed, TravelSpeed: r.TravelSpeed,
		Acceleration: r.Acceleration, Diameter: pla.DiameterMM, Retract: 0.8, RetractSpeed: 35, Lift: 0.2,
		SkirtLoops: r.SkirtLoops, SkirtGap: 5}
}

func solid(t testing.TB, m shapes.Mesh) *bom.Solid {
	t.Helper()
	data := m.STL()
	s, _, ps := mesh.Load(bytes.NewReader(data), int64(len(data)), mesh.Options{})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	return s
}

func compute(t testing.TB, m shapes.Mesh, r bom.Recipe) *printing.Estimate {
	t.Helper()
	e, err := printing.Compute(solid(t, m), r, bom.DefaultLimits(), pla)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// A mesh and a toolpath of the same part by the same recipe come to the same
// mass within 5 % and the same time within 15 %. The toolpath is drawn line by
// line from the outlines, which the mesh does not know of.
func TestMeshAndToolpathAgree(t *testing.T) {
	r := recipe()
	depth := float64(r.SolidLayers) * r.LayerMM
	dense := r
	dense.Infill = 60
	coarse := r
	coarse.LayerMM, coarse.LineMM, coarse.Walls, coarse.Infill = 0.3, 0.6, 3, 15
	for _, c := range []struct {
		name   string
		mesh   shapes.Mesh
		body   shapes.Body
		recipe bom.Recipe
	}{
		{"box", shapes.Box(20, 20, 20), shapes.Upright(20, depth, shapes.Rectangle(20, 20)), r},
		{"box, dense", shapes.Box(30, 50, 15), shapes.Upright(15, depth, shapes.Rectangle(30, 50)), dense},
		{"plate", shapes.Box(80, 60, 3), shapes.Upright(3, depth, shapes.Rectangle(80, 60)), r},
		{"tube", shapes.Tube(20, 16, 30, 120), shapes.Upright(30, depth, shapes.Circle(20, 120, false), shapes.Circle(16, 120, true)), r},
		{"thin tube", shapes.Tube(20, 18.2, 30, 120), shapes.Upright(30, depth, shapes.Circle(20, 120, false), shapes.Circle(18.2, 120, true)), r},
		{"tall and thin", shapes.Box(5, 5, 100), shapes.Upright(100, depth, shapes.Rectangle(5, 5)), r},
		{"round bar", shapes.Prism(90, 12, 40), shapes.Upright(40, depth, shapes.Circle(12, 90, false)), r},
		{"open box", openBox(), openBoxBody(depth), r},
		{"stake", shapes.Stake(), shapes.StakeBody(4 * 0.3), coarse},
	} {
		e := compute(t, c.mesh, c.recipe)
		path, ps := toolpath.Read(bytes.NewReader(shapes.Toolpath(c.body, settings(c.recipe))),
			toolpath.Options{Filament: toolpath.Filament{DiameterMM: pla.DiameterMM, Density: pla.Density}})
		if len(ps) > 0 {
			t.Fatal(c.name, ps)
		}
		mass, time := e.G/path.G.Value-1, e.Seconds/path.Seconds-1
		t.Logf("%-14s %7.2f g %+5.1f %%  %6.0f s %+5.1f %%", c.name, path.G.Value, mass*100, path.Seconds, time*100)
		if math.Abs(mass) > 0.05 || math.Abs(time) > 0.15 {
			t.Errorf("%s: %.2f g and %.0f s from the mesh, %.2f g and %.0f s from the toolpath", c.name, e.G, e.Seconds, path.G.Value, path.Seconds)
		}
		if e.Layers != path.Layers {
			t.Errorf("%s: %d layers from the mesh, %d from the toolpath", c.name, e.Layers, path.Layers)
		}
	}
}

// openBox is a box of 60 × 40 × 25 without a lid, with a wall and a floor of 2.
func openBox() shapes.Mesh {
	return shapes.Cells([]float64{0, 2, 58, 60}, []float64{0, 2, 38, 40}, []float64{0, 2, 25}, func(i, j, k int) bool {
		return k == 0 || i != 1 || j != 1
	})
}

func openBoxBody(solid float64) shapes.Body {
	hole := shapes.Loop{{2, 2}, {2, 38}, {58, 38}, {58, 2}}
	return shapes.Body{
		Height: 25,
		Outlines: func(z float64) []shapes.Loop {
			if z < 2 {
				return []shapes.Loop{shapes.Rectangle(60, 40)}
			}
			return []shapes.Loop{shapes.Rectangle(60, 40), hole}
		},
		Solid: func(z float64) (bool, shapes.Loop) {
			return z < solid || z < 2 && z > 2-solid || z > 25-solid, nil
		},
	}
}

// Halving the layer height about doubles the time of a toolpath too.
func TestHalfTheLayerHeightOfAToolpath(t *testing.T) {
	seconds := func(layer float64) float64 {
		s := settings(recipe())
		s.Layer = layer
		path, ps := toolpath.Read(bytes.NewReader(shapes.Toolpath(shapes.Upright(20, 0.8, shapes.Rectangle(20, 20)), s)), toolpath.Options{})
		if len(ps) > 0 {
			t.Fatal(ps)
		}
		return path.Seconds
	}
	if ratio := seconds(0.1) / seconds(0.2); ratio < 1.85 || ratio > 2.15 {
		t.Errorf("%v times as long", ratio)
	}
}

// The toolpath of the demo and its mesh tell the same story.
func TestTheDemosStake(t *testing.T) {
	data, err := fs.ReadFile(fixtures.Demos()[0].Files, "stake.gcode")
	if err != nil {
		t.Fatal(err)
	}
	path, ps := toolpath.Read(bytes.NewReader(data), toolpath.Options{Filament: toolpath.Filament{DiameterMM: pla.DiameterMM, Density: pla.Density}})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	r := recipe()
	r.LayerMM, r.LineMM, r.Walls, r.Infill = 0.3, 0.6, 3, 15
	e := compute(t, shapes.Stake(), r)
	if mass := e.G/path.G.Value - 1; math.Abs(mass) > 0.05 || e.Layers != path.Layers {
		t.Errorf("%.2f g in %d layers from the mesh, %.2f g in %d from the toolpath", e.G, e.Layers, path.G.Value, path.Layers)
	}
	// its lines run nearly along the stake and stop less often than the mesh supposes
	if ratio := e.Seconds / path.Seconds; ratio < 1 || ratio > 1.3 {
		t.Errorf("%.0f s from the mesh, %.0f s from the toolpath", e.Seconds, path.Seconds)
	}
	// 180 × 22 × 9 mm, along the middle of its outermost lines, without the skirt
	if size := path.Size(); !near(size[0], 180-0.6, 1e-3) || !near(size[1], 22-0.6, 1e-3) || !near(size[2], 9-0.3, 1e-9) {
		t.Errorf("%v", size)
	}
}
