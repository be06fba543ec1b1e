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

// buyApart plans the purchases of each product of a batch by itself: its boards populated by
// whom those of the batch are, on whatever panels are cheapest for it. A product takes from
// stock what those before it leave.
func buyApart(m *Model, b *Batch) {
	if len(b.Products) == 1 || b.Total.Unpriced {
		return
	}
	alone := m.alikeMade(b)
	for i, p := range bom.Refs(b.Products) {
		if p.Size == 0 {
			p.Alone = decimal.NewNullDecimal(decimal.Zero)
			continue
		}
		plan := &bom.Plan{Units: make([]int, len(b.Products))}
		plan.Units[i] = p.Size
		x, problems := alone.withPlan(plan).Batch(p.Size)
		if problems.Failed() || x.Total.Unpriced {
			continue
		}
		p.Alone = decimal.NewNullDecimal(x.Landed)
		alone.leave(&x)
		for _, way := range alone.ways {
			way.leave(&x)
		}
	}
}

// alikeMade is the model with those of its makings that leave as much to the bench as that
// of a batch, at the same assembler; costs alone are worked out.
func (m *Model) alikeMade(b *Batch) *Model {
	out := *m
	out.ways = nil
	as := m.of(b)
	for _, way := range m.ways {
		if way.making.assembler == as.making.assembler && way.making.fitted == as.making.fitted {
			like := *way
			like.costsOnly = true
			out.ways = append(out.ways, &like)
		}
	}
	out.costsOnly = true
	return &out
}

// leave takes what a batch takes from stock away.
func (m *Model) leave(b *Batch) {
	m.parts, m.bareBoards = slices.Clone(m.parts), slices.Clone(m.bareBoards)
	for j := range m.parts {
		m.parts[j].onHand = lessTaken(m.parts[j].onHand, b.Parts[j].OnHand)
	}
	for j := range m.bareBoards {
		m.bareBoards[j].onHand = lessTaken(m.bareBoards[j].onHand, bom.Whole(int64(b.Boards[j].OnHand)))
	}
}

// lessTaken is stock on hand of which something is taken, row after row.
func lessTaken(rows []*bom.OnHand, taken bom.Quantity) (out []*bom.OnHand) {
	for _, row := range rows {
		left := *row
		used := min(left.Quantity, taken)
		left.Quantity, taken = left.Quantity-used, taken-used
		out = append(out, &left)
	}
	return out
}
