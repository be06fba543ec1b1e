package reports

import (
	"bytes"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	stated "tenoff/cost/sum"
	"tenoff/cost/sweep"
	"tenoff/fixtures"
)

// explained calls do with every batch of both demos at every level, and of runs in which
// several pay, something comes back, something is a gift, and something has no price.
func explained(t *testing.T, do func(where string, e *cost.Estimate, x *Explainer)) {
	t.Helper()
	all := func(name string, e *cost.Estimate) {
		for i := range e.Batches {
			do(name+", batch "+strconv.Itoa(e.Batches[i].Size), e, NewExplainer(e, &e.Batches[i]))
		}
	}
	for _, d := range fixtures.Demos() {
		for _, level := range bom.Levels {
			all(d.Name+", "+level.String(), demo(t, d, level, []int{1, 10, 40, 100}))
		}
		run := sharedRun(demoRun(t, d, bom.LevelBuilt, []int{7, 40}))
		run.Take = []cost.Swap{{Part: "PIPP-S12", Substitute: "PIPP-S9"}}
		if d.Name != fixtures.Demos()[0].Name {
			run.Take = nil
		}
		for i, oh := range run.Prices.OnHand { // stock of several rows
			oh.Row, oh.Quantity, oh.UnitValue = 100+i, bom.Whole(3), oh.UnitValue.Add(decimal.RequireFromString("0.013"))
			run.Prices.OnHand = append(run.Prices.OnHand, oh)
		}
		shared := computed(t, run)
		curve, _ := sweep.Run(run, sweep.Request{From: 5, To: 6})
		sweep.BreakEven(shared, curve, []decimal.Decimal{decimal.RequireFromString("29.95")})
		all(d.Name+", shared", shared)
		gaps := demoRun(t, d, bom.LevelBuilt, []int{7, 40})
		gaps.Prices.Offers, gaps.Prices.Quotes = gaps.Prices.Offers[5:], nil
		gaps.Prices.Postage = gaps.Prices.Postage[:min(1, len(gaps.Prices.Postage))]
		all(d.Name+", unpriced", computed(t, gaps))
	}
}

// sharedRun has several payers, gifts, fees and a margin, and customs value with delivery.
func sharedRun(run cost.Run) cost.Run {
	s := &run.Prices.Settings
	s.Margin, s.PaymentFee, s.PaymentFixed = decimal.RequireFromString("12.5"), decimal.RequireFromString("2.9"), decimal.RequireFromString("0.35")
	s.CIF, s.TaxRecovered = !s.CIF, true
	run.Prices.WhoPays = nil
	for i, share := range []struct{ of, payer, percent string }{
		{"SMT parts", "maker", "33.3"}, {"SMT parts", "club", "33.3"}, {"SMT parts", "recipient", "33.4"},
		{"postage", "recipient", "50"}, {"postage", "maker", "50"}, {"Kelldorn Filament", "club", "12.5"}, {"Kelldorn Filament", "maker", "87.5"},
		{"FA-LID", "club", "60"}, {"FA-LID", "maker", "40"},
	} {
		run.Prices.WhoPays = append(run.Prices.WhoPays, bom.Share{
			Dated: bom.Dated{Origin: bom.Origin{Head: &bom.Heading{File: "who-pays.csv"}, Row: i + 2}}, AppliesTo: share.of, Payer: share.payer, Percent: decimal.RequireFromString(share.percent),
		})
	}
	for i := range run.Prices.OnHand {
		run.Prices.OnHand[i].GivenBy = []string{"club", "", "neighbour"}[i%3]
	}
	return run
}

// What is told of every result, reckoned anew from the text and from the values that
// are told with it, gives the value of the result.
func TestToldIsReckoned(t *testing.T) {
	results := 0
	explained(t, func(where string, e *cost.Estimate, x *Explainer) {
		for _, f := range x.all() {
			told := x.Tell(f.ref, 1)
			if told.Figure != nil {
				continue
			}
			results++
			got, err := reckonTold(&told)
			if err != "" {
				t.Fatalf("%s, %s = %s: %s", where, f.words, told.How, err)
			}
			off := new(big.Rat).Sub(got, told.Value.Rat())
			if off.Abs(off).Cmp(big.NewRat(1, 1_000_000_000_000)) > 0 {
				t.Errorf("%s, %s = %s: comes to %s, told is %s", where, f.words, told.How, got.FloatString(6), told.Value)
			}
		}
	})
	if results < 10_000 {
		t.Errorf("%d results", results)
	}
}

