package cost_test

import (
	"cmp"
	"fmt"
	"maps"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// Whether the boards are made in the cheapest way: on small runs by trying all
// assemblers, panels, quotes, fabricators and offers.

// workValue is what hand work comes to, paid or not.
func (k *reckoning) workValue() int64 {
	l := &ledger{reckoning: k, orders: map[string]reckOrder{}, categories: map[string]reckAmounts{}, out: newFigures(), ties: newFigures()}
	l.bench()
	return l.categories["labour"].used
}

// lotsOf gives the cheapest lots for a board or panel from each fabricator: the least
// money before rounding, then the fewest boards over, then the fewest lots.
func (k *reckoning) lotsOf(b *reckBoard) (list [][]reckPurchase) {
	if b.bought == 0 {
		return [][]reckPurchase{nil}
	}
	exact := func(way []reckPurchase) (money, held *big.Rat, lots int64) {
		money, held = new(big.Rat), new(big.Rat)
		for _, p := range way {
			for _, q := range k.quotes {
				if q.board == b.name && orElse(q.fabricator, k.settings["Board fabricator"]) == p.supplier && rat(q.lot).Cmp(p.pieces) == 0 {
					money = plus(money, times(times(ratOf(p.quantity), rat(q.price)), k.rate(p.currency)))
				}
			}
			held, lots = plus(held, times(ratOf(p.quantity), p.pieces)), lots+p.quantity
		}
		return money, held, lots
	}
	makers := map[string]bool{}
	for _, q := range k.quotes {
		if maker := orElse(q.fabricator, k.settings["Board fabricator"]); q.board == b.name && (k.settings["Board fabricator"] == "" || maker == k.settings["Board fabricator"]) {
			makers[maker] = true
		}
	}
	for _, maker := range sortedKeys(makers) {
		if ways := k.quotedBy(b, maker, ""); len(ways) > 0 {
			list = append(list, slices.MinFunc(ways, func(x, y []reckPurchase) int {
				mx, hx, nx := exact(x)
				my, hy, ny := exact(y)
				return cmp.Or(mx.Cmp(my), hx.Cmp(hy), cmp.Compare(nx, ny))
			}))
		}
	}
	return list
}

// leastOf is the least landed cash of a making with its hand work; ok is false where it
// cannot be bought whole.
func (j *job) leastOf(m reckMaking) (sum int64, ok bool) {
	k := &reckoning{job: j, making: &m}
	k.count()
	if !k.canBuyAll() {
		return 0, false
	}
	boards := [][]reckPurchase{nil}
	for _, b := range k.bareThings() {
		var next [][]reckPurchase
		for _, had := range boards {
			for _, way := range k.lotsOf(b) {
				next = append(next, slices.Concat(had, way))
			}
		}
		boards = next
	}
	for _, bought := range boards {
		if landed, _ := newTries(k, bought).least(); !ok || landed < sum {
			sum, ok = landed, true
		}
	}
	return sum + k.workValue(), ok
}

// makeSmallWays draws a job with few parts and offers whose boards may be made in many ways.
func makeSmallWays(seed uint64) *job {
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 37))}
	m.j = &job{home: pick(m, "EUR", "JPY", "KWD"), level: pick(m, "built", "built", "built", "kit"), size: 1 + m.IntN(4)}
	j := m.j
	m.settle()
	j.settings["Unit yield %"] = "100"
	if m.chance(60) {
		delete(j.settings, "Board fabricator")
	}
	j.settings["Through-hole at"] = pick(m, "cheapest", "cheapest", "cheapest", "assembler", "bench")
	m.partners()
	m.Shuffle(len(j.assemblers), func(a, b int) { j.assemblers[a], j.assemblers[b] = j.assemblers[b], j.assemblers[a] })
	j.assemblers = j.assemblers[:1+m.IntN(2)]
	m.smallBoards()
	for i := range j.assemblers {
		a := &j.assemblers[i]
		money := orElse(a.currency, j.supplier(a.name).currency)
		a.setUp, a.stencil, a.minimum = m.price(6, money), m.maybe(40, m.price(3, money)), ""
		a.perBoard, a.perHandJoint = m.maybe(40, m.price(0.5, money)), m.maybe(70, m.price(0.3, money))
	}
	for _, name := range jobPlacers {
		for _, board := range []string{"PCB", "SIDE", "PANEL-A", "PANEL-B"} {
			if m.chance(40) {
				m.tiers(name, board)
			}
		}
	}
	delete(j.settings, "Assembler")
	if m.chance(25) {
		j.settings["Assembler"] = pick(m, append([]string{"bench"}, jobPlacers...)...)
	}
	m.needsPrices()
	for _, to := range []string{"smt", "tht"} {
		j.work = append(j.work, jobWork{operation: "solder " + to, appliesTo: to, basis: "joint", seconds: pick(m, "9", "45", "180")})
	}
	m.customs(30)
	return j
}

