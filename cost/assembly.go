package cost

import (
	"fmt"

	"tenoff/bom"
)

// prepareAssembly finds what the assembler asks, and complains of joints that
// are not known where a rate or a yield rests on them.
func (m *Model) prepareAssembly() {
	name := m.prices.Settings.Assembler
	if name == "" {
		m.noteHandSoldering()
		return
	}
	for i := range m.prices.Assemblers {
		if fold(m.prices.Assemblers[i].Name) == fold(name) {
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
func (m *Model) noteHandSoldering() {
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

// wantJoints complains where the joints of a line are not known.
func (m *Model) wantJoints(e Entry, who string) {
	if e.Line.Joints.Known {
		return
	}
	at := e.Line.At("Joints")
	for _, p := range m.problems {
		if p.Place == at && p.What == missingJoints(who) {
			return
		}
	}
	m.problems.Errorf(at, e.Line.Part, "the number of solder joints per piece", "%s", missingJoints(who))
}

func missingJoints(who string) string {
	return fmt.Sprintf("joints are missing, and %s counts them", who)
}

// settingPlace is the cell of a setting; the name of the price sheet where the
// default holds.
func (m *Model) settingPlace(name string) bom.Place {
	for _, s := range m.prices.Settings.All {
		if s.Name == name && !s.Default {
			return s.At("Value")
		}
	}
	return bom.Place{File: m.prices.Name}
}
