package sheet

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
)

// All parts, suppliers and files in these tests are invented.

func TestReadBOMFillsEveryField(t *testing.T) {
	main := csvTable("run/unit.csv", `Frost alarm; revision C
Designator,Qty,MPN,Mfr,Comment,Value,Footprint,Category,Technology,Pins,Layer,Populate,From level,Model,Material,Filament g,Print hours,Per plate,Printer,Recipe,Weight g,Length mm,Width mm,Height mm,Shelf
"R1, R4-R6",4,QX-4K7,any,resistor 1 %,4k7,0603,,,,bottom,,,,,,,,,,0.01,,,,B3
BZ1,1,QX-BZ,,sounder,,RAD-12,part,through-hole,2,,no,built,,,,,,,,,,,,
,2,QX-LID,,lid,,,printed,,,,,,cad/lid.stl,PETG,12.5,0.75,4,shed,strong,12,,,,
,1,,,padded box,,,packing,,,,,,,,,,,,,62,190,130,80,
`)
	got, problems := readSettled("run/unit.csv", files(main), Options{})
	expect(t, problems, `note: run/unit.csv:2:25: the heading "Shelf" is not known, its column is kept as a note`)
	if len(got.Lines) != 4 {
		t.Fatalf("%d lines, want 4", len(got.Lines))
	}
	head := got.Lines[0].Head
	if head.Row != 2 || head.Col["Part number"] != 3 || head.Text["Part number"] != "MPN" {
		t.Errorf("heading: %+v", head)
	}
	g := func(v float64) bom.Measure { return bom.Known(v) }
	want := []bom.Line{
		{Origin: bom.Origin{Head: head, Row: 3}, Designators: []string{"R1", "R4", "R5", "R6"}, Quantity: bom.Whole(4),
			Part: "QX-4K7", Number: "QX-4K7", Maker: "any", Description: "resistor 1 %", Value: "4k7", Package: "0603",
			Kind: bom.KindPart, Mount: bom.SMT, Joints: bom.Joints{Count: 2, Known: true}, Side: bom.Bottom, Fitted: true,
			Level: bom.LevelBoard, MassG: g(0.01), Extra: []bom.Extra{{Heading: "Shelf", Text: "B3"}}},
		{Origin: bom.Origin{Head: head, Row: 4}, Designators: []string{"BZ1"}, Quantity: bom.One,
			Part: "QX-BZ", Number: "QX-BZ", Description: "sounder", Package: "RAD-12",
			Kind: bom.KindPart, Mount: bom.THT, Joints: bom.Joints{Count: 2, Known: true}, Side: bom.Top,
			Level: bom.LevelBuilt, LevelGiven: true, Given: bom.Given{Kind: true, Mount: true, Joints: true}},
		{Origin: bom.Origin{Head: head, Row: 5}, Quantity: bom.Whole(2), Part: "QX-LID", Number: "QX-LID", Description: "lid",
			Kind: bom.KindPrinted, Given: bom.Given{Kind: true}, Side: bom.Top, Fitted: true, Level: bom.LevelKit, File: "run/cad/lid.stl", Files: []string{"run/cad/lid.stl"},
			Material: "PETG", FilamentG: g(12.5), Hours: g(0.75), PerPlate: 4, Printer: "shed", Recipe: "strong", MassG: g(12)},
		{Origin: bom.Origin{Head: head, Row: 6}, Quantity: bom.One, Part: "padded box", Description: "padded box",
			Kind: bom.KindPacking, Given: bom.Given{Kind: true}, Side: bom.Top, Fitted: true, Level: bom.LevelBoard, MassG: g(62),
			Size: [3]bom.Measure{g(190), g(130), g(80)}},
	}
	for i := range want {
		if !reflect.DeepEqual(*got.Lines[i], want[i]) {
			t.Errorf("line %d:\n%+v\nwant\n%+v", i, *got.Lines[i], want[i])
		}
	}
}

