package sweep

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// marksOf lists what can jump, sorted by kind and index.
func marksOf(boards []cost.Board, b *cost.Batch) []mark {
	marks := purchaseMarks(b)
	for _, o := range b.Orders {
		marks = append(marks, mark{
			kind: cost.NewOrder, index: o.Terms, what: o.Supplier, cash: o.Total().Sub(o.Goods),
			side: [2]decimal.Decimal{o.Delivery, decimal.Sum(o.Duty, o.Tax, o.Handling)},
		})
	}
	for i, p := range b.Plates {
		marks = append(marks, mark{
			kind: cost.NewPlate, index: i, what: p.Part, number: p.Plates, cash: p.Machine.Add(p.Energy),
			even: float64(p.Pieces) / float64(max(1, p.PerPlate)),
		})
	}
	marks = append(marks, mark{kind: cost.NewSpare, index: -1, what: "units to start", number: b.Starts, even: float64(b.Size)})
	for i, r := range b.Boards {
		if len(boards[i].Holds) > 0 {
			continue
		}
		marks = append(marks, mark{kind: cost.NewSpare, index: i, what: boards[i].Name, number: r.Starts, even: float64(r.Wanted)})
	}
	slices.SortStableFunc(marks, mark.compare)
	return marks
}

func (a mark) compare(b mark) int {
	return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.index, b.index))
}

// purchaseMarks makes one mark of all purchases of one part, board or material.
func purchaseMarks(b *cost.Batch) []mark {
	kinds := map[string]cost.JumpKind{cost.Goods: cost.NewPack, cost.Lots: cost.NewLot, cost.Filament: cost.NewSpool}
	var marks []mark
	for _, p := range b.Purchases {
		k := mark{
			kind: kinds[p.Kind], index: p.Index, what: p.Part,
			source: strings.TrimSpace(p.Supplier + " " + p.OrderCode),
			price:  p.UnitPrice.String(),
			count:  fmt.Sprintf("%d × %s", p.Quantity, p.Pieces),
			lumpy:  p.Pieces > bom.One || p.Multiple() > 1,
			cash:   p.Cash,
		}
		at := slices.IndexFunc(marks, func(a mark) bool { return a.compare(k) == 0 })
		if at < 0 {
			marks = append(marks, k)
			continue
		}
		had := &marks[at]
		if had.source != k.source {
			had.source += " + " + k.source
		}
		had.price += " + " + k.price
		had.count += " + " + k.count
		had.lumpy = had.lumpy || k.lumpy
		had.cash = had.cash.Add(k.cash)
	}
	return marks
}

// jumps compares each size with the one before it.
func (c *curve) jumps() {
	for i := 1; i < len(c.Points); i++ {
		before, after := &c.Points[i-1], &c.Points[i]
		if !before.Total.Unpriced && !after.Total.Unpriced {
			c.Jumps = append(c.Jumps, jumpsBetween(c.marks[i-1], c.marks[i], after.Size)...)
		}
	}
}

// jumpsBetween walks two sorted lists side by side; a mark that stands in one
// alone has come or gone.
func jumpsBetween(before, after []mark, size int) []cost.Jump {
	var jumps []cost.Jump
	for len(before) > 0 || len(after) > 0 {
		var a, b *mark
		switch {
		case len(after) == 0 || len(before) > 0 && before[0].compare(after[0]) < 0:
			a, before = &before[0], before[1:]
		case len(before) == 0 || before[0].compare(after[0]) > 0:
			b, after = &after[0], after[1:]
		default:
			a, b, before, after = &before[0], &after[0], before[1:], after[1:]
		}
		for _, j := range a.jumpsTo(b) {
			j.Size = size
			jumps = append(jumps, j)
		}
	}
	return jumps
}

// jumpsTo tells what changed from one size to the next; nil stands for nothing.
func (a *mark) jumpsTo(b *mark) []cost.Jump {
	switch {
	case a == nil:
		return []cost.Jump{{Kind: b.comes(), What: b.what, From: "none", To: b.state(), Cash: b.cash}}
	case b == nil:
		return []cost.Jump{{Kind: a.comes(), What: a.what, From: a.state(), To: "none", Cash: a.cash.Neg()}}
	}
	j := cost.Jump{Kind: a.kind, What: a.what, From: a.count, To: b.count, Cash: b.cash.Sub(a.cash)}
	switch a.kind {
	case cost.NewOrder:
		return a.charges(b)
	case cost.NewPlate, cost.NewSpare:
		const same = 1e-9 // what a sum of fractions of plates may be off by
		if b.number <= a.number || float64(b.number-a.number) <= b.even-a.even+same {
			return nil
		}
		j.From, j.To = fmt.Sprint(a.number), fmt.Sprint(b.number)
		return []cost.Jump{j}
	}
	switch {
	case a.source != b.source && a.kind != cost.NewLot:
		j.Kind, j.From, j.To = cost.NewSupplier, a.source, b.source
	case a.source == b.source && a.price != b.price && a.kind == cost.NewPack:
		j.Kind, j.From, j.To = cost.NewBreak, a.price, b.price
	case a.source == b.source && (a.count == b.count || !a.lumpy && !b.lumpy):
		return nil
	}
	return []cost.Jump{j}
}

// comes is the kind of jump that it is when a mark appears or goes.
func (a *mark) comes() cost.JumpKind {
	if a.kind == cost.NewPack {
		return cost.NewSupplier
	}
	return a.kind
}

// state is what stands on the side of a jump that has the mark.
func (a *mark) state() string {
	switch a.kind {
	case cost.NewOrder:
		return "one"
	case cost.NewPlate, cost.NewSpare:
		return fmt.Sprint(a.number)
	case cost.NewPack:
		return a.source
	}
	return a.count
}

// charges compares what an order is charged besides its goods.
func (a *mark) charges(b *mark) []cost.Jump {
	var jumps []cost.Jump
	add := func(kind cost.JumpKind, from, to decimal.Decimal) {
		jumps = append(jumps, cost.Jump{Kind: kind, What: a.what, From: from.String(), To: to.String(), Cash: to.Sub(from)})
	}
	if !a.side[0].Equal(b.side[0]) {
		add(cost.NewDelivery, a.side[0], b.side[0])
	}
	// Duty and tax grow with every piece; they jump where they begin or end.
	if a.side[1].IsZero() != b.side[1].IsZero() {
		add(cost.NewDuty, a.side[1], b.side[1])
	}
	return jumps
}

// mark is one thing that a batch pays for, as far as it can jump.
type mark struct {
	kind   cost.JumpKind // cost.NewPack of parts, cost.NewLot, cost.NewSpool, cost.NewOrder, cost.NewPlate, cost.NewSpare
	index  int
	what   string
	source string // suppliers and order codes
	price  string // of one order unit
	count  string // order units × pieces
	lumpy  bool   // bought in more than single pieces
	number int    // of plates started, of units or boards begun
	even   float64
	cash   decimal.Decimal
	side   [2]decimal.Decimal // of an order: delivery; duty, tax and handling
}
