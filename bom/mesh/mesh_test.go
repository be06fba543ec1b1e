package mesh

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/fixtures/shapes"
)

func measure(data []byte, o Options) (Measures, bom.Problems) {
	f, problems := openOne(bytes.NewReader(data), int64(len(data)), o)
	if f == nil {
		return Measures{}, problems
	}
	m, more := f.Measure(0)
	return m, append(problems, more...)
}

// gaugeOf measures a mesh in full precision, without a file between.
func gaugeOf(t *testing.T, m shapes.Mesh) Measures {
	t.Helper()
	g := newGauge()
	if err := g.add(triangles(m)); err != nil {
		t.Fatal(err)
	}
	out, turned := g.measures()
	if turned {
		t.Error("the triangles look inwards")
	}
	return out
}

func triangles(m shapes.Mesh) []bom.Triangle {
	out := make([]bom.Triangle, len(m))
	for i, t := range m {
		out[i] = bom.Triangle{t[0], t[1], t[2]}
	}
	return out
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

var lathe32 = 64 // steps of the torus of the table

// Closed forms: V and A of the cuboid, the tetrahedron and the regular prism are
// exact for their meshes; the torus of 64 × 32 facets was computed from its
// facets in exact arithmetic. Any geometry handbook has the formulas.
func TestVolumeAndAreaOfKnownBodies(t *testing.T) {
	for _, c := range []struct {
		name         string
		mesh         shapes.Mesh
		volume, area float64
	}{
		{"cube 20", shapes.Box(20, 20, 20), 8000, 2400},
		{"tetrahedron 3 4 5", shapes.Tetrahedron(3, 4, 5), 10, 37.365424624},
		{"prism of 32 sides", shapes.Prism(32, 10, 20), 6242.890304516, 1878.908426670},
		{"torus 20 5, 64 × 32", shapes.Torus(20, 5, lathe32, 32), 9790.564080637, 3937.547834240},
	} {
		for _, far := range []float64{0, 1e6} { // a part far from the origin loses no digits of its own
			m := gaugeOf(t, c.mesh.Move(far, -far, far))
			within := 1e-10 + far*1e-15 // the coordinates themselves are rounded to 1e-10 mm out there
			if !near(m.VolumeMM3, c.volume, within) || !near(m.AreaMM2, c.area, within) {
				t.Errorf("%s at %g: %.9f mm³, %.9f mm², want %.9f and %.9f", c.name, far, m.VolumeMM3, m.AreaMM2, c.volume, c.area)
			}
			if !m.Closed || !m.Oriented {
				t.Errorf("%s at %g: closed %v, oriented %v", c.name, far, m.Closed, m.Oriented)
			}
		}
	}
}

// The formulas of the smooth bodies: sphere 4188.790205 and 1256.637061, torus
// 9869.604401 and 3947.841760, frustum 2199.114858 and 1005.309649. A mesh of n
// facets round is short of them by about (2π/n)²/6.
func TestMeshesComeNearTheSmoothBody(t *testing.T) {
	frustum := shapes.Revolve([][2]float64{{0, 0}, {10, 0}, {5, 12}, {0, 12}}, 4000, false)
	for _, c := range []struct {
		name         string
		mesh         shapes.Mesh
		volume, area float64
	}{
		{"sphere 10", shapes.Sphere(10, 700, 714), 4188.790205, 1256.637061},
		{"torus 20 5", shapes.Torus(20, 5, 707, 707), 9869.604401, 3947.841760},
		{"frustum 10 5 12", frustum, 2199.114858, 1005.309649},
	} {
		m := gaugeOf(t, c.mesh)
		if !near(m.VolumeMM3, c.volume, 5e-5) || !near(m.AreaMM2, c.area, 5e-5) {
			t.Errorf("%s: %.6f mm³, %.6f mm², want %.6f and %.6f", c.name, m.VolumeMM3, m.AreaMM2, c.volume, c.area)
		}
	}
}

// sphereVolume is the exact volume of the mesh of shapes.Sphere: frusta over
// regular n-gons, whose cross-section is n/2 sin(2π/n) r².
func sphereVolume(r float64, rings, n int) float64 {
	k := float64(n) / 2 * math.Sin(2*math.Pi/float64(n))
	sum := 0.0
	for i := range rings {
		a, b := math.Pi*float64(i)/float64(rings), math.Pi*float64(i+1)/float64(rings)
		ra, rb := r*math.Sin(a), r*math.Sin(b)
		sum += k * r * (math.Cos(a) - math.Cos(b)) / 3 * (ra*ra + ra*rb + rb*rb)
	}
	return sum
}

// A million triangles lose no digits in the sum: the facets' own volume, from
// the formula of the frustum, is met to 1e-9, and to single precision through a
// file.
func TestAMillionTriangles(t *testing.T) {
	const rings, n = 700, 714
	sphere := shapes.Sphere(10, rings, n)
	want := sphereVolume(10, rings, n)
	if m := gaugeOf(t, sphere); !near(m.VolumeMM3, want, 1e-9) {
		t.Errorf("sphere of %d triangles: %.9f mm³, want %.9f", m.Triangles, m.VolumeMM3, want)
	}
	m, ps := measure(sphere.STL(), Options{})
	if !near(m.VolumeMM3, want, 1e-6) || len(ps) > 0 {
		t.Errorf("through a file: %.9f mm³, want %.9f; %v", m.VolumeMM3, want, ps)
	}
}

func formatOf(data []byte) string {
	format, _ := Recognise(bytes.NewReader(data), int64(len(data)))
	return format
}

func TestTheFormatsAgree(t *testing.T) {
	torus := shapes.Torus(20, 5, 64, 32)
	want, ps := measure(torus.STL(), Options{})
	if format := formatOf(torus.STL()); len(ps) > 0 || format != BinarySTL {
		t.Fatal(format, ps)
	}
	ascii := torus.ASCII("a torus")
	for _, c := range []struct {
		name, format string
		data         []byte
	}{
		{"ASCII", ASCIISTL, ascii},
		{"ASCII in capitals", ASCIISTL, bytes.ToUpper(ascii)},
		{"ASCII with a mark and Windows line ends", ASCIISTL, append([]byte("\xef\xbb\xbf"), bytes.ReplaceAll(ascii, []byte("\n"), []byte("\r\n"))...)},
		{"ASCII on one line, as the format allows after the name", ASCIISTL, append([]byte("solid\n"), bytes.Join(bytes.Fields(ascii)[3:], []byte(" "))...)},
		{"3MF", ThreeMF, packed(t, "millimeter", meshObject(1, torus), item(1, ""))},
	} {
		m, ps := measure(c.data, Options{})
		if format := formatOf(c.data); format != c.format || len(ps) > 0 {
			t.Errorf("%s: told as %s; %v", c.name, format, ps)
		}
		if !near(m.VolumeMM3, want.VolumeMM3, 1e-6) || m.Triangles != want.Triangles || !m.Closed || !m.Oriented {
			t.Errorf("%s: %+v, want %+v", c.name, m, want)
		}
	}
}

func TestHeadersThatSaySolidAreTold(t *testing.T) {
	data := shapes.Box(20, 20, 20).STL()
	copy(data, "solid box    ")
	m, ps := measure(data, Options{})
	if formatOf(data) != BinarySTL || m.VolumeMM3 != 8000 || len(ps) > 0 {
		t.Errorf("%+v %v", m, ps)
	}
}

func TestWarnings(t *testing.T) {
	box := shapes.Box(20, 20, 20)
	clash := append(shapes.Mesh{{box[0][0], box[0][2], box[0][1]}}, box[1:]...)
	for _, c := range []struct {
		name, want     string
		mesh           shapes.Mesh
		open, clashing int64
	}{
		{"a triangle is missing", "the mesh is open: 3 edges belong to one triangle only", box[1:], 3, 0},
		{"a triangle is turned", "the triangles look different ways at 3 edges", clash, 0, 3},
		{"all triangles are turned", "the triangles look inwards", box.Turned(), 0, 0},
		{"metres", "is it in metres, or in inches?", shapes.Box(0.09, 0.06, 0.03), 0, 0},
		{"inches", "is it in inches?", shapes.Box(3.5, 2.4, 1.2), 0, 0},
		{"micrometres", "is it in micrometres?", shapes.Box(90000, 60000, 30000), 0, 0},
	} {
		m, ps := measure(c.mesh.STL(), Options{Name: "x.stl"})
		if ps.Failed() || len(ps) != 1 || !strings.Contains(ps[0].String(), c.want) {
			t.Errorf("%s: %v", c.name, ps)
		}
		if m.OpenEdges != c.open || m.ClashingEdges != c.clashing {
			t.Errorf("%s: %d open, %d clashing, want %d and %d", c.name, m.OpenEdges, m.ClashingEdges, c.open, c.clashing)
		}
	}
}

// An open mesh has a volume only about a point; about its middle it is the same
// wherever the mesh stands and whichever triangle comes first.
func TestAnOpenMeshIsMeasuredAboutItsMiddle(t *testing.T) {
	lidless := shapes.Box(20, 20, 20)
	var open shapes.Mesh
	for _, tr := range lidless {
		if tr[0][2]+tr[1][2]+tr[2][2] < 60 {
			open = append(open, tr)
		}
	}
	// five of the six pyramids from the middle of the cube to its faces
	want := 8000.0 * 5 / 6
	for _, far := range []float64{0, 1000} {
		if m := gaugeOf(t, open.Move(far, far, far)); !near(m.VolumeMM3, want, 1e-9) {
			t.Errorf("at %g: %.9f mm³, want %.9f", far, m.VolumeMM3, want)
		}
	}
}

func TestLoadKeepsTrianglesThatLookOutwards(t *testing.T) {
	data := shapes.Box(20, 30, 40).Turned().STL()
	s, m, ps := Load(bytes.NewReader(data), int64(len(data)), Options{})
	if ps.Failed() || len(s.Triangles) != 12 || s.Size() != (bom.Point{20, 30, 40}) || m.VolumeMM3 != 24000 {
		t.Fatalf("%+v %v", m, ps)
	}
	g := newGauge()
	g.add(s.Triangles)
	if _, turned := g.measures(); turned {
		t.Error("the triangles still look inwards")
	}
}

func meshObject(id int, m shapes.Mesh) string {
	var v, f strings.Builder
	index := map[shapes.Point]int{}
	for _, t := range m {
		var k [3]int
		for i, p := range t {
			n, ok := index[p]
			if !ok {
				n = len(index)
				index[p] = n
				fmt.Fprintf(&v, `<vertex x="%v" y="%v" z="%v"/>`, p[0], p[1], p[2])
			}
			k[i] = n
		}
		fmt.Fprintf(&f, `<triangle v1="%d" v2="%d" v3="%d"/>`, k[0], k[1], k[2])
	}
	return fmt.Sprintf(`<object id="%d" type="model"><mesh><vertices>%s</vertices><triangles>%s</triangles></mesh></object>`, id, v.String(), f.String())
}

func item(id int, transform string) string {
	return fmt.Sprintf(`<item objectid="%d" transform="%s"/>`, id, transform)
}

func modelXML(unit, resources, build string) string {
	return `<?xml version="1.0" encoding="UTF-8"?><model unit="` + unit + `" xmlns="` + coreSpace + `"><resources>` + resources +
		`</resources><build>` + build + `</build></model>`
}

func archive(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		w.Write([]byte(parts[name]))
	}
	z.Close()
	return b.Bytes()
}

