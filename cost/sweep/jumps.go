package sweep

import (
	"cmp"
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
			kind: NewOrder, index: o.Terms, what: o.Supplier, cash: o.Total().Sub(o.Goods),
			side: [2]decimal.Decimal{o.Delivery, decimal.Sum(o.Duty, o.Tax, o.Handling)},
		})
	}
	for i, p := range b.Plates {
		marks = append(marks, mark{
			kind: NewPlate, index: i, what: p.Part, number: p.Plates, cash: p.Machine.Add(p.Energy),
			even: float64(p.Pieces) / float64(max(1, p.PerPlate)),
		})
	}
	marks = append(marks, mark{kind: NewSpare, index: -1, what: "units to start", number: b.Starts, even: float64(b.Size)})
	for i, r := range b.Boards {
		if len(boards[i].Holds) > 0 {
			continue
		}
		marks = append(marks, mark{kind: NewSpare, index: i, what: boards[i].Name, number: r.Starts, even: float64(r.Wanted)})
	}
	slices.SortStableFunc(marks, mark.compare)
	return marks
}

func (a mark) compare(b mark) int {
	return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.index, b.index))
}

// purchaseMarks makes one mark of all purchases of one part, board or material.
func purchaseMarks(b *cost.Batch) []mark {
	kinds := map[string]JumpKind{cost.Goods: NewPack, cost.Lots: NewLot, cost.Filament: NewSpool}
	var marks []mark
	for _, p := range b.Purchases {
		k := mark{
			kind: kinds[p.Kind], index: p.Index, what: p.Part,
			source: strings.TrimSpace(p.Supplier + " " + p.OrderCode),
			price:  p.UnitPrice.String(),
			count:  bom.GroupedCount(p.Quantity) + " × " + bom.Grouped(p.Pieces.String()),
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
func jumpsBetween(before, after []mark, size int) []Jump {
	var jumps []Jump
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
func (a *mark) jumpsTo(b *mark) []Jump {
	switch {
	case a == nil:
		return []Jump{{Kind: b.comes(), What: b.what, From: "none", To: b.state(), Cash: b.cash}}
	case b == nil:
		return []Jump{{Kind: a.comes(), What: a.what, From: a.state(), To: "none", Cash: a.cash.Neg()}}
	}
	j := Jump{Kind: a.kind, What: a.what, From: a.count, To: b.count, Cash: b.cash.Sub(a.cash)}
	switch a.kind {
	case NewOrder:
		return a.charges(b)
	case NewPlate, NewSpare:
		const same = 1e-9 // what a sum of fractions of plates may be off by
		if b.number <= a.number || float64(b.number-a.number) <= b.even-a.even+same {
			return nil
		}
		j.From, j.To = bom.GroupedCount(a.number), bom.GroupedCount(b.number)
		return []Jump{j}
	}
	switch {
	case a.source != b.source && a.kind != NewLot:
		j.Kind, j.From, j.To = NewSupplier, a.source, b.source
	case a.source == b.source && a.price != b.price && a.kind == NewPack:
		j.Kind, j.From, j.To = NewBreak, a.price, b.price
	case a.source == b.source && (a.count == b.count || !a.lumpy && !b.lumpy):
		return nil
	}
	return []Jump{j}
}

// comes is the kind of jump that it is when a mark appears or goes.
func (a *mark) comes() JumpKind {
	if a.kind == NewPack {
		return NewSupplier
	}
	return a.kind
}

// state is what stands on the side of a jump that has the mark.
func (a *mark) state() string {
	switch a.kind {
	case NewOrder:
		return "one"
	case NewPlate, NewSpare:
		return bom.GroupedCount(a.number)
	case NewPack:
		return a.source
	}
	return a.count
}

// charges compares what an order is charged besides its goods.
func (a *mark) charges(b *mark) []Jump {
	var jumps []Jump
	add := func(kind JumpKind, from, to decimal.Decimal) {
		jumps = append(jumps, Jump{Kind: kind, What: a.what, From: from.String(), To: to.String(), Cash: to.Sub(from)})
	}
	if !a.side[0].Equal(b.side[0]) {
		add(NewDelivery, a.side[0], b.side[0])
	}
	// Duty and tax grow with every piece; they jump where they begin or end.
	if a.side[1].IsZero() != b.side[1].IsZero() {
		add(NewDuty, a.side[1], b.side[1])
	}
	return jumps
}

// mark is one thing that a batch pays for, as far as it can jump.
type mark struct {
	kind   JumpKind // NewPack of parts, NewLot, NewSpool, NewOrder, NewPlate, NewSpare
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

// Jump is a change between two neighbouring batch sizes that does not come bit
// by bit.
type Jump struct {
	Size     int // the larger of the two
	Kind     JumpKind
	What     string // part, board, material, supplier
	From, To string
	Cash     decimal.Decimal // what the thing's own cash changes by, home currency; 0 for spares, whose cost is all over the batch
}

// JumpKind is what makes the cash of a batch jump from one size to the next.
type JumpKind int

// The kinds of jump.
const (
	NewSupplier JumpKind = iota // a part is bought elsewhere, or for the first time
	NewBreak                    // another price break holds
	NewPack                     // another number of packs
	NewLot                      // other lots of bare boards
	NewSpool                    // another number of spools
	NewOrder                    // a supplier gets an order, or gets none any more
	NewDelivery                 // delivery is charged, or waived
	NewDuty                     // duty, tax or handling falls due, or no longer
	NewPlate                    // a plate more than the pieces ask for
	NewSpare                    // a spare unit or board more
)

var jumpNames = [...]string{"supplier", "price break", "pack", "lot", "spool", "order", "delivery", "duty and tax", "plate", "spare"}

// String gives the kind's name.
func (k JumpKind) String() string { return jumpNames[k] }
