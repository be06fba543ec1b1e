package cost_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/shapes"
)

// prints is a run of printed parts. The recipe fills a part wholly, without
// walls and skirt, so that its mass is volume × density: a cube of 20 mm in a
// material of 1.25 g/cm³ is 10 g. A plate takes 0.1 h to start.
var prints = input{
	"unit.csv": "",
	"prices/settings.csv": `Setting,Value
Home currency,EUR
Plate spacing mm,0
`,
	"prices/materials.csv": `Material,Density g/cm3,Spool g,Spool price
M,1.25,1000,20
PETG,1.27,1000,20
N,,1000,20
`,
	"prices/printers.csv": `Printer,Count,Bed X mm,Bed Y mm,Bed Z mm,Attended from,Attended to
P,1,100,100,100,08:00,10:00
Q,2,40,200,50,08:00,10:00
`,
	"prices/print-recipes.csv": `Recipe,Walls,Solid layers,Infill %,Start seconds,Skirt loops
full,0,0,100,360,0
half,0,0,50,360,0
`,
	"p.gcode":  "G1 X10 E1 F600\n",
	"cube.stl": string(shapes.Box(20, 20, 20).STL()),
}

const printedHead = "Quantity,Part number,Kind,Material,File,Filament g,Print hours,Per plate,Printer,Recipe\n"

// toolpathOf is a toolpath that was read: of a square piece, g and h.
func toolpathOf(side, g, h float64) *bom.Path {
	return &bom.Path{SizeMM: bom.Point{side, side, 10}, G: bom.Known(g), Hours: h, FilamentM: g / 3}
}

// printsOf reads a run of printed rows. The toolpaths are those of the rows, in
// order, where not nil: a row with a blank File then names one.
func printsOf(t *testing.T, in input, rows string, paths ...*bom.Path) cost.Run {
	t.Helper()
	lines := strings.Split(rows, "\n")
	for i, p := range paths {
		if p != nil {
			lines[i] = strings.NewReplacer("M,,", "M,p.gcode,", "N,,", "N,p.gcode,").Replace(lines[i])
		}
	}
	run := in.with("unit.csv", printedHead+strings.Join(lines, "\n")).read(t)
	for i, p := range paths {
		run.Unit.Lines[i].Print.Path = p
		for j := range run.Prices.PrintLog {
			if l := run.Prices.PrintLog[j].LineAmong(run.Unit.Lines); l == run.Unit.Lines[i] {
				run.Prices.PrintLog[j].Print.Path = p
			}
		}
	}
	return run
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b)) }

func TestSourcesOfAPrintedPart(t *testing.T) {
	meshed := one(t, printsOf(t, prints, "1,A,printed,M,cube.stl,,,1,P,"), 1).Plates[0]
	if !near(meshed.PieceG, 10) || meshed.From != "mesh, recipe full" {
		t.Errorf("cube: %v g from %q; want 10", meshed.PieceG, meshed.From)
	}
	for _, c := range []struct {
		why, row string
		path     *bom.Path
		g, h     float64
		from     string
		others   int
	}{
		{"all three: the bill of materials goes before", "1,A,printed,M,cube.stl,10.5,0.9,1,P,", toolpathOf(20, 10.2, 0.8), 10.5, 0.9, "bill of materials", 2},
		{"then the toolpath, and the start of the plate", "1,A,printed,M,cube.stl,,,1,P,", toolpathOf(20, 10.2, 0.8), 10.2, 0.9, "toolpath", 1},
		{"only the hours are typed", "1,A,printed,M,cube.stl,,0.9,1,P,", toolpathOf(20, 10.2, 0.8), 10.2, 0.9, "g: toolpath; h: bill of materials", 2},
		{"only the grams are typed", "1,A,printed,M,cube.stl,10.5,,1,P,", toolpathOf(20, 10.2, 0.8), 10.5, 0.9, "g: bill of materials; h: toolpath", 2},
		{"the start is shared by those on the plate", "1,A,printed,M,,,,4,P,", toolpathOf(20, 10.2, 0.8), 10.2, 0.825, "toolpath", 0},
		{"typed figures hold the start", "1,A,printed,M,,10.5,0.9,4,P,", nil, 10.5, 0.9, "bill of materials", 0},
	} {
		p := one(t, printsOf(t, prints, c.row, c.path), 4).Plates[0]
		if !near(p.PieceG, c.g) || !near(p.Hours/float64(p.Pieces), c.h) || p.From != c.from || len(p.Others) != c.others {
			t.Errorf("%s: %v g, %v h from %q, others %v; want %v, %v from %q, %d others", c.why, p.PieceG, p.Hours/float64(p.Pieces), p.From, p.Others, c.g, c.h, c.from, c.others)
		}
	}
}

