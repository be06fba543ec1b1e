package cost_test

import (
	"fmt"
	"math"
	"math/big"
	"slices"

	"tenoff/cost"
)

// The money of a batch (README, Sums). What to buy is a choice; it comes
// from outside as a list of purchases, and everything else follows from it.

// reckPurchase is one line of an order.
type reckPurchase struct {
	kind, supplier, code, key string
	quantity                  int64
	pieces                    *big.Rat // of one order unit
	own                       int64    // minor units of currency
	currency                  string
	cash                      int64 // with the fee of the line
	fee                       int64 // minor units of currency
	heading, duty             string
	worth                     *big.Rat // of what is left over, as a share of what it cost
}

type reckAmounts struct{ cash, own, stock, used, surplus, reclaim int64 }

func (a reckAmounts) plus(b reckAmounts) reckAmounts {
	return reckAmounts{a.cash + b.cash, a.own + b.own, a.stock + b.stock, a.used + b.used, a.surplus + b.surplus, a.reclaim + b.reclaim}
}

func spentInFull(cash int64) reckAmounts { return reckAmounts{cash: cash, used: cash} }
func ownWork(worth int64) reckAmounts    { return reckAmounts{own: worth, used: worth} }

// reckItemOfCash is one rounded line, which one payer rule decides about.
type reckItemOfCash struct {
	category, part, supplier string
	print                    string // of what is for a printed part, else empty
	giver                    string // of what comes from stock, else empty
	reckAmounts
}

type reckOrder struct {
	goods, delivery, topUp, consign, duty, tax, handling int64
	own                                                  *big.Rat // goods in the supplier's currency

	sent   int64           // what others send to the assembler, where that counts
	dutied int64           // of the goods, those with a duty of their own
	byDuty *big.Rat        // Σ of those × their duty
	heads  map[string]bool // the headings that stand on it; "" for what has none
}

// heading notes a line under a heading, with its own duty where it has one.
func (o *reckOrder) heading(heading, duty string, cash int64) {
	if o.heads == nil {
		o.heads, o.byDuty = map[string]bool{}, new(big.Rat)
	}
	o.heads[heading] = true
	if duty != "" {
		o.dutied += cash
		o.byDuty = plus(o.byDuty, times(ratOf(cash), share(duty, "0")))
	}
}

// landed is what an order costs in all; tax that comes back does not count.
func (k *reckoning) landed(o reckOrder) int64 {
	all := o.goods + o.delivery + o.topUp + o.consign + o.duty + o.handling
	if k.settings["Tax recovered"] != "yes" {
		all += o.tax
	}
	return all
}

// ledger gathers the money of one batch.
type ledger struct {
	*reckoning
	purchases  []reckPurchase
	orders     map[string]reckOrder
	categories map[string]reckAmounts
	items      []reckItemOfCash
	posts      []reckPost
	ties       figures
	out        figures
}

// nearTie tells that a sum of minor units is within a hair of a half.
func nearTie(x *big.Rat) bool {
	f, _ := x.Float64()
	return math.Abs(f-math.Floor(f)-0.5) < 1e-7
}

// reckon works out every figure of a batch, given what is bought. The program's
// own figures decide ties of hours and nothing else.
func (k *reckoning) reckon(purchases []reckPurchase, program figures) figures {
	l := &ledger{reckoning: k, purchases: purchases, orders: map[string]reckOrder{}, categories: map[string]reckAmounts{}, ties: program, out: newFigures()}
	l.out.add(k.starts, "starts")
	for _, p := range purchases {
		l.buy(p)
	}
	l.allBoards()
	l.allParts()
	l.assembly()
	l.printing()
	l.consign()
	l.charges()
	l.bench()
	l.paySwaps()
	l.payOnce()
	l.post()
	l.totals()
	return l.out
}

// enter books money under a category.
func (l *ledger) enter(category, part, supplier string, a reckAmounts) {
	l.borne(reckItemOfCash{category: category, part: part, supplier: supplier, reckAmounts: a})
}

// order adds goods to a supplier's order.
func (l *ledger) order(supplier string, own int64, currency string, cash int64) {
	l.orderLine(supplier, reckPurchase{own: own, currency: currency, cash: cash})
}

