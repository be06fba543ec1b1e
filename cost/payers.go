package cost

import (
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
)

// Maker pays what no row gives to anybody else.
const Maker = "maker"

// shareRule is how the money of one part, supplier or category is shared out.
type shareRule struct {
	names    []string
	percents []decimal.Decimal
	places   []bom.Place // of the percentages
}

// payerRules are looked through by part, then supplier, then category (6).
type payerRules struct {
	parts, suppliers map[int]*shareRule
	boards           map[int]*shareRule
	categories       map[Category]*shareRule
	maker            *shareRule
}

// preparePayers finds out what each row of the tab who pays applies to.
func (m *Model) preparePayers() {
	r := payerRules{
		map[int]*shareRule{}, map[int]*shareRule{}, map[int]*shareRule{}, map[Category]*shareRule{},
		&shareRule{[]string{Maker}, []decimal.Decimal{hundred}, []bom.Place{{}}},
	}
	rules := map[string]*shareRule{}
	for i := range m.prices.WhoPays {
		s := &m.prices.WhoPays[i]
		key := fold(s.AppliesTo)
		rule, again := rules[key]
		if !again {
			rule = &shareRule{}
			rules[key] = rule
			m.bindRule(r, rule, s)
		}
		rule.names = append(rule.names, s.Payer)
		rule.percents = append(rule.percents, s.Percent)
		rule.places = append(rule.places, s.At("Share %"))
	}
	m.payers = r
}

// bindRule ties a rule to all that its name can mean; looking it up prefers the
// narrowest.
func (m *Model) bindRule(r payerRules, rule *shareRule, s *bom.Share) {
	bound := false
	for _, i := range m.find(s.AppliesTo) {
		r.parts[i], bound = rule, true
	}
	for i := range m.parts {
		if m.parts[i].Unit == grams && fold(m.parts[i].Key) == fold(s.AppliesTo) {
			r.parts[i], bound = rule, true
		}
	}
	for i, b := range m.boards {
		if exactKey(b.Name) == exactKey(s.AppliesTo) {
			r.boards[i], bound = rule, true
		}
	}
	if i, ok := m.supplierOf[fold(s.AppliesTo)]; ok {
		r.suppliers[i], bound = rule, true
	}
	for _, c := range Categories {
		if c.String() == fold(s.AppliesTo) {
			r.categories[c], bound = rule, true
		}
	}
	if !bound {
		m.problems.Warnf(s.At("Applies to"), s.AppliesTo, "a part or supplier of this run, or one of: "+strings.Join(categoryNames[:], ", "),
			"no such part, supplier or category in this run; the row is not used")
	}
}

// ledger adds up cash by rule and category before it is shared out, so that
// each is rounded once.
type ledger struct {
	m    *Model
	cash map[*shareRule]*[categoryCount]decimal.Decimal
	from map[*shareRule]*[categoryCount][]Portion
	open map[*shareRule]bool // something under the rule has no price
	seen []*shareRule        // in the order of first use: the map's order reaches no result
}

func (l *ledger) add(rule *shareRule, c Category, from Portion, cash decimal.Decimal, unpriced bool) {
	sums, ok := l.cash[rule]
	if !ok {
		sums = &[categoryCount]decimal.Decimal{}
		l.cash[rule], l.from[rule] = sums, &[categoryCount][]Portion{}
		l.seen = append(l.seen, rule)
	}
	sums[c] = plus(sums[c], cash)
	l.from[rule][c] = append(l.from[rule][c], from)
	l.open[rule] = l.open[rule] || unpriced
}

// rule picks part, then supplier, then category, then the maker. Indices are -1
// where there is none.
func (r payerRules) rule(part, board, supplier int, c Category) *shareRule {
	for _, found := range []*shareRule{r.parts[part], r.boards[board], r.suppliers[supplier], r.categories[c]} {
		if found != nil {
			return found
		}
	}
	return r.maker
}

// whoPays shares all cash of the batch out among the payers.
func (m *Model) whoPays(b *Batch) {
	l := &ledger{m, map[*shareRule]*[categoryCount]decimal.Decimal{}, map[*shareRule]*[categoryCount][]Portion{}, map[*shareRule]bool{}, nil}
	for i, p := range b.Purchases {
		m.payPurchase(l, b, i, p)
	}
	for i, f := range b.Fees {
		l.add(m.payers.rule(-1, -1, m.supplierIndex(f.Payee), f.Category), f.Category, Portion{OfFee, i}, f.Cash, f.Unpriced)
	}
	for i, o := range b.Orders {
		s := m.supplierIndex(o.Supplier)
		for _, c := range o.charges() {
			l.add(m.payers.rule(-1, -1, s, c.category), c.category, Portion{OfOrder, i}, c.cash, false)
		}
	}
	l.add(m.payers.rule(-1, -1, -1, HandWork), HandWork, Portion{OfWork, 0}, b.Categories[HandWork].Cash, false)
	b.Payers, b.Pots = l.settle(), l.pots()
}

// payPurchase enters a purchase under each category that its part falls in.
func (m *Model) payPurchase(l *ledger, b *Batch, at int, p Purchase) {
	supplier := m.supplierIndex(p.Supplier)
	if p.Kind == Lots {
		l.add(m.payers.rule(-1, p.Index, supplier, BareBoard), BareBoard, Portion{OfPurchase, at}, p.Cash, p.Unpriced)
		return
	}
	if in := m.parts[p.Index].in; len(in) == 1 {
		l.add(m.payers.rule(p.Index, -1, supplier, in[0].category), in[0].category, Portion{OfPurchase, at}, p.Cash, p.Unpriced)
		return
	}
	for i, cash := range m.apportion(p.Cash, m.categoryNeeds(b, p.Index)) {
		c := m.parts[p.Index].in[i].category
		l.add(m.payers.rule(p.Index, -1, supplier, c), c, Portion{OfPurchase, at}, cash, p.Unpriced)
	}
}

// settle shares out each rule's sums and adds them up by payer, in the order in
// which the payers first stand in the sheet, the maker first.
func (l *ledger) settle() []Payer {
	payers := []Payer{{Name: Maker}}
	at := map[string]int{fold(Maker): 0}
	for _, s := range l.m.prices.WhoPays {
		if _, ok := at[fold(s.Payer)]; !ok {
			at[fold(s.Payer)] = len(payers)
			payers = append(payers, Payer{Name: s.Payer})
		}
	}
	for _, rule := range l.seen {
		for c, cash := range l.cash[rule] {
			for i, part := range money.Apportion(cash, rule.percents, l.m.home.Digits) {
				p := &payers[at[fold(rule.names[i])]]
				p.Categories[c] = plus(p.Categories[c], part)
				p.Cash = plus(p.Cash, part)
				p.Unpriced = p.Unpriced || l.open[rule] && !rule.percents[i].IsZero()
			}
		}
	}
	return payers
}

// pots lists what was shared out by which rule, in the order of first use.
func (l *ledger) pots() []Pot {
	var out []Pot
	for _, rule := range l.seen {
		for c, from := range l.from[rule] {
			if len(from) > 0 {
				out = append(out, Pot{
					Category: Category(c), Payers: rule.names, Percents: rule.percents, Places: rule.places,
					Cash: l.cash[rule][c], Unpriced: l.open[rule], Of: from,
				})
			}
		}
	}
	return out
}
