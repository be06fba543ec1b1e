package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/cost/sum"
)

// Things besides those of a batch that are shared out.
const (
	OfStock = "stock" // of Batch.Parts, over categories for the payers; each further row of stock counts on by as many
	OfPot   = "pot"   // Batch.Pots
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
	out := make([]portion, n)
	for c, a := range all {
		out[c] = portion{cash: s.Add(a.cash...), stock: s.Add(a.stock...), consumed: s.Add(a.consumed...)}
	}
	return out
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
		onBoards(s, OfBoard, i, i, s.boards[i].portion(), func(board int, p portion) { s.ontoLines(board, p) })
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
func (s *sums) ontoLines(board int, p portion) {
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

// onBoards gives what the money of a board type or panel comes to on each board type: that
// of a panel is shared out by how many of each are begun.
func onBoards(s *sums, of string, at, board int, whole portion, give func(board int, p portion)) {
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
	weights := make([]sum.Ref, len(holds))
	for i, h := range holds {
		weights[i] = s.boards[h.Board].starts
	}
	for i, p := range shareOut(s, of, at, OverBoards, whole, weights) {
		give(holds[i].Board, p)
	}
}

// charge is what an order is charged for something.
type charge struct {
	what string
	portion
}

// charges are what an order costs beside its goods, in the category that each falls in.
func (o *orderSums) charges(c Category) []charge {
	switch c {
	case SMTAssembly:
		return []charge{{"consignment fees", spent(o.consign)}}
	case Delivery:
		return []charge{{"delivery", spent(o.delivery)}, {"minimum-order surcharge", spent(o.topUp)}}
	case DutyAndTax:
		tax := spent(o.tax)
		if o.reclaim != 0 {
			tax = portion{cash: o.tax, reclaim: o.reclaim}
		}
		return []charge{{"duty", spent(o.duty)}, {"import tax", tax}, {"handling", spent(o.handling)}}
	}
	return nil
}

// chargedIn are the categories that charges of orders fall in.
var chargedIn = []Category{SMTAssembly, Delivery, DutyAndTax}

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

// ledger is what each payer bears of each category, and of each product, and what each product costs in each category.
type ledger struct {
	s        *sums
	borne    [][categoryCount]account
	products [][]account // by product and payer
	made     [][categoryCount]account
}

// give has a payer bear something that is for some products.
func (l *ledger) give(payer int, c Category, what string, p portion, by byProduct) {
	l.borne[payer][c].add(p)
	l.s.b.Payers[payer].Bears[c] = true
	l.make(payer, c, what, p, by)
}

// pay shares an amount out by a rule. Each is shared out by itself, since each was rounded
// by itself.
func (l *ledger) pay(rule *shareRule, c Category, what string, p portion, by byProduct) {
	if len(rule.payers) == 1 {
		l.give(rule.payers[0], c, what, p, by)
		return
	}
	s := l.s
	percents := make([]sum.Ref, len(rule.percents))
	for i, percent := range rule.percents {
		percents[i] = s.once(sum.Figure{Key: sum.Key{Of: OfShare, At: rule.number, What: rule.names[i]}, Value: percent, Unit: "%", Place: rule.places[i]})
	}
	at := len(s.b.Pots)
	s.b.Pots = append(s.b.Pots, Pot{What: what, Category: c, Payers: rule.names})
	for i, share := range shareOut(s, OfPot, at, OverPayers, p, percents) {
		l.give(rule.payers[i], c, what, share, by)
	}
}

// sharePayers shares all that the batch costs out among the payers (5.10): cash by the
// rules, what comes from stock to who gives it, own work to the maker.
func sharePayers(s *sums) {
	b, rules := s.b, &s.m.payers
	b.Payers = make([]Payer, len(rules.names))
	l := &ledger{s: s, borne: make([][categoryCount]account, len(rules.names)), products: make([][]account, len(b.Products)), made: make([][categoryCount]account, len(b.Products))}
	s.postages = make([][]sum.Ref, len(b.Products))
	for i := range l.products {
		l.products[i], s.postages[i] = make([]account, len(rules.names)), make([]sum.Ref, len(rules.names))
	}
	for i := range b.Purchases {
		payPurchase(l, i)
	}
	giveStock(l)
	for i := range b.Fees {
		f := &b.Fees[i]
		l.payOrWork(rules.rule(f.Line(), -1, -1, s.m.supply.index(f.Payee), f.Category), f.Category, f.What, s.fees[i].portion, forFee(s, f))
	}
	for i := range s.orders {
		supplier, by := s.m.terms.Suppliers[i].Name, forOrder(s, i)
		for _, c := range chargedIn {
			rule := rules.rule(-1, -1, -1, s.m.supply.index(supplier), c)
			for _, x := range s.orders[i].charges(c) {
				if x.cash != 0 {
					l.pay(rule, c, x.what+", "+supplier, x.portion, by)
				}
			}
		}
	}
	for i, p := range s.work {
		l.payOrWork(rules.rule(-1, -1, -1, -1, Labour), Labour, b.Work[i].Operation, p, forWork(s, &s.m.work[i]))
	}
	addUpProducts(l)
	for i := range b.Payers {
		addUpPayer(s, i, &l.borne[i])
	}
}

// payOrWork shares out what is paid; own work, and what was paid before, is the maker's.
func (l *ledger) payOrWork(rule *shareRule, c Category, what string, p portion, by byProduct) {
	if p.own != 0 || p.stock != 0 {
		rule = l.s.m.payers.maker
	}
	l.pay(rule, c, what, p, by)
}

// giveStock has who gave what is on hand bear what is taken of it.
func giveStock(l *ledger) {
	s, rules := l.s, &l.s.m.payers
	for i := range s.boards {
		for j, stock := range s.boards[i].stocks {
			if s.Value(s.boards[i].taken[j]).IsPositive() {
				l.pay(rules.giver(s.m.bareBoards[i].onHand[j]), BareBoard, "", portion{stock: stock, consumed: stock}, forBoards(s, i))
			}
		}
	}
	for i := range s.parts {
		for j, stock := range s.parts[i].stocks {
			if s.Value(s.parts[i].taken[j]).IsPositive() {
				shares := []portion{{stock: stock, consumed: stock}}
				if s.stocked[i] != nil {
					shares = s.stocked[i][j]
				}
				for c, p := range shares {
					in := &s.m.parts[i].in[c]
					l.pay(rules.giver(s.m.parts[i].onHand[j]), in.category, "", p, forLines(s, in.lines))
				}
			}
		}
	}
}

// payPurchase shares a purchase out under each category that its part falls in.
func payPurchase(l *ledger, i int) {
	s := l.s
	p, rules := &s.b.Purchases[i], &s.m.payers
	supplier, whole := s.m.supply.index(p.Supplier), portion{cash: s.buys[i].cash, consumed: s.buys[i].consumed}
	what := p.Part + " from " + p.Supplier
	if p.Kind == Lots {
		payBoards(l, i, supplier, what, whole)
		return
	}
	if s.m.parts[p.Index].PaidAs != nil {
		payFilament(l, i, what, whole)
		return
	}
	shares := []portion{whole}
	if s.bought[i] != nil {
		shares = s.bought[i]
	}
	for c, share := range shares {
		in := &s.m.parts[p.Index].in[c]
		l.pay(rules.rule(-1, p.Index, -1, supplier, in.category), in.category, what, share, forLines(s, in.lines))
	}
}

// payBoards shares a purchase of boards out: that of a panel by its own rule, or where it
// has none by those of its boards.
func payBoards(l *ledger, i, supplier int, what string, whole portion) {
	p, rules := &l.s.b.Purchases[i], &l.s.m.payers
	boards := slices.ContainsFunc(l.s.m.boards[p.Index].Holds, func(h Held) bool { return rules.boards[h.Board] != nil })
	if rules.boards[p.Index] != nil || !boards {
		l.pay(rules.rule(-1, -1, p.Index, supplier, BareBoard), BareBoard, what, whole, forBoards(l.s, p.Index))
		return
	}
	onBoards(l.s, OfBuy, i, p.Index, whole, func(board int, share portion) {
		l.pay(rules.rule(-1, -1, board, supplier, BareBoard), BareBoard, what+", for "+l.s.m.boards[board].Name, share, forBoards(l.s, board))
	})
}

// payFilament shares a purchase of filament out over the printed parts that a row of who
// pays names, and what is left for the others, by the grams that each takes.
func payFilament(l *ledger, i int, what string, whole portion) {
	s, p := l.s, &l.s.b.Purchases[i]
	part, portions := &s.m.parts[p.Index], []portion{whole}
	if len(part.paidAs) > 1 {
		weights := make([]sum.Ref, len(part.paidAs))
		for j, lines := range part.paidAs {
			weights[j] = s.Add(weightsOf(s, lines)...)
		}
		portions = shareOut(s, OfBuy, i, OverPrinted, whole, weights)
	}
	for j, share := range portions {
		what := what
		if part.PaidAs[j] != "" {
			what += ", for " + part.PaidAs[j]
		}
		l.pay(s.m.payers.rule(part.paidAs[j][0], p.Index, -1, s.m.supply.index(p.Supplier), PrintedParts), PrintedParts, what, share, forLines(s, part.paidAs[j]))
	}
}

// PayerKey is where the key of what a payer bears stands: of a category, or of all.
func PayerKey(payer int, c Category) int { return payer*(int(categoryCount)+1) + int(c) }

// AllCategories stands for all categories together in the keys of sums.
const AllCategories = categoryCount

// addUpPayer adds up what a payer bears.
func addUpPayer(s *sums, i int, borne *[categoryCount]account) {
	p := &s.b.Payers[i]
	p.Name = s.m.payers.names[i]
	var all account
	for _, c := range Categories {
		if p.Bears[c] {
			p.Categories[c] = s.total(OfPayer, PayerKey(i, c), &borne[c])
			all.addTotal(&borne[c])
		}
	}
	p.Amounts = s.total(OfPayer, PayerKey(i, AllCategories), &all)
	s.bears = append(s.bears, bearsSums{all.whole(), borne[Postage].whole().cash})
}
