package buy

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

var gbp = bom.Currency{Code: "GBP", Digits: 2}

// hardRun is a run in which every order has a minimum, half of the suppliers
// have duty and import tax with thresholds, the money is of four currencies and
// parts that the assembler does not sell cost a fee. How much is bought goes from
// less than the minimums come to, to several times that. All of it is invented.
func hardRun(parts, suppliers, seed int) Problem {
	r := rand.New(rand.NewPCG(uint64(seed), uint64(1000*parts+suppliers)))
	p := Problem{Home: eur, CIF: r.IntN(2) == 0, TaxRecovered: r.IntN(4) == 0}
	for i := range suppliers {
		p.Suppliers = append(p.Suppliers, hardSupplier(r, i))
	}
	p.Assembler = r.IntN(suppliers)
	a := &p.Suppliers[p.Assembler]
	a.Consign = inCurrency(a, 0.3+2.7*r.Float64())
	if r.IntN(2) == 0 {
		s := &p.Suppliers[r.IntN(suppliers)]
		s.Fixed = Fixed{Ordered: true, Amount: inCurrency(s, 5+55*r.Float64())}
		s.Fixed.Home = s.Fixed.Amount.Mul(s.Rate).Round(2)
	}
	sh := shape{demand: [2]int{4, 200}, price: [2]float64{0.01, 5}, offered: 0.6, decimals: 3, packs: 0.2, stock: 0.15, exchanged: true}
	batch := math.Pow(10, r.Float64()-1)
	for i := range parts {
		part := randomPart(r, sh, p.Suppliers, "part "+strconv.Itoa(i))
		part.Demand = bom.Whole(max(1, int64(batch*float64(part.Demand.Ceil()))))
		p.Parts = append(p.Parts, part)
	}
	return p
}

func hardSupplier(r *rand.Rand, i int) Supplier {
	s := Supplier{Name: "supplier " + strconv.Itoa(i), Currency: eur, Rate: dec("1")}
	if r.IntN(2) == 0 {
		switch r.IntN(3) {
		case 0:
			s.Currency, s.Rate = usd, decimal.New(int64(8500+r.IntN(1500)), -4)
		case 1:
			s.Currency, s.Rate = gbp, decimal.New(int64(11000+r.IntN(1500)), -4)
		default:
			s.Currency, s.Rate = jpy, decimal.New(int64(550+r.IntN(150)), -5)
		}
		s.Duty, s.Tax = decimal.New(int64(10+r.IntN(60)), -1), decimal.NewFromInt(int64(15+r.IntN(10)))
		s.DutyFreeUpTo = decimal.NewFromInt(int64(100 + 50*r.IntN(3)))
		s.TaxFreeUpTo = decimal.NewFromInt(int64(22 + r.IntN(130)))
		s.Handling = cents(r, [2]int{2, 12})
	}
	s.Delivery = inCurrency(&s, 5+10*r.Float64())
	s.MinOrder = inCurrency(&s, 80+170*r.Float64())
	if r.IntN(10) > 0 {
		s.FreeOver = decimal.NewNullDecimal(inCurrency(&s, 50+250*r.Float64()))
	}
	return s
}

// inCurrency is an amount of so many euros in a supplier's currency.
func inCurrency(s *Supplier, euros float64) decimal.Decimal {
	return decimal.NewFromFloat(euros).DivRound(s.Rate, s.Currency.Digits)
}

// TestHardRuns: the plan holds by the ledger, the bound is below it, more effort
// never makes either worse where it proves, and a solver that has planned other
// sizes before gives the same plan after the same steps.
func TestHardRuns(t *testing.T) {
	for _, size := range [][2]int{{15, 7}, {40, 5}} {
		for seed := range checks.Runs(100) {
			p := hardRun(size[0], size[1], seed)
			p.Effort = 300_000
			plan := mustSolve(t, p)
			if plan.Bound.GreaterThan(plan.Landed) || plan.Proven != plan.Bound.Equal(plan.Landed) || !plan.Bound.IsPositive() {
				t.Errorf("%v, seed %d: landed %s, bound %s, proven %v", size, seed, plan.Landed, plan.Bound, plan.Proven)
			}
			s, err := New(p)
			if err != nil {
				t.Fatal(err)
			}
			demand, fixed := demands(p)
			other := slices.Clone(demand)
			for i := range other {
				other[i] *= 2
			}
			if _, err := s.Solve(other, nil, fixed); err != nil {
				t.Fatal(err)
			}
			if again, err := s.Solve(demand, nil, fixed); err != nil || !reflect.DeepEqual(again, plan) {
				t.Errorf("%v, seed %d: after another size %s in %d steps (%v), alone %s in %d", size, seed, again.Landed, again.Steps, err, plan.Landed, plan.Steps)
			}
		}
	}
}

