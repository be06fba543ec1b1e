package buy

import (
	"math/rand/v2"
	"testing"
)

// leastSeen is the least value of the options that it is shown.
type leastSeen struct{ value float64 }

func (l *leastSeen) visit(_ []pick, v float64) bool {
	l.value = min(l.value, v)
	return false
}

// TestListedLeast: the least value among the options that are listed is the least
// of all, at weights of either sign.
func TestListedLeast(t *testing.T) {
	for seed := range 600 {
		r := rand.New(rand.NewPCG(uint64(seed), 32))
		sh := small(r)
		sh.parts, sh.suppliers, sh.demand, sh.fixed = 1, 1+r.IntN(3), [2]int{1, 8}, false
		p := randomRun(r, sh)
		for len(p.Parts[0].Offers) > 3 {
			p.Parts[0].Offers = p.Parts[0].Offers[:3]
		}
		m, err := compile(&p)
		if err != nil {
			t.Fatal(err)
		}
		demand, fixed := demands(p)
		if err := m.fix(demand, nil, fixed, nil, nil); err != nil {
			t.Fatal(err)
		}
		part := &m.parts[0]
		if part.demand == 0 || part.reach() < part.demand {
			continue
		}
		w := make([]weight, len(m.suppliers))
		for i := range w {
			w[i].home = 2*r.Float64() - 0.7
			if s := &m.suppliers[i]; !s.home && r.IntN(2) == 0 {
				w[i] = weight{home: 1, own: -1.4 * r.Float64() * s.rate.value}
			}
		}
		want := leastOfAll(m, part, w)
		got := &leastSeen{inf}
		l := lister{m: m}
		l.list(0, part, w, &node{open: ^uint64(0), over: ^uint64(0)}, want, got)
		if got.value > want+2*slack {
			t.Errorf("seed %d: listed %.6f, least of all %.6f", seed, got.value, want)
		}
	}
}

// leastOfAll tries every quantity that is of use.
func leastOfAll(m *model, p *part, w []weight) float64 {
	best := inf
	var picks []pick
	var try func(offer int, need int64)
	try = func(offer int, need int64) {
		if offer == len(p.offers) {
			if need <= 0 {
				best = min(best, m.optionOf(p, picks).weigh(w, nil))
			}
			return
		}
		try(offer+1, need)
		o := &p.offers[offer]
		for k := range o.spans {
			for q := o.spans[k].from; q <= m.useful[o.first+k]; q += o.step {
				picks = append(picks, m.pick(p, offer, &o.spans[k], q))
				try(offer+1, need-o.covers(q))
				picks = picks[:len(picks)-1]
			}
		}
	}
	try(0, p.demand)
	return best
}

func (m *model) optionOf(p *part, picks []pick) *option {
	o := m.option(p, append([]pick(nil), picks...))
	return &o
}
