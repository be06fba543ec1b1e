package mesh

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/fixtures/shapes"
)

const (
	lidPart  = "3D/Objects/lid.model"
	footPart = "3D/Objects/a foot.model"
)

// namespaces are declared by root.
const namespaces = ` xmlns="` + coreSpace + `" xmlns:p="` + prodSpace + `" xmlns:pa="http://schemas.microsoft.com/3dmanufacturing/production/alternatives/2021/04"` +
	` xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02" xmlns:b="http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02"` +
	` xmlns:s="http://schemas.microsoft.com/3dmanufacturing/slice/2015/07" xmlns:bo="http://schemas.3mf.io/3dmanufacturing/booleanoperations/2023/07"` +
	` xmlns:v="http://schemas.3mf.io/3dmanufacturing/volumetric/2022/01" xmlns:own="http://maker.example/settings"`

// root is a model with attributes of its own.
func root(attributes, resources, build string) string {
	return `<model` + namespaces + attributes + `><resources>` + resources + `</resources><build>` + build + `</build></model>`
}

func open3(t *testing.T, parts map[string]string, piece string) (*File, bom.Problems) {
	t.Helper()
	data := archive(t, parts)
	return Open(bytes.NewReader(data), int64(len(data)), Options{Name: "case.3mf", Piece: piece})
}

// trianglesOf keeps those of a piece.
func trianglesOf(t *testing.T, f *File, i int) []bom.Triangle {
	t.Helper()
	s, _, ps := f.Load(i)
	if s == nil {
		t.Fatal(ps)
	}
	return s.Triangles
}

// A model whose objects stand in parts of their own, named by items and by
// components, is the same as one in which they stand in the same part (Production
// Extension 1.2, chapters 2 and 3). The example's shapes are a box, a prism and
// both together.
func TestPartsOfAPackageAreOneModel(t *testing.T) {
	lid, foot := meshObject(1, shapes.Box(30, 20, 4)), meshObject(7, shapes.Prism(12, 3, 6))
	moved, turned := "1 0 0 0 1 0 0 0 1 5 -5 20", "0 2 0 -2 0 0 0 0 2 1 2 3"
	component := func(path string, id int, transform string) string {
		return fmt.Sprintf(`<component %s objectid="%d" transform="%s"/>`, path, id, transform)
	}
	whole := root("", lid+foot+`<object id="9"><components>`+component("", 1, moved)+component("", 7, turned)+`</components></object>`,
		item(9, turned)+item(7, moved))
	inLid, inFoot := `p:path="/3D/Objects/lid.model"`, `p:path="/3D/Objects/a%20foot.model"`
	apart := root(` requiredextensions="p"`, `<object id="9"><components>`+component(inLid, 1, moved)+component(inFoot, 7, turned)+`</components></object>`,
		item(9, turned)+`<item p:path="/3D/objects/A Foot.model" p:UUID="0" objectid="7" transform="`+moved+`"/>`)
	want, ps := open3(t, map[string]string{usualModel: whole}, "")
	if want == nil || len(ps) > 0 {
		t.Fatal(ps)
	}
	got, ps := open3(t, map[string]string{usualModel: apart, lidPart: root("", lid, item(1, "")), footPart: root(` requiredextensions="m"`, foot, "")}, "")
	if got == nil || len(ps) > 0 {
		t.Fatal(ps)
	}
	if len(got.Pieces) != 2 || len(want.Pieces) != 2 {
		t.Fatalf("%v and %v", got.Pieces, want.Pieces)
	}
	for i := range got.Pieces {
		if !slices.Equal(trianglesOf(t, got, i), trianglesOf(t, want, i)) {
			t.Errorf("piece %d is another", i)
		}
	}
}

// Each part of a package counts in its own unit; transforms count in that of the
// part they stand in.
func TestPartsCountInTheirOwnUnit(t *testing.T) {
	lid := root(` unit="inch"`, meshObject(1, shapes.Box(1, 2, 3)), "")
	cm := root(` unit="centimeter"`, `<object id="2"><components><component p:path="/`+lidPart+`" objectid="1" transform="1 0 0 0 1 0 0 0 1 10 0 0"/></components></object>`, item(2, ""))
	f, ps := open3(t, map[string]string{usualModel: cm, lidPart: lid}, "")
	if f == nil {
		t.Fatal(ps)
	}
	m, ps := f.Measure(0)
	if size := m.Size(); !near(size[0], 25.4, 1e-12) || !near(size[2], 76.2, 1e-12) || !near(m.Min[0], 100, 1e-12) || len(ps) > 0 {
		t.Errorf("%v from %v; %v", size, m.Min, ps)
	}
}

