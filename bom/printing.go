package bom

import "math"

// KinematicLimits bound the motion of a printer. The figures are those of the
// tab printers; where one is not given, DefaultLimits holds.
type KinematicLimits struct {
	Speed        [4]float64 // X, Y, Z, E, mm/s
	Acceleration [4]float64 // X, Y, Z, E, mm/s²
	JunctionMM   float64    // junction deviation: how far a corner may be cut, mm
}

// DefaultLimits are those of a small bed-moving printer (common practice, no
// source).
func DefaultLimits() KinematicLimits {
	return KinematicLimits{
		Speed:        [4]float64{200, 200, 12, 50},
		Acceleration: [4]float64{1500, 1500, 100, 3000},
		JunctionMM:   0.02,
	}
}

// OrDefault takes the default for each figure that is not over 0, and would
// forbid all motion.
func (k KinematicLimits) OrDefault() KinematicLimits {
	d := DefaultLimits()
	for i, have := range k.figures() {
		if !(*have > 0) {
			*have = *d.figures()[i]
		}
	}
	return k
}

// Kinematics gives the printer's limits of motion; a figure that is missing is
// the default's, as are all of no printer.
func (p *Printer) Kinematics() (k KinematicLimits) {
	if p == nil {
		return DefaultLimits()
	}
	for i, f := range k.figures() {
		*f = p.Limits[LimitHeadings[i]]
	}
	return k.OrDefault()
}

// figures are in the order of LimitHeadings.
func (k *KinematicLimits) figures() [9]*float64 {
	s, a := &k.Speed, &k.Acceleration
	return [9]*float64{&s[0], &s[1], &s[2], &s[3], &a[0], &a[1], &a[2], &a[3], &k.JunctionMM}
}

// Recipe is a row of the tab print recipes: how a part is printed that is
// computed from its mesh.
type Recipe struct {
	Dated
	Name         string
	LayerMM      float64 // height of a layer, mm
	LineMM       float64 // width of a line, mm
	Walls        int     // lines round each outline
	SolidLayers  int     // solid layers under each top and over each bottom, where Top and Bottom do not say
	Infill       float64 // share of the inside that is filled, %
	InfillLinked bool    // lines of a filling go on along the wall, each to the next
	Flow         float64 // filament pressed out, % of what the lines take by their widths
	SolidUnder   float64 // a part of a layer that is smaller inside its walls is filled wholly, mm²
	WallSpeed    float64 // mm/s
	SolidSpeed   float64 // mm/s
	InfillSpeed  float64 // mm/s
	TravelSpeed  float64 // mm/s
	FlowLimit    float64 // largest flow of plastic, mm³/s; 0: none
	Acceleration float64 // mm/s²
	StartS       float64 // heating and levelling before the first layer, s per plate
	LayerChangeS float64 // lifting and returning at each layer, s
	PullBackS    float64 // pulling the filament back and returning it on a way without printing, s
	PullInside   bool    // it is pulled back on all ways, not just on those that leave the part: from a hole, or to a part of the layer that lies apart
	RestartMM    float64 // filament that is pressed out beyond what was pulled back, mm
	SkirtLoops   int     // lines round the part on the first layer
	Support      float64 // allowance for supports, % of the part's own filament and time
	LeastS       float64 // a layer is not printed in less, s
	SlowestSpeed float64 // but no line is slowed down below this for it, mm/s
	PrimeMM      float64 // filament pressed out at the start of a plate, mm
	InsetMM      float64 // by which outlines are moved into the part before it is printed, mm
	Special      SpecialLines
}

// SpecialLines are figures of a recipe for some of its lines; what is not known
// is as for the others.
type SpecialLines struct {
	FirstLayerMM            Measure // height of the lowest layer, mm; else LayerMM
	FillLineMM              Measure // width of the lines that fill, mm; else LineMM
	FirstLineMM             Measure // width of the lines of the lowest layer, mm; else LineMM, and FillLineMM where they fill
	TopLineMM               Measure // width of the lines of the uppermost solid layer, mm; else as others that fill
	BridgeMM                Measure // thickness of the round strands that are laid over air and sparse infill, mm; else as other solid lines
	TopLayers, BottomLayers Measure // whole numbers; else SolidLayers
	OuterSpeed              Measure // of the line that lies on an outline, mm/s; else WallSpeed
	SmallSpeed              Measure // of lines round outlines, and of others further in, shorter than SmallOutlineMM, mm/s; else WallSpeed
	FirstSpeed              Measure // the most that the lines of the lowest layer run at, mm/s; else WallSpeed
	FirstFillSpeed          Measure // the same of those that fill, mm/s; else FirstSpeed
	FirstAcceleration       Measure // in the lowest layer, mm/s²; else Acceleration
	TopSpeed                Measure // of the uppermost solid layer, mm/s; else SolidSpeed
	BridgeSpeed             Measure // of lines that are laid over air and sparse infill, mm/s; else as others of their kind
	GapSpeed                Measure // of the line in what is left between the lines of a thin wall, mm/s; 0: it stays empty; else walls fill it
}

