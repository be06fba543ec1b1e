package cost

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// wantAssemblyJoints complains of joints that are not known where a rate or a yield of an
// assembler rests on them.
func wantAssemblyJoints(m *Model) {
	counts := func(what func(*bom.Assembler) bool) bool {
		return slices.ContainsFunc(m.makings, func(mk making) bool { return mk.asks != nil && what(mk.asks) })
	}
	machine := counts(func(a *bom.Assembler) bool { return a.PerJoint.IsPositive() || a.DPMO.IsPositive() })
	hand := m.makings[len(m.makings)-1].fitted && counts(func(a *bom.Assembler) bool { return a.PerHandJoint.Decimal.IsPositive() })
	for _, e := range m.entries {
		if machine && e.Machine || hand && e.fits {
			wantJoints(&m.problems, e, "the assembler's rate or yield")
		}
	}
}

// stateAssembly states what populating the boards of each type or panel costs, by
// quote or by rates, rounded once in the assembler's currency. A board on which it places
// nothing does not go to the assembler.
func stateAssembly(s *sums) {
	for i := range s.m.boards {
		if !s.m.making.populates(s.m, i) || s.b.Boards[i].Starts == 0 {
			continue
		}
		f := Fee{Category: SMTAssembly, Payee: s.m.shopName(), What: "assembly of " + s.m.boards[i].Name, Kind: AssemblyFee, Index: i}
		var total sum.Ref
		if q := s.m.making.quotes[i]; q != nil {
			f.Currency = q.tiers[0].Currency
			total, f.Place = quotedAssembly(s, i, q)
			if fitting := s.m.making.fitted && !q.handFit && s.m.boards[i].HandParts > 0; fitting && s.m.making.asks.Currency == f.Currency {
				total = s.Add(total, handFitting(s, i))
			} else if fitting {
				hand := f
				hand.What, hand.Currency, hand.Place = "hand-fitting of "+s.m.boards[i].Name, s.m.making.asks.Currency, s.m.making.asks.At("Per hand joint")
				s.fee(hand, s.Round(handFitting(s, i), hand.Currency.Digits))
			}
		} else {
			f.Currency = s.m.making.asks.Currency
			total, f.Place = ratedAssembly(s, i)
		}
		s.fee(f, s.Round(total, f.Currency.Digits))
	}
}

// assemblyRate enters what the assembler asks in a column of the tab assembly.
func (s *sums) assemblyRate(heading string, d decimal.Decimal) sum.Ref {
	if d.IsZero() {
		return 0
	}
	a := s.m.making.asks
	return s.once(listed(sum.Figure{Key: sum.Key{Of: OfAssembly, At: s.m.terms.rateNo(a), What: heading}, Value: d, Unit: a.Currency.Code, Place: a.At(heading), AsOf: a.AsOf}, a.Name, a.Note))
}

// ratedAssembly is what a board type or panel costs by rates, hand-fitting included.
// Stencils that are kept, as they are in a repeat, are not paid again.
func ratedAssembly(s *sums, i int) (total sum.Ref, at bom.Place) {
	a, board := s.m.making.asks, &s.m.boards[i]
	at = a.At("Set-up")
	count := func(what string, n int) sum.Ref { return s.counted(OfCount, i, what, n) }
	var terms []sum.Ref
	if board.Placements > 0 {
		sides, stencil := count("sides", board.Sides), sum.Ref(0)
		if !s.m.run.keepsStencil(a) {
			stencil = s.Mul(s.assemblyRate("Stencil", a.Stencil), sides)
		}
		terms = append(terms, s.assemblyRate("Set-up", a.SetUp), stencil,
			s.More(sides, s.Count(1), s.assemblyRate("Second side", a.SecondSide), 0),
			s.Mul(s.assemblyRate("Per line", a.PerLine), count("part lines", s.b.Boards[i].PartLines)),
			s.Mul(s.assemblyRate("Per placement", a.PerPlacement), s.onBoards(i, "placements", func(b *Board) int { return b.Placements })),
			s.Mul(s.assemblyRate("Per joint", a.PerJoint), s.onBoards(i, "joints", func(b *Board) int { return b.Joints })))
	}
	terms = append(terms, s.Mul(s.assemblyRate("Per board", a.PerBoard), s.onBoards(i, "", nil)))
	if s.m.making.fitted {
		terms = append(terms, handFitting(s, i))
	}
	total = s.Add(terms...)
	if least := s.assemblyRate("Minimum", a.Minimum); least != 0 {
		if s.Value(total).LessThan(a.Minimum) {
			at = a.At("Minimum")
		}
		total = s.Max(total, least)
	}
	return total, at
}