// Every branch ends at a cell, at a default, or at what the run decides, and each thing
// has one name.
func TestBranchesEndAtCells(t *testing.T) {
	decided := []stated.Key{
		{Of: cost.OfCount, What: "starts"}, {Of: cost.OfCount, What: "sides"}, {Of: cost.OfCount, What: "part lines"}, {Of: cost.OfCount, What: "placements"}, {Of: cost.OfCount, What: "joints"},
		{Of: cost.OfPart, What: "need"}, {Of: cost.OfPart, What: "spares"}, {Of: cost.OfBuy, What: "quantity"},
		{Of: cost.OfPlate, What: "pieces"}, {Of: cost.OfPlate, What: "plates"}, {Of: cost.OfPlate, What: "planned"}, {Of: cost.OfPlate, What: "start h"}, {Of: cost.OfPlate, What: "piece g"}, {Of: cost.OfPlate, What: "piece h"},
		{Of: cost.OfWork, What: "times"}, {Of: cost.OfParcel, What: "parcels"}, {Of: cost.OfParcel, What: "units"}, {Of: cost.OfCharge, What: "given"}, {Of: cost.OfTotal, What: "paying units"},
	}
	placed := 0
	explained(t, func(where string, e *cost.Estimate, x *Explainer) {
		var look func(told *stated.Told)
		look = func(told *stated.Told) {
			names := map[string]bool{}
			for i := range told.Of {
				if names[told.Of[i].Name] {
					t.Errorf("%s: two things called %s in %s = %s", where, told.Of[i].Name, told.Name, told.How)
				}
				names[told.Of[i].Name] = true
				look(&told.Of[i])
			}
			f := told.Figure
			switch {
			case f == nil && told.How == "":
				t.Errorf("%s: nothing is told of %s", where, told.Name)
			case f == nil, told.Unknown:
			case f.Place.Row > 0:
				placed++
			case f.Place.File == "" && f.Key.Of != cost.OfPlates && !slices.ContainsFunc(decided, func(k stated.Key) bool { return k.Of == f.Key.Of && k.What == f.Key.What }) && !(f.Key.Of == cost.OfShare && f.Value.Equal(decimal.NewFromInt(100))):
				t.Errorf("%s: %s (%v) was read nowhere and is no decision", where, told.Name, f.Key)
			}
		}
		all := map[string]bool{}
		for _, f := range x.all() {
			if all[f.words.String()] {
				t.Errorf("%s: two figures are called %s", where, f.words)
			}
			all[f.words.String()] = true
			if r, err := x.Find(f.words.String()); err != nil || r != f.ref {
				t.Errorf("%s: %s is not found by its name: %v", where, f.words, err)
			}
			if f.key.Of == cost.OfCategory || f.key.Of == cost.OfPayer || f.key.Of == cost.OfCharge {
				told := x.Tell(f.ref, 0)
				look(&told)
			}
		}
	})
	if placed < 1000 {
		t.Errorf("%d figures with a place", placed)
	}
}

// The tree of a figure of the demo, down to the cells.
func TestExplainGolden(t *testing.T) {
	e := demo(t, fixtures.Demos()[0], bom.LevelBuilt, []int{40})
	x := NewExplainer(e, &e.Batches[0])
	r, err := x.Find("duty and tax")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteExplainedJSON(&b, e, []Explained{{&e.Batches[0], x.Tell(r, 0)}}); err != nil {
		t.Fatal(err)
	}
	golden(t, "explain.json", b.Bytes())
}

