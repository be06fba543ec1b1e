package buy

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// reckoned is what plans are compared by.
type reckoned struct {
	landed, surplus decimal.Decimal
	orders          int
	pieces          decimal.Decimal
}

func (b reckoned) String() string {
	return fmt.Sprintf("landed %s, surplus %s, %d orders, %s pieces", b.landed, b.surplus, b.orders, b.pieces)
}

// compare puts the better plan first: less cash, more surplus, fewer orders, fewer pieces.
func (b reckoned) compare(c reckoned) int {
	return cmp.Or(b.landed.Cmp(c.landed), c.surplus.Cmp(b.surplus), cmp.Compare(b.orders, c.orders), b.pieces.Cmp(c.pieces))
}

// ledger works a plan's cash and surplus out again, straight from the rules and in decimal
// money, sharing no arithmetic with the package. It also checks that the
// quantities are allowed and cover the demand. Quantities are by part and
// offer, 0 for none.
func ledger(p Problem, q [][]int64) (out reckoned, err error) {
	short := map[int]bool{}
	type account struct {
		goods, home, consign, sent decimal.Decimal
		byRate                     decimal.Decimal // Σ value × duty of lines
		heads                      map[string]bool
		exists                     bool
	}
	accounts := make([]account, len(p.Suppliers))
	for i, s := range p.Suppliers {
		accounts[i].goods, accounts[i].home = s.Fixed.Amount, s.Fixed.Home
		accounts[i].exists, accounts[i].heads = s.Fixed.Ordered, map[string]bool{}
		if s.Fixed.Ordered {
			accounts[i].heads[""] = true
		}
		machine := slices.ContainsFunc(p.Parts, func(x Part) bool { return x.Machine })
		if i == p.Assembler && s.PartsSent && (machine || s.Fixed.Sent.IsPositive()) {
			accounts[i].exists = true
		}
	}
	for i, part := range p.Parts {
		bought := decimal.Zero
		elsewhere := false
		lines := map[int]decimal.Decimal{} // cash at home
		for j, o := range part.Offers {
			n := q[i][j]
			if n == 0 {
				continue
			}
			if n < o.MOQ || n%o.Multiple != 0 || o.Stock >= 0 && n > o.Stock {
				return reckoned{}, fmt.Errorf("part %d offer %d: %d is not allowed", i, j, n)
			}
			price, found := decimal.Zero, false
			for _, b := range o.Breaks {
				if b.From <= n {
					price, found = b.Price, true
				}
			}
			if !found {
				return reckoned{}, fmt.Errorf("part %d offer %d: no price for %d", i, j, n)
			}
			count := decimal.NewFromInt(n)
			bought = bought.Add(count.Mul(o.Pieces.Decimal()))
			s := p.Suppliers[o.Supplier]
			a := &accounts[o.Supplier]
			cash := count.Mul(price).Round(o.Currency.Digits)
			home := cash
			if o.Currency.Code != p.Home.Code {
				home = cash.Mul(o.Rate).Round(p.Home.Digits)
			}
			own := cash
			if o.Currency.Code != s.Currency.Code {
				own = home
				if s.Currency.Code != p.Home.Code {
					own = home.DivRound(s.Rate, 30).Round(s.Currency.Digits)
				}
			}
			if o.LineFee.IsPositive() {
				withFee := cash.Add(o.LineFee.Round(o.Currency.Digits))
				if o.Currency.Code != p.Home.Code {
					withFee = withFee.Mul(o.Rate).Round(p.Home.Digits)
				}
				home = withFee
			}
			a.goods, a.home, a.exists, a.heads[o.Heading] = a.goods.Add(own), a.home.Add(home), true, true
			if o.Duty.Valid {
				a.byRate = a.byRate.Add(home.Mul(o.Duty.Decimal.Sub(s.Duty)))
			}
			lines[j] = home
			elsewhere = elsewhere || o.Supplier != p.Assembler
			if p.Assembler >= 0 && part.Machine && o.Supplier != p.Assembler {
				accounts[p.Assembler].sent = accounts[p.Assembler].sent.Add(home)
			}
		}
		if bought.LessThan(part.Demand.Decimal()) {
			short[i] = true
		}
		out.pieces = out.pieces.Add(bought)
		for j, cash := range lines {
			plain := cash.Sub(cash.Mul(decimal.Min(part.Demand.Decimal(), bought)).DivRound(bought, 30).Round(p.Home.Digits))
			if w := part.Offers[j].Worth; w.Valid {
				plain = plain.Mul(w.Decimal).Shift(-2).Round(p.Home.Digits)
			}
			out.surplus = out.surplus.Add(plain)
		}
		if p.Assembler >= 0 && part.Machine && (elsewhere || !bought.IsPositive()) {
			s := p.Suppliers[p.Assembler]
			fee := s.Consign.Round(s.Currency.Digits)
			if s.Currency.Code != p.Home.Code {
				fee = fee.Mul(s.Rate).Round(p.Home.Digits)
			}
			if fee.IsPositive() {
				accounts[p.Assembler].consign = accounts[p.Assembler].consign.Add(fee)
				accounts[p.Assembler].exists = true
			}
		}
	}
	if len(short) > 0 {
		return reckoned{}, fmt.Errorf("parts %v are not covered", short)
	}
	sum := decimal.Zero
	hundred := decimal.NewFromInt(100)
	for i, s := range p.Suppliers {
		a := accounts[i]
		if !a.exists {
			continue
		}
		out.orders++
		home := func(own decimal.Decimal) decimal.Decimal {
			own = own.Round(s.Currency.Digits)
			if s.Currency.Code == p.Home.Code {
				return own
			}
			return own.Mul(s.Rate).Round(p.Home.Digits)
		}
		delivery := home(s.Delivery)
		if s.FreeOver.Valid && a.goods.GreaterThanOrEqual(s.FreeOver.Decimal) {
			delivery = decimal.Zero
		}
		topUp := decimal.Zero
		if a.goods.LessThan(s.MinOrder) {
			topUp = home(s.MinOrder.Sub(a.goods))
		}
		value := decimal.Sum(a.home, topUp, a.consign)
		if i == p.Assembler && s.PartsSent {
			value = decimal.Sum(value, a.sent, s.Fixed.Sent)
		}
		var duty, tax, handling decimal.Decimal
		if value.LessThanOrEqual(s.DutyFreeUpTo) {
			duty = s.FlatDuty.Round(p.Home.Digits).Mul(decimal.NewFromInt(int64(max(1, len(a.heads)))))
		} else {
			byRate := value.Mul(s.Duty).Add(a.byRate).Div(hundred)
			if p.CIF {
				byRate = byRate.Mul(value.Add(delivery)).DivRound(value, 30)
			}
			duty = byRate.Round(p.Home.Digits)
		}
		if value.GreaterThan(s.TaxFreeUpTo) {
			tax = decimal.Sum(value, delivery, duty).Mul(s.Tax).Div(hundred).Round(p.Home.Digits)
		}
		if duty.IsPositive() || tax.IsPositive() {
			handling = s.Handling.Round(p.Home.Digits)
		}
		if p.TaxRecovered {
			tax = decimal.Zero
		}
		sum = decimal.Sum(sum, a.home, delivery, topUp, duty, tax, handling, a.consign)
	}
	if p.AtMost > 0 && out.orders > p.AtMost {
		return reckoned{}, fmt.Errorf("%d orders", out.orders)
	}
	out.landed = sum
	return out, nil
}