// plate is a lid, a body turned three ways, a larger body, a foot that is not to
// be printed and a support.
func plate() map[string]string {
	named := func(object, name string) string { return strings.Replace(object, "<object ", "<object "+name+" ", 1) }
	resources := named(meshObject(1, shapes.Box(30, 20, 4)), `name="lid"`) + named(meshObject(2, shapes.Box(30, 20, 10)), `name=" Big  body" partnumber="B-2"`) +
		named(meshObject(3, shapes.Box(5, 5, 5)), `name="foot"`) + strings.Replace(meshObject(4, shapes.Box(9, 9, 9)), `type="model"`, `type="solidsupport"`, 1)
	build := item(1, "") + item(2, "") + item(2, "0 1 0 -1 0 0 0 0 1 50 0 0") + item(2, "0.6 0.8 0 -0.8 0.6 0 0 0 1 90 0 0") +
		`<item objectid="2" transform="2 0 0 0 1 0 0 0 1 0 0 0" partnumber="wide one"/>` +
		`<item objectid="3" printable="0"/>` + item(4, "") + item(2, "1 0 0 0 0 1 0 -1 0 0 0 50")
	return map[string]string{usualModel: root("", resources, build)}
}

const plateText = `holds 6 pieces: 1 "lid", 2 "Big  body" × 3, 5 "Big  body", 8 "Big  body"; name one: case.3mf#1, or case.3mf#all for all of them as one piece`

func TestPiecesOfABuild(t *testing.T) {
	f, ps := open3(t, plate(), "")
	if f == nil {
		t.Fatal(ps)
	}
	want := []string{
		"case.3mf: note: objects that are not of the part are left out: 4 (solidsupport)",
		"case.3mf: note: item 6 of the build is marked not to be printed and left out",
	}
	for i, p := range ps {
		if len(ps) != len(want) || p.Graded() != want[i] {
			t.Errorf("%v", ps)
		}
	}
	var got []string
	for i, p := range f.Pieces {
		m, ps := f.Measure(i)
		got = append(got, fmt.Sprintf("%s %q × %d: %.0f", p.File, p.Name, p.Copies, m.VolumeMM3))
		if len(ps) > 0 {
			t.Error(ps)
		}
	}
	if text := strings.Join(got, "\n"); text != `case.3mf#1 "lid" × 1: 2400
case.3mf#2 "Big  body" × 3: 6000
case.3mf#5 "Big  body" × 1: 12000
case.3mf#8 "Big  body" × 1: 6000` {
		t.Error(text)
	}
	data := archive(t, plate())
	if _, _, ps := Load(bytes.NewReader(data), int64(len(data)), Options{Name: "case.3mf"}); !ps.Failed() || ps[len(ps)-1].String() != "case.3mf: "+plateText {
		t.Error(ps)
	}
}

func TestAPieceByNumberOrName(t *testing.T) {
	for _, c := range []struct {
		piece, file string
		volume      float64
	}{
		{"1", "case.3mf#1", 2400}, {"3", "case.3mf#3", 6000}, {"5", "case.3mf#5", 12000}, {"LID", "case.3mf#LID", 2400},
		{"wide one", "case.3mf#wide one", 12000}, {"all", "case.3mf#all", 2400 + 3*6000 + 12000 + 6000},
	} {
		f, ps := open3(t, plate(), c.piece)
		if f == nil || len(f.Pieces) != 1 || f.Pieces[0].Copies != 1 {
			t.Errorf("%s: %v", c.piece, ps)
			continue
		}
		s, m, more := f.Load(0)
		if s == nil || f.Pieces[0].File != c.file || !near(m.VolumeMM3, c.volume, 1e-9) || len(more) > 0 {
			t.Errorf("%s: %v, %v; %v", c.piece, f.Pieces[0].File, m.VolumeMM3, more)
		}
	}
	for piece, want := range map[string]string{
		"9":        "the build has no item of that number",
		"0":        "the build has no item of that number",
		"6":        "that item of the build is marked not to be printed",
		"7":        "that item of the build is not of the part to be printed",
		"foot":     "the file holds no piece of that name",
		"hat":      `the file holds no piece of that name ("hat"); 6 pieces: 1 "lid", 2 "Big  body" × 3`,
		"big body": `several pieces go by that name ("big body"); the number of one: 3 pieces: 2 "Big  body", 5 "Big  body", 8 "Big  body"`,
		"B-2":      "several pieces go by that name",
	} {
		if f, ps := open3(t, plate(), piece); f != nil || !strings.Contains(fmt.Sprint(ps), want) {
			t.Errorf("%s: %v", piece, ps)
		}
	}
}

