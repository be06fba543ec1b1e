package cost

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// dearStocks plans a batch anew without the stock of each part, board and material that
// it takes. Only where an order bears charges can that be cheaper: a threshold is
// missed, or what an assembler sells is consigned.
func dearStocks(m *Model, b *Batch) (out []dearStock) {
	m = m.of(b)
	try := func(without *Model, rows []*bom.OnHand) {
		without.costsOnly = true
		other, problems := without.Batch(b.Size)
		if !problems.Failed() && !other.Total.Unpriced && other.Landed.LessThan(b.Landed) {
			out = append(out, dearStock{rows[0], b.Landed.Sub(other.Landed)})
		}
	}
	charged := func(o Order) bool { return o.Total().GreaterThan(o.Goods) }
	if b.Total.Unpriced || !slices.ContainsFunc(b.Orders, charged) {
		return nil
	}
	for i := range b.Parts {
		// Where some is still to be bought, buying all of it was weighed as well, but for
		// the fee that sending it costs.
		if b.Parts[i].OnHand > 0 && (b.Parts[i].Demand == 0 || m.parts[i].sent) {
			without := *m
			without.parts = slices.Clone(m.parts)
			without.parts[i].onHand = nil
			try(&without, m.parts[i].onHand)
		}
	}
	for i := range b.Boards {
		if b.Boards[i].OnHand > 0 {
			without := *m
			without.bareBoards = slices.Clone(m.bareBoards)
			without.bareBoards[i].onHand = nil
			try(&without, m.bareBoards[i].onHand)
		}
	}
	return out
}

// warnOfDearStock tells of stock on hand that makes batches dearer.
func warnOfDearStock(m *Model, batches []Batch) (problems bom.Problems) {
	for _, row := range bom.Refs(m.prices.OnHand) {
		var sizes, saves []string
		for _, b := range batches {
			for _, s := range b.dear {
				if s.row == row {
					sizes, saves = append(sizes, b.ID().Shown()), append(saves, m.home.Shown(s.save))
				}
			}
		}
		if sizes != nil {
			problems.Warnf(row.At("Part number"), "", fmt.Sprintf("leaving it would save %s %s", strings.Join(saves, ", "), m.home.Code),
				"the stock of %s makes batch %s dearer, and is used", row.Part, strings.Join(sizes, ", "))
		}
	}
	return problems
}
