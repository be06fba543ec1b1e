package cost

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Maker pays what no row gives to anybody else.
const Maker = "maker"

func (r *shareRule) add(payer int, name string, percent decimal.Decimal, at bom.Place) {
	r.payers, r.names = append(r.payers, payer), append(r.names, name)
	r.percents, r.places = append(r.percents, percent), append(r.places, at)
}

// newRule makes a rule that nobody pays by yet.
func (r *payerRules) newRule(appliesTo string) *shareRule {
	r.of = append(r.of, appliesTo)
	return &shareRule{number: len(r.of) - 1}
}

// allOf is the rule by which one payer bears the whole.
func (r *payerRules) allOf(payer int) *shareRule {
	rule := r.newRule("what nobody else pays")
	rule.add(payer, r.names[payer], hundred, bom.Place{})
	return rule
}

// preparePayers finds out what each row of the tab who pays applies to.
func preparePayers(m *Model) {
	m.shareRows = slices.Clone(m.prices.WhoPays) // in an order that is not that of the rows
	slices.SortStableFunc(m.shareRows, func(a, b bom.Share) int {
		return cmp.Or(byName(a.Payer, b.Payer), byName(a.AppliesTo, b.AppliesTo))
	})
	r := payerRules{
		parts: make([]*shareRule, len(m.parts)), boards: make([]*shareRule, len(m.boards)), suppliers: make([]*shareRule, len(m.supply.list)),
		printed: make([]*shareRule, len(m.entries)), givers: map[string]*shareRule{}, recipients: -1,
	}
	payer := map[string]int{} // folded name -> index into the names
	for _, name := range payerNames(m) {
		if _, again := payer[bom.Fold(name)]; !again {
			payer[bom.Fold(name)] = len(r.names)
			r.names = append(r.names, name)
		}
	}
	r.maker = r.allOf(payer[bom.Fold(Maker)])
	r.rest = r.maker
	if name := findRecipients(m); name != "" {
		r.recipients = payer[bom.Fold(name)]
	}
	rules := map[string]*shareRule{}
	for _, s := range bom.Refs(m.shareRows) {
		key := bom.Fold(s.AppliesTo)
		rule, again := rules[key]
		if !again {
			rule = r.newRule(s.AppliesTo)
			rules[key] = rule
			bindRule(m, &r, rule, s)
		}
		i := payer[bom.Fold(s.Payer)]
		rule.add(i, r.names[i], s.Percent, s.At("Share %"))
	}
	for _, h := range m.prices.OnHand {
		if h.GivenBy != "" && bom.Fold(h.GivenBy) != bom.Fold(Maker) {
			r.givers[bom.Fold(h.GivenBy)] = r.allOf(payer[bom.Fold(h.GivenBy)])
		}
	}
	m.payers = r
	for i := range m.parts {
		sortPrinted(&m.parts[i], m)
	}
}

// sortPrinted puts the lines that take of a material under the printed parts that rows of
// who pays name; nothing where they name none.
func sortPrinted(p *part, m *Model) {
	byName := map[string][]int{}
	for _, e := range p.Entries {
		name := ""
		if m.payers.printed[e] != nil {
			name = bom.ExactKey(m.entries[e].Line.Part)
		}
		byName[name] = append(byName[name], e)
	}
	if len(byName) == 1 && byName[""] != nil {
		return
	}
	for _, name := range slices.Sorted(maps.Keys(byName)) {
		lines := byName[name]
		if name != "" {
			name = m.entries[lines[0]].Line.Part
		}
		p.PaidAs, p.paidAs = append(p.PaidAs, name), append(p.paidAs, lines)
	}
}

// recipientNames are the payers that stand for the recipients of the units
// where no setting names another.
var recipientNames = []string{"recipient", "recipients"}

// findRecipients finds the payer who is the recipients of the units; empty where
// they bear nothing.
func findRecipients(m *Model) string {
	set := m.prices.Settings.Recipients
	for _, s := range m.shareRows {
		if set != "" && bom.Fold(s.Payer) == bom.Fold(set) || set == "" && slices.Contains(recipientNames, bom.Fold(s.Payer)) {
			return s.Payer
		}
	}
	if set != "" {
		m.problems.Warnf(m.prices.SettingPlace("Recipients"), set, "a payer of the tab who pays", "unknown payer; recipients are charged nothing")
	}
	return ""
}

