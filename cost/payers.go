package cost

import (
	"slices"
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
	givers           map[string]*shareRule // folded name: of what comes from the drawer
	maker            *shareRule
	asked            string // the payer who is the recipients of the units; empty: none
}

// preparePayers finds out what each row of the tab who pays applies to.
func (m *Model) preparePayers() {
	r := payerRules{
		parts: map[int]*shareRule{}, suppliers: map[int]*shareRule{}, boards: map[int]*shareRule{}, categories: map[Category]*shareRule{},
		givers: map[string]*shareRule{}, maker: allOf(Maker), asked: m.recipients(),
	}
	spelled := map[string]string{} // each payer as it first stands in the sheet
	for _, name := range m.payerNames() {
		if _, again := spelled[fold(name)]; !again {
			spelled[fold(name)] = name
		}
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
		rule.names = append(rule.names, spelled[fold(s.Payer)])
		rule.percents = append(rule.percents, s.Percent)
		rule.places = append(rule.places, s.At("Share %"))
	}
	for _, h := range m.prices.OnHand {
		if h.GivenBy != "" && fold(h.GivenBy) != fold(Maker) {
			r.givers[fold(h.GivenBy)] = allOf(spelled[fold(h.GivenBy)])
		}
	}
	m.payers = r
}

// allOf is the rule by which one payer bears the whole.
func allOf(payer string) *shareRule {
	return &shareRule{[]string{payer}, []decimal.Decimal{hundred}, []bom.Place{{}}}
}

// recipientNames are the payers that stand for the recipients of the units
// where no setting names another.
var recipientNames = []string{"recipient", "recipients"}