// TestHardProofs: of the first hard runs, so many are proven within two million
// steps. A bound that is weaker than it could be shows here.
func TestHardProofs(t *testing.T) {
	for _, c := range []struct{ parts, suppliers, runs, proven int }{{15, 7, 20, 18}, {40, 5, 12, 10}} {
		proven := 0
		for seed := range c.runs {
			p := hardRun(c.parts, c.suppliers, seed)
			p.Effort = 2_000_000
			plan := mustSolve(t, p)
			if plan.Proven {
				proven++
			}
			if plan.Steps > p.Effort*3/2 {
				t.Errorf("%d × %d, seed %d: %d steps of %d", c.parts, c.suppliers, seed, plan.Steps, p.Effort)
			}
		}
		if proven < c.proven {
			t.Errorf("%d × %d: %d of %d proven, want %d", c.parts, c.suppliers, proven, c.runs, c.proven)
		}
	}
}

// TestHardAgree: the least cash of some hard runs as it was proven before, most of them
// also with the means of hard proofs from the first step on. No bound is above it, no plan
// below, and what is proven is just that.
func TestHardAgree(t *testing.T) {
	for _, c := range []struct {
		parts, suppliers, seed int
		landed                 string
	}{
		{15, 7, 29, "590.95"}, {15, 7, 63, "415.26"}, {15, 7, 88, "563.76"}, {15, 7, 92, "766.83"}, {15, 7, 98, "671.73"},
		{40, 5, 0, "671.62"}, {40, 5, 16, "889.5"}, {40, 5, 21, "956.86"}, {40, 5, 45, "1380.8"}, {40, 5, 62, "1610.44"}, {40, 5, 69, "576.31"},
		{40, 5, 72, "1030.54"}, {40, 5, 75, "965"}, {40, 5, 92, "1450.23"}, {40, 5, 94, "1130.46"},
	} {
		p := hardRun(c.parts, c.suppliers, c.seed)
		p.Effort = 1_500_000
		plan, want := mustSolve(t, p), dec(c.landed)
		if plan.Landed.LessThan(want) || plan.Bound.GreaterThan(want) || plan.Proven && !plan.Landed.Equal(want) {
			t.Errorf("%d × %d, seed %d: landed %s, bound %s, proven %v, want %s", c.parts, c.suppliers, c.seed, plan.Landed, plan.Bound, plan.Proven, want)
		}
	}
}

// TestFeesAreWhole: where the assembler's order has room for some parts alone, how many
// pay a consign fee decides the proof. Without that, ten times the steps prove nothing.
func TestFeesAreWhole(t *testing.T) {
	p := hardRun(40, 5, 69)
	p.Effort = 600_000
	if plan := mustSolve(t, p); !plan.Proven || !plan.Landed.Equal(dec("576.31")) {
		t.Errorf("landed %s, bound %s, proven %v in %d steps", plan.Landed, plan.Bound, plan.Proven, plan.Steps)
	}
}

// TestOutOfReach: orders that no combination brings near a threshold do not keep plans apart
// that differ in them alone. Without that, a hundred times the steps prove nothing.
func TestOutOfReach(t *testing.T) {
	p := hardRun(120, 8, 72)
	p.Effort = 300_000
	if plan := mustSolve(t, p); !plan.Proven || !plan.Landed.Equal(dec("3667.43")) {
		t.Errorf("landed %s, bound %s, proven %v in %d steps", plan.Landed, plan.Bound, plan.Proven, plan.Steps)
	}
}

// TestEager: what a hard proof uses when it has taken long gives small runs the same
// cash, from the first step on.
func TestEager(t *testing.T) {
	proven := 0
	for seed := range checks.Runs(2_000) {
		r := rand.New(rand.NewPCG(uint64(seed), 11))
		p := randomRun(r, small(r))
		if seed%2 == 0 {
			p = hardRun(2+r.IntN(5), 1+r.IntN(4), seed)
			p.Effort = 200_000
		}
		plan := mustSolve(t, p)
		eager, err := solveEagerly(p)
		if err != nil {
			t.Fatal(err)
		}
		if eager.TooFewOrders != plan.TooFewOrders {
			t.Fatalf("seed %d: too few orders %v, eagerly %v", seed, plan.TooFewOrders, eager.TooFewOrders)
		}
		if plan.TooFewOrders {
			continue
		}
		checkLedger(t, p, eager)
		if plan.Landed.LessThan(eager.Bound) || eager.Landed.LessThan(plan.Bound) {
			t.Errorf("seed %d: landed %s, bound %s; eagerly %s, %s", seed, plan.Landed, plan.Bound, eager.Landed, eager.Bound)
		}
		if plan.Proven && eager.Proven {
			proven++
		}
	}
	if proven < checks.Runs(2_000)/2 {
		t.Errorf("%d are proven both ways", proven)
	}
}

// TestSpent: proven or not, a plan does not pay for what goods would cost no more
// than: one step more of any line costs something.
func TestSpent(t *testing.T) {
	for seed := range 12 {
		p := hardRun(15, 7, seed)
		p.Effort = 5000
		plan := mustSolve(t, p)
		for _, l := range plan.Lines {
			q := quantities(p, plan)
			q[l.Part][l.Offer] += p.Parts[l.Part].Offers[l.Offer].Multiple
			if sum, err := ledger(p, q); err == nil && !sum.landed.GreaterThan(plan.Landed) {
				t.Errorf("seed %d: landed %s, with one more of part %d %s", seed, plan.Landed, l.Part, sum.landed)
			}
		}
	}
}
