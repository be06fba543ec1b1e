package cost

import (
	"cmp"
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
	number   int   // among the rules
	payers   []int // indices into payerRules.names
	names    []string
	percents []decimal.Decimal
	places   []bom.Place // of the percentages
}

func (r *shareRule) add(payer int, name string, percent decimal.Decimal, at bom.Place) {
	r.payers, r.names = append(r.payers, payer), append(r.names, name)
	r.percents, r.places = append(r.percents, percent), append(r.places, at)
}

// payerRules are looked through by part, then supplier, then category (6).
type payerRules struct {
	names                    []string     // of all payers, the maker first, then by name
	parts, boards, suppliers []*shareRule // nil where no row names it
	categories               [categoryCount]*shareRule
	givers                   map[string]*shareRule // folded name: of what comes from the drawer
	maker                    *shareRule
	count                    int    // of rules
	asked                    string // the payer who is the recipients of the units; empty: none
}

// newRule makes a rule that nobody pays by yet.
func (r *payerRules) newRule() *shareRule {
	r.count++
	return &shareRule{number: r.count - 1}
}

// allOf is the rule by which one payer bears the whole.
func (r *payerRules) allOf(payer int) *shareRule {
	rule := r.newRule()
	rule.add(payer, r.names[payer], hundred, bom.Place{})
	return rule
}

// byName sorts by a name in any case, and names that are one then by their spelling.
func byName(a, b string) int { return cmp.Or(cmp.Compare(fold(a), fold(b)), cmp.Compare(a, b)) }

// preparePayers finds out what each row of the tab who pays applies to.
func (m *Model) preparePayers() {
	m.shareRows = slices.Clone(m.prices.WhoPays) // in an order that is not that of the rows
	slices.SortStableFunc(m.shareRows, func(a, b bom.Share) int {
		return cmp.Or(byName(a.Payer, b.Payer), byName(a.AppliesTo, b.AppliesTo))
	})
	r := payerRules{
		parts: make([]*shareRule, len(m.parts)), boards: make([]*shareRule, len(m.boards)), suppliers: make([]*shareRule, len(m.suppliers)),
		givers: map[string]*shareRule{}, asked: m.recipients(),
	}
	payer := map[string]int{} // folded name -> index into the names
	for _, name := range m.payerNames() {
		if _, again := payer[fold(name)]; !again {
			payer[fold(name)] = len(r.names)
			r.names = append(r.names, name)
		}
	}
	r.maker = r.allOf(payer[fold(Maker)])
	rules := map[string]*shareRule{}
	for i := range m.shareRows {
		s := &m.shareRows[i]
		key := fold(s.AppliesTo)
		rule, again := rules[key]
		if !again {
			rule = r.newRule()
			rules[key] = rule
			m.bindRule(&r, rule, s)
		}
		i := payer[fold(s.Payer)]
		rule.add(i, r.names[i], s.Percent, s.At("Share %"))
	}
	for _, h := range m.prices.OnHand {
		if h.GivenBy != "" && fold(h.GivenBy) != fold(Maker) {
			r.givers[fold(h.GivenBy)] = r.allOf(payer[fold(h.GivenBy)])
		}
	}
	m.payers = r
}

// recipientNames are the payers that stand for the recipients of the units
// where no setting names another.
var recipientNames = []string{"recipient", "recipients"}

