package cost

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tenoff/bom"
)

// prepareMakings lists the ways to have the boards made, and with that finds what is
// machine-placed.
func prepareMakings(m *Model) {
	countBoards(m)
	addPanels(m)
	shops := listShops(m)
	m.makings = makingsOf(m, shops)
	m.making = m.makings[0]
	if m.making.assembler < 0 {
		for _, b := range bom.Refs(m.boards) {
			b.Placements, b.Joints, b.partLines, b.Sides = 0, 0, 0, 0
		}
		return
	}
	for i := range m.entries {
		if e := &m.entries[i]; e.Board >= 0 && classOf(e.Line) == classSMT {
			e.Machine = true
		}
	}
	wantAssemblyJoints(m)
}

// makingsOf lists the ways that the assemblers offer; where none does all that is asked of
// it, SMT parts are hand work. There is at least one.
func makingsOf(m *Model, shops []shop) (out []making) {
	layouts := panelLayouts(m)
	tellWhoFits(m)
	if len(shops) > 0 {
		for i := range shops {
			out = append(out, shops[i].makings(m, layouts)...)
		}
		if len(out) == 0 {
			complainOfShops(m, shops)
		}
	}
	if len(out) > mostMakings {
		m.problems.Warnf(m.prices.SettingPlace("Assembler"), "", "an Assembler, or fewer quotes",
			"of %d ways to have the boards made, the first %d are weighed", len(out), mostMakings)
		out = out[:mostMakings]
	}
	if len(out) > 0 {
		return out
	}
	for _, panel := range layouts {
		out = append(out, making{assembler: -1, quotes: make([]*quoted, len(m.boards)), panel: panel})
	}
	return out
}

// mostMakings bounds how many ways to have the boards made are weighed.
const mostMakings = 256

// shop is an assembler with what it asks.
type shop struct {
	name     string
	supplier int
	asks     *bom.Assembler
	quotes   [][]*quoted // by board
}

// listShops finds the assemblers that may populate the boards: the one that is set, or all
// that have prices.
func listShops(m *Model) (out []shop) {
	set := m.prices.Settings.Assembler
	if !slices.ContainsFunc(m.boards, func(b Board) bool { return b.Placements > 0 || b.HandParts > 0 }) {
		return nil
	}
	if set == bom.AtBench {
		return nil
	}
	at := func(name string) *shop {
		supplier, ok := m.supply.of[bom.Fold(name)]
		if !ok || set != "" && bom.Fold(name) != bom.Fold(set) {
			return nil
		}
		if had := bom.First(out, func(s *shop) bool { return s.supplier == supplier }); had != nil {
			return had
		}
		out = append(out, shop{name: m.supply.list[supplier].Name, supplier: supplier, quotes: make([][]*quoted, len(m.boards))})
		return &out[len(out)-1]
	}
	for i := range m.prices.Assemblers {
		if a := &m.prices.Assemblers[i]; at(a.Name) != nil {
			at(a.Name).asks = a
			m.supply.rate(a.Currency, a.At("Currency"))
		}
	}
	for _, q := range bom.Refs(m.prices.AssemblyQuotes) {
		board := boardNamed(m.boards, q.Board)
		if board < 0 || at(q.Assembler) == nil {
			continue
		}
		at(q.Assembler).quote(board, q)
		m.supply.rate(q.Currency, q.At("Currency"))
	}
	if set != "" && len(out) == 0 {
		m.problems.Errorf(m.prices.SettingPlace("Assembler"), set, "give the tab assembly or assembly quotes a row for it, or set bench to solder SMT parts by hand",
			"the assembler has no prices")
	}
	some := len(out) > 0
	out = slices.DeleteFunc(out, func(s shop) bool { return ruledOutShop(m, &s) })
	if some && len(out) == 0 && set == "" {
		m.problems.Warnf(m.prices.SettingPlace("Assembler"), "", "a later day, or bench in the setting Assembler", "every assembler is ruled out, so SMT parts are hand work")
	}
	return out
}

// ruledOutShop tells whether the rules leave an assembler out, which is a complaint where
// it is the one that is set.
func ruledOutShop(m *Model, s *shop) bool {
	why := m.supply.ruledOut[s.supplier]
	if why != "" && m.prices.Settings.Assembler != "" {
		m.problems.Errorf(m.prices.SettingPlace("Assembler"), m.prices.Settings.Assembler, "another assembler, or bench", "the assembler is ruled out: %s", why)
	}
	return why != ""
}

// quote adds a tier to the quotes for a board.
func (s *shop) quote(board int, q *bom.AssemblyQuote) {
	i := slices.IndexFunc(s.quotes[board], func(g *quoted) bool { return g.included == q.Included && g.handFit == q.HandFit })
	if i < 0 {
		i = len(s.quotes[board])
		s.quotes[board] = append(s.quotes[board], &quoted{included: q.Included, handFit: q.HandFit})
	}
	g := s.quotes[board][i]
	g.tiers = append(g.tiers, q)
	slices.SortFunc(g.tiers, func(a, b *bom.AssemblyQuote) int { return int(a.From - b.From) })
}

