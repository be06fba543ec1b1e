package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// gramDigits are those of grams that are bought: noise in the last digit must not
// open another spool.
const gramDigits = 6

// statePrinting states what the plates of the batch take. A plate that fails with
// probability f is printed 1 / (1 − f) times until it comes out (mean of the geometric
// distribution).
func statePrinting(s *sums) {
	for i, run := range bom.Refs(s.b.Plates) {
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
	return s.Sub(s.Count(1), s.Div(s.ofPrinter(p, "Failure %", p.Failure, "%"), s.Count(100)))
}

// ofPrinter enters what the tab printers says of a printer in a column.
func (s *sums) ofPrinter(p *bom.Printer, heading string, d decimal.Decimal, unit string) sum.Ref {
	return s.once(sum.Figure{Key: sum.Key{Of: OfPrinter, What: p.Name + ": " + heading}, Value: d,
		Row: p.Name, Note: p.Note, Column: heading, Unit: unit, Place: p.At(heading), AsOf: p.AsOf})
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
	rate, watts := s.ofPrinter(printer, "Hourly rate", printer.HourlyRate, s.m.home.Code+" per h"), s.ofPrinter(printer, "Power W", allDigits(printer.PowerW), "W")
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
			p, name := s.printerAt(i), ""
			if p != nil {
				name = p.Name
			}
			all = append(all, s.printedFor(s.counted(OfPlates, i, name, n), s.goodPlates(p)))
		}
	}
	s.printed = s.name(OfTotal, 0, "plates", s.Add(all...), sum.Loose)
	s.b.Printed = s.Value(s.printed).InexactFloat64()
}

// printerAt is the printer at a place of the tab; nil after the last.
func (s *sums) printerAt(i int) *bom.Printer {
	if i == len(s.m.prices.Printers) {
		return nil
	}
	return &s.m.prices.Printers[i]
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
