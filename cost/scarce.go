package cost

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// Any tells whether anything is taken for gone.
func (s Scarcity) Any() bool { return len(s.Dry) > 0 || len(s.Left) > 0 }

// Split tells the suppliers and parts that a run has from those that it does not.
func (s Scarcity) Split(run Run) (known, unknown Scarcity) {
	for _, name := range s.Dry {
		if run.offersFrom(name) {
			known.Dry = append(known.Dry, name)
		} else {
			unknown.Dry = append(unknown.Dry, name)
		}
	}
	for _, l := range s.Left {
		if run.holds(l.Part) {
			known.Left = append(known.Left, l)
		} else {
			unknown.Left = append(unknown.Left, l)
		}
	}
	return known, unknown
}

// offersFrom tells whether the price sheet has an offer of a supplier.
func (r *Run) offersFrom(supplier string) bool {
	return slices.ContainsFunc(r.Prices.Offers, func(o bom.Offer) bool { return bom.Fold(o.Supplier) == bom.Fold(supplier) })
}

// holds tells whether a line of the run or an offer has a part.
func (r *Run) holds(part string) bool {
	return partname.LineWith(r.Unit, part) != nil || slices.ContainsFunc(r.Prices.Offers, func(o bom.Offer) bool { return partname.Same(o.Part, part) })
}

// Each takes it apart, with words for each.
func (s Scarcity) Each() (words []string, list []Scarcity) {
	for _, name := range s.Dry {
		words, list = append(words, "nothing left at "+name), append(list, Scarcity{Dry: []string{name}})
	}
	for _, l := range s.Left {
		pieces := "nothing"
		if l.Pieces > 0 {
			pieces = bom.Grouped(l.Pieces.String())
		}
		words, list = append(words, pieces+" left of "+l.Part), append(list, Scarcity{Left: []Left{l}})
	}
	return words, list
}

// takeScarce gives the model a price sheet with what is left where something is taken for
// gone, and says so. What is left of a part is to be had where a piece costs least.
func takeScarce(m *Model) {
	scarce := m.run.Scarce
	if !scarce.Any() {
		return
	}
	_, unknown := scarce.Split(m.run)
	complainOfUnknown(m, unknown)
	prices := *m.prices
	prices.Offers = slices.Clone(prices.Offers)
	for _, l := range scarce.Left {
		rest := l.Pieces
		for _, o := range offersOf(m, l.Part) {
			units := int64(rest / o.pieces)
			if o.Stock >= 0 {
				units = min(units, o.Stock)
			}
			prices.Offers[o.at].Stock = units
			used, _ := o.pieces.Times(units)
			rest -= used
		}
	}
	for i := range prices.Offers {
		if hasName(scarce.Dry, prices.Offers[i].Supplier) {
			prices.Offers[i].Stock = 0
		}
	}
	m.prices = &prices
	words, _ := scarce.Each()
	for _, text := range words {
		m.problems.Warnf(bom.Place{File: m.prices.Name}, "", "", "what if: %s, whatever the price sheet says", text)
	}
}

// complainOfUnknown complains of what is taken for gone that nothing has.
func complainOfUnknown(m *Model, unknown Scarcity) {
	for _, l := range unknown.Left {
		m.problems.Add(bom.Problem{Place: bom.Place{File: m.run.Unit.File}, Found: l.Part, What: "unknown part",
			Want: "a part number of the bill of materials, or one with an offer", Hint: meant(m, l.Part)})
	}
	known := bom.Each(m.prices.Offers, func(o *bom.Offer) string { return o.Supplier })
	for _, name := range unknown.Dry {
		m.problems.Add(bom.Problem{Place: bom.Place{File: m.prices.Name, Sheet: bom.TabOffers}, Found: name, What: "no offer is from this supplier",
			Want: "a supplier of the tab offers", Hint: suggest(name, known)})
	}
}

// meant suggests the part that a name is like, or that a designator stands for.
func meant(m *Model, name string) string {
	for i := range m.entries {
		if e := &m.entries[i]; e.Part >= 0 && hasName(e.Line.Designators, name) {
			return fmt.Sprintf("%s is %q", bom.Printable(name), bom.Printable(m.parts[e.Part].Key))
		}
	}
	if near, ok := bom.Nearest(name, partKeys(m)); ok {
		return fmt.Sprintf("did you mean %q", bom.Printable(near))
	}
	return ""
}

func partKeys(m *Model) []string {
	return bom.Each(m.parts, func(p *part) string { return p.Key })
}

// offerAt is an offer by its place in the price sheet.
type offerAt struct {
	*bom.Offer
	at     int
	pieces bom.Quantity
	each   decimal.Decimal // of a piece, at home, where the fewest are bought
}

// offersOf lists the offers of a part, which need not be one of the run, the cheapest first.
func offersOf(m *Model, name string) (out []offerAt) {
	for i, o := range bom.Refs(m.prices.Offers) {
		if len(o.Breaks) == 0 || !partname.Same(o.Part, name) {
			continue
		}
		x := offerAt{Offer: o, at: i, pieces: o.Pieces}
		if found := m.Find(name); len(found) == 1 {
			x.pieces = leadsFrom(&m.parts[found[0]], o)
		}
		if x.pieces <= 0 {
			continue
		}
		x.each = o.Breaks[0].Price.Mul(m.supply.rate(o.Currency, o.At("Currency"))).DivRound(x.pieces.Decimal(), unitDecimals)
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b offerAt) int { return a.each.Cmp(b.each) })
	return out
}