// SmallOutlineMM is the length under which an outline is small: that of a circle
// of radius 6.5 mm (common practice, no source).
const SmallOutlineMM = 2 * math.Pi * 6.5

// Or is the figure, or another where it is not known.
func (m Measure) Or(other float64) float64 {
	if m.Known {
		return m.Value
	}
	return other
}

// DefaultRecipe holds what blank cells of a recipe mean (common practice, no
// source).
func DefaultRecipe() Recipe {
	return Recipe{
		LayerMM: 0.2, LineMM: 0.45, Walls: 2, SolidLayers: 4, Infill: 20, Flow: 100,
		WallSpeed: 45, SolidSpeed: 50, InfillSpeed: 60, TravelSpeed: 120,
		FlowLimit: 10, Acceleration: 1000, StartS: 240, LayerChangeS: 0.5, SkirtLoops: 1, SlowestSpeed: 10,
	}
}

// PrintLog is a row of the tab print log: what a finished print took.
type PrintLog struct {
	Dated
	File      string  // the mesh or toolpath; one of File and Part is given
	Part      string  // the part as the bill of materials names it
	MeasuredG Measure // filament of one piece, g
	MeasuredH Measure // hours of one piece
	Printer   string
	Recipe    string

	Files []string   // what File names, once it is found
	Print PrintFiles // what they hold, once they are read
}

// The names of the tabs for printed parts.
const (
	TabRecipes  = "print recipes"
	TabPrintLog = "print log"
)