func (l *ledger) orderLine(supplier string, p reckPurchase) {
	o, ok := l.orders[supplier]
	if !ok {
		o.own = new(big.Rat)
	}
	o.goods += p.cash
	o.own = plus(o.own, l.ownOf(supplier, p))
	o.heading(p.heading, p.duty, p.cash)
	l.orders[supplier] = o
}

// ownOf is a purchase as the thresholds of its supplier count it: without its fee.
func (k *reckoning) ownOf(supplier string, p reckPurchase) *big.Rat {
	return k.inCurrencyOf(supplier, p.own, p.currency, k.toHome(majorOf(p.own, p.currency), p.currency))
}

// inCurrencyOf is a line of goods as the supplier's thresholds count it: as it
// stands there, or the line's cash turned into the supplier's currency.
func (k *reckoning) inCurrencyOf(supplier string, own int64, currency string, cash int64) *big.Rat {
	to := k.supplier(supplier).currency
	if to == currency {
		return majorOf(own, currency)
	}
	return majorOf(minorOf(over(majorOf(cash, k.home), k.rate(to)), to), to)
}

func (l *ledger) buy(p reckPurchase) {
	l.out.add(p.quantity, "purchase %s %s from %s, %s: quantity", p.kind, p.key, p.supplier, p.code)
	l.out.add(p.own, "purchase %s %s from %s, %s: goods", p.kind, p.key, p.supplier, p.code)
	l.out.add(p.cash, "purchase %s %s from %s, %s: cash", p.kind, p.key, p.supplier, p.code)
	l.orderLine(p.supplier, p)
}

// bought sums the purchases of one thing.
func (l *ledger) bought(kind, key string) (pieces *big.Rat, cash int64) {
	pieces = new(big.Rat)
	for _, p := range l.purchases {
		if p.kind == kind && p.key == key {
			pieces.Add(pieces, times(ratOf(p.quantity), p.pieces))
			cash += p.cash
		}
	}
	return pieces, cash
}

// amounts is what one thing costs, and what is used of each of its purchases: of
// those of a part by themselves, of lots of a board together.
func (l *ledger) amounts(kind, key string, demand, onHand *big.Rat) (a reckAmounts, used []int64) {
	bought, cash := l.bought(kind, key)
	left := func(cash int64) int64 {
		return cash - halfUp(over(times(ratOf(cash), minRat(demand, bought)), bought))
	}
	var all []int64
	var worth *big.Rat
	for _, p := range l.purchases {
		if p.kind == kind && p.key == key {
			worth = p.worth
			all = append(all, p.cash)
			used = append(used, p.cash-halfUp(times(ratOf(left(p.cash)), p.worth)))
		}
	}
	if kind == cost.Lots && len(all) > 1 && cash > 0 {
		plain := apportion(left(cash), ratsOf(all))
		surplus := make([]int64, len(all))
		if left(cash) > 0 {
			surplus = apportion(halfUp(times(ratOf(left(cash)), worth)), ratsOf(plain))
		}
		for i := range used {
			used[i] = all[i] - surplus[i]
		}
	}
	a.cash = cash
	for _, n := range used {
		a.used += n
	}
	a.surplus = cash - a.used
	for _, d := range l.reckoning.fromDrawer(key, onHand) {
		a.stock += d.value
	}
	a.used += a.stock
	return a, used
}

func ratsOf(all []int64) (out []*big.Rat) {
	for _, n := range all {
		out = append(out, ratOf(n))
	}
	return out
}

func (f figures) addAmounts(a reckAmounts, format string, args ...any) {
	what := fmt.Sprintf(format, args...)
	f.add(a.cash, "%s: cash", what)
	f.add(a.used, "%s: consumed", what)
	f.add(a.surplus, "%s: surplus", what)
	f.add(a.stock, "%s: stock", what)
	f.add(a.own, "%s: own", what)
	f.add(a.reclaim, "%s: reclaim", what)
}

