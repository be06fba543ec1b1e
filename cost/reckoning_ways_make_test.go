package cost_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/fixtures/checks"
)

// makeJobOfWays draws a whole job whose boards may be made in several ways.
func makeJobOfWays(seed uint64, level string) *job {
	j := makeJob(seed, level)
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 31)), j: j, names: 900}
	m.ways()
	return j
}

// anyJob draws a job, every other one with boards that may be made in several ways.
func anyJob(seed uint64, level string) *job {
	if seed%2 == 0 {
		return makeJob(seed, level)
	}
	for n := seed; ; n += 100_000 {
		if j := makeJobOfWays(n, level); len(j.makings()) > 0 {
			return j
		}
	}
}

// ways draws panels, quotes of assemblers, and what is left open.
func (m *maker) ways() {
	j := m.j
	switch {
	case m.chance(50):
		delete(j.settings, "Assembler")
	case m.chance(70):
		j.settings["Assembler"] = pick(m, jobPlacers...)
	}
	if m.chance(70) {
		j.settings["Through-hole at"] = pick(m, "assembler", "cheapest", "cheapest", "bench")
	}
	var boards []string
	for _, q := range j.quotes {
		if !slices.Contains(boards, q.board) {
			boards = append(boards, q.board)
		}
	}
	m.panels(boards)
	for i := range j.assemblers {
		a := &j.assemblers[i]
		money := orElse(a.currency, j.supplier(a.name).currency)
		if m.chance(40) {
			a.perBoard = m.price(0.3, money)
		}
		if m.chance(60) {
			a.perHandJoint = m.price(0.05, money)
			if m.chance(60) {
				a.handSetUp = m.price(6, money)
			}
		}
	}
	for _, p := range j.panels {
		if !slices.Contains(boards, p.panel) {
			boards = append(boards, p.panel)
		}
	}
	for _, name := range jobPlacers {
		for _, board := range boards {
			m.tiers(name, board)
		}
	}
	if m.chance(25) && len(j.assemblers) > 0 { // who has quotes and no rates
		j.assemblers = slices.Delete(j.assemblers, 0, 1)
	}
	m.needsPrices()
}

// needsPrices leaves the setting alone only where who it names has prices.
func (m *maker) needsPrices() {
	j, set := m.j, m.j.settings["Assembler"]
	has := set == "" || set == "bench" || slices.ContainsFunc(j.assemblers, func(a jobAssembler) bool { return a.name == set }) ||
		slices.ContainsFunc(j.tiers, func(r jobTier) bool { return r.assembler == set })
	if !has {
		delete(j.settings, "Assembler")
	}
}

// panels draws up to three panels of the boards.
func (m *maker) panels(boards []string) {
	for range m.IntN(4) {
		if len(boards) == 0 {
			return
		}
		p := jobPanel{panel: m.name("PANEL"), board: pick(m, boards...), per: pick(m, "1", "2", "4", "6"), gap: m.maybe(50, "2", "1.5"), border: m.maybe(50, "5", "7.25")}
		p.across = m.maybe(40, "1", p.per)
		if per := atoi(p.per, 0); per > 1 && m.chance(40) {
			p.xOuts = strconv.FormatInt(1+m.Int64N(per-1), 10)
		}
		other := pick(m, boards...)
		if other != p.board && m.chance(60) {
			p.across, p.gap, p.border = "", "", ""
			m.j.panels = append(m.j.panels, jobPanel{panel: p.panel, board: other, per: pick(m, "1", "2", "3")})
		}
		m.j.panels = append(m.j.panels, p)
		m.quote(p.panel)
		m.sizeless(p.panel, p.board)
		if m.chance(15) {
			m.hold(p.panel, strconv.Itoa(1+m.IntN(4)), 4)
		}
	}
}

// sizeless leaves the size of some panels that are priced by area to that of their board.
func (m *maker) sizeless(panel, board string) {
	one := 0
	for _, p := range m.j.panels {
		if p.panel == panel {
			one++
		}
	}
	sized := slices.ContainsFunc(m.j.quotes, func(q jobQuote) bool { return q.board == board && q.length != "" })
	for i := range m.j.quotes {
		if q := &m.j.quotes[i]; q.board == panel && one == 1 && sized && m.chance(70) {
			q.length, q.width = "", ""
		}
	}
}

// tiers draws a quote of an assembler for a board or panel, sometimes two.
func (m *maker) tiers(name, board string) {
	for m.chance(30) {
		r := jobTier{assembler: name, board: board, parts: m.maybe(50, "sent", "included"), handFit: m.maybe(40, "yes", "no"), currency: m.maybe(20, "EUR", "JPY")}
		same := func(o jobTier) bool {
			return o.assembler == name && o.board == board && (o.parts == "included") == (r.parts == "included") && (o.handFit == "yes") == (r.handFit == "yes")
		}
		if slices.ContainsFunc(m.j.tiers, same) {
			return
		}
		money := orElse(r.currency, m.j.supplier(name).currency)
		setUp := m.maybe(50, m.price(15, money))
		each, from := 3.0, 1+m.Int64N(8)
		for i := range 1 + m.IntN(3) {
			r.from, r.each, r.setUp = strconv.FormatInt(from, 10), m.price(each, money), ""
			if i == 0 || m.chance(50) {
				r.setUp = setUp
			}
			if from == 1 && m.chance(50) {
				r.from = ""
			}
			m.j.tiers = append(m.j.tiers, r)
			each, from = each*pick(m, 0.5, 0.7, 1), from+1+m.Int64N(30)
		}
	}
}

// TestSecondReckoningOfWays holds every figure of runs whose boards may be made in several
// ways against the second reckoning, and how they are made against the rules.
func TestSecondReckoningOfWays(t *testing.T) {
	jobs := checks.Runs(1_000)
	for seed := range jobs {
		for _, level := range []string{"board", "kit", "built"} {
			j := makeJobOfWays(uint64(seed), level)
			allowed := j.makings()
			k, _, _, faults := j.secondLook(t)
			if k != nil && len(k.populated()) == 0 {
				k.making.assembler = ""
			}
			switch {
			case k == nil && len(allowed) == 0:
				continue // an assembler that is set and does not do all
			case k != nil && !slices.ContainsFunc(allowed, k.making.equal):
				faults = append(faults, fmt.Sprintf("the boards are made %s, which is not among %v", k.making, allowed))
			}
			if len(faults) > 0 {
				t.Fatalf("job %d at level %s:\n%s\n%s", seed, level, strings.Join(faults, "\n"), j)
			}
		}
	}
}
