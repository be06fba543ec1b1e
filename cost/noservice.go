package cost

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// nearestServices is how many services a complaint tells what stands against.
const nearestServices = 3

// noService says that nobody takes a parcel to a zone, and what stands against the
// services that come nearest.
func noService(m *Model, z *zone, p *parcel, w worth) bom.Problem {
	parcel := "takes the parcel of "
	if z.per > 1 {
		parcel += howMany(p.units, "unit") + ", "
	}
	parcel += fmt.Sprintf("%.1f g", p.grams)
	if volume(p.size) > 0 {
		parcel += ", " + sidesOf(p.size)
	}
	parcel += nearest(m, z, p, w)
	switch {
	case z.row == nil:
		return bom.Problem{Place: m.prices.Postage[0].At(""), Severity: m.run.gap(), What: "no postal service " + parcel, Want: "add a row to the tab postage that does"}
	case !isServed(m, z.row.Zone):
		return bom.Problem{Place: z.row.At("Zone"), Severity: m.run.gap(), Found: z.row.Zone, What: "no postal service goes to this zone",
			Want: "add a row to the tab postage with it in To", Hint: suggest(z.row.Zone, destinationsOf(m))}
	}
	return bom.Problem{Place: z.row.At("Zone"), Severity: m.run.gap(), Found: z.row.Zone, What: "no postal service to this zone " + parcel,
		Want: "add a row to the tab postage that does, or fewer Units per parcel"}
}

// nearest lists the services that the fewest things stand against, with those.
func nearest(m *Model, z *zone, p *parcel, w worth) string {
	all := slices.Concat(z.services, z.others)
	slices.SortStableFunc(all, func(a, b *bom.Service) int {
		return cmp.Compare(bits.OnesCount(uint(against(&m.supply, a, p, w))), bits.OnesCount(uint(against(&m.supply, b, p, w))))
	})
	var out []string
	for i, s := range all {
		if i == nearestServices {
			out = append(out, fmt.Sprintf("%d more", len(all)-i))
			break
		}
		out = append(out, s.Name+": "+strings.Join(objections(m, s, p, w), ", "))
	}
	if out == nil {
		return ""
	}
	return " (" + strings.Join(out, "; ") + ")"
}

// objections tell in words what stands against sending a parcel by a service.
func objections(m *Model, s *bom.Service, p *parcel, w worth) (out []string) {
	o := against(&m.supply, s, p, w)
	if o&tooHeavy != 0 {
		what := "mass"
		if p.chargeable(s) > p.grams {
			what = "mass by volume"
		}
		out = append(out, fmt.Sprintf("%s %.1f g over %g g", what, p.chargeable(s), s.MaxG.Value))
	}
	if o&tooLarge != 0 {
		out = append(out, "size over "+sidesOf(s.MaxMM))
	}
	if o&hazardous != 0 {
		out = append(out, "excludes "+strings.Join(p.refusedBy(s), ", "))
	}
	if o&tooDear != 0 {
		value := w.over.Mul(decimal.NewFromInt(int64(p.units))).DivRound(w.under, m.home.Digits)
		out = append(out, fmt.Sprintf("value %s %s over %s %s", m.home.Shown(value), m.home.Code, s.Currency.Shown(s.MaxValue.Decimal), s.Currency.Code))
	}
	return out
}

// sidesOf is "350 × 250 × 30 mm", with a question mark for a side that is not known.
func sidesOf(size [3]bom.Measure) string {
	var out [3]string
	for i, side := range size {
		if out[i] = "?"; side.Known {
			out[i] = fmt.Sprintf("%g", side.Value)
		}
	}
	return strings.Join(out[:], " × ") + " mm"
}
