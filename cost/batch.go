package cost

import (
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
	m.plates(&b, &problems)
	m.demands(&b)
	m.buyAll(&b, &problems)
	m.postage(&b, &problems)
	m.handWork(&b)
	m.addUp(&b)
	m.whoPays(&b)
	m.charge(&b)
	return b, problems
}

// addUp spreads purchases and fees over lines and categories and sums them.
// Hand work is in its category already.
func (m *Model) addUp(b *Batch) {
	b.Lines = make([]Amounts, len(m.entries))
	for i := range m.parts {
		m.spreadPart(b, i)
	}
	m.spreadBoards(b)
	for _, f := range b.Fees {
		amounts := spent(f.Cash)
		amounts.Unpriced = f.Unpriced
		b.Categories[f.Category] = b.Categories[f.Category].Plus(amounts)
		if f.entry > 0 {
			b.Lines[f.entry-1] = b.Lines[f.entry-1].Plus(amounts)
		}
	}
	for _, o := range b.Orders {
		for _, c := range o.charges() {
			b.Categories[c.category] = b.Categories[c.category].Plus(spent(c.cash))
		}
	}
	for _, c := range b.Categories {
		b.Total = b.Total.Plus(c)
	}
}

// charge that an order adds to its goods, with the category it falls in.
type orderCharge struct {
	category Category
	cash     decimal.Decimal
}

func (o Order) charges() []orderCharge {
	return []orderCharge{
		{MachineAssembly, o.Consign},
		{Delivery, o.Delivery.Add(o.TopUp)},
		{DutyAndTax, decimal.Sum(o.Duty, o.Tax, o.Handling)},
	}
}

// categoryNeeds gives the categories that a part falls in, in order, and its
// need in each.
func (m *Model) categoryNeeds(b *Batch, part int) ([]Category, []decimal.Decimal) {
	var sums [categoryCount]bom.Quantity
	var in [categoryCount]bool
	for _, e := range m.parts[part].Entries {
		c := m.entries[e].Category
		sums[c] += m.lineNeed(b, e)
		in[c] = true
	}
	var categories []Category
	var weights []decimal.Decimal
	for _, c := range Categories {
		if in[c] {
			categories, weights = append(categories, c), append(weights, sums[c].Decimal())
		}
	}
	return categories, weights
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
func (m *Model) spreadPart(b *Batch, part int) {
	r := b.Parts[part].Amounts
	categories, weights := m.categoryNeeds(b, part)
	for i, amounts := range m.split(r, weights) {
		c := categories[i]
		b.Categories[c] = b.Categories[c].Plus(amounts)
		var lines []int
		var needs []decimal.Decimal
		for _, e := range m.parts[part].Entries {
			if m.entries[e].Category == c {
				lines, needs = append(lines, e), append(needs, m.lineNeed(b, e).Decimal())
			}
		}
		for j, amounts := range m.split(amounts, needs) {
			b.Lines[lines[j]] = b.Lines[lines[j]].Plus(amounts)
		}
	}
}

// split shares amounts out by weights; cash, used and drawer are each shared
// out, and what is left over follows from them.
func (m *Model) split(a Amounts, weights []decimal.Decimal) []Amounts {
	if len(weights) == 1 {
		return []Amounts{a}
	}
	out := make([]Amounts, len(weights))
	cash := money.Apportion(a.Cash, weights, m.home.Digits)
	used := money.Apportion(a.Used, weights, m.home.Digits)
	drawer := money.Apportion(a.Drawer, weights, m.home.Digits)
	for i := range out {
		out[i] = Amounts{
			Cash: cash[i], Used: used[i], Drawer: drawer[i],
			Leftover: cash[i].Add(drawer[i]).Sub(used[i]),
			Unpriced: a.Unpriced,
		}
	}
	return out
}

// spreadBoards gives each board type's bare boards to the line that names it.
func (m *Model) spreadBoards(b *Batch) {
	for i, run := range b.Boards {
		e := m.boards[i].Entry
		b.Lines[e] = b.Lines[e].Plus(run.Amounts)
		b.Categories[BareBoard] = b.Categories[BareBoard].Plus(run.Amounts)
	}
}
