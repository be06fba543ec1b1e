package toolpath

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/fixtures/shapes"
)

// rectangle prints the outline of one about the middle of a bed of 220 mm.
func rectangle(x, y float64) string {
	return fmt.Sprintf("G0 X%g Y%g\nG1 X%g E1\nG1 Y%g E1\nG1 X%g E1\nG1 Y%g E1\n",
		110-x/2, 110-y/2, 110+x/2, 110+y/2, 110-x/2, 110-y/2)
}

// stack prints each layer, of 0.2 mm, after what begins the file.
func stack(begin string, layers ...string) string {
	var b strings.Builder
	b.WriteString("M83\nG1 F1200\n" + begin)
	for i, l := range layers {
		fmt.Fprintf(&b, "G0 Z%.1f\n%s", 0.2*float64(i+1), l)
	}
	return b.String()
}

// A cube of 20 mm with a purge line along the bed and a skirt: what is left is the
// cube, whose outermost lines run half a line's width inside its sides.
func TestACubeWithSkirtAndPurgeLine(t *testing.T) {
	const line = 0.45
	s := shapes.Settings{Layer: 0.2, Line: line, Walls: 2, Infill: 0.2, WallSpeed: 40, SolidSpeed: 40, InfillSpeed: 60, TravelSpeed: 150,
		Acceleration: 1000, Diameter: 1.75, Retract: 1, RetractSpeed: 30, SkirtLoops: 2, SkirtGap: 3}
	cube := string(shapes.Toolpath(shapes.Upright(20, 0.8, shapes.Rectangle(20, 20)), s))
	purge := "M83\nG0 X-60 Y-40 Z0.28 F6000\nG1 X140 E15 F1500\nG0 Y-39.6\nG1 X-60 E15\n"
	r := read(t, purge+cube, Options{})
	size := r.Size()
	if !near(size[0], 20-line, 1e-3) || !near(size[1], 20-line, 1e-3) || !r.Beside {
		t.Errorf("%v, beside %v, want %g × %g", size, r.Beside, 20-line, 20-line)
	}
	if r.Min[2] != 0.2 || r.Max[2] != 20 {
		t.Errorf("from %v to %v", r.Min[2], r.Max[2])
	}
}

func TestSizeOfThePiece(t *testing.T) {
	big, small := rectangle(40, 30), rectangle(20, 10)
	skirt := rectangle(46, 36)
	brim := small
	for d := 1.0; d <= 10; d++ {
		brim += rectangle(20+d, 10+d)
	}
	for _, c := range []struct {
		why, text string
		x, y      float64
		beside    bool
		notes     int
	}{
		{"one layer is all there is", stack("", big+skirt), 46, 36, false, 0},
		{"two are as well", stack("", big+skirt, big), 46, 36, false, 0},
		{"from the third on the skirt is told", stack("", big+skirt, big, big), 40, 30, true, 0},
		{"a skirt of two layers", stack("", big+skirt, big+skirt, big), 40, 30, true, 0},
		{"one of all layers is taken for the piece", stack("", big+skirt, big+skirt, big+skirt, big), 46, 36, false, 0},
		{"a brim is in the lowest layer alone, and named", stack("", brim, small, small, small), 20, 10, false, 1},
		{"a brim ties no skirt of two layers to the piece", stack("", brim+rectangle(31, 21), small+rectangle(21.5, 11.5)+rectangle(31, 21), small, small), 21.5, 11.5, true, 1},
		{"a thin base is of the piece", stack("", brim, brim, small, small), 30, 20, false, 0},
		{"the foot of a round edge is hardly seen", stack("", rectangle(21, 11)+small, small, small), 20, 10, false, 0},
		{"what is wider above counts", stack("", small+skirt, small, small, big), 40, 30, true, 0},
		{"a purge line at a height of its own", stack("G0 X10 Y5 Z0.25\nG1 X210 E9\n", small, small, small), 20, 10, true, 0},
		{"two pieces far from each other are one size", stack("", big+"G0 X10 Y5\nG1 X20 E1\n", big+"G0 X10 Y5\nG1 X20 E1\n", big+"G0 X10 Y5\nG1 X20 E1\n"), 120, 120, false, 0},
		{"one piece after the other", stack("", small+skirt, small, small, small) + "G0 Z0.2\n" + "G0 X10 Y5\nG1 X20 E1\n" + "G0 Z0.4\nG1 X10 E1\nG0 Z0.6\nG1 X20 E1\n", 110, 110, true, 0},
		{"a wall that rises all the time", stack("", small+skirt) + "G0 X100 Y105\n" + spiralWall(5), 20, 10, true, 0},
	} {
		r, ps := Read(strings.NewReader(c.text), Options{Limits: plain})
		if ps.Failed() {
			t.Errorf("%s: %v", c.why, ps)
			continue
		}
		size := r.Size()
		if !near(size[0], c.x, 1e-4) || !near(size[1], c.y, 1e-4) || r.Beside != c.beside || len(ps) != c.notes {
			t.Errorf("%s: %.4f × %.4f, beside %v, %v; want %g × %g, %v", c.why, size[0], size[1], r.Beside, ps, c.x, c.y, c.beside)
		}
	}
}