// quantities spreads a plan's lines by part and offer.
func quantities(p Problem, plan Plan) [][]int64 {
	q := make([][]int64, len(p.Parts))
	for i := range q {
		q[i] = make([]int64, len(p.Parts[i].Offers))
	}
	for _, l := range plan.Lines {
		q[l.Part][l.Offer] = l.Quantity
	}
	return q
}

// mustSolve solves and checks the plan against the ledger.
func mustSolve(t testing.TB, p Problem) Plan {
	t.Helper()
	plan, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if plan.TooFewOrders || len(plan.Short) > 0 {
		t.Fatal("no plan")
	}
	checkLedger(t, p, plan)
	return plan
}

func checkLedger(t testing.TB, p Problem, plan Plan) {
	t.Helper()
	if len(plan.Short) > 0 || plan.TooFewOrders {
		return
	}
	sum, err := ledger(p, quantities(p, plan))
	if err != nil {
		t.Fatalf("the plan breaks the rules: %v", err)
	}
	if !sum.landed.Equal(plan.Landed) {
		t.Fatalf("landed %s, worked out again %s", plan.Landed, sum.landed)
	}
}

var (
	eur = bom.Currency{Code: "EUR", Digits: 2}
	usd = bom.Currency{Code: "USD", Digits: 2}
	jpy = bom.Currency{Code: "JPY", Digits: 0}
)

func dec(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func free(s string) decimal.NullDecimal { return decimal.NewNullDecimal(dec(s)) }
