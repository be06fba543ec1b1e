package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Charge is what to ask for one unit, and what becomes of the money.
type Charge struct {
	UnitCost decimal.Decimal // used per unit
	Price    decimal.Decimal // rounded up to the step
	Step     decimal.Decimal
	Margin   decimal.Decimal // the margin's share of the price
	Rounding decimal.Decimal // what rounding up adds: Price − UnitCost − Income.Fee − Margin
	Income   Income          // at that price
}

// Income is what comes in where every unit is paid for at one price, home
// currency.
type Income struct {
	Price decimal.Decimal
	Fee   decimal.Decimal // of one payment, unrounded
	Fees  decimal.Decimal // of all payments, rounded once
	Net   decimal.Decimal // of all units, after the fees
}

// charge is the price to ask for one unit (5.10):
//
//	(unit cost + fixed fee) / (1 − fee % − margin %)
//
// rounded up to the step, which is the minor unit where none is set. The fee
// and the margin are shares of the price, not of the cost.
func (m *Model) charge(b *Batch) {
	s := m.prices.Settings
	c := Charge{UnitCost: b.PerUnit(b.Total.Used), Step: m.priceStep()}
	c.Price = m.priceFor(b.Total.Used, decimal.NewFromInt(int64(b.Size)), hundred.Sub(s.PaymentFee).Sub(s.Margin))
	c.Income = incomeAt(c.Price, b.Size, &s, m.home.Digits)
	c.Margin = c.Price.Mul(s.Margin).Shift(-2)
	c.Rounding = c.Price.Sub(c.UnitCost).Sub(c.Income.Fee).Sub(c.Margin)
	b.Charge = c
}

// ask is what each recipient is asked for (5.10): the cash that the recipients
// bear, over the units, with the fee of the payment; nothing where they bear
// none. It holds no margin.
func (m *Model) ask(b *Batch) {
	for _, p := range b.Payers {
		if m.payers.asked == "" || fold(p.Name) != fold(m.payers.asked) {
			continue
		}
		b.Ask = Ask{Payer: p.Name, Unpriced: p.Unpriced}
		if p.Cash.IsPositive() {
			b.Ask.Each = m.priceFor(p.Cash, decimal.NewFromInt(int64(b.Size)), hundred.Sub(m.prices.Settings.PaymentFee))
			m.askByZone(b, p)
		}
	}
}

// askByZone is what each recipient in a zone is asked for where all pay the
// postage of their own zone and share the rest evenly: what they bear of the
// postage falls on the zones as the postage itself does.
func (m *Model) askByZone(b *Batch, p Payer) {
	all := b.Categories[Postage].Cash
	if len(b.Posts) < 2 || !all.IsPositive() {
		return
	}
	postage, units := p.Categories[Postage].Cash, decimal.NewFromInt(int64(b.Size))
	for i := range b.Posts {
		z := &b.Posts[i]
		if z.Parcels == 0 {
			continue
		}
		// ((cash − postage) / units + postage × zone / all / parcels), over one
		// denominator.
		parcels := decimal.NewFromInt(int64(z.Parcels))
		amount := p.Cash.Sub(postage).Mul(all).Mul(parcels).Add(postage.Mul(z.Cash).Mul(units))
		z.Asked = m.priceFor(amount, units.Mul(all).Mul(parcels), hundred.Sub(m.prices.Settings.PaymentFee))
	}
}

// priceStep is what prices are rounded up to.
func (m *Model) priceStep() decimal.Decimal {
	if step := m.prices.Settings.RoundUpTo; step.IsPositive() {
		return step
	}
	return decimal.New(1, -m.home.Digits)
}

// priceFor is the smallest multiple of the step of which keep % less the fixed
// fee cover the part of an amount that falls on one of the units.
func (m *Model) priceFor(amount, units, keep decimal.Decimal) decimal.Decimal {
	if !keep.IsPositive() {
		return decimal.Zero // fees and margin leave nothing for the cost, which readers refuse
	}
	// All over one denominator, so that the only division is by the step and
	// only whether it leaves a rest matters.
	step := m.priceStep()
	numerator := amount.Add(m.prices.Settings.PaymentFixed.Mul(units)).Mul(hundred)
	steps, rest := numerator.QuoRem(keep.Mul(units).Mul(step), 0)
	if rest.IsPositive() {
		steps = steps.Add(decimal.NewFromInt(1))
	}
	return steps.Mul(step)
}

// incomeAt is what comes in at a price; the fees of all payments are rounded
// once.
func incomeAt(price decimal.Decimal, size int, s *bom.Settings, digits int32) Income {
	units := decimal.NewFromInt(int64(size))
	fee := price.Mul(s.PaymentFee).Add(s.PaymentFixed.Mul(hundred)) // of one payment, in hundredths
	fees := fee.Mul(units).DivRound(hundred, digits)
	return Income{Price: price, Fee: fee.Shift(-2), Fees: fees, Net: price.Mul(units).Sub(fees)}
}
