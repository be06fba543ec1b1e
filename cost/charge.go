package cost

import (
	"github.com/shopspring/decimal"
)

// charge is the price to ask for one unit (5.10):
//
//	(unit cost + fixed fee) / (1 − fee % − margin %)
//
// rounded up to the step, which is the minor unit where none is set. The fee
// and the margin are shares of the price, not of the cost.
func (m *Model) charge(b *Batch) {
	s := m.prices.Settings
	step := s.RoundUpTo
	if !step.IsPositive() {
		step = decimal.New(1, -m.home.Digits)
	}
	b.Charge = Charge{UnitCost: b.PerUnit(b.Total.Used), Step: step}
	left := hundred.Sub(s.PaymentFee).Sub(s.Margin)
	if !left.IsPositive() {
		return // fees and margin leave nothing for the cost, which readers refuse
	}
	// All over one denominator, so that the only division is by the step and
	// only whether it leaves a rest matters.
	size := decimal.NewFromInt(int64(b.Size))
	numerator := b.Total.Used.Add(s.PaymentFixed.Mul(size)).Mul(hundred)
	steps, rest := numerator.QuoRem(left.Mul(size).Mul(step), 0)
	if rest.IsPositive() {
		steps = steps.Add(decimal.NewFromInt(1))
	}
	b.Charge.Price = steps.Mul(step)
}
