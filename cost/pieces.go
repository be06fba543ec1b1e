package cost

import (
	"fmt"
	"math"

	"tenoff/bom"
	"tenoff/cost/printing"
)

// Where mass and hours of a printed piece come from.
const (
	FromBOM  = "bill of materials"
	FromPath = "toolpath"
	FromMesh = "mesh"
)

// defaultRecipe is what the recipe is called where the sheet has none.
const defaultRecipe = "default recipe"

// defaultDiameter is that of most filament, mm (common practice, no source).
const defaultDiameter = 1.75

// PieceSource is what one source says that a piece takes.
type PieceSource struct {
	From       string // FromBOM, FromPath or FromMesh
	Recipe     string // of a mesh
	G          bom.Measure
	Hours      bom.Measure // of the piece alone
	StartS     float64     // heating and levelling, s once a plate; 0 where Hours hold it or nothing is known of it
	FilamentM  float64     // 0 where not known
	Layers     int         // of a mesh
	Correction printing.Correction
}

// HoursOn are the hours of a piece when so many share the start of the plate.
func (s *PieceSource) HoursOn(perPlate int) bom.Measure {
	h := s.Hours
	h.Value += s.StartS / secondsPerHour / float64(max(1, perPlate))
	return h
}

// correct applies what finished prints took.
func (s *PieceSource) correct(by printing.Correction) {
	s.Correction = by
	s.G.Value *= by.G.Factor
	s.FilamentM *= by.G.Factor
	s.Hours.Value *= by.Hours.Factor
	s.StartS *= by.Hours.Factor
}

// Corrected tells whether a print log has changed the figures.
func (s *PieceSource) Corrected() bool { return s.Correction.G.Prints+s.Correction.Hours.Prints > 0 }

// Text says where the figures come from.
func (s *PieceSource) Text() string {
	text := s.From
	if s.Recipe != "" {
		text += ", " + s.Recipe
	}
	if s.Corrected() {
		text += ", corrected by finished prints: " + CorrectionText(s.Correction)
	}
	return text
}

// CorrectionText says what a correction multiplies by, how far prints spread
// about it and how many there are.
func CorrectionText(c printing.Correction) string {
	text := ""
	for _, r := range []struct {
		unit string
		printing.Ratio
	}{{"g", c.G}, {"h", c.Hours}} {
		if r.Prints == 0 {
			continue
		}
		if text != "" {
			text += "; "
		}
		prints := "1 print"
		if r.Prints > 1 {
			prints = fmt.Sprintf("%d prints", r.Prints)
		}
		text += fmt.Sprintf("%s × %.3f (spread ÷× %.3f, %s)", r.unit, r.Factor, r.Spread, prints)
	}
	return text
}

// MeasureFiles says what the files of a piece come to on a printer, the toolpath
// first. A toolpath does not tell how long heating takes, so the start of a plate
// is the recipe's for both. The density is g/cm³, 0 where it is not known and so no mass; a diameter
// of 0 is the usual one. An error says why the mesh cannot be cut.
func MeasureFiles(f bom.PrintFiles, recipe bom.Recipe, limits bom.KinematicLimits, density, diameter float64) ([]PieceSource, error) {
	var out []PieceSource
	if p := f.Path; p != nil {
		out = append(out, PieceSource{From: FromPath, G: p.G, Hours: bom.Known(p.Hours), FilamentM: p.FilamentM, StartS: recipe.StartS})
	}
	if f.Solid == nil {
		return out, nil
	}
	filament := printing.Filament{Density: density, DiameterMM: diameter}
	if density <= 0 {
		filament.Density = 1 // the hours do not hang on it
	}
	if diameter <= 0 {
		filament.DiameterMM = defaultDiameter
	}
	e, err := printing.Compute(f.Solid, recipe, limits, filament)
	if err != nil {
		return out, err
	}
	mesh := PieceSource{From: FromMesh, Recipe: recipeName(recipe), Hours: bom.Known(e.Seconds / secondsPerHour), StartS: e.StartS,
		FilamentM: e.FilamentM, Layers: e.Layers}
	if density > 0 {
		mesh.G = bom.Known(e.G)
	}
	return append(out, mesh), nil
}

func recipeName(r bom.Recipe) string {
	if r.Name == "" {
		return defaultRecipe
	}
	return "recipe " + r.Name
}

// method is what a correction holds for besides the printer: a recipe, by which
// meshes are computed, or toolpaths of a recipe, which have their times of their
// own.
func method(from string, recipe string) string {
	if from == FromPath {
		if recipe == "" {
			return FromPath
		}
		return FromPath + ", recipe " + fold(recipe)
	}
	return fold(recipe)
}

// Corrections are what the print log of a price sheet says of its printers and
// recipes. The lines are the printed ones of the unit: they say of what part,
// material, printer and recipe a print was where its row does not. Rows whose
// file has not been read count for nothing.
func Corrections(prices *bom.Prices, lines []*bom.Line) printing.Corrections {
	var log []printing.Compared
	for i := range prices.PrintLog {
		p := &prices.PrintLog[i]
		line := p.LineAmong(lines)
		if line == nil {
			line = &bom.Line{}
		}
		printer := prices.PrinterFor(firstOf(p.Printer, line.Printer), p.Print)
		recipe := firstOf(p.Recipe, line.Recipe)
		r := prices.FindRecipe(recipe)
		if printer == nil || r == nil {
			continue
		}
		density, diameter := prices.FilamentOf(line.Material)
		sources, err := MeasureFiles(p.Print, *r, printer.Kinematics(), density, diameter)
		if err != nil {
			continue // complained of where the part is estimated
		}
		for _, s := range sources {
			log = append(log, printing.Compared{Printer: fold(printer.Name), Recipe: methodFor(s.From, recipe, r),
				MeasuredG: p.MeasuredG.Value, ComputedG: s.G.Value,
				MeasuredH: p.MeasuredH.Value, ComputedH: s.HoursOn(line.PerPlate).Value})
		}
	}
	return printing.Correct(log)
}

// methodFor takes the recipe as it is named for a toolpath, which may have been
// made by none, and the one that is used for a mesh.
func methodFor(from, named string, used *bom.Recipe) string {
	if from == FromPath {
		return method(from, named)
	}
	return method(from, used.Name)
}

// Correct applies the corrections that hold for a printer and a recipe, as it is
// named and as it is used, to what the files of a piece come to.
func Correct(sources []PieceSource, by printing.Corrections, printer *bom.Printer, named string, used *bom.Recipe) {
	if printer == nil {
		return
	}
	for i := range sources {
		sources[i].correct(by.For(fold(printer.Name), methodFor(sources[i].From, named, used)))
	}
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// farApart is the difference of two sources over which there is a warning; noise
// in the last digit is not over it.
const farApart = 0.15 + 1e-9

// differ says by how much another source differs from a figure, as a share of
// it; 0 where one of the two is not known.
func differ(used float64, other bom.Measure) float64 {
	if !other.Known || !(used > 0) {
		return 0
	}
	return other.Value/used - 1
}

func farFrom(used float64, other bom.Measure) bool { return math.Abs(differ(used, other)) > farApart }

const secondsPerHour = 3600