func (l *ledger) allBoards() {
	for _, b := range append(slices.Clone(l.boards), l.made...) {
		bought, _ := l.bought(cost.Lots, b.name)
		a, used := l.amounts(cost.Lots, b.name, ratOf(b.bought), ratOf(b.onHand))
		if len(b.holds) == 0 {
			l.out.add(b.perUnit, "board %s: per unit", b.name)
			l.out.add(ceil(b.placements), "board %s: placements", b.name)
			l.out.add(ceil(b.joints), "board %s: joints", b.name)
			l.out.add(int64(len(b.numbers)), "board %s: part numbers", b.name)
			l.out.add(int64(len(b.sides)), "board %s: sides", b.name)
			l.out.add(b.wanted, "board %s: wanted", b.name)
		}
		l.out.add(b.starts, "board %s: starts", b.name)
		l.out.add(b.onHand, "board %s: on hand", b.name)
		l.out.add(ceil(bought), "board %s: bought", b.name)
		l.out.addAmounts(a, "board %s", b.name)
		l.book(cost.Lots, b.name, ratOf(b.onHand), used, []string{"bare boards"}, []*big.Rat{ratOf(1)})
	}
}

func millionths(x *big.Rat) int64 { return halfUp(times(x, power10(6))) }

func (l *ledger) allParts() {
	for _, p := range l.parts {
		kind := cost.Goods
		if p.printed {
			kind = cost.Filament
		}
		bought, _ := l.bought(kind, p.key)
		a, used := l.amounts(kind, p.key, p.takes, p.onHand)
		l.out.add(millionths(p.need), "part %s: need", p.key)
		l.out.add(millionths(p.allowance), "part %s: allowance", p.key)
		l.out.add(millionths(p.onHand), "part %s: on hand", p.key)
		l.out.add(millionths(p.demand), "part %s: demand", p.key)
		l.out.add(millionths(p.takes), "part %s: taken of it", p.key)
		l.out.add(millionths(bought), "part %s: bought", p.key)
		l.out.addAmounts(a, "part %s", p.key)
		l.split(p, kind, used)
	}
}

// split puts the money of a part under its categories, by need, each purchase by itself.
func (l *ledger) split(p *reckPart, kind string, usedOfEach []int64) {
	var names []string
	var needs []*big.Rat
	for _, c := range cost.Categories {
		need := new(big.Rat)
		for i, item := range p.items {
			if categoryOf(item.row) == c.String() {
				need.Add(need, p.needs[i])
			}
		}
		if need.Sign() > 0 {
			names, needs = append(names, c.String()), append(needs, need)
		}
	}
	if p.printed {
		l.bookFilament(p, usedOfEach)
		kind = "" // and what comes from stock
	}
	l.book(kind, p.key, p.onHand, usedOfEach, names, needs)
}

// bookFilament enters what is paid for filament, for those who bear it: by the grams of
// each printed part that a row names, and of all others together, by name.
func (l *ledger) bookFilament(p *reckPart, used []int64) {
	grams := map[string]*big.Rat{}
	for i, item := range p.items {
		name := item.row.part
		if payers, _ := l.payersOf(name); len(payers) == 0 {
			name = ""
		}
		grams[name] = plus(orZero(grams[name]), p.needs[i])
	}
	var weights []*big.Rat
	for _, name := range sortedKeys(grams) {
		weights = append(weights, grams[name])
	}
	n := 0
	for _, bought := range l.purchases {
		if bought.kind != cost.Filament || bought.key != p.key {
			continue
		}
		cash := apportion(bought.cash, weights)
		of := usedOf(used[n], cash, make([]int64, len(cash)))
		for i, name := range sortedKeys(grams) {
			l.borne(reckItemOfCash{category: "printed parts", print: name, part: p.key, supplier: bought.supplier,
				reckAmounts: reckAmounts{cash: cash[i], used: of[i], surplus: cash[i] - of[i]}})
		}
		n++
	}
}

// usedOf shares what is used out by what each share has, so that none uses more.
func usedOf(used int64, cash, stock []int64) []int64 {
	var has []*big.Rat
	if used == 0 { // whatever they have, be it nothing
		return make([]int64, len(cash))
	}
	for i := range cash {
		has = append(has, ratOf(cash[i]+stock[i]))
	}
	return apportion(used, has)
}

