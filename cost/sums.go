package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
	"tenoff/cost/sum"
)

// sums state the sums of one batch, while its decisions are made.
type sums struct {
	*sum.Sheet
	m      *Model
	b      *Batch
	digits int32 // of the home currency
	known  map[sum.Key]sum.Ref

	plates []plateSums
	boards []stockSums
	parts  []stockSums
	buys   []buySums
	orders []orderSums
	fees   []feeSums
	lines  []borneSums
	posts  []postSums
	bears  []bearsSums // by payer

	printed              sum.Ref // plates printed, those that fail included
	work, post           sum.Ref // money of all hand work, cash of all postage
	used, unitCost, step sum.Ref // of the batch; consumed per unit; what prices are rounded up to
}

// newSums begins the sums of a batch.
func (m *Model) newSums(b *Batch) *sums {
	const perPart, perLine, perSupplier, besides = 42, 10, 30, 350 // about as many nodes
	room := perPart*len(m.parts) + perLine*len(m.entries) + perSupplier*len(m.terms.Suppliers) + besides
	s := &sums{m: m, b: b, digits: m.home.Digits, known: map[sum.Key]sum.Ref{}}
	switch {
	case !m.costsOnly:
		s.Sheet = sum.New(room)
		b.Sums = s.Sheet
	case m.spare == nil:
		m.spare = sum.New(room)
		s.Sheet = m.spare
	default: // nobody asks how the costs of the last batch came about
		m.spare.Reset()
		s.Sheet = m.spare
	}
	return s
}

// scratch is for sums that decisions are weighed by before the batch's own are stated.
func (m *Model) scratch() *sums {
	return &sums{Sheet: sum.New(16), m: m, digits: m.home.Digits, known: map[sum.Key]sum.Ref{}}
}

// once enters a figure of the run, or gives the one that was entered before.
func (s *sums) once(f sum.Figure) sum.Ref {
	r, ok := s.known[f.Key]
	if !ok {
		r = s.Figure(f)
		s.known[f.Key] = r
	}
	return r
}

// decided enters a figure of the batch that was counted or decided.
func (s *sums) decided(of string, at int, what string, value decimal.Decimal) sum.Ref {
	return s.Figure(sum.Figure{Key: sum.Key{Of: of, At: at, What: what}, Value: value})
}

func (s *sums) counted(of string, at int, what string, n int) sum.Ref {
	return s.decided(of, at, what, decimal.NewFromInt(int64(n)))
}

// name gives a result of the batch its name.
func (s *sums) name(of string, at int, what string, r sum.Ref, digits int32) sum.Ref {
	return s.Name(sum.Key{Of: of, At: at, What: what}, r, digits)
}

// money gives an amount in home currency its name.
func (s *sums) money(of string, at int, what string, r sum.Ref) sum.Ref {
	return s.name(of, at, what, r, s.digits)
}

// setting enters a setting that is a figure.
func (s *sums) setting(name string) sum.Ref {
	key := sum.Key{Of: OfSetting, What: name}
	if r, ok := s.known[key]; ok {
		return r
	}
	f := sum.Figure{Key: key, Place: s.m.settingPlace(name)}
	f.Value, f.Unit, _ = s.m.settingFigure(name)
	return s.once(f)
}

// rate enters what one of a currency is worth at home.
func (s *sums) rate(c bom.Currency) sum.Ref { return s.once(s.m.terms.rate(c)) }

// toHome is what an amount, which is rounded in its own currency, is worth at home.
func (s *sums) toHome(own sum.Ref, c bom.Currency) sum.Ref {
	if c == s.m.home {
		return own
	}
	return s.Round(s.Mul(own, s.rate(c)), s.digits)
}

// toOwn is what an amount at home is worth in another currency.
func (s *sums) toOwn(home sum.Ref, c bom.Currency) sum.Ref {
	if c == s.m.home {
		return home
	}
	return s.Round(s.Div(home, s.rate(c)), c.Digits)
}

// inOwn is what goods in some currency, worth something at home, add to the sum of an
// order in the supplier's currency, which thresholds are measured against.
func (s *sums) inOwn(goods, cash sum.Ref, c, own bom.Currency) sum.Ref {
	if c == own {
		return goods
	}
	return s.toOwn(cash, own)
}

