package printing

import (
	"cmp"
	"fmt"

	"tenoff/bom"
)

// Where mass and hours of a printed piece come from.
const (
	FromBOM  = "bill of materials"
	FromPath = "toolpath"
	FromMesh = "mesh"
)

// DefaultRecipe is what the recipe is called where the sheet has none.
const DefaultRecipe = "default recipe"

// defaultDiameter is that of most filament, mm (common practice, no source).
const defaultDiameter = 1.75

// Piece is what one source says that a piece takes.
type Piece struct {
	From       string      // FromBOM, FromPath or FromMesh
	Recipe     string      // of a mesh
	G          bom.Measure // of the piece alone
	Hours      bom.Measure // of the piece alone
	StartS     float64     // heating and levelling, s once a plate; 0 where Hours hold it or nothing is known of it
	PrimeG     float64     // filament pressed out, g once a plate; 0 where G holds it or nothing is known of it
	FilamentM  float64     // on a plate of its own; 0 where not known
	Layers     int         // of a mesh
	Correction Correction
}

// HoursOn are the hours of a piece when so many share the start of the plate.
func (s *Piece) HoursOn(perPlate int) bom.Measure {
	h := s.Hours
	h.Value += s.StartS / secondsPerHour / float64(max(1, perPlate))
	return h
}

// GOn is the filament of a piece when so many share what is pressed out at the
// start of the plate.
func (s *Piece) GOn(perPlate int) bom.Measure {
	g := s.G
	g.Value += s.PrimeG / float64(max(1, perPlate))
	return g
}

// correct applies what finished prints took.
func (s *Piece) correct(by Correction) {
	s.Correction = by
	s.G.Value *= by.G.Factor
	s.PrimeG *= by.G.Factor
	s.FilamentM *= by.G.Factor
	s.Hours.Value *= by.Hours.Factor
	s.StartS *= by.Hours.Factor
}

// Corrected tells whether a print log has changed the figures.
func (s *Piece) Corrected() bool { return s.Correction.G.Prints+s.Correction.Hours.Prints > 0 }

// Text says where the figures come from.
func (s *Piece) Text() string {
	text := s.From
	if s.Recipe != "" {
		text += ", " + s.Recipe
	}
	if s.Corrected() {
		text += ", corrected by finished prints: " + s.Correction.String()
	}
	return text
}

// String says what a correction multiplies by, how far prints spread
// about it and how many there are.
func (c Correction) String() string {
	text := ""
	for _, r := range []struct {
		unit string
		Ratio
	}{{"g", c.G}, {"h", c.Hours}} {
		if r.Prints == 0 {
			continue
		}
		if text != "" {
			text += "; "
		}
		prints := "1 print"
		if r.Prints > 1 { // one tells nothing of the error
			prints = fmt.Sprintf("typical error ±%.1f %%, %d prints", (r.Spread-1)*100, r.Prints)
		}
		text += fmt.Sprintf("%s × %.3f (%s)", r.unit, r.Factor, prints)
	}
	return text
}

// Measure says what the files of a piece come to on a printer, the toolpath
// first. A toolpath does not tell how long heating takes, so the start of a plate
// is the recipe's for both. The density is g/cm³, 0 where it is not known and so no mass; a diameter
// of 0 is the usual one. An error says why the mesh cannot be cut.
func Measure(f bom.PrintFiles, recipe bom.Recipe, limits bom.KinematicLimits, density, diameter float64) ([]Piece, error) {
	var out []Piece
	if p := f.Path; p != nil {
		out = append(out, Piece{From: FromPath, G: p.G, Hours: bom.Known(p.Hours), FilamentM: p.FilamentM, StartS: recipe.StartS})
	}
	if f.Solid == nil {
		return out, nil
	}
	filament := Filament{Density: density, DiameterMM: diameter}
	if density <= 0 {
		filament.Density = 1 // the hours do not hang on it
	}
	if diameter <= 0 {
		filament.DiameterMM = defaultDiameter
	}
	e, err := Compute(f.Solid, recipe, limits, filament)
	if err != nil {
		return out, err
	}
	mesh := Piece{From: FromMesh, Recipe: recipeName(recipe), Hours: bom.Known(e.Seconds / secondsPerHour), StartS: e.StartS,
		FilamentM: e.FilamentM + e.PrimeMM/1000, Layers: e.Layers}
	if density > 0 {
		mesh.G, mesh.PrimeG = bom.Known(e.G), filament.grams(e.PrimeMM)
	}
	return append(out, mesh), nil
}

func recipeName(r bom.Recipe) string {
	if r.Name == "" {
		return DefaultRecipe
	}
	return "recipe " + r.Name
}

// FromLog gives what the print log of a price sheet says of its printers and
// recipes. The lines are the printed ones of the unit: they say of what part,
// material, printer and recipe a print was where its row does not. Rows whose
// file has not been read count for nothing.
func FromLog(prices *bom.Prices, lines []*bom.Line) Corrections {
	var log []Compared
	for i := range prices.PrintLog {
		p := &prices.PrintLog[i]
		line := cmp.Or(p.LineAmong(lines), &bom.Line{})
		printer := prices.PrinterFor(cmp.Or(p.Printer, line.Printer), p.Print)
		recipe := cmp.Or(p.Recipe, line.Recipe)
		r := prices.FindRecipe(recipe)
		if printer == nil || r == nil {
			continue
		}
		density, diameter := prices.FilamentOf(line.Material)
		sources, err := Measure(p.Print, *r, printer.Kinematics(), density, diameter)
		if err != nil {
			continue // complained of where the part is estimated
		}
		for _, s := range sources {
			log = append(log, Compared{Printer: bom.Fold(printer.Name), Recipe: MethodFor(s.From, recipe, r),
				MeasuredG: p.MeasuredG.Value, ComputedG: s.GOn(line.PerPlate).Value,
				MeasuredH: p.MeasuredH.Value, ComputedH: s.HoursOn(line.PerPlate).Value})
		}
	}
	return Correct(log)
}

// MethodFor is what a correction holds for besides the printer: the recipe that is used,
// by which meshes are computed, or toolpaths, which have times of their own, of the recipe
// that is named; they may have been made by none.
func MethodFor(from, named string, used *bom.Recipe) string {
	switch {
	case from != FromPath:
		return bom.Fold(used.Name)
	case named == "":
		return FromPath
	}
	return FromPath + ", recipe " + bom.Fold(named)
}

// Apply applies the corrections that hold for a printer and a recipe, as it is
// named and as it is used, to what the files of a piece come to.
func (cs Corrections) Apply(sources []Piece, printer *bom.Printer, named string, used *bom.Recipe) {
	if printer == nil {
		return
	}
	for i := range sources {
		sources[i].correct(cs.For(bom.Fold(printer.Name), MethodFor(sources[i].From, named, used)))
	}
}

const secondsPerHour = 3600
