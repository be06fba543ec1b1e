package cost

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/printing"
	"tenoff/cost/printing/plates"
)

// preparePrinted finds printer, material and figures of every printed line, and
// makes each material a part that is bought by the spool.
func preparePrinted(m *Model) {
	var lines []*bom.Line
	for _, e := range m.entries {
		if e.Line.Kind == bom.KindPrinted {
			lines = append(lines, e.Line)
		}
	}
	if lines == nil {
		return
	}
	corrections := printing.FromLog(m.prices, lines)
	materials := map[string]int{}
	for i, e := range m.entries {
		if e.Line.Kind != bom.KindPrinted {
			continue
		}
		pl := printedLine{entry: i}
		if !settleFigures(m, &pl, corrections) {
			continue
		}
		p, ok := materials[bom.Fold(e.Line.Material)]
		if !ok {
			p = materialPart(m, e.Line)
			materials[bom.Fold(e.Line.Material)] = p
		}
		m.parts[p].Entries = append(m.parts[p].Entries, i)
		m.entries[i].Part = p
		pl.material = p
		m.printed = append(m.printed, pl)
	}
}

// settleFigures settles printer, recipe, mass and hours of a line; ok is false after a
// complaint.
func settleFigures(m *Model, pl *printedLine, corrections printing.Corrections) (ok bool) {
	l := m.entries[pl.entry].Line
	before := len(m.problems)
	pl.printer = printerFor(m, l)
	recipe := recipeFor(m, l)
	if l.Material == "" {
		m.problems.Errorf(l.At("Material"), l.Part, "the name of a row of the tab materials", "printed part without Material")
	}
	if m.problems[before:].Failed() {
		return false
	}
	layOnBed(m, pl, l)
	pl.others = othersThatHold(m, pl.printer, l)
	sourcesOf(m, pl, l, recipe, corrections)
	return !m.problems[before:].Failed()
}

// othersThatHold are the printers after the first that may print a line which names none.
func othersThatHold(m *Model, first *bom.Printer, l *bom.Line) (out []pieceOn) {
	if first == nil || l.Printer != "" {
		return nil
	}
	size, known := l.Print.SizeMM()
	for i := range m.prices.Printers {
		if p := &m.prices.Printers[i]; p != first && (!known || p.Holds(size)) {
			out = append(out, pieceOn{printer: p})
		}
	}
	return out
}

// recipeFor is the line's recipe, else the first of the sheet.
func recipeFor(m *Model, l *bom.Line) *bom.Recipe {
	r := m.prices.FindRecipe(l.Recipe)
	if r == nil {
		names := m.prices.RecipeNames()
		want := "give the tab print recipes a row for it"
		if near := didYouMean(l.Recipe, names); near != "" {
			want = near
		} else if len(names) > 0 {
			want = "one of: " + strings.Join(names, ", ")
		}
		m.problems.Errorf(l.At("Recipe"), l.Recipe, want, "unknown recipe: not in the tab print recipes")
	}
	return r
}

// printerFor is the line's printer, else the first in the sheet that the part
// fits.
func printerFor(m *Model, l *bom.Line) *bom.Printer {
	size, known := l.Print.SizeMM()
	p := m.prices.PrinterFor(l.Printer, l.Print)
	switch {
	case p == nil && l.Printer != "" && len(m.prices.Printers) > 0:
		names := m.prices.PrinterNames()
		m.problems.Errorf(l.At("Printer"), l.Printer, "one of: "+strings.Join(names, ", "), "unknown printer: not in the tab printers")
	case p == nil && len(m.prices.Printers) > 0: // and none is named
		m.problems.Errorf(l.At("File"), sizeText(size), "add a printer with a larger bed, or cut the part in two", "%s fits on no printer", l.Part)
	case p == nil:
		m.problems.Warnf(l.At("Printer"), l.Part, "give the tab printers a row",
			"no printer is known, so failures, machine hours, energy and days count nothing")
	case known && !p.Holds(size) && l.PerPlate > 0:
		m.problems.Warnf(l.At("Printer"), l.Printer, "harmless if it is printed turned or tilted",
			"%s, %s, is larger than the bed of the printer", l.Part, sizeText(size))
	case known && !p.Holds(size):
		m.problems.Errorf(l.At("Printer"), l.Printer, "another printer, or Per plate where it is printed turned or tilted",
			"%s, %s, is larger than the bed of the printer", l.Part, sizeText(size))
	}
	return p
}

