package cost

import (
	"cmp"
	"fmt"
	"slices"

	"tenoff/bom"
)

// limitsOf gives, for the parts whose stock does not build a batch of the given
// size, how many good units it builds, the scarcest first. Parts are looked at
// one by one, as if all others were there.
func limitsOf(m *Model, size int) []Limit {
	out := bom.Each(m.Short(size), func(p *int) Limit { return m.Reach(*p, size) })
	slices.SortFunc(out, func(a, b Limit) int {
		return cmp.Or(cmp.Compare(a.Units, b.Units), cmp.Compare(a.Part, b.Part))
	})
	return out
}

// Reach tells how far the stock of a part, an index into Estimate.Parts, goes for a batch of
// so many units.
func (m *Model) Reach(part, size int) Limit {
	out := Limit{Part: m.parts[part].Key, Units: largestBuilt(m, part, size), Stock: stockReach(m, part)}
	if b, problems := m.begin(size); !problems.Failed() && m.parts[part].Unit != grams {
		_, run := m.scratch(&b).demandOf(part)
		out.Required = run.Need + run.Allowance
	}
	return out
}

// Short lists the parts, indices into Estimate.Parts, of which a batch of so many units wants
// more than can be had.
func (m *Model) Short(size int) (out []int) {
	b, problems := m.begin(size)
	for i := range m.parts {
		if problems.Failed() || m.lacks(&b, i) {
			out = append(out, i)
		}
	}
	return out
}

// lacks tells whether a batch wants more of a part than can be had. There are
// always spools enough where there are any, so that no plates need be laid.
func (m *Model) lacks(b *Batch, part int) bool {
	if m.parts[part].Unit == grams {
		return len(m.parts[part].offers) == 0
	}
	_, run := m.scratch(b).demandOf(part)
	return run.Demand > m.parts[part].canBuy()
}

// largestBuilt is the largest batch under size that the stock of a part covers.
func largestBuilt(m *Model, part, size int) int {
	low, high := 0, size // low can be built, high cannot
	for high-low > 1 {
		mid := low + (high-low)/2
		if b, problems := m.begin(mid); !problems.Failed() && !m.lacks(&b, part) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// lackOf says how far the stock goes that a batch is short of: the part that
// limits it and the next one after it.
func lackOf(limits []Limit) string {
	if len(limits) == 0 {
		return ""
	}
	text := fmt.Sprintf("the stock is enough for %s units, limited by %s", bom.GroupedCount(limits[0].Units), limits[0].Part)
	if len(limits) > 1 {
		text += fmt.Sprintf(", then %s by %s", bom.GroupedCount(limits[1].Units), limits[1].Part)
	}
	return text
}

// Limit is how many units the stock of one part builds.
type Limit struct {
	Part     string
	Units    int          // fewer than were asked about
	Stock    bom.Quantity // pieces that can be had, on hand included
	Required bom.Quantity // pieces for the units that were asked about, with the allowance; 0 of filament
}
