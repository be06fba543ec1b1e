package cost

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// varying is a number that is certain, or that follows an input.
type varying struct {
	value float64 // times the input's, where there is one
	input int     // index into the inputs; Certain: -1
}

func constant(value float64) varying { return varying{value, Certain} }

// times scales a figure.
func (f varying) times(scale float64) varying { return varying{f.value * scale, f.input} }

// inputs gathers the figures of one batch that are drawn. Each stands there
// once, however many sums it is used in.
type inputs struct {
	m    *Model
	list []Ranged
	at   map[string]int
}

// add notes an input and gives its number.
func (in *inputs) add(r Ranged) int {
	if i, again := in.at[r.Key]; again {
		return i
	}
	i := len(in.list)
	in.at[r.Key] = i
	in.list = append(in.list, r)
	return i
}

// follow gives a figure that is drawn where its row gives a range; where it
// gives none and is old, it is drawn within the setting for old prices.
func (in *inputs) follow(r Ranged, value decimal.Decimal, given bom.Range, asOf bom.Date) varying {
	v := value.InexactFloat64()
	r.Pert = pert(v, bom.Range{})
	switch {
	case given.Given():
		r.Pert = pert(v, given)
	case in.m.run.isOld(asOf):
		r.Pert, r.Old = in.widened(v), true
	}
	if r.Certain() {
		return constant(v)
	}
	return varying{1, in.add(r)}
}

// pert is the three-point figure of a value and its range.
func pert(value float64, r bom.Range) Pert {
	p := Pert{Low: value, Mode: value, High: value}
	if r.Least.Valid {
		p.Low = r.Least.Decimal.InexactFloat64()
	}
	if r.Most.Valid {
		p.High = r.Most.Decimal.InexactFloat64()
	}
	return p
}

// widened is an old figure as it is drawn: as far either way as the setting
// Old price spread % says.
func (in *inputs) widened(value float64) Pert {
	by := float64(value * fraction(in.m.prices.Settings.OldSpread)) // not fused with what follows
	return Pert{Low: value - by, Mode: value, High: value + by}
}

// isOld tells whether a price is older than the setting Price age limit days;
// one without a date is not.
func (r *Run) isOld(asOf bom.Date) bool {
	return !asOf.IsZero() && !r.Today.IsZero() && asOf.DaysUntil(r.Today) > r.Prices.Settings.PriceAgeDays
}

// drawKey joins what tells an input apart. It must not depend on where a row
// stands.
func drawKey(words ...any) string { return fmt.Sprintf("%q", words) }

// wholeCharge is what all charges of somebody together are drawn as, in percent.
var wholeCharge = decimal.NewFromInt(100)

// charges gives the share of what somebody asks besides prices, which is drawn
// where it is old: all of it rises and falls together.
func (in *inputs) charges(of string, asOf bom.Date) varying {
	f := in.follow(Ranged{Name: of, Unit: "%", Key: drawKey("charges", of)}, wholeCharge, bom.Range{}, asOf)
	return f.times(0.01)
}

// setting gives a figure of the settings.
func (in *inputs) setting(name string, value decimal.Decimal) varying {
	_, unit, _ := in.m.prices.Settings.Figure(name)
	return in.follow(Ranged{Name: name, Unit: unit, Key: drawKey(bom.TabSettings, name)}, value, in.m.prices.Settings.RangeOf(name), bom.Date{})
}

// rate gives what one of a currency is worth at home.
func (in *inputs) rate(code string) varying {
	for _, r := range in.m.prices.Exchange {
		if r.Currency.Code == code {
			return in.follow(Ranged{Name: "rate of " + code, Unit: in.m.home.Code, Key: drawKey(bom.TabExchange, code)}, r.Rate, r.Range, r.AsOf)
		}
	}
	return constant(1)
}

// price gives the unit price and the set-up of a purchase.
func (in *inputs) price(p *Purchase) (price, setUp varying) {
	value, given := in.priceOf(p)
	key := drawKey(p.Kind, bom.Fold(p.Part), bom.Fold(p.Supplier), p.OrderCode, p.Pieces)
	if n := in.soldAtMost(p); n > 0 { // beside a lot of the same size at another price
		key += drawKey("at most", n)
	}
	f := in.follow(Ranged{Name: priceName(p.Part, p.Supplier), Unit: p.Currency.Code, Key: key}, value, given, p.AsOf)
	price, setUp = constant(p.UnitPrice.InexactFloat64()), constant(p.SetUp.InexactFloat64())
	switch {
	case f.input == Certain:
	case value.IsPositive():
		share := f.times(1 / value.InexactFloat64())
		price, setUp = share.times(price.value), share.times(setUp.value)
	case in.bySetUp(p):
		setUp = f
	default:
		price = f
	}
	return price, setUp
}

func priceName(part, supplier string) string { return "price of " + part + ", " + supplier }

// soldAtMost is how often a lot of boards is sold at most; 0: any number of times.
func (in *inputs) soldAtMost(p *Purchase) int64 {
	if p.Kind != Lots || p.choice == byArea {
		return 0
	}
	return in.m.bareBoards[p.Index].variants[p.variant].lots[p.choice].AtMost
}

// bySetUp tells whether boards by area cost their set-up alone.
func (in *inputs) bySetUp(p *Purchase) bool {
	return p.Kind == Lots && p.choice == byArea && !in.m.bareBoards[p.Index].variants[p.variant].area.PerDM2.IsPositive()
}

// priceOf gives the price of a purchase that a range is about, and the range: of boards
// by area, the rate, or the set-up where there is no rate; of an offer, the price that
// is paid where it has a range, else that of the first break that has one and is not
// free, which all others follow in proportion.
func (in *inputs) priceOf(p *Purchase) (value decimal.Decimal, given bom.Range) {
	switch {
	case p.Kind == Filament:
		return p.UnitPrice, in.m.parts[p.Index].spools[p.choice].Range
	case p.Kind == Lots && p.choice != byArea:
		return p.UnitPrice, in.m.bareBoards[p.Index].variants[p.variant].lots[p.choice].Range
	case p.Kind == Lots:
		q := in.m.bareBoards[p.Index].variants[p.variant].area
		if in.bySetUp(p) {
			return q.SetUp, q.Range
		}
		return q.PerDM2, q.Range
	}
	own := breakAt(p.offer.Breaks, p.Quantity)
	if !own.Range.Given() {
		for _, b := range p.offer.Breaks {
			if b.Range.Given() && b.Price.IsPositive() {
				return b.Price, b.Range
			}
		}
	}
	return own.Price, own.Range
}