func packed(t testing.TB, unit, resources, build string) []byte {
	return archive(t, map[string]string{usualModel: modelXML(unit, resources, build)})
}

func TestThreeMF(t *testing.T) {
	box := meshObject(1, shapes.Box(1, 2, 3))
	two := `<object id="2"><components><component objectid="1"/><component objectid="1" transform="1 0 0 0 1 0 0 0 1 10 0 0"/></components></object>`
	for _, c := range []struct {
		why          string
		data         []byte
		volume       float64
		sizeX, sizeY float64
	}{
		{"inches", packed(t, "inch", box, item(1, "")), 6 * 25.4 * 25.4 * 25.4, 25.4, 50.8},
		{"a component in place twice", packed(t, "centimeter", box+two, item(2, "")), 12000, 110, 20},
		{"an item twice as large along X", packed(t, "millimeter", box, item(1, "2 0 0 0 1 0 0 0 1 0 0 0")), 12, 2, 2},
		{"a quarter turn about Z", packed(t, "millimeter", box, item(1, "0 1 0 -1 0 0 0 0 1 5 5 5")), 6, 2, 1},
		{"a mirror image is not turned inside out", packed(t, "millimeter", box, item(1, "-1 0 0 0 1 0 0 0 1 0 0 0")), 6, 1, 2},
		{"an item's move comes after the component's: translate, then scale by 2", packed(t, "millimeter", box+two, item(2, "2 0 0 0 2 0 0 0 2 0 0 0")), 96, 22, 4},
		{"the model part is where the relationship says", archive(t, map[string]string{
			rootRels:          `<Relationships xmlns="` + relSpace + `"><Relationship Target="/odd/place.model" Id="r" Type="` + modelType + `"/></Relationships>`,
			"odd/place.model": modelXML("micron", box, item(1, "1000 0 0 0 1000 0 0 0 1000 0 0 0"))}), 6, 1, 2},
	} {
		m, ps := measure(c.data, Options{})
		size := m.Size()
		if len(ps) > 0 || !near(m.VolumeMM3, c.volume, 1e-12) || !near(size[0], c.sizeX, 1e-12) || !near(size[1], c.sizeY, 1e-12) {
			t.Errorf("%s: %v mm³, %v; %v", c.why, m.VolumeMM3, size, ps)
		}
	}
}

