package cost

import (
	"github.com/shopspring/decimal"
)

// The sizes that are looked at for the break-even where no range is given: up
// to breakEvenTimes the largest batch, but so many at least and at most.
const (
	breakEvenTimes = 2
	breakEvenLeast = 100
	breakEvenMost  = 1000
)

// BreakEvenSizes is the range of batch sizes that is looked at for the
// break-even where none is given.
func BreakEvenSizes(batches []int) (from, to int) {
	largest := 0
	for _, n := range batches {
		largest = max(largest, n)
	}
	return 1, min(max(breakEvenTimes*largest, breakEvenLeast), breakEvenMost)
}

// BreakEven tells what a price brings at each batch of an estimate, and which
// sizes of a curve of the same run it is enough for. The unit cost is not
// monotone in the batch, so that a larger batch may fall short again.
func BreakEven(e *Estimate, c *Curve, price decimal.Decimal) *Pricing {
	at := func(p *Point) Income { return p.Till.at(price, &e.Terms.Settings, e.Currency.Digits) }
	covers := func(of func(*Point) decimal.Decimal) Under {
		return c.where(func(p *Point) bool { return at(p).Net.GreaterThanOrEqual(of(p)) })
	}
	out := &Pricing{
		Price:     price,
		From:      c.Points[0].Size,
		To:        c.Points[len(c.Points)-1].Size,
		MakerCash: c.where(func(p *Point) bool { return !at(p).Stays.IsNegative() }),
		Cash:      covers(func(p *Point) decimal.Decimal { return p.Total.Cash.Sub(p.Total.Reclaim) }),
		Consumed:  covers(func(p *Point) decimal.Decimal { return p.Total.Consumed }),
	}
	out.Last, out.Unknown = c.Priced()
	for i := range e.Batches {
		out.Incomes = append(out.Incomes, e.Batches[i].priced(price, e.Currency))
	}
	return out
}
