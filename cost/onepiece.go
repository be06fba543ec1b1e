package cost

import (
	"fmt"

	"tenoff/bom"
)

// pieceKey tells what is printed as one piece: a part on a printer by a recipe.
type pieceKey struct {
	part    string
	printer *bom.Printer
	recipe  string
}

// onePiece sees to it that lines of one part number are one piece (5.6): of one
// material, and on one printer by one recipe of one mass, time and number on a plate.
// A number on a plate that one of them leaves out is that of the others.
func (m *Model) onePiece() {
	parts, pieces := map[string]int{}, map[pieceKey]int{} // -> the first of its lines, among the printed
	for i := range m.printed {
		pl := &m.printed[i]
		if m.lineOf(pl).Number == "" {
			continue
		}
		key := m.pieceOf(pl)
		first, again := parts[key.part]
		if !again {
			parts[key.part] = i
		} else if m.differs(pl, &m.printed[first], "Material", m.parts[pl.material].Key, m.parts[m.printed[first].material].Key) {
			continue
		}
		if first, again = pieces[key]; !again {
			pieces[key] = i
			continue
		}
		m.samePiece(pl, &m.printed[first])
		if m.lineOf(&m.printed[first]).PerPlate == 0 && m.lineOf(pl).PerPlate > 0 {
			pieces[key] = i
		}
	}
	for i := range m.printed {
		pl := &m.printed[i]
		if first, ok := pieces[m.pieceOf(pl)]; ok && m.lineOf(pl).PerPlate == 0 {
			pl.perPlate, pl.packed = m.printed[first].perPlate, m.printed[first].packed
		}
	}
}

func (m *Model) lineOf(pl *printedLine) *bom.Line { return m.entries[pl.entry].Line }

func (m *Model) pieceOf(pl *printedLine) pieceKey {
	l := m.lineOf(pl)
	// A blank recipe is that of the first row, which may be named elsewhere.
	return pieceKey{exactKey(l.Part), pl.printer, fold(m.prices.FindRecipe(l.Recipe).Name)}
}

// samePiece compares a line with the first one of its piece.
func (m *Model) samePiece(pl, first *printedLine) {
	switch {
	case m.differs(pl, first, "Filament g", fmt.Sprint(pl.g.G.Value), fmt.Sprint(first.g.G.Value)):
	case m.differs(pl, first, "Print hours", fmt.Sprint(pl.hours.HoursOn(1).Value), fmt.Sprint(first.hours.HoursOn(1).Value)):
	case m.lineOf(pl).PerPlate > 0 && m.lineOf(first).PerPlate > 0:
		m.differs(pl, first, "Per plate", fmt.Sprint(pl.perPlate), fmt.Sprint(first.perPlate))
	}
}

// differs complains of a figure that two lines of one part number do not share.
func (m *Model) differs(pl, first *printedLine, heading, here, there string) bool {
	if here == there {
		return false
	}
	l, at := m.lineOf(pl), m.lineOf(first).At(heading)
	m.problems.Errorf(l.At(heading), here, "the same, or a part number of its own",
		"%s is printed with another %s than in %s (%s)", l.Part, heading, at, there)
	return true
}