func TestThreeMFSupportsAreNotCounted(t *testing.T) {
	other := strings.Replace(meshObject(2, shapes.Box(5, 5, 5)), `type="model"`, `type="support"`, 1)
	m, ps := measure(packed(t, "millimeter", meshObject(1, shapes.Box(10, 10, 10))+other, item(1, "")+item(2, "")), Options{Name: "a.3mf"})
	if want := "a.3mf: note: objects that are not of the part are left out: 2 (support)"; m.VolumeMM3 != 1000 || len(ps) != 1 || ps[0].Graded() != want {
		t.Errorf("%v mm³, %v", m.VolumeMM3, ps)
	}
}

func TestBadFiles(t *testing.T) {
	box := shapes.Box(20, 20, 20)
	stl, ascii := box.STL(), string(box.ASCII("box"))
	object := meshObject(1, shapes.Box(10, 10, 10))
	holds := func(id, other int) string {
		return fmt.Sprintf(`<object id="%d"><components><component objectid="%d"/></components></object>`, id, other)
	}
	doubling := object
	for i := 2; i < 60; i++ { // 2^58 boxes
		doubling += fmt.Sprintf(`<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i, i-1, i-1)
	}
	nan := bytes.Clone(stl)
	binary.LittleEndian.PutUint32(nan[84+50*3+12:], math.Float32bits(float32(math.NaN())))
	none := make([]byte, 84)
	bad3MF := packed(t, "millimeter", object, item(1, ""))
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"nothing", nil, "the file is empty"},
		{"too short for a header", stl[:50], "the file ends at byte 50"},
		{"cut in a triangle", stl[:84+50*3+7], "the file ends at byte 241, inside triangle 4 of 12"},
		{"no triangles", none, "the mesh has no triangles"},
		{"not a number", nan, "triangle 4 has a corner that is not a place"},
		{"flat", shapes.Mesh{{{0, 0, 0}, {10, 0, 0}, {0, 10, 0}}, {{0, 0, 0}, {0, 10, 0}, {10, 0, 0}}}.STL(), "encloses no volume"},
		{"rubbish", bytes.Repeat([]byte{0xfe, 0x13, 0x77, 0x81}, 50), "the content is neither STL nor 3MF"},
		{"text of another kind", []byte(strings.Repeat("to be or not to be\n", 20)), "the content is neither STL nor 3MF"},
		{"ASCII, cut in a facet", []byte(ascii[:300]), "the file ends inside a facet"},
		{"ASCII, cut after a facet", []byte(strings.TrimSuffix(ascii, "endsolid box\n")), "the file ends inside a solid"},
		{"ASCII, a word for a number", []byte(strings.Replace(ascii, "vertex 0", "vertex nan0", 1)), "b.stl:4: this is no coordinate"},
		{"ASCII, NaN", []byte(strings.Replace(ascii, "0.00000000e+00", "NaN", 1)), "b.stl:4: this is no coordinate"},
		{"ASCII, infinite", []byte(strings.Replace(ascii, "0.00000000e+00", "1e400", 1)), "b.stl:4: this is no coordinate"},
		{"ASCII, four corners", []byte(strings.Replace(ascii, "    endloop", "vertex 1 2 3\n    endloop", 1)), "b.stl:7: this does not belong in a facet"},
		{"ASCII, an endless word", []byte("solid x\n" + strings.Repeat("a", 1<<20)), "b.stl:2: this is too long for a word"},
		{"ASCII, nothing in it", []byte("solid x\nendsolid x\n"), "the mesh has no triangles"},
		{"ASCII, text behind", []byte(ascii + "more"), "text stands outside a solid"},
		{"3MF, cut", bad3MF[:len(bad3MF)-40], "the 3MF package is damaged"},
		{"3MF, a bit wrong in the model", flipped(bad3MF, 200), "is damaged at byte"},
		{"zip without a model", archive(t, map[string]string{rootRels: "<a/>"}), "holds no 3MF model"},
		{"3MF, bad XML", archive(t, map[string]string{usualModel: "<model><a></model>"}), "is damaged at byte"},
		{"3MF, a circle", packed(t, "millimeter", holds(1, 2)+holds(2, 3)+holds(3, 1), item(1, "")), "an object holds itself"},
		{"3MF, an object in itself", packed(t, "millimeter", holds(1, 1), item(1, "")), "an object holds itself"},
		{"3MF, doubled sixty times", packed(t, "millimeter", doubling, item(59, "")), "too many"},
		{"3MF, no such object", packed(t, "millimeter", object, item(9, "")), "there is no such object"},
		{"3MF, builds nothing", packed(t, "millimeter", object, ""), "the model has no build items"},
		{"3MF, no such vertex", packed(t, "millimeter", strings.Replace(object, `v1="0"`, `v1="99"`, 1), item(1, "")), "the triangle's v1 names no vertex"},
		{"3MF, negative vertex", packed(t, "millimeter", strings.Replace(object, `v1="0"`, `v1="-1"`, 1), item(1, "")), "the triangle's v1 names no vertex"},
		{"3MF, a word for a number", packed(t, "millimeter", strings.Replace(object, `x="0"`, `x="NaN"`, 1), item(1, "")), "the vertex has no place along x"},
		{"3MF, unknown unit", packed(t, "cubit", object, item(1, "")), "the unit is not known"},
		{"3MF, eleven numbers", packed(t, "millimeter", object, item(1, "1 0 0 0 1 0 0 0 1 0 0")), "this is no transform"},
		{"3MF, two of one id", packed(t, "millimeter", object+object, item(1, "")), "two objects have the same id"},
		{"3MF, deep elements", packed(t, "millimeter", strings.Repeat("<a>", 1000)+strings.Repeat("</a>", 1000), item(1, "")), "elements nest deeper than 200"},
		{"3MF, needs an extension", archive(t, map[string]string{usualModel: strings.Replace(modelXML("millimeter", object, item(1, "")),
			"unit=", `requiredextensions="p" unit=`, 1)}), "cannot be understood without an extension"},
		{"a pointer", []byte("version https://store.example/spec/v1\noid sha256:00ff\nsize 123456\n"), "b.stl: is a pointer to a file kept elsewhere; fetch the file itself"},
		{"a packed toolpath", append([]byte("GCDE\x01"), make([]byte, 200)...), "b.stl: is a toolpath packed in binary form"},
		{"3MF, a bomb", packed(t, "millimeter", strings.Repeat(" ", 20<<20), item(1, "")), "times its size"},
	} {
		m, ps := measure(c.data, Options{Name: "b.stl"})
		if !ps.Failed() || !strings.Contains(fmt.Sprint(ps), c.want) {
			t.Errorf("%s: %+v %v, want %q", c.name, m, ps, c.want)
		}
		if s, _, _ := Load(bytes.NewReader(c.data), int64(len(c.data)), Options{}); s != nil {
			t.Errorf("%s: a solid came back with the error", c.name)
		}
	}
}

func flipped(data []byte, at int) []byte {
	out := bytes.Clone(data)
	out[at] ^= 0x10
	return out
}

func TestLimits(t *testing.T) {
	box := shapes.Box(20, 20, 20)
	three := packed(t, "millimeter", meshObject(1, box), item(1, "")+item(1, ""))
	for _, c := range []struct {
		why    string
		data   []byte
		limits Limits
		want   string
	}{
		{"size of the file", box.STL(), Limits{Bytes: 100}, "the file is too large"},
		{"triangles, binary", box.STL(), Limits{Triangles: 11}, "too many triangles"},
		{"triangles, ASCII", box.ASCII(""), Limits{Triangles: 11}, "too many triangles"},
		{"triangles, 3MF, counted in place", three, Limits{Triangles: 23}, "too many triangles"},
		{"triangles kept", box.STL(), Limits{Kept: 11}, "too many triangles to be cut"},
		{"a part unpacked", three, Limits{Expanded: 500}, "too large when it is unpacked"},
		{"instances", three, Limits{Instances: 1}, "too many objects in place"},
	} {
		if _, _, ps := Load(bytes.NewReader(c.data), int64(len(c.data)), Options{Limits: c.limits}); !strings.Contains(fmt.Sprint(ps), c.want) {
			t.Errorf("%s: %v", c.why, ps)
		}
	}
}

func TestMoreBehindTheLastTriangle(t *testing.T) {
	m, ps := measure(append(shapes.Box(20, 20, 20).STL(), "trailer"...), Options{})
	if m.VolumeMM3 != 8000 || len(ps) != 1 || ps[0].Severity != bom.Warning {
		t.Errorf("%+v %v", m, ps)
	}
}

func TestRecognise(t *testing.T) {
	box := shapes.Box(20, 20, 20)
	for _, c := range []struct {
		why, want string
		data      []byte
	}{
		{"binary", BinarySTL, box.STL()},
		{"ASCII", ASCIISTL, box.ASCII("box")},
		{"3MF", ThreeMF, packed(t, "inch", meshObject(1, box), item(1, ""))},
		{"binary, cut: its reader says so", BinarySTL, box.STL()[:200]},
		{"a toolpath", "", []byte("G21\nG90\nG1 X10 E1\n")},
		{"nothing", "", nil},
	} {
		if got, err := Recognise(bytes.NewReader(c.data), int64(len(c.data))); got != c.want || err != nil {
			t.Errorf("%s: %q %v, want %q", c.why, got, err, c.want)
		}
	}
}

func TestProgressReachesTheEnd(t *testing.T) {
	data := shapes.Torus(20, 5, 100, 100).STL()
	last := int64(0)
	measure(data, Options{Progress: func(n int64) { last = n }})
	if last != int64(len(data)) {
		t.Errorf("told %d of %d bytes", last, len(data))
	}
}

// admesh, packaged by Debian, is an independent reader. It sums in single
// precision, hence the tolerance: it is up to 1.3e-5 off the closed form of these
// bodies.
func TestAgainstADMesh(t *testing.T) {
	program, err := exec.LookPath("admesh")
	if err != nil {
		if os.Getenv("TENOFF_REQUIRE_REFERENCES") == "1" {
			t.Fatal("admesh is not installed")
		}
		t.Skip("admesh is not installed")
	}
	volume := regexp.MustCompile(`Volume\s*:\s*(-?[0-9.]+)`)
	for name, mesh := range map[string]shapes.Mesh{
		"cube": shapes.Box(20, 20, 20), "sphere": shapes.Sphere(10, 50, 50), "torus": shapes.Torus(20, 5, 64, 32),
		"tube": shapes.Tube(20, 17, 30, 200), "case": shapes.Case(), "lid": shapes.Lid(), "stake": shapes.Stake(),
		"upper cap": shapes.CapUpper(), "lower cap": shapes.CapLower(),
	} {
		if len(mesh) > 5000 {
			t.Errorf("%s has %d triangles, too many for single precision", name, len(mesh))
		}
		for _, data := range [][]byte{mesh.STL(), mesh.ASCII(name)} {
			file := filepath.Join(t.TempDir(), "mesh.stl")
			if err := os.WriteFile(file, data, 0o666); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command(program, file).CombinedOutput()
			found := volume.FindSubmatch(out)
			if err != nil || found == nil {
				t.Fatalf("%s: %v\n%s", name, err, out)
			}
			want, _ := strconv.ParseFloat(string(found[1]), 64)
			if m, ps := measure(data, Options{}); len(ps) > 0 || !near(m.VolumeMM3, want, 2e-5) {
				t.Errorf("%s: %v mm³, the reference says %v; %v", name, m.VolumeMM3, want, ps)
			}
		}
	}
}

// Every key raises a limit, and what is over it is then read.
func TestRaisedLimits(t *testing.T) {
	for _, key := range LimitKeys {
		l := DefaultLimits()
		if err := l.Set(key, 7); err != nil || l == DefaultLimits() {
			t.Errorf("%s: %v", key, err)
		}
	}
	for _, bad := range []struct {
		key   string
		value int64
	}{{"rows", 1}, {"triangles", 0}, {"triangles", -1}, {"print-mb", 1 << 40}} {
		if l := DefaultLimits(); l.Set(bad.key, bad.value) == nil || l != DefaultLimits() {
			t.Errorf("--limit %s=%d is taken", bad.key, bad.value)
		}
	}
	data := shapes.Box(20, 20, 20).STL()
	l := Limits{Kept: 11, Triangles: 11}
	if err := l.Set("triangles", 12); err != nil {
		t.Fatal(err)
	}
	if solid, _, ps := Load(bytes.NewReader(data), int64(len(data)), Options{Limits: l}); solid == nil {
		t.Error(ps)
	}
}

// A tag with more attributes than any model has is refused before they are kept.
func TestLongTag(t *testing.T) {
	model := `<model xmlns="` + coreSpace + `"><a` + strings.Repeat(` b=""`, 400_000) + `/></model>`
	_, ps := measure(archive(t, map[string]string{usualModel: model}), Options{})
	if len(ps) != 1 || !strings.Contains(ps[0].What, "more than 1000 attributes") || ps[0].Want == "" {
		t.Error(ps)
	}
}

func FuzzMesh(f *testing.F) {
	box := shapes.Box(20, 20, 20)
	f.Add(box.STL())
	f.Add(box.ASCII("box"))
	f.Add(packed(f, "inch", meshObject(1, box), item(1, "1 0 0 0 1 0 0 0 1 0 0 0")))
	f.Add([]byte("solid x\nfacet normal 0 0 1 outer loop vertex 1 2 3"))
	f.Add(append(box[:11].STL(), box[:11].ASCII("open, and twice")...))
	f.Fuzz(func(t *testing.T, data []byte) {
		o := Options{Limits: Limits{Expanded: 1 << 20, Triangles: 10_000}}
		m, ps := measure(data, o)
		if !ps.Failed() && !(m.VolumeMM3 > 0 && m.AreaMM2 > 0 && m.Triangles > 0) {
			t.Fatalf("measures without an error: %+v", m)
		}
		s, again, ps2 := Load(bytes.NewReader(data), int64(len(data)), o)
		if again != m || ps2.Failed() != ps.Failed() || (s == nil) != ps.Failed() {
			t.Fatalf("measured %+v, loaded %+v", m, again)
		}
		if s != nil && m.VolumeMM3 > 1e-6*m.AreaMM2 { // flatter ones lie at the edge of what is a body
			sameAgain(t, s)
		}
	})
}

// sameAgain writes a solid as text and reads it again: every corner is where it
// was, to the last bit.
func sameAgain(t *testing.T, s *bom.Solid) {
	var b strings.Builder
	b.WriteString("solid again\n")
	for _, tri := range s.Triangles {
		b.WriteString("facet normal 0 0 0 outer loop\n")
		for _, p := range tri {
			fmt.Fprintf(&b, "vertex %v %v %v\n", p[0], p[1], p[2])
		}
		b.WriteString("endloop endfacet\n")
	}
	b.WriteString("endsolid again\n")
	again, _, ps := Load(strings.NewReader(b.String()), int64(b.Len()), Options{})
	if again == nil || !slices.Equal(again.Triangles, s.Triangles) || again.Min != s.Min || again.Max != s.Max {
		t.Fatalf("written and read again, %v is %v, %v", s, again, ps)
	}
}

// The model of a 3MF file is fuzzed as elements, since a fuzzer seldom gets
// through compression and well-formed XML: each byte opens an element with some
// attributes, or closes one.
func FuzzModel(f *testing.F) {
	elements := []string{"model", "resources", "object", "mesh", "vertices", "vertex", "triangles", "triangle", "components", "component", "build", "item"}
	attributes := []string{``, ` id="1"`, ` id="2" type="support"`, ` objectid="1"`, ` objectid="2"`, ` x="0" y="0" z="0"`, ` x="9" y="1" z="1"`,
		` x="1" y="9" z="2"`, ` x="1" y="2" z="9"`, ` v1="0" v2="1" v3="2"`, ` v1="3" v2="1" v3="0"`, ` unit="inch"`,
		` objectid="1" transform="2 0 0 0 1 0 0 0 -1 5 5 5"`, ` x="1e308" y="-0" z="+.5"`, ` v1="4294967296" v2="" v3="-1"`, ` objectid="1" transform="1e9 1 1"`}
	const closing = 255
	tetrahedron := []byte{0, 0, 1, 0, 2, 1, 3, 0, 4, 0, 5, 5, closing, 5, 6, closing, 5, 7, closing, 5, 8, closing, closing, 6, 0,
		7, 9, closing, 7, 10, closing, closing, closing, closing, closing, 10, 0, 11, 3, closing, closing}
	f.Add(tetrahedron)
	f.Add([]byte{0, 11, 1, 0, 2, 2, 8, 0, 9, 3, closing, 9, 4, closing, closing, closing, closing, 10, 0, 11, 4})
	f.Fuzz(func(t *testing.T, data []byte) {
		var b strings.Builder
		var open []string
		for i := 0; i+1 < len(data); i += 2 {
			if data[i] == closing {
				if n := len(open); n > 0 {
					b.WriteString("</" + open[n-1] + ">")
					open = open[:n-1]
				}
				i--
				continue
			}
			e := elements[int(data[i])%len(elements)]
			open = append(open, e)
			b.WriteString("<" + e + attributes[int(data[i+1])%len(attributes)])
			if len(open) == 1 {
				b.WriteString(` xmlns="` + coreSpace + `"`)
			}
			b.WriteString(">")
		}
		for i := len(open) - 1; i >= 0; i-- {
			b.WriteString("</" + open[i] + ">")
		}
		m, ps := measure(archive(t, map[string]string{usualModel: b.String()}), Options{Limits: Limits{Expanded: 1 << 20, Triangles: 10_000}})
		if !ps.Failed() && !(m.VolumeMM3 > 0) {
			t.Fatalf("measures without an error: %+v", m)
		}
	})
}

func benchmark(b *testing.B, data []byte) {
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, ps := measure(data, Options{}); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

func BenchmarkBinarySTL(b *testing.B) { benchmark(b, shapes.Sphere(10, 700, 714).STL()) }
func BenchmarkASCIISTL(b *testing.B)  { benchmark(b, shapes.Sphere(10, 350, 357).ASCII("sphere")) }
func Benchmark3MF(b *testing.B) {
	benchmark(b, packed(b, "millimeter", meshObject(1, shapes.Sphere(10, 150, 150)), item(1, "")))
}

// An open mesh is gone through again to count its open edges.
func BenchmarkOpenSTL(b *testing.B) { benchmark(b, shapes.Sphere(10, 350, 357)[1:].STL()) }

// The reference on the same mesh as BenchmarkBinarySTL.
func BenchmarkADMesh(b *testing.B) {
	program, err := exec.LookPath("admesh")
	if err != nil {
		b.Skip("admesh is not installed")
	}
	data := shapes.Sphere(10, 700, 714).STL()
	file := filepath.Join(b.TempDir(), "mesh.stl")
	if err := os.WriteFile(file, data, 0o666); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if err := exec.Command(program, "-c", file).Run(); err != nil {
			b.Fatal(err)
		}
	}
}
