package toolpath

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"tenoff/bom"
)

// plain limits let nothing but the axis in question bound a move.
var plain = bom.KinematicLimits{
	Speed:        [4]float64{1000, 1000, 1000, 1000},
	Acceleration: [4]float64{1000, 1000, 1000, 1000},
	JunctionMM:   0.02,
}

func read(t *testing.T, text string, o Options) *Result {
	t.Helper()
	if o.Limits == (bom.KinematicLimits{}) {
		o.Limits = plain
	}
	r, ps := Read(strings.NewReader(text), o)
	if ps.Failed() {
		t.Fatalf("%s\n%v", text, ps)
	}
	return r
}

// driven runs lines through the interpreter alone.
func driven(t *testing.T, text string) *machine {
	t.Helper()
	m := newMachine(Options{Limits: plain}, &Result{})
	for _, line := range strings.Split(text, "\n") {
		var b block
		if err := b.parse([]byte(line)); err != nil {
			t.Fatal(line, err)
		}
		if err := m.carryOut(&b); err != nil {
			t.Fatal(line, err)
		}
	}
	return m
}

func near(got, want, within float64) bool { return math.Abs(got-want) <= within }

// extruding a little makes a toolpath of a move without changing its time.
const prime = "M83\nG1 E0.001 F60000\n"

func primeSeconds(t *testing.T) float64 { return read(t, prime, Options{}).Seconds }

// From the equations of uniform acceleration, as in the tests of bom.Ramp.
func TestTimeOfOneMove(t *testing.T) {
	for _, c := range []struct {
		why, move string
		want      float64
	}{
		{"cruises: 100 mm at 50 mm/s", "G1 X100 F3000", 2.05},
		{"a triangle: 10 mm at up to 150 mm/s", "G1 Y10 F9000", 0.2},
		{"1 mm", "G1 X1 F6000", 0.063245553},
		{"two halves in one line take as long as one", "G1 X50 F3000\nG1 X100", 2.05},
		{"out and back stops between", "G1 X10 F9000\nG1 X0", 0.4},
		{"a wait stops too", "G1 X10 F9000\nG4 P500\nG1 X20", 0.9},
		{"a wait in seconds", "G4 S2.5", 2.5},
		{"half the speed by M220", "M220 S50\nG1 X100 F6000", 2.05},
		{"the feed rate on a line with a fan", "G1 X100 F3000 M106 S9", 2.05},
		{"inches: 100 mm at 50 mm/s", "G20\nG1 X3.93700787401575 F118.110236220472", 2.05},
		{"a limit of an axis set in the file", "M203 X50\nG1 X100 F30000", 2.05},
		{"and of a diagonal: 50 mm/s along X is 70.7 along the line", "M203 X50\nG1 X100 Y100 F30000",
			100*math.Sqrt2/(50*math.Sqrt2) + 50*math.Sqrt2/(1000*math.Sqrt2)},
		{"an acceleration set in the file", "M201 X500\nG1 X100 F3000", 2.1},
		{"an acceleration for travel set in the file", "M204 T500\nG1 X100 F3000", 2.1},
		{"one for printing does not touch travel", "M204 P500\nG1 X100 F3000", 2.05},
	} {
		if got := read(t, prime+c.move, Options{}).Seconds - primeSeconds(t); !near(got, c.want, 1e-6) {
			t.Errorf("%s: %.9f s, want %.9f", c.why, got, c.want)
		}
	}
}

// A right-angled corner between two moves of 100 mm is taken at 6.948688455 mm/s
// (junction deviation 0.02 mm, 1000 mm/s²), so each move has one end at rest and
// one at that speed.
func TestTimeOfACorner(t *testing.T) {
	leg := func(v float64) float64 { // 100 mm at 50 mm/s from rest to v
		return 50/1000.0 + (50-v)/1000 + (100-50*50/2000.0-(50*50-v*v)/2000)/50
	}
	for _, c := range []struct {
		why, moves string
		v          float64
	}{
		{"90°", "G1 X100 F3000\nG1 Y100", 6.948688455},
		{"135°", "M204 S1000\nG1 X100 F3000\nG1 X170.710678118655 Y70.710678118655", 15.580161222},
		{"an instantaneous change of 5 mm/s allowed along X bounds it too", "M205 X5\nG1 X100 F3000\nG1 Y100", 5},
	} {
		if got := read(t, prime+c.moves, Options{}).Seconds - primeSeconds(t); !near(got, 2*leg(c.v), 1e-6) {
			t.Errorf("%s: %.9f s, want %.9f", c.why, got, 2*leg(c.v))
		}
	}
}

