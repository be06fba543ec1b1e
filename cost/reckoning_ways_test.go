package cost_test

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"tenoff/cost"
)

// How the boards of a run are made (README, Sums: who makes the boards). Like the purchases it is a
// choice; everything else follows from it.

// reckMaking is one way to have the boards made.
type reckMaking struct {
	assembler string               // empty: SMT parts are hand work
	fitted    bool                 // the assembler fits the through-hole parts
	on        map[string]string    // board -> the panel that it is made on
	quotes    map[string]reckQuote // board or panel -> by which quote it is populated; none: by rates
}

// reckQuote names a quote of an assembler for a board or panel.
type reckQuote struct{ included, handFit bool }

func (m reckMaking) String() string {
	return fmt.Sprintf("by %q, fitted %v, on %v, quotes %v", m.assembler, m.fitted, m.on, m.quotes)
}

func (m reckMaking) equal(n reckMaking) bool {
	return m.assembler == n.assembler && m.fitted == n.fitted && maps.Equal(m.on, n.on) && maps.Equal(m.quotes, n.quotes)
}

// reckHeld are the boards of one type on a panel: what is not marked as bad.
type reckHeld struct {
	board *reckBoard
	good  int64
}

// onlyMaking is that of a job that leaves no choice: the assembler that is set, boards made
// singly, at the assembler's rates.
func (k *reckoning) onlyMaking() *reckMaking {
	m := &reckMaking{assembler: k.settings["Assembler"]}
	if m.assembler == "bench" {
		m.assembler = ""
	}
	return m
}

// fit counts a through-hole part of a board.
func (b *reckBoard) fit(item *reckItem, q *big.Rat) {
	b.items, b.onBoard = append(b.items, item), append(b.onBoard, q)
	b.handParts, b.handJoints = b.handParts+1, plus(orZero(b.handJoints), times(q, ratOf(jointsOf(item.row))))
}

// heldOn are the boards that a thing to be populated holds: itself, or those on a panel.
func (b *reckBoard) heldOn() []reckHeld {
	if len(b.holds) == 0 {
		return []reckHeld{{b, 1}}
	}
	return b.holds
}

// byHand tells whether there are through-hole parts on it.
func (b *reckBoard) byHand() bool {
	return slices.ContainsFunc(b.heldOn(), func(h reckHeld) bool { return h.board.handParts > 0 })
}

func (b *reckBoard) byMachine() bool {
	return slices.ContainsFunc(b.heldOn(), func(h reckHeld) bool { return h.board.placements.Sign() > 0 })
}

// layPanels makes whole panels of the boards that stand on some: as many as the type
// that takes the most of them, and all their good positions are populated.
func (k *reckoning) layPanels() {
	for _, p := range k.panels {
		b := k.panel(p.panel)
		if b == nil {
			if _, made := k.usedPanels()[p.panel]; !made {
				continue
			}
			b = &reckBoard{name: p.panel, placements: new(big.Rat), joints: new(big.Rat)}
			k.made = append(k.made, b)
		}
		held, _ := k.boardOf(p.board)
		b.holds = append(b.holds, reckHeld{held, atoi(p.per, 0) - atoi(p.xOuts, 0)})
	}
	for _, b := range k.made {
		for _, h := range b.holds {
			b.starts = max(b.starts, ceil(over(ratOf(h.board.starts), ratOf(h.good))))
		}
		for _, h := range b.holds {
			h.board.starts, h.board.onHand, h.board.bought = b.starts*h.good, 0, 0
		}
		b.onHand = ceil(minRat(k.inDrawer(b.name), ratOf(b.starts)))
		b.bought = b.starts - b.onHand
	}
}

func (k *reckoning) usedPanels() map[string]bool {
	out := map[string]bool{}
	for _, p := range k.making.on {
		out[p] = true
	}
	return out
}

func (k *reckoning) panel(name string) *reckBoard {
	for _, b := range k.made {
		if b.name == name {
			return b
		}
	}
	return nil
}

// bareThings are what bare boards are bought as: boards that are made singly, and panels.
func (k *reckoning) bareThings() (out []*reckBoard) {
	for _, b := range k.boards {
		if k.making.on[b.name] == "" {
			out = append(out, b)
		}
	}
	return append(out, k.made...)
}

// populated are those that go to the assembler.
func (k *reckoning) populated() (out []*reckBoard) {
	for _, b := range k.bareThings() {
		if k.making.assembler != "" && (b.byMachine() || k.making.fitted && b.byHand()) {
			out = append(out, b)
		}
	}
	return out
}

