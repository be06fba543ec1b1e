package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Apart is what buying together saves in landed cash against buying for each product by
// itself, one after the other; ok is false where some product cannot be bought by itself.
func (b *Batch) Apart() (saves decimal.Decimal, ok bool) {
	saves = b.Landed.Neg()
	for i := range b.Products {
		alone := b.Products[i].Alone
		if !alone.Valid {
			return decimal.Zero, false
		}
		saves = saves.Add(alone.Decimal)
	}
	return saves, true
}

// buyApart plans the purchases of each product of a batch by itself, its boards made as
// those of the batch are. A product takes from stock what those before it leave.
func buyApart(m *Model, b *Batch) {
	if len(b.Products) == 1 || b.Total.Unpriced {
		return
	}
	m = m.of(b)
	alone := *m
	alone.costsOnly = true
	alone.parts, alone.bareBoards = slices.Clone(m.parts), slices.Clone(m.bareBoards)
	for i := range b.Products {
		p := &b.Products[i]
		if p.Size == 0 {
			p.Alone = decimal.NewNullDecimal(decimal.Zero)
			continue
		}
		alone.plan = &bom.Plan{Units: make([]int, len(b.Products))}
		alone.plan.Units[i] = p.Size
		x, problems := alone.Batch(p.Size)
		if problems.Failed() || x.Total.Unpriced {
			continue
		}
		p.Alone = decimal.NewNullDecimal(x.Landed)
		for j := range alone.parts {
			alone.parts[j].onHand = less(alone.parts[j].onHand, x.Parts[j].OnHand)
		}
		for j := range alone.bareBoards {
			alone.bareBoards[j].onHand = less(alone.bareBoards[j].onHand, bom.Whole(int64(x.Boards[j].OnHand)))
		}
	}
}

// less is stock on hand of which something is taken, row after row.
func less(rows []*bom.OnHand, taken bom.Quantity) (out []*bom.OnHand) {
	for _, row := range rows {
		left := *row
		used := min(left.Quantity, taken)
		left.Quantity, taken = left.Quantity-used, taken-used
		out = append(out, &left)
	}
	return out
}