// A line cut into very many pieces is as fast as in one: looking ahead past the
// window loses nothing.
func TestALineInPiecesIsAsFastAsWhole(t *testing.T) {
	var b strings.Builder
	b.WriteString(prime + "G90\n")
	const pieces = 3 * window
	for i := 1; i <= pieces; i++ {
		fmt.Fprintf(&b, "G1 X%.6f F6000\n", 600*float64(i)/pieces)
	}
	want := 600/100.0 + 0.1
	if got := read(t, b.String(), Options{}).Seconds - primeSeconds(t); !near(got, want, 1e-6) {
		t.Errorf("%.9f s, want %.9f", got, want)
	}
}

// The planner's windows and two passes find what slowly evening out the speeds of
// all moves finds: the highest speeds at which each move can slow down for the
// next and speed up from the one before.
func TestPlannerAgainstEveningOut(t *testing.T) {
	state := uint64(5)
	random := func() float64 {
		state = state*6364136223846793005 + 1442695040888963407
		return float64(state>>40) / (1 << 24)
	}
	var p planner
	p.junction = 0.02
	const n = 5*window + 17
	moves := make([]move, n)
	angle := 0.0
	for i := range moves {
		angle += (random() - 0.5) * math.Pow(random(), 4) * 6 // mostly straight, now and then sharp
		d := [3]float64{math.Cos(angle), math.Sin(angle), 0}
		moves[i] = move{length: 0.05 + 5*random()*random(), speed: 20 + 150*random(), acceleration: 500 + 1500*random(), first: d, last: d}
		p.add(moves[i])
	}
	p.settle(p.n)

	v := make([]float64, n+1) // squares of the speeds between moves; at rest at both ends
	for i := 1; i < n; i++ {
		a, b := moves[i-1], moves[i]
		s := min(a.speed, b.speed)
		v[i] = min(s*s, bom.JunctionSquare(min(a.acceleration, b.acceleration), 0.02, a.last[0]*b.first[0]+a.last[1]*b.first[1]))
	}
	for changed := true; changed; {
		changed = false
		for i, m := range moves {
			reach := 2 * m.acceleration * m.length
			if v[i+1] > v[i]+reach+1e-9 {
				v[i+1], changed = v[i]+reach, true
			}
			if v[i] > v[i+1]+reach+1e-9 {
				v[i], changed = v[i+1]+reach, true
			}
		}
	}
	want := 0.0
	for i, m := range moves {
		t := bom.Ramp(m.length, m.acceleration, m.speed, math.Sqrt(v[i]), math.Sqrt(v[i+1]))
		want += t
	}
	if !near(p.seconds, want, 1e-6*want) {
		t.Errorf("%.9f s, want %.9f", p.seconds, want)
	}
}

// NIST IR 6556, 3.5.3: the worked example of an arc by its centre, arcs by
// radius, full circles.
func TestArcs(t *testing.T) {
	for _, c := range []struct {
		why, from, line string
		centre          [2]float64
		radius, degrees float64
		length          float64
	}{
		{"the worked example of the standard", "X7 Y7", "G2 X10 Y16 I3 J4", [2]float64{10, 11}, 5, -143.130102, 12.490457724},
		{"by radius, the short way", "X0 Y0", "G3 X10 Y0 R10", [2]float64{5, 8.660254038}, 10, 60, 10.471975512},
		{"clockwise", "X0 Y0", "G2 X10 Y0 R10", [2]float64{5, -8.660254038}, 10, -60, 10.471975512},
		{"a negative radius goes the long way", "X0 Y0", "G3 X10 Y0 R-10", [2]float64{5, -8.660254038}, 10, 300, 52.359877560},
		{"a full circle", "X10 Y0", "G2 X10 Y0 I-10", [2]float64{0, 0}, 10, -360, 62.831853072},
		{"a full circle without an end", "X10 Y0", "G3 I-10 J0", [2]float64{0, 0}, 10, 360, 62.831853072},
		{"a half circle by a radius rounded down", "X0 Y0", "G2 X10 Y0 R4.999", [2]float64{5, 0}, 5, -180, 15.707963268},
		{"a helix", "X10 Y0", "G3 X10 Y0 Z30 I-10", [2]float64{0, 0}, 10, 360, math.Hypot(62.831853072, 30)},
		{"in the plane of Z and X", "G18 X0 Y0", "G2 X10 Z0 R10", [2]float64{8.660254038, 5}, 10, -60, 10.471975512},
		{"in the plane of Y and Z", "G19 X0 Y0", "G3 Y10 Z0 R10", [2]float64{5, 8.660254038}, 10, 60, 10.471975512},
	} {
		m := driven(t, "G1 "+c.from)
		var b block
		if err := b.parse([]byte(c.line)); err != nil {
			t.Fatal(err)
		}
		to := m.target(&b)
		r, err := newArc(m.plane, [3]float64(m.position[:3]), [3]float64(to[:3]), b.g[0] == 20, &b, 1, 0.002)
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		if !near(r.centre[0], c.centre[0], 1e-6) || !near(r.centre[1], c.centre[1], 1e-6) || !near(r.radius, c.radius, 1e-6) ||
			!near(r.sweep*180/math.Pi, c.degrees, 1e-6) || !near(r.length, c.length, 1e-6) {
			t.Errorf("%s: centre %v, radius %v, %v°, length %v", c.why, r.centre, r.radius, r.sweep*180/math.Pi, r.length)
		}
		if l := math.Hypot(math.Hypot(r.first[0], r.first[1]), r.first[2]); !near(l, 1, 1e-12) {
			t.Errorf("%s: direction of length %v", c.why, l)
		}
	}
}