// recipients finds the payer who is the recipients of the units; empty where
// they bear nothing.
func (m *Model) recipients() string {
	set := m.prices.Settings.Recipients
	for _, s := range m.shareRows {
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
func (m *Model) bindRule(r *payerRules, rule *shareRule, s *bom.Share) {
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
	if bound {
		return
	}
	known := slices.Clone(categoryNames[:])
	for i := range m.parts {
		known = append(known, m.parts[i].Key)
	}
	for i := range m.boards {
		known = append(known, m.boards[i].Name)
	}
	for i := range m.suppliers {
		known = append(known, m.suppliers[i].Name)
	}
	m.unmet(s.At("Applies to"), s.AppliesTo, "no such part, supplier or category in this run; the row is not used",
		"a part or supplier of this run, or one of: "+strings.Join(categoryNames[:], ", "), known)
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

// shares shares amounts out by weights, each by largest remainder: what is paid and
// what is given by the weights, what is used of both by what each share has of
// them. No share then uses more than it has, as its quota of what is used is no
// more than that whole number of minor units, and no share gets more than its
// quota rounded up.
func (b Borne) shares(weights []decimal.Decimal, digits int32) []Borne {
	out := make([]Borne, len(weights))
	cash, drawer := money.Apportion(b.Cash, weights, digits), money.Apportion(b.Drawer, weights, digits)
	value := make([]decimal.Decimal, len(weights))
	for i := range out {
		value[i] = plus(cash[i], drawer[i])
	}
	used := value
	if !b.Used.Equal(b.Value()) {
		used = money.Apportion(b.Used, value, digits)
	}
	for i := range out {
		out[i] = Borne{cash[i], drawer[i], used[i]}
	}
	return out
}

// spend is cash that is used in full.
func spend(cash decimal.Decimal) Borne { return Borne{Cash: cash, Used: cash} }

// ledger adds up what is borne by rule and category before it is shared out, so
// that each is rounded once.
type ledger struct {
	m    *Model
	at   [][categoryCount]int // by number of the rule: 1 + index into sums; 0: nothing yet
	sums []potSum
	seen []*shareRule // in the order of first use
	log  []entered    // all that is in the sums, in the order in which it came
}

// entered is a portion with the sum that it is in.
type entered struct {
	in int // index into sums
	Portion
}

// borneSum adds up what is borne.
type borneSum struct{ cash, drawer, used money.Sum }

// newBorneSum is nothing in a currency with so many digits.
func newBorneSum(digits int32) borneSum {
	none := money.Sum{Digits: digits}
	return borneSum{none, none, none}
}

func (s *borneSum) add(b Borne) {
	s.cash.Add(b.Cash)
	s.drawer.Add(b.Drawer)
	s.used.Add(b.Used)
}

func (s *borneSum) borne() Borne {
	cash := s.cash.Decimal()
	return Borne{cash, s.drawer.Decimal(), s.used.Or(&s.cash, cash)}
}

// potSum is what one rule shares out of one category.
type potSum struct {
	borneSum
	count    int  // of what is in it
	unpriced bool // something in it has no price
	pot      int  // its place among the pots, once they are listed
}

func (l *ledger) add(rule *shareRule, c Category, from Portion, borne Borne, unpriced bool) {
	at := &l.at[rule.number]
	if *at == [categoryCount]int{} {
		l.seen = append(l.seen, rule)
	}
	if at[c] == 0 {
		l.sums = append(l.sums, potSum{borneSum: newBorneSum(l.m.home.Digits)})
		at[c] = len(l.sums)
	}
	sum := &l.sums[at[c]-1]
	sum.add(borne)
	sum.count++
	l.log = append(l.log, entered{at[c] - 1, from})
	sum.unpriced = sum.unpriced || unpriced
}

// rule picks part, then supplier, then category, then the maker. Indices are -1
// where there is none.
func (r *payerRules) rule(part, board, supplier int, c Category) *shareRule {
	switch {
	case part >= 0 && r.parts[part] != nil:
		return r.parts[part]
	case board >= 0 && r.boards[board] != nil:
		return r.boards[board]
	case supplier >= 0 && r.suppliers[supplier] != nil:
		return r.suppliers[supplier]
	case r.categories[c] != nil:
		return r.categories[c]
	}
	return r.maker
}

// giver is the rule for what comes from the drawer: the maker's, unless its row
// says who gives it.
func (r *payerRules) giver(oh *bom.OnHand) *shareRule {
	if rule, ok := r.givers[fold(oh.GivenBy)]; ok {
		return rule
	}
	return r.maker
}

// whoPays shares all that the batch costs out among the payers: cash by the
// rules, what comes from the drawer to who gives it.
func (m *Model) whoPays(b *Batch) {
	// Most purchases are of one category, and few parts come from the drawer.
	entries := len(b.Purchases) + len(b.Fees) + chargesOfOrder*len(b.Orders) + len(m.prices.OnHand) + 1
	l := &ledger{m: m, at: make([][categoryCount]int, m.payers.count), sums: make([]potSum, 0, categoryCount), log: make([]entered, 0, entries)}
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
	var by []*shareRule
	b.Pots, by = l.pots()
	b.Payers = l.settle(b.Pots, by)
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
	for i, share := range whole.shares(decimals(m.categoryNeeds(b, p.Index)), m.home.Digits) {
		enter(in[i].category, share)
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
		for j, share := range (Borne{Drawer: r.Drawer, Used: r.Drawer}).shares(decimals(m.categoryNeeds(b, i)), m.home.Digits) {
			l.add(rule, m.parts[i].in[j].category, Portion{OfPartDrawer, i}, share, false)
		}
	}
}

// payerNames are all payers: the maker, then those of the tab who pays and those
// who give what is on hand, in the order in which they first stand there.
func (m *Model) payerNames() []string {
	names := []string{Maker}
	for _, s := range m.shareRows {
		names = append(names, s.Payer)
	}
	for _, h := range m.prices.OnHand {
		if h.GivenBy != "" {
			names = append(names, h.GivenBy)
		}
	}
	slices.SortFunc(names[1:], byName)
	return names
}

// pots lists what is shared out, and by which rules, in the order of their first
// use.
func (l *ledger) pots() (pots []Pot, by []*shareRule) {
	pots, by = make([]Pot, 0, len(l.sums)), make([]*shareRule, 0, len(l.sums))
	room := make([]Portion, len(l.log))
	for _, rule := range l.seen {
		for c, at := range l.at[rule.number] {
			if at == 0 {
				continue
			}
			sum := &l.sums[at-1]
			sum.pot = len(pots)
			pots, by = append(pots, Pot{
				Category: Category(c), Payers: rule.names, Percents: rule.percents, Places: rule.places,
				Borne: sum.borne(), Unpriced: sum.unpriced, Of: room[:0:sum.count],
			}), append(by, rule)
			room = room[sum.count:]
		}
	}
	for _, e := range l.log {
		of := &pots[l.sums[e.in].pot].Of
		*of = append(*of, e.Portion)
	}
	return pots, by
}

// settle shares each pot out by its rule and adds the shares up by payer.
func (l *ledger) settle(pots []Pot, by []*shareRule) []Payer {
	digits := l.m.home.Digits
	payers, all := make([]Payer, len(l.m.payers.names)), make([]borneSum, len(l.m.payers.names))
	for i, name := range l.m.payers.names {
		payers[i].Name, all[i] = name, newBorneSum(digits)
	}
	for i := range pots {
		pot, rule := &pots[i], by[i]
		pay := func(j int, part Borne) {
			p := &payers[rule.payers[j]]
			p.Categories[pot.Category] = p.Categories[pot.Category].Plus(part)
			p.Unpriced = p.Unpriced || pot.Unpriced && !rule.percents[j].IsZero()
			all[rule.payers[j]].add(part)
		}
		if len(rule.payers) == 1 { // nothing to share out
			pay(0, pot.Borne)
			continue
		}
		for j, share := range pot.Borne.shares(rule.percents, digits) {
			pay(j, share)
		}
	}
	for i := range payers {
		payers[i].Borne = all[i].borne()
	}
	return payers
}
