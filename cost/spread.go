package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// sortMoney shares each purchase, and what is worth of each row of stock, out over the categories that its
// part falls in, by need: of those that fall in several.
func sortMoney(s *sums) {
	s.bought, s.stocked = make([][]portion, len(s.buys)), make([][][]portion, len(s.parts))
	for i := range s.b.Purchases {
		if p := &s.b.Purchases[i]; p.Kind != Lots && len(s.m.parts[p.Index].in) > 1 {
			s.bought[i] = shareOut(s, OfBuy, i, OverCategories, portion{cash: s.buys[i].cash, consumed: s.buys[i].consumed}, categoryWeights(s, p.Index))
		}
	}
	for i := range s.parts {
		if len(s.m.parts[i].in) < 2 {
			continue
		}
		for j, stock := range s.parts[i].stocks {
			s.stocked[i] = append(s.stocked[i], shareOut(s, OfStock, i+j*len(s.parts), OverCategories, portion{stock: stock, consumed: stock}, categoryWeights(s, i)))
		}
	}
}

// sorted are what a part's money comes to in each category that it falls in: what its purchases
// and its stock come to there.
func (s *sums) sorted(part int, whole portion) []portion {
	n := len(s.m.parts[part].in)
	if n == 1 {
		return []portion{whole}
	}
	all := make([]account, n)
	add := func(shares []portion) {
		for c, p := range shares {
			all[c].add(p)
		}
	}
	for i := range s.b.Purchases {
		if p := &s.b.Purchases[i]; p.Kind != Lots && p.Index == part {
			add(s.bought[i])
		}
	}
	for _, shares := range s.stocked[part] {
		add(shares)
	}
	return bom.Each(all, func(a *account) portion {
		return portion{cash: s.Add(a.cash...), stock: s.Add(a.stock...), consumed: s.Add(a.consumed...)}
	})
}

// spreadOut gives the money of parts, boards and fees to the lines they are for: that of a
// part over the categories it falls in, then over its lines in each, by need.
func spreadOut(s *sums) {
	b := s.b
	s.lines = make([]account, len(s.m.entries))
	sortMoney(s)
	for i := range s.parts {
		in, whole := s.m.parts[i].in, s.parts[i].portion()
		if len(in) == 1 && len(in[0].lines) == 1 {
			s.lines[in[0].lines[0]].add(whole)
			continue
		}
		for j, p := range s.sorted(i, whole) {
			lines := in[j].lines
			for k, share := range shareOut(s, OfLine, lines[0], OverLines, p, weightsOf(s, lines)) {
				s.lines[lines[k]].add(share)
			}
		}
	}
	for i := range s.boards {
		shareOnBoards(s, OfBoard, i, i, s.boards[i].portion(), func(board int, p portion) { ontoLines(s, board, p) })
	}
	for i := range b.Fees {
		if line := b.Fees[i].Line(); line >= 0 {
			s.lines[line].add(s.fees[i].portion)
		}
	}
	stocked := slices.ContainsFunc(s.lines, func(a account) bool { return len(a.stock) > 0 })
	b.Lines = make([]Amounts, len(s.lines))
	for i := range s.lines {
		s.lines[i].stocked = stocked
		b.Lines[i] = s.total(OfLine, i, &s.lines[i])
	}
}

// ontoLines gives the money of boards to the line of each product that has them.
func ontoLines(s *sums, board int, p portion) {
	b, by := &s.m.boards[board], forBoards(s, board)
	if by.weights == nil {
		s.lines[max(b.on[by.one].entry, 0)].add(p)
		return
	}
	for product, share := range s.split(Split{What: b.Name, Category: BareBoard}, p, by) {
		if entry := b.on[product].entry; entry >= 0 {
			s.lines[entry].add(share)
		}
	}
}

// addUp adds lines, fees, charges of orders and hand work up by category.
func addUp(s *sums) {
	b := s.b
	tags := make([]sum.Ref, len(s.lines))
	var cash, stock, consumed []sum.Ref
	for i := range s.lines {
		c := s.m.entries[i].Category
		tags[i] = s.Figure(sum.Figure{Key: sum.Key{Of: OfLine, At: i, What: "category"}, Value: decimal.NewFromInt(int64(c)), Text: c.String()})
		l := s.lines[i].whole()
		cash, stock, consumed = append(cash, l.cash), append(stock, l.stock), append(consumed, l.consumed)
	}
	var all account
	for _, c := range Categories {
		var a account
		tag := s.Figure(sum.Figure{Key: sum.Key{Of: OfCategory, At: int(c), What: "name"}, Value: decimal.NewFromInt(int64(c)), Text: c.String()})
		lines := portion{cash: s.Of(tag, tags, cash), consumed: s.Of(tag, tags, consumed)}
		if len(s.lines) > 0 && s.lines[0].stocked {
			lines.stock = s.Of(tag, tags, stock)
		}
		a.add(lines)
		a.rests = slices.ContainsFunc(s.lines, func(l account) bool { return l.rests })
		for i := range s.lines {
			if s.m.entries[i].Category == c {
				a.add(portion{own: s.lines[i].whole().own})
			}
		}
		for i := range b.Fees {
			if b.Fees[i].Category == c && b.Fees[i].Line() < 0 {
				a.add(s.fees[i].portion)
			}
		}
		for i := range s.orders {
			for _, x := range s.orders[i].charges(c) {
				a.add(x.portion)
			}
		}
		if c == Labour {
			for _, p := range s.work {
				a.add(p)
			}
		}
		b.Categories[c] = s.total(OfCategory, int(c), &a)
		whole := a.whole()
		s.name(OfCategory, int(c), "consumed per unit", s.perUnit(whole.consumed), sum.Loose)
		if c == Postage {
			s.post = whole.cash
		}
		all.addTotal(&a)
	}
	short := b.Total.Unpriced
	b.Total = s.total(OfCategory, int(categoryCount), &all)
	b.Total.Unpriced = b.Total.Unpriced || short
	s.name(OfCategory, int(categoryCount), "consumed per unit", s.perUnit(all.whole().consumed), sum.Loose)
	s.name(OfCategory, int(categoryCount), "cash per unit", s.perUnit(all.whole().cash), sum.Loose)
}

// perUnit is what falls on one of the units that are wanted.
func (s *sums) perUnit(r sum.Ref) sum.Ref { return s.Div(r, s.Count(int64(s.b.Size))) }
