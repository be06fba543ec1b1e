package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/learning"
	"tenoff/cost/sum"
)

// floatDigits are those of times, masses and energies that are multiplied by money.
const floatDigits = 9

// gramDigits are those of grams that are bought: noise in the last digit must not
// open another spool.
const gramDigits = 6

// plateSums are what the printing of one line takes.
type plateSums struct{ grams, machine, energy sum.Ref }

// printing states what the plates of the batch take (5.6).
func (s *sums) printing() {
	for i := range s.m.printed {
		run, printer := &s.b.Plates[i], s.m.printed[i].printer
		laid := s.counted(OfPlate, i, "laid", run.Laid)
		filament := s.name(OfPlate, i, "filament", s.Round(s.Mul(laid, s.decided(OfPlate, i, "piece g", exact(run.PieceG))), floatDigits), floatDigits)
		hours := s.name(OfPlate, i, "hours", s.Round(s.Mul(laid, s.decided(OfPlate, i, "piece h", exact(run.PieceH))), floatDigits), floatDigits)
		out := plateSums{grams: s.Round(filament, gramDigits)}
		if printer != nil {
			rate := s.once(sum.Figure{Key: sum.Key{Of: OfPrinter, What: printer.Name + ": Hourly rate"}, Value: printer.HourlyRate,
				Unit: s.m.home.Code + " per h", Place: printer.At("Hourly rate"), AsOf: printer.AsOf})
			watts := s.once(sum.Figure{Key: sum.Key{Of: OfPrinter, What: printer.Name + ": Power W"}, Value: exact(printer.PowerW),
				Unit: "W", Place: printer.At("Power W"), AsOf: printer.AsOf})
			kWh := s.Round(s.Div(s.Mul(hours, watts), s.Count(1000)), floatDigits)
			out.machine = s.money(OfPlate, i, "machine", s.Round(s.Mul(hours, rate), s.digits))
			out.energy = s.money(OfPlate, i, "energy", s.Round(s.Mul(kWh, s.setting(drawnEnergy)), s.digits))
			run.Machine, run.Energy = s.Value(out.machine), s.Value(out.energy)
			s.printerFees(i, printer, out)
		}
		s.plates = append(s.plates, out)
	}
}

func (s *sums) printerFees(index int, printer *bom.Printer, p plateSums) {
	run := &s.b.Plates[index]
	add := func(kind FeeKind, what, payee string, cash sum.Ref, at bom.Place) {
		if s.Value(cash).IsPositive() {
			s.fee(Fee{Category: PrintedParts, Payee: payee, What: what + run.Part, Currency: s.m.home, Place: at, entry: run.Entry + 1,
				Kind: kind, Index: index}, cash)
		}
	}
	add(MachineFee, "printer hours: ", printer.Name, p.machine, printer.At("Hourly rate"))
	add(EnergyFee, "energy: ", "energy", p.energy, s.m.settingPlace(drawnEnergy))
}

// feeSums are a fee in its currency and at home.
type feeSums struct{ own, cash sum.Ref }

// fee enters a fee with its amount in its own currency.
func (s *sums) fee(f Fee, own sum.Ref) {
	i := len(s.b.Fees)
	out := feeSums{own: s.name(OfFee, i, "own", own, f.Currency.Digits)}
	out.cash = s.money(OfFee, i, "cash", s.toHome(out.own, f.Currency))
	f.Own, f.Cash = s.Value(out.own), s.Value(out.cash)
	s.b.Fees, s.fees = append(s.b.Fees, f), append(s.fees, out)
}

// unpricedFee enters a fee that nobody knows.
func (s *sums) unpricedFee(f Fee) {
	i := len(s.b.Fees)
	f.Unpriced = true
	own := s.Unpriced(sum.Key{Of: OfFee, At: i, What: "own"})
	s.b.Fees, s.fees = append(s.b.Fees, f), append(s.fees, feeSums{own, own})
}

