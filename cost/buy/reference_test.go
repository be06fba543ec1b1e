package buy

import (
	"bufio"
	"fmt"
	"maps"
	"math/big"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

// The reference is CBC, the mixed-integer solver that Debian packages as
// coinor-cbc, run with no gap allowed on a program in whole minor units: one
// binary for each quantity of each offer, with the cash worked out in decimals,
// so that every coefficient is a whole number. Its preprocessing is off: with
// it, version 2.10.8 called plans optimal that were not.

// program is a mixed-integer program in the LP format.
type program struct {
	objective, rows, bounds strings.Builder
	general, binary         []string
	n                       int
	rough                   bool  // roundings are left out: quantities are whole, money is not
	most                    int64 // no amount of goods is larger
}

func (g *program) row(format string, args ...any) {
	g.n++
	fmt.Fprintf(&g.rows, " r%d: ", g.n)
	text := fmt.Sprintf(format, args...)
	if len(text) > 1000 { // the reader of the reference cuts lines at 2048
		text = strings.NewReplacer(" + ", "\n + ", " - ", "\n - ").Replace(text)
	}
	g.rows.WriteString(text + "\n")
}

func (g *program) integer(name string) string {
	if g.rough {
		return name
	}
	g.general = append(g.general, name)
	return name
}

func (g *program) bin(name string) string {
	g.binary = append(g.binary, name)
	return name
}

func (g *program) pay(factor int64, name string) {
	fmt.Fprintf(&g.objective, " + %d %s\n", factor, name)
}

// atLeast states y ≥ round(x × r), half up.
func (g *program) atLeast(y, x string, r *big.Rat) {
	floor := new(big.Int).Sub(big.NewInt(1), r.Denom())
	g.row("%s %s - %s %s >= %s", twice(r.Denom()), y, twice(r.Num()), x, floor)
}

func twice(x *big.Int) *big.Int { return new(big.Int).Lsh(x, 1) }

func (g *program) String() string {
	return "Minimize\n obj:" + g.objective.String() + "Subject To\n" + g.rows.String() +
		"Bounds\n" + g.bounds.String() + "Generals\n " + strings.Join(g.general, "\n ") +
		"\nBinaries\n " + strings.Join(g.binary, "\n ") + "\nEnd\n"
}

// programOf writes a run as a program.
func programOf(p Problem, rough bool) *program {
	g := &program{most: 100 * 400, rough: rough}
	goods := make([]goodsRows, len(p.Suppliers))
	for i, part := range p.Parts {
		w := fmt.Sprintf("w%d", i)
		fee := p.Assembler >= 0 && part.Machine
		if fee {
			s := p.Suppliers[p.Assembler]
			g.bin(w)
			consign := exchange(s.Consign.Round(2), s.Currency, s.Rate).Shift(2).IntPart()
			g.pay(consign, w)
			fmt.Fprintf(&goods[p.Assembler].beside, " - %d %s", consign, w)
			if part.Demand == 0 {
				g.row("%s >= 1", w)
			}
		}
		switch {
		case part.Demand == 0:
		case rough:
			g.roughPart(p, i, part, goods, fee, w)
		default:
			g.part(p, i, part, goods, fee, w)
		}
	}
	var open []string
	for i, s := range p.Suppliers {
		open = append(open, g.order(p, i, s, &goods[i]))
	}
	if p.AtMost > 0 {
		g.row("%s <= %d", strings.Join(open, " + "), p.AtMost)
	}
	return g
}

// goodsRows gathers the terms of one order's goods.
type goodsRows struct {
	own, home strings.Builder
	uses      []string
	beside    strings.Builder // of the value: consign fees, and what is sent to the assembler
	byRate    strings.Builder // home goods × what the duty of the line is above the supplier's, in thousandths
	heads     map[string][]string
}

// under notes that a line stands under a heading.
func (r *goodsRows) under(heading, z string) {
	if r.heads == nil {
		r.heads = map[string][]string{}
	}
	r.heads[heading] = append(r.heads[heading], z)
}

// part states that a demand is covered, by at most one quantity of each offer.
func (g *program) part(p Problem, i int, part Part, goods []goodsRows, fee bool, w string) {
	var cover strings.Builder
	var dearest int64
	for j, o := range part.Offers {
		s := p.Suppliers[o.Supplier]
		var once []string
		for _, l := range listed(p, part, o, s) {
			x := g.bin(fmt.Sprintf("x%d_%d_%d", i, j, l.q))
			if fee && p.Suppliers[p.Assembler].PartsSent && o.Supplier != p.Assembler {
				fmt.Fprintf(&goods[p.Assembler].beside, " - %d %s", l.home, x)
			}
			if o.Duty.Valid {
				if more := l.home * o.Duty.Decimal.Sub(s.Duty).Shift(1).IntPart(); more != 0 {
					fmt.Fprintf(&goods[o.Supplier].byRate, " %s %d %s", sign(-more), max(more, -more), x)
				}
			}
			fmt.Fprintf(&goods[o.Supplier].own, " - %d %s", l.own, x)
			fmt.Fprintf(&goods[o.Supplier].home, " - %d %s", l.home, x)
			fmt.Fprintf(&cover, " + %d %s", l.q*int64(o.Pieces/bom.One), x)
			once = append(once, x)
			dearest = max(dearest, l.home)
		}
		if len(once) == 0 {
			continue
		}
		z := g.bin(fmt.Sprintf("z%d_%d", i, j))
		g.row("%s - %s = 0", strings.Join(once, " + "), z)
		goods[o.Supplier].uses = append(goods[o.Supplier].uses, z)
		goods[o.Supplier].under(o.Heading, z)
		if fee && o.Supplier != p.Assembler {
			g.row("%s - %s >= 0", w, z)
		}
	}
	g.row("%s >= %d", cover.String(), part.Demand.Ceil())
	g.most += 2 * dearest
}

// roughPart states a demand with one whole number for each break of an offer,
// so that the program stays small where demands are large.
func (g *program) roughPart(p Problem, i int, part Part, goods []goodsRows, fee bool, w string) {
	var cover strings.Builder
	for j, o := range part.Offers {
		s := p.Suppliers[o.Supplier]
		var once []string
		for k, b := range o.Breaks {
			from := (max(b.From, o.MOQ) + o.Multiple - 1) / o.Multiple
			covers := int64(o.Pieces/bom.One) * o.Multiple
			price := b.Price.InexactFloat64() * float64(o.Multiple)
			to := max(from, part.Demand.Ceil()/covers+1) + int64(200/price)
			if k+1 < len(o.Breaks) {
				to = min(to, (o.Breaks[k+1].From-1)/o.Multiple)
			}
			if o.Stock >= 0 {
				to = min(to, o.Stock/o.Multiple)
			}
			if from > to {
				continue
			}
			id := fmt.Sprintf("%d_%d_%d", i, j, k)
			z, n := g.bin("z"+id), "n"+id
			g.general = append(g.general, n)
			g.row("%s - %d %s >= 0", n, from, z)
			g.row("%s - %d %s <= 0", n, to, z)
			home := 100 * price
			if o.Currency.Code != eur.Code {
				home *= o.Rate.InexactFloat64()
			}
			own := home
			if s.Currency.Code != eur.Code {
				own /= s.Rate.InexactFloat64()
			}
			fmt.Fprintf(&goods[o.Supplier].own, " - %.6f %s", own, n)
			fmt.Fprintf(&goods[o.Supplier].home, " - %.6f %s", home, n)
			fmt.Fprintf(&cover, " + %d %s", covers, n)
			if line := exchange(o.LineFee, o.Currency, o.Rate).Shift(2).IntPart(); line > 0 {
				fmt.Fprintf(&goods[o.Supplier].home, " - %d %s", line, z)
			}
			once = append(once, z)
			goods[o.Supplier].uses = append(goods[o.Supplier].uses, z)
			if fee && o.Supplier != p.Assembler {
				g.row("%s - %s >= 0", w, z)
			}
			g.most += int64(home*float64(from) + 100*part.Demand.Float())
		}
		if len(once) > 1 {
			g.row("%s <= 1", strings.Join(once, " + "))
		}
	}
	g.row("%s >= %d", cover.String(), part.Demand.Ceil())
}

// quote is what a quantity of an offer costs, in minor units.
type quote struct{ q, own, home int64 }

// listed gives the quantities of an offer that can be of use: up to the first
// in each break that covers the demand and is worth more than any threshold.
func listed(p Problem, part Part, o Offer, s Supplier) (out []quote) {
	threshold, value := decimal.Max(s.MinOrder, s.FreeOver.Decimal), decimal.Zero
	if s.FlatDuty.IsPositive() {
		value = s.DutyFreeUpTo
	}
	if p.Assembler >= 0 && part.Machine && p.Suppliers[p.Assembler].FlatDuty.IsPositive() {
		value = decimal.Max(value, p.Suppliers[p.Assembler].DutyFreeUpTo)
	}
	for k, b := range o.Breaks {
		for q := max(b.From, o.MOQ); ; q++ {
			if k+1 < len(o.Breaks) && q >= o.Breaks[k+1].From || o.Stock >= 0 && q > o.Stock {
				break
			}
			if q%o.Multiple != 0 {
				continue
			}
			cash := b.Price.Mul(decimal.NewFromInt(q)).Round(o.Currency.Digits)
			home := exchange(cash, o.Currency, o.Rate)
			own := cash
			if o.Currency.Code != s.Currency.Code {
				own = home.DivRound(s.Rate, 30).Round(s.Currency.Digits)
			}
			if o.LineFee.IsPositive() {
				home = exchange(cash.Add(o.LineFee), o.Currency, o.Rate)
			}
			out = append(out, quote{q, own.Shift(2).IntPart(), home.Shift(2).IntPart()})
			if q*int64(o.Pieces/bom.One) >= part.Demand.Ceil() && own.GreaterThanOrEqual(threshold) && home.GreaterThanOrEqual(value) {
				break
			}
		}
	}
	return out
}

// exchange turns an amount into home currency, euros in all random runs.
func exchange(d decimal.Decimal, c bom.Currency, rate decimal.Decimal) decimal.Decimal {
	if c.Code == eur.Code {
		return d
	}
	return d.Mul(rate).Round(2)
}

// order states the charges of one order and gives the name of its binary.
func (g *program) order(p Problem, i int, s Supplier, goods *goodsRows) string {
	id := strconv.Itoa(i)
	big1 := g.most
	rate := big.NewRat(1, 1)
	if s.Currency.Code != eur.Code {
		rate = s.Rate.Rat()
	}
	homeOf := func(d decimal.Decimal) int64 { return exchange(d.Round(2), s.Currency, s.Rate).Shift(2).IntPart() }
	y, f := g.bin("y"+id), g.bin("f"+id)
	own, cash := g.integer("G"+id), g.integer("H"+id)
	g.row("%s %s = %d", own, goods.own.String(), s.Fixed.Amount.Shift(2).IntPart())
	g.row("%s %s = %d", cash, goods.home.String(), s.Fixed.Home.Shift(2).IntPart())
	for _, z := range goods.uses {
		g.row("%s - %s >= 0", y, z)
	}
	fees := p.Assembler == i && s.Consign.IsPositive() && func() bool {
		for _, part := range p.Parts {
			if part.Machine {
				return true
			}
		}
		return false
	}()
	if s.Fixed.Ordered || fees || i == p.Assembler && s.PartsSent && s.Fixed.Sent.IsPositive() {
		g.row("%s >= 1", y)
	}
	g.pay(1, cash)
	// Delivery: d = D (y − f); f only where the goods reach the threshold.
	d := g.integer("d" + id)
	g.row("%s - %d %s + %d %s = 0", d, homeOf(s.Delivery), y, homeOf(s.Delivery), f)
	g.row("%s - %s <= 0", f, y)
	if s.FreeOver.Valid {
		g.row("%s - %d %s >= 0", own, s.FreeOver.Decimal.Shift(2).Ceil().IntPart(), f)
	} else {
		g.row("%s = 0", f)
	}
	g.pay(1, d)
	topUp := ""
	if s.MinOrder.IsPositive() {
		u, v := g.integer("u"+id), g.integer("v"+id)
		least := s.MinOrder.Round(2).Shift(2).IntPart()
		g.row("%s + %s - %d %s >= 0", u, own, least, y)
		g.atLeast(v, u, rate)
		if s.FlatDuty.IsPositive() { // a greater value can cost less: the top-up is that and no more
			t := g.bin("t" + id)
			g.row("%s - %d %s <= 0", u, least, t)
			g.row("%s + %s - %d %s + %d %s <= %d", u, own, least, y, big1, t, big1)
			g.row("%s %s - %s %s <= %s", twice(rate.Denom()), v, twice(rate.Num()), u, rate.Denom())
		}
		g.pay(1, v)
		topUp = " - " + v
	}
	if s.Duty.IsZero() && s.Tax.IsZero() && s.FlatDuty.IsZero() && goods.byRate.Len() == 0 {
		return y
	}
	value := g.integer("V" + id)
	var sent int64
	if i == p.Assembler && s.PartsSent {
		sent = s.Fixed.Sent.Shift(2).IntPart()
	}
	g.row("%s - %s %s %s = %d", value, cash, topUp, goods.beside.String(), sent)
	duty, tax, hand := g.integer("D"+id), g.integer("T"+id), g.bin("k"+id)
	// over states whether the value is over a limit.
	over := func(name string, limit decimal.Decimal) string {
		b := g.bin("b" + name + id)
		g.row("%s - %d %s <= %d", value, big1, b, limit.Shift(2).IntPart())
		g.row("%s - %d %s >= 0", value, limit.Shift(2).IntPart()+1, b)
		return b
	}
	// due states amount ≥ round(base ÷ den), where the value is over a limit.
	due := func(amount, base string, num, den int64, b string) {
		m := 2 * num * big1
		g.row("%d %s %s - %d %s >= %d", 2*den, amount, base, m, b, 1-den-m)
		g.row("%s - %d %s <= 0", amount, big1, hand)
	}
	const scale = 1000 // of rates with one decimal
	rateNum, taxNum := s.Duty.Shift(1).IntPart(), s.Tax.Shift(1).IntPart()
	byRate := fmt.Sprintf("- %d %s", 2*rateNum, value)
	if p.CIF {
		byRate += fmt.Sprintf(" - %d %s", 2*rateNum, d)
	}
	byRate += doubled(goods.byRate.String())
	overDuty := over("d", s.DutyFreeUpTo)
	due(duty, byRate, max(rateNum, 150), scale, overDuty)
	if s.FlatDuty.IsPositive() {
		g.flatDuty(s, goods, id, y, duty, overDuty)
	}
	base := g.integer("B" + id)
	g.row("%s - %s - %s - %s = 0", base, value, d, duty)
	due(tax, fmt.Sprintf("- %d %s", 2*taxNum, base), taxNum, scale, over("t", s.TaxFreeUpTo))
	g.pay(1, duty)
	if !p.TaxRecovered {
		g.pay(1, tax)
	}
	g.pay(s.Handling.Shift(2).IntPart(), hand)
	return y
}

// doubled doubles the factors of a sum.
func doubled(sum string) string {
	w := strings.Fields(sum)
	for i := 1; i < len(w); i += 3 {
		n, _ := strconv.ParseInt(w[i], 10, 64)
		w[i] = strconv.FormatInt(2*n, 10)
	}
	return " " + strings.Join(w, " ")
}

func sign(x int64) string {
	if x < 0 {
		return "-"
	}
	return "+"
}

// flatDuty states the duty that is asked for each heading where the value is not over
// its limit.
func (g *program) flatDuty(s Supplier, goods *goodsRows, id, y, duty, over string) {
	flat := s.FlatDuty.Shift(2).IntPart()
	if s.Fixed.Ordered {
		goods.under("", "1")
	}
	var headings []string
	for _, h := range slices.Sorted(maps.Keys(goods.heads)) {
		k := g.bin(fmt.Sprintf("h%s_%d", id, len(headings)))
		headings = append(headings, k)
		for _, z := range goods.heads[h] {
			if z == "1" {
				g.row("%s >= 1", k)
			} else {
				g.row("%s - %s >= 0", k, z)
			}
		}
	}
	if len(headings) == 0 {
		g.row("%s - %d %s + %d %s >= 0", duty, flat, y, flat, over)
		return
	}
	all := strings.Join(headings, " + ")
	g.row("%s - %s >= 0", all, y)
	g.row("%s - %d %s + %d %s >= 0", duty, flat, strings.Join(headings, fmt.Sprintf(" - %d ", flat)), flat*int64(len(headings)), over)
}

// runReference solves a program and gives what the solver writes of it: the best that it
// found, and whether it searched to the end, which it does not where that takes more nodes.
func runReference(t testing.TB, g *program, nodes int) (cash float64, whole bool, lines *bufio.Scanner) {
	t.Helper()
	dir := t.TempDir()
	lp, sol := filepath.Join(dir, "run.lp"), filepath.Join(dir, "run.sol")
	if err := os.WriteFile(lp, []byte(g.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	solve := func(more ...string) ([]byte, error) {
		args := append([]string{lp, "-ratioGap", "0", "-allowableGap", "0", "-preprocess", "off"}, more...)
		return exec.Command("cbc", append(args, "-maxNodes", strconv.Itoa(nodes), "-seconds", "100", "-solve", "-solution", sol)...).CombinedOutput()
	}
	out, err := solve()
	if err != nil && strings.Contains(string(out), "Assertion") { // of its own, in its heuristics
		out, err = solve("-heuristicsOnOff", "off")
	}
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, out)
	}
	text, err := os.ReadFile(sol)
	if err != nil {
		t.Fatalf("cbc wrote no solution: %v\n%s", err, out)
	}
	lines = bufio.NewScanner(strings.NewReader(string(text)))
	lines.Scan()
	how, value, _ := strings.Cut(lines.Text(), " - objective value ")
	if _, err := fmt.Sscan(value, &cash); err != nil && !g.rough {
		t.Fatalf("cbc found no plan: %s\n%s", lines.Text(), out)
	}
	return cash, how == "Optimal", lines
}

// enough is more nodes than any program here takes in its time.
const enough = 1_000_000

// reference gives the quantities of the cheapest plan that is found in so many nodes, and
// whether it is proven.
func reference(t testing.TB, p Problem, nodes int) (q [][]int64, cash float64, whole bool) {
	t.Helper()
	cash, whole, lines := runReference(t, programOf(p, false), nodes)
	q = quantities(p, Plan{})
	for lines.Scan() {
		w := strings.Fields(lines.Text())
		if len(w) > 3 && w[0] == "**" {
			w = w[1:]
		}
		var i, j int
		var n int64
		if _, err := fmt.Sscanf(w[1], "x%d_%d_%d", &i, &j, &n); err != nil {
			continue
		}
		if x, err := strconv.ParseFloat(w[2], 64); err != nil {
			t.Fatal(err)
		} else if x > 0.5 {
			q[i][j] = n
		}
	}
	return q, cash, whole
}

// ratesDiffer tells whether lines have a duty of their own.
func ratesDiffer(p Problem) bool {
	return slices.ContainsFunc(p.Parts, func(part Part) bool {
		return slices.ContainsFunc(part.Offers, func(o Offer) bool { return o.Duty.Valid })
	})
}

func TestAgainstReference(t *testing.T) {
	checks.Program(t, "cbc")
	for seed := range checks.Runs(4_000) {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(uint64(seed), 4))
			againstReference(t, randomRun(r, small(r)))
		})
	}
}