// A circle of radius 10 at 50 mm/s with 1000 mm/s² on the way and inwards; at
// 200 mm/s the pull inwards bounds it to √(1000 × 10) mm/s.
func TestTimeOfAnArc(t *testing.T) {
	circle := 2 * math.Pi * 10
	for _, c := range []struct{ feed, speed float64 }{{3000, 50}, {12000, 100}} {
		text := prime + fmt.Sprintf("G0 X10 F6000\nG4 P0\nG3 I-10 F%g", c.feed)
		want := circle/c.speed + c.speed/1000
		if got := read(t, text, Options{}).Seconds - read(t, prime+"G0 X10 F6000", Options{}).Seconds; !near(got, want, 1e-6) {
			t.Errorf("F%g: %.9f s, want %.9f", c.feed, got, want)
		}
	}
	// A line that leaves the circle along its tangent needs no slowing down.
	text := prime + "G0 X10 F6000\nG4 P0\nG3 X-10 Y0 I-10 F3000\nG1 Y-40"
	want := (math.Pi*10+40)/50 + 0.05
	if got := read(t, text, Options{}).Seconds - read(t, prime+"G0 X10 F6000", Options{}).Seconds; !near(got, want, 1e-6) {
		t.Errorf("along the tangent: %.9f s, want %.9f", got, want)
	}
}

// NIST IR 6556, 3.5.18: at X4, G92 X7 makes the offset −3; then G92 X9 makes it
// −5.
func TestG92(t *testing.T) {
	m := driven(t, "G1 X4\nG92 X7")
	if m.offset[0] != -3 {
		t.Errorf("offset %v, want -3", m.offset[0])
	}
	for _, c := range []struct {
		line         string
		offset, next float64 // next: where G1 X0 leads
	}{{"G92 X9", -5, -5}, {"G92.2", 0, 0}, {"G92.3", -5, -5}, {"G92.1", 0, 0}, {"G92", 4, 4}} {
		var b block
		b.parse([]byte(c.line))
		if err := m.carryOut(&b); err != nil || m.offset[0] != c.offset {
			t.Errorf("%s: offset %v, want %v", c.line, m.offset[0], c.offset)
		}
		b.parse([]byte("G1 X0"))
		if to := m.target(&b); to[0] != c.next {
			t.Errorf("%s: G1 X0 leads to %v, want %v", c.line, to[0], c.next)
		}
	}
}

