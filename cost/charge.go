package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
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
		return // refused by checkCharge
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

// checkCharge refuses fees and margins that leave nothing for the cost.
func (m *Model) checkCharge() {
	s := m.prices.Settings
	if sum := s.PaymentFee.Add(s.Margin); sum.GreaterThanOrEqual(hundred) {
		at := m.settingPlace("Margin %")
		if at.Row == 0 {
			at = m.settingPlace("Payment fee %")
		}
		m.problems.Add(bom.Problem{
			Place: at, What: "margin and payment fee leave nothing of the price for the cost",
			Found: sum.String() + " %", Want: "together less than 100 %",
		})
	}
}