func sizeText(s bom.Point) string { return fmt.Sprintf("%.4g × %.4g × %.4g mm", s[0], s[1], s[2]) }

// layOnBed tells how many pieces are printed together: as given, else as many as
// the bed holds, else one.
func layOnBed(m *Model, pl *printedLine, l *bom.Line) {
	pl.perPlate = max(1, l.PerPlate)
	size, known := l.Print.SizeMM()
	switch {
	case l.PerPlate > 0:
		tellCrowded(m, pl, l, size)
		return
	case !known || size[0] <= 0 || size[1] <= 0 || pl.printer == nil || !pl.printer.BedMM[0].Known || !pl.printer.BedMM[1].Known:
		pl.alone = true
		return
	}
	pl.packed, pl.size = true, size
	pl.perPlate = max(1, plates.PerPlate(bedOf(&m.prices.Settings, pl.printer), size[0], size[1]))
}

// tellCrowded warns of more pieces on a plate than cover the bed as they lie: the plates would
// be too few.
func tellCrowded(m *Model, pl *printedLine, l *bom.Line, size bom.Point) {
	if pl.printer == nil || !pl.printer.Holds(size) { // which is told
		return
	}
	if bed := bedOf(&m.prices.Settings, pl.printer); bed.X > 0 && bed.Y > 0 && float64(l.PerPlate)*size[0]*size[1] > bed.X*bed.Y {
		m.problems.Warnf(l.At("Per plate"), strconv.Itoa(l.PerPlate), "fewer; harmless if they are printed turned, nested or stacked",
			"%d pieces of %s, %s each, cover more than the bed of %s as they lie", l.PerPlate, l.Part, sizeText(size), pl.printer.Name)
	}
}

func bedOf(s *bom.Settings, p *bom.Printer) plates.Bed {
	return plates.Bed{X: p.BedMM[0].Value, Y: p.BedMM[1].Value, Spacing: s.SpacingMM}
}

// sourcesOf gathers what is said of the piece on each of its printers.
func sourcesOf(m *Model, pl *printedLine, l *bom.Line, recipe *bom.Recipe, corrections printing.Corrections) {
	files, ok := measured(m, l, recipe, pl.printer)
	if !ok {
		return
	}
	pl.take(l, slices.Clone(files), recipe, corrections)
	for _, o := range bom.Refs(pl.others) {
		here := files
		if o.printer.Kinematics() != pl.printer.Kinematics() {
			here, _ = measured(m, l, recipe, o.printer) // a mesh that one recipe cuts it cuts for all
		}
		o.take(l, slices.Clone(here), recipe, corrections)
	}
	tellMissing(m, pl, l, len(files) > 0)
	compareSources(m, pl, l)
}

// measured is what the files of a line come to on a printer; ok is false after a complaint.
func measured(m *Model, l *bom.Line, recipe *bom.Recipe, printer *bom.Printer) (files []printing.Piece, ok bool) {
	limits := bom.DefaultLimits()
	if printer != nil {
		limits = printer.Kinematics()
	}
	density, diameter := m.prices.FilamentOf(l.Material)
	files, err := printing.Measure(l.Print, *recipe, limits, density, diameter)
	if err != nil {
		m.problems.Errorf(l.At("File"), l.File, "a mesh and a recipe that can be printed", "the mesh cannot be computed: %v", err)
	}
	return files, err == nil
}

// take settles what a piece takes on a printer, by precedence: the bill of materials, the
// toolpath, the mesh. Mass and hours are each taken from the first that knows them.
func (o *pieceOn) take(l *bom.Line, files []printing.Piece, recipe *bom.Recipe, corrections printing.Corrections) {
	if l.FilamentG.Known || l.Hours.Known {
		o.sources = append(o.sources, printing.Piece{From: printing.FromBOM, G: l.FilamentG, Hours: l.Hours})
	}
	corrections.Apply(files, o.printer, l.Recipe, recipe)
	o.sources = append(o.sources, files...)
	for _, s := range bom.Refs(o.sources) {
		if o.g == nil && s.G.Known {
			o.g = s
		}
		if o.hours == nil && s.Hours.Known {
			o.hours = s
		}
	}
}

