package cost

import (
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
)

// Run is what is to be estimated.
type Run struct {
	Name    string // of the unit
	Unit    *bom.Assembly
	Prices  *bom.Prices
	Level   bom.Level
	Batches []int
	Today   bom.Date // prices are aged against it; zero: not at all
	Rules   Rules
	Take    []Swap      // substitutes that are used
	Why     bool        // tells what other offers and suppliers would cost
	Effort  int64       // steps that the proof of the purchases of one batch size may take; 0: buy.DefaultEffort
	Stop    func() bool // true gives the proofs of the purchases up; nil: never; asked from several goroutines at once

	mustPrice bool // what has no price is an error, and not shown as unknown
}

// MaxBatch is the largest batch that is computed.
const MaxBatch = 1_000_000

// Model is a run with everything worked out that does not depend on the batch
// size. It is not safe for concurrent use, since the solver of the purchases
// keeps its scratch space from one batch to the next: see twin.
type Model struct {
	run    Run
	prices *bom.Prices
	home   bom.Currency

	entries  []Entry
	unfitted []Entry
	boards   []Board
	parts    []part
	partOf   map[string]int // folded key of a part -> index into parts

	rates      map[string]decimal.Decimal // currency code -> home for one
	suppliers  []bom.Supplier             // those with a row first, then those only named
	supplierOf map[string]int             // folded name -> index into suppliers
	buyers     []buy.Supplier             // suppliers, without their fixed goods
	assembler  int                        // index into suppliers; -1: none
	namesakes  map[string]int             // name as it is written -> index into suppliers
	ruledOut   []string                   // why nothing is ordered from a supplier; empty: it may be
	assembly   *bom.Assembler             // what the assembler asks; nil: SMT parts are hand work

	supplierKeys []string // folded names of the suppliers

	solver    *buy.Solver
	costsOnly bool // the days of printing, which cost nothing, are left out

	bareBoards []bareBoard // one for each board type
	printed    []printedLine
	groups     []plateGroup
	work       []workRow
	swaps      []swap
	payers     payerRules
	shareRows  []bom.Share // of the price sheet, by payer
	mass       mass
	zones      []zone // at least one

	terms *termList // suppliers and offers, numbered

	problems bom.Problems
}

// part is a Part with its offers and what is in the drawer.
type part struct {
	Part
	canon     canonical // of value and package where there is no part number
	allowance *bom.Allowance
	percent   int64 // of the allowance, in millionths
	offers    []buy.Offer
	rows      []*bom.Offer    // offers came from these; nil for a spool
	spools    []*bom.Material // offers came from these; nil for a part
	ruledOut  bool            // the rules left none of its offers
	onHand    *bom.OnHand
	in        []categoryLines // its lines by category, in the categories' order
}

// categoryLines are the lines of a part that fall in one category.
type categoryLines struct {
	category Category
	lines    []int
}

// New works out what does not depend on the batch size. With errors among the
// problems the model is nil.
func New(run Run) (*Model, bom.Problems) {
	if problems := run.missing(); problems.Failed() {
		return nil, problems
	}
	m := &Model{run: run, prices: run.Prices, home: run.Prices.Settings.Home, assembler: -1}
	m.exchange()
	m.supply()
	m.prepareSwaps()
	m.flatten()
	m.gather()
	m.countBoards()
	m.ruleOut()
	m.offers()
	m.stock()
	m.quotes()
	m.allowances()
	m.prepareAssembly()
	m.preparePrinted()
	m.prepareWork()
	m.preparePayers()
	m.prepareMass()
	m.sortLines()
	m.prepareTerms()
	m.prepareBuying()
	m.checkAges()
	m.warnOfUnmet()
	if m.problems.Failed() {
		return nil, m.problems
	}
	return m, m.problems
}

// missing complains of a run that nothing can be computed of.
func (r *Run) missing() (problems bom.Problems) {
	if r.Unit == nil {
		problems.Errorf(bom.Place{}, "", "the lines of a unit", "the run has no bill of materials")
	}
	if r.Prices == nil {
		problems.Errorf(bom.Place{}, "", "prices in a home currency", "the run has no price sheet")
	}
	if !slices.Contains(bom.Levels, r.Level) {
		problems.Errorf(bom.Place{}, strconv.Itoa(int(r.Level)), "bom.LevelBoard, LevelKit or LevelBuilt", "the run has no level")
	}
	return problems
}