// makings lists what an assembler offers: for each layout of panels, with and without its
// fitting the through-hole parts, each board at its rates or at each of its quotes.
func (s *shop) makings(m *Model, layouts [][]int) (out []making) {
	for _, fitted := range fittings(m) {
		for _, panel := range layouts {
			of := []making{{assembler: s.supplier, asks: s.asks, fitted: fitted, panel: panel, quotes: make([]*quoted, len(m.boards))}}
			for board := range m.boards {
				of = s.populate(m, of, board)
			}
			if out = append(out, of...); len(out) > mostMakings {
				return out
			}
		}
	}
	return out
}

// populate has a board of each making populated in every way that the assembler offers.
func (s *shop) populate(m *Model, of []making, board int) (out []making) {
	for _, mk := range of {
		if !mk.populates(m, board) {
			out = append(out, mk)
			continue
		}
		byHand := mk.fitted && m.boards[board].HandParts > 0
		canFit := s.asks != nil && s.asks.PerHandJoint.Valid
		if s.asks != nil && (!byHand || canFit) {
			out = append(out, mk)
		}
		for _, q := range s.quotes[board] {
			if q.handFit && !mk.fitted && m.boards[board].HandParts > 0 || byHand && !q.handFit && !canFit {
				continue
			}
			with := mk
			with.quotes = slices.Clone(mk.quotes)
			with.quotes[board] = q
			out = append(out, with)
		}
	}
	return out[:min(len(out), mostMakings+1)]
}

// fittings are the choices of who fits through-hole parts, the bench first.
func fittings(m *Model) []bool {
	some := slices.ContainsFunc(m.boards, func(b Board) bool { return b.HandParts > 0 })
	at := m.prices.Settings.ThroughHole
	some = some && slices.ContainsFunc(m.products, func(p product) bool { return p.fitted(at) })
	switch {
	case !some:
	case at == bom.FitAssembler:
		return []bool{true}
	case at == bom.FitCheapest:
		return []bool{false, true}
	}
	return []bool{false}
}

// tellWhoFits tells where through-hole parts are to be fitted by an assembler and there is
// none.
func tellWhoFits(m *Model) {
	const setting = "Through-hole at"
	s := &m.prices.Settings
	switch {
	case s.ThroughHole != bom.FitAssembler || !slices.ContainsFunc(m.products, func(p product) bool { return p.fitted(s.ThroughHole) }) || !slices.ContainsFunc(m.boards, func(b Board) bool { return b.HandParts > 0 }):
	case s.Assembler == bom.AtBench:
		m.problems.Warnf(m.prices.SettingPlace(setting), string(s.ThroughHole), "bench here, or another Assembler", "the Assembler is bench, so through-hole parts are hand work too")
	case len(m.prices.Assemblers)+len(m.prices.AssemblyQuotes) == 0:
		m.problems.Errorf(m.prices.SettingPlace(setting), string(s.ThroughHole), "bench, or a row in the tab assembly", "no assembler is known that fits through-hole parts")
	}
}

// complainOfShops tells what keeps the assemblers from making the boards: an error where
// one is set, else SMT parts are hand work.
func complainOfShops(m *Model, shops []shop) {
	var lacks []string
	for _, s := range bom.Refs(shops) {
		for board, b := range bom.Refs(m.boards) {
			if len(b.Holds) > 0 || b.Placements == 0 && b.HandParts == 0 {
				continue
			}
			switch {
			case b.Placements > 0 && s.asks == nil && len(s.quotes[board]) == 0:
				lacks = append(lacks, fmt.Sprintf("%s for %s", s.name, b.Name))
			case s.asks == nil || !s.asks.PerHandJoint.Valid:
				lacks = append(lacks, fmt.Sprintf("%s for the through-hole parts of %s", s.name, b.Name))
			}
		}
	}
	want := "give it rates in the tab assembly, or quotes for each board in the tab assembly quotes"
	what := "no prices of " + strings.Join(lacks, ", ")
	at := m.prices.SettingPlace("Assembler")
	if m.prices.Settings.Assembler != "" || m.prices.Settings.ThroughHole == bom.FitAssembler {
		m.problems.Errorf(at, m.prices.Settings.Assembler, want, "%s", what)
		return
	}
	m.problems.Warnf(at, "", want, "%s, so SMT parts are hand work", what)
}

// prepareWays makes a model of each making where there are several.
func prepareWays(m *Model) {
	if m.problems.Failed() {
		return
	}
	if len(m.makings) == 1 {
		prepareBuying(m)
		return
	}
	cheapestPieces(m)
	ways := make([]*Model, len(m.makings))
	for i, mk := range m.makings {
		ways[i] = m.as(mk)
		m.problems = append(m.problems, ways[i].problems...)
		if m.problems.Failed() {
			return
		}
	}
	m.ways = ways
}

// as is the model for another of its makings.
func (m *Model) as(mk making) *Model {
	out := *m
	out.making, out.ways, out.spare, out.problems = mk, nil, nil, nil
	out.parts = slices.Clone(m.parts)
	markSent(&out)
	findAllowances(&out)
	out.work = nil
	prepareWork(&out)
	lineWork(&out)
	swapWork(&out)
	prepareBuying(&out)
	return &out
}

// cheapestPieces notes what a piece of each part costs where that is least.
func cheapestPieces(m *Model) {
	for i := range m.parts {
		if least := m.parts[i].leastEach(m); !math.IsInf(least, 1) {
			m.parts[i].cheapest = least
		}
	}
}
