package cost

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/printing"
	"tenoff/cost/printing/plates"
	"tenoff/cost/sum"
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
		if near, ok := bom.Nearest(l.Recipe, names); ok {
			want = "did you mean " + near
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
	if l.PerPlate > 0 || !known || size[0] <= 0 || size[1] <= 0 || pl.printer == nil || !pl.printer.BedMM[0].Known || !pl.printer.BedMM[1].Known {
		return
	}
	pl.packed, pl.size = true, size
	pl.perPlate = max(1, plates.PerPlate(bedOf(&m.prices.Settings, pl.printer), size[0], size[1]))
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
	for i := range pl.others {
		o := &pl.others[i]
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
	for i := range o.sources {
		s := &o.sources[i]
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
		m.problems.Errorf(l.At("Material"), l.Material, "Density g/cm3 in the tab materials, or Filament g here",
			"the mass of %s cannot be computed without the density of the material", l.Part)
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
	for i := range pl.sources {
		s := &pl.sources[i]
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
	for i := range m.prices.Materials {
		mat := &m.prices.Materials[i]
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

// gramDigits are those of grams that are bought: noise in the last digit must not
// open another spool.
const gramDigits = 6

// statePrinting states what the plates of the batch take (5.6). A plate that fails with
// probability f is printed 1 / (1 − f) times until it comes out (mean of the geometric
// distribution).
func statePrinting(s *sums) {
	for i := range s.b.Plates {
		run := &s.b.Plates[i]
		printer := run.printer
		good := s.goodPlates(printer)
		plates := s.counted(OfPlate, i, "plates", run.Plates)
		pieces := s.counted(OfPlate, i, "pieces", run.Pieces)
		laid := s.name(OfPlate, i, "laid", s.printedFor(pieces, good), sum.Loose)
		starting := sum.Ref(0)
		if run.StartH > 0 {
			starting = s.name(OfPlate, i, "starting", s.printedFor(s.decided(OfPlate, i, "start h", allDigits(run.StartH)), good), sum.Loose)
		}
		g := s.decided(OfPlate, i, "piece g", allDigits(run.PieceG))
		pressed, primed := sum.Ref(0), sum.Ref(0)
		if run.PrimeG > 0 {
			pressed = s.decided(OfPlate, i, "prime g", allDigits(run.PrimeG))
			primed = s.name(OfPlate, i, "primed", s.printedFor(pressed, good), sum.Loose)
		}
		filament := s.name(OfPlate, i, "filament", s.Round(s.Add(s.Mul(laid, g), primed), floatDigits), floatDigits)
		hours := s.name(OfPlate, i, "hours", s.Round(s.Add(s.Mul(laid, s.decided(OfPlate, i, "piece h", allDigits(run.PieceH))), starting), floatDigits), floatDigits)
		expected := s.name(OfPlate, i, "expected", s.printedFor(plates, good), sum.Loose)
		out := plateSums{grams: s.Round(filament, gramDigits)}
		out.toHave = out.grams
		if run.Planned > run.Plates {
			enough := s.Div(s.Mul(s.Add(s.Mul(pieces, g), pressed), s.counted(OfPlate, i, "planned", run.Planned)), plates)
			out.toHave = s.name(OfPlate, i, "to have", s.Round(s.Max(filament, enough), gramDigits), gramDigits)
		}
		run.FilamentG, run.Hours = s.Value(filament).InexactFloat64(), s.Value(hours).InexactFloat64()
		run.Expected, run.Laid = s.Value(expected).InexactFloat64(), s.Value(laid).InexactFloat64()
		if printer != nil {
			statePrinter(s, i, hours, &out)
			printerFees(s, i, printer, out)
		}
		s.plates = append(s.plates, out)
	}
	statePlates(s)
}

// goodPlates is the share of a printer's plates that come out good; nothing where none
// fails.
func (s *sums) goodPlates(p *bom.Printer) sum.Ref {
	if p == nil || !p.Failure.IsPositive() {
		return 0
	}
	failure := s.once(sum.Figure{Key: sum.Key{Of: OfPrinter, What: p.Name + ": Failure %"}, Value: p.Failure,
		Row: p.Name, Note: p.Note, Column: "Failure %", Unit: "%", Place: p.At("Failure %"), AsOf: p.AsOf})
	return s.Sub(s.Count(1), s.Div(failure, s.Count(100)))
}

// printedFor is how much is printed until so much is good.
func (s *sums) printedFor(wanted, good sum.Ref) sum.Ref {
	if good == 0 {
		return wanted
	}
	return s.Div(wanted, good)
}

// statePrinter states what hours on a printer cost.
func statePrinter(s *sums, i int, hours sum.Ref, out *plateSums) {
	run := &s.b.Plates[i]
	printer := run.printer
	rate := s.once(sum.Figure{Key: sum.Key{Of: OfPrinter, What: printer.Name + ": Hourly rate"}, Value: printer.HourlyRate,
		Row: printer.Name, Note: printer.Note, Column: "Hourly rate", Unit: s.m.home.Code + " per h", Place: printer.At("Hourly rate"), AsOf: printer.AsOf})
	watts := s.once(sum.Figure{Key: sum.Key{Of: OfPrinter, What: printer.Name + ": Power W"}, Value: allDigits(printer.PowerW),
		Row: printer.Name, Note: printer.Note, Column: "Power W", Unit: "W", Place: printer.At("Power W"), AsOf: printer.AsOf})
	kWh := s.Round(s.Div(s.Mul(hours, watts), s.Count(1000)), floatDigits)
	out.machine = s.money(OfPlate, i, "machine", s.Round(s.Mul(hours, rate), s.digits))
	out.energy = s.money(OfPlate, i, "energy", s.Round(s.Mul(kWh, s.setting(drawnEnergy)), s.digits))
	run.Machine, run.Energy = s.Value(out.machine), s.Value(out.energy)
}

// statePlates states how often a plate is printed in all, each counted once however many
// parts lie on it.
func statePlates(s *sums) {
	var all []sum.Ref
	wanted := make([]int, len(s.m.prices.Printers)+1) // by printer; the last: where none is known
	for i := range s.b.beds {
		wanted[printerIndex(s.m.prices.Printers, s.b.beds[i].printer)] += s.b.beds[i].times
	}
	for i, n := range wanted {
		if n > 0 {
			var p *bom.Printer
			name := ""
			if i < len(s.m.prices.Printers) {
				p = &s.m.prices.Printers[i]
				name = p.Name
			}
			all = append(all, s.printedFor(s.counted(OfPlates, i, name, n), s.goodPlates(p)))
		}
	}
	s.printed = s.name(OfTotal, 0, "plates", s.Add(all...), sum.Loose)
	s.b.Printed = s.Value(s.printed).InexactFloat64()
}

// printerIndex is where a printer stands in the tab; after the last where none is known.
func printerIndex(all []bom.Printer, p *bom.Printer) int {
	for i := range all {
		if p == &all[i] {
			return i
		}
	}
	return len(all)
}

func printerFees(s *sums, index int, printer *bom.Printer, p plateSums) {
	run := &s.b.Plates[index]
	add := func(kind FeeKind, what, payee string, cash sum.Ref, at bom.Place) {
		if s.Value(cash).IsPositive() {
			s.fee(Fee{Category: PrintedParts, Payee: payee, What: what + run.Part, Currency: s.m.home, Place: at, entry: run.Entry + 1,
				Kind: kind, Index: index}, cash)
		}
	}
	add(MachineFee, "printer hours: ", printer.Name, p.machine, printer.At("Hourly rate"))
	add(EnergyFee, "energy: ", "energy", p.energy, s.m.prices.SettingPlace(drawnEnergy))
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
func (o *pieceOn) unused(perPlate int) []PieceFigures {
	var out []PieceFigures
	for i := range o.sources {
		s := &o.sources[i]
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
