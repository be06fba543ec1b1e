package bom

import "strings"

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
// the default's.
func (p *Printer) Kinematics() KinematicLimits {
	var k KinematicLimits
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
	Origin
	Name         string
	LayerMM      float64 // height of a layer, mm
	LineMM       float64 // width of a line, mm
	Walls        int     // lines round each outline
	SolidLayers  int     // solid layers under each top and over each bottom
	Infill       float64 // share of the inside that is filled, %
	WallSpeed    float64 // mm/s
	SolidSpeed   float64 // mm/s
	InfillSpeed  float64 // mm/s
	TravelSpeed  float64 // mm/s
	FlowLimit    float64 // largest flow of plastic, mm³/s; 0: none
	Acceleration float64 // mm/s²
	StartS       float64 // heating and levelling before the first layer, s per plate
	LayerChangeS float64 // lifting, retracting and returning at each layer, s
	SkirtLoops   int     // lines round the part on the first layer
	Support      float64 // allowance for supports, % of the part's own filament and time
	AsOf         Date
	Note         string
}

// DefaultRecipe holds what blank cells of a recipe mean (common practice, no
// source).
func DefaultRecipe() Recipe {
	return Recipe{
		LayerMM: 0.2, LineMM: 0.45, Walls: 2, SolidLayers: 4, Infill: 20,
		WallSpeed: 45, SolidSpeed: 50, InfillSpeed: 60, TravelSpeed: 120,
		FlowLimit: 10, Acceleration: 1000, StartS: 240, LayerChangeS: 0.5, SkirtLoops: 1,
	}
}

// PrintLog is a row of the tab print log: what a finished print took.
type PrintLog struct {
	Origin
	File      string  // the mesh or toolpath; one of File and Part is given
	Part      string  // the part as the bill of materials names it
	MeasuredG Measure // filament of one piece, g
	MeasuredH Measure // hours of one piece
	Printer   string
	Recipe    string
	Date      Date
	Note      string

	Files []string   // what File names, once it is found
	Print PrintFiles // what they hold, once they are read
}

// PrintFiles are what the files of one printed piece hold; nil where there is
// none of the kind.
type PrintFiles struct {
	Solid *Solid // a mesh, to be cut by a recipe
	Path  *Path  // a toolpath
}

// Path is what the toolpath of one piece comes to on one printer.
type Path struct {
	Name      string // the file, as the user named it
	SizeMM    Point  // of what is printed, skirt included
	G         Measure
	FilamentM float64
	Hours     float64 // without heating, which a toolpath does not tell
}

// SizeMM is the size of the piece: that of the mesh, else that of the toolpath.
func (f PrintFiles) SizeMM() (size Point, known bool) {
	switch {
	case f.Solid != nil:
		return f.Solid.Size(), true
	case f.Path != nil:
		return f.Path.SizeMM, true
	}
	return Point{}, false
}

// slack is less than any printer places to, mm.
const slack = 1e-6

// Holds tells whether a piece fits on the printer, turned by a quarter or not.
// A side of the bed that is not known holds anything.
func (p *Printer) Holds(size Point) bool {
	fits := func(x, y float64) bool {
		for i, v := range [3]float64{x, y, size[2]} {
			if p.BedMM[i].Known && v > p.BedMM[i].Value+slack {
				return false
			}
		}
		return true
	}
	return fits(size[0], size[1]) || fits(size[1], size[0])
}

// FirstPrinter is the first printer of the sheet that holds a piece, the first
// of all where its size is not known; nil where there is none.
func (p *Prices) FirstPrinter(size Point, known bool) *Printer {
	for i := range p.Printers {
		if !known || p.Printers[i].Holds(size) {
			return &p.Printers[i]
		}
	}
	return nil
}

// FindPrinter gives the printer of a name, without regard to case and spaces.
func (p *Prices) FindPrinter(name string) *Printer {
	for i := range p.Printers {
		if SameName(p.Printers[i].Name, name) {
			return &p.Printers[i]
		}
	}
	return nil
}

// FindRecipe gives the recipe of a name; for a blank one the first of the sheet,
// and DefaultRecipe where the sheet has none. It is nil where there is no such
// recipe.
func (p *Prices) FindRecipe(name string) *Recipe {
	if name == "" && len(p.Recipes) == 0 {
		r := DefaultRecipe()
		return &r
	}
	for i := range p.Recipes {
		if name == "" || SameName(p.Recipes[i].Name, name) {
			return &p.Recipes[i]
		}
	}
	return nil
}

// FilamentOf is the density, g/cm³, and diameter, mm, of a material: each from
// its first row that gives it, 0 where none does.
func (p *Prices) FilamentOf(material string) (density, diameter float64) {
	for i := range p.Materials {
		if m := &p.Materials[i]; SameName(m.Name, material) {
			if density == 0 {
				density = m.Density
			}
			if diameter == 0 {
				diameter = m.DiameterMM
			}
		}
	}
	return density, diameter
}

// RecipeNames lists the recipes in order.
func (p *Prices) RecipeNames() []string {
	var names []string
	for i := range p.Recipes {
		names = append(names, p.Recipes[i].Name)
	}
	return names
}

// PrinterNames lists the printers in order.
func (p *Prices) PrinterNames() []string {
	var names []string
	for i := range p.Printers {
		names = append(names, p.Printers[i].Name)
	}
	return names
}

// SameName compares names of the price sheet: case and the width of gaps do not
// matter.
func SameName(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
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
	Column{Heading: "Line width mm", Form: FormNumber, Unit: "mm", Default: "0.45", Doc: "Width of a line, in mm.", Example: "0.45"},
	Column{Heading: "Walls", Form: FormWhole, Unit: "lines", Default: "2", Doc: "Lines round each outline.", Example: "3"},
	Column{Heading: "Solid layers", Form: FormWhole, Unit: "layers", Default: "4", Doc: "Solid layers under each top and over each bottom.", Example: "4"},
	percent("Infill %", "20", "How much of the inside is filled, in %.", "20"),
	recipeNumber("Wall speed mm/s", "mm/s", "45", "Speed along walls, in mm/s."),
	recipeNumber("Solid speed mm/s", "mm/s", "50", "Speed in solid layers, in mm/s."),
	recipeNumber("Infill speed mm/s", "mm/s", "60", "Speed in the infill, in mm/s."),
	recipeNumber("Travel speed mm/s", "mm/s", "120", "Speed without printing, in mm/s."),
	recipeNumber("Flow limit mm3/s", "mm3/s", "10", "Most plastic that the nozzle melts, in mm3/s; 0: no limit."),
	recipeNumber("Acceleration mm/s2", "mm/s2", "1000", "Acceleration while printing, in mm/s2."),
	recipeNumber("Start seconds", "s", "240", "Heating and levelling before each plate, in seconds."),
	recipeNumber("Layer change seconds", "s", "0.5", "Lifting and returning at each layer, in seconds."),
	Column{Heading: "Skirt loops", Form: FormWhole, Unit: "lines", Default: "1", Doc: "Lines round the part on the first layer.", Example: "1"},
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
	Column{Heading: "Date", Form: FormDate, Doc: "The day of the print, YYYY-MM-DD.", Example: "2026-03-01"},
)

func recipeNumber(heading, unit, defaultText, doc string) Column {
	return Column{Heading: heading, Form: FormNumber, Unit: unit, Default: defaultText, Doc: doc, Example: defaultText}
}