// The mesh is cut by the recipe that the line names, and by the first where it
// names none.
func TestRecipeOfALine(t *testing.T) {
	for recipe, want := range map[string]float64{"": 10, "full": 10, "Half": 5} {
		p := one(t, printsOf(t, prints, "1,A,printed,M,cube.stl,,,,P,"+recipe), 1).Plates[0]
		if !near(p.PieceG, want) {
			t.Errorf("recipe %q: %v g, want %v", recipe, p.PieceG, want)
		}
	}
	in := prints.with()
	delete(in, "prices/print-recipes.csv")
	if p := one(t, printsOf(t, in, "1,A,printed,M,cube.stl,,,,P,"), 1).Plates[0]; p.From != "mesh, default recipe" {
		t.Errorf("from %q", p.From)
	}
}

func TestSourcesThatDiffer(t *testing.T) {
	for _, c := range []struct {
		why  string
		row  string
		path *bom.Path
		want string // in the warning; empty where there is none
	}{
		{"15 % less mass are within", "1,A,printed,M,,10,0.9,1,P,", toolpathOf(20, 8.5, 0.8), ""},
		{"over 15 % less mass", "1,A,printed,M,,10,0.9,1,P,", toolpathOf(20, 8.4, 0.8),
			"A: the bill of materials says 10.0 g and 0.90 h, the toolpath 8.4 g and 0.90 h"},
		{"over 15 % more time", "1,A,printed,M,,10,0.9,1,P,", toolpathOf(20, 10, 0.95), "the toolpath 10.0 g and 1.05 h"},
		{"a mesh that is another part", "1,A,printed,M,cube.stl,,,1,P,", toolpathOf(20, 14, 0.8), "the toolpath says 14.0 g and 0.90 h, the mesh 10.0 g"},
	} {
		_, problems := cost.Compute(printsOf(t, prints, c.row, c.path))
		var said []string
		for _, p := range problems.Of(bom.Warning) {
			if strings.Contains(p.What, " says ") {
				said = append(said, p.String())
			}
		}
		if (c.want == "") != (len(said) == 0) || c.want != "" && !strings.Contains(said[0], c.want) {
			t.Errorf("%s: %q, want %q", c.why, said, c.want)
		}
		if len(said) > 0 && !strings.HasPrefix(said[0], "unit.csv:2:5: ") {
			t.Errorf("%s: not at the cell of File: %s", c.why, said[0])
		}
	}
	b := one(t, printsOf(t, prints, "1,A,printed,M,,10,1,1,P,", toolpathOf(20, 11, 0.8)), 1)
	if o := b.Plates[0].Others[0]; o.From != "toolpath" || !near(o.DiffersG, 0.1) || !near(o.DiffersH, -0.1) {
		t.Errorf("the difference is %+v", o)
	}
}