func TestLineRules(t *testing.T) {
	const part = "Designator,Quantity,Part number,Value,Package,Kind,Mount,Joints,Side,Fitted,Level,Description\n"
	for _, c := range []struct {
		why  string
		text string
		line string // what the first line shows, by show
		want []string
	}{
		{"quantity from designators", part + "R1-R3,,A,,0603", "A 3 part SMT 2 top board", nil},
		{"quantity and designators agree", part + "R1-R3,3,A,,0603", "A 3 part SMT 2 top board", nil},
		{"they differ", part + "R1-R3,2,A,,0603", "A 2 part SMT 2 top board", []string{
			`u.csv:2:2: Quantity: the quantity differs from the number of designators, 3 ("2"); the same number in both`}},
		{"they differ in one line of four", part + "R1-R3,2,A,,0603\nC1,1,B,,0603\nC2,1,C,,0603\nC3,1,D,,0603", "A 2 part SMT 2 top board", nil},
		{"they differ in one line of three", part + "R1-R3,2,A,,0603\nC1,1,B,,0603\nC2,1,C,,0603", "A 2 part SMT 2 top board", []string{
			`u.csv:2:2: Quantity: the quantity differs from the number of designators, 3 ("2"); the same number in both`}},
		{"neither stands there", part + ",,A,,,fastener", "A 0 fastener  ? top kit", []string{
			`u.csv:2:2: neither a quantity nor a designator is given; a quantity, or designators that say it`}},
		{"dashes for designators and no quantity", part + "---,,A,,,fastener", "A 0 fastener  ? top kit", []string{
			`u.csv:2:2: neither a quantity nor a designator is given; a quantity, or designators that say it`}},
		{"a quantity of 0", part + ",0,A,,,fastener", "A 0 fastener  ? top kit unfitted", []string{
			`warning: u.csv:2:2: a quantity of 0 is read as not fitted; not fitted in a column Fitted, or a quantity over 0`}},
		{"a negative quantity", part + ",-1,A,,,fastener", "A 0 fastener  ? top kit", []string{
			`u.csv:2:2: Quantity: a negative number ("-1"); a quantity over 0; a line that is not fitted says so in Fitted`}},
		{"a length", part + ",2 m,A,,,wire", "A 2 wire  ? top kit", nil},
		{"a length in centimetres makes wire", part + ",30 cm,A", "A 0.3 wire  ? top kit", nil},
		{"a word for pieces", part + ",2 pcs.,A,,,fastener", "A 2 fastener  ? top kit", nil},
		{"times", part + ",x4,A,,,fastener", "A 4 fastener  ? top kit", nil},
		{"another unit", part + ",2 kV,A,,,other", "A 0 other  ? top kit", []string{
			`u.csv:2:2: Quantity: a unit ("kV") stands with the number ("2 kV"); a bare number, in the unit of the heading`}},
		{"dashes for nothing", part + "R1,---,A,,0603", "A 1 part SMT 2 top board", nil},
		{"a percentage for a quantity", part + ",50 %,A,,,other", "A 0 other  ? top kit", []string{
			`u.csv:2:2: Quantity: a per cent sign stands with a figure that is not a percentage ("50 %"); a bare number, in the unit of the heading`}},
		{"too many", part + ",2000000000,A,,,other", "A 0 other  ? top kit", []string{
			`u.csv:2:2: Quantity: too large a quantity ("2000000000"); a quantity up to 1000000000`}},
		{"too fine", part + ",0.0000001,A,,,wire", "A 0 wire  ? top kit", []string{
			`u.csv:2:2: Quantity: too small a quantity ("0.0000001"); a quantity of a millionth or more`}},
		{"wire is cut", part + ",1.25,A,,,wire", "A 1.25 wire  ? top kit", nil},
		{"part of a sheet of foam", part + ",0.1,A,,,packing", "A 0.1 packing  ? top board", nil},
		{"half a screw", part + ",1.5,A,,,fastener", "A 1.5 fastener  ? top kit", []string{
			`u.csv:2:2: Quantity: a fraction of a fastener ("1.5"); whole pieces; only wire, other and packing may be fractions`}},
		{"a designator twice in a cell", part + "\"R1,R1\",,A,,0603", "A 0 part SMT 2 top board", []string{
			`u.csv:2:1: Designator: designator R1 stands twice ("R1,R1"); each designator once`}},
		{"a designator twice on the board, in other letters", part + "R1,,A,,0603\nr1-R2,,B,,0603", "A 1 part SMT 2 top board", []string{
			`u.csv:3:1: Designator: a designator stands twice ("r1, also in row 2"); each designator once on a board`}},
		{"many designators twice, said once", part + "R1-R3,,A,,0603\nR2-R9,,B,,0603", "A 3 part SMT 2 top board", []string{
			`u.csv:3:1: Designator: a designator stands twice ("R2 and 1 more of its cell, also in row 2"); each designator once on a board`}},
		{"more designators than any board has", part + endless(12), "A 9999 part SMT 2 top board", []string{
			`u.csv:12:1: Designator: there are more than 100000 designators on the board ("K1-K9999"); fewer designators`}},
		{"a designator makes a part", part + "U1,,A,,,,SMD", "A 1 part SMT 8 top board", nil},
		{"a mount makes a part", part + ",2,A,,,,TH", "A 2 part THT 2 top kit", nil},
		{"nothing makes it anything", part + ",2,A", "A 2 other  ? top kit", nil},
		{"a kind that is near one", part + ",2,A,,,fastner", "A 2   ? top kit", []string{
			`u.csv:2:6: Kind: not one of the choices ("fastner"); one of board, part, fastener, insert, wire, printed, packing, assembly, other; did you mean fastener`}},
		{"a fastener with designators", part + "H1-H4,,A,,,fastener", "A 4 fastener  ? top kit", nil},
		{"a mount by the package", part + "Z1,,A,,SO-8", "A 1 part SMT 8 top board", nil},
		{"a mount by the description", part + "Z1,,A,,,,,,,,,through-hole thing", "A 1 part THT 2 top kit", nil},
		{"a mount by the designator", part + "SW1,,A", "A 1 part THT 2 top kit", nil},
		{"a screw by its standard", part + ",4,,,,,,,,,,ISO 7045 M3x8", "ISO 7045 M3x8 4 fastener  ? top kit", nil},
		{"wire by its designator", part + "W1,,A", "A 1 wire  ? top kit", nil},
		{"a mount that is none", part + "U1,,A,,SO-8,,glued", "A 1 part  8 top kit", []string{
			`u.csv:2:7: Mount: not one of the choices ("glued"); one of SMT, THT`}},
		{"a mount on a screw", part + ",1,A,,,fastener,THT", "A 1 fastener  ? top kit", []string{
			`warning: u.csv:2:7: Mount: only parts have a mount, for the kind fastener it is ignored ("THT"); a blank cell, or the kind part`}},
		{"through-hole in full", part + "J1,,A,,,,Through-Hole,4", "A 1 part THT 4 top kit", nil},
		{"a chip lies on the board", part + "C1,,,100n,C_0402", "100n C_0402 1 part SMT 2 top board", nil},
		{"a chip with its joints given", part + "C1,,,100n,0402,,,3", "100n 0402 1 part SMT 3 top board", nil},
		{"joints that are not whole", part + "U1,,A,,,,SMT,2.5", "A 1 part SMT 8 top board", []string{
			`u.csv:2:8: Joints: not a whole number ("2.5"); a whole number such as 12`}},
		{"bottom side", part + "U1,,A,,,,SMT,,Bottom Layer", "A 1 part SMT 8 bottom board", nil},
		{"no such side", part + "U1,,A,,,,SMT,,inner", "A 1 part SMT 8 top board", []string{
			`u.csv:2:9: Side: not one of the choices ("inner"); one of top, bottom`}},
		{"not fitted", part + "U1,,A,,,,SMT,,,no", "A 1 part SMT 8 top board unfitted", nil},
		{"not fitted, in the trade's letters", part + "U1,,A,,,,SMT,,,DNP", "A 1 part SMT 8 top board unfitted", nil},
		{"not fitted, and nothing else is known", part + "U1,,,,,,,,,no", "U1 1 part SMT 8 top board unfitted", nil},
		{"neither yes nor no", part + "U1,,A,,,,SMT,,,maybe", "A 1 part SMT 8 top board", []string{
			`u.csv:2:10: Fitted: neither yes nor no ("maybe"); yes or no`}},
		{"a level of its own", part + "U1,,A,,,,SMT,,,,built", "A 1 part SMT 8 top built", nil},
		{"no such level", part + "U1,,A,,,,SMT,,,,half", "A 1 part SMT 8 top board", []string{
			`u.csv:2:11: Level: not one of the choices ("half"); one of board, kit, built`}},
		{"value and package are the key", part + "R1,,,4k7,0603", "4k7 0603 1 part SMT 2 top board", nil},
		{"a value alone is the key", part + ",4,,M3x10,,fastener", "M3x10 4 fastener  ? top kit", nil},
		{"a part by its description", part + "R1,,,,0603,,,,,,,resistor", "resistor 1 part SMT 2 top board", nil},
		{"a part by its package", part + "R1,,,,0603", "0603 1 part SMT 2 top board", nil},
		{"not fitted by its value", part + "R1,,,DNP,0603", "DNP 0603 1 part SMT 2 top board unfitted", nil},
		{"packing by its description", part + ",1,,,,packing,,,,,,a card", "a card 1 packing  ? top board", nil},
		{"a range that is cut off", part + "R1-,,A,,0603", "A 0 part SMT 2 top board", []string{
			`u.csv:2:1: Designator: a range without one of its ends ("R1-"); designators such as R1, R4-R7`}},
		{"no answer, and a quantity", part + ",2,A,,,other,,,,maybe", "A 2 other  ? top kit", []string{
			`u.csv:2:10: Fitted: neither yes nor no ("maybe"); yes or no`}},
		{"bottom side by a title", part + "bottom side\nU1,,A,,,,SMT", "A 1 part SMT 8 bottom board", nil},
		{"a length of what is no wire", part + ",2 m,A,,,other", "A 2 other  ? top kit", nil},
		{"a pack of what is a fastener", part + ",2 packs,M3 screw,,,fastener", "M3 screw 2 fastener  ? top kit", []string{
			`warning: u.csv:2:2: a quantity in sets, pairs or rolls is counted as it stands ("2 packs"); if one of them is not bought as one piece, give the number of pieces`}},
		{"not fitted, without quantity or name", part + ",,,,,fastener,,,,no", " 0 fastener  ? top kit unfitted", nil},
		{"half of what is not fitted", part + ",1.5,A,,,fastener,,,,no", "A 1.5 fastener  ? top kit unfitted", nil},
		{"axial, but no part with leads", part + ",1,,,,,,,,,,axial fan 40 mm", "axial fan 40 mm 1 other  ? top kit", nil},
		{"a note beside a package names nothing", part + "R1,,,,0603,,,,,,,,by hand", "0603 1 part SMT 2 top board", nil},
		{"a figure without a heading names nothing", part + ",2,,,,other,,,,,,,12", " 2 other  ? top kit", []string{
			`u.csv:2:3: nothing says which part this is; a part number, a value and a package, or a description`}},
		{"a value beside one in words", part + "R1,,,1k,0603,,,,,,,10k", "1k 0603 1 part SMT 2 top board", nil},
		{"a number to be found", part + "R1,,TBD,10k,0603", "10k 0603 1 part SMT 2 top board", nil},
		{"money for a quantity", part + ",€5,A,,,other", "A 0 other  ? top kit", []string{
			`u.csv:2:2: Quantity: a currency stands with a figure that is not a price ("€5"); a bare number, in the unit of the heading`}},
		{"too many joints", part + "U1,,A,,,,SMT,2000000000", "A 1 part SMT 8 top board", []string{
			`u.csv:2:8: Joints: too large a number ("2000000000"); a whole number up to 1000000000`}},
		{"a board", part + ",1,MAIN,,,board", "MAIN 1 board  ? top board", []string{
			"warning: u.csv:2: nothing says what is on the board; the board's own bill of materials in File"}},
		{"a hole that has a kind", part + "H1,1,,,,fastener,,,,,,spacer", "spacer 1 fastener  ? top kit", nil},
		{"too many dozens", part + ",1000000000 dozen,A,,,other", "A 0 other  ? top kit", []string{
			`u.csv:2:2: Quantity: too large a quantity ("1000000000 dozen"); a quantity up to 1000000000`}},
		{"packing by nothing", part + ",1,,,,packing", " 1 packing  ? top board", []string{
			`u.csv:2:3: nothing says which part this is; a part number, a value and a package, or a description`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			got, problems := readSettled("u.csv", files(csvTable("u.csv", c.text)), Options{})
			expect(t, problems, c.want...)
			if line := show(got.Lines[0]); line != c.line {
				t.Errorf("line %q, want %q", line, c.line)
			}
		})
	}
}

