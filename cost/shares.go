package cost

import (
	"tenoff/bom"
	"tenoff/cost/sum"
)

// shareOut shares amounts out by weights, each by largest remainder: what is paid and
// what comes from stock by the weights, what is consumed of both by what each share has of
// them. No share then consumes more than it has, as its quota of what is consumed is no
// more than that whole number of minor units, and no share gets more than its quota
// rounded up. Cash is reclaimed whole or not at all.
func shareOut(s *sums, of string, at int, over string, a portion, weights []sum.Ref) []portion {
	out := make([]portion, len(weights))
	share := func(what string, total sum.Ref, weights []sum.Ref) []sum.Ref {
		if total == 0 {
			return make([]sum.Ref, len(weights))
		}
		return s.Share(sum.Key{Of: of, At: at, What: over + ", " + what}, total, weights, s.digits)
	}
	cash, stock, own := share("cash", a.cash, weights), share("stock", a.stock, weights), share("own", a.own, weights)
	consumed := cash
	switch {
	case a.consumed == 0:
		consumed = make([]sum.Ref, len(weights))
	case a.consumed == a.own:
		consumed = own
	case a.stock != 0 || a.consumed != a.cash:
		value := make([]sum.Ref, len(weights))
		for i := range value {
			value[i] = s.Add(cash[i], own[i], stock[i])
		}
		consumed = share("consumed", a.consumed, value)
	}
	for i := range out {
		out[i] = portion{cash: cash[i], own: own[i], stock: stock[i], consumed: consumed[i]}
		if a.reclaim != 0 {
			out[i].reclaim = cash[i]
		}
	}
	return out
}

// weightOf is what a line counts for where its part is shared out: pieces, the grams that
// its plates take, or the length of its leads.
func weightOf(s *sums, entry int) sum.Ref {
	var all []sum.Ref
	for i := range s.b.Plates {
		if s.b.Plates[i].Entry == entry {
			all = append(all, s.plates[i].grams)
		}
	}
	if all != nil {
		return s.Add(all...)
	}
	need := s.b.Needs[entry].Decimal()
	if e := &s.m.entries[entry]; e.Part >= 0 && s.m.parts[e.Part].ringMM > 0 { // leads of several lengths
		need = need.Mul(e.Line.CutMM.Decimal())
	}
	return s.Number(need)
}

// weightsOf are what some lines count for.
func weightsOf(s *sums, lines []int) []sum.Ref {
	return bom.Each(lines, func(e *int) sum.Ref { return weightOf(s, *e) })
}

// categoryWeights are what a part counts for in each category that it falls in.
func categoryWeights(s *sums, part int) []sum.Ref {
	return bom.Each(s.m.parts[part].in, func(in *categoryLines) sum.Ref { return s.Add(weightsOf(s, in.lines)...) })
}

// shareOnBoards gives what the money of a board type or panel comes to on each board type: that
// of a panel is shared out by how many of each are begun.
func shareOnBoards(s *sums, of string, at, board int, whole portion, give func(board int, p portion)) {
	holds := s.m.boards[board].Holds
	switch {
	case len(holds) == 0:
		give(board, whole)
		return
	case !s.m.making.made(s.m, board):
		return
	case len(holds) == 1:
		give(holds[0].Board, whole)
		return
	}
	weights := bom.Each(holds, func(h *Held) sum.Ref { return s.boards[h.Board].starts })
	for i, p := range shareOut(s, of, at, OverBoards, whole, weights) {
		give(holds[i].Board, p)
	}
}