func TestFaultsOfPrintedParts(t *testing.T) {
	flat := string(shapes.Box(150, 30, 5).STL())
	large := string(shapes.Box(250, 30, 5).STL())
	for _, c := range []struct{ why, row, want string }{
		{"a recipe thatis missing", "1,A,printed,M,cube.stl,,,,P,hlaf", `unit.csv:2:10: unknown recipe: not in the tab print recipes ("hlaf"); did you mean half`},
		{"a recipe near none", "1,A,printed,M,,10,1,,P,strong", `unit.csv:2:10: unknown recipe: not in the tab print recipes ("strong"); one of: full, half`},
		{"a printer thatis missing", "1,A,printed,M,,10,1,,R,", `unit.csv:2:9: unknown printer: not in the tab printers ("R"); one of: P, Q`},
		{"larger than the printer", "1,A,printed,M,flat.stl,,,,P,",
			`unit.csv:2:9: A, 150 × 30 × 5 mm, is larger than the bed of the printer ("P"); another printer, or Per plate where it is printed turned or tilted`},
		{"larger than the printer, but how it lies is known", "1,A,printed,M,flat.stl,,,1,P,",
			`unit.csv:2:9: warning: A, 150 × 30 × 5 mm, is larger than the bed of the printer ("P"); harmless if it is printed turned or tilted`},
		{"as many as cover the bed", "1,A,printed,M,cube.stl,,,25,P,", ""}, // 25 × 20 × 20 = 100 × 100
		{"more than cover the bed", "1,A,printed,M,cube.stl,,,26,P,",
			`unit.csv:2:8: warning: 26 pieces of A, 20 × 20 × 20 mm each, cover more than the bed of P as they lie ("26"); fewer; harmless if they are printed turned, nested or stacked`},
		{"larger than every printer", "1,A,printed,M,large.stl,,,,,",
			`unit.csv:2:5: A fits on no printer ("250 × 30 × 5 mm"); add a printer with a larger bed, or cut the part in two`},
		{"a material without a density", "1,A,printed,N,cube.stl,,,,P,",
			`unit.csv:2:4: the mass of A cannot be computed without the density of the material ("N"); Density g/cm3 in the tab materials, or Filament g here`},
		{"a material that is written otherwise", "1,A,printed,PTEG,cube.stl,,,,P,",
			`unit.csv:2:4: the mass of A cannot be computed without the density of the material ("PTEG"); Density g/cm3 in the tab materials, or Filament g here (there is one for "PETG")`},
		{"a density is not needed where the mass is typed", "1,A,printed,N,cube.stl,10,,,P,", ""},
	} {
		run := prints.with("unit.csv", printedHead+c.row, "flat.stl", flat, "large.stl", large).read(t)
		_, problems := cost.Compute(run)
		var got []string
		for _, p := range problems {
			got = append(got, p.Graded())
		}
		if c.want == "" && problems.Failed() || c.want != "" && !slices.Contains(got, c.want) {
			t.Errorf("%s: %q\nwant %q", c.why, got, c.want)
		}
	}
}

// The first printer of the sheet that holds the part prints it.
func TestFirstPrinterThatFits(t *testing.T) {
	in := prints.with("flat.stl", string(shapes.Box(150, 30, 5).STL()))
	b := one(t, printsOf(t, in, "1,A,printed,M,cube.stl,,,,,\n1,B,printed,M,flat.stl,,,,,"), 1)
	if a, b := b.Plates[0].Printer, b.Plates[1].Printer; a != "P" || b != "Q" {
		t.Errorf("on %s and %s; want P and Q", a, b)
	}
}

// Three prints took 11, 12 and 13 g where 10 were computed: × 1.2, the median.
// Half of them lie within a factor of 13/12, which makes the spread
// (13/12)^1.4826 = 1.126 (see printing.Correct). Hours: 0.9 are computed with the
// start, 0.45 were measured.
func TestPrintLogCorrects(t *testing.T) {
	in := prints.with("prices/print-log.csv", `File,Part number,Measured g,Measured hours,Printer,Recipe
,A,11,0.45,P,full
,A,13,,,
,A,12,0.45,,
,other unit,50,,P,full
`)
	run := printsOf(t, in, "1,A,printed,M,,,,1,P,full\n1,B,printed,M,,,,1,P,full\n1,C,printed,M,,,,1,P,half", toolpathOf(20, 10, 0.8), toolpathOf(30, 20, 0.8), toolpathOf(30, 20, 0.8))
	e := compute(t, run)
	b := e.Batches[0]
	for i, want := range []float64{12, 24, 20} { // the log says nothing of toolpaths of the recipe half
		if p := b.Plates[i]; !near(p.PieceG, want) {
			t.Errorf("%s: %v g, want %v", p.Part, p.PieceG, want)
		}
	}
	if h := b.Plates[1].PieceH + b.Plates[1].StartH/float64(b.Plates[1].Pieces); !near(h, 0.45) {
		t.Errorf("%v h, want 0.45", h)
	}
	const said = "g × 1.200 (typical error ±12.6 %, 3 prints); h × 0.500 (typical error ±0.0 %, 2 prints)"
	if from := b.Plates[1].From; from != "toolpath, corrected by finished prints: "+said {
		t.Errorf("from %q", from)
	}
	if !slices.ContainsFunc(e.Sources, func(s cost.Source) bool { return s.What == "print log" && s.Value == said }) {
		t.Errorf("not among the sources: %v", e.Sources)
	}
}