// assembly states what populating the boards of each type costs (5.5), rounded once
// in the assembler's currency. A board without machine-placed parts does not go to
// the assembler.
func (s *sums) assembly() {
	a := s.m.assembly
	if a == nil {
		return
	}
	rate := func(heading string, d decimal.Decimal) sum.Ref {
		if d.IsZero() {
			return 0
		}
		return s.once(sum.Figure{Key: sum.Key{Of: OfAssembly, What: heading}, Value: d, Unit: a.Currency.Code, Place: a.At(heading), AsOf: a.AsOf})
	}
	for i, board := range s.m.boards {
		if board.Placements == 0 {
			continue
		}
		count := func(what string, n int) sum.Ref { return s.counted(OfCount, i, what, n) }
		starts, sides := s.boards[i].need, count("sides", board.Sides)
		total := s.Add(rate("Set-up", a.SetUp),
			s.Mul(rate("Stencil", a.Stencil), sides),
			s.More(sides, s.Count(1), rate("Second side", a.SecondSide), 0),
			s.Mul(rate("Per line", a.PerLine), count("part lines", board.PartLines)),
			s.Mul(rate("Per placement", a.PerPlacement), count("placements", board.Placements), starts),
			s.Mul(rate("Per joint", a.PerJoint), count("joints", board.Joints), starts))
		at := a.At("Set-up")
		if least := rate("Minimum", a.Minimum); least != 0 {
			if s.Value(total).LessThan(a.Minimum) {
				at = a.At("Minimum")
			}
			total = s.Max(total, least)
		}
		s.fee(Fee{Category: MachineAssembly, Payee: a.Name, What: "assembly of " + board.Name, Currency: a.Currency, Place: at, Kind: AssemblyFee, Index: i},
			s.Round(total, a.Currency.Digits))
	}
}

// swaps states what substitutes cost besides the parts: for each unit begun and once.
func (s *sums) swaps() {
	for i := range s.m.swaps {
		w := &s.m.swaps[i]
		if w.row == nil || w.row.ExtraPerUnit.IsZero() && w.row.ExtraPerBatch.IsZero() {
			continue
		}
		extra := func(heading string, d decimal.Decimal) sum.Ref {
			return s.Figure(sum.Figure{Key: sum.Key{Of: "substitute", At: i, What: heading}, Value: d, Unit: s.m.home.Code, Place: w.row.At(heading)})
		}
		total := s.Add(s.Mul(extra("Extra per unit", w.row.ExtraPerUnit), s.Count(int64(s.b.Starts))), extra("Extra per batch", w.row.ExtraPerBatch))
		s.fee(Fee{Category: OtherParts, Payee: Maker, What: w.Substitute + " in place of " + w.Part, Currency: s.m.home, Place: w.row.At("Extra per unit")},
			s.Round(total, s.digits))
	}
}

// handWork states hours and money of the rows of hand work (5.7).
func (s *sums) handWork() {
	b := s.b
	plates := 0
	for _, g := range b.Groups {
		plates += g.Started
	}
	var hours, works []sum.Ref
	for i, row := range s.m.work {
		op := row.op
		w := Work{
			Operation: op.Name, AppliesTo: op.AppliesTo, Basis: op.Basis,
			Count: row.count, Seconds: op.Seconds, Learning: op.Learning, Place: op.At("Seconds"),
		}
		w.Times = row.times(b.Starts, plates)
		each := s.Figure(sum.Figure{Key: sum.Key{Of: OfWork, At: i, What: "seconds"}, Value: exact(w.Seconds), Unit: "s", Place: w.Place, AsOf: op.AsOf})
		seconds := s.Round(s.Mul(each, s.decided(OfWork, i, "times", exact(w.Times))), floatDigits)
		took := s.name(OfWork, i, "hours", s.Div(seconds, s.Count(secondsPerHour)), sum.Loose)
		// The division comes last, so that no third of an hour is lost before rounding.
		cash := s.money(OfWork, i, "cash", s.Round(s.Div(s.Mul(seconds, s.setting(drawnLabour)), s.Count(secondsPerHour)), s.digits))
		w.Hours, w.Cash = s.Value(took).InexactFloat64(), s.Value(cash)
		hours, works = append(hours, took), append(works, cash)
		b.Work = append(b.Work, w)
	}
	s.name(OfTotal, 0, "work hours", s.Add(hours...), sum.Loose)
	s.work = s.money(OfTotal, 0, "work", s.Add(works...))
}

// times is how many times the seconds of a row count, learning included.
func (r *workRow) times(starts, plates int) float64 {
	switch r.op.Basis {
	case basisBatch:
		return 1
	case basisPlate:
		return float64(plates)
	}
	return r.count * learning.Total(starts, r.op.Learning/100)
}
