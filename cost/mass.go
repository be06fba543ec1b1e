package cost

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// namedAtMost is how many lines one complaint names.
const namedAtMost = 6

// prepareMass adds up a unit of each product and its packing. A printed part without a mass weighs what
// its filament weighs; the mass of a board's line is that of the populated board. Without
// a carton the parcel has the size of the packing line that takes up the most room.
func prepareMass(m *Model) {
	room := make([]float64, len(m.products))
	printed := map[int]float64{}
	for i := range m.printed {
		printed[m.printed[i].entry] = m.printed[i].g.G.Value
	}
	for i, e := range bom.Refs(m.entries) {
		l, mass := e.Line, &m.products[e.Product].mass
		mass.lines++
		switch {
		case e.weighs == 0:
		case l.MassG.Known:
			mass.grams += l.MassG.Value * e.weighs.Float()
		case printed[i] > 0:
			mass.grams += printed[i] * e.weighs.Float()
		default:
			mass.unknown++
			if len(mass.lacking) < namedAtMost {
				mass.lacking = append(mass.lacking, l.Part)
			}
		}
		if v := volume(l.Size); l.Kind == bom.KindPacking && v > room[e.Product] {
			room[e.Product], mass.size = v, l.Size
		}
		mass.hazards = addNames(mass.hazards, l.Hazard)
	}
}

// warnOfMass tells what postage does not know of the parcels.
func warnOfMass(m *Model) {
	if len(m.prices.Postage) == 0 {
		return
	}
	for i := range m.products {
		warnOfProduct(m, i)
	}
	warnOfHazards(m)
}

// warnOfProduct tells what postage does not know of the parcels of a product.
func warnOfProduct(m *Model, product int) {
	p := &m.products[product]
	at := bom.Place{File: p.unit.File, Sheet: p.unit.Sheet}
	if p.mass.unknown > 0 {
		names := strings.Join(p.mass.lacking, ", ")
		if more := p.mass.unknown - len(p.mass.lacking); more > 0 {
			names += fmt.Sprintf(" and %d more", more)
		}
		m.problems.Warnf(at, "", "fill in Mass g", "no weight for %d of %d lines, which postage counts as nothing: %s",
			p.mass.unknown, p.mass.lines, names)
	}
	m.problems = append(m.problems, heldByBoards(m, product)...)
	boxed := false // some parcel has the size of the unit's packing
	for i := range m.zones {
		if z := &m.zones[i]; z.product == product {
			boxed = boxed || !z.hasCarton() && z.per == 1
			z.warnOfCarton(m)
		}
	}
	if boxed && volume(p.mass.size) == 0 && sizeMatters(m) {
		m.problems.Warnf(at, "", "give Length mm, Width mm and Height mm on the line of the box",
			"the size of the parcel is not known; limits on size and volumetric mass are not checked")
	}
}

// heldByBoards tells which batteries, screws and the like are taken to be weighed with a
// board since they stand in its list, though nothing says that they sit on it.
func heldByBoards(m *Model, product int) (problems bom.Problems) {
	for b := range m.boards {
		var loose []string
		for _, e := range bom.Refs(m.entries) {
			if e.Product != product || e.Board != b || e.weighs > 0 || len(e.Line.Designators) > 0 {
				continue
			}
			switch e.Line.Kind {
			case bom.KindFastener, bom.KindOther, bom.KindPrinted, bom.KindPacking:
				loose = append(loose, e.Line.Part)
			}
		}
		if len(loose) == 0 {
			continue
		}
		at := bom.Place{File: m.products[product].unit.File, Sheet: m.products[product].unit.Sheet}
		if on := m.boards[b].on[product].entry; on >= 0 {
			at = m.entries[on].Line.At("Mass g")
		}
		problems.Warnf(at, "", "if that is wrong, move their lines to the unit's list",
			"the mass of %s is taken to hold what its list has beside the board: %s", bom.Shown(m.boards[b].Name), strings.Join(loose, ", "))
	}
	return problems
}

// warnOfCarton tells what is not known of a carton that holds several units.
func (z *zone) warnOfCarton(m *Model) {
	if z.per > 1 && !z.row.CartonG.Known {
		m.problems.Warnf(z.row.At("Carton g"), "", "the mass of the empty carton, 0 where there is none", "the carton to %s has no weight, and postage counts it as nothing", bom.Shown(z.row.Zone))
	}
	if (z.per > 1 || z.hasCarton()) && volume(z.carton()) == 0 && sizeMatters(m) {
		m.problems.Warnf(z.row.At("Carton length mm"), "", "give Carton length mm, Carton width mm and Carton height mm",
			"the size of the carton to %s is not known; limits on size and volumetric mass are not checked", bom.Shown(z.row.Zone))
	}
}

// warnOfHazards tells of hazards that no service names, and of those that services exclude
// and no line has: either may be a slip. Each is told once.
func warnOfHazards(m *Model) {
	var excluded, hazards []string
	for i := range m.products {
		hazards = addNames(hazards, m.products[i].mass.hazards)
	}
	for _, s := range bom.Refs(m.prices.Postage) {
		for _, h := range s.Excludes {
			if hasName(excluded, h) {
				continue
			}
			excluded = append(excluded, h)
			if !hasName(hazards, h) {
				unmet(&m.problems, s.At("Excludes"), h, "no line has this hazard, and nothing is excluded for it", "a hazard of a line or of the tab parts", hazards)
			}
		}
	}
	var told []string
	for i := range m.entries {
		l := m.entries[i].Line
		for _, h := range l.Hazard {
			if !hasName(told, h) && !hasName(excluded, h) {
				told = append(told, h)
				unmet(&m.problems, l.At("Hazard"), h, "no postal service names this hazard, and all of them are taken to carry it",
					"name it in Excludes of the tab postage, where a service does not", excluded)
			}
		}
	}
}

func sizeMatters(m *Model) bool {
	return slices.ContainsFunc(m.prices.Postage, func(s bom.Service) bool {
		return s.Divisor > 0 || s.MaxMM[0].Known || s.MaxMM[1].Known || s.MaxMM[2].Known
	})
}
