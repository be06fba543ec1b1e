package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/cost/sum"
)

// Things besides those of a batch that are shared out.
const (
	OfStock = "stock" // of Batch.Parts, over categories for the payers
	OfPot   = "pot"   // Batch.Pots
)

// shareOut shares amounts out by weights, each by largest remainder: what is paid and
// what is given by the weights, what is used of both by what each share has of them. No
// share then uses more than it has, as its quota of what is used is no more than that
// whole number of minor units, and no share gets more than its quota rounded up.
func shareOut(s *sums, of string, at int, over string, a portion, weights []sum.Ref) []portion {
	out := make([]portion, len(weights))
	share := func(what string, total sum.Ref, weights []sum.Ref) []sum.Ref {
		return s.Share(sum.Key{Of: of, At: at, What: over + ", " + what}, total, weights, s.digits)
	}
	cash, stock := share("cash", a.cash, weights), share("stock", a.stock, weights)
	used := cash
	if a.stock != 0 || a.used != a.cash {
		value := make([]sum.Ref, len(weights))
		for i := range value {
			value[i] = s.Add(cash[i], stock[i])
		}
		used = share("consumed", a.used, value)
	}
	for i := range out {
		out[i] = portion{cash[i], stock[i], used[i]}
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
	out := make([]sum.Ref, len(lines))
	for i, e := range lines {
		out[i] = weightOf(s, e)
	}
	return out
}

// categoryWeights are what a part counts for in each category that it falls in.
func categoryWeights(s *sums, part int) []sum.Ref {
	in := s.m.parts[part].in
	out := make([]sum.Ref, len(in))
	for i := range in {
		out[i] = s.Add(weightsOf(s, in[i].lines)...)
	}
	return out
}

// spreadOut gives the money of parts, boards and fees to the lines they are for: that of a
// part over the categories it falls in, then over its lines in each, by need.
func spreadOut(s *sums) {
	b := s.b
	s.lines = make([]borneSums, len(s.m.entries))
	give := func(line int, p portion) { s.lines[line].add(p.cash, p.stock, p.used) }
	for i := range s.parts {
		in, whole := s.m.parts[i].in, portion{s.parts[i].cash, s.parts[i].stock, s.parts[i].used}
		if len(in) == 1 && len(in[0].lines) == 1 {
			give(in[0].lines[0], whole)
			continue
		}
		portions := []portion{whole}
		if len(in) > 1 {
			portions = shareOut(s, OfPart, i, OverCategories, whole, categoryWeights(s, i))
		}
		for j, p := range portions {
			lines := in[j].lines
			for k, share := range shareOut(s, OfLine, lines[0], OverLines, p, weightsOf(s, lines)) {
				give(lines[k], share)
			}
		}
	}
	for i := range s.boards {
		give(s.m.boards[i].Entry, portion{s.boards[i].cash, s.boards[i].stock, s.boards[i].used})
	}
	for i := range b.Fees {
		if line := b.Fees[i].Line(); line >= 0 {
			s.lines[line].spent(s.fees[i].cash)
		}
	}
	b.Lines = make([]Amounts, len(s.lines))
	for i := range s.lines {
		b.Lines[i] = s.total(OfLine, i, &s.lines[i])
	}
}

// total states what something costs in all, and replaces what it is the sum of.
func (s *sums) total(of string, at int, a *borneSums) Amounts {
	cash := s.money(of, at, "cash", s.Add(a.cash...))
	stock := s.money(of, at, "stock", s.Add(a.stock...))
	used := s.money(of, at, "consumed", s.Add(a.used...))
	surplus := s.money(of, at, "surplus", s.Sub(s.Add(cash, stock), used))
	a.cash, a.stock, a.used = []sum.Ref{cash}, []sum.Ref{stock}, []sum.Ref{used}
	return s.amountsOf(cash, stock, used, surplus)
}

// charges are what an order costs beside its goods, with the category each falls in.
func (o *orderSums) charges(c Category) []sum.Ref {
	switch c {
	case SMTAssembly:
		return []sum.Ref{o.consign}
	case Delivery:
		return []sum.Ref{o.delivery, o.topUp}
	case DutyAndTax:
		return []sum.Ref{o.duty, o.tax, o.handling}
	}
	return nil
}

// chargedIn are the categories that charges of orders fall in.
var chargedIn = []Category{SMTAssembly, Delivery, DutyAndTax}

// addUp adds lines, fees, charges of orders and hand work up by category.
func addUp(s *sums) {
	b := s.b
	tags := make([]sum.Ref, len(s.lines))
	var cash, stock, used []sum.Ref
	for i := range s.lines {
		c := s.m.entries[i].Category
		tags[i] = s.Figure(sum.Figure{Key: sum.Key{Of: OfLine, At: i, What: "category"}, Value: decimal.NewFromInt(int64(c)), Text: c.String()})
		l := &s.lines[i]
		cash, stock, used = append(cash, l.cash[0]), append(stock, l.stock[0]), append(used, l.used[0])
	}
	var all borneSums
	for _, c := range Categories {
		var sums borneSums
		tag := s.Figure(sum.Figure{Key: sum.Key{Of: OfCategory, At: int(c), What: "name"}, Value: decimal.NewFromInt(int64(c)), Text: c.String()})
		sums.add(s.Of(tag, tags, cash), s.Of(tag, tags, stock), s.Of(tag, tags, used))
		for i := range b.Fees {
			if b.Fees[i].Category == c && b.Fees[i].Line() < 0 {
				sums.spent(s.fees[i].cash)
			}
		}
		for i := range s.orders {
			for _, r := range s.orders[i].charges(c) {
				sums.spent(r)
			}
		}
		if c == Labour {
			sums.spent(s.work)
		}
		b.Categories[c] = s.total(OfCategory, int(c), &sums)
		s.name(OfCategory, int(c), "consumed per unit", s.perUnit(sums.used[0]), sum.Loose)
		if c == Postage {
			s.post = sums.cash[0]
		}
		all.add(sums.cash[0], sums.stock[0], sums.used[0])
	}
	short := b.Total.Unpriced
	b.Total = s.total(OfCategory, int(categoryCount), &all)
	b.Total.Unpriced = b.Total.Unpriced || short
	s.used = all.used[0]
	s.unitCost = s.name(OfCategory, int(categoryCount), "consumed per unit", s.perUnit(s.used), sum.Loose)
	s.name(OfCategory, int(categoryCount), "cash per unit", s.perUnit(all.cash[0]), sum.Loose)
}

// perUnit is what falls on one of the units that are wanted.
func (s *sums) perUnit(r sum.Ref) sum.Ref { return s.Div(r, s.Count(int64(s.b.Size))) }

// pot is what one rule shares out of one category.
type pot struct {
	rule     *shareRule
	category Category
	borneSums
}

// ledger gathers what is borne, by rule and category, before it is shared out, so that
// each is rounded once.
type ledger struct {
	at   map[potKey]*pot
	list []*shareRule // in the order of their first use
}

type potKey struct {
	rule     int // its number
	category Category
}

// pot gives what a rule shares out of a category, and opens it where that is asked for.
func (l *ledger) pot(rule *shareRule, c Category, open bool) *pot {
	k := potKey{rule.number, c}
	p := l.at[k]
	if p == nil && open {
		p = &pot{rule: rule, category: c}
		l.at[k] = p
		if !slices.Contains(l.list, rule) {
			l.list = append(l.list, rule)
		}
	}
	return p
}

func (l *ledger) add(rule *shareRule, c Category, p portion) {
	l.pot(rule, c, true).add(p.cash, p.stock, p.used)
}

// sharePayers shares all that the batch costs out among the payers: cash by the rules, what
// comes from stock to who gives it (5.10).
func sharePayers(s *sums) {
	b, rules, l := s.b, &s.m.payers, &ledger{at: map[potKey]*pot{}}
	for i := range b.Purchases {
		payPurchase(s, l, i)
	}
	for i := range s.boards {
		if b.Boards[i].OnHand > 0 {
			l.add(rules.giver(s.m.bareBoards[i].onHand), BareBoard, portion{0, s.boards[i].stock, s.boards[i].stock})
		}
	}
	for i := range s.parts {
		if b.Parts[i].OnHand > 0 {
			rule := rules.giver(s.m.parts[i].onHand)
			inCategories(s, OfStock, i, i, portion{0, s.parts[i].stock, s.parts[i].stock}, func(c Category, p portion) { l.add(rule, c, p) })
		}
	}
	for i := range b.Fees {
		f := &b.Fees[i]
		l.add(rules.rule(-1, -1, s.m.supplierIndex(f.Payee), f.Category), f.Category, portion{s.fees[i].cash, 0, s.fees[i].cash})
	}
	for _, placed := range []bool{true, false} { // of those that are not placed nothing is due, until an edit places them
		for i := range s.orders {
			if s.Value(s.orders[i].placed).IsZero() == placed {
				continue
			}
			for _, c := range chargedIn {
				rule := rules.rule(-1, -1, s.m.supplierIndex(s.m.terms.Suppliers[i].Name), c)
				if p := l.pot(rule, c, placed); p != nil {
					for _, r := range s.orders[i].charges(c) {
						p.spent(r)
					}
				}
			}
		}
	}
	l.add(rules.rule(-1, -1, -1, Labour), Labour, portion{s.work, 0, s.work})
	settlePots(s, l)
}

// inCategories gives what a part's money comes to in each category that it falls in.
func inCategories(s *sums, of string, at, part int, whole portion, give func(Category, portion)) {
	in := s.m.parts[part].in
	if len(in) == 1 { // nothing to split
		give(in[0].category, whole)
		return
	}
	for i, p := range shareOut(s, of, at, OverCategories, whole, categoryWeights(s, part)) {
		give(in[i].category, p)
	}
}

// payPurchase enters a purchase under each category that its part falls in.
func payPurchase(s *sums, l *ledger, i int) {
	p, rules := &s.b.Purchases[i], &s.m.payers
	supplier, whole := s.m.supplierIndex(p.Supplier), portion{s.buys[i].cash, 0, s.buys[i].used}
	if p.Kind == Lots {
		l.add(rules.rule(-1, p.Index, supplier, BareBoard), BareBoard, whole)
		return
	}
	inCategories(s, OfBuy, i, p.Index, whole, func(c Category, part portion) {
		l.add(rules.rule(p.Index, -1, supplier, c), c, part)
	})
}

// PayerKey is where the key of what a payer bears stands: of a category, or of all.
func PayerKey(payer int, c Category) int { return payer*(int(categoryCount)+1) + int(c) }

// AllCategories stands for all categories together in the keys of sums.
const AllCategories = categoryCount

// settlePots shares each pot out by its rule and adds the shares up by payer.
func settlePots(s *sums, l *ledger) {
	b, names := s.b, s.m.payers.names
	borne := make([][categoryCount]borneSums, len(names))
	for _, rule := range l.list {
		percents := make([]sum.Ref, len(rule.percents))
		for i, percent := range rule.percents {
			percents[i] = s.once(sum.Figure{Key: sum.Key{Of: OfShare, At: rule.number, What: rule.names[i]}, Value: percent, Unit: "%", Place: rule.places[i]})
		}
		for _, c := range Categories {
			p := l.pot(rule, c, false)
			if p == nil {
				continue
			}
			at := len(b.Pots)
			b.Pots = append(b.Pots, Pot{Category: c, Payers: rule.names})
			whole := portion{s.Add(p.cash...), s.Add(p.stock...), 0}
			whole.used = whole.cash
			if len(p.stock) > 0 || !slices.Equal(p.cash, p.used) {
				whole.used = s.Add(p.used...)
			}
			for i, share := range shareOut(s, OfPot, at, OverPayers, whole, percents) {
				borne[rule.payers[i]][c].add(share.cash, share.stock, share.used)
			}
		}
	}
	b.Payers = make([]Payer, len(names))
	for i, name := range names {
		p := &b.Payers[i]
		p.Name = name
		var all borneSums
		for _, c := range Categories {
			a := s.total(OfPayer, PayerKey(i, c), &borne[i][c])
			p.Categories[c], p.Unpriced = a.Borne(), p.Unpriced || a.Unpriced
			all.add(borne[i][c].cash[0], borne[i][c].stock[0], borne[i][c].used[0])
		}
		p.Borne = s.total(OfPayer, PayerKey(i, AllCategories), &all).Borne()
		s.bears = append(s.bears, bearsSums{all.cash[0], borne[i][Postage].cash[0]})
	}
}

// Borne is the part of amounts that somebody bears.
func (a Amounts) Borne() Borne { return Borne{a.Cash, a.Stock, a.Consumed} }