// endless is n rows of 9999 designators each, of which the eleventh is over the
// limit of a board.
func endless(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%c1-%c9999,,A,,0603\n", 'A'+i, 'A'+i)
	}
	return b.String()
}

// show writes what the rules fill in: key, quantity, kind, mount, joints, side,
// level and whether the line is left out.
func show(l *bom.Line) string {
	joints := "?"
	if l.Joints.Known {
		joints = fmt.Sprint(l.Joints.Count)
	}
	s := fmt.Sprintf("%s %s %s %s %s %s %s", l.Part, l.Quantity, l.Kind, l.Mount, joints, l.Side, l.Level)
	if !l.Fitted {
		s += " unfitted"
	}
	return s
}

func TestFittedTheOtherWayRound(t *testing.T) {
	for text, want := range map[string]bool{"": true, "no": true, "yes": false, "x": false, "DNP": false, "1": false} {
		for _, heading := range []string{"DNP", "DNF", "DNI"} {
			got, problems := readSettled("u.csv", files(csvTable("u.csv", "Ref,P/N,Mount,"+heading+"\nU1,A,SMT,"+text)), Options{})
			expect(t, problems)
			if got.Lines[0].Fitted != want {
				t.Errorf("%s %q: fitted %v", heading, text, got.Lines[0].Fitted)
			}
		}
	}
	_, problems := readSettled("u.csv", files(csvTable("u.csv", "Ref,P/N,Mount,Fitted,DNP\nU1,A,SMT,yes,no")), Options{})
	expect(t, problems, "u.csv:1:5: what is fitted is headed twice, Fitted in D1 and DNP in E1; keep one column for it")
}

func TestCutAndTimedLines(t *testing.T) {
	const head = "Quantity,Part number,Kind,Cut mm,Bench s,Mount\n"
	got, problems := readSettled("u.csv", files(csvTable("u.csv", head+"4,RED,,850.5,12.5,\n2,R1,part,,0,THT")), Options{})
	expect(t, problems)
	wire, part := got.Lines[0], got.Lines[1]
	if wire.Kind != bom.KindWire || wire.CutMM.String() != "850.5" || wire.BenchS != bom.Known(12.5) || part.CutMM != 0 || part.BenchS != bom.Known(0) {
		t.Errorf("%+v\n%+v", wire, part)
	}
	for _, c := range []struct{ why, row, want string }{
		{"no length", "4,RED,wire,0,", `u.csv:2:4: Cut mm: a quantity of 0 ("0"); a quantity over 0`},
		{"words", "4,RED,wire,long,", `u.csv:2:4: Cut mm: not a number ("long"); a number such as 1234.56`},
		{"less than no time", "4,RED,wire,,-3", `u.csv:2:5: Bench s: a negative number ("-3"); a number of 0 or more`},
		{"a board", "1,MAIN,board,,20", `u.csv:2:5: Bench s: stands at a line of kind board ("20"); the figure on the lines of its list, or a row of the tab hand work`},
		{"an assembly", "1,STAND,assembly,,20", `u.csv:2:5: Bench s: stands at a line of kind assembly ("20"); the figure on the lines of its list, or a row of the tab hand work`},
	} {
		_, problems := readSettled("u.csv", files(csvTable("u.csv", head+c.row)), Options{})
		var said []string
		for _, p := range problems {
			said = append(said, p.String())
		}
		if !slices.Contains(said, c.want) {
			t.Errorf("%s: %q, want %q", c.why, said, c.want)
		}
	}
}

