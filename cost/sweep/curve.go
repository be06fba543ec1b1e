package sweep

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Curve is a run over a range of batch sizes.
type Curve struct {
	Points  []Point           // one for each size, by rising size
	Jumps   []Jump            // by size
	Targets []decimal.Decimal // unit costs of each product that are asked for, 0: none; nil: of none
}

// Point is what one batch size costs: the figures that an estimate of it alone
// gives.
type Point struct {
	Size       int
	Starts     int
	Categories [cost.AllCategories]cost.Amounts
	Total      cost.Amounts
	Products   []ProductCost // none where there is one product
	Till       cost.Till
	Proven     bool            // the purchases are proven cheapest
	OffBy      decimal.Decimal // the most that they may be over the cheapest; 0 where Proven
}

// ProductCost is what one product of a size costs.
type ProductCost struct {
	Units    int
	Consumed decimal.Decimal
}

// Under is where something holds on a curve, among the sizes that have a price.
type Under struct {
	First  int // smallest size at which it holds; 0: none
	Always int // smallest size from which on it holds to the end; 0: none
}

// At gives the point of a batch size, or nil where the curve does not hold it
// or it lacks a price.
func (c *Curve) At(size int) *Point {
	i, found := slices.BinarySearchFunc(c.Points, size, func(p Point, size int) int { return cmp.Compare(p.Size, size) })
	if !found || c.Points[i].Total.Unpriced {
		return nil
	}
	return &c.Points[i]
}

// Near is a batch size that is better value than a wanted one close to it.
type Near struct {
	Size  int
	Cash  decimal.Decimal // more (or less) than the wanted size costs in all
	Usual decimal.Decimal // what one unit more usually adds to the cash near the wanted size, four decimals
}

// nearShare bounds what is near: up to this part of the wanted size away, and
// not less than nearLeast.
const (
	nearShare = 4
	nearLeast = 2
)

// Near looks for better sizes within a quarter of a wanted one: up to two
// larger ones whose further units cost at most three quarters of what a unit
// more usually adds there, and one smaller where each unit left away saves at
// least one and a half times that. They come by rising size. What a unit usually adds is the
// difference in cash between the ends of the quarter, divided by their
// distance.
func (c *Curve) Near(wanted int) []Near {
	at := c.At(wanted)
	if at == nil {
		return nil
	}
	reach := max(nearLeast, (wanted+nearShare-1)/nearShare)
	var around []*Point
	for size := wanted - reach; size <= wanted+reach; size++ {
		if p := c.At(size); p != nil {
			around = append(around, p)
		}
	}
	low, high := around[0], around[len(around)-1]
	if low == high {
		return nil
	}
	rise := high.Total.Cash.Sub(low.Total.Cash)
	width := decimal.NewFromInt(int64(high.Size - low.Size))
	usual := rise.DivRound(width, 4)
	if !usual.IsPositive() {
		return nil
	}
	var out []Near
	add := func(p *Point) { out = append(out, Near{p.Size, p.Total.Cash.Sub(at.Total.Cash), usual}) }
	if p := bestStep(at, around, func(p *Point) bool { return p.Size < at.Size && slope(at, p).GreaterThanOrEqual(usual.Mul(muchSaved)) }); p != nil {
		add(p)
	}
	cheap := func(from *Point) func(*Point) bool {
		return func(p *Point) bool {
			return p.Size > from.Size && slope(from, p).LessThanOrEqual(usual.Mul(littleMore))
		}
	}
	if p := bestStep(at, around, cheap(at)); p != nil {
		add(p)
		if q := bestStep(p, around, cheap(p)); q != nil {
			add(q)
		}
	}
	return out
}

// Bounds on the step away from a wanted size, in what a unit usually adds.
var (
	littleMore = decimal.New(75, -2)
	muchSaved  = decimal.New(15, -1)
)

// slopeDigits are enough to tell two slopes apart that differ in cents.
const slopeDigits = 12

// slope is the cash that lies between two sizes, by unit.
func slope(from, to *Point) decimal.Decimal {
	return to.Total.Cash.Sub(from.Total.Cash).DivRound(decimal.NewFromInt(int64(to.Size-from.Size)), slopeDigits)
}