// borne enters what somebody bears, under its category.
func (l *ledger) borne(x reckItemOfCash) {
	if x.surplus < 0 {
		l.out.add(x.surplus, "part %s, %s: surplus", x.part, x.category) // none may be: the program says nothing of it
	}
	l.categories[x.category] = l.categories[x.category].plus(x.reckAmounts)
	l.items = append(l.items, x)
}

// book enters what is paid for a thing and what comes from stock, for those
// who bear it, by need under the categories.
func (l *ledger) book(kind, key string, onHand *big.Rat, used []int64, names []string, needs []*big.Rat) {
	n := 0
	for _, p := range l.purchases {
		if p.kind != kind || p.key != key {
			continue
		}
		cash := apportion(p.cash, needs)
		of := usedOf(used[n], cash, make([]int64, len(cash)))
		for i, name := range names {
			l.borne(reckItemOfCash{category: name, part: key, supplier: p.supplier, reckAmounts: reckAmounts{cash: cash[i], used: of[i], surplus: cash[i] - of[i]}})
		}
		n++
	}
	for _, d := range l.reckoning.fromDrawer(key, onHand) {
		for i, stock := range apportion(d.value, needs) {
			l.borne(reckItemOfCash{category: names[i], giver: d.giver, reckAmounts: reckAmounts{used: stock, stock: stock}})
		}
	}
}

// once is what falls due once, borne by this batch by its units.
func (l *ledger) payOnce() {
	for _, o := range l.reckoning.once {
		price := l.toHome(rat(o.price), orElse(o.currency, l.supplier(o.payee).currency))
		a := spentInFull(price)
		if o.over != "" {
			over1, n := ratOf(atoi(o.over, 0)), atoi(o.over, 0)-atoi(o.before, 0)
			n = max(0, min(int64(l.size), n))
			a.used = halfUp(over(times(ratOf(price), ratOf(n)), over1))
			a.surplus = price - a.used
		}
		if o.paid == "yes" && o.over == "" {
			continue
		}
		if o.paid == "yes" {
			a = reckAmounts{stock: a.used, used: a.used}
			l.borne(reckItemOfCash{category: orElse(o.category, "tooling"), giver: "maker", reckAmounts: a})
			continue
		}
		l.enter(orElse(o.category, "tooling"), "", o.payee, a)
	}
}

// printing is the printers' hours and energy.
func (l *ledger) printing() {
	for _, pl := range l.plates {
		name := pl.item.row.part + " on " + pl.printer.name
		l.out.add(pl.pieces, "plates of %s: pieces", name)
		l.out.add(pl.plates, "plates of %s: wanted", name)
		l.out.add(pl.enough, "plates of %s: enough", name)
		grams, _ := pl.grams.Float64()
		hours, _ := pl.hours.Float64()
		l.out.addClose(grams, "plates of %s: g", name)
		l.out.addClose(hours, "plates of %s: h", name)
		machine := l.hourly(pl.hours, rat(pl.printer.rate), "plates of %s: machine", name)
		kWh := over(times(pl.hours, rat(pl.printer.power)), ratOf(1000))
		energy := l.hourly(kWh, rat(l.settings["Energy price per kWh"]), "plates of %s: energy", name)
		l.enter("printed parts", "", "", ownWork(machine))
		l.enter("printed parts", pl.item.row.part, "", spentInFull(energy))
	}
}

// hourly is hours × rate. Hours are a float64 in the program (5), which may fall
// to the other side of a tie: there its side is taken.
func (l *ledger) hourly(hours, rate *big.Rat, format string, args ...any) int64 {
	exact := times(times(hours, rate), power10(isoDigits[l.home]))
	money := halfUp(exact)
	if side := l.ties.exact[fmt.Sprintf(format, args...)]; nearTie(exact) && max(side-money, money-side) == 1 {
		money = side
	}
	l.out.add(money, format, args...)
	return money
}

// consign is the fee for each machine-placed part number that the assembler
// does not sell the run itself, all of it.
func (l *ledger) consign() {
	a := l.assembler()
	if a.name == "" {
		return
	}
	s := l.supplier(a.name)
	for _, p := range l.parts {
		if p.machine && p.need.Sign() > 0 && (p.onHand.Sign() > 0 || !l.soldBy(p, a.name)) {
			o := l.orders[a.name]
			fee := l.toHome(rat(s.consign), s.currency)
			o.consign += fee
			l.orders[a.name] = o
		}
	}
	l.enter("SMT assembly", "", a.name, spentInFull(l.orders[a.name].consign))
}