// Four squares of 50 mm lie on a bed of 100 mm. Two units with one A and one B
// each take one plate where the two share it, and two where they must not.
func TestSharedPlates(t *testing.T) {
	in := prints.with("prices/hand-work.csv", "Operation,Applies to,Basis,Seconds\nclear,printed,plate,60\n")
	for _, c := range []struct {
		why, b string
		groups int
		hours  float64 // A: 0.5 h a piece, B: 1 h; 0.1 h for each start
	}{
		{"the same material, recipe and printer", "1,B,printed,M,,,,,P,full", 1, 3.1},
		{"a blank recipe is the first", "1,B,printed,M,,,,,P,", 1, 3.1},
		{"another recipe", "1,B,printed,M,,,,,P,half", 2, 3.2},
		{"another material", "1,B,printed,N,,,,,P,full", 2, 3.2},
		{"another printer", "1,B,printed,M,,,,,Q,full", 2, 3.3}, // whose beds hold no two
		{"Per plate is typed", "1,B,printed,M,,,,2,P,full", 2, 3.2},
	} {
		side := 50.0
		if strings.Contains(c.b, ",Q,") {
			side = 110
		}
		b := toolpathOf(side, 20, 1)
		if side > 100 {
			b.SizeMM = bom.Point{40, side, 10}
		}
		got := one(t, printsOf(t, in, "1,A,printed,M,,,,,P,full\n"+c.b, toolpathOf(50, 10, 0.5), b), 2)
		hours, plates := 0.0, 0
		for _, p := range got.Plates {
			hours += p.Hours
		}
		for _, g := range got.Groups {
			plates += g.Plates
		}
		if len(got.Groups) != c.groups || !near(hours, c.hours) || got.Work[0].Times != float64(plates) {
			t.Errorf("%s: %d groups, %v h, %v plates cleared of %d; want %d, %v", c.why, len(got.Groups), hours, got.Work[0].Times, plates, c.groups, c.hours)
		}
	}
	got := one(t, printsOf(t, in, "1,A,printed,M,,,,,P,full\n1,B,printed,M,,,,,P,full", toolpathOf(50, 10, 0.5), toolpathOf(50, 20, 1)), 3)
	if g := got.Groups[0]; g.Plates != 2 || g.AreaBound != 2 || !slices.Equal(g.Runs, []int{0, 1}) {
		t.Errorf("six squares on %+v; want two plates, as many as by area", g)
	}
	if a, b := got.Plates[0].FilamentG, got.Plates[1].FilamentG; !near(a, 30) || !near(b, 60) {
		t.Errorf("%v and %v g; want 30 and 60, for the last plate holds what is left", a, b)
	}
}

// What is printed of one piece counts over its whole demand: on two lines, or in
// two lists, it lies on the same plates. Six and six pieces at four a plate are three
// plates, not two and two.
func TestOnePieceOnTwoLines(t *testing.T) {
	const row = "2,A,printed,M,,10,1,4,P,\n"
	for why, run := range map[string]cost.Run{
		"two lines":                          printsOf(t, prints, row+row),
		"one of them leaves Per plate blank": printsOf(t, prints, row+"2,A,printed,M,,10,1,,P,\n"),
		"the blank one first":                printsOf(t, prints, "2,A,printed,M,,10,1,,P,\n"+row),
		"two lists": prints.with("unit.csv", "Quantity,Part number,Kind,File\n1,U,assembly,u.csv\n1,V,assembly,v.csv\n",
			"u.csv", printedHead+row, "v.csv", printedHead+row).read(t),
	} {
		b := one(t, run, 3)
		if len(b.Groups) != 1 || b.Groups[0].Plates != 3 {
			t.Fatalf("%s: plates %+v; want three in one group", why, b.Groups)
		}
		first, second := b.Plates[0], b.Plates[1]
		if !near(first.FilamentG, 60) || !near(second.FilamentG, 60) || !near(first.Hours+second.Hours, 12) {
			t.Errorf("%s: %+v and %+v; want 60 g each and 12 h", why, first, second)
		}
		_, problems := cost.Compute(run)
		if said := problems.Of(bom.Assumption); len(said) > 0 {
			t.Errorf("%s: %v; want no word of one to a plate", why, said)
		}
	}
	b := one(t, printsOf(t, prints, row+"1,A,printed,M,,10,1,4,P,\n"), 3) // six and three
	if first, second := b.Plates[0], b.Plates[1]; b.Groups[0].Plates != 3 || first.Laid != 6 || second.Laid != 3 {
		t.Errorf("%+v and %+v; want two full plates and one with the last piece", first, second)
	}
	if b := one(t, printsOf(t, prints, row+"2,B,printed,M,,10,1,4,P,\n"), 3); len(b.Groups) != 2 {
		t.Errorf("two parts lie on shared plates: %+v", b.Groups)
	}
}

