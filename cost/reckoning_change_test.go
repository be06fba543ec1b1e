package cost_test

import (
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// What must follow when an input is changed in a known way, on random runs.

// changed estimates two jobs; ok is false where a plan is not proven, so that
// nothing is known of its cost.
func changed(t *testing.T, a, b *job) (before, after cost.Batch, ok bool) {
	t.Helper()
	before, after = compute(t, a.run(t)).Batches[0], compute(t, b.run(t)).Batches[0]
	return before, after, before.Proven && after.Proven
}

// eachJob runs a check on random jobs, and fails where hardly any decided.
func eachJob(t *testing.T, check func(t *testing.T, seed uint64) (decided bool)) {
	t.Helper()
	jobs, decided := checks.Runs(800), 0
	for seed := range jobs {
		if check(t, uint64(seed)+20_000) {
			decided++
		}
		if t.Failed() {
			return
		}
	}
	if decided < jobs/2 {
		t.Errorf("only %d of %d runs were decided", decided, jobs)
	}
}

// twice doubles money; a blank stays blank.
func twice(texts ...*string) {
	for _, text := range texts {
		if *text != "" {
			*text = decimal.RequireFromString(*text).Mul(decimal.NewFromInt(2)).String()
		}
	}
}

func (j *job) doublePrices() {
	for i := range j.offers {
		for n := range j.offers[i].price {
			twice(&j.offers[i].price[n])
		}
		twice(&j.offers[i].fee)
	}
	for i := range j.quotes {
		twice(&j.quotes[i].price, &j.quotes[i].setUp, &j.quotes[i].perDM2)
	}
	for i := range j.spools {
		twice(&j.spools[i].price)
	}
}

// doubleMoney doubles all else that is money, thresholds too.
func (j *job) doubleMoney() {
	for i := range j.suppliers {
		s := &j.suppliers[i]
		twice(&s.delivery, &s.freeOver, &s.minimum, &s.dutyUpTo, &s.taxUpTo, &s.flatDuty, &s.handling, &s.consign)
	}
	for i := range j.assemblers {
		a := &j.assemblers[i]
		twice(&a.setUp, &a.stencil, &a.secondSide, &a.perLine, &a.perPlacement, &a.perJoint, &a.minimum)
	}
	for i := range j.printers {
		twice(&j.printers[i].rate)
	}
	for i := range j.services {
		twice(&j.services[i].price)
	}
	for i := range j.stock {
		twice(&j.stock[i].value)
	}
	for _, name := range []string{"Labour rate per hour", "Energy price per kWh", "Payment fee fixed", "Round price up to"} {
		if value, ok := j.settings[name]; ok {
			twice(&value)
			j.settings[name] = value
		}
	}
}

// TestDoubledPricesDoubleGoods: without charges, and with prices in whole minor
// units of the home currency so that nothing is rounded, each purchase costs
// exactly twice as much. The plan is the same but for ties.
func TestDoubledPricesDoubleGoods(t *testing.T) {
	plain := func(seed uint64) *job {
		j := makeJob(seed, "built")
		j.suppliers, j.exchange, j.assemblers = nil, nil, nil
		digits := isoDigits[j.home]
		whole := func(text *string) {
			if *text != "" {
				*text = rat(*text).FloatString(digits)
			}
		}
		for i := range j.offers {
			j.offers[i].currency, j.offers[i].duty = "", ""
			whole(&j.offers[i].fee)
			for n := range j.offers[i].price {
				whole(&j.offers[i].price[n])
			}
		}
		for i := range j.quotes {
			j.quotes[i].currency = ""
			whole(&j.quotes[i].price)
		}
		j.quotes = slices.DeleteFunc(j.quotes, func(q jobQuote) bool { return q.lot == "" })
		for i := range j.spools {
			j.spools[i].currency = ""
			whole(&j.spools[i].price)
		}
		for i := range j.services {
			j.services[i].currency = ""
		}
		j.settings["Assembler"] = "bench"
		return j
	}
	eachJob(t, func(t *testing.T, seed uint64) bool {
		a, b := plain(seed), plain(seed)
		b.doublePrices()
		before, after, ok := changed(t, a, b)
		if ok && !before.Landed.Mul(decimal.NewFromInt(2)).Equal(after.Landed) {
			t.Errorf("goods of %s become %s (proven: %v, %v)\n%s", before.Landed, after.Landed, before.Proven, after.Proven, a)
		}
		return ok
	})
}

// TestDoubledMoneyDoublesAll: with every price, fee, charge and threshold twice
// as high the whole is, but for one rounding for each sum that is rounded.
func TestDoubledMoneyDoublesAll(t *testing.T) {
	eachJob(t, func(t *testing.T, seed uint64) bool {
		a, b := makeJob(seed, "built"), makeJob(seed, "built")
		b.doublePrices()
		b.doubleMoney()
		before, after, ok := changed(t, a, b)
		// A line is rounded in its own currency and again in home currency; an
		// order has six charges, of which duty and tax follow others.
		roundings := int64(4*(len(before.Purchases)+len(after.Purchases)) + 20*(len(before.Orders)+len(after.Orders)) + 4*len(before.Fees))
		coarse := decimal.NewFromInt(1)
		for _, c := range []string{"JPY", "EUR", "USD"} { // the minor unit that is worth most
			worthOf, _ := times(a.rate(c), majorOf(1, c)).Float64()
			coarse = decimal.Max(coarse, decimal.NewFromFloat(worthOf).Shift(int32(isoDigits[a.home])))
		}
		gap := after.Landed.Sub(before.Landed.Mul(decimal.NewFromInt(2))).Abs().Shift(int32(isoDigits[a.home]))
		if ok && gap.GreaterThan(coarse.Mul(decimal.NewFromInt(roundings))) {
			t.Errorf("a landed cash of %s becomes %s, which no rounding explains\n%s", before.Landed, after.Landed, a)
		}
		return ok
	})
}

// TestUnitOfMany: a batch of N is one unit that holds N, as far as things go that
// are bought.
func TestUnitOfMany(t *testing.T) {
	eachJob(t, func(t *testing.T, seed uint64) bool {
		a, b := makeJob(seed, "built"), makeJob(seed, "built")
		for _, j := range []*job{a, b} {
			j.settings["Unit yield %"] = "100"
			j.services, j.zones, j.settings["Post to"] = nil, nil, ""
		}
		inner := b.unit
		inner.file = "inner.csv"
		b.unit = &jobList{file: "unit.csv", rows: []*jobRow{{part: "ALL", kind: "assembly", quantity: decimal.NewFromInt(int64(b.size)).String(), sub: inner}}}
		b.size = 1
		before, after, ok := changed(t, a, b)
		if len(before.Parts) != len(after.Parts) {
			t.Fatalf("%d parts become %d\n%s", len(before.Parts), len(after.Parts), a)
		}
		for i := range before.Parts {
			if before.Parts[i].Demand != after.Parts[i].Demand {
				t.Errorf("a demand of %s becomes %s\n%s", before.Parts[i].Demand, after.Parts[i].Demand, a)
			}
		}
		if ok && !before.Landed.Equal(after.Landed) {
			t.Errorf("a landed cash of %s becomes %s\n%s", before.Landed, after.Landed, a)
		}
		return ok
	})
}

// TestOneOfferMoves: an offer that gets dearer never makes the whole cheaper where no
// free delivery hangs on the goods, one more offer never makes it dearer, and neither does a fuller drawer where no
// consign fee hangs on who sells a part.
func TestOneOfferMoves(t *testing.T) {
	for why, change := range map[string]func(j *job){
		"a dearer offer": func(j *job) {
			for n := range j.offers[0].price {
				j.offers[0].price[n] = rat(j.offers[0].price[n]).Add(rat(j.offers[0].price[n]), big.NewRat(1, 2)).FloatString(4)
			}
		},
		"one offer less": func(j *job) {
			o := j.offers[len(j.offers)-1]
			j.offers[len(j.offers)-1].stock = "0"
			o.stock, o.supplier, o.code = "", "North Parts", "again"
			j.offers = append(j.offers, o)
			j.offers[len(j.offers)-1].price = slices.Clone(o.price)
			for n := range o.price {
				j.offers[len(j.offers)-1].price[n] = "900000"
			}
		},
		"an empty drawer": func(j *job) { j.stock = nil },
	} {
		t.Run(why, func(t *testing.T) {
			eachJob(t, func(t *testing.T, seed uint64) bool {
				a, b := makeJob(seed, "built"), makeJob(seed, "built")
				if len(a.offers) == 0 {
					return false // nothing is bought
				}
				for _, j := range []*job{a, b} {
					j.settings["Assembler"] = "bench"
				}
				for i := range a.suppliers {
					if why == "a dearer offer" {
						a.suppliers[i].freeOver, b.suppliers[i].freeOver = "", ""
					}
				}
				change(b)
				before, after, ok := changed(t, a, b)
				if ok && after.Landed.LessThan(before.Landed) {
					t.Errorf("with %s a landed cash of %s becomes %s\n%s", why, before.Landed, after.Landed, a)
				}
				return ok
			})
		})
	}
}

// TestNamesChangeNothing: other names for the payers, and rows of the bill of
// materials in another order, leave every sum as it is.
func TestNamesChangeNothing(t *testing.T) {
	eachJob(t, func(t *testing.T, seed uint64) bool {
		a, b := anyJob(seed, "kit"), anyJob(seed, "kit")
		for i := range b.shares {
			b.shares[i].payer = strings.Replace(b.shares[i].payer, "sponsor", "patron", 1)
		}
		slices.Reverse(b.unit.rows)
		before, after, ok := changed(t, a, b)
		if ok && (!before.Landed.Equal(after.Landed) || !before.Total.Cash.Equal(after.Total.Cash)) {
			t.Errorf("landed %s and total %s become %s and %s\n%s", before.Landed, before.Total.Cash, after.Landed, after.Total.Cash, a)
		}
		paid := func(b cost.Batch, name string) decimal.Decimal {
			for _, p := range b.Payers {
				if p.Name == name {
					return p.Cash
				}
			}
			return decimal.Zero
		}
		if len(before.Purchases) == len(after.Purchases) && ok && paid(before, "sponsor").Sub(paid(after, "patron")).Abs().GreaterThan(decimal.NewFromInt(1)) {
			t.Errorf("the sponsor pays %s, the patron %s\n%s", paid(before, "sponsor"), paid(after, "patron"), a)
		}
		return ok
	})
}
