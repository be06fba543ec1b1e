package cost

import (
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// parcel is some units as they are handed in.
type parcel struct {
	units int
	of    *mass
	grams float64
	size  [3]bom.Measure
}

// parcel is one of so many units to the zone. What has no carton has the size of the box
// of its one unit; that of several units is not known.
func (z *zone) parcel(units int) parcel {
	p := parcel{units: units, of: z.mass, grams: z.mass.grams * float64(units), size: z.carton()}
	if z.row != nil {
		p.grams += z.row.CartonG.Value
	}
	if z.per == 1 && !z.hasCarton() {
		p.size = z.mass.size
	}
	return p
}

func (z *zone) carton() [3]bom.Measure {
	if z.row == nil {
		return [3]bom.Measure{}
	}
	return z.row.CartonMM
}

func (z *zone) hasCarton() bool {
	c := z.carton()
	return c[0].Known || c[1].Known || c[2].Known
}

// chargeable is the mass that a service charges for: that of the parcel or, where that is
// more, L × W × H / divisor. In cm³ over the divisor it is in kg, so in mm³ it is in g.
func (p *parcel) chargeable(s *bom.Service) float64 {
	if s.Divisor > 0 {
		return max(p.grams, volume(p.size)/s.Divisor)
	}
	return p.grams
}

// volume is in mm³; 0 where a side is not known.
func volume(size [3]bom.Measure) float64 { return size[0].Value * size[1].Value * size[2].Value }

// worth is what one unit is worth in the post, as a fraction in home currency; not known
// where nothing stands under the line.
type worth struct{ over, under decimal.Decimal }

// exceeds tells whether so many units are worth more than a limit in home currency.
func (w worth) exceeds(units int, limit decimal.Decimal) bool {
	return w.under.IsPositive() && w.over.Mul(decimal.NewFromInt(int64(units))).GreaterThan(limit.Mul(w.under))
}

// obstacles are what stands against sending a parcel by a service.
type obstacles uint

const (
	tooHeavy obstacles = 1 << iota
	tooLarge
	hazardous
	tooDear
)

// noGrams is as far as the noise of binary fractions may carry a mass over a limit.
const noGrams = 1e-6

// against tells what stands against sending a parcel by a service. A parcel may be turned.
func against(rates *supply, s *bom.Service, p *parcel, w worth) (o obstacles) {
	if s.MaxG.Known && math.Round(p.chargeable(s)/noGrams) > math.Round(s.MaxG.Value/noGrams) {
		o |= tooHeavy
	}
	if !fitsIn(p.size, s.MaxMM) {
		o |= tooLarge
	}
	if len(p.refusedBy(s)) > 0 {
		o |= hazardous
	}
	if s.MaxValue.Valid && w.exceeds(p.units, s.MaxValue.Decimal.Mul(rates.rate(s.Currency, s.At("Currency")))) {
		o |= tooDear
	}
	return o
}

// refusedBy are the hazards of the unit that a service does not carry.
func (p *parcel) refusedBy(s *bom.Service) (out []string) {
	for _, h := range p.of.hazards {
		if hasName(s.Excludes, h) {
			out = append(out, h)
		}
	}
	return out
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

// howMany is "1 parcel" or "12 parcels".
func howMany(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return bom.GroupedCount(n) + " " + what + "s"
}