// spiralWall goes round the small rectangle, rising.
func spiralWall(turns int) string {
	var b strings.Builder
	z := 0.2
	for range turns {
		for _, c := range [][2]float64{{120, 105}, {120, 115}, {100, 115}, {100, 105}} {
			z += 0.05
			fmt.Fprintf(&b, "G1 X%g Y%g Z%.2f E1\n", c[0], c[1], z)
		}
	}
	return b.String()
}

func TestTheBrimIsNamedWithItsSize(t *testing.T) {
	small, brim := rectangle(20, 10), rectangle(21, 11)+rectangle(22, 12)+rectangle(23, 13)+rectangle(24, 14)
	_, ps := Read(strings.NewReader(stack("", small+brim, small, small)), Options{Name: "a.gcode"})
	want := "a.gcode: note: the size is without what hangs on to the piece in the lowest layer, such as a brim, with which it is 24 × 14 mm; Plate spacing mm keeps room for it"
	if len(ps) != 1 || ps[0].Graded() != want {
		t.Error(ps)
	}
}

// Arcs count with the places where they are widest.
func TestArcsOfTheFirstLayers(t *testing.T) {
	ring := "G0 X10 Y0\nG3 X10 Y0 I-10 J0 E9\n"
	skirt := "G0 X14 Y0\nG3 X14 Y0 I-14 J0 E9\n"
	r := read(t, stack("", ring+skirt, ring, ring), Options{})
	if size := r.Size(); !near(size[0], 20, 1e-4) || !near(size[1], 20, 1e-4) || !r.Beside {
		t.Errorf("%v, beside %v", size, r.Beside)
	}
}

// A toolpath over more than the grid can hold counts with all that it prints.
func TestTooWideForTheGrid(t *testing.T) {
	for _, far := range []float64{1e6, 1e9} {
		far := fmt.Sprintf("G0 X0 Y0\nG1 X%g Y%g E1\n", far, -far/3)
		r := read(t, stack("", far, far, far, rectangle(20, 10)), Options{})
		if r.Beside || r.Size()[0] < 1e6 {
			t.Errorf("%+v", r.Size())
		}
	}
}

// Whatever is printed, the piece lies within it, and reaches as high.
func TestThePieceLiesWithinAll(t *testing.T) {
	state := uint64(11)
	random := func(n int) int {
		state = state*6364136223846793005 + 1442695040888963407
		return int(state>>33) % n
	}
	for range 300 {
		var b strings.Builder
		lo, hi := bom.Point{math.Inf(1), math.Inf(1), math.Inf(1)}, bom.Point{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
		b.WriteString("M83\nG1 F600\n")
		for range 1 + random(12) {
			x, y, z := float64(random(60)), float64(random(60)), 0.2*float64(1+random(4))
			fmt.Fprintf(&b, "G0 X%g Y%g Z%g\nG1 X%g Y%g E1\n", x, y, z, x+2, y+2)
			for i, v := range []float64{x, y, z} {
				lo[i], hi[i] = min(lo[i], v), max(hi[i], v+[]float64{2, 2, 0}[i])
			}
		}
		r := read(t, b.String(), Options{})
		for i := range lo {
			if r.Min[i] < lo[i]-1e-6 || r.Max[i] > hi[i]+1e-6 || r.Max[i] < r.Min[i] {
				t.Fatalf("%s\nfrom %v to %v, all from %v to %v", b.String(), r.Min, r.Max, lo, hi)
			}
		}
		if r.Min[2] != lo[2] || r.Max[2] != hi[2] {
			t.Fatalf("%s\nheights from %v to %v, all from %v to %v", b.String(), r.Min, r.Max, lo, hi)
		}
	}
}