// provided tells whether the assembler's price holds a part that it puts on a board.
func (k *reckoning) provided(item *reckItem) bool {
	name := item.onBoard.name
	if on := k.making.on[name]; on != "" {
		name = on
	}
	q, quoted := k.making.quotes[name]
	return quoted && q.included && (item.machine || q.handFit)
}

// tiersOf are the rows of a quote of the assembler for a board or panel.
func (k *reckoning) tiersOf(name string, q reckQuote) (rows []jobTier) {
	for _, r := range k.tiers {
		if r.assembler == k.making.assembler && r.board == name && (reckQuote{r.parts == "included", r.handFit == "yes"}) == q {
			rows = append(rows, r)
		}
	}
	return rows
}

// quotedFee is a quote: the set-up that one of its rows gives, and the price of the
// highest From that is reached for each, or that of a larger number where it costs less.
func (k *reckoning) quotedFee(b *reckBoard, q reckQuote) (fee *big.Rat, currency string) {
	tiers := k.tiersOf(b.name, q)
	setUp, holds := new(big.Rat), int64(0)
	for _, r := range tiers {
		setUp = maxRat(setUp, rat(r.setUp))
		if from := atoi(r.from, 1); from <= b.starts {
			holds = max(holds, from)
		}
	}
	for _, r := range tiers {
		if from := atoi(r.from, 1); from >= holds {
			price := times(rat(r.each), ratOf(max(from, b.starts)))
			if fee == nil || price.Cmp(fee) < 0 {
				fee = price
			}
		}
	}
	return plus(fee, setUp), orElse(tiers[0].currency, k.supplier(k.making.assembler).currency)
}

// handFee is what fitting through-hole parts costs by rates.
func (k *reckoning) handFee(b *reckBoard) *big.Rat {
	a, fee := k.assembler(), new(big.Rat)
	for _, h := range b.heldOn() {
		if h.board.handParts > 0 {
			fee = plus(fee, times(rat(a.perHandJoint), times(h.board.handJoints, ratOf(h.board.starts))))
		}
	}
	return plus(fee, rat(a.handSetUp))
}

// ratedFee is what a board type or panel costs by rates.
func (k *reckoning) ratedFee(b *reckBoard) *big.Rat {
	a := k.assembler()
	fee, sides, numbers := new(big.Rat), map[string]bool{}, map[string]bool{}
	for _, h := range b.heldOn() {
		n := ratOf(h.board.starts)
		fee = plus(fee, times(rat(a.perPlacement), times(h.board.placements, n)))
		fee = plus(fee, times(rat(a.perJoint), times(h.board.joints, n)))
		fee = plus(fee, times(rat(a.perBoard), n))
		maps.Copy(sides, h.board.sides)
		maps.Copy(numbers, h.board.numbers)
	}
	if b.byMachine() {
		fee = plus(fee, rat(a.setUp))
		if a.kept != "yes" {
			fee = plus(fee, times(rat(a.stencil), ratOf(int64(len(sides)))))
		}
		if len(sides) == 2 {
			fee = plus(fee, rat(a.secondSide))
		}
		fee = plus(fee, times(rat(a.perLine), ratOf(int64(len(numbers)))))
	}
	if k.making.fitted && b.byHand() {
		fee = plus(fee, k.handFee(b))
	}
	return maxRat(fee, rat(a.minimum))
}

// assembly is what populating the boards costs.
func (l *ledger) assembly() {
	a := l.assembler()
	pay := func(b *reckBoard, fee *big.Rat, currency string) {
		own, cash := minorOf(fee, currency), l.toHome(fee, currency)
		l.order(a.name, own, currency, cash)
		l.out.add(cash, "fee SMT assembly to %s", a.name)
		l.enter("SMT assembly", b.name, a.name, spentInFull(cash))
	}
	for _, b := range l.populated() {
		q, quoted := l.making.quotes[b.name]
		if !quoted {
			pay(b, l.ratedFee(b), a.currency)
			continue
		}
		fee, currency := l.quotedFee(b, q)
		if l.making.fitted && b.byHand() && !q.handFit {
			if currency != a.currency {
				pay(b, l.handFee(b), a.currency)
			} else {
				fee = plus(fee, l.handFee(b))
			}
		}
		pay(b, fee, currency)
	}
}