// exchange notes what each currency is worth at home.
func (m *Model) exchange() {
	m.rates = map[string]decimal.Decimal{m.home.Code: decimal.NewFromInt(1)}
	for _, r := range m.prices.Exchange {
		m.rates[r.Currency.Code] = r.Rate
	}
}

// rate is what one unit of a currency is worth at home. Readers refuse a price
// in a currency that has no rate, so that a missing one is a fault of the
// caller; it is reported all the same rather than taken for zero. New asks for
// every currency, so that none is found missing by a batch.
func (m *Model) rate(c bom.Currency, at bom.Place) decimal.Decimal {
	if r, ok := m.rates[c.Code]; ok {
		return r
	}
	m.problems.Errorf(at, c.Code, "give the tab exchange a row for it", "no exchange rate for this currency")
	m.rates[c.Code] = decimal.NewFromInt(1) // one complaint is enough
	return m.rates[c.Code]
}

// fold is how names are compared: case and the width of gaps do not matter.
func fold(s string) string { return strings.ToLower(exactKey(s)) }

// supply lists the suppliers: those with a row, then those that are only named.
func (m *Model) supply() {
	m.supplierOf = map[string]int{}
	rows := append([]bom.Supplier(nil), m.prices.Suppliers...)
	sort.SliceStable(rows, func(a, b int) bool { return fold(rows[a].Name) < fold(rows[b].Name) })
	for _, s := range rows {
		m.addSupplier(s)
	}
	for _, name := range m.namedOnly() {
		if _, known := m.supplierOf[fold(name)]; known {
			continue
		}
		m.supplierOf[fold(name)] = len(m.suppliers)
		if name == "" {
			name = "supplier not named"
		}
		m.addSupplier(bom.Supplier{Name: name, Currency: m.home})
	}
	m.namesakes = map[string]int{}
	for i, s := range m.suppliers {
		m.namesakes[s.Name] = m.supplierOf[m.supplierKeys[i]]
	}
}

// supplierIndex finds a supplier by name; -1 where there is none.
func (m *Model) supplierIndex(name string) int {
	if i, ok := m.namesakes[name]; ok {
		return i
	}
	if i, ok := m.supplierOf[fold(name)]; ok {
		return i
	}
	return -1
}

// namedOnly lists, in order, the suppliers that some row names and that have no
// row of their own: home currency, no charges. A row that names nobody counts as
// naming one more.
func (m *Model) namedOnly() []string {
	var names []string
	seen := map[string]bool{}
	note := func(name string) {
		if seen[name] {
			return
		}
		seen[name] = true
		if _, known := m.supplierOf[fold(name)]; !known {
			names = append(names, name)
		}
	}
	for i := range m.prices.Offers {
		if len(m.prices.Offers[i].Breaks) > 0 {
			note(m.prices.Offers[i].Supplier)
		}
	}
	for _, q := range m.prices.Quotes {
		note(m.fabricator(q))
	}
	for _, mat := range m.prices.Materials {
		if !mat.Unpriced {
			note(mat.Supplier)
		}
	}
	if name := m.prices.Settings.Assembler; name != "" {
		note(name)
	}
	slices.Sort(names)
	return names
}

func (m *Model) addSupplier(s bom.Supplier) {
	key := fold(s.Name)
	m.supplierOf[key] = len(m.suppliers)
	m.suppliers, m.supplierKeys = append(m.suppliers, s), append(m.supplierKeys, key)
	m.buyers = append(m.buyers, buy.Supplier{
		Name: s.Name, Currency: s.Currency, Rate: m.rate(s.Currency, s.At("Currency")),
		Delivery: s.Delivery, FreeOver: s.FreeOver, MinOrder: s.MinOrder,
		Duty: s.Duty, Tax: s.Tax,
		DutyFreeUnder: s.DutyFreeUnder, TaxFreeUnder: s.TaxFreeUnder, Handling: s.Handling,
		Consign: s.ConsignPerLine,
	})
}

// fabricator is who a quote comes from.
func (m *Model) fabricator(q bom.Quote) string {
	if q.Fabricator != "" {
		return q.Fabricator
	}
	return m.prices.Settings.Fabricator
}
