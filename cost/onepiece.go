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
func onePiece(m *Model) {
	parts, pieces := map[string]int{}, map[pieceKey]int{} // -> the first of its lines, among the printed
	for i := range m.printed {
		pl := &m.printed[i]
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
	for i := range m.printed {
		pl := &m.printed[i]
		if first, ok := pieces[pieceOf(m, pl)]; ok && lineOf(m, pl).PerPlate == 0 {
			pl.perPlate, pl.packed = m.printed[first].perPlate, m.printed[first].packed
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