// bindRule ties a rule to all that its name can mean; looking it up prefers the
// narrowest.
func bindRule(m *Model, r *payerRules, rule *shareRule, s *bom.Share) {
	bound := false
	for _, i := range m.Find(s.AppliesTo) {
		r.parts[i], bound = rule, true
	}
	for i := range m.parts {
		if m.parts[i].Unit == grams && bom.Fold(m.parts[i].Key) == bom.Fold(s.AppliesTo) {
			r.parts[i], bound = rule, true
		}
	}
	for i, e := range m.entries {
		if e.Line.Kind == bom.KindPrinted && bom.ExactKey(e.Line.Part) == bom.ExactKey(s.AppliesTo) {
			r.printed[i], bound = rule, true
		}
	}
	for i, b := range m.boards {
		if bom.ExactKey(b.Name) == bom.ExactKey(s.AppliesTo) {
			r.boards[i], bound = rule, true
		}
	}
	if i, ok := m.supply.of[bom.Fold(s.AppliesTo)]; ok {
		r.suppliers[i], bound = rule, true
	}
	if c, ok := categoryCalled(s.AppliesTo); ok {
		r.categories[c], bound = rule, true
	}
	if bom.Fold(s.AppliesTo) == everything {
		r.rest, bound = rule, true
	}
	if bound {
		return
	}
	known := slices.Concat(categoryNames[:], []string{everything}, partKeys(m),
		bom.Each(m.boards, func(b *Board) string { return b.Name }), bom.Each(m.supply.list, func(s *bom.Supplier) string { return s.Name }))
	for _, e := range m.entries {
		if e.Line.Kind == bom.KindPrinted {
			known = append(known, e.Line.Part)
		}
	}
	unmet(&m.problems, s.At("Applies to"), s.AppliesTo, "unknown part, supplier or category; the row is not used",
		"everything, a part or supplier of this run, or one of: "+strings.Join(categoryNames[:], ", "), known)
}

// everything is what a row calls that no other row names.
const everything = "everything"

// rule picks part, then supplier, then category, then that for everything, then the maker; of
// a printed line its own part before its material. Indices are -1 where there is none.
func (r *payerRules) rule(line, part, board, supplier int, c Category) *shareRule {
	switch {
	case line >= 0 && r.printed[line] != nil:
		return r.printed[line]
	case part >= 0 && r.parts[part] != nil:
		return r.parts[part]
	case board >= 0 && r.boards[board] != nil:
		return r.boards[board]
	case supplier >= 0 && r.suppliers[supplier] != nil:
		return r.suppliers[supplier]
	case r.categories[c] != nil:
		return r.categories[c]
	}
	return r.rest
}

// payerShare is what of a purchase falls under one rule.
type payerShare struct {
	rule     *shareRule
	category Category
	lines    []int  // of its part, that it is for
	board    int    // that it is for
	whose    string // the printed part or board of several that it is for; empty: what others take, or all
}

// whoPays tells who pays for a purchase: under each category that its part falls in; filament
// for the printed parts that rows name, and for the others; a panel by its own rule, or where
// it has none by those of its boards.
func (m *Model) whoPays(p *Purchase) (out []payerShare) {
	r, supplier := &m.payers, m.supply.index(p.Supplier)
	if p.Kind == Lots {
		boards := []Held{{Board: p.Index}}
		if holds := m.boards[p.Index].Holds; r.boards[p.Index] == nil && slices.ContainsFunc(holds, func(h Held) bool { return r.boards[h.Board] != nil }) {
			boards = holds
		}
		for _, h := range boards {
			b := payerShare{rule: r.rule(-1, -1, h.Board, supplier, BareBoard), category: BareBoard, board: h.Board}
			if h.Board != p.Index {
				b.whose = m.boards[h.Board].Name
			}
			out = append(out, b)
		}
		return out
	}
	part := &m.parts[p.Index]
	for j, lines := range part.paidAs {
		out = append(out, payerShare{rule: r.rule(lines[0], p.Index, -1, supplier, PrintedParts), category: PrintedParts, lines: lines, whose: part.PaidAs[j]})
	}
	if part.paidAs != nil {
		return out
	}
	return bom.Each(part.in, func(in *categoryLines) payerShare {
		return payerShare{rule: r.rule(-1, p.Index, -1, supplier, in.category), category: in.category, lines: in.lines}
	})
}

// giver is the rule for what comes from stock: the maker's, unless its row
// says who gives it.
func (r *payerRules) giver(oh *bom.OnHand) *shareRule {
	if rule, ok := r.givers[bom.Fold(oh.GivenBy)]; ok {
		return rule
	}
	return r.maker
}

// payerNames are all payers: the maker, then those of the tab who pays and those
// who give what is on hand, in the order in which they first stand there.
func payerNames(m *Model) []string {
	names := append([]string{Maker}, bom.Each(m.shareRows, func(s *bom.Share) string { return s.Payer })...)
	for _, h := range m.prices.OnHand {
		if h.GivenBy != "" {
			names = append(names, h.GivenBy)
		}
	}
	slices.SortFunc(names[1:], byName)
	return names
}