// NIST IR 6556, 3.3: white space may stand anywhere, letters may be small. The
// line is the standard's own example.
func TestWordsOfALine(t *testing.T) {
	m := driven(t, "g0x +0. 12 34y 7")
	if m.position[0] != 0.1234 || m.position[1] != 7 {
		t.Errorf("%v, want 0.1234 and 7", m.position)
	}
	for _, c := range []struct {
		why, line string
		x, y      float64
	}{
		{"a comment at the end", "G1 X1 Y2 ; X9", 1, 2},
		{"a comment inside", "G1 X1 (X9) Y2", 1, 2},
		{"a line number and a checksum", "N7 G1 X1 Y2*45", 1, 2},
		{"no space at all", "G1X1Y2", 1, 2},
		{"an optional block", "/G1 X1 Y2", 1, 2},
		{"leading zeros", "G01 X01.0 Y+2", 1, 2},
		{"Windows line end", "G1 X1 Y2\r", 1, 2},
		{"a percent sign marks the end of tape", "%", 0, 0},
		{"nothing", "", 0, 0},
		{"a message is not words", "M117 X marks the spot G1 X5", 0, 0},
		{"words of an unknown command are its own", "M9999 X5 G1", 0, 0},
		{"a fan on the line of a move", "G1 X1 Y2 M106 S255", 1, 2},
		{"limits are not moves", "M203 X100 Y100", 0, 0},
		{"words of an unknown G are its own", "G29 X5 Y5", 0, 0},
		{"a command in words", "DO_THIS X=5 Y=7", 0, 0},
		{"a command to the sender", "@wait X=5 Y=7", 0, 0},
		{"a number in a message is not the command's", "M117 100% X5", 0, 0},
		{"a version behind a request", "M115 U3.4.1", 0, 0},
		{"a message on a stop", "M0 Put the nuts in, X5", 0, 0},
		{"marks of a template behind heat", "M104 S{first[0]} X5", 0, 0},
		{"and behind a wait for it", "M109 S{first[0]}", 0, 0},
		{"marks that were never filled in", "G1 X1 Z[first_layer_height] Y2 F?speed?", 1, 2},
		{"and such in braces, beside filament", "G1 F{speed / 2} X1 Y2 E5", 1, 2},
		{"a mark behind the number", "G1 X1 Z0.3[first_layer_height] Y2", 1, 2},
		{"a text behind what sets the mode", "G1 X1\nG91 : from there on\nG1 X0 Y2", 1, 2},
		{"two temperatures", "M140 S60 M104 S200", 0, 0},
		{"a comment in a comment", "G1 X1 (from (here) on) Y2", 1, 2},
		{"an opening parenthesis in a comment", "G1 X1 (a sad face :( ) Y2", 1, 2},
		{"a semicolon in parentheses", "G1 X1 (a; b) Y2", 1, 2},
		{"a line that is a comment without an end", "(more", 0, 0},
		{"spaces in numbers on both sides of a comment", "G1 X1 .0 (c) Y 2 . 0", 1, 2},
		{"a checksum on a line with spaces in numbers", "N1 G1 X0 1 Y2*59", 1, 2},
		{"small letters without space", "n3g1x1y2*9", 1, 2},
		{"a power of ten behind a capital letter", "G1 X10e-1 Y2", 1, 2},
		{"none behind a small one", "g1 x1e-1 y2", 1, 2},
		{"levelling takes the line", "G29 X5 Y5 F9 A", 0, 0},
		{"levelling an area too", "G80 X5 Y5 W30 H20", 0, 0},
		{"what ends a cycle beside a move", "G80 G1 X1 Y2", 1, 2},
		{"and alone", "G80\nG1 X1 Y2", 1, 2},
		{"spaces at which lines do not break", "G1 X1\u00a0 \u00a0Y2 ; ahead", 1, 2},
		{"the words of homing are its own", "G28 Z P0 T300", 0, 0},
	} {
		if m := driven(t, c.line); m.position[0] != c.x || m.position[1] != c.y {
			t.Errorf("%s: %q leads to %v", c.why, c.line, m.position)
		}
	}
}

// A filament of 1.75 mm has 2.405281875 mm²; a bead of 0.45 × 0.2 mm and 100 mm
// takes 3.741765193 mm of it.
func TestFilament(t *testing.T) {
	r := read(t, "M83\nG1 X100 E3.741765193 F1200", Options{Filament: Filament{1.75, 1.24}})
	if !near(r.G.Value, 9*1.24/1000, 1e-9) || !r.G.Known {
		t.Errorf("%v g", r.G)
	}
	if a := (&Options{Filament: Filament{DiameterMM: 2.85}}).area(); !near(a, 6.379396582, 1e-9) {
		t.Errorf("2.85 mm has %v mm²", a)
	}
}

