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
	lines  []account
	posts  []postSums
	bears  []bearsSums // by payer

	bought  [][]portion   // of each purchase what it comes to in each category, where its part falls in several
	stocked [][][]portion // the same of each row of stock of a part

	products [][]account // by product and payer, where there are several products
	postages [][]sum.Ref // the cash of these that is postage
	ordered  [][]sum.Ref // what of each order is for which product, where there are several

	printed sum.Ref   // plates printed, those that fail included
	work    []portion // of each row of hand work
	post    sum.Ref   // cash of all postage
	step    sum.Ref   // what prices are rounded up to
	till    tillSums
}

// newSums begins the sums of a batch.
func (m *Model) newSums(b *Batch) *sums {
	const perPart, perLine, perSupplier, besides = 52, 10, 30, 430 // about as many nodes
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
func (m *Model) scratch(b *Batch) *sums {
	return &sums{Sheet: sum.New(16), m: m, b: b, digits: m.home.Digits, known: map[sum.Key]sum.Ref{}}
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

// listed has a figure of a row, named by its key, stand among the sources unless it is nothing.
func listed(f sum.Figure, row, note string) sum.Figure {
	if !f.Value.IsZero() {
		f.Row, f.Column, f.Note = row, f.Key.What, note
	}
	return f
}

// setting enters a setting that is a figure.
func (s *sums) setting(name string) sum.Ref {
	key := sum.Key{Of: OfSetting, What: name}
	if r, ok := s.known[key]; ok {
		return r
	}
	f := sum.Figure{Key: key, Place: s.m.prices.SettingPlace(name)}
	f.Value, f.Unit, _ = s.m.prices.Settings.Figure(name)
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

// portion is what something costs, as far as it costs anything: the amounts of [Amounts]
// but for the surplus, which is what is left.
type portion struct{ cash, own, stock, consumed, reclaim sum.Ref }

// spent is cash that is consumed in full; worked is own work, which always is.
func spent(cash sum.Ref) portion { return portion{cash: cash, consumed: cash} }
func worked(own sum.Ref) portion { return portion{own: own, consumed: own} }

// account lists what amounts are the sums of.
type account struct {
	cash, own, stock, consumed, reclaim []sum.Ref
	surplus                             []sum.Ref // of the accounts that it is the sum of
	rests                               bool      // something is not consumed
	stocked                             bool      // what comes from stock is stated where it is nothing too
}

func (a *account) add(p portion) {
	for _, x := range []struct {
		to *[]sum.Ref
		r  sum.Ref
	}{{&a.cash, p.cash}, {&a.own, p.own}, {&a.stock, p.stock}, {&a.consumed, p.consumed}, {&a.reclaim, p.reclaim}} {
		if x.r != 0 {
			*x.to = append(*x.to, x.r)
		}
	}
	a.rests = a.rests || p.cash != 0 && p.cash != p.consumed
}

// addTotal adds an account that was totalled.
func (a *account) addTotal(of *account) {
	a.add(of.whole())
	a.surplus = append(a.surplus, of.surplus...)
	a.rests = a.rests || of.rests
}

// total states what something costs in all, and replaces what it is the sum of. What it
// has nothing of is not stated, but for cash and what is consumed.
func (s *sums) total(of string, at int, a *account) Amounts {
	named := func(what string, list *[]sum.Ref, always bool) sum.Ref {
		if len(*list) == 0 && !always {
			return 0
		}
		r := s.money(of, at, what, s.Add(*list...))
		*list = []sum.Ref{r}
		return r
	}
	p := portion{named("cash", &a.cash, true), named("own", &a.own, false), named("stock", &a.stock, a.stocked),
		named("consumed", &a.consumed, true), named("reclaim", &a.reclaim, false)}
	surplus := sum.Ref(0)
	switch {
	case len(a.surplus) > 0:
		surplus = s.money(of, at, "surplus", s.Add(a.surplus...))
	case a.rests:
		surplus = s.money(of, at, "surplus", s.Sub(s.Add(p.cash, p.own, p.stock), s.Add(p.consumed, p.reclaim)))
	}
	if a.surplus = nil; surplus != 0 {
		a.surplus = []sum.Ref{surplus}
	}
	return s.amountsOf(p, surplus)
}

// whole is what an account that was totalled comes to.
func (a *account) whole() portion {
	one := func(list []sum.Ref) sum.Ref {
		if len(list) == 0 {
			return 0
		}
		return list[0]
	}
	return portion{one(a.cash), one(a.own), one(a.stock), one(a.consumed), one(a.reclaim)}
}

// amountsOf reads what something costs.
func (s *sums) amountsOf(p portion, surplus sum.Ref) Amounts {
	return Amounts{
		Cash: s.Value(p.cash), Own: s.Value(p.own), Stock: s.Value(p.stock), Consumed: s.Value(p.consumed),
		Surplus: s.Value(surplus), Reclaim: s.Value(p.reclaim), Unpriced: s.Unknown(p.cash) || s.Unknown(p.own) || s.Unknown(p.consumed),
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
	starts                 sum.Ref // of a board type or panel: those that are begun
	need, demand, takes    sum.Ref // pieces or grams: needed in all; to be bought; of what is bought, taken
	bought                 sum.Ref
	cash, ofCash, consumed sum.Ref // of the cash is consumed; consumed in all, with stock on hand
	stock                  sum.Ref
	taken, stocks          []sum.Ref // of each row of stock: pieces or grams, and what they are worth
	consigned              sum.Ref   // 1 where it costs a consignment fee
}

// portion is what it costs.
func (a *stockSums) portion() portion {
	return portion{cash: a.cash, stock: a.stock, consumed: a.consumed}
}

// buySums are one purchase.
type buySums struct {
	supplier, quantity, pieces sum.Ref
	goods, own, cash           sum.Ref // in its currency, in the supplier's, at home with the fee of the line
	worth                      sum.Ref // of what is not taken, %
	consumed                   sum.Ref // of the cash
	heading                    sum.Ref // with its supplier
	dutied, duty               sum.Ref // of the cash, what has a duty of its own; and × that in %
}

// orderSums are what one order costs, home currency. What is reclaimed is the tax where
// it comes back.
type orderSums struct{ placed, value, delivery, topUp, consign, duty, tax, reclaim, handling sum.Ref }

// goodsSums are what the goods of an order are the sum of: in the supplier's currency
// and at home, and what is above 0 where anything is ordered.
type goodsSums struct {
	own, cash, lines, consigned []sum.Ref
	sent                        []sum.Ref // what others send to the assembler, where customs count it
	headed                      []sum.Ref // 1 for each heading that a line has
	dutied, duty                sum.Ref   // of the cash, what has a duty of its own; and Σ × that in %
}

// bearsSums are what a payer bears, and what of the cash is postage.
type bearsSums struct {
	portion
	postage sum.Ref
}

// postSums are parcels to one zone.
type postSums struct {
	zone        int
	units, cash sum.Ref
	asked       sum.Ref // of each recipient in the zone; 0: nothing is
	askedFree   sum.Ref // of who is given a unit there, where others pay for theirs
}

// plateSums are what the printing of one line takes.
//
// Filament is bought for what is to be had, so that enough plates come out.
type plateSums struct{ grams, toHave, machine, energy sum.Ref }

// feeSums are a fee in its currency, and what it costs.
type feeSums struct {
	amount sum.Ref
	portion
}

// floatDigits are those of times, masses and energies that are multiplied by money.
const floatDigits = 9

// several tells whether the batch is of several products.
func (s *sums) several() bool { return len(s.b.Products) > 1 }

// charger states what a supplier charges for an order.
type charger struct {
	*sums
	at int // its place among the terms
	t  *bom.Supplier
}

func (s *sums) charger(at int) *charger { return &charger{s, at, &s.m.terms.Suppliers[at]} }

// term enters what the supplier asks.
func (s *charger) term(heading string, d decimal.Decimal, unit string) sum.Ref {
	return s.once(listed(sum.Figure{Key: sum.Key{Of: OfSupplier, At: s.at, What: heading}, Value: d, Unit: unit, Place: s.t.At(heading), AsOf: s.t.AsOf}, s.t.Name, s.t.Note))
}

// asked is what it asks in its currency, rounded.
func (s *charger) asked(heading string, d decimal.Decimal) sum.Ref {
	return s.Round(s.term(heading, d, s.t.Currency.Code), s.t.Currency.Digits)
}

// rate is what one unit of a currency is worth at home.
func (t *termList) rate(c bom.Currency) sum.Figure {
	for _, r := range t.Rates {
		if r.Currency == c {
			return sum.Figure{Key: sum.Key{Of: OfRate, What: c.Code}, Value: r.Rate, Unit: t.Rates[0].Currency.Code, Place: r.Place, AsOf: r.AsOf}
		}
	}
	panic("no rate of " + c.Code) // prepareTerms lists all that are met
}