func TestPrintedLines(t *testing.T) {
	const head = "Quantity,Part number,Kind,File,Material,Filament g,Print hours,Per plate,Fitted\n"
	for _, c := range []struct {
		why, row string
		want     []string
	}{
		{"measured", "1,A,printed,,PLA,12,0.5,2", nil},
		{"from a file", "1,A,printed,a.stl,PLA", nil},
		{"from a toolpath and a mesh", "1,A,printed,a.gcode; cad/a.stl,PLA", nil},
		{"a second file outside", "1,A,printed,a.gcode;../a.stl,PLA", []string{
			`u.csv:2:4: File: leads out of the folder of the bill of materials ("../a.stl"); a file in the folder of the bill of materials, or --allow-outside`}},
		{"named by its file", "1,,printed,a.stl,PLA", nil},
		{"no material", "1,A,printed,a.stl", []string{
			"u.csv:2:5: no material is given for the printed part; a material of the tab materials"}},
		{"a mesh makes it printed", "1,A,,a.stl", []string{
			"u.csv:2:5: no material is given for the printed part; a material of the tab materials"}},
		{"grams make it printed", "1,A,,,,12,0.5", []string{
			"u.csv:2:5: no material is given for the printed part; a material of the tab materials"}},
		{"a list in File", "1,A,,a.csv", []string{
			"u.csv:2:3: nothing says whether the list in File is that of a board or of an assembly; board or assembly in a column Kind",
			"a.csv: no such file", `u.csv:2:4: File: names a file that cannot be read ("a.csv"); a bill of materials`}},
		{"no hours, no file", "1,A,printed,,PLA,12", []string{
			"u.csv:2:6: no filament and time are given for a piece; both Filament g and Print hours of one piece, or a mesh or toolpath in File"}},
		{"no mass, no file", "1,A,printed,,PLA,,0.5", []string{
			"u.csv:2:6: no filament and time are given for a piece; both Filament g and Print hours of one piece, or a mesh or toolpath in File"}},
		{"not fitted needs nothing", "1,A,printed,,,,,,no", nil},
		{"a mass of 0", "1,A,printed,,PLA,0,0.5", []string{
			`u.csv:2:6: Filament g: 0 where something is measured ("0"); a number over 0, or a blank cell`}},
		{"none on a plate", "1,A,printed,,PLA,12,0.5,0", []string{
			`u.csv:2:8: Per plate: too small a number ("0"); a whole number of 1 or more`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			_, problems := readSettled("u.csv", files(csvTable("u.csv", head+c.row)), Options{})
			expect(t, problems, c.want...)
		})
	}
}

func TestFilesOfAPrintedLine(t *testing.T) {
	const head = "Quantity,Part number,Kind,Material,File\n"
	got, problems := readSettled("run/u.csv", files(csvTable("run/u.csv", head+"1,A,printed,PLA,a.gcode ;cad/../b.stl;\n1,,printed,PLA,c.stl")), Options{})
	expect(t, problems)
	if l := got.Lines[0]; !slices.Equal(l.Files, []string{"run/a.gcode", "run/b.stl"}) || l.File != "run/a.gcode; run/b.stl" {
		t.Errorf("files %q, %q", l.Files, l.File)
	}
	if got.Lines[1].Part != "run/c.stl" {
		t.Errorf("a part without a name is called %q", got.Lines[1].Part)
	}
}

func TestHeadingRow(t *testing.T) {
	many := strings.Repeat("title\n", 28)
	for _, c := range []struct {
		why, text string
		headings  map[string]string
		lines     int
		want      []string
	}{
		{"under titles, the last row that counts", many + "title\nQty,P/N,Kind\n1,A,other", nil, 1, nil},
		{"one row too far down", many + "title\ntitle\nQty,P/N,Kind\n1,A,other", nil, 0, []string{
			`u.csv:1: no heading row of the bill of materials was found; this row looks most like one ("title"); a row among the first 30 with at least two of ` +
				strings.Join(bom.BOMTab.Headings(), ", ")}},
		{"an empty file", "", nil, 0, []string{
			"u.csv: the bill of materials is empty; a heading row with at least two of " + strings.Join(bom.BOMTab.Headings(), ", ")}},
		{"headings alone", "Qty,P/N,Kind", nil, 0, []string{"u.csv:1: the bill of materials holds no lines; a row for each part"}},
		{"a field headed twice", "Qty,P/N,Kind,Qty per unit\n1,A,other,2", nil, 1, []string{
			`u.csv:1:4: Quantity is headed twice, as "Qty" in A1 and here ("Qty per unit"); keep one column for it; --heading 'Qty per unit=' leaves this one out`}},
		{"a field headed twice, once surely", "Qty,P/N,Kind,Count\n1,A,other,2", nil, 1, []string{
			`note: u.csv:1:4: the heading "Count" is not needed, its column is kept as a note`}},
		{"a field headed twice with the same in it", "Qty,P/N,Kind,Qty per unit\n1,A,other,1", nil, 1, []string{
			`note: u.csv:1:4: the heading "Qty per unit" is not needed, its column is kept as a note`}},
		{"a field headed twice, one of words", "Qty,P/N,Kind,Qty per unit\nfew,A,other,1", nil, 1, []string{
			`note: u.csv:1:1: the heading "Qty" is not needed, its column is kept as a note`}},
		{"a field headed twice, once by its name", "Quantity,P/N,Kind,Qty\n1,A,other,2", nil, 1, []string{
			`u.csv:1:4: Quantity is headed twice, as "Quantity" in A1 and here ("Qty"); keep one column for it; --heading 'Qty=' leaves this one out`}},
		{"words of the trade left out", "Qty,P/N,Kind,Qty per unit\n1,A,other,2", map[string]string{"qty per unit": ""}, 1, []string{
			`note: u.csv:1:4: the column headed "Qty per unit" is kept as a note, as asked for`}},
		{"a slip left out", "Qty,P/N,Kind,Descripton\n1,A,other,x", map[string]string{"Descripton": ""}, 1, []string{
			`note: u.csv:1:4: the column headed "Descripton" is kept as a note, as asked for`}},
		{"a heading of the user's beside ours", "Quantity,P/N,Kind,Qty\n1,A,other,2", map[string]string{"Qty": "Quantity"}, 1, []string{
			`note: u.csv:1:1: the heading "Quantity" is not needed, its column is kept as a note`}},
		{"running numbers of the user's", "Item,Qty,Kind,Shelf\n1,4,other,B\n2,7,other,B\n3,1,other,B", map[string]string{"Item": "Part number"}, 3, []string{
			`note: u.csv:1:4: the heading "Shelf" is not known, its column is kept as a note`}},
		{"places that the user calls descriptions", "What,Qty,P/N,Shelf\nR1,1,A,B\nR2,1,A,B\nC1,1,D,B", map[string]string{"What": "Description"}, 3, []string{
			`note: u.csv:1:4: the heading "Shelf" is not known, its column is kept as a note`}},
		{"the second one left out", "Qty,P/N,Kind,Count\n1,A,other,2", map[string]string{"count": ""}, 1, []string{
			`note: u.csv:1:4: the column headed "Count" is kept as a note, as asked for`}},
		{"a heading of the user's", "Stück,Teil,Kind\n1,A,other", map[string]string{"stück": "Quantity", "Teil": "MPN"}, 1, nil},
		{"mapped to nothing known", "Qty,P/N,Kind\n1,A,other", map[string]string{"Stück": "Quantty"}, 1, []string{
			`the heading that "Stück" is mapped to is not known ("Quantty"); did you mean --heading 'Stück=Quantity'`}},
		{"headings again on a second page, in other words", "Qty,P/N,Kind\n1,A,other\nQuantity,MPN,Kind\n1,B,other", nil, 2, []string{
			`note: u.csv:3: repeated headings are ignored ("Quantity, MPN, Kind")`}},
		{"a total", "Ref,Qty,P/N,Kind\n,1,A,other\nTotal:,1", nil, 1, []string{`note: u.csv:3: a row of totals is ignored ("Total:, 1")`}},
		{"a total under the description", "Qty,P/N,Kind,Description\n1,A,other,\n1,,,Grand total", nil, 1, []string{
			`note: u.csv:3: a row of totals is ignored ("1, Grand total")`}},
		{"a part that is called total", "Qty,P/N,Kind,Description\n1,A,other,total", nil, 1, nil},
		{"unknown columns, one near a known one, one without heading", "Qty,P/N,Kind,Shelf,Footprnt\n1,A,other,B2,0805,y", nil, 1, []string{
			`note: u.csv:1:5: column E, headed "Footprnt", is read as Package, by what stands in it`,
			`note: u.csv:1:4: the heading "Shelf" is not known, its column is kept as a note`,
			"note: u.csv:1:6: column F has no heading and is kept as a note"}},
		{"a near miss says so", "Qty,P/N,Kind,Descripton\n1,A,other,x", nil, 1, []string{
			`note: u.csv:1:4: column D, headed "Descripton", is read as Description, by what stands in it`}},
		{"a near miss of a field of figures says so", "Qty,P/N,Kind,Jonts\n1,A,other,x", nil, 1, []string{
			`note: u.csv:1:4: the heading "Jonts" is not known, its column is kept as a note`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			got, problems := readSettled("u.csv", files(csvTable("u.csv", c.text)), Options{Headings: c.headings})
			expect(t, problems, c.want...)
			if c.lines > 0 && (got == nil || len(got.Lines) != c.lines) {
				t.Errorf("got %+v, want %d lines", got, c.lines)
			}
		})
	}
}