// bestStep is the size, of those that qualify, where the step away from one
// size is the best: the cheapest upwards, the one that saves most downwards.
// Of equal ones the larger size is taken.
func bestStep(from *Point, around []*Point, qualifies func(*Point) bool) *Point {
	var best *Point
	for _, p := range around {
		if !qualifies(p) {
			continue
		}
		if best == nil {
			best = p
			continue
		}
		by := slope(from, best).Cmp(slope(from, p))
		if p.Size < from.Size {
			by = -by
		}
		if by >= 0 {
			best = p
		}
	}
	return best
}

// Priced gives the largest size that has a price, 0 where none has, and counts those
// that have none, of which Under and the break-even claim nothing.
func (c *Curve) Priced() (last, unknown int) {
	for i := range c.Points {
		if c.Points[i].Total.Unpriced {
			unknown++
		} else {
			last = c.Points[i].Size
		}
	}
	return last, unknown
}

// Under finds the sizes at which the unit cost of a product is at most a price in home
// currency. Sizes that lack a price are passed over.
func (c *Curve) Under(product int, price decimal.Decimal) Under {
	return c.where(func(p *Point) bool {
		of := ProductCost{p.Size, p.Total.Consumed}
		if len(p.Products) > 1 {
			of = p.Products[product]
		}
		return of.Consumed.LessThanOrEqual(price.Mul(decimal.NewFromInt(int64(of.Units))))
	})
}

// where finds the sizes at which something holds; those that lack a price are
// passed over.
func (c *Curve) where(holds func(*Point) bool) Under {
	var u Under
	for _, p := range bom.Refs(c.Points) {
		switch {
		case p.Total.Unpriced:
		case !holds(p):
			u.Always = 0
		default:
			if u.First == 0 {
				u.First = p.Size
			}
			if u.Always == 0 {
				u.Always = p.Size
			}
		}
	}
	return u
}

// FlatPercent is what making twice as many takes off the unit cost where a
// curve still falls, at least.
const FlatPercent = 5

// Flat is the size at which the curve flattens: the smallest from which on
// making twice as many never takes FlatPercent or more off the unit cost. It
// is 0 where the curve does not tell, because it still falls at half of its
// last size.
func (c *Curve) Flat() int {
	flat := 0
	for _, p := range slices.Backward(c.Points) {
		one, twice := c.At(p.Size), c.At(2*p.Size)
		if one == nil || twice == nil {
			continue
		}
		// used(2n) / 2n > (1 − 5 %) used(n) / n
		still := decimal.NewFromInt(2 * (100 - FlatPercent)).Mul(one.Total.Consumed)
		if !twice.Total.Consumed.Shift(2).GreaterThan(still) {
			break
		}
		flat = p.Size
	}
	return flat
}

// Lowest is the size with the lowest unit cost, the smallest of equals; nil
// where no size has one.
func (c *Curve) Lowest() *Point {
	var best *Point
	for _, p := range bom.Refs(c.Points) {
		if p.Total.Unpriced {
			continue
		}
		// used(p) / p < used(best) / best
		if best == nil || p.Total.Consumed.Mul(decimal.NewFromInt(int64(best.Size))).LessThan(best.Total.Consumed.Mul(decimal.NewFromInt(int64(p.Size)))) {
			best = p
		}
	}
	return best
}

// jumpShare is the part of a batch's cash, as one in so many, from which a jump
// is large.
const jumpShare = 200

// LargeJumps are the jumps that move at least half a percent of the cash of
// their batch, and all those of spares; small counts the others.
func (c *Curve) LargeJumps() (large []Jump, small int) {
	for _, j := range c.Jumps {
		cash := c.At(j.Size).Total.Cash
		if j.Kind == NewSpare || !j.Cash.IsZero() && j.Cash.Abs().Mul(decimal.NewFromInt(jumpShare)).GreaterThanOrEqual(cash) {
			large = append(large, j)
		}
	}
	return large, len(c.Jumps) - len(large)
}

// PerUnit divides by the batch size, as that of a Batch does.
func (p *Point) PerUnit(amount decimal.Decimal) decimal.Decimal { return cost.PerUnit(amount, p.Size) }

// Unproven is how many sizes have a price that rests on purchases that are not
// proven to be the cheapest.
func (c *Curve) Unproven() (n int) {
	for i := range c.Points {
		if p := &c.Points[i]; p.OffBy.IsPositive() && !p.Total.Unpriced {
			n++
		}
	}
	return n
}

// OffBy is the most that the purchases of a size may be over the cheapest, in home
// currency; 0 where all are proven.
func (c *Curve) OffBy() (most decimal.Decimal) {
	for i := range c.Points {
		most = decimal.Max(most, c.Points[i].OffBy)
	}
	return most
}
