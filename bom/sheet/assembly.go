package sheet

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

func (p *priceReader) assembler(d *decoder) {
	cell := d.cell
	name := assemblerName(d, cell("Assembler"))
	cur := p.currency(d, cell("Currency"), p.currencyOf(name))
	a := bom.Assembler{
		Dated: d.dated(), Name: name, Currency: cur,
		SetUp: d.money(cell("Set-up"), cur), Stencil: d.money(cell("Stencil"), cur), StencilKept: d.yes(cell("Stencil kept"), false), SecondSide: d.money(cell("Second side"), cur),
		PerLine: d.money(cell("Per line"), cur), PerPlacement: d.money(cell("Per placement"), cur), PerJoint: d.money(cell("Per joint"), cur), PerBoard: d.money(cell("Per board"), cur),
		HandSetUp: d.money(cell("Hand set-up"), cur), PerHandJoint: d.moneyOrNone(cell("Per hand joint"), cur),
		Minimum: d.money(cell("Minimum"), cur), DPMO: d.number(cell("DPMO"), decimal.Zero),
	}
	if a.DPMO.GreaterThanOrEqual(decimal.NewFromInt(1_000_000)) {
		d.wrong(cell("DPMO"), "less than 1000000", "nothing would come out good")
	}
	if a.HandSetUp.IsPositive() && cell("Per hand joint").Blank() {
		d.wrong(cell("Hand set-up"), "a price in Per hand joint; 0 where the set-up is all that is asked", "Per hand joint is blank, so no through-hole parts are fitted")
	}
	d.once(cell("Assembler"), "the assembler", name)
	p.prices.Assemblers = append(p.prices.Assemblers, a)
}

// assemblerName reads who populates boards.
func assemblerName(d *decoder, c bom.Cell) string {
	name := d.key(c)
	if bom.Fold(name) == bom.AtBench {
		d.wrong(c, "another name", "the setting Assembler means hand work by this name")
	}
	return name
}

// quoteKey is what the tiers of one quote of an assembler have in common.
type quoteKey struct {
	assembler, board  string
	included, handFit bool
}

// quoteTiers is what the rows of one quote have said so far.
type quoteTiers struct {
	first    bom.AssemblyQuote
	froms    map[int64]int     // From -> the row that holds it
	setUp    bom.AssemblyQuote // the row that gives it
	hasSetUp bool
}

// assemblyQuotes reads the tab assembly quotes: the tiers of one quote side by side, by
// rising From, in whatever order their rows stand.
func (p *priceReader) assemblyQuotes() {
	d, ok := p.reader(bom.TabAssemblyQuotes)
	if !ok {
		return
	}
	quotes := map[quoteKey]*quoteTiers{}
	silent := map[int]bool{} // rows without a set-up
	d.eachRow(func() {
		q, ok := p.assemblyQuote(d)
		if !ok {
			return
		}
		tiers := quotes[keyOfQuote(&q)]
		if tiers == nil {
			tiers = &quoteTiers{first: q, froms: map[int64]int{}}
			quotes[keyOfQuote(&q)] = tiers
		}
		tiers.add(d, q)
		silent[q.Row] = d.cell("Set-up").Blank()
		p.prices.AssemblyQuotes = append(p.prices.AssemblyQuotes, q)
	})
	for i := range p.prices.AssemblyQuotes {
		q := &p.prices.AssemblyQuotes[i]
		if tiers := quotes[keyOfQuote(q)]; silent[q.Row] && tiers.hasSetUp {
			q.SetUp, q.SetUpAt = tiers.setUp.SetUp, tiers.setUp.Origin
		}
	}
	slices.SortStableFunc(p.prices.AssemblyQuotes, func(a, b bom.AssemblyQuote) int {
		return cmp.Or(keyOfQuote(&a).compare(keyOfQuote(&b)), cmp.Compare(a.From, b.From))
	})
}

func keyOfQuote(q *bom.AssemblyQuote) quoteKey {
	return quoteKey{bom.Fold(q.Assembler), bom.ExactKey(q.Board), q.Included, q.HandFit}
}

func (k quoteKey) compare(l quoteKey) int {
	return cmp.Or(cmp.Compare(k.assembler, l.assembler), cmp.Compare(k.board, l.board),
		bom.TrueFirst(!k.included, !l.included), bom.TrueFirst(!k.handFit, !l.handFit))
}

// assemblyQuote reads one row; ok is false where it cannot be read.
func (p *priceReader) assemblyQuote(d *decoder) (q bom.AssemblyQuote, ok bool) {
	cell := d.cell
	before := len(*d.problems)
	d.named()
	q = bom.AssemblyQuote{Dated: d.dated(), Assembler: assemblerName(d, cell("Assembler")), Board: d.key(cell("Board")), From: d.whole(cell("From"), 1, 1),
		Included: d.choice(cell("Parts")) == bom.PartsIncluded, HandFit: d.yes(cell("Hand-fit"), false),
		LeadDays: int(d.whole(cell("Lead days"), 0, 0)), LeadKnown: !cell("Lead days").Blank()}
	q.SetUpAt = q.Origin
	q.Currency = p.currency(d, cell("Currency"), p.currencyOf(q.Assembler))
	q.Each, q.SetUp = d.money(cell("Price each"), q.Currency), d.money(cell("Set-up"), q.Currency)
	return q, !d.failedSince(before)
}

// add checks a row against those of the same quote that stand above it.
func (t *quoteTiers) add(d *decoder, q bom.AssemblyQuote) {
	cell := d.cell
	row, doubled := t.froms[q.From]
	t.froms[q.From] = q.Row
	differs := func(c bom.Cell, want, what string, other int) {
		d.problems.Errorf(d.place(c), c.Text, want, "%s differs from that in row %d of the same quote", what, other)
	}
	switch {
	case doubled:
		d.wrong(cell("From"), "keep one row for it", "the price of %s from %s on stands twice, here and in row %d", bom.Shown(q.Board), strconv.FormatInt(q.From, 10), row)
	case q.Currency.Code != t.first.Currency.Code:
		differs(cell("Currency"), "one currency for all its rows", "the currency", t.first.Row)
	case cell("Set-up").Blank():
	case !t.hasSetUp:
		t.setUp, t.hasSetUp = q, true
	case !q.SetUp.Equal(t.setUp.SetUp):
		differs(cell("Set-up"), "the same in all its rows, or blank in all but one", "the set-up", t.setUp.Row)
	}
}