// One name may stand on copies: they are the same piece.
func TestCopiesGoByOneName(t *testing.T) {
	parts := map[string]string{usualModel: root("", strings.Replace(meshObject(1, shapes.Box(3, 2, 1)), "<object ", `<object name="clip" `, 1),
		strings.Repeat(item(1, ""), 6))}
	f, ps := open3(t, parts, "clip")
	if f == nil || f.Pieces[0].File != "case.3mf#clip" || len(ps) > 0 {
		t.Error(ps)
	}
	data := archive(t, parts)
	if _, ps := measure(data, Options{Name: "case.3mf"}); fmt.Sprint(ps) != `[case.3mf: holds 6 pieces: 1 "clip" × 6; name one: case.3mf#1, or case.3mf#all for all of them as one piece]` {
		t.Error(ps)
	}
}

// All pieces as one come to the sum of the items, wherever they stand.
func TestAllIsTheSumOfTheItems(t *testing.T) {
	all, _ := open3(t, plate(), allPieces)
	m, _ := all.Measure(0)
	each, _ := open3(t, plate(), "")
	var volume, area float64
	var triangles int64
	for i, p := range each.Pieces {
		one, _ := each.Measure(i)
		n := float64(p.Copies)
		volume, area, triangles = volume+n*one.VolumeMM3, area+n*one.AreaMM2, triangles+int64(p.Copies)*one.Triangles
	}
	if !near(m.VolumeMM3, volume, 1e-12) || !near(m.AreaMM2, area, 1e-12) || m.Triangles != triangles {
		t.Errorf("%+v, want %v mm³, %v mm², %d triangles", m, volume, area, triangles)
	}
}

// An item of one piece needs no name, and takes its number, "all" or its name.
func TestAFileOfOnePiece(t *testing.T) {
	one := map[string]string{usualModel: root("", meshObject(1, shapes.Box(1, 2, 3)), `<item objectid="1" partnumber="x-1"/>`)}
	for piece, file := range map[string]string{"": "case.3mf", "1": "case.3mf#1", "X-1": "case.3mf#X-1", "all": "case.3mf#all"} {
		if f, ps := open3(t, one, piece); f == nil || f.Pieces[0].File != file {
			t.Errorf("%q: %v", piece, ps)
		}
	}
	stl := shapes.Box(1, 2, 3).STL()
	for piece, ok := range map[string]bool{"": true, "1": true, "all": true, "2": false, "lid": false} {
		if _, ps := measure(stl, Options{Name: "a.stl", Piece: piece}); ps.Failed() == ok || !ok && !strings.Contains(fmt.Sprint(ps), "an STL file is one piece") {
			t.Errorf("%q: %v", piece, ps)
		}
	}
}

// The name of a piece is the object's, else that of its only component, else a
// part number.
func TestNamesOfPieces(t *testing.T) {
	box := strings.Replace(meshObject(1, shapes.Box(1, 2, 3)), "<object ", `<object partnumber="p-1" NAME `, 1)
	outer := `<object id="2" OUTER><components><component objectid="1"/></components></object>`
	for _, c := range []struct{ name, outer, item, want string }{
		{`name="inner"`, `name="outer"`, `partnumber="i"`, "outer"},
		{`name="inner"`, ``, `partnumber="i"`, "inner"},
		{``, ``, `partnumber="i"`, "i"},
		{``, `partnumber="o"`, ``, "o"},
		{``, ``, ``, ""},
	} {
		f, ps := open3(t, map[string]string{usualModel: root("", strings.Replace(box, "NAME", c.name, 1)+strings.Replace(outer, "OUTER", c.outer, 1), `<item objectid="2" `+c.item+`/>`)}, "")
		if f == nil || f.Pieces[0].Name != c.want {
			t.Errorf("%+v: %v", c, ps)
		}
	}
}