func TestFilamentAddsUp(t *testing.T) {
	for _, c := range []struct {
		why, text string
		mm        float64
	}{
		{"absolute, reset at each layer", "M82\nG92 E0\nG1 X10 E5\nG92 E0\nG1 X20 E5", 10},
		{"pulled back and returned", "M83\nG1 X10 E5\nG1 E-2\nG0 X20\nG1 E2\nG1 X30 E5", 10},
		{"pulled back at the end stays printed", "M83\nG1 X10 E5\nG1 E-2", 5},
		{"returned with a little more", "M83\nG1 X10 E5\nG1 E-2\nG1 E2.5\nG1 X30 E5", 10.5},
		{"a purge line counts", "M83\nG1 E8\nG1 X10 E5", 13},
		{"pulled back before the first", "M83\nG1 E-2\nG1 E2\nG1 X10 E5", 5},
		{"G10 and G11", "M83\nG1 X10 E5\nG10\nG10\nG0 X20\nG11\nG11\nG1 X30 E5", 10},
		{"G10 with P sets up a tool", "M83\nG1 X10 E5\nG10 P0 S200\nG1 E-1\nG1 E1\nG1 X30 E5", 10},
		{"G11 with an extra length by M208", "M83\nM207 S3 F2400 Z0.4\nM208 S0.5\nG1 X10 E5\nG10\nG0 X20\nG11\nG1 X30 E5", 10.5},
		{"90 % by M221", "M83\nM221 S90\nG1 X10 E5\nG1 X20 E5", 9},
		{"M83 holds over G90", "M83\nG1 X10 E5\nG91\nG1 Z1\nG90\nG1 X20 E5", 10},
		{"G91 makes E relative while it holds", "M82\nG1 X10 E5\nG91\nG1 X1 E1\nG90\nG1 X20 E9", 9},
		{"inches", "G20\nM83\nG1 X1 E1", 25.4},
		{"a G92 without axes zeroes E too", "M82\nG1 X10 E5\nG92\nG1 X20 E5", 10},
		{"mm³ by M200", "M83\nM200 D1.75\nG1 X10 E2.405281875", 1},
	} {
		if r := read(t, "G1 F1200\n"+c.text, Options{}); !near(r.FilamentMM, c.mm, 1e-8) {
			t.Errorf("%s: %v mm, want %v", c.why, r.FilamentMM, c.mm)
		}
	}
}

// The lift of a G10 is the printer's own: heights that the file names are those of
// the nozzle when it is down again.
func TestTheLiftOfARetractionIsNoCoordinate(t *testing.T) {
	for _, move := range []string{"G0 Z0.4", "G91\nG0 Z0.2"} {
		m := driven(t, "M83\nM207 S1 F1800 Z0.5\nG1 Z0.2 F600\nG10\n"+move+"\nG11")
		if m.position[2] != 0.4 || m.pulled {
			t.Errorf("%s: at Z %v, pulled back %v", move, m.position[2], m.pulled)
		}
	}
	up := read(t, prime+"M207 S1 Z10\nG10\nG11", Options{}).Seconds - read(t, prime+"M207 S1 Z0\nG10\nG11", Options{}).Seconds
	if want := 2 * 2 * math.Sqrt(10/1000.0); !near(up, want, 1e-9) { // 10 mm up and down from rest to rest at 1000 mm/s²
		t.Errorf("up and down take %v s, want %v", up, want)
	}
}

// Where the numbers of an arc are rounded to two decimals its radii are up to
// 0.021 mm apart.
func TestArcsOfRoundedNumbers(t *testing.T) {
	for _, c := range []struct{ x, y, r, turn float64 }{{5.123, 4.567, 7.777, 1}, {-3.3333, 9.8765, 12.3456, 2.5}, {0.005, 0.015, 3.335, 4}} {
		from := [2]float64{c.x + c.r, c.y}
		to := [2]float64{c.x + c.r*math.Cos(c.turn), c.y + c.r*math.Sin(c.turn)}
		text := fmt.Sprintf("G1 X%.2f Y%.2f F600\nG3 X%.2f Y%.2f I%.2f J0 E1", from[0], from[1], to[0], to[1], -c.r)
		read(t, "M83\n"+text, Options{})
	}
	read(t, "M83\nG1 X10 E1 F600\nG2 X20 Y0 I5.02 J0 E1", Options{})
}

func TestTools(t *testing.T) {
	text := "M83\nG1 X10 E5 F1200\nT1\nG1 X20 E3\nT0\nG1 X30 E5\nT1\nG1 E-1\nG1 E1\nG1 X40 E2"
	o := Options{Filament: Filament{1.75, 1.24}}
	r := read(t, text, o)
	if r.Tools != 2 || !near(r.FilamentMM, 15, 1e-9) {
		t.Fatalf("%d tools, %v mm", r.Tools, r.FilamentMM)
	}
	if want := 15 * 1.24 * 2.405281875 / 1000; !near(r.G.Value, want, 1e-9) {
		t.Errorf("%v g, want %v", r.G.Value, want)
	}
	for line, tool := range map[string]int{"T1000": 0, "T-1": 0, "T?": 0, "Tx": 0, "T": 0, "M600": 0, "G28 T1": 0, "T1": 1, "T1 M6": 1, "M6 T1": 1, "M104 T1 S200": 0, "G1 X5 T1": 1} {
		if m := driven(t, line); m.tool != tool {
			t.Errorf("%s: tool %d, want %d", line, m.tool, tool)
		}
	}
	o.Filament.Density = 0
	if r := read(t, text, o); r.G.Known {
		t.Error("a mass is known without a density")
	}
}