// One part number is one piece, of one material, mass, time and number on a plate.
func TestOnePartNumberIsOnePiece(t *testing.T) {
	for other, want := range map[string]string{
		"1,A,printed,N,,10,1,4,P,": "Material",
		"1,A,printed,M,,11,1,4,P,": "Filament g",
		"1,A,printed,M,,10,2,4,P,": "Print hours",
		"1,A,printed,M,,10,1,3,P,": "Per plate",
	} {
		_, problems := cost.Compute(printsOf(t, prints, "1,A,printed,M,,10,1,4,P,\n"+other))
		if len(problems) != 1 || !strings.Contains(problems[0].String(), "unit.csv:2:") || !strings.Contains(problems[0].String(), "another "+want) {
			t.Errorf("%s: %v; want one complaint of %s", other, problems, want)
		}
	}
	// Another printer takes its own time, and another recipe its own grams.
	compute(t, printsOf(t, prints, "1,A,printed,M,,10,1,4,P,\n1,A,printed,M,,10,2,4,Q,\n1,A,printed,M,,8,1,4,P,half"))
}

// Without a size each piece has a plate of its own.
func TestOnePerPlateWithoutASize(t *testing.T) {
	b := one(t, printsOf(t, prints, "3,A,printed,M,,10,1,,P,"), 2)
	if p := b.Plates[0]; p.Plates != 6 || p.PerPlate != 1 || b.Groups[0].Packed {
		t.Errorf("%+v", p)
	}
}

// A plate that fails is printed again, whichever it is. Neither two A nor two B nor one of
// each fit together. At 13 % failures the two plates are printed 2 / 0.87 times; the days
// allow for three at 95 %: 0.87² = 0.757, and 3 × 0.87² − 2 × 0.87³ = 0.954.
func TestFailuresOfSharedPlates(t *testing.T) {
	in := prints.with("prices/printers.csv", "Printer,Bed X mm,Bed Y mm,Failure %\nP,100,100,13\n")
	b := one(t, printsOf(t, in, "1,A,printed,M,,,,,P,\n1,B,printed,M,,,,,P,", toolpathOf(60, 5, 0.5), toolpathOf(70, 10, 1)), 1)
	if g := b.Groups[0]; g.Plates != 2 || !near(b.Printed, 2/0.87) {
		t.Fatalf("%+v, %v", g, b.Printed)
	}
	if a, b := b.Plates[0], b.Plates[1]; !near(a.FilamentG, 5/0.87) || !near(b.FilamentG, 10/0.87) || !near(b.Hours, 1.1/0.87) || b.Planned != 2 {
		t.Errorf("%+v\n%+v", a, b)
	}
	if p := b.Printing; !near(p.FinishH, 0.6+1.1+1.1) { // the longer one twice
		t.Errorf("through after %v h", p.FinishH)
	}
}

// A plate that fails with probability f is made 1/(1 − f) times on average (mean of the
// geometric distribution): 40 pieces of 40 g and 3 h at 5 % are 126.315789 h, and at 20.00
// a kg and 0.50 an hour 96.84: (0.80 + 1.50) / 0.95 × 40.
func TestReprints(t *testing.T) {
	in := prints.with("prices/printers.csv", "Printer,Hourly rate,Failure %\nP,0.50,5\n")
	for _, c := range []struct {
		size  int
		hours float64
	}{{1, 3.157895}, {40, 126.315789}} {
		b := one(t, printsOf(t, in, "1,A,printed,M,,40,3,1,P,"), c.size)
		if p := b.Plates[0]; math.Abs(p.Hours-c.hours) > 5e-7 || p.Plates != c.size || p.Planned < p.Plates {
			t.Errorf("%d plates: %+v; want %v h", c.size, p, c.hours)
		}
		if c.size == 40 {
			equal(t, "consumed", b.Total.Consumed, "96.84")
		}
	}
	// 45 plates are enough at 95 % (binomial sums: 44 are at 93 %), so that 1.8 kg are had
	// for the 1.684 kg that are consumed.
	b := one(t, printsOf(t, in, "1,A,printed,M,,40,3,1,P,"), 40)
	if p := b.Plates[0]; p.Planned != 45 || b.Parts[0].Demand != bom.Whole(1800) || b.Purchases[0].Quantity != 2 {
		t.Errorf("%d plates allowed for, %s g to be had, %d spools", p.Planned, b.Parts[0].Demand, b.Purchases[0].Quantity)
	}
	equal(t, "of the two spools", b.Parts[0].Consumed, "33.68")
}