// The price is told by its steps, one below the other; where all units are
// free, what is asked instead.
func TestPriceIsToldInSteps(t *testing.T) {
	run := sharedRun(demoRun(t, fixtures.Demos()[0], bom.LevelBuilt, []int{40}))
	run.Prices.Settings.SalesTax = decimal.RequireFromString("19")
	run.Prices.Settings.FreeUnits = 0
	e := computed(t, run)
	x := NewExplainer(e, &e.Batches[0])
	r, err := x.Find("price")
	if err != nil {
		t.Fatal(err)
	}
	var steps []string
	told := x.Tell(r, 0)
	for at := &told; len(at.Of) > 0; at = &at.Of[0] {
		if strings.HasPrefix(at.Name, "payer ") {
			break
		}
		steps = append(steps, at.Name+" = "+at.How)
	}
	want := []string{
		"selling price = round up(before rounding, step that prices are rounded up to)",
		"before rounding = before tax + sales tax before rounding",
		"before tax = to cover with one unit × 100 ÷ left of 100 before tax",
		"to cover with one unit = cost of a unit that is paid for + setting Payment fee fixed + payment fee on the recipients' share",
		"cost of a unit that is paid for = payer maker: consumed ÷ units that are paid for",
	}
	if !slices.Equal(steps, want) {
		t.Errorf("%s\nwant %s", strings.Join(steps, "\n"), strings.Join(want, "\n"))
	}

	e = demo(t, fixtures.Demos()[0], bom.LevelBuilt, []int{40})
	_, err = NewExplainer(e, &e.Batches[0]).Find("price")
	if want := "all units are free, so there is no price; there is charge per recipient of a free unit; quote: price of all"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// What a line bears of a part that stands on several is called by the line, and is all that
// a line of no printing costs.
func TestSharesAreCalledByTheirLine(t *testing.T) {
	e := demo(t, fixtures.Demos()[0], bom.LevelBuilt, []int{40})
	x, shares := NewExplainer(e, &e.Batches[0]), 0
	for i := range e.Entries {
		entry := &e.Entries[i]
		if entry.Part < 0 || entry.Line.Kind == bom.KindPrinted {
			continue
		}
		line := x.names[stated.Key{Of: cost.OfLine, At: i}]
		r, err := x.Find("part " + e.Parts[entry.Part].Key + " for " + line + ": consumed")
		if err != nil {
			continue // all of the part is the line's
		}
		shares++
		if told := x.Tell(r, 1); !told.Value.Equal(e.Batches[0].Lines[i].Consumed) {
			t.Errorf("%s: told %s, the line costs %s", line, told.Value, e.Batches[0].Lines[i].Consumed)
		}
	}
	if shares < 4 {
		t.Errorf("%d shares", shares)
	}
}

// A figure that stands in a cell and is not 0 has words: it never hides as a number in
// what is told.
func TestCellsHaveWords(t *testing.T) {
	explained(t, func(where string, e *cost.Estimate, x *Explainer) {
		x.b.Sums.Figures(func(f *stated.Figure, _ stated.Ref) {
			if f.Place.Row > 0 && !f.Value.IsZero() && !f.Value.Equal(decimal.NewFromInt(1)) && x.Words(f.Key).String() == "" {
				t.Errorf("%s: %v of %s has no words", where, f.Key, f.Place)
			}
		})
	})
}

// shareOf begins a share.
var shareOf = regexp.MustCompile(`^share ([0-9]+) of `)

// reader reckons a told expression: a second reckoning that shares nothing with the
// sums but the text.
type reader struct {
	text   string
	of     []stated.Told
	digits int32 // of what is told
	err    string
}

func reckonTold(t *stated.Told) (*big.Rat, string) {
	r := &reader{text: t.How, of: t.Of, digits: t.Digits}
	v := r.sentence()
	if t.Digits == stated.Loose {
		return v, r.err
	}
	for _, unseen := range []int64{0, 1, -1} { // roundings to nine decimals are not told
		near := new(big.Rat).Add(v, big.NewRat(unseen, 100_000_000))
		if near = roundRat([]*big.Rat{near, big.NewRat(int64(t.Digits), 1)}); near.Cmp(t.Value.Rat()) == 0 {
			return near, r.err
		}
	}
	if r.err == "" && r.text != "" {
		r.err = "there is more: " + r.text
	}
	return v, r.err
}

func (r *reader) fail(what string) *big.Rat {
	if r.err == "" {
		r.err = what + " before: " + r.text
	}
	r.text = ""
	return new(big.Rat)
}

func (r *reader) take(s string) bool {
	rest, ok := strings.CutPrefix(r.text, s)
	if ok {
		r.text = rest
	}
	return ok
}

func (r *reader) need(s string) {
	if !r.take(s) {
		r.fail("no " + s)
	}
}

// sentence is a choice, a share or a sum.
func (r *reader) sentence() *big.Rat {
	switch {
	case r.name() != nil: // a name may begin with any word
	case r.take("since "):
		return r.choice()
	case shareOf.MatchString(r.text):
		return r.share()
	}
	return r.sum()
}

func (r *reader) sum() *big.Rat {
	v := r.product()
	for {
		switch {
		case r.take(" + "):
			v = new(big.Rat).Add(v, r.product())
		case r.take(" − "):
			v = new(big.Rat).Sub(v, r.product())
		default:
			return v
		}
	}
}

func (r *reader) product() *big.Rat {
	v := r.factor()
	for {
		switch {
		case r.take(" × "):
			v = new(big.Rat).Mul(v, r.factor())
		case r.take(" ÷ "):
			by := r.factor()
			if by.Sign() == 0 { // comes to 0, see sum.Sheet.Div
				v = new(big.Rat)
				continue
			}
			v = new(big.Rat).Quo(v, by)
		default:
			return v
		}
	}
}

// name is the longest name of what was told that the text begins with; of what alone has
// its last part that will do.
func (r *reader) name() *stated.Told {
	var best *stated.Told
	try := func(i int, n string) {
		if strings.HasPrefix(r.text, n) && (best == nil || len(n) > len(best.Name)) {
			best = &stated.Told{Name: n, Value: r.of[i].Value, Figure: r.of[i].Figure}
		}
	}
	last := map[string]int{}
	for i := range r.of {
		try(i, r.of[i].Name)
		last[r.lastPart(i)]++
	}
	for i := range r.of {
		if n := r.lastPart(i); last[n] == 1 {
			try(i, n)
		}
	}
	return best
}

func (r *reader) lastPart(i int) string {
	name := r.of[i].Name
	_, what, ok := cutLast(name, ": ")
	if !ok {
		return name
	}
	return what
}

func (r *reader) factor() *big.Rat {
	if t := r.name(); t != nil {
		r.text = r.text[len(t.Name):]
		return t.Value.Rat()
	}
	for word, f := range map[string]func([]*big.Rat) *big.Rat{"": func(a []*big.Rat) *big.Rat { return a[0] },
		"round": roundRat, "round up": upRat, "least": leastRat, "greatest": greatestRat} {
		if r.take(word + "(") {
			args := []*big.Rat{r.sentence()}
			for r.take(", ") {
				args = append(args, r.sentence())
			}
			r.need(")")
			return f(args)
		}
	}
	negative := r.take("−")
	digits := len(r.text) - len(strings.TrimLeft(r.text, "0123456789."))
	v, ok := new(big.Rat).SetString(r.text[:digits])
	if !ok {
		return r.fail("no number")
	}
	r.text = r.text[digits:]
	if r.take(" that is 0") || r.take(" that are 0") {
		return new(big.Rat)
	}
	r.take(" with a consignment fee")
	if negative {
		v.Neg(v)
	}
	return v
}

func roundRat(a []*big.Rat) *big.Rat {
	digits, _ := a[1].Float64()
	v, _ := new(big.Rat).SetString(a[0].FloatString(int(digits))) // halves away from zero, as math/big has it
	return v
}

// upRat rounds what is not negative up to a multiple.
func upRat(a []*big.Rat) *big.Rat {
	q := new(big.Rat).Quo(a[0], a[1])
	n := new(big.Int).Div(new(big.Int).Sub(new(big.Int).Add(q.Num(), q.Denom()), big.NewInt(1)), q.Denom())
	return new(big.Rat).Mul(new(big.Rat).SetInt(n), a[1])
}

func leastRat(a []*big.Rat) *big.Rat    { return slices.MinFunc(a, (*big.Rat).Cmp) }
func greatestRat(a []*big.Rat) *big.Rat { return slices.MaxFunc(a, (*big.Rat).Cmp) }

// choice looks whether the conditions hold, and reckons what follows from them.
func (r *reader) choice() *big.Rat {
	for again := true; again; again = r.take(", and ") {
		if t := r.name(); t != nil && t.Figure != nil && t.Figure.Blank && strings.HasPrefix(r.text, t.Name+" is blank") {
			r.need(t.Name + " is blank")
			continue
		}
		a := r.sum()
		holds := func(int) bool { return false }
		switch { // " is " begins the others
		case r.take(" is at least "):
			holds = func(c int) bool { return c >= 0 }
		case r.take(" is under "):
			holds = func(c int) bool { return c < 0 }
		case r.take(" is over "):
			holds = func(c int) bool { return c > 0 }
		case r.take(" is not over "):
			holds = func(c int) bool { return c <= 0 }
		case r.take(" is not "):
			holds = func(c int) bool { return c != 0 }
		case r.take(" is "):
			holds = func(c int) bool { return c == 0 }
		}
		if !holds(a.Cmp(r.sum())) {
			return r.fail("a condition that does not hold")
		}
	}
	r.need(": ")
	return r.sentence()
}

// share reckons by largest remainder, ties to the first.
func (r *reader) share() *big.Rat {
	m := shareOf.FindStringSubmatch(r.text)
	at, _ := strconv.Atoi(m[1])
	r.text = r.text[len(m[0]):]
	total := r.product()
	r.need(" by ")
	weights := []*big.Rat{r.product()}
	for r.take(" : ") {
		weights = append(weights, r.product())
	}
	digits := float64(r.digits)
	if r.take(", to ") {
		digits, _ = r.factor().Float64()
		r.need(" decimals")
	}
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(digits)), nil))
	return new(big.Rat).Quo(largestRemainder(new(big.Rat).Mul(total, scale), weights, at-1), scale)
}