// keepsStencil tells whether the stencils of an earlier batch are used again: where the
// assembler says so, and in a repeat at the assembler that is set by name.
func (r *Run) keepsStencil(a *bom.Assembler) bool {
	return a.StencilKept || r.Repeat && r.Prices.Settings.Assembler != ""
}

// handFitting is what the assembler asks for through-hole parts on a board type or panel.
func handFitting(s *sums, i int) sum.Ref {
	a := s.m.making.asks
	if s.m.boards[i].HandParts == 0 {
		return 0
	}
	return s.Add(s.assemblyRate("Hand set-up", a.HandSetUp),
		s.Mul(s.assemblyRate("Per hand joint", a.PerHandJoint.Decimal), fittedJoints(s, i)))
}

// fittedJoints are the joints of through-hole parts that the assembler fits on all boards of
// a type or on a panel: on those of the products that are made so far.
func fittedJoints(s *sums, i int) sum.Ref {
	if len(s.m.products) == 1 {
		return s.onBoards(i, "hand joints", func(b *Board) int { return b.HandJoints })
	}
	var all []sum.Ref
	for _, h := range boardsOn(s.m.boards, i) {
		for p, on := range s.m.boards[h.Board].on {
			if s.m.products[p].fitted(s.m.prices.Settings.ThroughHole) && on.handJoints > 0 {
				all = append(all, s.Mul(s.Count(int64(on.handJoints)), s.Count(int64(s.b.Boards[h.Board].Of[p]))))
			}
		}
	}
	return s.Add(all...)
}

// onBoards is a count of something over all boards populated of a type, or of those on a
// panel; without a count the boards themselves.
func (s *sums) onBoards(i int, what string, of func(*Board) int) sum.Ref {
	var all []sum.Ref
	for _, h := range boardsOn(s.m.boards, i) {
		starts := s.boards[h.Board].starts
		if of == nil {
			all = append(all, starts)
			continue
		}
		all = append(all, s.Mul(s.counted(OfCount, h.Board, what, of(&s.m.boards[h.Board])), starts))
	}
	return s.Add(all...)
}

// quotedAssembly is what boards or panels cost by a quote: the set-up, and the price of the
// tier that holds for their number, or a larger number where that costs less.
func quotedAssembly(s *sums, i int, q *quoted) (total sum.Ref, at bom.Place) {
	number := s.boards[i].starts
	n := s.Value(number).IntPart()
	first, least := q.holding(n), sum.Ref(0)
	for k := first; k < len(q.tiers); k++ {
		paid := number
		if q.tiers[k].From > n {
			paid = s.Count(q.tiers[k].From)
		}
		price := s.Mul(s.tier(q.tiers[k], "Price each", q.tiers[k].Each), paid)
		if k == first {
			least = price
		} else {
			least = s.Min(least, price)
		}
	}
	return s.Add(s.tier(q.tiers[first], "Set-up", q.tiers[first].SetUp), least), q.paid(n).At("Price each")
}

// holding is the tier that holds for a number of boards; the first where they are fewer
// than it starts from.
func (q *quoted) holding(n int64) (tier int) {
	for k := range q.tiers {
		if q.tiers[k].From <= n {
			tier = k
		}
	}
	return tier
}

// paid is the tier that is paid for a number of boards.
func (q *quoted) paid(n int64) *bom.AssemblyQuote {
	var best *bom.AssemblyQuote
	var least decimal.Decimal
	for _, tier := range q.tiers[q.holding(n):] {
		if price := tier.Each.Mul(decimal.NewFromInt(max(n, tier.From))); best == nil || price.LessThan(least) {
			best, least = tier, price
		}
	}
	return best
}

// assemblyDays is how long the assembler takes: as it quotes, the slowest board counting,
// or as it says for all orders.
func assemblyDays(m *Model, b *Batch, all int, allKnown bool) (days int, known, quoted bool) {
	known = true
	for i := range m.boards {
		if !m.making.populates(m, i) || b.Boards[i].Starts == 0 {
			continue
		}
		if q := m.making.quotes[i]; q != nil {
			if tier := q.paid(int64(b.Boards[i].Starts)); tier.LeadKnown {
				days, quoted = max(days, tier.LeadDays), true
				continue
			}
		}
		days, known = max(days, all), known && allKnown
	}
	return days, known, quoted
}

// tier enters what a row of the tab assembly quotes asks.
func (s *sums) tier(q *bom.AssemblyQuote, heading string, d decimal.Decimal) sum.Ref {
	at := q.At(heading)
	if heading == "Set-up" {
		at = q.SetUpAt.At(heading)
	}
	return s.once(listed(sum.Figure{Key: sum.Key{Of: OfTier, At: s.m.terms.tierNo(q), What: heading}, Value: d, Unit: q.Currency.Code, Place: at, AsOf: q.AsOf}, fmt.Sprintf("%s, %s from %d", q.Assembler, q.Board, q.From), q.Note))
}
