package sweep

import (
	"fmt"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// MaxSizes is the largest number of batch sizes in one sweep.
const MaxSizes = 5000

// Request says which batch sizes a sweep computes, and how it is run. Its
// functions are called from several goroutines at once.
type Request struct {
	From, To int               // batch sizes, both included; of a programme how often its first plan
	Targets  []decimal.Decimal // unit cost of each product to come under, home currency, 0: none; nil: of none
	Stop     func() bool       // true gives the sweep up; nil: never
	Done     func()            // called after each size; may be nil
}

// Run computes every batch size of a range. What cannot be bought at a size
// leaves that size unknown (Total.Unpriced) with a warning, and the others
// stand. Errors are those of the run itself; a range that is empty, that holds
// more than MaxSizes sizes or that leaves 1 to cost.MaxBatch is one. Without a
// curve and without an error the sweep was stopped.
func Run(run cost.Run, s Request) (*Curve, bom.Problems) {
	var problems bom.Problems
	each := 1
	if run.Programme != nil {
		each = run.Programme.Plans[0].All()
	}
	if s.From < 1 || s.To < s.From || s.To > cost.MaxBatch/each || s.To-s.From >= MaxSizes {
		problems.Errorf(bom.Place{File: run.Prices.Name}, fmt.Sprintf("%d:%d", s.From, s.To),
			fmt.Sprintf("at most %d sizes from 1 to %d", MaxSizes, cost.MaxBatch/each), "these sizes cannot be swept")
		return nil, problems
	}
	m, problems := cost.New(run)
	if m == nil {
		return nil, problems
	}
	sizes := make([]int, s.To-s.From+1)
	for i := range sizes {
		sizes[i] = each * (s.From + i)
	}
	c := &curve{Curve: &Curve{Points: make([]Point, len(sizes)), Targets: s.Targets}, boards: m.Describe().Boards,
		marks: make([][]mark, len(sizes)), lacks: make([]string, len(sizes))}
	whole := m.Costs(sizes, s.Stop, func(i int, b *cost.Batch, problems bom.Problems) {
		c.enter(i, b, problems)
		if s.Done != nil {
			s.Done()
		}
	})
	if !whole {
		return nil, nil
	}
	c.jumps()
	return c.Curve, c.complaints(run.Prices.Name, run.Prices.Settings.Home)
}

// curve is a curve while it is worked out.
type curve struct {
	*Curve
	boards []cost.Board
	marks  [][]mark // of each point
	lacks  []string // of each point the first thing that cannot be had
}

// pointOf is what a batch came to; unknown where something cannot be bought.
func pointOf(b *cost.Batch, problems bom.Problems) Point {
	p := Point{Size: b.Size, Starts: b.Starts, Categories: b.Categories, Total: b.Total, Proven: b.Proven, OffBy: b.OffBy()}
	p.Total.Unpriced = p.Total.Unpriced || problems.Failed()
	return p
}

// enter keeps what a curve needs of one size.
func (c *curve) enter(i int, b *cost.Batch, problems bom.Problems) {
	p := &c.Points[i]
	*p = pointOf(b, problems)
	if len(b.Payers) > 0 { // none where it was given up
		p.Till = b.Till
	}
	for i := range b.Products {
		if len(b.Products) > 1 {
			p.Products = append(p.Products, ProductCost{Units: b.Products[i].Size, Consumed: b.Products[i].Consumed})
		}
	}
	if !p.Total.Unpriced {
		c.marks[i] = marksOf(c.boards, b)
		return
	}
	for _, problem := range problems {
		c.lacks[i] = problem.String()
		break
	}
}

func shownSize(p *Point) string { return bom.Grouped(strconv.Itoa(p.Size)) }

// complaints warns of sizes that lack a price, and of those whose purchases are
// not proven.
func (c *curve) complaints(file string, home bom.Currency) bom.Problems {
	var problems bom.Problems
	unknown, unproven, first, worst := 0, 0, -1, (*Point)(nil)
	for i := range c.Points {
		switch p := &c.Points[i]; {
		case p.Total.Unpriced:
			if unknown++; first < 0 {
				first = i
			}
		case !p.Proven:
			if unproven++; worst == nil || p.OffBy.GreaterThan(worst.OffBy) {
				worst = p
			}
		}
	}
	if first >= 0 {
		problems.Warnf(bom.Place{File: file}, "", "offers for what is missing; figures leave those sizes out",
			"%d of %d batch sizes from %s to %s cannot be bought, first %s: %s", unknown, len(c.Points), shownSize(&c.Points[0]), shownSize(&c.Points[len(c.Points)-1]), shownSize(&c.Points[first]), c.lacks[first])
	}
	if unproven > 0 {
		problems.Warnf(bom.Place{File: file}, "", cost.MoreEffort,
			"the purchases of %d of %d batch sizes are not proven to be the cheapest: up to %s %s over it, at size %d",
			unproven, len(c.Points), home.Shown(worst.OffBy), home.Code, worst.Size)
	}
	return problems
}