// The type of an object with components says nothing; that of the meshes in it
// does (Core Specification 1.4, chapter 4).
func TestTypesInsideOfComponents(t *testing.T) {
	for _, kind := range []string{"support", "solidsupport", "surface", "other"} {
		brace := strings.Replace(meshObject(2, shapes.Box(5, 5, 5)), `type="model"`, `type="`+kind+`" name="brace"`, 1)
		both := `<object id="3" type="support"><components><component objectid="1"/><component objectid="2"/></components></object>`
		f, ps := open3(t, map[string]string{usualModel: root("", meshObject(1, shapes.Box(10, 10, 10))+brace+both, item(3, ""))}, "")
		if f == nil || len(ps) != 1 || ps[0].Graded() != `case.3mf: note: objects that are not of the part are left out: 2 "brace" (`+kind+`)` {
			t.Errorf("%s: %v", kind, ps)
			continue
		}
		if m, _ := f.Measure(0); m.VolumeMM3 != 1000 {
			t.Errorf("%s: %v mm³", kind, m.VolumeMM3)
		}
	}
}

func TestExtensions(t *testing.T) {
	box := meshObject(1, shapes.Box(10, 10, 10))
	lattice := strings.Replace(box, "</mesh>", `<b:beamlattice radius="1"><b:beams><b:beam v1="0" v2="6"/></b:beams></b:beamlattice></mesh>`, 1)
	for _, c := range []struct{ why, attributes, resources, want string }{
		{"none", "", box, "[]"},
		{"materials and production change no shape", ` requiredextensions="m  p pa"`, box, "[]"},
		{"recommended ones may be left out", ` recommendedextensions="own"`, box, "[]"},
		{"slices stand beside a mesh", "", box + `<s:slicestack id="5"/>`, "[]"},
		{"a beam lattice", ` requiredextensions="p b"`, lattice, `the shape rests on an extension that is not read, a beam lattice ("b"); the shape as a mesh alone`},
		{"slices", ` requiredextensions="s"`, box, "is not read, slices"},
		{"boolean operations", ` requiredextensions="bo"`, box, "is not read, bodies cut from each other"},
		{"volumes", ` requiredextensions="v"`, box, "is not read, a shape given by a field"},
		{"a lattice that is not required", "", lattice, "case.3mf: the model also holds what is not read, a beam lattice; the shape as a mesh alone"},
		{"an unknown one", ` requiredextensions="own"`, box, `the model cannot be understood without an extension that is not known ("http://maker.example/settings")`},
		{"one that is not declared", ` requiredextensions="zz"`, box, `an extension that is not known ("zz")`},
		{"a stand-in for the full shape", "", strings.Replace(box, "<object ", `<object pa:modelresolution="lowres" `, 1), `object 1 stands in for its full shape ("lowres")`},
		{"the full shape", "", strings.Replace(box, "<object ", `<object pa:modelresolution="fullres" `, 1), "[]"},
	} {
		f, ps := open3(t, map[string]string{usualModel: root(c.attributes, c.resources, item(1, ""))}, "")
		if !strings.Contains(fmt.Sprint(ps), c.want) || (f == nil) != ps.Failed() {
			t.Errorf("%s: %v", c.why, ps)
		}
	}
}

func TestSettingsAreNamed(t *testing.T) {
	const want = "[case.3mf: the file holds settings of the program that wrote it, which are not read; mass and hours follow the recipe]"
	box := meshObject(1, shapes.Box(10, 10, 10))
	plain := root(` xml:lang="en"`, box, `<item objectid="1" p:UUID="0"/>`)
	for _, c := range []struct {
		why   string
		parts map[string]string
		noted bool
	}{
		{"pictures, links and properties of the document are none", map[string]string{usualModel: plain, "[Content_Types].xml": "<a/>", "docProps/core.xml": "<a/>",
			"3D/_rels/3dmodel.model.rels": "<a/>", "Metadata/thumbnail.png": "x", "3D/Textures/a.JPG": "x", "Metadata/": ""}, false},
		{"a part of its own", map[string]string{usualModel: plain, "Metadata/settings.config": "x"}, true},
		{"a print ticket", map[string]string{usualModel: plain, "3D/Metadata/Model_PT.xml": "x"}, true},
		{"an attribute of an item", map[string]string{usualModel: root("", box, `<item objectid="1" own:walls="4"/>`)}, true},
		{"an attribute of an object", map[string]string{usualModel: root("", strings.Replace(box, "<object ", `<object own:infill="40" `, 1), item(1, ""))}, true},
		{"metadata of an object", map[string]string{usualModel: root("", strings.Replace(box, "<mesh>", `<metadatagroup><metadata name="own:infill">40</metadata></metadatagroup><mesh>`, 1), item(1, ""))}, true},
		{"metadata of the model says who wrote it", map[string]string{usualModel: strings.Replace(plain, "<resources>", `<metadata name="Application">x</metadata><resources>`, 1)}, false},
	} {
		f, ps := open3(t, c.parts, "")
		if f == nil || c.noted && fmt.Sprint(ps) != want || !c.noted && len(ps) > 0 || len(ps.Of(bom.Note)) != len(ps) {
			t.Errorf("%s: %v", c.why, ps)
		}
	}
}