func TestBoundsAndLayers(t *testing.T) {
	r := read(t, `G21 G90
M83
G0 X-50 Y-50 Z5 F6000 ; travel is not part of the print
G1 E5
G0 X10 Y0 Z0.2
G3 X-10 Y0 I-10 E2 F1200 ; over the top of the circle, to Y 10
G1 X-10 Y-3 E1
G0 Z0.4
G1 X0 Y0 E1
G0 Z0.2
G1 X1 Y0 E1 ; at the first height again
G0 Z0.3
G1 X10 Y0 Z0.4 E1 ; rising: not a layer
G0 X200 Y200 Z50`, Options{})
	if r.Min != (bom.Point{-10, -3, 0.2}) || !near(r.Max[0], 10, 1e-9) || !near(r.Max[1], 10, 1e-9) || r.Max[2] != 0.4 {
		t.Errorf("from %v to %v", r.Min, r.Max)
	}
	if r.Layers != 2 {
		t.Errorf("%d layers, want 2", r.Layers)
	}
}

func TestHomeAndTime(t *testing.T) {
	// 100 mm at 50 mm/s along X, and at the same time 40 along Y
	r := read(t, prime+"M203 X50\nG0 X100 Y40 F60000\nG28", Options{})
	once := read(t, prime+"M203 X50\nG0 X100 Y40 F60000", Options{}).Seconds - primeSeconds(t)
	if !near(r.Seconds-primeSeconds(t), 2*once, 1e-9) {
		t.Errorf("%v s, want twice %v", r.Seconds, once)
	}
	if m := driven(t, "G1 X100 Y40\nG92 X0 Y0\nG28 X"); m.position[0] != 0 || m.position[1] != 40 || m.offset[0] != 0 || m.offset[1] != 40 {
		t.Errorf("%v, offset %v", m.position, m.offset)
	}
}

func TestUnknownWordsAreCountedAndNamed(t *testing.T) {
	_, ps := Read(strings.NewReader("M83\nG1 X10 E5 F600\nG999\nG999\nM9999 P\"x\"\nDO_THIS A=1\nG1 X20 A5\n; M1234\n(G777)"), Options{Name: "a.gcode"})
	want := "a.gcode: note: 5 words are not known and were ignored: G999 × 2, A × 1, DO_THIS × 1, M9999 × 1"
	if len(ps) != 1 || ps[0].Graded() != want {
		t.Errorf("%v", ps)
	}
}

// Words that printers know but that take no filament are not worth a note.
func TestKnownWordsAreNotNamed(t *testing.T) {
	_, ps := Read(strings.NewReader("M0 wait\nM1\nM600\nM117 ready\nM115 U1.2.3\nM420 S1\nM900 K0\nG29\nG28 W\nG92\nM83\nG1 X10 E5 F600"), Options{})
	if len(ps) > 0 {
		t.Error(ps)
	}
}

// What a program writes into comments changes nothing.
func TestCommentsChangeNothing(t *testing.T) {
	text := "M83\nG1 X10 E5 F600\nG1 X20 E5\n"
	commented := ";TIME:99999\n;LAYER_COUNT:7\n; filament used [g] = 1\n" + strings.ReplaceAll(text, "\n", " ;TYPE:whatever (1)\n")
	a, b := read(t, text, Options{}), read(t, commented, Options{})
	if fmt.Sprintf("%+v", *a) != fmt.Sprintf("%+v", *b) {
		t.Errorf("%+v\n%+v", a, b)
	}
}

func TestAByteOrderMarkIsPassedOver(t *testing.T) {
	if r := read(t, "\xef\xbb\xbfG1 X10 E5 F600", Options{}); !near(r.FilamentMM, 5, 1e-9) {
		t.Errorf("%v mm", r.FilamentMM)
	}
}

func TestTheProgramEndsTheFile(t *testing.T) {
	if r := read(t, "M83\nG1 X10 E5 F600\nM2\nG1 X20 E5\nnonsense", Options{}); !near(r.FilamentMM, 5, 1e-9) {
		t.Errorf("%v mm", r.FilamentMM)
	}
}