// sumNamed gives a figure or result that is stated always.
func sumNamed(s *sum.Sheet, of string, at int, what string) sum.Ref {
	r, ok := s.Find(sum.Key{Of: of, At: at, What: what})
	if !ok {
		panic("no sum " + of + " " + what)
	}
	return r
}

// percent is a share of an amount.
func (s *sums) percent(of, percent sum.Ref) sum.Ref { return s.Div(s.Mul(of, percent), s.Count(100)) }

// quantity gives a value as a quantity.
func (s *sums) quantity(r sum.Ref) bom.Quantity { return bom.Quantity(s.Value(r).Shift(6).IntPart()) }

// borneSums are what something costs: cash, value from stock, and what is used of
// both.
type borneSums struct{ cash, stock, used []sum.Ref }

func (a *borneSums) add(cash, stock, used sum.Ref) {
	for _, x := range []struct {
		to *[]sum.Ref
		r  sum.Ref
	}{{&a.cash, cash}, {&a.stock, stock}, {&a.used, used}} {
		if x.r != 0 {
			*x.to = append(*x.to, x.r)
		}
	}
}

// spent adds cash that is used in full.
func (a *borneSums) spent(cash sum.Ref) { a.add(cash, 0, cash) }

// amountsOf reads what something costs.
func (s *sums) amountsOf(cash, stock, used, surplus sum.Ref) Amounts {
	return Amounts{
		Cash: s.Value(cash), Stock: s.Value(stock), Consumed: s.Value(used), Surplus: s.Value(surplus),
		Unpriced: s.Unknown(cash) || s.Unknown(used),
	}
}

// allDigits takes a measured figure into decimals with all its digits.
func allDigits(f float64) decimal.Decimal {
	if d, whole := money.FromFloat(f); whole && d.IsInteger() {
		return d
	}
	return decimal.NewFromFloat(f)
}

// stockSums are what the batch needs of one part, board or material, what of it is on
// hand and bought, and what that costs.
type stockSums struct {
	need, demand, takes         sum.Ref // pieces or grams: needed in all; to be bought; of what is bought, taken
	bought                      sum.Ref
	cash, ofCash, used, surplus sum.Ref // of the cash is used; used in all, with stock on hand
	stock                       sum.Ref
	consigned                   sum.Ref // 1 where it costs a consignment fee
}

// buySums are one purchase.
type buySums struct {
	supplier, quantity, pieces sum.Ref
	goods, own, cash           sum.Ref // in its currency, in the supplier's, at home
	used                       sum.Ref // of the cash
}

// orderSums are what one order costs, home currency.
//
// What is due of tax is that whether it comes back or not.
type orderSums struct{ placed, delivery, topUp, consign, duty, due, tax, handling sum.Ref }

// goodsSums are what the goods of an order are the sum of: in the supplier's currency
// and at home, and what is above 0 where anything is ordered.
type goodsSums struct{ own, cash, lines, consigned []sum.Ref }

// portion is what something costs: cash, value from stock, and what is used of both.
type portion struct{ cash, stock, used sum.Ref }

// bearsSums are the cash that a payer bears, and what of it is postage.
type bearsSums struct{ cash, postage sum.Ref }

// postSums are the parcels to one zone.
type postSums struct{ parcels, cash sum.Ref }

// plateSums are what the printing of one line takes.
//
// Filament is bought for what is to be had, so that enough plates come out.
type plateSums struct{ grams, toHave, machine, energy sum.Ref }

// feeSums are a fee in its currency and at home.
type feeSums struct{ own, cash sum.Ref }

// term enters what a supplier asks.
func (s *sums) term(i int, t *TermSupplier, heading string, d decimal.Decimal, unit string) sum.Ref {
	return s.once(sum.Figure{Key: sum.Key{Of: OfSupplier, At: i, What: heading}, Value: d, Unit: unit, Place: t.At(heading), AsOf: t.AsOf})
}

// asked is what a supplier asks in its currency, rounded.
func (s *sums) asked(i int, t *TermSupplier, heading string, d decimal.Decimal) sum.Ref {
	return s.Round(s.term(i, t, heading, d, t.Currency.Code), t.Currency.Digits)
}