// RecipeTab documents the print recipes. The defaults are those of
// DefaultRecipe.
var RecipeTab = priceTab(TabRecipes, "How a part is printed whose mass and hours are computed from its mesh.",
	Column{Heading: "Recipe", Form: FormKey, Required: true, Doc: "The recipe's name, as the bill of materials has it.", Example: "strong"},
	Column{Heading: "Layer mm", Form: FormNumber, Unit: "mm", Default: "0.2", Doc: "Height of a layer, in mm.", Example: "0.2"},
	Column{Heading: "First layer mm", Form: FormNumber, Unit: "mm", Default: "Layer mm", Doc: "Height of the lowest layer, in mm.", Example: "0.3"},
	Column{Heading: "Line width mm", Form: FormNumber, Unit: "mm", Default: "0.45",
		Doc: "Width of a line, in mm: its cross-section by its height, so that a line 0.45 mm wide and 0.2 mm high with round ends counts 0.41.", Example: "0.45"},
	Column{Heading: "Infill line mm", Form: FormNumber, Unit: "mm", Default: "Line width mm", Doc: "Width of the lines that fill, solid or sparse, counted alike, in mm.", Example: "0.5"},
	Column{Heading: "Top line mm", Form: FormNumber, Unit: "mm", Default: "Infill line mm", Doc: "Width of the lines of the uppermost solid layer, counted alike, in mm.", Example: "0.4"},
	Column{Heading: "First layer line mm", Form: FormNumber, Unit: "mm", Default: "as in other layers", Doc: "Width of all lines of the lowest layer, counted alike, in mm.", Example: "0.5"},
	percent("Flow %", "100", "Filament that is pressed out, in % of what the lines take by their widths: the flow or extrusion multiplier.", "95"),
	recipeNumber("Outline inset mm", "mm", "0", "By how much outlines are moved into the part before it is printed, in mm: holes get wider, walls thinner."),
	Column{Heading: "Walls", Form: FormWhole, Unit: "lines", Default: "2", Doc: "Lines round each outline.", Example: "3"},
	Column{Heading: "Solid layers", Form: FormWhole, Unit: "layers", Default: "4", Doc: "Solid layers under each top and over each bottom.", Example: "4"},
	Column{Heading: "Top layers", Form: FormWhole, Unit: "layers", Default: "Solid layers", Doc: "Solid layers under each top; of a thickness, as many as it takes.", Example: "5"},
	Column{Heading: "Bottom layers", Form: FormWhole, Unit: "layers", Default: "Solid layers", Doc: "Solid layers over each bottom.", Example: "3"},
	percent("Infill %", "20", "How much of the inside is filled, in %; 100 × line width ÷ spacing where lines run one way.", "20"),
	Column{Heading: "Infill linked", Form: FormYesNo, Choices: yesNo, Default: "no",
		Doc: "Whether the lines of a filling go on along the wall, each to the next, and do not end there.", Example: "yes"},
	recipeNumber("Solid under mm2", "mm2", "0", "What is smaller inside its walls, on one layer, is filled wholly, in mm2."),
	recipeNumber("Wall speed mm/s", "mm/s", "45", "Speed along walls but where the next columns say otherwise, in mm/s."),
	recipeNumber("Solid speed mm/s", "mm/s", "50", "Speed in solid layers, in mm/s."),
	asOther("Outer wall speed mm/s", "Wall speed mm/s", "25", "Speed of the line that lies on an outline, in mm/s."),
	asOther("Small outline speed mm/s", "Wall speed mm/s", "15", "Speed of lines that go round less than 41 mm, a circle of radius 6.5 mm, in mm/s."),
	asOther("First layer speed mm/s", "Wall speed mm/s", "20", "The most that the lines of the lowest layer run at, in mm/s."),
	asOther("First layer fill speed mm/s", "First layer speed mm/s", "30", "The same of the lines that fill, solid or sparse, in mm/s."),
	asOther("Top speed mm/s", "Solid speed mm/s", "30", "Speed of the uppermost solid layer, in mm/s."),
	asOther("Bridge speed mm/s", "as over a layer", "30", "Speed of lines that are laid over air, and of the lowest solid layer over sparse infill, in mm/s."),
	Column{Heading: "Bridge strand mm", Form: FormNumber, Unit: "mm", Default: "as over a layer",
		Doc: "Thickness of the round strands that such layers are made of, often that of the nozzle's bore, in mm.", Example: "0.4"},
	asOther("Gap speed mm/s", "walls fill gaps", "20",
		"Speed of the line in a gap that is left between whole lines of thin walls, in mm/s; 0: gaps stay empty; blank: the lines are widened, none is left."),
	recipeNumber("Infill speed mm/s", "mm/s", "60", "Speed in the infill, in mm/s."),
	recipeNumber("Travel speed mm/s", "mm/s", "120", "Speed without printing, in mm/s."),
	recipeNumber("Flow limit mm3/s", "mm3/s", "10", "Most plastic that the nozzle melts, in mm3/s; 0: no limit."),
	recipeNumber("Acceleration mm/s2", "mm/s2", "1000", "Acceleration while printing, in mm/s2."),
	Column{Heading: "First layer acceleration mm/s2", Form: FormNumber, Unit: "mm/s2", Default: "Acceleration mm/s2", Doc: "Acceleration while the lowest layer is printed, in mm/s2.", Example: "500"},
	recipeNumber("Start seconds", "s", "240", "Heating and levelling before each plate, in seconds."),
	recipeNumber("Layer change seconds", "s", "0.5", "The step to the next layer, with pulling the filament back and returning it where that is done at each, in seconds."),
	recipeNumber("Pull-back seconds", "s", "0", "Pulling the filament back, wiping, lifting and returning on a way without printing, in seconds: without wiping and lifting twice its length by its speed."),
	Column{Heading: "Pull back inside", Form: FormYesNo, Choices: yesNo, Default: "no",
		Doc: "Whether it is pulled back on all ways from one outline or filling to the next, and not just on those that leave the part: from a hole, and between parts of a layer that lie apart.", Example: "yes"},
	recipeNumber("Restart mm", "mm", "0", "Filament that is pressed out each time beyond what was pulled back, in mm."),
	Column{Heading: "Skirt loops", Form: FormWhole, Unit: "lines", Default: "1", Doc: "Lines round the part on the first layer, in a skirt or a brim.", Example: "1"},
	recipeNumber("Least layer seconds", "s", "0", "A layer that would take less by its lengths and speeds is slowed down to this, in seconds."),
	recipeNumber("Slowest speed mm/s", "mm/s", "10", "No line is slowed down below this for Least layer seconds, in mm/s."),
	recipeNumber("Prime mm", "mm", "0", "Filament that is pressed out at the start of each plate, in mm."),
	percent("Support %", "0", "Allowance for supports, in % of the part's own filament and time.", "0"),
)

// PrintLogTab documents the log of finished prints, which corrects later
// estimates.
var PrintLogTab = priceTab(TabPrintLog, "What finished prints took; the ratio to what was computed corrects later estimates.",
	Column{Heading: "File", Form: FormKey, Doc: "The mesh or toolpath that was printed, as the bill of materials names it.", Example: "case.stl"},
	Column{Heading: "Part number", Synonyms: []string{"Part"}, Form: FormKey, Doc: "The part, where no file is named.", Example: "FA-CASE"},
	Column{Heading: "Measured g", Form: FormNumber, Unit: "g", Doc: "Filament that one piece took, in g.", Example: "38.9"},
	Column{Heading: "Measured hours", Form: FormNumber, Unit: "h", Doc: "Hours that one piece took.", Example: "2.4"},
	Column{Heading: "Printer", Form: FormKey, Doc: "Which printer it was.", Example: "small printer"},
	Column{Heading: "Recipe", Form: FormKey, Doc: "The recipe it was printed with.", Example: "strong"},
)

func recipeNumber(heading, unit, defaultText, doc string) Column {
	return Column{Heading: heading, Form: FormNumber, Unit: unit, Default: defaultText, Doc: doc, Example: defaultText}
}

// asOther is a number that is that of another column where it is blank.
func asOther(heading, other, example, doc string) Column {
	return Column{Heading: heading, Form: FormNumber, Unit: "mm/s", Default: other, Doc: doc, Example: example}
}