func TestBadFiles(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"nothing", "", "the toolpath moves nothing"},
		{"comments alone", "; hello\n", "the toolpath moves nothing"},
		{"no extrusion", "G1 X10 F600\nG1 X20", "the toolpath extrudes nothing"},
		{"filament is only pulled back", "G1 E-5 F600", "the toolpath extrudes nothing"},
		{"radius mismatch", "G1 X10 E1 F600\nG2 X20 Y0 I5.1 J0", "a.gcode:2: the arc's radius at its start is not that at its end"},
		{"radius too small", "G2 X20 Y0 R9", "a.gcode:1: the radius is too small"},
		{"radius with the same end", "G1 X10\nG2 X10 Y0 R5", "a.gcode:2: an arc with a radius ends where it begins"},
		{"neither", "G2 X20 Y0", "a.gcode:1: the arc has neither a centre nor a radius"},
		{"centre on the start", "G2 X20 Y0 I0 J0", "a.gcode:1: the arc has no radius"},
		{"checksum", "N7 G1 X1 Y2*44", `a.gcode:1: the checksum does not fit the line ("*44"); *45`},
		{"checksum of a line with spaces in numbers", "N1 G1 X0 1 Y2*12", `a.gcode:1: the checksum does not fit the line ("*12"); *59`},
		{"no number", "G1 X Y5", "a.gcode:1: an axis stands without a number"},
		{"G alone", "G X5", "a.gcode:1: G stands without a number"},
		{"expressions", "G1 X[1+2]", "a.gcode:1: expressions and parameters are not read"},
		{"a text behind what moves", "G1 : ahead", "a.gcode:1: this is no word"},
		{"a mark for filament", "G1 X1 E[length]", "a.gcode:1: a mark of a template was never filled in"},
		{"parameters", "G1 X#5", "a.gcode:1: expressions and parameters are not read"},
		{"out of range", "G1 X99999999999", "a.gcode:1: the number is out of range"},
		{"creeping out of range", "G91\n" + strings.Repeat("G1 X900000000\n", 3), "a.gcode:3: the move leads X out of range"},
		{"twice the same", "G1 X1 X2", "a.gcode:1: the line has two X words"},
		{"a strange sign", "G1 X1 = 2", "a.gcode:1: this is no word"},
		{"no motion chosen", "X10 Y10", "a.gcode:1: the line moves, but no kind of motion was chosen"},
		{"a comment without an end", "G1 X1 (more", "a.gcode:1: the comment does not end"},
		{"negative feed", "G1 X1 F-5", "a.gcode:1: the feed rate is negative"},
		{"negative wait", "G4 P-5", "a.gcode:1: the wait is negative"},
		{"half a tool", "T0.5", "a.gcode:1: this is no tool"},
		{"a limit of nothing", "M203 X0", "a.gcode:1: the limit of X forbids all motion"},
		{"an acceleration of nothing", "M204 S0", "a.gcode:1: the acceleration of S forbids all motion"},
		{"a curve that extrudes", "G5 X10 Y10 I1 J1 P2 Q2 E3", "a.gcode:1: the line moves the filament in a way that is not known (\"G5\"); G0 to G3"},
		{"a pointer", "version https://store.example/spec/v1\noid sha256:00ff\nsize 123456\n", "a.gcode: is a pointer to a file kept elsewhere; fetch the file itself"},
		{"packed", "GCDE\x01\x00\x00\x00", "a.gcode: is a toolpath packed in binary form; the toolpath as text"},
		{"half a G", "G1.25 X1", "a.gcode:1: this is no G word"},
		{"an endless line", "G1 X1\n" + strings.Repeat("G1 ", 40_000), "line 2, from byte 6, is longer than 65536 bytes"},
		{"very many G words", strings.Repeat("G1", 20), "a.gcode:1: the line has too many G words"},
		{"rubbish", "\x7fELF\x02\x01\x01\x00\x00\n\x00", "byte 7 is zero: the file is not text"},
		{"another kind of text", "Dear Sir,\nplease find enclosed = 5\n", "moves nothing"},
		{"a list", "Part number,Quantity\n1,R-10\n2,R-22\n3,C-10\n", "[a.gcode:2: the file is not G-code: no line begins with a G, M or T word; a toolpath in G-code]"},
		{"very many faults", strings.Repeat("G1 X\n", 100), "there are more faults"},
	} {
		r, ps := Read(strings.NewReader(c.text), Options{Name: "a.gcode"})
		if r != nil || !strings.Contains(fmt.Sprint(ps), c.want) {
			t.Errorf("%s: %v, want %q", c.why, ps, c.want)
		}
		if len(ps) > maxFaults+2 {
			t.Errorf("%s: %d complaints", c.why, len(ps))
		}
	}
}

