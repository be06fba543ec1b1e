package cost_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost/waysout"
	"tenoff/fixtures/checks"
)

// scarceRun is a small run with up to three parts that run short. Money is in cents.
type scarceRun struct {
	units    int64
	delivery [2]int64 // of each of two suppliers
	minimum  [2]int64
	parts    []scarcePart // the first is in stock, the others are short
	stands   []scarcePart // substitutes, of any of the short parts
	listed   []scarceRow
}

type scarcePart struct {
	name      string
	perUnit   int64
	price     [2]int64 // at each supplier; 0: it does not sell it
	stock     [2]int64
	more      int64 // at the first that sells it
	unlimited bool
}

// scarceRow is a row of the tab substitutes.
type scarceRow struct {
	part, stand                  int
	perUnit, perBatch, threeSecs int64
	mix                          bool
}

func drawScarce(r *rand.Rand) scarceRun {
	s := scarceRun{units: 3 + r.Int64N(4), delivery: [2]int64{r.Int64N(400), r.Int64N(400)}, minimum: [2]int64{r.Int64N(3) * 300, r.Int64N(3) * 300}}
	offers := func(p *scarcePart, most int64) {
		for at := range p.price {
			if r.IntN(3) > 0 || at == 1 && p.price[0] == 0 {
				p.price[at], p.stock[at] = 20+r.Int64N(150), 1+r.Int64N(max(1, most))
			}
		}
	}
	s.parts = []scarcePart{{name: "BASE", perUnit: 1, price: [2]int64{100, 110}, unlimited: true}}
	for i := range 1 + r.IntN(3) {
		p := scarcePart{name: fmt.Sprint("SHORT-", i), perUnit: 1 + r.Int64N(2)}
		offers(&p, (s.units*p.perUnit-1)/2)
		if r.IntN(2) == 0 {
			p.more = 1 + r.Int64N(s.units*p.perUnit)
		}
		s.parts = append(s.parts, p)
	}
	for i := range 1 + r.IntN(3) {
		p := scarcePart{name: fmt.Sprint("STAND-", i)}
		offers(&p, s.units*2)
		s.stands = append(s.stands, p)
		for part := 1; part < len(s.parts); part++ {
			if r.IntN(3) > 0 {
				s.listed = append(s.listed, scarceRow{part, i, r.Int64N(30), r.Int64N(300), r.Int64N(20), r.IntN(2) == 0})
			}
		}
	}
	return s
}

func (s *scarceRun) input() input {
	unit, offers := "Part number,Quantity,Kind\n", "Part number,Supplier,Stock,Price,More,More on\n"
	for _, p := range append(slices.Clone(s.parts), s.stands...) {
		if p.perUnit > 0 {
			unit += fmt.Sprintf("%s,%d,other\n", p.name, p.perUnit)
		}
		first := true
		for at, price := range p.price {
			if price == 0 {
				continue
			}
			stock, more := fmt.Sprint(p.stock[at]), ","
			if p.unlimited {
				stock = ""
			}
			if p.more > 0 && first {
				more = fmt.Sprintf("%d,2026-12-24", p.more)
			}
			first = false
			offers += fmt.Sprintf("%s,S%d,%s,%s,%s\n", p.name, at, stock, cents(price), more)
		}
	}
	rows := "Part number,Substitute,Extra per unit,Extra per batch,Extra seconds per unit,Mix\n"
	for _, l := range s.listed {
		rows += fmt.Sprintf("%s,%s,%s,%s,%d,%s\n", s.parts[l.part].name, s.stands[l.stand].name, cents(l.perUnit), cents(l.perBatch), 3*l.threeSecs, map[bool]string{true: "yes", false: "no"}[l.mix])
	}
	suppliers := "Supplier,Delivery,Minimum order,Lead days\n"
	for at := range s.delivery {
		suppliers += fmt.Sprintf("S%d,%s,%s,%d\n", at, cents(s.delivery[at]), cents(s.minimum[at]), 2+at)
	}
	return input{"unit.csv": unit, "prices/offers.csv": offers, "prices/substitutes.csv": rows, "prices/suppliers.csv": suppliers,
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\nLabour rate per hour,12\n"}
}

func cents(n int64) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }

// wayName names a way as the brute force does.
func wayName(w *waysout.Way) string {
	return [...]string{"elsewhere", "all " + w.Substitute, "mix " + w.Substitute, "wait", "fewer"}[w.Kind]
}

// brute tries every way of every short part, and every way to buy what that asks for: the
// least money for each choice, by the names of its ways.
func (s *scarceRun) brute() map[string]int64 {
	out := map[string]int64{}
	short := len(s.parts) - 1
	ways := make([][]string, short)
	rows := make([][]*scarceRow, short)
	for i := range short {
		add := func(name string, row *scarceRow) { ways[i], rows[i] = append(ways[i], name), append(rows[i], row) }
		for l := range s.listed {
			if row := &s.listed[l]; row.part == i+1 {
				add("all "+s.stands[row.stand].name, row)
				if row.mix {
					add("mix "+s.stands[row.stand].name, row)
				}
			}
		}
		if s.parts[i+1].more > 0 {
			add("wait", nil)
		}
	}
	var choose func(chosen []int)
	choose = func(chosen []int) {
		if i := len(chosen); i < short {
			for w := range ways[i] {
				choose(append(slices.Clone(chosen), w))
			}
			return
		}
		demand, stands := make([]int64, len(s.parts)), make([]int64, len(s.stands))
		all := append(slices.Clone(s.parts), s.stands...)
		besides := int64(0)
		for i := range s.parts {
			demand[i] = s.units * s.parts[i].perUnit
		}
		var names []string
		for i, w := range chosen {
			name, row, p := ways[i][w], rows[i][w], &s.parts[i+1]
			names = append(names, name)
			if name == "wait" {
				at := 0
				if p.price[0] == 0 {
					at = 1
				}
				all[i+1].stock[at] += p.more
				continue
			}
			keeps := int64(0)
			if strings.HasPrefix(name, "mix") {
				keeps = p.stock[0] + p.stock[1]
			}
			rest := demand[i+1] - keeps
			demand[i+1], stands[row.stand] = keeps, stands[row.stand]+rest
			units := (rest + p.perUnit - 1) / p.perUnit
			besides += units*(row.perUnit+row.threeSecs) + row.perBatch // 3 s at 12 an hour are a cent
		}
		if least, ok := s.buy(all, append(demand, stands...), [2]int64{}, [2]bool{}); ok {
			out[strings.Join(names, " + ")] = least + besides
		}
	}
	choose(nil)
	return out
}

