package buy

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// TestRoundingsOfTopUp: a foreign order below its minimum costs the same however
// much is bought, but for roundings. All quantities that bring it at most a little
// over the minimum are run through, by what they come to in its own currency.
func TestRoundingsOfTopUp(t *testing.T) {
	proven := 0
	for seed := range 40 {
		r := rand.New(rand.NewPCG(uint64(seed), 41))
		s := Supplier{Name: "far", Currency: usd, Rate: decimal.New(int64(8500+r.IntN(1500)), -4),
			Delivery: dec("9.31"), MinOrder: decimal.New(int64(1500+r.IntN(1500)), -2)}
		if seed%2 == 0 {
			s.FreeOver = decimal.NewNullDecimal(decimal.New(int64(800+r.IntN(600)), -2))
		}
		p := Problem{Home: eur, Assembler: -1, Suppliers: []Supplier{s}}
		for i := range 3 + r.IntN(4) {
			p.Parts = append(p.Parts, Part{Name: strconv.Itoa(i), Demand: bom.Whole(int64(1 + r.IntN(4))),
				Offers: []Offer{{Code: "x", Currency: usd, Rate: s.Rate, Pieces: bom.One, MOQ: 1, Multiple: 1, Stock: -1,
					Breaks: []bom.Break{{From: 1, Price: decimal.New(int64(30+r.IntN(900)), -3)}}}}})
		}
		p.Effort = 400_000
		plan := mustSolve(t, p)
		if !plan.Proven {
			continue
		}
		proven++
		if want := toppedUp(p); !plan.Landed.Equal(want) {
			t.Errorf("seed %d: landed %s, want %s", seed, plan.Landed, want)
		}
	}
	if proven < 30 {
		t.Errorf("%d of 40 proven", proven)
	}
}

// toppedUp is the least that the one order of a problem can cost.
func toppedUp(p Problem) decimal.Decimal {
	const most = 4500
	s := p.Suppliers[0]
	home := map[int64]int64{0: 0} // least home goods, by own goods
	for _, part := range p.Parts {
		next := map[int64]int64{}
		for q := part.Demand.Ceil(); ; q++ {
			line := part.Offers[0].Breaks[0].Price.Mul(decimal.NewFromInt(q)).Round(2)
			own, at := line.Shift(2).IntPart(), line.Mul(s.Rate).Round(2).Shift(2).IntPart()
			if own > most {
				break
			}
			for had, cash := range home {
				if was, ok := next[had+own]; had+own <= most && (!ok || cash+at < was) {
					next[had+own] = cash + at
				}
			}
		}
		home = next
	}
	best := decimal.NewFromInt(1 << 40)
	for own, cash := range home {
		sum := decimal.New(cash, -2)
		goods := decimal.New(own, -2)
		if goods.LessThan(s.MinOrder) {
			sum = sum.Add(s.MinOrder.Sub(goods).Mul(s.Rate).Round(2))
		}
		if !s.FreeOver.Valid || goods.LessThan(s.FreeOver.Decimal) {
			sum = sum.Add(s.Delivery.Mul(s.Rate).Round(2))
		}
		best = decimal.Min(best, sum)
	}
	return best
}