// smallBoards draws one board or two, and panels of them.
func (m *maker) smallBoards() {
	j := m.j
	part := func(offers int) string {
		name := m.name("PART")
		for range offers {
			m.smallOffer(name)
		}
		return name
	}
	chip := part(1 + m.IntN(2))
	row := func(part, mount string) *jobRow {
		return &jobRow{part: part, kind: "part", mount: mount, joints: "2", quantity: strconv.Itoa(1 + m.IntN(2))}
	}
	j.unit = &jobList{file: "unit.csv"}
	board := func(name string, rows ...*jobRow) {
		j.unit.rows = append(j.unit.rows, &jobRow{part: name, kind: "board", quantity: pick(m, "1", "2"), sub: &jobList{file: strings.ToLower(name) + ".csv", rows: rows}})
		m.smallLots(name)
	}
	rows := []*jobRow{row(chip, "SMT")}
	if m.chance(70) {
		rows = append(rows, row(part(1), "THT"))
	}
	board("PCB", rows...)
	two := m.chance(50)
	if two {
		board("SIDE", row(chip, "SMT"))
	}
	if m.chance(60) {
		j.panels = append(j.panels, jobPanel{panel: "PANEL-A", board: "PCB", per: pick(m, "2", "3"), xOuts: m.maybe(30, "1")})
		m.smallLots("PANEL-A")
	}
	if two && m.chance(60) {
		j.panels = append(j.panels, jobPanel{panel: "PANEL-B", board: "PCB", per: "1"}, jobPanel{panel: "PANEL-B", board: "SIDE", per: pick(m, "1", "2")})
		m.smallLots("PANEL-B")
	}
}

// smallLots draws lots of one fabricator or two.
func (m *maker) smallLots(board string) {
	for _, maker := range jobMakers[m.IntN(2):] {
		if set := m.j.settings["Board fabricator"]; set != "" {
			maker = set
		}
		if slices.ContainsFunc(m.j.quotes, func(q jobQuote) bool { return q.board == board && q.fabricator == maker }) {
			continue
		}
		for _, lot := range [][]string{{"10"}, {"4", "10"}, {"3"}}[m.IntN(3)] {
			m.j.quotes = append(m.j.quotes, jobQuote{board: board, fabricator: maker, lot: lot, price: m.price(2+0.5*float64(atoi(lot, 0)), m.j.supplier(maker).currency)})
		}
	}
}

// bestLike is the least of the makings that differ from the batch's as another way does: in
// the assembler; else in who fits the through-hole parts; else in the panels.
func bestLike(x cost.OtherMaking, taken reckMaking, all []reckMaking, sums map[string]int64) (best int64) {
	best = -1
	for _, m := range all {
		like := m.assembler == x.Assembler
		if x.Assembler == taken.assembler {
			like = like && m.fitted == x.Fitted
		}
		if x.Assembler == taken.assembler && x.Fitted == taken.fitted {
			like = like && !maps.Equal(m.on, taken.on)
		}
		if sum, ok := sums[m.String()]; ok && like && (best < 0 || sum < best) {
			best = sum
		}
	}
	return best
}

// TestCheapestMaking tries all ways to make and buy small runs, until so many of them were
// decided. A plan of the program that lies beyond what is tried may be cheaper, and decides
// nothing; none may be dearer.
func TestCheapestMaking(t *testing.T) {
	jobs := checks.Runs(500)
	decided, others, same, chosen := 0, 0, 0, map[string]int{}
	for seed := 0; decided < jobs && seed < 2*jobs; seed++ {
		j := makeSmallWays(uint64(seed))
		all := j.makings()
		sums := map[string]int64{}
		least, way := int64(-1), ""
		for _, m := range all {
			if sum, ok := j.leastOf(m); ok {
				if sums[m.String()] = sum; least < 0 || sum < least {
					least, way = sum, m.String()
				}
			}
		}
		run := j.run(t)
		run.Effort = 0 // small enough to be proven
		e, problems := cost.Compute(run)
		if problems.Failed() || !e.Complete {
			if least >= 0 {
				t.Errorf("job %d: the program refuses: %s; %d are enough %s\n%s", seed, said(problems), least, way, j)
			}
			continue
		}
		b := e.Batches[0]
		sum := inMinor(b.Landed, isoDigits[j.home])
		for _, w := range b.Work {
			sum += inMinor(w.Cash.Add(w.Own), isoDigits[j.home])
		}
		k := &reckoning{job: j, making: j.makingOf(e, b)}
		k.count()
		bought, faults := k.purchasesOf(b)
		within := withinTries(bought)
		if within {
			decided++
			chosen[fmt.Sprint(len(all) > 1, b.Fitted, len(k.making.on) > 0, len(k.making.quotes) > 0)]++
		}
		if len(faults) > 0 || least >= 0 && sum > least || within && sum != least || !b.Proven {
			t.Errorf("job %d: the program comes to %d (proven: %v) %s; the least of all is %d %s\n%s\n%s",
				seed, sum, b.Proven, k.making, least, way, strings.Join(faults, "\n"), j)
		}
		for _, x := range b.Others {
			best, more := bestLike(x, *k.making, all, sums), sum+inMinor(x.More, isoDigits[j.home])
			if best < 0 {
				continue // it cannot be bought, or not within what is tried
			}
			if others++; best == more {
				same++
			}
			if x.Unpriced || more > best || within && x.More.IsNegative() {
				t.Errorf("job %d: another way, %+v, comes to %d; the best of its kind to %d\n%s", seed, x, more, best, j)
			}
		}
	}
	if decided < jobs || jobs >= 25 && (len(chosen) < 6 || same < others/2 || others == 0) {
		t.Errorf("%d of %d runs were decided, of these kinds: %v; %d of %d other ways came to the same", decided, jobs, chosen, same, others)
	}
	t.Log(decided, chosen, same, others)
}
