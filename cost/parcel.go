package cost

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// prepareMass adds up the unit and its packing. A printed part without a mass
// weighs what its filament weighs. The parcel has the size of the packing line
// that takes up the most room.
func prepareMass(m *Model) {
	room := 0.0
	printed := map[int]float64{}
	for i := range m.printed {
		printed[m.printed[i].entry] = m.printed[i].g.G.Value
	}
	for i, e := range m.entries {
		l := e.Line
		switch {
		case l.MassG.Known:
			m.mass.grams += l.MassG.Value * e.PerUnit.Float()
		case printed[i] > 0:
			m.mass.grams += printed[i] * e.PerUnit.Float()
		default:
			m.mass.unknown++
			if len(m.mass.lacking) < namedAtMost {
				m.mass.lacking = append(m.mass.lacking, l.Part)
			}
		}
		if v := volume(l.Size); l.Kind == bom.KindPacking && v > room {
			room, m.mass.size = v, l.Size
		}
	}
}

// warnOfMass tells what postage does not know of the parcel.
func warnOfMass(m *Model) {
	if len(m.prices.Postage) == 0 {
		return
	}
	at := bom.Place{File: m.run.Unit.File, Sheet: m.run.Unit.Sheet}
	if m.mass.unknown > 0 {
		names := strings.Join(m.mass.lacking, ", ")
		if more := m.mass.unknown - len(m.mass.lacking); more > 0 {
			names += fmt.Sprintf(" and %d more", more)
		}
		m.problems.Warnf(at, "", "fill in Mass g", "%d of %d lines have no mass, and postage counts them as nothing: %s",
			m.mass.unknown, len(m.entries), names)
	}
	if volume(m.mass.size) == 0 && sizeMatters(m) {
		m.problems.Warnf(at, "", "give Length mm, Width mm and Height mm on the line of the box",
			"the size of the parcel is not known; limits on size and volumetric mass are not checked")
	}
}

// volume is in mm³; 0 where a side is not known.
func volume(size [3]bom.Measure) float64 { return size[0].Value * size[1].Value * size[2].Value }

func sizeMatters(m *Model) bool {
	return slices.ContainsFunc(m.prices.Postage, func(s bom.Service) bool {
		return s.Divisor > 0 || s.MaxMM[0].Known || s.MaxMM[1].Known || s.MaxMM[2].Known
	})
}

// parcelFits tells whether a service takes the parcel, and what mass it charges. A
// parcel may be turned.
func parcelFits(m *Model, s bom.Service) (chargeable float64, ok bool) {
	chargeable = m.mass.grams
	if s.Divisor > 0 {
		// L × W × H in cm³ over the divisor is in kg, so in mm³ it is in g.
		chargeable = max(chargeable, volume(m.mass.size)/s.Divisor)
	}
	if s.MaxG.Known && chargeable > s.MaxG.Value {
		return chargeable, false
	}
	return chargeable, fitsIn(m.mass.size, s.MaxMM)
}

// turns are the ways to lay a box down.
var turns = [6][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}

// fitsIn tells whether a box can be laid so that no side that is known exceeds a
// limit that is known.
func fitsIn(sides, limits [3]bom.Measure) bool {
	return slices.ContainsFunc(turns[:], func(turn [3]int) bool {
		for i, limit := range limits {
			side := sides[turn[i]]
			if side.Known && limit.Known && side.Value > limit.Value {
				return false
			}
		}
		return true
	})
}

// gap is how grave it is that something has no price: what it belongs to is shown
// as unknown, unless the run is one of two that are compared.
func (m *Model) gap() bom.Severity {
	if m.run.mustPrice {
		return bom.Error
	}
	return bom.Warning
}
