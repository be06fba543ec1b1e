package sheet

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

type rawAssembler struct {
	Assembler    Cell `csv:"Assembler"`
	Currency     Cell `csv:"Currency"`
	SetUp        Cell `csv:"Set-up"`
	Stencil      Cell `csv:"Stencil"`
	StencilKept  Cell `csv:"Stencil kept"`
	SecondSide   Cell `csv:"Second side"`
	PerLine      Cell `csv:"Per line"`
	PerPlacement Cell `csv:"Per placement"`
	PerJoint     Cell `csv:"Per joint"`
	PerBoard     Cell `csv:"Per board"`
	HandSetUp    Cell `csv:"Hand set-up"`
	PerHandJoint Cell `csv:"Per hand joint"`
	Minimum      Cell `csv:"Minimum"`
	DPMO         Cell `csv:"DPMO"`
	Dated
}

func (p *priceReader) assembler(d *decoder, r *rawAssembler, at bom.Origin) {
	if !d.need(r.Assembler) {
		return
	}
	name := assemblerName(d, r.Assembler)
	cur := p.currency(d, r.Currency, p.currencyOf(name))
	a := bom.Assembler{
		Origin: at, Name: name, Currency: cur,
		SetUp: d.money(r.SetUp, cur), Stencil: d.money(r.Stencil, cur), StencilKept: d.yes(r.StencilKept, false), SecondSide: d.money(r.SecondSide, cur),
		PerLine: d.money(r.PerLine, cur), PerPlacement: d.money(r.PerPlacement, cur), PerJoint: d.money(r.PerJoint, cur), PerBoard: d.money(r.PerBoard, cur),
		HandSetUp: d.money(r.HandSetUp, cur), PerHandJoint: d.moneyOrNone(r.PerHandJoint, cur),
		Minimum: d.money(r.Minimum, cur), DPMO: d.number(r.DPMO, decimal.Zero),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note),
	}
	if a.DPMO.GreaterThanOrEqual(decimal.NewFromInt(1_000_000)) {
		d.wrong(r.DPMO, "less than 1000000", "nothing would come out good")
	}
	if a.HandSetUp.IsPositive() && r.PerHandJoint.Blank() {
		d.wrong(r.HandSetUp, "a price in Per hand joint; 0 where the set-up is all that is asked", "Per hand joint is blank, so no through-hole parts are fitted")
	}
	d.once(r.Assembler, "the assembler", name)
	p.prices.Assemblers = append(p.prices.Assemblers, a)
}

// assemblerName reads who populates boards.
func assemblerName(d *decoder, c Cell) string {
	name := d.key(c)
	if bom.Fold(name) == bom.AtBench {
		d.wrong(c, "another name", "the setting Assembler means hand work by this name")
	}
	return name
}

type rawAssemblyQuote struct {
	Assembler Cell `csv:"Assembler"`
	Board     Cell `csv:"Board"`
	From      Cell `csv:"From"`
	Each      Cell `csv:"Price each"`
	SetUp     Cell `csv:"Set-up"`
	Parts     Cell `csv:"Parts"`
	HandFit   Cell `csv:"Hand-fit"`
	Currency  Cell `csv:"Currency"`
	Lead      Cell `csv:"Lead days"`
	Dated
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
	readRows(d, func(raw *rawAssemblyQuote) {
		q, ok := p.assemblyQuote(d, raw)
		if !ok {
			return
		}
		tiers := quotes[keyOfQuote(&q)]
		if tiers == nil {
			tiers = &quoteTiers{first: q, froms: map[int64]int{}}
			quotes[keyOfQuote(&q)] = tiers
		}
		tiers.add(d, q, raw)
		silent[q.Row] = raw.SetUp.Blank()
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
		noFirst(k.included, l.included), noFirst(k.handFit, l.handFit))
}

// noFirst puts no before yes.
func noFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// assemblyQuote reads one row; ok is false where it cannot be read.
func (p *priceReader) assemblyQuote(d *decoder, r *rawAssemblyQuote) (q bom.AssemblyQuote, ok bool) {
	before := len(*d.problems)
	for _, c := range []Cell{r.Assembler, r.Board, r.Each} {
		d.need(c)
	}
	q = bom.AssemblyQuote{Origin: d.reg.origin(d.row), Assembler: assemblerName(d, r.Assembler), Board: d.key(r.Board), From: d.whole(r.From, 1, 1),
		Included: d.choice(r.Parts) == bom.PartsIncluded, HandFit: d.yes(r.HandFit, false),
		LeadDays: int(d.whole(r.Lead, 0, 0)), LeadKnown: !r.Lead.Blank(), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	q.SetUpAt = q.Origin
	q.Currency = p.currency(d, r.Currency, p.currencyOf(q.Assembler))
	q.Each, q.SetUp = d.money(r.Each, q.Currency), d.money(r.SetUp, q.Currency)
	return q, !d.failedSince(before)
}

// add checks a row against those of the same quote that stand above it.
func (t *quoteTiers) add(d *decoder, q bom.AssemblyQuote, r *rawAssemblyQuote) {
	row, doubled := t.froms[q.From]
	t.froms[q.From] = q.Row
	differs := func(c Cell, want, what string, other int) {
		d.problems.Errorf(d.place(c), c.Text, want, "%s differs from that in row %d of the same quote", what, other)
	}
	switch {
	case doubled:
		d.wrong(r.From, "keep one row for it", "the price of %s from %s on stands twice, here and in row %d", bom.Shown(q.Board), strconv.FormatInt(q.From, 10), row)
	case q.Currency.Code != t.first.Currency.Code:
		differs(r.Currency, "one currency for all its rows", "the currency", t.first.Row)
	case r.SetUp.Blank():
	case !t.hasSetUp:
		t.setUp, t.hasSetUp = q, true
	case !q.SetUp.Equal(t.setUp.SetUp):
		differs(r.SetUp, "the same in all its rows, or blank in all but one", "the set-up", t.setUp.Row)
	}
}