// The last plate holds the rest: 7 pieces at 4 a plate are one of 4 and one of 3, and what
// the recipe takes to start is paid for each.
func TestLastPlateHoldsTheRest(t *testing.T) {
	b := one(t, printsOf(t, prints, "1,A,printed,M,,10,1,4,P,"), 7)
	if p := b.Plates[0]; p.Plates != 2 || p.Pieces != 7 || !near(p.FilamentG, 70) || !near(p.Hours, 7) || p.StartH != 0 {
		t.Errorf("typed: %+v", p)
	}
	b = one(t, printsOf(t, prints, "1,A,printed,M,,,,4,P,", toolpathOf(20, 10, 1)), 7)
	if p := b.Plates[0]; !near(p.FilamentG, 70) || !near(p.Hours, 7.2) || !near(p.StartH, 0.2) {
		t.Errorf("of a toolpath: %+v", p)
	}
}

// Where no printer is named each plate goes to the printer that is free for it first, the
// longest first, and takes that printer's rate and failures. P prints at 8 and at 8 the
// next day, Q, of which there are two, twice at 8: of four plates of 20 h P has two.
func TestWhicheverIsFree(t *testing.T) {
	in := prints.with("prices/printers.csv", `Printer,Count,Bed X mm,Bed Y mm,Hourly rate,Failure %,Attended from,Attended to
P,1,100,100,1,0,08:00,10:00
Q,2,40,200,2,20,08:00,10:00
`)
	at := func(b cost.Batch) (out string) {
		for _, p := range b.Plates {
			out += fmt.Sprintf("%s on %s: %d on %d plates, %.2f h, %s; ", p.Part, p.Printer, p.Pieces, p.Plates, p.Hours, p.Machine)
		}
		return out
	}
	for _, c := range []struct {
		why, rows string
		paths     []*bom.Path
		want      string
	}{
		{"whichever is free", "4,A,printed,M,,10,20,1,,", nil, "A on P: 2 on 2 plates, 40.00 h, 40; A on Q: 2 on 2 plates, 50.00 h, 100; "},
		{"named", "4,A,printed,M,,10,20,1,P,", nil, "A on P: 4 on 4 plates, 80.00 h, 80; "},
		{"one that is named keeps its printer busy", "1,B,printed,M,,10,40,1,P,\n3,A,printed,M,,10,20,1,,", nil,
			"B on P: 1 on 1 plates, 40.00 h, 40; A on Q: 3 on 3 plates, 75.00 h, 150; "},
		{"too wide for Q", "4,A,printed,M,,,,1,,", []*bom.Path{toolpathOf(60, 10, 20)}, "A on P: 4 on 4 plates, 80.40 h, 80.4; "},
		{"a plate as it is laid on P is too wide for Q", "8,A,printed,M,,,,,,", []*bom.Path{toolpathOf(50, 10, 5)}, "A on P: 8 on 2 plates, 40.20 h, 40.2; "},
		{"as it is laid it fits on Q", "6,A,printed,M,,,,,,", []*bom.Path{{SizeMM: bom.Point{20, 100, 10}, G: bom.Known(10), Hours: 5, FilamentM: 3}},
			"A on P: 5 on 1 plates, 25.10 h, 25.1; A on Q: 1 on 1 plates, 6.38 h, 12.75; "},
		{"typed, several: no smaller bed", "2,A,printed,M,,10,20,2,,\n2,B,printed,M,,10,10,1,,", nil,
			"A on P: 2 on 1 plates, 40.00 h, 40; B on Q: 2 on 2 plates, 25.00 h, 50; "},
	} {
		b := one(t, printsOf(t, in, c.rows, c.paths...), 1)
		if got := at(b); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.why, got, c.want)
		}
	}
	used := one(t, printsOf(t, in, "4,A,printed,M,,10,20,1,,"), 1)
	if p := used.Plates; p[0].Planned != 2 || p[1].Planned != 4 || !near(used.Printed, 2+2/0.8) { // 0.8² and 1 − 0.2⁴ − 4 × 0.8 × 0.2³ = 0.973
		t.Errorf("%+v, %v in all", p, used.Printed)
	}
}

