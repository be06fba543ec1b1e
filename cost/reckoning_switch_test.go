package cost_test

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// landedOf is what purchases cost in all, with the fees that the run has anyway.
func (k *reckoning) landedOf(bought []reckPurchase) int64 {
	l := &ledger{reckoning: k, purchases: bought, orders: map[string]reckOrder{}, categories: map[string]reckAmounts{}, out: newFigures()}
	for _, p := range bought {
		l.buy(p)
	}
	l.assembly()
	l.consign()
	l.charges()
	return l.out.exact["landed"]
}

// singles lists the ways to buy all of one part from one offer: the least that
// the offer allows, and the least of each break above.
func (k *reckoning) singles(p *reckPart) (list [][]reckPurchase) {
	if p.printed {
		for _, s := range k.spools {
			if s.material == p.key {
				q := ceil(over(p.demand, rat(s.grams)))
				currency := orElse(s.currency, k.supplier(s.supplier).currency)
				sum := times(ratOf(q), rat(s.price))
				list = append(list, []reckPurchase{{kind: cost.Filament, supplier: s.supplier, key: p.key, quantity: q, pieces: rat(s.grams),
					own: minorOf(sum, currency), currency: currency, cash: k.toHome(sum, currency)}})
			}
		}
		return list
	}
	for i := range k.offers {
		o := &k.offers[i]
		if o.part != p.key {
			continue
		}
		least := ceil(over(p.demand, rat(orElse(o.pieces, "1"))))
		for _, from := range append([]string{"0"}, o.from...) {
			pack := atoi(o.multiple, 1)
			q := max(least, atoi(from, 0), atoi(o.moq, 1), atoi(o.from[0], 1))
			if q = (q + pack - 1) / pack * pack; o.allows(q) {
				list = append(list, []reckPurchase{k.ordered(o, q)})
			}
		}
	}
	return list
}

// quotedBy lists what one fabricator asks for the boards in one option: all
// numbers of all lots, and the price by area.
func (k *reckoning) quotedBy(b *reckBoard, fabricator, option string) (list [][]reckPurchase) {
	var lots []jobQuote
	for _, q := range k.quotes {
		if q.board == b.name && orElse(q.fabricator, k.settings["Board fabricator"]) == fabricator && q.option == option {
			if q.lot == "" {
				list = append(list, []reckPurchase{k.quoted(b, q, fabricator, b.bought)})
			} else {
				lots = append(lots, q)
			}
		}
	}
	var grow func(i int, left int64, lines []reckPurchase)
	grow = func(i int, left int64, lines []reckPurchase) {
		if left <= 0 {
			list = append(list, append([]reckPurchase(nil), lines...))
			return
		}
		if i == len(lots) {
			return
		}
		size := atoi(lots[i].lot, 0)
		grow(i+1, left, lines)
		for n := int64(1); (n-1)*size < left && (lots[i].atMost == "" || n <= atoi(lots[i].atMost, 0)); n++ {
			grow(i+1, left-n*size, append(lines, k.quoted(b, lots[i], fabricator, n)))
		}
	}
	grow(0, b.bought, nil)
	return list
}

func (k *reckoning) quoted(b *reckBoard, q jobQuote, fabricator string, n int64) reckPurchase {
	sum, pieces := times(ratOf(n), rat(q.price)), rat(q.lot)
	if q.lot == "" {
		sum, pieces = plus(rat(q.setUp), times(ratOf(n), k.perBoard(q))), ratOf(1)
	}
	currency := orElse(q.currency, k.supplier(fabricator).currency)
	return reckPurchase{kind: cost.Lots, supplier: fabricator, key: b.name, quantity: n, pieces: pieces,
		own: minorOf(sum, currency), currency: currency, cash: k.toHome(sum, currency)}
}

// others is what is bought besides one thing.
func others(bought []reckPurchase, kind, key string) (list []reckPurchase) {
	for _, p := range bought {
		if p.kind != kind || p.key != key {
			list = append(list, p)
		}
	}
	return list
}

// cheaperSwitch looks for one part or material that, bought another way, makes the
// whole cheaper.
func (k *reckoning) cheaperSwitch(bought []reckPurchase) string {
	now := k.landedOf(bought)
	try := func(kind, key string, ways [][]reckPurchase) string {
		rest := others(bought, kind, key)
		for _, way := range ways {
			if k.landedOf(append(rest[:len(rest):len(rest)], way...)) < now {
				return kind + " " + key + " is cheaper from " + way[0].supplier + " " + way[0].code
			}
		}
		return ""
	}
	for _, p := range k.parts {
		kind := cost.Goods
		if p.printed {
			kind = cost.Filament
		}
		if p.demand.Sign() > 0 {
			if why := try(kind, p.key, k.singles(p)); why != "" {
				return why
			}
		}
	}
	return ""
}

// cheaperBoards looks for boards that cost less both by themselves and
// with all that their orders cost besides.
func (k *reckoning) cheaperBoards(bought []reckPurchase) string {
	now := k.landedOf(bought)
	l := &ledger{reckoning: k, purchases: bought}
	for _, b := range k.bareThings() {
		_, cash := l.bought(cost.Lots, b.name)
		rest := others(bought, cost.Lots, b.name)
		for _, q := range k.quotes {
			if q.board != b.name || b.bought == 0 {
				continue
			}
			for _, way := range k.quotedBy(b, orElse(q.fabricator, k.settings["Board fabricator"]), q.option) {
				sum := int64(0)
				for _, p := range way {
					sum += p.cash
				}
				if sum < cash && k.landedOf(append(rest[:len(rest):len(rest)], way...)) < now {
					return fmt.Sprintf("%d × %s cost %d, from %s %d", b.bought, b.name, cash, way[0].supplier, sum)
				}
			}
		}
	}
	return ""
}

// TestNoCheaperSwitch: no single part or material of a proven plan can be bought
// another way for less, and no boards.
func TestNoCheaperSwitch(t *testing.T) {
	jobs := checks.Runs(1_000)
	for seed := range jobs {
		j := makeJob(uint64(seed)+10_000, []string{"board", "kit", "built"}[seed%3])
		k, b, bought, faults := j.secondLook(t)
		if len(faults) > 0 {
			t.Fatalf("job %d: %s\n%s", seed, strings.Join(faults, "\n"), j)
		}
		if why := k.cheaperSwitch(bought); b.Proven && why != "" {
			t.Errorf("job %d: %s\n%s", seed, why, j)
		}
		if why := k.cheaperBoards(bought); b.Proven && why != "" {
			t.Errorf("job %d: %s\n%s", seed, why, j)
		}
	}
}