// tellMissing complains of a piece whose mass or hours nothing tells.
func tellMissing(m *Model, pl *printedLine, l *bom.Line, files bool) {
	switch {
	case pl.g == nil && files:
		var dense []string
		for _, mat := range m.prices.Materials {
			if mat.Density > 0 {
				dense = append(dense, mat.Name)
			}
		}
		m.problems.Add(bom.Problem{Place: l.At("Material"), Found: l.Material, What: "the mass of " + l.Part + " cannot be computed without the density of the material",
			Want: "Density g/cm3 in the tab materials, or Filament g here", Hint: suggest(l.Material, dense)})
	case pl.g == nil:
		m.problems.Errorf(l.At("Filament g"), l.Part, "the mass of filament of one piece, supports and purge included, or a mesh or toolpath in File",
			"printed part without Filament g")
	}
	if pl.hours == nil {
		m.problems.Errorf(l.At("Print hours"), l.Part, "the print time of one piece, or a mesh or toolpath in File", "printed part without Print hours")
	}
}

// compareSources warns of sources that are far from the figures that are used.
func compareSources(m *Model, pl *printedLine, l *bom.Line) {
	if pl.g == nil || pl.hours == nil {
		return
	}
	g, h := pl.g.GOn(pl.perPlate).Value, pl.hours.HoursOn(pl.perPlate).Value
	for _, s := range bom.Refs(pl.sources) {
		if grams, other := s.GOn(pl.perPlate), s.HoursOn(pl.perPlate); farFrom(g, grams) || farFrom(h, other) {
			m.problems.Warnf(l.At("File"), l.File, "check the figures, the recipe, or whether it is the same part",
				"%s: the %s says %s, the %s %s", l.Part, pl.from(), takesText(bom.Known(g), bom.Known(h)), s.From, takesText(grams, other))
		}
	}
}

func takesText(g, h bom.Measure) string {
	var parts []string
	if g.Known {
		parts = append(parts, fmt.Sprintf("%.1f g", g.Value))
	}
	if h.Known {
		parts = append(parts, fmt.Sprintf("%.2f h", h.Value))
	}
	return strings.Join(parts, " and ")
}