// A mesh takes the hours of the printer that prints it, by its limits of motion and by what
// finished prints took there.
func TestHoursOfTheOtherPrinter(t *testing.T) {
	in := prints.with("prices/printers.csv", "Printer,Bed X mm,Bed Y mm,Max speed X mm/s,Max speed Y mm/s\nP,30,30,,\nQ,30,30,10,10\n",
		"prices/print-log.csv", "File,Measured g,Printer,Recipe\ncube.stl,12,Q,full\n")
	run := printsOf(t, in, "2,A,printed,M,cube.stl,,,,,full")
	run.Prices.PrintLog[0].Print = run.Unit.Lines[0].Print
	e := compute(t, run)
	p := e.Batches[0].Plates
	if len(p) != 2 || p[0].Printer != "P" || p[1].Printer != "Q" || p[0].Pieces+p[1].Pieces != 20 || p[0].Pieces < p[1].Pieces {
		t.Fatalf("%+v", p)
	}
	alone := one(t, printsOf(t, in.with("prices/print-log.csv", "File,Measured g,Printer,Recipe\ncube.stl,12,P,half\n"), "1,A,printed,M,cube.stl,,,,Q,full"), 1).Plates[0]
	if !near(p[0].PieceG, 10) || !near(p[1].PieceG, 12) || !near(p[1].PieceH, alone.PieceH) || p[1].PieceH < 1.5*p[0].PieceH {
		t.Errorf("%v g and %v h on P, %v g and %v h on Q, %v alone", p[0].PieceG, p[0].PieceH, p[1].PieceG, p[1].PieceH, alone.PieceH)
	}
	for _, name := range []string{"A: Print hours", "A: Print hours on Q", "A: Filament g on Q"} {
		if !slices.ContainsFunc(e.Sources, func(s cost.Source) bool { return s.Name == name }) {
			t.Errorf("%s is not among the sources", name)
		}
	}
}

// A printer that does not run on unattended ends its plates in attended hours.
func TestAttendedUntilTheEnd(t *testing.T) {
	in := prints.with("prices/printers.csv", "Printer,Attended from,Attended to,Runs on unattended\nP,22:00,06:00,no\n")
	b := one(t, printsOf(t, in, "2,A,printed,M,,10,5,1,P,"), 1) // 0–5, 22–27
	if p := b.Printing; !near(p.FinishH, 27) {
		t.Errorf("%+v", p)
	}
	const complaint = `prices/printers.csv:2:4: a plate of A takes 10.00 h, longer than P is attended ("no"); longer attended hours, fewer pieces on a plate, or yes`
	run := printsOf(t, in, "1,A,printed,M,,10,5,2,P,\n1,B,printed,M,,10,5,1,P,")
	run.Batches = []int{1, 4}
	if _, problems := cost.Compute(run); len(problems) != 1 || problems[0].String() != complaint {
		t.Errorf("%v", problems)
	}
	in = in.with("prices/printers.csv", in["prices/printers.csv"]+"Q,22:00,06:00,yes\n")
	if b := one(t, printsOf(t, in, "2,A,printed,M,,10,5,2,,"), 1); b.Plates[0].Printer != "Q" {
		t.Errorf("%+v", b.Plates)
	}
}

// A plate of 5 h can be started from 08:00 to 10:00 only, so that a printer does
// one a day. On one printer three are through on the third day at 13:00, 61 h from
// the first midnight: it stands still for 61 − 8 − 15 h. Two printers are through
// on the second day: 37 h, less 8 h and 15 h in all.
func TestDays(t *testing.T) {
	for _, c := range []struct {
		printer      string
		finish, idle float64
	}{{"P", 61, 38}, {"Q", 37, 2*(37-8) - 15}} {
		b := one(t, printsOf(t, prints, "1,A,printed,M,,10,5,1,"+c.printer+","), 3)
		if p := b.Printing; !p.Known || !near(p.FinishH, c.finish) || !near(p.IdleH, c.idle) || p.BoundH > p.FinishH || p.BoundH < 13 {
			t.Errorf("%s: %+v; want %v h, %v h idle", c.printer, p, c.finish, c.idle)
		}
	}
	in := prints.with()
	delete(in, "prices/printers.csv")
	if b := one(t, printsOf(t, in, "1,A,printed,M,,10,5,1,,"), 3); b.Printing.Known {
		t.Errorf("without a printer: %+v", b.Printing)
	}
}

