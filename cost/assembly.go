package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// prepareAssembly finds what the assembler asks, and complains of joints that
// are not known where a rate or a yield rests on them.
func prepareAssembly(m *Model) {
	name := m.prices.Settings.Assembler
	if name == "" {
		noteHandSoldering(m)
		return
	}
	for i := range m.prices.Assemblers {
		if bom.Fold(m.prices.Assemblers[i].Name) == bom.Fold(name) {
			m.assembly = &m.prices.Assemblers[i]
		}
	}
	placed := false
	for _, b := range m.boards {
		placed = placed || b.Placements > 0
	}
	switch {
	case !placed:
		return
	case m.assembly == nil:
		m.problems.Errorf(m.settingPlace("Assembler"), name, "give the tab assembly a row for it, or leave the setting blank to solder by hand",
			"the assembler has no row in the tab assembly")
		return
	}
	m.rate(m.assembly.Currency, m.assembly.At("Currency"))
	if m.assembly.PerJoint.IsPositive() || m.assembly.DPMO.IsPositive() {
		for _, e := range m.entries {
			if e.Machine {
				m.wantJoints(e, "the assembler's rate or yield")
			}
		}
	}
}

// noteHandSoldering tells that rows of an assembler are not used.
func noteHandSoldering(m *Model) {
	if len(m.prices.Assemblers) == 0 {
		return
	}
	for _, e := range m.entries {
		if classOf(e.Line) == classSMT {
			m.problems.Warnf(m.prices.Assemblers[0].At("Assembler"), m.prices.Assemblers[0].Name,
				"name it in the setting Assembler to have the boards populated there",
				"the setting Assembler is blank, so SMT parts are hand work and this row is not used")
			return
		}
	}
}

// stateAssembly states what populating the boards of each type costs (5.5), rounded once
// in the assembler's currency. A board without machine-placed parts does not go to
// the assembler. Stencils that are kept, as they are in a repeat, are not paid again.
func stateAssembly(s *sums) {
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
	kept := a.StencilKept || s.m.run.Repeat
	stencil := func(sides sum.Ref) sum.Ref {
		if kept {
			return 0
		}
		return s.Mul(rate("Stencil", a.Stencil), sides)
	}
	for i, board := range s.m.boards {
		if board.Placements == 0 {
			continue
		}
		count := func(what string, n int) sum.Ref { return s.counted(OfCount, i, what, n) }
		starts, sides := s.boards[i].need, count("sides", board.Sides)
		total := s.Add(rate("Set-up", a.SetUp),
			stencil(sides),
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
		s.fee(Fee{Category: SMTAssembly, Payee: a.Name, What: "assembly of " + board.Name, Currency: a.Currency, Place: at, Kind: AssemblyFee, Index: i},
			s.Round(total, a.Currency.Digits))
	}
}
