package settling

import (
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Kind is a kind of variance.
type Kind int

// The kinds of variance. The first ones add up to what was spent over the plan; with the
// last two they come to what was consumed over it.
const (
	Price            Kind = iota // (actual price − plan price) × actual quantity
	Quantity                     // actual − plan at the plan's rate, without the others
	Exchange                     // at the rate that was paid − at the plan's
	Charges                      // delivery, duty, tax, fees
	LabourRate                   // (actual rate − plan rate) × actual hours
	LabourEfficiency             // (actual hours − plan hours) × plan rate
	Printing                     // hours of printers × what an hour costs by the plan
	Stock                        // what less is on hand than by the plan, at what it is worth
	NotConsumed                  // tax that comes back, what later batches bear
	kindCount
)

var kindNames = [kindCount]string{"price variance", "quantity variance", "exchange variance", "charges variance",
	"labour rate variance", "labour efficiency variance", "printing variance", "stock variance", "not consumed"}

// String gives the kind's name.
func (k Kind) String() string { return kindNames[k] }

// Kinds lists the kinds in order.
var Kinds = func() []Kind {
	all := make([]Kind, kindCount)
	for i := range all {
		all[i] = Kind(i)
	}
	return all
}()

// Spent tells whether a variance is one of money spent or work done.
func (k Kind) Spent() bool { return k < Stock }

// By are variances by kind, home currency.
type By [kindCount]decimal.Decimal

// Line is something that was planned or that money was spent on. Money is in home
// currency.
type Line struct {
	bom.Origin
	Who     string
	What    string
	Planned decimal.Decimal
	Actual  decimal.Decimal
	By      By
	Open    bool // nothing was filled in for it
}

// Variance is what it came to over the plan.
func (l *Line) Variance() decimal.Decimal { return l.Actual.Sub(l.Planned) }

// Settlement is a run against its plan. Money is in home currency.
type Settlement struct {
	*bom.Actuals
	Lines    []Line // of money spent and work done, by tab and row
	Stocks   []Line // of what is on hand after: what less is there is consumed
	By       By
	Planned  Totals
	Actual   Totals
	Yield    decimal.Decimal // variance of a good unit: actual consumed × (1 / actual good − 1 / planned)
	NoneGood bool            // no unit came out good, so that no unit has a cost
	Left     []Left
	There    []decimal.Decimal // of each of Parts: taken from stock and received
	Shorts   []Short
	Builds   decimal.Decimal // units that what came is enough for, no more than planned
	Products []Product       // of a run of several; else none

	over    []decimal.Decimal       // by product: consumed over the plan, not rounded
	rate    map[string]*bom.RunRate // by payee and currency
	printed map[string]*bom.RunPrinter
}

// key is a name as it is compared.
func key(names ...string) string {
	for i := range names {
		names[i] = bom.Fold(names[i])
	}
	return strings.Join(names, "\x00")
}

// Totals are what a run came to.
type Totals struct {
	Cash     decimal.Decimal
	Own      decimal.Decimal
	Stock    decimal.Decimal // taken from stock − surplus
	Kept     decimal.Decimal // of the cash, not consumed besides: to reclaim, borne by later batches
	Consumed decimal.Decimal // cash + own + stock − kept
	Good     decimal.Decimal
	Unit     decimal.Decimal // consumed / good
}

// Spent is cash and own work.
func (t Totals) Spent() decimal.Decimal { return t.Cash.Add(t.Own) }

// Left is what is on hand after the run of a part of one giver and value.
type Left struct {
	bom.RunLeft
	Is    decimal.Decimal // pieces or grams
	Added bool            // the plan has no row for it
}

// Short is a part of which less came than was ordered and than is required.
type Short struct {
	Part      string
	Suppliers []string        // who sent less
	Ordered   decimal.Decimal // pieces or grams
	Received  decimal.Decimal
	Required  decimal.Decimal // with spares
	Has       decimal.Decimal // taken from stock and received
	Builds    decimal.Decimal // units that it is enough for, without spares
}

// unitDigits are the decimals of the cost of one unit, far more than are shown.
const unitDigits = 12

// Settle compares a run with its plan.
func Settle(a *bom.Actuals) *Settlement {
	s := &Settlement{Actuals: a, rate: map[string]*bom.RunRate{}, printed: map[string]*bom.RunPrinter{}}
	for i := range a.Exchange {
		s.rate[key(a.Exchange[i].Payee, a.Exchange[i].Currency.Code)] = &a.Exchange[i]
	}
	for i := range a.Printers {
		s.printed[key(a.Printers[i].Printer)] = &a.Printers[i]
	}
	s.over = make([]decimal.Decimal, len(a.Products))
	for _, x := range bom.Refs(a.Purchases) {
		s.purchase(x)
	}
	for _, x := range bom.Refs(a.Charges) {
		s.charge(x)
	}
	for _, x := range bom.Refs(a.Work) {
		s.work(x)
	}
	for _, x := range bom.Refs(a.Prints) {
		s.print(x)
	}
	s.stock()
	for i := range s.Lines {
		s.add(&s.Lines[i])
	}
	for i := range s.Stocks {
		s.add(&s.Stocks[i])
	}
	s.Planned.Good, s.Actual.Good = a.Good.Planned, a.Good.Is()
	s.Planned.close()
	s.Actual.close()
	if s.NoneGood = s.Actual.Good.IsZero(); !s.NoneGood {
		s.Yield = s.Actual.Unit.Sub(s.Actual.Consumed.DivRound(a.Good.Planned, unitDigits))
	}
	s.products()
	s.short()
	return s
}

// enter takes a line up with what it was planned to come to and what it came to; what that
// is over the plan falls on the products that it is for.
func (s *Settlement) enter(l Line, of bom.RunShares, planned, actual Totals) {
	s.Lines = append(s.Lines, l)
	s.Planned.add(planned)
	s.Actual.add(actual)
	s.spread(actual.consumed().Sub(planned.consumed()), of)
}

func (t *Totals) add(u Totals) {
	t.Cash, t.Own, t.Stock, t.Kept = t.Cash.Add(u.Cash), t.Own.Add(u.Own), t.Stock.Add(u.Stock), t.Kept.Add(u.Kept)
}

// consumed is what was consumed so far.
func (t *Totals) consumed() decimal.Decimal { return decimal.Sum(t.Cash, t.Own, t.Stock).Sub(t.Kept) }

func (s *Settlement) add(l *Line) {
	for k := range l.By {
		s.By[k] = s.By[k].Add(l.By[k])
	}
}

// close works out what follows from the other totals.
func (t *Totals) close() {
	t.Consumed = t.consumed()
	if t.Good.IsPositive() {
		t.Unit = t.Consumed.DivRound(t.Good, unitDigits)
	}
}

// money rounds to the minor unit of the home currency.
func (s *Settlement) money(d decimal.Decimal) decimal.Decimal { return d.Round(s.Home.Digits) }

// rates are what one of a currency costs at home, as planned and as paid to a payee.
func (s *Settlement) rates(payee string, c bom.Currency) (planned, paid decimal.Decimal) {
	if x := s.rate[key(payee, c.Code)]; x != nil && c.Code != s.Home.Code {
		return x.Planned, bom.Either(x.Paid, x.Planned)
	}
	one := decimal.NewFromInt(1)
	return one, one
}

// purchase compares a line of an order.
func (s *Settlement) purchase(p *bom.RunPurchase) {
	planRate, paidRate := s.rates(p.Supplier, p.Currency)
	count, price, planPrice := p.WasInvoiced(), bom.Either(p.InvoicedPrice, p.Price), p.Price
	if p.Unplanned {
		planPrice = price
	}
	fee := bom.Either(p.InvoicedFee, p.Fee)
	if count.IsZero() && !p.InvoicedFee.Valid { // nothing was sold, so nothing is asked for selling it
		fee = decimal.Zero
	}
	goods := func(count, price decimal.Decimal) decimal.Decimal { return count.Mul(price).Round(p.Currency.Digits) }
	own := goods(count, price).Add(fee.Round(p.Currency.Digits))
	l := Line{Origin: p.Origin, Who: p.Supplier, What: p.Part,
		Planned: s.money(goods(p.Quantity, p.Price).Add(p.Fee).Mul(planRate)), Actual: s.money(own.Mul(paidRate)),
		Open: !p.Unplanned && !p.Ordered.Valid && !p.Received.Valid && !p.Invoiced.Valid && !p.InvoicedPrice.Valid}
	atPlan := s.money(own.Mul(planRate))
	l.By[Price] = s.money(price.Sub(planPrice).Mul(count).Mul(planRate))
	l.By[Charges] = s.money(fee.Sub(p.Fee).Mul(planRate))
	l.By[Exchange] = l.Actual.Sub(atPlan)
	l.By[Quantity] = decimal.Sum(atPlan, l.Planned.Neg(), l.By[Price].Neg(), l.By[Charges].Neg())
	s.enter(l, p.For, Totals{Cash: l.Planned}, Totals{Cash: l.Actual})
}

// charge compares a charge or fee.
func (s *Settlement) charge(c *bom.RunCharge) {
	planRate, paidRate := s.rates(c.Payee, c.Currency)
	planned, asked := c.Planned.Round(c.Currency.Digits), bom.Either(c.Invoiced, c.Planned).Round(c.Currency.Digits)
	l := Line{Origin: c.Origin, Who: c.Payee, What: c.What, Planned: s.money(planned.Mul(planRate)),
		Actual: s.money(asked.Mul(paidRate)), Open: !c.Invoiced.Valid}
	atPlan := s.money(asked.Mul(planRate))
	l.By[Charges], l.By[Exchange] = atPlan.Sub(l.Planned), l.Actual.Sub(atPlan)
	kept, keeps := s.money(l.Planned.Mul(c.Kept).Shift(-2)), s.money(l.Actual.Mul(c.Kept).Shift(-2))
	takes := c.Stock
	if bore, bears := s.bears(c, s.Good.Planned), s.bears(c, s.Good.Is()); !bore.Equal(bears) && c.Over > 0 {
		over := decimal.NewFromInt(c.Over)
		keeps = l.Actual.Sub(s.money(l.Actual.Mul(bears).DivRound(over, unitDigits)))
		if bore.IsPositive() {
			takes = s.money(c.Stock.Mul(bears).DivRound(bore, unitDigits))
		}
	}
	l.By[NotConsumed] = decimal.Sum(kept, keeps.Neg(), takes, c.Stock.Neg())
	s.enter(l, c.For, Totals{Cash: l.Planned, Kept: kept, Stock: c.Stock}, Totals{Cash: l.Actual, Kept: keeps, Stock: takes})
}

// bears is how many of so many good units bear a one-off cost that is spread.
func (s *Settlement) bears(c *bom.RunCharge, good decimal.Decimal) decimal.Decimal {
	return decimal.Max(decimal.Zero, decimal.Min(good, decimal.NewFromInt(c.Over-c.Before)))
}

// work compares the hours of an operation.
func (s *Settlement) work(w *bom.RunWork) {
	hours, rate := bom.Either(w.Hours, w.Planned), s.LabourRate.Is()
	l := Line{Origin: w.Origin, Who: w.AppliesTo, What: w.Operation, Planned: w.Cost, Actual: w.Cost, Open: !w.Hours.Valid}
	if !hours.Equal(w.Planned) || !rate.Equal(s.LabourRate.Planned) {
		l.Actual = s.money(hours.Mul(rate))
	}
	l.By[LabourRate] = s.money(rate.Sub(s.LabourRate.Planned).Mul(hours))
	l.By[LabourEfficiency] = l.Variance().Sub(l.By[LabourRate])
	planned, actual := Totals{Own: l.Planned}, Totals{Own: l.Actual}
	if s.LabourPaid {
		planned, actual = Totals{Cash: l.Planned}, Totals{Cash: l.Actual}
	}
	s.enter(l, w.For, planned, actual)
}

// print compares the hours of a printed part: where they were not noted, they are as
// planned for the plates that its printer printed.
func (s *Settlement) print(p *bom.RunPrint) {
	many, per := decimal.NewFromInt(1), decimal.NewFromInt(1) // actual hours are many / per of those planned
	printer := s.printed[key(p.Printer)]
	switch {
	case p.Hours.Valid && p.Planned.IsPositive():
		many, per = p.Hours.Decimal, p.Planned
	case !p.Hours.Valid && printer != nil && printer.Printed.Valid && printer.Planned.IsPositive():
		many, per = printer.Printed.Decimal, printer.Planned
	}
	is := func(planned decimal.Decimal) decimal.Decimal {
		return s.money(planned.Mul(many).DivRound(per, unitDigits))
	}
	wear, energy := is(p.Wear), is(p.Energy)
	l := Line{Origin: p.Origin, Who: p.Printer, What: p.Part, Planned: p.Wear.Add(p.Energy), Actual: wear.Add(energy),
		Open: !p.Hours.Valid && (printer == nil || !printer.Printed.Valid)}
	l.By[Printing] = l.Variance()
	s.enter(l, p.For, Totals{Own: p.Wear, Cash: p.Energy}, Totals{Own: wear, Cash: energy})
}
