package settling

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
)

// Product is one of several products of a run. Money is in home currency.
type Product struct {
	*bom.RunMade
	Actual  decimal.Decimal // consumed; over all products what the run consumed
	Planned decimal.Decimal // of a good unit
	Unit    decimal.Decimal // as it came; 0 where NoneGood
	Yield   decimal.Decimal // variance of a good unit: actual consumed × (1 / actual good − 1 / planned)

	NoneGood bool // no unit came out good, so that no unit has a cost
}

// spread shares an amount out over products without rounding it; without shares as the plan
// consumes for them.
func (s *Settlement) spread(amount decimal.Decimal, of bom.RunShares) {
	all := decimal.Zero
	for _, w := range of {
		all = all.Add(w)
	}
	if !all.IsPositive() {
		of, all = make(bom.RunShares, len(s.over)), decimal.Zero
		for i := range of {
			of[i] = s.Actuals.Products[i].Consumed
			all = all.Add(of[i])
		}
	}
	for i := range s.over {
		if all.IsPositive() {
			s.over[i] = s.over[i].Add(amount.Mul(of[i]).DivRound(all, unitDigits))
		}
	}
}

// products works out what each product consumed and a good unit of it cost: what the plan
// consumes for it, and what came over that of the rows that are for it (largest remainder).
func (s *Settlement) products() {
	if len(s.over) == 0 {
		return
	}
	weights := make([]decimal.Decimal, len(s.over))
	for i := range weights {
		weights[i] = decimal.Max(decimal.Zero, s.Actuals.Products[i].Consumed.Add(s.over[i]))
	}
	for i, consumed := range money.Apportion(s.Actual.Consumed, weights, s.Home.Digits) {
		p := Product{RunMade: &s.Actuals.Products[i], Actual: consumed}
		if p.Good.Planned.IsPositive() {
			p.Planned = p.Consumed.DivRound(p.Good.Planned, unitDigits)
		}
		if p.NoneGood = !p.Good.Is().IsPositive(); !p.NoneGood {
			p.Unit = consumed.DivRound(p.Good.Is(), unitDigits)
			if p.Good.Planned.IsPositive() {
				p.Yield = p.Unit.Sub(consumed.DivRound(p.Good.Planned, unitDigits))
			}
		}
		s.Products = append(s.Products, p)
	}
}

// idle is the part of what is for some products that their units take which were not started,
// less than 0 where more were.
func (s *Settlement) idle(of bom.RunShares) (idle decimal.Decimal) {
	if len(of) == 0 || len(s.Actuals.Products) == 0 {
		return s.Started.Planned.Sub(s.Started.Is()).DivRound(s.Started.Planned, unitDigits)
	}
	all := decimal.Zero
	for i, w := range of {
		all = all.Add(w)
		if f := &s.Actuals.Products[i].Started; f.Planned.IsPositive() {
			idle = idle.Add(w.Mul(f.Planned.Sub(f.Is())).DivRound(f.Planned, unitDigits))
		}
	}
	return idle.DivRound(all, unitDigits)
}

// units are those started of the products that something is for: as planned, and as it came.
func (s *Settlement) units(of bom.RunShares) (planned, is int) {
	if len(of) == 0 || len(s.Actuals.Products) == 0 {
		return int(s.Started.Planned.IntPart()), int(s.Started.Is().IntPart())
	}
	for i, w := range of {
		if f := &s.Actuals.Products[i].Started; w.IsPositive() {
			planned, is = planned+int(f.Planned.IntPart()), is+int(f.Is().IntPart())
		}
	}
	return planned, is
}
