package cost

import (
	"tenoff/bom"
	"tenoff/cost/sum"
)

// sharePayers shares all that the batch costs out among the payers: cash by the
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
	for i, f := range bom.Refs(b.Fees) {
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

// ledger is what each payer bears of each category, and of each product, and what each product costs in each category.
type ledger struct {
	s        *sums
	borne    [][categoryCount]account
	products [][]account // by product and payer
	made     [][categoryCount]account
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

// payOrWork shares out what is paid; own work, and what was paid before, is the maker's.
func (l *ledger) payOrWork(rule *shareRule, c Category, what string, p portion, by byProduct) {
	if p.own != 0 || p.stock != 0 {
		rule = l.s.m.payers.maker
	}
	l.pay(rule, c, what, p, by)
}

// give has a payer bear something that is for some products.
func (l *ledger) give(payer int, c Category, what string, p portion, by byProduct) {
	l.borne[payer][c].add(p)
	l.s.b.Payers[payer].Bears[c] = true
	l.make(payer, c, what, p, by)
}

// make notes what a payer bears of products, where there are several.
func (l *ledger) make(payer int, c Category, what string, p portion, by byProduct) {
	if !l.s.several() {
		return
	}
	if by.weights == nil {
		l.product(by.one, payer, c, p)
		return
	}
	for product, share := range l.s.split(Split{What: what, Category: c, Payer: l.s.m.payers.names[payer]}, p, by) {
		l.product(product, payer, c, share)
	}
}

// product has a payer bear something of a product.
func (l *ledger) product(product, payer int, c Category, p portion) {
	l.products[product][payer].add(p)
	l.made[product][c].add(p)
	if c == Postage {
		l.s.postages[product][payer] = l.s.Add(l.s.postages[product][payer], p.cash)
	}
}

// payPurchase shares a purchase out over all that it is billed for: by need, and what a panel
// costs by how many of each board are begun.
func payPurchase(l *ledger, i int) {
	s, p := l.s, &l.s.b.Purchases[i]
	shared, whole := s.m.whoPays(p), portion{cash: s.buys[i].cash, consumed: s.buys[i].consumed}
	var shares []portion
	switch {
	case len(shared) == 1:
		shares = []portion{whole}
	case p.Kind == Lots:
		shareOnBoards(s, OfBuy, i, p.Index, whole, func(_ int, share portion) { shares = append(shares, share) })
	case s.m.parts[p.Index].PaidAs == nil:
		shares = s.bought[i]
	default:
		weights := bom.Each(shared, func(b *payerShare) sum.Ref { return s.Add(weightsOf(s, b.lines)...) })
		shares = shareOut(s, OfBuy, i, OverPrinted, whole, weights)
	}
	for j, share := range shares {
		b, by := &shared[j], byProduct{}
		if p.Kind == Lots {
			by = forBoards(s, b.board)
		} else {
			by = forLines(s, b.lines)
		}
		what := p.Part + " from " + p.Supplier
		if b.whose != "" {
			what += ", for " + b.whose
		}
		l.pay(b.rule, b.category, what, share, by)
	}
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

// addUpProducts adds up what each product costs, in all and by category, and what each payer bears
// of it.
func addUpProducts(l *ledger) {
	s := l.s
	for i, p := range bom.Refs(s.b.Products) {
		if !s.several() {
			p.Amounts, p.Categories = s.b.Total, s.b.Categories
			continue
		}
		var all account
		for payer, of := range bom.Refs(l.products[i]) {
			s.total(OfBorne, BorneKey(i, payer, len(s.b.Payers)), of)
			all.addTotal(of)
		}
		p.Amounts = s.total(OfProduct, i, &all)
		for _, c := range Categories {
			p.Categories[c] = s.total(OfMade, MadeKey(i, c), &l.made[i][c])
		}
		if p.Size > 0 {
			s.name(OfProduct, i, "consumed per unit", s.Div(all.whole().consumed, s.Count(int64(p.Size))), sum.Loose)
		}
		s.products = append(s.products, l.products[i])
	}
}

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
