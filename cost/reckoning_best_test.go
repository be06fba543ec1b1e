package cost_test

import (
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// Whether the purchases are the cheapest: on small runs by trying all
// there are, on large ones by changing one thing at a time.

// orderState is what an order's charges depend on.
type orderState struct {
	goods   int64
	own     int64 // minor units of the supplier's currency
	consign int64
	open    bool
	sent    int64
	dutied  int64
	byDuty  int64 // hundredths of a per cent
	heads   string
}

// heading notes a line.
func (s *orderState) heading(heading, duty string, cash int64) {
	if heads := strings.Split(s.heads, "|"); !s.open || !slices.Contains(heads, heading) {
		if !s.open {
			heads = nil
		}
		heads = append(heads, heading)
		slices.Sort(heads)
		s.heads = strings.Join(heads, "|")
	}
	s.open = true
	if duty != "" {
		s.dutied += cash
		s.byDuty += cash * halfUp(times(share(duty, "0"), ratOf(10000)))
	}
}

type choice struct {
	lines []reckPurchase
	own   []int64 // of each line, in its supplier's currency
}

// tries finds the least landed cash over all choices.
type tries struct {
	k       *reckoning
	names   []string // of suppliers
	base    []orderState
	parts   []*reckPart
	choices [][]choice
	memo    []map[orderState]int64
}

// most bounds the order units that are tried.
const most = 24

// newTries takes bare boards and fees as they are.
func newTries(k *reckoning, bought []reckPurchase) *tries {
	fixed := slices.DeleteFunc(slices.Clone(bought), func(p reckPurchase) bool { return p.kind == cost.Goods })
	x := &tries{k: k}
	l := &ledger{reckoning: k, purchases: fixed, orders: map[string]reckOrder{}, categories: map[string]reckAmounts{}, out: newFigures()}
	for _, p := range fixed {
		l.buy(p)
	}
	l.assembly()
	sent := k.sentTo(k.assembler().name, fixed)
	for _, o := range k.offers {
		if _, ok := l.orders[o.supplier]; !ok {
			l.orders[o.supplier] = reckOrder{own: new(big.Rat), goods: -1}
		}
	}
	for _, name := range sortedKeys(l.orders) {
		o := l.orders[name]
		x.names, x.memo = append(x.names, name), append(x.memo, map[orderState]int64{})
		s := orderState{goods: o.goods, own: minorOf(o.own, k.supplier(name).currency), open: true}
		if o.goods < 0 {
			s = orderState{}
		}
		if name == k.assembler().name {
			s.sent = sent
		}
		x.base = append(x.base, s)
	}
	for _, p := range k.parts {
		x.parts, x.choices = append(x.parts, p), append(x.choices, k.choicesOf(p))
	}
	return x
}

// choicesOf lists the ways to buy one part: from one offer in any quantity, and
// from several.
func (k *reckoning) choicesOf(p *reckPart) []choice {
	if p.choices == nil {
		p.choices = k.listChoices(p)
	}
	return p.choices
}

func (k *reckoning) listChoices(p *reckPart) (list []choice) {
	if p.demand.Sign() == 0 {
		return []choice{{}}
	}
	var grow func(i int, lines []reckPurchase, pieces *big.Rat)
	grow = func(i int, lines []reckPurchase, pieces *big.Rat) {
		if i == len(k.offers) {
			if pieces.Cmp(p.demand) >= 0 {
				c := choice{lines: append([]reckPurchase(nil), lines...)}
				for _, b := range lines {
					to := k.supplier(b.supplier).currency
					c.own = append(c.own, minorOf(k.ownOf(b.supplier, b), to))
				}
				list = append(list, c)
			}
			return
		}
		grow(i+1, lines, pieces)
		o := &k.offers[i]
		if o.part != p.key || len(lines) == 2 {
			return
		}
		for q := int64(1); q <= most; q++ {
			if o.allows(q) {
				b := k.ordered(o, q)
				grow(i+1, append(lines, b), plus(pieces, times(ratOf(q), b.pieces)))
			}
		}
	}
	grow(0, nil, new(big.Rat))
	return list
}

// least is the least landed cash, and what is bought for it.
func (x *tries) least() (best int64, lines []reckPurchase) {
	best = -1
	state := append([]orderState(nil), x.base...)
	var chosen []reckPurchase
	var step func(i int)
	step = func(i int) {
		if i == len(x.parts) {
			if sum := x.sum(state); best < 0 || sum < best {
				best, lines = sum, append([]reckPurchase(nil), chosen...)
			}
			return
		}
		for _, c := range x.choices[i] {
			before := append([]orderState(nil), state...)
			x.take(state, x.parts[i], c)
			chosen = append(chosen, c.lines...)
			step(i + 1)
			chosen = chosen[:len(chosen)-len(c.lines)]
			copy(state, before)
		}
	}
	step(0)
	return best, lines
}

func (x *tries) take(state []orderState, p *reckPart, c choice) {
	sold := len(c.lines) > 0
	placer := x.k.assembler().name
	for n, b := range c.lines {
		for i, name := range x.names {
			if name == b.supplier {
				state[i].goods += b.cash
				state[i].own += c.own[n]
				state[i].heading(b.heading, b.duty, b.cash)
			}
			if name == placer && p.machine && b.supplier != placer && x.k.supplier(placer).sent == "yes" {
				state[i].sent += b.cash
			}
		}
		sold = sold && b.supplier == placer
	}
	for i, name := range x.names {
		if name == placer && p.machine && (p.onHand.Sign() > 0 || !sold) {
			state[i].consign++
		}
	}
}

func (x *tries) sum(state []orderState) (sum int64) {
	for i, s := range state {
		if !s.open {
			continue
		}
		charge, ok := x.memo[i][s]
		if !ok {
			sup := x.k.supplier(x.names[i])
			o := x.k.closed(x.names[i], reckOrder{goods: s.goods, own: majorOf(s.own, sup.currency), consign: s.consign * x.k.toHome(rat(sup.consign), sup.currency),
				sent: s.sent, dutied: s.dutied, byDuty: over(ratOf(s.byDuty), ratOf(10000)), heads: headsOf(s.heads)})
			charge = x.k.landed(o)
			x.memo[i][s] = charge
		}
		sum += charge
	}
	return sum
}

func headsOf(text string) map[string]bool {
	out := map[string]bool{}
	for _, h := range strings.Split(text, "|") {
		out[h] = true
	}
	return out
}

// makeSmall draws a job with few parts and offers, in which charges weigh about
// as much as goods.
func makeSmall(seed uint64) *job {
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 23))}
	m.j = &job{home: pick(m, "EUR", "JPY", "KWD"), level: "built", size: 1 + m.IntN(3)}
	m.settle()
	m.j.settings["Unit yield %"] = "100"
	m.partners()
	m.j.unit = &jobList{file: "unit.csv"}
	parts := 1 + m.IntN(3)
	small := func() string {
		part := m.name("PART")
		for range 1 + m.IntN(4-parts) {
			m.smallOffer(part)
		}
		return part
	}
	for range parts - 1 {
		m.j.unit.rows = append(m.j.unit.rows, &jobRow{part: small(), kind: "other", quantity: strconv.Itoa(1 + m.IntN(3))})
	}
	b := &jobRow{part: "PCB", kind: "board", quantity: "1", sub: &jobList{file: "pcb.csv"}}
	b.sub.rows = append(b.sub.rows, &jobRow{part: small(), kind: "part", mount: "SMT", joints: "2", quantity: strconv.Itoa(1 + m.IntN(3))})
	m.j.unit.rows = append(m.j.unit.rows, b)
	fab := orElse(m.j.settings["Board fabricator"], pick(m, jobMakers...))
	m.j.quotes = []jobQuote{{board: "PCB", fabricator: fab, lot: "50", price: m.price(9, m.j.supplier(fab).currency)}}
	m.sell()
	m.customs(60)
	return m.j
}

