package cost

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// MaxSweep is the largest number of batch sizes in one sweep.
const MaxSweep = 5000

// Sweeping says which batch sizes a sweep computes, and how it is run. Its
// functions are called from several goroutines at once.
type Sweeping struct {
	From, To int               // batch sizes, both included; of a programme how often its first plan
	Targets  []decimal.Decimal // unit cost of each product to come under, home currency, 0: none; nil: of none
	Stop     func() bool       // true gives the sweep up; nil: never
	Done     func()            // called after each size; may be nil
}

// PerUnit divides by the batch size, as that of a Batch does.
func (p *Point) PerUnit(amount decimal.Decimal) decimal.Decimal { return perUnit(amount, p.Size) }

// Sweep computes every batch size of a range. What cannot be bought at a size
// leaves that size unknown (Total.Unpriced) with a warning, and the others
// stand. Errors are those of the run itself; a range that is empty, that holds
// more than MaxSweep sizes or that leaves 1 to MaxBatch is one. Without a
// curve and without an error the sweep was stopped.
func Sweep(run Run, s Sweeping) (*Curve, bom.Problems) {
	var problems bom.Problems
	each := 1
	if run.Programme != nil {
		each = run.Programme.Plans[0].All()
	}
	if s.From < 1 || s.To < s.From || s.To > MaxBatch/each || s.To-s.From >= MaxSweep {
		problems.Errorf(bom.Place{File: run.Prices.Name}, fmt.Sprintf("%d:%d", s.From, s.To),
			fmt.Sprintf("at most %d sizes from 1 to %d", MaxSweep, MaxBatch/each), "these sizes cannot be swept")
		return nil, problems
	}
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	m = m.at(0)
	m.costsOnly = true
	coverUpTo(m, each*s.To)
	c := &Curve{Points: make([]Point, s.To-s.From+1), Targets: s.Targets}
	whole := m.together(len(c.Points), func(m *Model, i int) bool {
		if s.Stop != nil && s.Stop() {
			return false
		}
		c.Points[i] = pointAt(m, each*(s.From+i))
		if s.Done != nil {
			s.Done()
		}
		return true
	})
	if !whole {
		return nil, nil
	}
	c.jumps()
	return c, c.complaints(run.Prices.Name, m.home)
}

// pointAt computes one size and keeps what a curve needs of it.
func pointAt(m *Model, size int) Point {
	b, problems := m.Batch(size)
	p := Point{Size: size, Starts: b.Starts, Categories: b.Categories, Total: b.Total, Proven: b.Proven, OffBy: b.OffBy()}
	if len(b.Payers) > 0 { // none where it was given up
		p.Till = b.Till
	}
	for i := range b.Products {
		if len(b.Products) > 1 {
			p.Products = append(p.Products, ProductCost{b.Products[i].Size, b.Products[i].Consumed})
		}
	}
	p.Total.Unpriced = p.Total.Unpriced || problems.Failed()
	if p.Total.Unpriced {
		for _, problem := range problems {
			p.lacks = problem.String()
			break
		}
		return p
	}
	p.marks = marksOf(m, &b)
	return p
}

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

// complaints warns of sizes that lack a price, and of those whose purchases are
// not proven.
func (c *Curve) complaints(file string, home bom.Currency) bom.Problems {
	var problems bom.Problems
	unknown, unproven, first, worst := 0, 0, (*Point)(nil), (*Point)(nil)
	for i := range c.Points {
		switch p := &c.Points[i]; {
		case p.Total.Unpriced:
			if unknown++; first == nil {
				first = p
			}
		case !p.Proven:
			if unproven++; worst == nil || p.OffBy.GreaterThan(worst.OffBy) {
				worst = p
			}
		}
	}
	if first != nil {
		problems.Warnf(bom.Place{File: file}, "", "leave those sizes out, or price what is missing",
			"%d of %d sizes of the sweep lack a price, first %d: %s", unknown, len(c.Points), first.Size, first.lacks)
	}
	if unproven > 0 {
		problems.Warnf(bom.Place{File: file}, "", MoreEffort,
			"the purchases of %d of %d sizes of the sweep are not proven to be the cheapest: up to %s %s over it, at size %d",
			unproven, len(c.Points), home.Shown(worst.OffBy), home.Code, worst.Size)
	}
	return problems
}