func TestBadPackages(t *testing.T) {
	lid := root("", meshObject(1, shapes.Box(1, 2, 3)), "")
	calling := func(path string) string { return root("", "", `<item objectid="1" p:path="`+path+`"/>`) }
	holds := func(attributes string) string {
		return root("", `<object id="1"><components><component objectid="1" `+attributes+`/></components></object>`, "")
	}
	for _, c := range []struct {
		why   string
		parts map[string]string
		want  string
	}{
		{"a part thatis missing", map[string]string{usualModel: calling("/3D/none.model")}, `part 3D/3dmodel.model, byte `},
		{"and is named", map[string]string{usualModel: calling("/3D/none.model")}, `there is no such part ("3D/none.model"); a whole package`},
		{"an object thatis missing", map[string]string{usualModel: strings.Replace(calling("/"+lidPart), `objectid="1"`, `objectid="2"`, 1), lidPart: lid}, `there is no such object ("2")`},
		{"objects of the part are not the root's", map[string]string{usualModel: root("", "", `<item objectid="1" p:path="/`+lidPart+`"/>`+item(1, "")), lidPart: lid}, "there is no such object"},
		{"a third part", map[string]string{usualModel: calling("/" + lidPart), lidPart: holds(`p:path="/` + footPart + `"`), footPart: lid},
			`part 3D/Objects/lid.model, byte `},
		{"a third part, said", map[string]string{usualModel: calling("/" + lidPart), lidPart: holds(`p:path="/` + footPart + `"`), footPart: lid},
			"a part that is named by another names a third"},
		{"a circle in another part", map[string]string{usualModel: calling("/" + lidPart), lidPart: holds("")}, "an object holds itself"},
		{"damage in another part", map[string]string{usualModel: calling("/" + lidPart), lidPart: lid[:len(lid)-9]}, "part 3D/Objects/lid.model is damaged at byte"},
		{"another part needs an extension", map[string]string{usualModel: calling("/" + lidPart), lidPart: strings.Replace(lid, "<model ", `<model requiredextensions="own" `, 1)},
			"cannot be understood without an extension"},
		{"the build of another part is not built", map[string]string{usualModel: root("", "", ""), lidPart: root("", meshObject(1, shapes.Box(1, 2, 3)), item(1, ""))}, "the model has no build items"},
		{"a toolpath in the package", map[string]string{usualModel: root("", "", ""), "Metadata/plate.gcode": "G1"},
			"the model has no build items; an item in the build, or the toolpath in the package unpacked from it, Metadata/plate.gcode"},
		{"nothing to be printed", map[string]string{usualModel: root("", meshObject(1, shapes.Box(1, 2, 3)), `<item objectid="1" printable="false"/>`)}, "the build holds no part to be printed"},
		{"supports alone", map[string]string{usualModel: root("", strings.Replace(meshObject(1, shapes.Box(1, 2, 3)), `type="model"`, `type="support"`, 1), item(1, ""))}, "the build holds no part to be printed"},
	} {
		if f, ps := open3(t, c.parts, ""); f != nil || !strings.Contains(fmt.Sprint(ps), c.want) {
			t.Errorf("%s: %v", c.why, ps)
		}
	}
}

// The bound on what is unpacked holds for all parts of a package together.
func TestPartsAreUnpackedWithinOneLimit(t *testing.T) {
	lid, foot := root("", meshObject(1, shapes.Box(1, 2, 3)), ""), root("", meshObject(7, shapes.Box(3, 2, 1)), "")
	data := archive(t, map[string]string{usualModel: root("", "", `<item objectid="1" p:path="/`+lidPart+`"/><item objectid="7" p:path="/`+footPart+`"/>`), lidPart: lid, footPart: foot})
	all := int64(len(lid) + len(foot) + len(root("", "", `<item objectid="1" p:path="/`+lidPart+`"/><item objectid="7" p:path="/`+footPart+`"/>`)))
	for _, c := range []struct {
		most int64
		ok   bool
	}{{all, true}, {all - 1, false}} {
		f, ps := Open(bytes.NewReader(data), int64(len(data)), Options{Limits: Limits{Expanded: c.most}})
		if (f != nil) != c.ok || !c.ok && !strings.Contains(fmt.Sprint(ps), "a foot.model is too large when it is unpacked") {
			t.Errorf("%d bytes: %v", c.most, ps)
		}
	}
}