// largestRemainder gives one of the shares of whole units (Balinski and Young, Fair
// Representation, 1982: Hamilton's method).
func largestRemainder(units *big.Rat, weights []*big.Rat, at int) *big.Rat {
	all := new(big.Rat)
	for _, w := range weights {
		all.Add(all, w)
	}
	if all.Sign() == 0 {
		if at == 0 {
			return units
		}
		return new(big.Rat)
	}
	left := new(big.Rat).Set(units)
	floors, rests := make([]*big.Rat, len(weights)), make([]*big.Rat, len(weights))
	for i, w := range weights {
		quota := new(big.Rat).Quo(new(big.Rat).Mul(units, w), all)
		floors[i] = new(big.Rat).SetInt(new(big.Int).Div(quota.Num(), quota.Denom()))
		rests[i] = new(big.Rat).Sub(quota, floors[i])
		left.Sub(left, floors[i])
	}
	before := 0 // shares that get one of what is left sooner
	for i := range rests {
		if c := rests[i].Cmp(rests[at]); c > 0 || c == 0 && i < at {
			before++
		}
	}
	if left.Cmp(new(big.Rat).SetInt64(int64(before))) > 0 {
		return new(big.Rat).Add(floors[at], big.NewRat(1, 1))
	}
	return floors[at]
}

