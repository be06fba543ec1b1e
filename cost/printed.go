package cost

import (
	"math"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/money"
	"tenoff/cost/yield"
)

// grams is what filament is counted in.
const grams = "g"

// printedLine is one printed entry with all that its plates need.
type printedLine struct {
	entry    int
	material int // index into parts
	printer  *bom.Printer
	perPlate int
}

// preparePrinted finds printer and material of every printed line, and makes
// each material a part that is bought by the spool.
func (m *Model) preparePrinted() {
	m.printers = map[string]*bom.Printer{}
	for i := range m.prices.Printers {
		m.printers[fold(m.prices.Printers[i].Name)] = &m.prices.Printers[i]
	}
	materials := map[string]int{}
	for i, e := range m.entries {
		if e.Line.Kind != bom.KindPrinted {
			continue
		}
		if !m.printable(e.Line) {
			continue
		}
		p, ok := materials[fold(e.Line.Material)]
		if !ok {
			p = m.spools(e.Line)
			materials[fold(e.Line.Material)] = p
		}
		m.parts[p].Entries = append(m.parts[p].Entries, i)
		m.entries[i].Part = p
		m.printed = append(m.printed, printedLine{i, p, m.printerFor(e.Line), max(1, e.Line.PerPlate)})
	}
}

// printable complains of what a printed line lacks.
func (m *Model) printable(l *bom.Line) bool {
	complete := true
	for _, f := range []struct {
		heading string
		there   bool
		want    string
	}{
		{"Filament g", l.FilamentG.Known, "the mass of filament of one piece, supports and purge included"},
		{"Print hours", l.Hours.Known, "the print time of one piece"},
		{"Material", l.Material != "", "the name of a row of the tab materials"},
	} {
		if !f.there {
			m.problems.Errorf(l.At(f.heading), l.Part, f.want, "printed part without %s", f.heading)
			complete = false
		}
	}
	return complete
}

// spools makes a part of a material: an order unit is a spool, a piece a gram.
func (m *Model) spools(l *bom.Line) int {
	p := part{Part: Part{Key: l.Material, Unit: grams, Description: "filament"}}
	var names []string
	for i := range m.prices.Materials {
		mat := &m.prices.Materials[i]
		names = append(names, mat.Name)
		if fold(mat.Name) != fold(l.Material) || !m.mayOrder(m.supplierOf[fold(mat.Supplier)]) {
			continue
		}
		p.spools = append(p.spools, mat)
		p.offers = append(p.offers, buy.Offer{
			Supplier: m.supplierOf[fold(mat.Supplier)], Currency: mat.Currency, Rate: m.rate(mat.Currency, mat.At("Currency")),
			Pieces: mat.SpoolG, MOQ: 1, Multiple: 1, Stock: -1,
			Breaks: []bom.Break{{Origin: mat.Origin, Heading: "Spool price", From: 1, Price: mat.SpoolPrice}},
		})
	}
	for i := range m.prices.OnHand {
		if fold(m.prices.OnHand[i].Part) == fold(l.Material) {
			p.onHand = &m.prices.OnHand[i]
		}
	}
	m.parts = append(m.parts, p)
	return len(m.parts) - 1
}

// printerFor is the line's printer, else the first in the sheet.
func (m *Model) printerFor(l *bom.Line) *bom.Printer {
	if l.Printer != "" && len(m.prices.Printers) > 0 {
		p, ok := m.printers[fold(l.Printer)]
		if !ok {
			var names []string
			for _, p := range m.prices.Printers {
				names = append(names, p.Name)
			}
			m.problems.Errorf(l.At("Printer"), l.Printer, "one of: "+strings.Join(names, ", "), "no such printer in the tab printers")
		}
		return p
	}
	if len(m.prices.Printers) == 0 {
		m.problems.Warnf(l.At("Printer"), l.Part, "give the tab printers a row",
			"no printer is known, so failures, machine hours and energy count nothing")
		return nil
	}
	return &m.prices.Printers[0]
}

// plates fills in what is printed (5.6).
func (m *Model) plates(b *Batch, problems *bom.Problems) {
	confidence := share(m.prices.Settings.Confidence)
	for _, pl := range m.printed {
		e := m.entries[pl.entry]
		run := PlateRun{
			Entry: pl.entry, Part: e.Line.Part, Material: m.parts[pl.material].Key,
			Pieces: b.Needs[pl.entry], PerPlate: pl.perPlate,
			PieceG: e.Line.FilamentG.Value, PieceH: e.Line.Hours.Value,
			From: "bill of materials",
		}
		run.Plates = int((run.Pieces.Ceil() + int64(pl.perPlate) - 1) / int64(pl.perPlate))
		run.Started = run.Plates
		power, rate := 0.0, decimal.Zero
		if pl.printer != nil {
			run.Printer, power, rate = pl.printer.Name, pl.printer.PowerW, pl.printer.HourlyRate
			run.PowerW, run.PowerAt, run.RateAt = power, pl.printer.At("Power W"), pl.printer.At("Hourly rate")
			started, err := yield.Enough(run.Plates, 1-share(pl.printer.Failure), confidence)
			if err != nil {
				problems.Errorf(pl.printer.At("Failure %"), pl.printer.Failure.String(), "a lower failure rate", "%v", err)
			}
			run.Started = max(started, run.Plates)
		}
		pieces := float64(run.Started * run.PerPlate)
		run.FilamentG, run.Hours = pieces*run.PieceG, pieces*run.PieceH
		run.Machine = m.homeOf(run.Hours, rate)
		run.Energy = m.homeOf(run.Hours*power/1000, m.prices.Settings.EnergyPrice)
		b.Plates = append(b.Plates, run)
		m.printerFees(b, run, pl.printer)
	}
}

// homeOf prices hours, kilowatt-hours or the like at a rate in home currency.
func (m *Model) homeOf(quantity float64, rate decimal.Decimal) decimal.Decimal {
	exact, _ := money.FromFloat(quantity)
	return money.Round(exact.Mul(rate), m.home).Decimal()
}

func (m *Model) printerFees(b *Batch, run PlateRun, printer *bom.Printer) {
	if printer == nil {
		return
	}
	add := func(kind FeeKind, what, payee string, cash decimal.Decimal, at bom.Place) {
		if cash.IsPositive() {
			b.Fees = append(b.Fees, Fee{
				Category: PrintedParts, Payee: payee, What: what + run.Part,
				Own: cash, Currency: m.home, Cash: cash, Place: at, entry: run.Entry + 1,
				Kind: kind, Index: len(b.Plates) - 1,
			})
		}
	}
	add(MachineFee, "printer hours: ", printer.Name, run.Machine, printer.At("Hourly rate"))
	add(EnergyFee, "energy: ", "energy", run.Energy, m.settingPlace("Energy price per kWh"))
}

// filamentNeed is what all plates of a material take, in grams.
func (m *Model) filamentNeed(b *Batch, material int) bom.Quantity {
	var g bom.Quantity
	for i, pl := range m.printed {
		if pl.material == material {
			g += gramsOf(b.Plates[i].FilamentG)
		}
	}
	return g
}

// gramsOf rounds to the nearest millionth of a gram: the figures are measured
// or computed, and noise in the last digit must not open another spool.
func gramsOf(g float64) bom.Quantity { return bom.Quantity(math.Round(g * float64(bom.One))) }