func (m *maker) smallOffer(part string) {
	o := jobOffer{part: part, supplier: pick(m, "Corner Parts", "Far Parts", "Panel House"), code: m.name("c"), multiple: m.maybe(30, "2", "3"), moq: m.maybe(30, "2", "5"),
		stock: m.maybe(30, "4", "7", "12"), pieces: m.maybe(20, "2", "5")}
	c := m.j.supplier(o.supplier).currency
	from, value := atoi(o.moq, 1), pick(m, 0.8, 3, 9)
	for range 1 + m.IntN(3) {
		o.from, o.price = append(o.from, strconv.FormatInt(from, 10)), append(o.price, m.price(value, c))
		from, value = from+int64(1+m.IntN(8)), value*pick(m, 0.8, 0.5, 1)
	}
	m.j.offers = append(m.j.offers, o)
}

// TestCheapestPlan tries all purchases of small runs. A plan of the program that
// lies beyond what is tried may be cheaper; no plan may be dearer.
func TestCheapestPlan(t *testing.T) {
	jobs := checks.Runs(2_000)
	tried := 0
	for seed := range jobs {
		j := makeSmall(uint64(seed))
		run := j.run(t)
		run.Effort = 0 // small enough to be proven
		e, problems := cost.Compute(run)
		k := &reckoning{job: j}
		k.count()
		if problems.Failed() || !e.Complete {
			if k.canBuyAll() {
				t.Errorf("job %d: the program refuses: %s\n%s", seed, said(problems), j)
			}
			continue
		}
		b := e.Batches[0]
		bought, faults := k.purchasesOf(b)
		best, lines := newTries(k, bought).least()
		landed := inMinor(b.Landed, isoDigits[j.home])
		within := withinTries(bought)
		if within {
			tried++
		}
		if len(faults) > 0 || landed > best || within && landed < best || !b.Proven {
			t.Errorf("job %d: the program pays %d (proven: %v) for %v; the least of all is %d for %v\n%s\n%s",
				seed, landed, b.Proven, bought, best, lines, strings.Join(faults, "\n"), j)
		}
	}
	if tried < jobs/2 {
		t.Errorf("only %d of %d runs were decided", tried, jobs)
	}
}

func (k *reckoning) canBuyAll() bool {
	for _, p := range k.parts {
		if len(k.choicesOf(p)) == 0 {
			return false
		}
	}
	return true
}

// withinTries tells whether a plan is one of those that are tried.
func withinTries(bought []reckPurchase) bool {
	offers := map[string]int{}
	for _, p := range bought {
		if p.kind == cost.Goods {
			if offers[p.key]++; p.quantity > most || offers[p.key] > 2 {
				return false
			}
		}
	}
	return true
}