// buy tries every way to split each demand over the suppliers: the least that all of it costs.
func (s *scarceRun) buy(parts []scarcePart, demand []int64, goods [2]int64, ordered [2]bool) (least int64, ok bool) {
	if len(parts) == 0 {
		for at := range goods {
			if ordered[at] {
				least += goods[at] + s.delivery[at] + max(0, s.minimum[at]-goods[at])
			}
		}
		return least, true
	}
	p, least := &parts[0], int64(-1)
	for first := range demand[0] + 1 {
		q := [2]int64{first, demand[0] - first}
		g, o, fits := goods, ordered, true
		for at := range q {
			fits = fits && (q[at] == 0 || p.price[at] > 0 && (p.unlimited || q[at] <= p.stock[at]))
			g[at], o[at] = g[at]+q[at]*p.price[at], o[at] || q[at] > 0
		}
		if !fits {
			continue
		}
		if sum, can := s.buy(parts[1:], demand[1:], g, o); can && (least < 0 || sum < least) {
			least = sum
		}
	}
	return least, least >= 0
}

// TestTogetherIsTheLeast: up to three short parts are chosen for as by trying every
// way with every other and every purchase; what changing a choice costs is as well.
func TestTogetherIsTheLeast(t *testing.T) {
	checked := [4]int{}
	for seed := range checks.Runs(10_000) {
		s := drawScarce(rand.New(rand.NewPCG(uint64(seed), 514)))
		run := s.input().read(t)
		run.Batches, run.Today = []int{int(s.units)}, bom.Date{Year: 2026, Month: 12, Day: 1}
		found, problems := waysout.Find(run)
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		known, fault := s.brute(), ""
		switch {
		case len(s.parts) == 2:
			fault = alone(known, &found.Parts[0])
		case s.whole(found):
			fault = together(known, &found.Together[0])
		default: // of some part there is only fewer, or nothing
			continue
		}
		if checked[len(found.Parts)]++; fault != "" {
			t.Fatalf("run %d: %s\n%v\n%v\n%v", seed, fault, s.input(), known, found)
		}
	}
	if checked[1] == 0 || checked[2] == 0 || checked[3] == 0 {
		t.Errorf("runs checked by the number of short parts: %v", checked)
	}
}

// alone holds the ways out of one part against the brute force.
func alone(known map[string]int64, p *waysout.Shortage) string {
	built := 0
	for i := range p.Ways {
		w := &p.Ways[i]
		if w.Kind == waysout.Fewer {
			continue
		}
		built++
		if cash, ok := known[wayName(w)]; !ok || !w.Weight.Equal(d(cents(cash))) {
			return fmt.Sprintf("%s costs %s", wayName(w), w.Weight)
		}
	}
	if built != len(known) {
		return fmt.Sprintf("%d ways are found", built)
	}
	return ""
}

// together holds the joint choice, and what changing it costs, against the brute force.
func together(known map[string]int64, j *waysout.Joint) string {
	if len(known) == 0 {
		if j.Stuck == nil {
			return "nothing can be bought, yet a way is chosen"
		}
		return ""
	}
	least := slices.Min(slices.Collect(maps.Values(known)))
	names := make([]string, len(j.Ways))
	for i := range j.Ways {
		names[i] = wayName(&j.Ways[i])
	}
	if j.Stuck != nil || !j.Weight.Equal(d(cents(least))) || known[strings.Join(names, " + ")] != least || !j.Every {
		return fmt.Sprintf("%v are chosen, for %s; %s is the least", names, j.Weight, cents(least))
	}
	for _, c := range j.Changes {
		other := slices.Clone(names)
		other[slices.Index(j.Parts, c.Part)] = wayName(&c.Way)
		if cash, ok := known[strings.Join(other, " + ")]; !ok || !c.Way.Weight.Equal(d(cents(cash))) {
			return fmt.Sprintf("%v costs %s", other, c.Way.Weight)
		}
		if c.Way.Weight.Equal(j.Weight) && c.Way.Day < j.Day {
			return fmt.Sprintf("%v costs the same and is ready sooner", other)
		}
	}
	changes := 0
	for key := range known {
		differ := 0
		for i, name := range strings.Split(key, " + ") {
			if name != names[i] {
				differ++
			}
		}
		if differ == 1 {
			changes++
		}
	}
	if changes != len(j.Changes) {
		return fmt.Sprintf("%d changes are told, there are %d", len(j.Changes), changes)
	}
	return ""
}

// whole tells whether each part has a way out that builds all units.
func (s *scarceRun) whole(found waysout.Shortages) bool {
	return !slices.ContainsFunc(found.Parts, func(p waysout.Shortage) bool {
		return !slices.ContainsFunc(p.Ways, func(w waysout.Way) bool { return w.Kind != waysout.Fewer })
	})
}