func TestDecimalMarkOfABOM(t *testing.T) {
	for _, c := range []struct {
		why, text string
		mark      bom.DecimalMark
		mass      float64
		want      []string
	}{
		{"a comma-separated file with a dot", "Qty,P/N,Kind,Mass g\n1,A,other,1.234", 0, 1.234, nil},
		{"a comma in quotes shows nothing", "Qty,P/N,Kind,Mass g\n1,A,other,\"1,234\"", 0, 0, []string{
			`u.csv:2:4: Mass g: reads two ways: 1234 or 1.234 ("1,234"); say which mark is the decimal one: --decimal-mark dot or --decimal-mark comma`}},
		{"another figure shows it", "Qty;P/N;Kind;Mass g\n1;A;other;1,234\n1;B;other;0,5", 0, 1.234, nil},
		{"and the other way", "Qty;P/N;Kind;Mass g\n1;A;other;1,234\n1;B;other;0.5", 0, 1234, nil},
		{"a column without figures shows nothing", "Qty;P/N;Kind;Mass g;Value\n1;A;other;1.234;4,7", 0, 0, []string{
			`u.csv:2:4: Mass g: reads two ways: 1234 or 1.234 ("1.234"); say which mark is the decimal one: --decimal-mark dot or --decimal-mark comma`}},
		{"the user says", "Qty;P/N;Kind;Mass g\n1;A;other;1,234", bom.MarkComma, 1.234, nil},
		{"a file that contradicts itself is not helped by its commas", "Qty,P/N,Kind,Mass g\n1,A,other,1.234\n1,B,other,0.5\n1,C,other,\"0,5\"", 0, 0, []string{
			`u.csv:2:4: Mass g: reads two ways: 1234 or 1.234 ("1.234"); say which mark is the decimal one: --decimal-mark dot or --decimal-mark comma`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			got, problems := readSettled("u.csv", files(csvTable("u.csv", c.text)), Options{Mark: c.mark})
			expect(t, problems, c.want...)
			if m := got.Lines[0].MassG; m.Value != c.mass {
				t.Errorf("mass %v, want %v", m.Value, c.mass)
			}
		})
	}
}