// More plates than can be planned are a warning, not an error.
func TestTooManyPlatesForDays(t *testing.T) {
	run := printsOf(t, prints, "1,A,printed,M,,10,5,1,P,")
	run.Batches = []int{200_000}
	e, problems := cost.Compute(run)
	if problems.Failed() || e.Batches[0].Printing.Known || !strings.Contains(fmt.Sprint(e.Warnings), "200,000") {
		t.Errorf("%v", problems)
	}
}

// Filament that is pressed out at the start counts once a plate: 500 mm of 1.75 mm
// are 1.503301171875 g of 1.25 g/cm³. Five wanted, four to a plate, make two plates,
// of which at 20 % failures 2.5 are printed. A typed mass holds it already.
func TestPrimeOnPlates(t *testing.T) {
	in := prints.with("prices/print-recipes.csv", "Recipe,Walls,Solid layers,Infill %,Skirt loops,Prime mm\nfull,0,0,100,0,500\n",
		"prices/printers.csv", "Printer,Bed X mm,Bed Y mm,Failure %\nP,100,100,20\n")
	const prime = 1.503301171875
	run := one(t, printsOf(t, in, "1,A,printed,M,cube.stl,,,4,P,"), 5).Plates[0]
	if !near(run.FilamentG, (5*10+2*prime)/0.8) || !near(run.PieceG, 10) || !near(run.PrimeG, 2*prime) || run.Plates != 2 {
		t.Errorf("%+v", run)
	}
	if run := one(t, printsOf(t, in, "1,A,printed,M,cube.stl,10,,4,P,"), 5).Plates[0]; !near(run.FilamentG, 50/0.8) || run.PrimeG != 0 {
		t.Errorf("typed: %+v", run)
	}
}

// A printed part without a mass weighs what its filament weighs, wherever that
// is known from.
func TestMassOfAMeshForPost(t *testing.T) {
	in := prints.with("prices/postage.csv", "Service,Price\npost,3\n")
	if b := one(t, printsOf(t, in, "2,A,printed,M,cube.stl,,,,P,"), 1); !near(b.Posts[0].MassG, 20) {
		t.Errorf("%v g, want 20", b.Posts[0].MassG)
	}
}

// A row of who pays that names a printed part is about its filament and energy, before one
// for its material; printer hours stay with the maker, as all own work. 10 units take 100 g
// and 300 g of a spool of 1000 g for 20.00: 2.00 and 6.00 of the 8.00 that is consumed, and
// 5.00 and 15.00 of the cash; energy of 1 kW over 2 h and 4 h at 0.50, at 0.10 each hour.
func TestWhoPaysPrintedParts(t *testing.T) {
	in := prints.with(
		"prices/settings.csv", "Setting,Value\nHome currency,EUR\nEnergy price per kWh,0.50\n",
		"prices/printers.csv", "Printer,Power W,Hourly rate\nP,1000,0.10\n",
		"prices/materials.csv", "Material,Spool g,Spool price,Supplier\nM,1000,20,Spool House\n")
	rows := "1,LID,printed,M,,10,0.2,1,,\n1,BOX,printed,M,,30,0.4,1,,"
	for _, c := range []struct{ shares, maker, town, consumed string }{
		{"LID,town,100", "17.00", "6.00", "3.00"},
		{"LID,town,50\nLID,maker,50", "20.00", "3.00", "1.50"},
		{"LID,town,100\nM,town,50\nM,maker,50", "9.50", "13.50", "6.00"},
		{"LID,town,100\nBOX,maker,100\nSpool House,town,100", "17.00", "6.00", "3.00"},
		{"LID,maker,100\nprinted parts,town,100", "6.00", "17.00", "8.00"},
		{"LID,town,100\nBOX,town,100", "0.00", "23.00", "11.00"},
	} {
		run := printsOf(t, in.with("prices/who-pays.csv", "Applies to,Payer,Share %\n"+c.shares+"\n"), rows)
		run.Batches = []int{10}
		e := compute(t, run)
		for _, p := range e.Batches[0].Payers {
			if p.Name == cost.Maker {
				equal(t, c.shares+": cash of the maker", p.Cash, c.maker)
				equal(t, c.shares+": own work of the maker", p.Own, "0.60")
			} else {
				equal(t, c.shares+": cash of the town", p.Cash, c.town)
				equal(t, c.shares+": consumed by the town", p.Consumed, c.consumed)
			}
		}
	}
}