// makings lists every way to have the boards made that the job leaves open.
func (j *job) makings() (out []reckMaking) {
	all := &reckoning{job: j, making: &reckMaking{assembler: "anybody", fitted: j.level != "board"}}
	all.count()
	byHand := map[string]bool{}
	for _, b := range all.boards {
		if b.byHand() {
			byHand[b.name] = true
		}
	}
	some := len(byHand) > 0
	for _, p := range j.panels {
		if byHand[p.board] {
			byHand[p.panel] = true
		}
	}
	fits := []bool{false}
	switch who := j.settings["Through-hole at"]; {
	case !some:
	case who == "assembler" && j.level != "board":
		fits = []bool{true}
	case who == "cheapest" && j.level == "built":
		fits = []bool{false, true}
	}
	layouts := all.layouts()
	for _, name := range j.mayPopulate() {
		for _, fitted := range fits {
			for _, on := range layouts {
				k := &reckoning{job: j, making: &reckMaking{assembler: name, fitted: fitted, on: on}}
				k.count()
				out = append(out, k.pricedWays(byHand)...)
			}
		}
	}
	set := j.settings["Assembler"]
	if len(out) == 0 && (set == "bench" || set == "" && slices.Contains(fits, false)) {
		for _, on := range layouts {
			out = append(out, reckMaking{on: on})
		}
	}
	return out
}

// mayPopulate are the assemblers that the setting leaves.
func (j *job) mayPopulate() []string {
	switch set := j.settings["Assembler"]; set {
	case "bench":
		return nil
	case "":
		names := map[string]bool{}
		for _, a := range j.assemblers {
			names[a.name] = true
		}
		for _, r := range j.tiers {
			names[r.assembler] = true
		}
		return sortedKeys(names)
	default:
		return []string{set}
	}
}

// layouts lists the ways to lay the boards of the run on panels, singly among them.
func (k *reckoning) layouts() (out []map[string]string) {
	holds := map[string][]string{}
	for _, p := range k.panels {
		holds[p.panel] = append(holds[p.panel], p.board)
	}
	out = []map[string]string{{}}
	for _, panel := range sortedKeys(holds) {
		ofRun := !slices.ContainsFunc(holds[panel], func(board string) bool {
			return !slices.ContainsFunc(k.boards, func(b *reckBoard) bool { return b.name == board })
		})
		for _, on := range slices.Clone(out) {
			with := maps.Clone(on)
			for _, board := range holds[panel] {
				with[board] = panel
			}
			if ofRun && len(with) == len(on)+len(holds[panel]) {
				out = append(out, with)
			}
		}
	}
	return out
}

// pricedWays lists the ways in which the assembler of a making populates its boards: each
// by rates, or by one of its quotes; those that hold through-hole parts by hand are given.
func (k *reckoning) pricedWays(byHand map[string]bool) []reckMaking {
	a := k.assembler()
	rated := slices.ContainsFunc(k.assemblers, func(r jobAssembler) bool { return r.name == k.making.assembler })
	out := []reckMaking{*k.making}
	if len(k.populated()) == 0 {
		out[0].assembler = "" // there is nothing for it to do
	}
	for _, b := range k.populated() {
		hand := k.making.fitted && b.byHand()
		var next []reckMaking
		for _, m := range out {
			if rated && (!hand || a.perHandJoint != "") {
				next = append(next, m)
			}
			for _, q := range []reckQuote{{false, false}, {false, true}, {true, false}, {true, true}} {
				if len(k.tiersOf(b.name, q)) == 0 || q.handFit && !k.making.fitted && byHand[b.name] || hand && !q.handFit && a.perHandJoint == "" {
					continue
				}
				with := m
				with.quotes = maps.Clone(m.quotes)
				if with.quotes == nil {
					with.quotes = map[string]reckQuote{}
				}
				with.quotes[b.name] = q
				next = append(next, with)
			}
		}
		out = next
	}
	return out
}

// makingOf is the making that the program takes.
func (j *job) makingOf(e *cost.Estimate, b cost.Batch) *reckMaking {
	m := &reckMaking{assembler: b.Assembler, fitted: b.Fitted, on: map[string]string{}, quotes: map[string]reckQuote{}}
	for i, r := range b.Boards {
		if r.Panel > 0 {
			m.on[e.Boards[i].Name] = e.Boards[r.Panel-1].Name
		}
	}
	for _, f := range b.Fees {
		if f.Kind == cost.AssemblyFee && strings.HasSuffix(f.Place.File, "assembly-quotes.csv") {
			row := j.tiers[f.Place.Row-2]
			m.quotes[e.Boards[f.Index].Name] = reckQuote{row.parts == "included", row.handFit == "yes"}
		}
	}
	return m
}