// materialPart makes a part of a material: an order unit is a spool, a piece a gram.
func materialPart(m *Model, l *bom.Line) int {
	p := part{Part: Part{Key: l.Material, Unit: grams, Description: "filament"}}
	for _, mat := range bom.Refs(m.prices.Materials) {
		if mat.Unpriced || bom.Fold(mat.Name) != bom.Fold(l.Material) || !m.supply.mayOrder(m.supply.of[bom.Fold(mat.Supplier)]) {
			continue
		}
		p.spools = append(p.spools, mat)
		p.offers = append(p.offers, buy.Offer{
			Supplier: m.supply.of[bom.Fold(mat.Supplier)], Currency: mat.Currency, Rate: m.supply.rate(mat.Currency, mat.At("Currency")),
			Pieces: mat.SpoolG, MOQ: 1, Multiple: 1, Stock: -1,
			Breaks: []bom.Break{{Origin: mat.Origin, Heading: "Spool price", From: 1, Price: mat.SpoolPrice}},
			Worth:  decimal.NewNullDecimal(worthOf(m.prices, mat.Worth, setWorth, mat.Origin).Percent),
		})
	}
	for i := range m.prices.OnHand {
		if bom.Fold(m.prices.OnHand[i].Part) == bom.Fold(l.Material) {
			p.onHand = append(p.onHand, &m.prices.OnHand[i])
		}
	}
	m.parts = append(m.parts, p)
	return len(m.parts) - 1
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

// from names the source or the two that are used.
func (o *pieceOn) from() string {
	if o.g == o.hours {
		return o.g.From
	}
	return o.g.From + " (g) and " + o.hours.From + " (h)"
}

// fromText says where the figures come from, with what they rest on.
func (o *pieceOn) fromText() string {
	if o.g == o.hours {
		return o.g.Text()
	}
	return "g: " + o.g.Text() + "; h: " + o.hours.Text()
}

// unused are the sources that are not used, or for one figure only.
func (o *pieceOn) unused(perPlate int) (out []PieceFigures) {
	for _, s := range bom.Refs(o.sources) {
		f := PieceFigures{From: s.From, G: s.GOn(perPlate), Hours: s.HoursOn(perPlate)}
		if s == o.g {
			f.G = bom.Measure{}
		}
		if s == o.hours {
			f.Hours = bom.Measure{}
		}
		f.DiffersG, f.DiffersH = differ(o.g.GOn(perPlate).Value, f.G), differ(o.hours.HoursOn(perPlate).Value, f.Hours)
		if f.G.Known || f.Hours.Known {
			out = append(out, f)
		}
	}
	return out
}

// pieceKey tells what is printed as one piece: a part on a printer by a recipe.
type pieceKey struct {
	part    string
	printer *bom.Printer
	recipe  string
}

// onePiece sees to it that lines of one part number are one piece: of one
// material, and on one printer by one recipe of one mass, time and number on a plate.
// A number on a plate that one of them leaves out is that of the others.
func onePiece(m *Model) {
	parts, pieces := map[string]int{}, map[pieceKey]int{} // -> the first of its lines, among the printed
	for i, pl := range bom.Refs(m.printed) {
		if lineOf(m, pl).Number == "" {
			continue
		}
		key := pieceOf(m, pl)
		first, again := parts[key.part]
		if !again {
			parts[key.part] = i
		} else if tellDifference(m, pl, &m.printed[first], "Material", m.parts[pl.material].Key, m.parts[m.printed[first].material].Key) {
			continue
		}
		if first, again = pieces[key]; !again {
			pieces[key] = i
			continue
		}
		samePiece(m, pl, &m.printed[first])
		if lineOf(m, &m.printed[first]).PerPlate == 0 && lineOf(m, pl).PerPlate > 0 {
			pieces[key] = i
		}
	}
	for _, pl := range bom.Refs(m.printed) {
		if first, ok := pieces[pieceOf(m, pl)]; ok && lineOf(m, pl).PerPlate == 0 {
			pl.perPlate, pl.packed = m.printed[first].perPlate, m.printed[first].packed
			pl.alone = m.printed[first].alone
		}
		if l := lineOf(m, pl); pl.alone {
			m.problems.Add(bom.Problem{Place: l.At("Per plate"), Severity: bom.Assumption, What: "printed parts are laid one to a plate, since nothing says how many it holds",
				Want: "if that is wrong, give Per plate, or a mesh or toolpath in File and the bed of the printer", Found: l.Part, Each: l.Part})
		}
	}
}

func lineOf(m *Model, pl *printedLine) *bom.Line { return m.entries[pl.entry].Line }

func pieceOf(m *Model, pl *printedLine) pieceKey {
	l := lineOf(m, pl)
	// A blank recipe is that of the first row, which may be named elsewhere.
	return pieceKey{bom.ExactKey(l.Part), pl.printer, bom.Fold(m.prices.FindRecipe(l.Recipe).Name)}
}

// samePiece compares a line with the first one of its piece.
func samePiece(m *Model, pl, first *printedLine) {
	switch {
	case tellDifference(m, pl, first, "Filament g", fmt.Sprint(pl.g.GOn(1).Value), fmt.Sprint(first.g.GOn(1).Value)):
	case tellDifference(m, pl, first, "Print hours", fmt.Sprint(pl.hours.HoursOn(1).Value), fmt.Sprint(first.hours.HoursOn(1).Value)):
	case lineOf(m, pl).PerPlate > 0 && lineOf(m, first).PerPlate > 0:
		tellDifference(m, pl, first, "Per plate", fmt.Sprint(pl.perPlate), fmt.Sprint(first.perPlate))
	}
}

// tellDifference complains of a figure that two lines of one part number do not share.
func tellDifference(m *Model, pl, first *printedLine, heading, here, there string) bool {
	if here == there {
		return false
	}
	l, at := lineOf(m, pl), lineOf(m, first).At(heading)
	m.problems.Errorf(l.At(heading), here, "the same, or a part number of its own",
		"%s is printed with another %s than in %s (%s)", l.Part, heading, at, there)
	return true
}
