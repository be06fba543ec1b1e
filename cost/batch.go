package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
)

// Batch computes one batch size. Errors among the problems mean that the batch
// cannot be made as the input stands; the batch then holds what is known.
func (m *Model) Batch(size int) (Batch, bom.Problems) {
	var problems bom.Problems
	b := Batch{Size: size}
	m.needs(&b, &problems)
	if problems.Failed() {
		return b, problems
	}
	b.beds = m.plates(&b, &problems)
	if !m.costsOnly {
		m.days(&b, b.beds, &problems)
	}
	m.demands(&b)
	m.buyAll(&b, &problems)
	m.postage(&b, &problems)
	m.swapFees(&b)
	m.handWork(&b)
	if !m.costsOnly {
		m.planDays(&b)
	}
	m.addUp(&b)
	m.whoPays(&b)
	m.charge(&b)
	return b, problems
}

// addUp spreads purchases and fees over lines and categories and sums them.
// Hand work is in its category already.
func (m *Model) addUp(b *Batch) {
	b.Lines = make([]Amounts, len(m.entries))
	sums := newAmountSums(m.home.Digits)
	for i := range m.parts {
		m.spreadPart(b, sums, i)
	}
	for i := range b.Boards {
		m.credit(b, sums, BareBoard, m.boards[i].Entry, b.Boards[i].Amounts)
	}
	for i := range b.Fees {
		f := &b.Fees[i]
		amounts := spent(f.Cash)
		amounts.Unpriced = f.Unpriced
		if f.entry > 0 {
			m.credit(b, sums, f.Category, f.entry-1, amounts)
		} else {
			sums[f.Category].add(amounts)
		}
	}
	for _, o := range b.Orders {
		for _, c := range o.charges() {
			sums[c.category].add(spent(c.cash))
		}
	}
	all := newAmountSum(m.home.Digits)
	for c := range sums {
		b.Categories[c] = b.Categories[c].Plus(sums[c].amounts())
		all.add(b.Categories[c])
	}
	b.Total = b.Total.Plus(all.amounts())
}

// amountSum adds amounts up.
type amountSum struct {
	cash, used, leftover, drawer money.Sum
	unpriced                     bool
}

// newAmountSum is nothing in a currency with so many digits.
func newAmountSum(digits int32) amountSum {
	none := money.Sum{Digits: digits}
	return amountSum{cash: none, used: none, leftover: none, drawer: none}
}

// newAmountSums makes a sum for each category.
func newAmountSums(digits int32) *[categoryCount]amountSum {
	var sums [categoryCount]amountSum
	for c := range sums {
		sums[c] = newAmountSum(digits)
	}
	return &sums
}

func (s *amountSum) add(a Amounts) {
	s.cash.Add(a.Cash)
	s.used.Add(a.Used)
	s.leftover.Add(a.Leftover)
	s.drawer.Add(a.Drawer)
	s.unpriced = s.unpriced || a.Unpriced
}

func (s *amountSum) amounts() Amounts {
	cash := s.cash.Decimal()
	return Amounts{
		Cash: cash, Used: s.used.Or(&s.cash, cash), Leftover: s.leftover.Decimal(), Drawer: s.drawer.Decimal(),
		Unpriced: s.unpriced,
	}
}

// charge that an order adds to its goods, with the category it falls in.
type orderCharge struct {
	category Category
	cash     decimal.Decimal
}

// chargesOfOrder is how many kinds of charge there are.
const chargesOfOrder = 3

func (o Order) charges() [chargesOfOrder]orderCharge {
	return [...]orderCharge{
		{MachineAssembly, o.Consign},
		{Delivery, plus(o.Delivery, o.TopUp)},
		{DutyAndTax, plus(plus(o.Duty, o.Tax), o.Handling)},
	}
}

// sortLines puts the lines of every part under the categories they fall in.
func (m *Model) sortLines() {
	all := make([]categoryLines, 0, len(m.parts))
	for i := range m.parts {
		p := &m.parts[i]
		if first := m.entries[p.Entries[0]].Category; !slices.ContainsFunc(p.Entries, func(e int) bool { return m.entries[e].Category != first }) {
			all = append(all, categoryLines{first, p.Entries})
			p.in = all[len(all)-1 : len(all) : len(all)]
			continue
		}
		for _, c := range Categories {
			var lines []int
			for _, e := range p.Entries {
				if m.entries[e].Category == c {
					lines = append(lines, e)
				}
			}
			if lines != nil {
				p.in = append(p.in, categoryLines{c, lines})
			}
		}
	}
}

// categoryNeeds gives the need of a part in each category that it falls in.
func (m *Model) categoryNeeds(b *Batch, part int) []bom.Quantity {
	needs := make([]bom.Quantity, len(m.parts[part].in))
	for i, in := range m.parts[part].in {
		for _, e := range in.lines {
			needs[i] += m.lineNeed(b, e)
		}
	}
	return needs
}

// lineNeed is the need of a line in what its part is counted in: pieces, or the
// grams that a printed line's plates take.
func (m *Model) lineNeed(b *Batch, entry int) bom.Quantity {
	if m.parts[m.entries[entry].Part].Unit != grams {
		return b.Needs[entry]
	}
	for _, p := range b.Plates {
		if p.Entry == entry {
			return gramsOf(p.FilamentG)
		}
	}
	return 0
}

// spreadPart splits the money of a part first over the categories it falls in,
// then over its lines in each, by need (largest remainder).
func (m *Model) spreadPart(b *Batch, sums *[categoryCount]amountSum, part int) {
	if lines := m.parts[part].Entries; len(lines) == 1 { // nothing to split
		m.credit(b, sums, m.entries[lines[0]].Category, lines[0], b.Parts[part].Amounts)
		return
	}
	in := m.parts[part].in
	for i, amounts := range m.split(b.Parts[part].Amounts, m.categoryNeeds(b, part)) {
		sums[in[i].category].add(amounts)
		needs := make([]bom.Quantity, len(in[i].lines))
		for j, e := range in[i].lines {
			needs[j] = m.lineNeed(b, e)
		}
		for j, amounts := range m.split(amounts, needs) {
			e := in[i].lines[j]
			b.Lines[e] = b.Lines[e].Plus(amounts)
		}
	}
}

// credit gives an amount to a line and its category.
func (m *Model) credit(b *Batch, sums *[categoryCount]amountSum, c Category, line int, a Amounts) {
	sums[c].add(a)
	b.Lines[line] = b.Lines[line].Plus(a)
}

// split shares amounts out by needs; what is left over follows from them.
func (m *Model) split(a Amounts, needs []bom.Quantity) []Amounts {
	if len(needs) == 1 {
		return []Amounts{a}
	}
	out := make([]Amounts, len(needs))
	for i, b := range (Borne{a.Cash, a.Drawer, a.Used}).shares(decimals(needs), m.home.Digits) {
		out[i] = Amounts{Cash: b.Cash, Used: b.Used, Drawer: b.Drawer, Leftover: b.Value().Sub(b.Used), Unpriced: a.Unpriced}
	}
	return out
}

func decimals(needs []bom.Quantity) []decimal.Decimal {
	out := make([]decimal.Decimal, len(needs))
	for i, n := range needs {
		out[i] = n.Decimal()
	}
	return out
}