func TestWorkbookCells(t *testing.T) {
	head := []any{"Designator", "Quantity", "Part number", "Value", "Package", "Mount", "Mass g"}
	for _, c := range []struct {
		why  string
		row  []any
		want []string
	}{
		{"numbers stored as such read one way", []any{"U1", number("1"), "A", nil, nil, "SMT", number("1.234")}, nil},
		{"a date for a part number", []any{"U1", nil, day("2026-12-10"), nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:3: Part number: a spreadsheet turned this into a date ("2026-12-10" in C2); the text as it was before; format the column as text`}},
		{"a date for a designator", []any{day("2026-12-10"), number("1"), "A", nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:1: Designator: a spreadsheet turned this into a date ("2026-12-10" in A2); the text as it was before; format the column as text`}},
		{"a date for a value", []any{"U1", nil, "A", day("2026-12-10"), nil, "SMT"}, []string{
			`u.xlsx:BOM:2:4: Value: a spreadsheet turned this into a date ("2026-12-10" in D2); the text as it was before; format the column as text`}},
		{"a date for a quantity", []any{"U1", day("2026-12-10"), "A", nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:2: Quantity: a spreadsheet turned this into a date ("2026-12-10" in B2); the number as it was before; format the column as text`}},
		{"an error value for a key", []any{"U1", nil, fault("#N/A"), nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:3: Part number: error value from the spreadsheet ("#N/A" in C2); the value that the formula should give`}},
		{"an error value for a figure", []any{"U1", fault("#REF!"), "A", nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:2: Quantity: error value from the spreadsheet ("#REF!" in B2); the value that the formula should give`}},
		{"a formula without a result", []any{"U1", stale("=B1"), "A", nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:2: Quantity: formula without a stored result ("=B1" in B2); open and save it in a spreadsheet`}},
		{"a truth value for a quantity", []any{"U1", logic("yes"), "A", nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:2: Quantity: TRUE or FALSE stands where a number is expected ("yes" in B2); a number`}},
		{"a truth value for a name", []any{"U1", nil, logic("yes"), nil, nil, "SMT"}, []string{
			`u.xlsx:BOM:2:3: Part number: a spreadsheet turned this into TRUE or FALSE ("yes" in C2); the text as it was before; format the column as text`}},
		{"a value that is a number", []any{"R1", nil, "A", number("4.7"), nil, "SMT"}, nil},
		{"a plain number for a part number", []any{"U1", nil, number("4711"), nil, nil, "SMT"}, nil},
		{"more digits than a spreadsheet keeps", []any{"U1", nil, number("123456789012345000"), nil, nil, "SMT"}, []string{
			`warning: u.xlsx:BOM:2:3: Part number: stored as a number of 15 digits or more, of which a spreadsheet keeps only 15 ("123456789012345000" in C2); the text as it is written; format the column as text`}},
		{"a part number like 1E5", []any{"U1", nil, number("0.5"), nil, nil, "SMT"}, []string{
			`warning: u.xlsx:BOM:2:3: Part number: stored as a number that is not whole ("0.5" in C2); the text as it is written; format the column as text`}},
		{"a chip size that lost its 0", []any{"U1", nil, "A", nil, number("603"), "SMT"}, []string{
			`warning: u.xlsx:BOM:2:5: Package: stored as a number, which may have lost a leading 0 ("603" in E2); the text as it is written; format the column as text`}},
		{"a chip size that kept its digits", []any{"U1", nil, "A", nil, number("1206"), "SMT"}, nil},
		{"the smallest chip size, which reads as another without its 0", []any{"U1", nil, "A", nil, number("1005"), "SMT"}, []string{
			`warning: u.xlsx:BOM:2:5: Package: stored as a number, which may have lost a leading 0 ("1005" in E2); the text as it is written; format the column as text`}},
		{"a percentage for a mass", []any{"U1", nil, "A", nil, nil, "SMT", percent("4%")}, []string{
			`u.xlsx:BOM:2:7: Mass g: a per cent sign stands with a figure that is not a percentage ("4%" in G2); a bare number, in the unit of the heading`}},
	} {
		t.Run(c.why, func(t *testing.T) {
			_, problems := readSettled("u.xlsx", files(workbookTable("u.xlsx", "BOM", head, c.row)), Options{})
			expect(t, problems, c.want...)
		})
	}
}

func TestAFaultIsNoKey(t *testing.T) {
	table := workbookTable("u.xlsx", "BOM", []any{"Quantity", "Kind", "Description"}, []any{number("1"), "packing", fault("#N/A")})
	_, problems := readSettled("u.xlsx", files(table), Options{})
	expect(t, problems, `u.xlsx:BOM:2:3: Description: error value from the spreadsheet ("#N/A" in C2); the value that the formula should give`)
}

func TestABoardWithoutItsOwnList(t *testing.T) {
	_, problems := readSettled("u.csv", files(csvTable("u.csv", "Qty,P/N,Kind,File,Fitted\n1,A,board,,\n1,B,board,,no\n")), Options{})
	expect(t, problems, "warning: u.csv:2:4: nothing says what is on the board; the board's own bill of materials in File")
}

func TestLostZeros(t *testing.T) {
	table := workbookTable("u.xlsx", "BOM", []any{"Designator", "Part number", "Mount"},
		[]any{"U1", "00471", "SMT"}, []any{"U2", number("472"), "SMT"})
	_, problems := readSettled("u.xlsx", files(table), Options{})
	expect(t, problems, `warning: u.xlsx:BOM:3:2: Part number: stored as a number, which may have lost a leading 0 ("472" in B3); the text as it is written; format the column as text`)
}

func TestNesting(t *testing.T) {
	const head = "Quantity,Part number,Kind,File,Mount\n"
	unit := csvTable("run/unit.csv", head+"1,MAIN,board,boards/main.csv\n2,SENSE,board,boards\\sense.csv\n1,BOX,packing")
	main := csvTable("run/boards/main.csv", head+"1,U,part,,SMT\n1,LEAD,assembly,../lead.csv")
	sense := csvTable("run/boards/sense.csv", head+"3,R,part,,SMT")
	lead := csvTable("run/lead.csv", head+"1,W,wire")
	got, problems := readSettled("run/unit.csv", files(unit, main, sense, lead), Options{})
	expect(t, problems)
	if f := got.Lines[0].Sub.Lines[1].Sub.File; f != "run/lead.csv" || got.Lines[0].Sub.Lines[1].File != f {
		t.Errorf("the lead was read from %q", f)
	}
	if got.Lines[1].File != "run/boards/sense.csv" || got.Lines[1].Sub.Lines[0].Part != "R" {
		t.Errorf("sensor board: %+v", got.Lines[1])
	}
}

func TestEachFileIsOpenedOnce(t *testing.T) {
	const head = "Quantity,Part number,Kind,File,Mount\n"
	count := map[string]int{}
	open := files(csvTable("u.csv", head+"1,A,board,b.csv\n1,B,board,./b.csv\n1,C,board,miss.csv\n1,D,board,miss.csv"), csvTable("b.csv", head+"x,R,part,,SMT"))
	_, problems := readSettled("./u.csv", func(p string) ([]bom.Table, bom.Problems) { count[p]++; return open(p) }, Options{})
	expect(t, problems,
		`b.csv:2:1: neither a quantity nor a designator is given; a quantity, or designators that say it`,
		`miss.csv: no such file`,
		`u.csv:4:4: File: names a file that cannot be read ("miss.csv"); a bill of materials`,
		`u.csv:5:4: File: names a file that cannot be read ("miss.csv"); a bill of materials`)
	for _, f := range []string{"u.csv", "b.csv", "miss.csv"} {
		if count[f] != 1 {
			t.Errorf("%s was opened %d times", f, count[f])
		}
	}
}

// A list that is named again, or that another holds, would count twice.
func TestListsNamedAgain(t *testing.T) {
	open := files(csvTable("a.csv", "Qty,P/N,Kind,File\n1,MAIN,board,b.csv\n"), csvTable("b.csv", "Ref,P/N,Mount\nR1,A,SMT\n"))
	for _, names := range [][]string{{"a.csv", "b.csv"}, {"b.csv", "b.csv"}} {
		_, problems := ReadLists(names, open, Options{})
		expect(t, problems, "b.csv: the list is named again, and would count twice; each list once; one that another holds is counted with it")
	}
}

func TestCycles(t *testing.T) {
	const head = "Quantity,Part number,Kind,File\n"
	_, problems := readSettled("a.csv", files(csvTable("a.csv", head+"1,B,board,b.csv"), csvTable("b.csv", head+"1,C,assembly,c.csv"),
		csvTable("c.csv", head+"1,A,assembly,a.csv")), Options{})
	expect(t, problems, `c.csv:2:4: the files refer to each other in a circle: a.csv → b.csv → c.csv → a.csv ("a.csv"); a board or assembly that does not hold itself`)
	_, problems = readSettled("a.csv", files(csvTable("a.csv", head+"1,A,assembly,a.csv")), Options{})
	expect(t, problems, `a.csv:2:4: the files refer to each other in a circle: a.csv → a.csv ("a.csv"); a board or assembly that does not hold itself`)
}

func TestDepth(t *testing.T) {
	const head = "Quantity,Part number,Kind,File\n"
	chain := func(n int) []bom.Table {
		var tables []bom.Table
		for i := range n {
			tables = append(tables, csvTable(fmt.Sprintf("f%d.csv", i), fmt.Sprintf("%s1,A,assembly,f%d.csv", head, i+1)))
		}
		return append(tables, csvTable(fmt.Sprintf("f%d.csv", n), head+"1,A,other"))
	}
	_, problems := readSettled("f0.csv", files(chain(32)...), Options{})
	expect(t, problems)
	_, problems = readSettled("f0.csv", files(chain(33)...), Options{})
	expect(t, problems, "f32.csv:2:4: boards and assemblies are nested more than 32 deep; fewer levels")
	// A deep file that was read before is no way round the limit.
	tables := append(chain(32), csvTable("top.csv", head+"1,A,assembly,f0.csv"), csvTable("u.csv", head+"1,A,assembly,f0.csv\n1,B,assembly,top.csv"))
	_, problems = readSettled("f0.csv", files(tables...), Options{})
	expect(t, problems)
	_, problems = readSettled("top.csv", files(tables...), Options{})
	expect(t, problems, "f31.csv:2:4: boards and assemblies are nested more than 32 deep; fewer levels")
}

func TestDepthOfAFileReadBefore(t *testing.T) {
	const head = "Quantity,Part number,Kind,File\n"
	var tables []bom.Table
	for i := range 31 {
		tables = append(tables, csvTable(fmt.Sprintf("f%d.csv", i), fmt.Sprintf("%s1,A,assembly,f%d.csv", head, i+1)))
	}
	tables = append(tables, csvTable("f31.csv", head+"1,A,other"),
		csvTable("more.csv", head+"1,A,assembly,f0.csv"),
		csvTable("u.csv", head+"1,A,assembly,f0.csv\n1,B,assembly,more.csv"))
	_, problems := readSettled("u.csv", files(tables...), Options{})
	expect(t, problems, "u.csv:3:4: boards and assemblies are nested more than 32 deep; fewer levels")
}

// A file that names the next one twice doubles the lines at each level: 2^20
// lines from twenty files.
func TestLinesThatMultiply(t *testing.T) {
	const head = "Quantity,Part number,Kind,File\n"
	var tables []bom.Table
	for i := range 25 {
		next := fmt.Sprintf("f%d.csv", i+1)
		tables = append(tables, csvTable(fmt.Sprintf("f%d.csv", i), head+"1,A,assembly,"+next+"\n1,B,assembly,"+next))
	}
	tables = append(tables, csvTable("f25.csv", head+"1,A,other"))
	_, problems := readSettled("f0.csv", files(tables...), Options{})
	// f25 counts 1 line, f24 2 + 2, fn 2 + 2 × f(n+1): f9 is the first over
	// 100,000, with its first file (65,534 + 2 lines and as many again).
	expect(t, problems, "f9.csv:3:4: the unit has more than 100000 lines, boards and assemblies included; fewer lines")
}

func TestFilesOutside(t *testing.T) {
	const head = "Quantity,Part number,Kind,File\n"
	for _, c := range []struct {
		why, root, file string
		outside         string // resolved, where it is outside
	}{
		{"beside", "run/u.csv", "b.csv", ""},
		{"below", "run/u.csv", "x/../y/b.csv", ""},
		{"above", "run/u.csv", "../b.csv", "b.csv"},
		{"above, by a way round", "run/u.csv", "x/../../b.csv", "b.csv"},
		{"above the folder one works in", "u.csv", "../b.csv", "../b.csv"},
		{"with backslashes", "run/u.csv", `..\b.csv`, "b.csv"},
		{"absolute", "run/u.csv", "/etc/b.csv", "/etc/b.csv"},
		{"with a drive", "run/u.csv", `C:\b.csv`, "C:/b.csv"},
		{"a folder with the same start", "run/u.csv", "../running/b.csv", "running/b.csv"},
		{"further up than the start, which is up already", "../u.csv", "../b.csv", "../../b.csv"},
		{"absolute start", "/home/u.csv", "b.csv", ""},
	} {
		t.Run(c.why, func(t *testing.T) {
			unit := csvTable(c.root, head+"1,B,printed,"+c.file)
			_, problems := readSettled(c.root, files(unit), Options{})
			want := []string{}
			if c.outside != "" {
				want = []string{c.root + ":2:4: File: leads out of the folder of the bill of materials (" + bom.Shown(c.file) +
					"); a file in the folder of the bill of materials, or --allow-outside"}
			}
			expect(t, of(problems, "File"), want...)
			got, problems := readSettled(c.root, files(unit), Options{AllowOutside: true})
			expect(t, of(problems, "File"))
			if c.outside != "" && got.Lines[0].File != c.outside {
				t.Errorf("resolved to %q, want %q", got.Lines[0].File, c.outside)
			}
		})
	}
}

// of keeps the complaints that begin with a heading.
func of(problems bom.Problems, heading string) bom.Problems {
	var out bom.Problems
	for _, p := range problems {
		if strings.HasPrefix(p.What, heading+":") {
			out = append(out, p)
		}
	}
	return out
}

func TestSheetsOfAWorkbook(t *testing.T) {
	notes := workbookTable("u.xlsx", "Notes", []any{"Read", "me"})
	unit := workbookTable("u.xlsx", "Unit", []any{"Quantity", "Part number", "Kind", "File"},
		[]any{number("1"), "MAIN", "board", "#Main board"}, []any{number("1"), "S", "board", "u.xlsx#sensor  board"})
	main := workbookTable("u.xlsx", "Main board", []any{"Designator", "Part number", "Mount"}, []any{"U1", "A", "SMT"})
	sense := workbookTable("u.xlsx", "Sensor board", []any{"Designator", "Part number", "Mount"}, []any{"U1", "B", "SMT"})
	shops := workbookTable("u.xlsx", "Shops", []any{"Supplier", "Description"}, []any{"Corner Parts", "screws"})
	open := files(notes, shops, unit, main, sense)
	got, problems := readSettled("u.xlsx", open, Options{})
	expect(t, problems)
	if got.Sheet != "Unit" || got.Lines[0].Sub.Sheet != "Main board" || got.Lines[1].Sub.Sheet != "Sensor board" {
		t.Errorf("read %+v", got)
	}
	got, problems = readSettled("u.xlsx#Sensor board", open, Options{})
	expect(t, problems)
	if got.Sheet != "Sensor board" {
		t.Errorf("read %+v", got)
	}
	_, problems = readSettled("u.xlsx#Lid", open, Options{})
	expect(t, problems, `u.xlsx: the file has no sheet of that name ("Lid"); one of Notes, Shops, Unit, Main board, Sensor board`)
	_, problems = readSettled("u.xlsx", files(notes, notes), Options{})
	expect(t, problems, `u.xlsx:Notes:1: no heading row of the bill of materials was found; this row looks most like one ("Read, me"); a row among the first 30 with at least two of `+
		strings.Join(bom.BOMTab.Headings(), ", "))
	_, problems = readSettled("board#2.csv", files(csvTable("board#2.csv", "Qty,P/N,Kind\n1,A,other")), Options{})
	expect(t, problems) // the sign belongs to the name of a file
	_, problems = readSettled("u.xlsx", func(string) ([]bom.Table, bom.Problems) { return nil, nil }, Options{})
	expect(t, problems, "u.xlsx: the file holds no table; a table with the headings of a bill of materials")
}

// The same rows, once as a CSV file and once as a workbook with numbers stored
// as numbers, give the same lines.
func TestCSVAndWorkbookAgree(t *testing.T) {
	a, problems := readSettled("u", files(csvTable("u", "Ref,Qty,P/N,Kind,Mount,Fitted,Mass g\nR1-R2,2,QX-1,,SMT,yes,0.25\n,1.5,QX-W,wire,,no,19\n")), Options{})
	expect(t, problems)
	b, problems := readSettled("u", files(workbookTable("u", "", []any{"Ref", "Qty", "P/N", "Kind", "Mount", "Fitted", "Mass g"},
		[]any{"R1-R2", number("2"), "QX-1", nil, "SMT", logic("yes"), number("0.25")},
		[]any{nil, number("1.5"), "QX-W", "wire", nil, logic("no"), number("19")})), Options{})
	expect(t, problems)
	if x, y := asJSON(a), asJSON(b); x != y {
		t.Errorf("CSV\n%s\nworkbook\n%s", x, y)
	}
}

func asJSON(v any) string {
	b, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		panic(err)
	}
	return string(b)
}

// What people write between and under the lines of a table is told from lines.
func TestRowsThatAreNoLines(t *testing.T) {
	const head = "Ref,Qty,P/N,Mount\n"
	const good = "R1,1,A,SMT\n"
	tests := []struct {
		why, text string
		lines     int
		want      []string
	}{
		{"a sentence under the table", head + good + "all of them checked twice\n", 1,
			[]string{`note: u.csv:3: a title or remark is not a line ("all of them checked …")`}},
		{"a title between lines", head + "resistors\n" + good, 1,
			[]string{`note: u.csv:2: a title or remark is not a line ("resistors")`}},
		{"a list of designators is a line that lacks its part", head + good + "R2 R3 R4\n", 2,
			[]string{`warning: u.csv:3:3: only its designator says which part this is; a part number, a value and a package, or a description`}},
		{"figures alone", "Ref,Qty,P/N,Mass g,Mount\n" + "R1,1,A,,SMT\n,1,,3,\n", 1,
			[]string{`note: u.csv:3: a row that names no part is not a line ("1, 3")`}},
		{"a running number alone", "No,Ref,Qty,P/N,Mount\n1,R1,1,A,SMT\n2,,,,\n", 1,
			[]string{`note: u.csv:3: a row that names no part is not a line ("2")`, `note: u.csv:1:1: the heading "No" is not known, its column is kept as a note`}},
		{"a table of two columns has rows of one cell", "Qty,Kind\n,wire\n", 1,
			[]string{"u.csv:2:1: neither a quantity nor a designator is given; a quantity, or designators that say it"}},
		{"a quote that was parted at a separator", head + "“R1,R2”,2,A\n" + "R3,1,A,SMT\n", 1,
			[]string{`u.csv:2:1: a typographic quote opens here and closes in another cell ("“R1"); plain quotes (") around what holds a separator`}},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			got, problems := readSettled("u.csv", files(csvTable("u.csv", tt.text)), Options{})
			expect(t, problems, tt.want...)
			if got == nil || len(got.Lines) != tt.lines {
				t.Errorf("%+v, want %d lines", got, tt.lines)
			}
		})
	}
}

// Two rows of headings are joined where they complete each other, and refused
// where they do not.
func TestTwoRowsOfHeadings(t *testing.T) {
	tests := []struct {
		why, text string
		lines     int
		want      []string
	}{
		{"the lower row names what the upper leaves open", "Ref,Qty,Part,\n,,P/N,Mount\nR1,1,A,SMT\n", 1,
			[]string{"note: u.csv:2: the headings stand in two rows, 1 and 2"}},
		{"the lower row names one column more", "Ref,Qty,P/N,\n,,,Mount\nR1,1,A,SMT\n", 1,
			[]string{"note: u.csv:2: the headings stand in two rows, 1 and 2"}},
		{"both rows name the same columns otherwise", "Ref,Value\nQty,P/N\n1,A\n", 0,
			[]string{`u.csv:2: a second row of headings stands under the first, in row 1 ("Qty, P/N"); one row of headings, without titles of groups that are headings themselves`}},
		{"the same headings once more", "Ref,P/N,Mount\nRef,P/N,Mount\nR1,A,SMT\n", 1,
			[]string{`note: u.csv:2: repeated headings are ignored ("Ref, P/N, Mount")`}},
		{"a line whose words are headings by chance", "Ref,P/N,Value,Mount\nR1,Case,Item,SMT\n", 1, nil},
	}
	for _, tt := range tests {
		t.Run(tt.why, func(t *testing.T) {
			got, problems := readSettled("u.csv", files(csvTable("u.csv", tt.text)), Options{})
			expect(t, problems, tt.want...)
			if lines := got != nil && tt.lines == len(got.Lines); tt.lines > 0 && !lines || tt.lines == 0 && got != nil {
				t.Errorf("%+v, want %d lines", got, tt.lines)
			}
		})
	}
}

// A table that is nothing but faults is not read to its end, and one that is
// warned of in each row is.
func TestManyComplaints(t *testing.T) {
	bad := "Ref,Quantity,P/N,Mount\n" + strings.Repeat("R1,1@,A,SMT\n", 5000)
	_, problems := readSettled("u.csv", files(csvTable("u.csv", bad)), Options{})
	if last := problems[len(problems)-1]; len(problems) > MaxFaults+5 || !strings.Contains(last.What, "the rest of it is not read") {
		t.Errorf("%d complaints, the last %s", len(problems), last)
	}
	warned := "Qty,P/N,Kind\n" + strings.Repeat("1,12-May,wire\n", 5000)
	got, problems := readSettled("u.csv", files(csvTable("u.csv", warned)), Options{})
	if last := problems[len(problems)-1]; problems.Failed() || len(got.Lines) != 5000 || len(problems) != MaxFaults+1 ||
		!strings.Contains(last.What, "4000 more warnings and notes") {
		t.Errorf("%d lines, %d complaints, the last %s", len(got.Lines), len(problems), last)
	}
}

// What is settled of the lines of a list is told with the file of that list.
func TestNotesNameTheirList(t *testing.T) {
	files := map[string]string{
		"unit.csv": "Quantity,Part number,Kind,File,Package\n1,A,board,a.csv,\n2,B,board,b.csv,\n1,K,,,axial\n",
		"a.csv":    "Designators,Part number,Package\nR1,R-1,0603\nR2,R-2,0603\n",
		"b.csv":    "Designators,Part number,Package\nR1,R-3,0805\n",
	}
	open := func(name string) ([]bom.Table, bom.Problems) {
		return []bom.Table{csvTable(name, files[name])}, nil
	}
	_, problems := ReadBOM("unit.csv", open, Options{})
	var got []string
	for _, p := range problems {
		if p.Severity == bom.Note {
			got = append(got, p.String())
		}
	}
	want := []string{
		"a.csv: 2 lines are machine-placed (SMT), by package: 0603",
		"b.csv: 1 line is machine-placed (SMT), by package: 0805",
		"unit.csv: 1 line is through-hole (THT), by package: axial",
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q; want %q", got, want)
	}
}