func TestAFileTooLongOrBroken(t *testing.T) {
	if _, ps := Read(strings.NewReader(strings.Repeat("G1 X1 E1\n", 100)), Options{Bytes: 500}); !strings.Contains(fmt.Sprint(ps), "longer than 500 bytes") {
		t.Error(ps)
	}
	broken := io.MultiReader(strings.NewReader("G1 X1 E1\n"), iotest.ErrReader(errors.New("the disk is gone")))
	if _, ps := Read(broken, Options{}); !strings.Contains(fmt.Sprint(ps), "byte 9: the disk is gone") {
		t.Error(ps)
	}
}

func TestMovesBeforeAFeedRateAreNamed(t *testing.T) {
	_, ps := Read(strings.NewReader("G1 X10 E5"), Options{})
	if len(ps) != 1 || !strings.Contains(ps[0].String(), "before any feed rate") {
		t.Error(ps)
	}
}

// spiral is a printed polygon that goes round and round, with a new layer now
// and then.
func spiral(lines int) string {
	var b strings.Builder
	b.WriteString("G21\nG90\nM83\nG0 Z0.2 F1200\n")
	for i := range lines {
		if i%2000 == 1999 {
			fmt.Fprintf(&b, "G0 Z%.2f\n", 0.2*float64(i/2000+2))
		}
		a, r := float64(i)*0.05, 30+20*math.Sin(float64(i)*0.0007)
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F2400\n", 100+r*math.Cos(a), 100+r*math.Sin(a), 0.04)
	}
	return b.String()
}

// repeated gives the same text several times.
type repeated struct {
	text  string
	times int
	at    int
}

func (r *repeated) Read(b []byte) (int, error) {
	if r.at == len(r.text) {
		r.at = 0
		r.times--
	}
	if r.times == 0 {
		return 0, io.EOF
	}
	n := copy(b, r.text[r.at:])
	r.at += n
	return n, nil
}

// Memory does not depend on the length of the file.
func TestConstantMemory(t *testing.T) {
	text := spiral(10_000)
	used := func(times int) int64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, ps := Read(&repeated{text: text, times: times}, Options{}); ps.Failed() {
			t.Fatal(ps)
		}
		runtime.ReadMemStats(&after)
		return int64(after.TotalAlloc - before.TotalAlloc)
	}
	// The order in which cells of the grid come up lets slices grow differently.
	if short, long := used(1), used(100); long > short+64<<10 {
		t.Errorf("%d bytes for 10 thousand lines, %d for a million", short, long)
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"G21\nG90\nM83\nG1 X10 Y5 E2 F1200\nG2 X20 Y5 I5 J0 E1\nG3 X10 Y5 R5\nG10\nG11\nG28\nM2",
		"N7 G1 X1 Y2*45\nM201 X5\nM203 Z1\nM204 S100\nM205 X8 J0.01\nM207 S1 F60\nM208 S0\nM200 D1.75\nM220 S10\nM221 S20",
		"G1 X1 (a (b); c) Y2 E9.5e-05\nM117 100% (\nM115 U3.4.1\nG92\nT1000\nM600\nT?\nG29 P1\nG28 Z P0 T300\nM0 wait, (\nn3g1x1y2*9\n(more",
		"version https://store.example/spec/v1\noid sha256:00ff\nsize 123456\n",
		"M83\nG1 Z.2 F600\nG1 X200 E9\nG0 X80 Y80\nG1 X99 E1\nG1 Y99 E1\nG0 Z.4\nG1 X80 E1\nG1 Y80 E1\nG0 Z.6\nG2 X80 I9 J9 E1\nG0 Z.8\nG1 X99 E1",
		"g0x +0. 12 34y 7\nT1 M6\nG92 E0\nG92.1\nG18\nG4 S1\nDO_THIS X=1\nM117 hello (",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, ps := Read(strings.NewReader(string(data)), Options{})
		if (r == nil) != ps.Failed() {
			t.Fatal("a result with an error, or neither", ps)
		}
		if r == nil {
			return
		}
		for _, v := range []float64{r.Seconds, r.FilamentMM} {
			if !(v >= 0) || math.IsInf(v, 0) {
				t.Fatalf("%+v", r)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	text := spiral(500_000)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, ps := Read(strings.NewReader(text), Options{}); ps.Failed() {
			b.Fatal(ps)
		}
	}
}
