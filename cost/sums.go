package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/money"
	"tenoff/cost/sum"
)

// What the keys of a batch's sums are of, with what At counts. Keys of figures and
// results of the whole run:
const (
	OfSetting  = "setting"  // What names it
	OfRate     = "rate"     // What is the currency's code
	OfSupplier = "supplier" // Terms.Suppliers; What is a heading
	OfBreak    = "break"    // breaks of Terms.Offers
	OfAssembly = "assembly" // What is a heading
	OfWorth    = "worth"    // Estimate.Parts, then Estimate.Boards: value of one on hand
	OfShare    = "who pays" // rules; What is the payer
	OfPrinter  = "printer"  // What is "NAME: heading"
)

// Keys of one batch:
const (
	OfPlate    = "plate"    // Batch.Plates
	OfWork     = "work"     // Batch.Work
	OfBoard    = "board"    // Batch.Boards
	OfCount    = "count"    // Batch.Boards: what is populated
	OfPart     = "part"     // Batch.Parts
	OfBuy      = "buy"      // Batch.Purchases
	OfOrder    = "order"    // Terms.Suppliers
	OfFee      = "fee"      // Batch.Fees
	OfParcel   = "parcel"   // Batch.Posts
	OfLine     = "line"     // Estimate.Entries
	OfCategory = "category" // Category; the total is categoryCount
	OfPayer    = "payer"    // see PayerKey
	OfCharge   = "charge"   // 0: the price to charge, 1: the given price
	OfQuote    = "quote"    // 0
	OfTotal    = "total"    // over all of a batch: What is the sum
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

	work, post                 sum.Ref // money of all hand work, cash of all postage
	cash, used, unitCost, step sum.Ref // of the batch; used per unit; what prices are rounded up to
}

// newSums begins the sums of a batch.
func (m *Model) newSums(b *Batch) *sums {
	const perPart, besides = 40, 300
	s := &sums{Sheet: sum.New(perPart*len(m.parts) + besides), m: m, b: b, digits: m.home.Digits, known: map[sum.Key]sum.Ref{}}
	b.Sums = s.Sheet
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

// percent is a share of an amount.
func (s *sums) percent(of, percent sum.Ref) sum.Ref { return s.Div(s.Mul(of, percent), s.Count(100)) }

// quantity gives a value as a quantity.
func (s *sums) quantity(r sum.Ref) bom.Quantity { return bom.Quantity(s.Value(r).Shift(6).IntPart()) }

// borneSums are what something costs: cash, value from the drawer, and what is used of
// both.
type borneSums struct{ cash, drawer, used []sum.Ref }

func (a *borneSums) add(cash, drawer, used sum.Ref) {
	for _, x := range []struct {
		to *[]sum.Ref
		r  sum.Ref
	}{{&a.cash, cash}, {&a.drawer, drawer}, {&a.used, used}} {
		if x.r != 0 {
			*x.to = append(*x.to, x.r)
		}
	}
}

// spent adds cash that is used in full.
func (a *borneSums) spent(cash sum.Ref) { a.add(cash, 0, cash) }

// amountsOf reads what something costs.
func (s *sums) amountsOf(cash, drawer, used, leftover sum.Ref) Amounts {
	return Amounts{
		Cash: s.Value(cash), Drawer: s.Value(drawer), Used: s.Value(used), Leftover: s.Value(leftover),
		Unpriced: s.Unknown(cash) || s.Unknown(used),
	}
}

// exact takes a measured figure into decimals with all its digits.
func exact(f float64) decimal.Decimal {
	if d, whole := money.FromFloat(f); whole && d.IsInteger() {
		return d
	}
	return decimal.NewFromFloat(f)
}