// soldBy tells whether one supplier sells all that the run takes of a part.
func (l *ledger) soldBy(p *reckPart, supplier string) bool {
	sold := false
	for _, b := range l.purchases {
		if b.kind == cost.Goods && b.key == p.key {
			if b.supplier != supplier {
				return false
			}
			sold = true
		}
	}
	return sold
}

// charges closes each order: delivery, top-up, duty, tax, handling.
func (l *ledger) charges() {
	for _, name := range sortedKeys(l.orders) {
		o := l.orders[name]
		o.sent = l.sentTo(name, l.purchases)
		o = l.closed(name, o)
		l.orders[name] = o
		l.out.add(o.goods, "order to %s: goods", name)
		l.out.add(o.delivery, "order to %s: delivery", name)
		l.out.add(o.topUp, "order to %s: top-up", name)
		l.out.add(o.consign, "order to %s: consign", name)
		l.out.add(o.duty, "order to %s: duty", name)
		l.out.add(o.tax, "order to %s: tax", name)
		l.out.add(o.handling, "order to %s: handling", name)
		l.enter("delivery", "", name, spentInFull(o.delivery))
		l.enter("delivery", "", name, spentInFull(o.topUp))
		l.enter("duty and tax", "", name, spentInFull(o.duty))
		l.enter("duty and tax", "", name, spentInFull(o.handling))
		tax := spentInFull(o.tax)
		if l.settings["Tax recovered"] == "yes" {
			tax = reckAmounts{cash: o.tax, reclaim: o.tax}
		}
		l.enter("duty and tax", "", name, tax)
		l.out.add(l.landed(o), "landed")
	}
}

func orZero(x *big.Rat) *big.Rat {
	if x == nil {
		return new(big.Rat)
	}
	return x
}

// sentTo is what others, and stock, send to the assembler for its boards.
func (k *reckoning) sentTo(name string, purchases []reckPurchase) (sum int64) {
	if name != k.assembler().name || k.supplier(name).sent != "yes" {
		return 0
	}
	of := func(kind, key string, onHand *big.Rat) {
		for _, p := range purchases {
			if p.kind == kind && p.key == key && p.supplier != name {
				sum += p.cash
			}
		}
		for _, d := range k.fromDrawer(key, onHand) {
			sum += d.value
		}
	}
	for _, b := range k.populated() {
		of(cost.Lots, b.name, ratOf(b.onHand))
	}
	for _, p := range k.parts {
		if p.machine {
			of(cost.Goods, p.key, p.onHand)
		}
	}
	return sum
}

// closed adds the charges to an order's goods.
func (k *reckoning) closed(name string, o reckOrder) reckOrder {
	s := k.supplier(name)
	if s.freeOver == "" || o.own.Cmp(rat(s.freeOver)) < 0 {
		o.delivery = k.toHome(rat(s.delivery), s.currency)
	}
	if lack := minus(rat(s.minimum), o.own); lack.Sign() > 0 {
		o.topUp = k.toHome(lack, s.currency)
	}
	value := o.goods + o.topUp + o.consign + o.sent
	if majorOf(value, k.home).Cmp(rat(s.dutyUpTo)) <= 0 {
		o.duty = minorOf(rat(s.flatDuty), k.home) * int64(max(1, len(o.heads)))
	} else {
		duty := plus(times(ratOf(value-o.dutied), share(s.duty, "0")), orZero(o.byDuty))
		if k.settings["Customs basis"] == "CIF" {
			duty = over(times(duty, ratOf(value+o.delivery)), ratOf(value))
		}
		o.duty = halfUp(duty)
	}
	if majorOf(value, k.home).Cmp(rat(s.taxUpTo)) > 0 {
		o.tax = halfUp(times(ratOf(value+o.delivery+o.duty), share(s.tax, "0")))
	}
	if o.duty > 0 || o.tax > 0 {
		o.handling = minorOf(rat(s.handling), k.home)
	}
	return o
}
