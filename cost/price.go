package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// The settings that prices rest on.
const (
	setMargin   = "Margin %"
	setFee      = "Payment fee %"
	setFeeFixed = "Payment fee fixed"
	setStep     = "Round price up to"
)

// stateCharge states the price to ask for one unit (5.10):
//
//	(unit cost + fixed fee) / (1 − fee % − margin %)
//
// rounded up to the step, which is the minor unit where none is set. The fee
// and the margin are shares of the price, not of the cost.
func stateCharge(s *sums) {
	units, margin := s.Count(int64(s.b.Size)), s.setting(setMargin)
	named := func(what string, r sum.Ref) sum.Ref { return s.name(OfCharge, 0, what, r, sum.Loose) }
	keep := s.Sub(s.Sub(s.Count(100), s.setting(setFee)), margin)
	c := &s.b.Charge
	unit := named("unit cost", s.unitCost)
	price := s.money(OfCharge, 0, "price", s.priceFor(s.used, units, keep))
	if s.b.Ask.Payer == "" {
		stateQuote(s, price, s.post)
	}
	c.Step = s.Value(s.step)
	c.Income = s.income(price)
	part := named("margin", s.percent(price, margin))
	rounding := named("rounding", s.Sub(s.Sub(s.Sub(price, unit), c.Income.fee), part))
	c.UnitCost, c.Price, c.Margin, c.Rounding = s.b.PerUnit(s.b.Total.Consumed), s.Value(price), s.Value(part), s.Value(rounding)
}

// priceFor states the smallest multiple of the step of which keep % less the fixed
// fee cover the part of an amount that falls on one of the units; 0 where fees and
// margin leave nothing for the cost, which readers refuse.
func (s *sums) priceFor(amount, units, keep sum.Ref) sum.Ref {
	if s.step == 0 {
		set := s.setting(setStep)
		s.step = s.More(set, 0, set, s.Number(decimal.New(1, -s.digits)))
	}
	// All over one denominator, so that only whether the division leaves a rest matters.
	over := s.Mul(s.Add(amount, s.Mul(s.setting(setFeeFixed), units)), s.Count(100))
	return s.More(keep, 0, s.Up(s.Div(over, s.Mul(keep, units)), s.step), 0)
}

// incomeSums are what the income from a batch is worked out of.
type incomeSums struct{ percent, fixed, makerCash, used sum.Ref }

// income states what comes in at a price and what of it stays.
func (s *sums) income(price sum.Ref) Income {
	return incomeAt(s.Sheet, s.b.Size, 0, price, incomeSums{s.setting(setFee), s.setting(setFeeFixed), s.bears[0].cash, s.used}, s.digits)
}

// priced states what a given price brings, from the sums of a batch that are stated
// already.
func (b *Batch) priced(price decimal.Decimal, home bom.Currency) Income {
	find := func(of string, at int, what string) sum.Ref { return sumNamed(b.Sums, of, at, what) }
	given := b.Sums.Figure(sum.Figure{Key: sum.Key{Of: OfCharge, At: 1, What: "given"}, Value: price, Unit: home.Code})
	return incomeAt(b.Sums, b.Size, 1, given, incomeSums{find(OfSetting, 0, setFee), find(OfSetting, 0, setFeeFixed),
		find(OfPayer, PayerKey(0, AllCategories), "cash"), find(OfCategory, int(AllCategories), "consumed")}, home.Digits)
}

// incomeAt states what comes in at a price from so many units.
func incomeAt(s *sum.Sheet, size, at int, price sum.Ref, from incomeSums, digits int32) Income {
	units := s.Count(int64(size))
	name := func(what string, r sum.Ref, digits int32) sum.Ref {
		return s.Name(sum.Key{Of: OfCharge, At: at, What: what}, r, digits)
	}
	fee, fees, net := stateIncome(s, price, units, from.percent, from.fixed, digits)
	name("fee", fee, sum.Loose)
	net = name("net", net, digits)
	less := func(what string, from sum.Ref) decimal.Decimal {
		r := name(what, s.Sub(net, from), digits)
		name(what+" per unit", s.Div(r, units), sum.Loose)
		return s.Value(r)
	}
	return Income{
		Price: s.Value(price), Fee: s.Value(fee), Fees: s.Value(fees), Net: s.Value(net),
		Stays: less("stays", from.makerCash), Over: less("over", from.used), fee: fee,
	}
}

// stateIncome states the fee of one payment, those of all payments, which are rounded
// once, and what comes in after them.
func stateIncome(s *sum.Sheet, price, units, percent, fixed sum.Ref, digits int32) (fee, fees, net sum.Ref) {
	fee = s.Add(s.Div(s.Mul(price, percent), s.Count(100)), fixed)
	fees = s.Round(s.Mul(fee, units), digits)
	return fee, fees, s.Sub(s.Mul(price, units), fees)
}

// stateAsk states what each recipient is asked for (5.10): the cash that the recipients
// bear, over the units, with the fee of the payment; nothing where they bear
// none. It holds no margin.
func stateAsk(s *sums) {
	for i := range s.b.Payers {
		p := &s.b.Payers[i]
		if s.m.payers.asked == "" || bom.Fold(p.Name) != bom.Fold(s.m.payers.asked) {
			continue
		}
		keep, units := s.Sub(s.Count(100), s.setting(setFee)), s.Count(int64(s.b.Size))
		each := s.money(OfTotal, 0, "asked", s.More(s.bears[i].cash, 0, s.priceFor(s.bears[i].cash, units, keep), 0))
		s.b.Ask = Ask{Payer: p.Name, Unpriced: p.Unpriced, Each: s.Value(each)}
		stateQuote(s, each, s.bears[i].postage)
		askByZone(s, &s.bears[i], units, keep)
	}
}

// askByZone states what each recipient in a zone is asked for where all pay the
// postage of their own zone and share the rest evenly: what they bear of the
// postage falls on the zones as the postage itself does.
func askByZone(s *sums, p *bearsSums, units, keep sum.Ref) {
	if len(s.b.Posts) < 2 || !s.Value(s.post).IsPositive() {
		return
	}
	for i := range s.b.Posts {
		z := &s.b.Posts[i]
		if z.Parcels == 0 || z.Unpriced {
			continue
		}
		cash, parcels := s.posts[i].cash, s.posts[i].parcels
		// ((cash − postage) / units + postage × zone / all / parcels), over one
		// denominator.
		rest := s.Mul(s.Sub(p.cash, p.postage), s.post, parcels)
		amount := s.Add(rest, s.Mul(p.postage, cash, units))
		asked := s.money(OfParcel, i, "asked", s.More(p.cash, 0, s.priceFor(amount, s.Mul(units, s.post, parcels), keep), 0))
		z.Asked = s.Value(asked)
	}
}

// stateQuote states what a unit is offered for.
func stateQuote(s *sums, price, postage sum.Ref) {
	units := s.Count(int64(s.b.Size))
	each := s.money(OfQuote, 0, "price", price)
	all := s.money(OfQuote, 0, "total", s.Mul(each, units))
	post := s.money(OfQuote, 0, "postage", s.Round(s.Div(postage, units), s.digits))
	value := s.money(OfQuote, 0, "value", s.Round(s.Div(s.used, units), s.digits))
	s.b.Quote = Quote{s.Value(each), s.Value(all), s.Value(post), s.Value(value)}
}
