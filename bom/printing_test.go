package bom

import (
	"slices"
	"strconv"
	"testing"
)

func TestKinematicsFillsWhatIsNotGiven(t *testing.T) {
	p := Printer{Limits: map[string]float64{
		"Max speed X mm/s":         150,
		"Max acceleration E mm/s2": 5000,
		"Junction deviation mm":    0.05,
		"Max speed Z mm/s":         0, // would forbid all lifting
	}}
	want := DefaultLimits()
	want.Speed[0], want.Acceleration[3], want.JunctionMM = 150, 5000, 0.05
	if got := p.Kinematics(); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

// What the sheet says of a blank limit is what bounds a printer without any.
func TestLimitDefaultsAreThoseOfTheSheet(t *testing.T) {
	tab, _ := PriceTab(TabPrinters)
	d := DefaultLimits()
	for i, heading := range LimitHeadings {
		c, _ := tab.Find(heading)
		if want := strconv.FormatFloat(*d.figures()[i], 'f', -1, 64); c.Default != want {
			t.Errorf("%s: the sheet says %q, the printer %s", heading, c.Default, want)
		}
	}
}

// What the sheet says of a blank cell is what a blank recipe holds.
func TestRecipeDefaultsAreThoseOfTheSheet(t *testing.T) {
	r := DefaultRecipe()
	have := map[string]float64{
		"Layer mm": r.LayerMM, "Line width mm": r.LineMM, "Walls": float64(r.Walls), "Solid layers": float64(r.SolidLayers),
		"Infill %": r.Infill, "Flow %": r.Flow, "Wall speed mm/s": r.WallSpeed, "Solid speed mm/s": r.SolidSpeed, "Infill speed mm/s": r.InfillSpeed,
		"Travel speed mm/s": r.TravelSpeed, "Flow limit mm3/s": r.FlowLimit, "Acceleration mm/s2": r.Acceleration,
		"Start seconds": r.StartS, "Layer change seconds": r.LayerChangeS, "Skirt loops": float64(r.SkirtLoops), "Support %": r.Support,
		"Least layer seconds": r.LeastS, "Slowest speed mm/s": r.SlowestSpeed, "Prime mm": r.PrimeMM, "Solid under mm2": r.SolidUnder,
		"Outline inset mm": r.InsetMM, "Pull-back seconds": r.PullBackS, "Restart mm": r.RestartMM,
	}
	special := map[string]Measure{ // blank cells are those of another column
		"First layer mm": r.Special.FirstLayerMM, "Infill line mm": r.Special.FillLineMM, "Top line mm": r.Special.TopLineMM, "Top layers": r.Special.TopLayers, "Bottom layers": r.Special.BottomLayers,
		"Outer wall speed mm/s": r.Special.OuterSpeed, "Small outline speed mm/s": r.Special.SmallSpeed,
		"First layer speed mm/s": r.Special.FirstSpeed, "First layer fill speed mm/s": r.Special.FirstFillSpeed, "First layer acceleration mm/s2": r.Special.FirstAcceleration, "Top speed mm/s": r.Special.TopSpeed,
	}
	worded := map[string]Measure{ // blank cells change nothing
		"First layer line mm": r.Special.FirstLineMM, "Bridge speed mm/s": r.Special.BridgeSpeed, "Bridge strand mm": r.Special.BridgeMM, "Gap speed mm/s": r.Special.GapSpeed,
	}
	taken := map[string]bool{}
	for _, c := range RecipeTab.Columns {
		if !c.Form.Numeric() {
			continue
		}
		if own, ok := worded[c.Heading]; ok {
			if own.Known || c.Default == "" {
				t.Errorf("%s: the sheet says %q, the recipe %v", c.Heading, c.Default, own)
			}
			continue
		}
		if own, ok := special[c.Heading]; ok {
			_, other := have[c.Default]
			if _, same := special[c.Default]; own.Known || !other && !same && !taken[c.Default] {
				t.Errorf("%s: the sheet says as %q, the recipe %v", c.Heading, c.Default, own)
			}
			continue
		}
		taken[c.Heading] = true
		want, err := strconv.ParseFloat(c.Default, 64)
		got, ok := have[c.Heading]
		if err != nil || !ok || got != want {
			t.Errorf("%s: the sheet says %q, the recipe %v", c.Heading, c.Default, got)
		}
		delete(have, c.Heading)
	}
	if len(have) > 0 {
		t.Errorf("without a column: %v", have)
	}
}

func TestFindingPrinterAndRecipe(t *testing.T) {
	bed := func(x, y, z float64) [3]Measure { return [3]Measure{Known(x), Known(y), Known(z)} }
	p := Prices{Printers: []Printer{{Name: "small", BedMM: bed(100, 80, 50)}, {Name: "large", BedMM: bed(200, 200, 200)}, {Name: "no bed"}}}
	for _, c := range []struct {
		why   string
		size  Point
		known bool
		want  string
	}{
		{"it fits", Point{100, 80, 50}, true, "small"},
		{"it fits turned by a quarter", Point{80, 100, 50}, true, "small"},
		{"too high", Point{80, 80, 50.1}, true, "large"},
		{"a printer whose bed is not known holds anything", Point{300, 10, 10}, true, "no bed"},
		{"a part whose size is not known takes the first", Point{}, false, "small"},
	} {
		if got := p.FirstPrinter(c.size, c.known); got == nil || got.Name != c.want {
			t.Errorf("%s: %v, want %s", c.why, got, c.want)
		}
	}
	p.Printers = p.Printers[:2]
	if got := p.FirstPrinter(Point{300, 10, 10}, true); got != nil {
		t.Errorf("%s holds what is larger than its bed", got.Name)
	}
	if got := p.FindPrinter(" LARGE"); got == nil || got.Name != "large" {
		t.Errorf("found %v", got)
	}
	if r := p.FindRecipe(""); r == nil || *r != DefaultRecipe() {
		t.Errorf("without the tab: %v", r)
	}
	p.Recipes = []Recipe{{Name: "draft"}, {Name: "strong"}}
	for name, want := range map[string]string{"": "draft", "Strong": "strong"} {
		if r := p.FindRecipe(name); r == nil || r.Name != want {
			t.Errorf("recipe %q: %v, want %s", name, r, want)
		}
	}
	if r := p.FindRecipe("fine"); r != nil {
		t.Errorf("found %v", r)
	}
	p.Materials = []Material{{Name: "PETG", DiameterMM: 2.85}, {Name: "petg", Density: 1.27, DiameterMM: 1.75}}
	if density, diameter := p.FilamentOf("PETG"); density != 1.27 || diameter != 2.85 {
		t.Errorf("density %v, diameter %v", density, diameter)
	}
}

func TestLineOfAFinishedPrint(t *testing.T) {
	lines := []*Line{
		{Part: "FA-CASE", Files: []string{"run/case.gcode", "run/case.stl"}},
		{Part: "FA-LID", Files: []string{"run/cad/lid.stl"}},
		{Part: "FA-PIN"},
	}
	for _, c := range []struct {
		why string
		log PrintLog
		row int // -1: none
	}{
		{"by its file", PrintLog{File: "case.stl"}, 0},
		{"by its other file", PrintLog{File: "case.gcode"}, 0},
		{"by a file in a folder", PrintLog{File: `cad\lid.stl`}, 1},
		{"by the whole path", PrintLog{File: "./run/cad/lid.stl"}, 1},
		{"by its part", PrintLog{Part: "fa-pin"}, 2},
		{"the file goes before the part", PrintLog{File: "case.stl", Part: "FA-LID"}, 0},
		{"a file of another unit", PrintLog{File: "tower.stl", Part: "FA-LID"}, -1},
		{"a file whose name only ends alike", PrintLog{File: "e.stl"}, -1},
		{"another part", PrintLog{Part: "FA-TOP"}, -1},
	} {
		got := c.log.LineAmong(lines)
		if c.row < 0 && got != nil || c.row >= 0 && got != lines[c.row] {
			t.Errorf("%s: %+v", c.why, got)
		}
	}
}

// An assembly that is named twice is printed once as far as files go; what is
// not fitted is not printed.
func TestPrintedLines(t *testing.T) {
	pin, cap := &Line{Kind: KindPrinted, Fitted: true, Part: "pin"}, &Line{Kind: KindPrinted, Fitted: true, Part: "cap"}
	sub := &Assembly{Lines: []*Line{pin, {Kind: KindPrinted, Part: "spare"}, {Kind: KindOther, Fitted: true}}}
	left := &Assembly{Lines: []*Line{{Kind: KindPrinted, Fitted: true, Part: "unused"}}}
	unit := &Assembly{Lines: []*Line{{Kind: KindAssembly, Fitted: true, Sub: sub}, cap, {Kind: KindAssembly, Fitted: true, Sub: sub}, {Kind: KindAssembly, Sub: left}}}
	if got := unit.PrintedLines(); !slices.Equal(got, []*Line{pin, cap}) {
		t.Errorf("%v", got)
	}
}