// What stands nowhere tells by what rule it was counted or decided. 43 main boards are
// wanted of 40 units at 98 %, with 95 % confidence, and 44 started. For 100 units substitute
// tells that 109 of a chip are required.
func TestDecidedTellsItsRule(t *testing.T) {
	told := map[string]bool{}
	explained(t, func(where string, _ *cost.Estimate, x *Explainer) {
		for _, f := range x.all() {
			if at := x.b.Sums.FigureOf(f.ref); at != nil && readFrom(at) == "" && !x.b.Sums.Unknown(f.ref) {
				if told[f.words.Why] = true; f.words.Why == "" {
					t.Errorf("%s: %s: no rule is told", where, f.words)
				}
			}
		}
	})
	for _, want := range []string{
		"so that 43 are good with 95 % confidence at a board yield of 99.61 %", "counted in the list of the board", "by the tab attrition",
		"of all its lines, for the boards to start", "of all its lines, for 43 units to start", "to buy: 109 pieces; with it all orders together are cheapest",
		"on which 43 pieces lie, at most 2 on each", "so that 22 come out good with 95 % confidence", "once for the batch",
		"4 in a unit, 43 units to start", "as many as hold the units", "of 40 units by the tab recipients", "40 units less those that are free",
	} {
		if !told[want] {
			t.Errorf("not told: %s", want)
		}
	}
}

// One piece is no pieces, and one second no plural.
func TestUnitOfOne(t *testing.T) {
	for _, c := range [][3]string{{"1", "pieces", "piece"}, {"1", "rings", "ring"}, {"2", "leads", "leads"}, {"0.5", "pieces", "pieces"}, {"1", "s", "s"}, {"1", "g", "g"}} {
		if got := UnitOfOne(c[0], c[1]); got != c[2] {
			t.Errorf("%s %s, want %s", c[0], got, c[2])
		}
	}
}