// recipients finds the payer who is the recipients of the units; empty where
// they bear nothing.
func (m *Model) recipients() string {
	set := m.prices.Settings.Recipients
	for _, s := range m.prices.WhoPays {
		if set != "" && fold(s.Payer) == fold(set) || set == "" && slices.Contains(recipientNames, fold(s.Payer)) {
			return s.Payer
		}
	}
	if set != "" {
		m.problems.Warnf(m.settingPlace("Recipients"), set, "a payer of the tab who pays", "no such payer; nothing is asked of recipients")
	}
	return ""
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

// Borne is money or value that somebody bears, home currency.
type Borne struct {
	Cash   decimal.Decimal // paid
	Drawer decimal.Decimal // value of what is given out of the drawer
	Used   decimal.Decimal // of both, what the batch consumes
}

// Value is what is borne in all, paid or given.
func (b Borne) Value() decimal.Decimal { return b.Cash.Add(b.Drawer) }

// Plus adds two amounts.
func (b Borne) Plus(c Borne) Borne {
	return Borne{plus(b.Cash, c.Cash), plus(b.Drawer, c.Drawer), plus(b.Used, c.Used)}
}

// spend is cash that is used in full.
func spend(cash decimal.Decimal) Borne { return Borne{Cash: cash, Used: cash} }

// ledger adds up what is borne by rule and category before it is shared out, so
// that each is rounded once.
type ledger struct {
	m    *Model
	sums map[*shareRule]*[categoryCount]potSum
	seen []*shareRule // in the order of first use: the map's order reaches no result
}

// potSum is what one rule shares out of one category.
type potSum struct {
	cash, drawer, used money.Sum
	from               []Portion
	unpriced           bool // something in it has no price
}

func (s *potSum) borne() Borne { return Borne{s.cash.Decimal(), s.drawer.Decimal(), s.used.Decimal()} }

func (l *ledger) add(rule *shareRule, c Category, from Portion, borne Borne, unpriced bool) {
	sums, ok := l.sums[rule]
	if !ok {
		sums = &[categoryCount]potSum{}
		for i := range sums {
			none := money.Sum{Digits: l.m.home.Digits}
			sums[i] = potSum{cash: none, drawer: none, used: none}
		}
		l.sums[rule] = sums
		l.seen = append(l.seen, rule)
	}
	sum := &sums[c]
	sum.cash.Add(borne.Cash)
	sum.drawer.Add(borne.Drawer)
	sum.used.Add(borne.Used)
	sum.from = append(sum.from, from)
	sum.unpriced = sum.unpriced || unpriced
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

// giver is the rule for what comes from the drawer: the maker's, unless its row
// says who gives it.
func (r payerRules) giver(oh *bom.OnHand) *shareRule {
	if rule, ok := r.givers[fold(oh.GivenBy)]; ok {
		return rule
	}
	return r.maker
}

// whoPays shares all that the batch costs out among the payers: cash by the
// rules, what comes from the drawer to who gives it.
func (m *Model) whoPays(b *Batch) {
	l := &ledger{m: m, sums: map[*shareRule]*[categoryCount]potSum{}}
	for i := range b.Purchases {
		m.payPurchase(l, b, i)
	}
	m.payDrawer(l, b)
	for i, f := range b.Fees {
		l.add(m.payers.rule(-1, -1, m.supplierIndex(f.Payee), f.Category), f.Category, Portion{OfFee, i}, spend(f.Cash), f.Unpriced)
	}
	for i, o := range b.Orders {
		s := m.supplierIndex(o.Supplier)
		for _, c := range o.charges() {
			l.add(m.payers.rule(-1, -1, s, c.category), c.category, Portion{OfOrder, i}, spend(c.cash), false)
		}
	}
	l.add(m.payers.rule(-1, -1, -1, HandWork), HandWork, Portion{OfWork, 0}, spend(b.Categories[HandWork].Cash), false)
	b.Payers, b.Pots = l.settle(), l.pots()
	m.ask(b)
}

// payPurchase enters a purchase under each category that its part falls in.
func (m *Model) payPurchase(l *ledger, b *Batch, at int) {
	p := &b.Purchases[at]
	supplier, whole := m.supplierIndex(p.Supplier), Borne{Cash: p.Cash, Used: p.Used}
	if p.Kind == Lots {
		l.add(m.payers.rule(-1, p.Index, supplier, BareBoard), BareBoard, Portion{OfPurchase, at}, whole, p.Unpriced)
		return
	}
	enter := func(c Category, borne Borne) {
		l.add(m.payers.rule(p.Index, -1, supplier, c), c, Portion{OfPurchase, at}, borne, p.Unpriced)
	}
	in := m.parts[p.Index].in
	if len(in) == 1 { // nothing to split
		enter(in[0].category, whole)
		return
	}
	needs := m.categoryNeeds(b, p.Index)
	used := m.apportion(p.Used, needs)
	for i, cash := range m.apportion(p.Cash, needs) {
		enter(in[i].category, Borne{Cash: cash, Used: used[i]})
	}
}

// payDrawer enters what comes from the drawer, all of which is used.
func (m *Model) payDrawer(l *ledger, b *Batch) {
	for i, r := range b.Boards {
		if r.OnHand > 0 {
			l.add(m.payers.giver(m.bareBoards[i].onHand), BareBoard, Portion{OfBoardDrawer, i}, Borne{Drawer: r.Drawer, Used: r.Drawer}, false)
		}
	}
	for i, r := range b.Parts {
		if r.OnHand == 0 {
			continue
		}
		rule := m.payers.giver(m.parts[i].onHand)
		for j, drawer := range m.apportion(r.Drawer, m.categoryNeeds(b, i)) {
			l.add(rule, m.parts[i].in[j].category, Portion{OfPartDrawer, i}, Borne{Drawer: drawer, Used: drawer}, false)
		}
	}
}

// payerNames are all payers: the maker, then those of the tab who pays and those
// who give what is on hand, in the order in which they first stand there.
func (m *Model) payerNames() []string {
	names := []string{Maker}
	for _, s := range m.prices.WhoPays {
		names = append(names, s.Payer)
	}
	for _, h := range m.prices.OnHand {
		if h.GivenBy != "" {
			names = append(names, h.GivenBy)
		}
	}
	return names
}

// settle shares out each rule's sums and adds them up by payer.
func (l *ledger) settle() []Payer {
	var payers []Payer
	at := map[string]int{}
	for _, name := range l.m.payerNames() {
		if _, ok := at[fold(name)]; !ok {
			at[fold(name)] = len(payers)
			payers = append(payers, Payer{Name: name})
		}
	}
	digits := l.m.home.Digits
	for _, rule := range l.seen {
		for c, sum := range l.sums[rule] {
			if len(sum.from) == 0 {
				continue
			}
			all := sum.borne()
			cash := money.Apportion(all.Cash, rule.percents, digits)
			drawer := money.Apportion(all.Drawer, rule.percents, digits)
			used := cash
			if !all.Used.Equal(all.Cash) {
				used = money.Apportion(all.Used, rule.percents, digits)
			}
			for i, name := range rule.names {
				p, part := &payers[at[fold(name)]], Borne{cash[i], drawer[i], used[i]}
				p.Categories[c] = p.Categories[c].Plus(part)
				p.Borne = p.Borne.Plus(part)
				p.Unpriced = p.Unpriced || sum.unpriced && !rule.percents[i].IsZero()
			}
		}
	}
	return payers
}

// pots lists what was shared out by which rule, in the order of first use.
func (l *ledger) pots() []Pot {
	var out []Pot
	for _, rule := range l.seen {
		for c, sum := range l.sums[rule] {
			if len(sum.from) > 0 {
				out = append(out, Pot{
					Category: Category(c), Payers: rule.names, Percents: rule.percents, Places: rule.places,
					Borne: sum.borne(), Unpriced: sum.unpriced, Of: sum.from,
				})
			}
		}
	}
	return out
}
