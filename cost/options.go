package cost

import (
	"math"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// swapGroup are the ways to have the lines of a part, of which each batch takes one: the part
// alone first, then each substitute.
type swapGroup struct {
	part    int
	options []swapOption
}

// swapOption is so many pieces of a substitute.
type swapOption struct {
	swap    int // -1: none
	pieces  bom.Quantity
	roughly float64 // what it adds, without the charges of orders
}

// amounts are the pieces of a substitute that are weighed: all, and where the row lets
// units differ as many as leave the part or the substitute at the end of what some of its
// offers hold, or of its whole packs, or of what is on hand, or at the least order of an
// offer or of one of its prices.
func amounts(m *Model, b *Batch, swap int) []bom.Quantity {
	s := &m.swaps[swap]
	part, sub := s.standsFor(m), m.entries[s.lines[0]].Part
	need, perUnit := s.own(m, b)
	out := []bom.Quantity{bom.MaxQuantity}
	if !s.row.Mix || m.parts[part].cuts != nil {
		return out
	}
	add := func(pieces bom.Quantity) {
		if pieces > 0 && pieces < need {
			out = addNew(out, pieces)
		}
	}
	for _, reach := range m.parts[part].reaches(need) {
		rest := need - m.parts[part].keeps(b, need, reach)
		add(rest)
		if perUnit > 0 { // to whole units
			add((rest + perUnit - 1) / perUnit * perUnit)
		}
	}
	for _, reach := range m.parts[sub].reaches(need) {
		others := bom.Quantity(0)
		for _, e := range m.parts[sub].Entries {
			others += b.Needs[e]
		}
		takes := m.parts[sub].covered(others, need, reach)
		add(takes)
		if perUnit > 0 {
			add(takes / perUnit * perUnit)
		}
	}
	return out
}

// reachesAtMost bounds the offers of which every selection is used up; of more, each alone
// and all together.
const reachesAtMost = 3

// reaches are the pieces of a part that selections of its offers hold, each in its whole
// stock or in the whole packs of a need, and that one offer holds where a price begins,
// with what is on hand.
func (p *part) reaches(need bom.Quantity) (out []bom.Quantity) {
	hand := onHandOf(p.onHand)
	wanted := max(0, need+p.allowanceOver(need)-hand)
	var held []bom.Quantity
	for _, o := range bom.Refs(p.offers) {
		packs := wholePacks(o, wanted)
		if most := min(mostOf(o), packs); most > 0 && (most < wanted || len(p.offers) > 1) {
			held = append(held, most)
		}
	}
	sum := func(of ...bom.Quantity) {
		reach := hand
		for _, q := range of {
			reach = min(bom.MaxQuantity, reach+q)
		}
		out = addNew(out, reach)
	}
	sum()
	for i := range p.offers {
		for _, q := range leastOrders(&p.offers[i], wanted) {
			sum(q)
		}
	}
	if len(held) > reachesAtMost {
		for _, q := range held {
			sum(q)
		}
		sum(held...)
		return out
	}
	for chosen := 1; chosen < 1<<len(held); chosen++ {
		var of []bom.Quantity
		for i, q := range held {
			if chosen&(1<<i) != 0 {
				of = append(of, q)
			}
		}
		sum(of...)
	}
	return out
}

// leastOrders are the least pieces that an offer sells at each of its prices, where they
// are under a need.
func leastOrders(o *buy.Offer, need bom.Quantity) (out []bom.Quantity) {
	multiple := max(1, o.Multiple)
	for i := range o.Breaks {
		n := (max(o.MOQ, o.Breaks[i].From) + multiple - 1) / multiple * multiple
		if q := atMost(o.Pieces.Times(n)); q < need && q <= mostOf(o) {
			out = append(out, q)
		}
	}
	return out
}

// wholePacks are the most pieces of a need that an offer covers with nothing over.
func wholePacks(o *buy.Offer, need bom.Quantity) bom.Quantity {
	multiple := max(1, o.Multiple)
	n := int64(need/o.Pieces) / multiple * multiple
	if n < max(o.MOQ, o.Breaks[0].From) {
		return 0
	}
	return atMost(o.Pieces.Times(n))
}

// roughlyMore is what so many pieces of a substitute add, without the charges of orders.
func roughlyMore(m *Model, b *Batch, swap int, pieces bom.Quantity) float64 {
	s := &m.swaps[swap]
	_, perUnit := s.own(m, b)
	units := 1.0
	if perUnit > 0 {
		units = math.Ceil(pieces.Float() / perUnit.Float())
	}
	part, sub := m.parts[s.standsFor(m)].leastEach(m), m.parts[m.entries[s.lines[0]].Part].leastEach(m)
	switch {
	case math.IsInf(sub, 1):
		return sub
	case math.IsInf(part, 1):
		part = math.MaxFloat32
	}
	seconds := units * s.row.ExtraSeconds
	return (sub-part)*pieces.Float() + s.row.ExtraPerBatch.InexactFloat64() + units*s.row.ExtraPerUnit.InexactFloat64() +
		seconds*m.prices.Settings.LabourRate.InexactFloat64()/secondsPerHour
}