// Solids of one STL file count as one piece, as programs write bodies of a part.
func TestSolidsOfOneFile(t *testing.T) {
	two := append(shapes.Box(10, 10, 10).ASCII("a"), shapes.Box(5, 5, 5).Move(20, 0, 0).ASCII("b")...)
	for _, c := range []struct {
		why  string
		data []byte
		want string
	}{
		{"two", two, "[a.stl: the file holds 2 solids; they count as one piece]"},
		{"one that is empty", append([]byte("solid x\nendsolid x\n"), shapes.Box(10, 10, 10).ASCII("a")...), "[]"},
	} {
		m, ps := measure(c.data, Options{Name: "a.stl"})
		if fmt.Sprint(ps) != c.want || ps.Failed() || m.VolumeMM3 < 1000 {
			t.Errorf("%s: %v mm³; %v", c.why, m.VolumeMM3, ps)
		}
	}
}

func TestAlike(t *testing.T) {
	parse := func(text string) transform {
		m, ok := parseTransform(text)
		if !ok {
			t.Fatal(text)
		}
		return m
	}
	turn := math.Sqrt(0.5)
	for _, c := range []struct {
		why, text string
		want      bool
	}{
		{"moved", "1 0 0 0 1 0 0 0 1 9 9 0", true},
		{"turned about the vertical", fmt.Sprintf("%v %v 0 -%v %v 0 0 0 1 0 0 0", turn, turn, turn, turn), true},
		{"laid on its side", "1 0 0 0 0 1 0 -1 0 0 0 0", false},
		{"stood on its head", "1 0 0 0 -1 0 0 0 -1 0 0 0", false},
		{"mirrored", "-1 0 0 0 1 0 0 0 1 0 0 0", false},
		{"larger", "1.1 0 0 0 1.1 0 0 0 1.1 0 0 0", false},
		{"slanted", "1 0.2 0 0 1 0 0 0 1 0 0 0", false},
	} {
		same, m := scaled(1), parse(c.text)
		if alike(&same, &m) != c.want {
			t.Errorf("%s: %v", c.why, !c.want)
		}
	}
}

// Packages of several parts are fuzzed by the attributes and elements of each.
func FuzzPackage(f *testing.F) {
	lid := meshObject(1, shapes.Box(1, 2, 3))
	f.Add(root(` requiredextensions="p"`, "", `<item objectid="1" p:path="/`+lidPart+`"/>`), root("", lid, ""), "")
	f.Add(root("", `<object id="2" name="x"><components><component objectid="1" p:path="/`+lidPart+`" transform="1 0 0 0 1 0 0 0 1 5 5 5"/></components></object>`,
		item(2, "")+item(2, "2 0 0 0 1 0 0 0 1 0 0 0")), root(` unit="inch"`, lid, item(1, "")), "x")
	f.Add(root("", lid, item(1, "")+`<item objectid="1" printable="0" own:a="b"/>`), root(` requiredextensions="b"`, lid, ""), "all")
	f.Add(root("", strings.Replace(lid, "model", "support", 1)+lid, item(1, "")), "", "2")
	f.Fuzz(func(t *testing.T, first, second, piece string) {
		data := archive(t, map[string]string{usualModel: first, lidPart: second, "Metadata/a.config": ""})
		file, ps := Open(bytes.NewReader(data), int64(len(data)), Options{Name: "a.3mf", Piece: piece, Limits: Limits{Expanded: 1 << 20, Triangles: 10_000, Instances: 1000}})
		if (file == nil) != ps.Failed() {
			t.Fatal("a file with an error, or neither", ps)
		}
		if file == nil {
			return
		}
		if len(file.Pieces) == 0 {
			t.Fatal("no piece")
		}
		for i := range file.Pieces[:min(len(file.Pieces), 5)] {
			m, ps := file.Measure(i)
			if !ps.Failed() && !(m.VolumeMM3 > 0 && m.Triangles > 0) {
				t.Fatalf("measures without an error: %+v", m)
			}
		}
	})
}