// againstReference compares the plan of a run with that of the reference.
func againstReference(t *testing.T, p Problem) {
	t.Helper()
	plan := mustSolve(t, p)
	q, cash, whole := reference(t, p, 1_000) // a rare program takes minutes for more
	want, err := ledger(p, q)
	if err != nil {
		t.Fatalf("the reference's plan breaks the rules: %v", err)
	}
	if !whole && plan.Proven && want.landed.GreaterThan(plan.Landed) {
		return // it stopped before it found as good a plan
	}
	if !want.landed.Equal(plan.Landed) || !plan.Proven {
		t.Errorf("landed %s (proven %v), reference %s (its own figure %g)", plan.Landed, plan.Proven, want.landed, cash)
	}
}

// TestCustomsAgainstReference: with flat duty for each heading, duty of lines' own, line
// fees and what is sent to the assembler. The reference takes long over these.
func TestCustomsAgainstReference(t *testing.T) {
	checks.Program(t, "cbc")
	for seed := range checks.Runs(600) {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(uint64(seed), 41))
			sh := small(r)
			sh.parts, sh.suppliers, sh.demand, sh.packs = 1+r.IntN(3), 1+r.IntN(3), [2]int{1, 8}, 0
			p := randomRun(r, sh)
			customs(r, &p, 20)
			p.CIF = p.CIF && !ratesDiffer(p) // which is no linear program
			againstReference(t, p)
		})
	}
}
