package sweep

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Pricing is what given prices bring, and from which batch size on they are
// enough.
type Pricing struct {
	Prices   []decimal.Decimal // of a unit of each product, home currency
	Incomes  []cost.Income     // one for each batch of the estimate
	From, To int               // batch sizes looked at, both included; 0: none were, as there are several plans
	Last     int               // the largest of those that has a price
	Unknown  int               // of those, without a price and passed over

	// Where what is left of the income after payment fees and sales tax covers the cash of the
	// maker and the recipients, that of all payers, and what the batch consumes.
	MakerCash, Cash, Consumed Under
}

// The sizes that are looked at for the break-even where no range is given: up
// to breakEvenTimes the largest batch, but so many at least and at most; of a plan so many
// multiples.
const (
	breakEvenTimes   = 2
	breakEvenLeast   = 100
	breakEvenMost    = 1000
	breakEvenOfAPlan = 20
)

// BreakEvenSizes is the range of a sweep in which the break-even is looked for where none is
// given: batch sizes, or multiples of the plan. Of several plans there is none.
func BreakEvenSizes(run *cost.Run) (from, to int, ok bool) {
	if p := run.Programme; p != nil {
		return 1, min(breakEvenOfAPlan, cost.MaxBatch/p.Plans[0].All()), len(p.Plans) == 1
	}
	return 1, min(max(breakEvenTimes*slices.Max(run.Batches), breakEvenLeast), breakEvenMost), true
}

// BreakEven tells what prices bring at each batch of an estimate, and which
// sizes of a curve of the same run they are enough for; without a curve none is looked at.
// The unit cost is not monotone in the batch, so that a larger batch may fall short again.
func BreakEven(e *cost.Estimate, c *Curve, prices []decimal.Decimal) *Pricing {
	out := &Pricing{Prices: prices, Incomes: bom.Each(e.Batches, func(b *cost.Batch) cost.Income { return b.Priced(prices, e.Currency) })}
	if c == nil {
		return out
	}
	at := func(p *Point) cost.Income { return p.Till.At(prices, &e.Terms.Settings, e.Currency.Digits) }
	covers := func(of func(*Point) decimal.Decimal) Under {
		return c.where(func(p *Point) bool { return at(p).Net.GreaterThanOrEqual(of(p)) })
	}
	out.From, out.To = c.Points[0].Size, c.Points[len(c.Points)-1].Size
	out.MakerCash = c.where(func(p *Point) bool { return !at(p).Stays.IsNegative() })
	out.Cash = covers(func(p *Point) decimal.Decimal { return p.Total.Cash.Sub(p.Total.Reclaim) })
	out.Consumed = covers(func(p *Point) decimal.Decimal { return p.Total.Consumed })
	out.Last, out.Unknown = c.Priced()
	return out
}
