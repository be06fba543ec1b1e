package trial_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/trial"
	"tenoff/fixtures/typed"
)

func chances(t testing.TB, in typed.Input, size int, try trial.Request) *trial.Chances {
	t.Helper()
	run := in.Read(t)
	run.Batches = []int{size}
	c, problems := trial.Run(run, typed.Compute(t, run), try)
	if problems.Failed() {
		t.Fatalf("unexpected: %s", typed.Said(problems))
	}
	return c
}

func nearly(t testing.TB, what string, got, want, off float64) {
	t.Helper()
	if math.Abs(got-want) > off {
		t.Errorf("%s is %g; want %g", what, got, want)
	}
}

// TestLabourAlone: with an hour a unit the unit cost is 6 and the labour rate,
// a beta-PERT figure of 2, 4, 12: P10, P50, P90 are 2.899, 4.767, 7.453
// (formula of Malcolm et al., Operations Research 7, 1959).
func TestLabourAlone(t *testing.T) {
	c := chances(t, typed.Slow, 10, trial.Request{Trials: 20_000, Seed: 3, Budget: typed.D("107.66723")})
	o := c.Batches[0]
	nearly(t, "P10", o.Unit.P10, 6+2.899021, 0.06)
	nearly(t, "P50", o.Unit.P50, 6+4.766723, 0.06)
	nearly(t, "P90", o.Unit.P90, 6+7.453341, 0.1)
	nearly(t, "cash P50", o.Cash.P50, 10*(6+4.766723), 0.6)
	nearly(t, "chance of the median as budget", o.InBudget, 0.5, 0.015)
	if o.Enough != 1 || len(o.Spreads) != 1 {
		t.Errorf("enough %g, spreads %v", o.Enough, o.Spreads)
	}
	nearly(t, "spread", o.Spreads[0].To-o.Spreads[0].From, 7.453341-2.899021, 0.15)
}

// TestEnough: at 90 % confidence 25 good units of 90 % yield need 30 starts, of
// which 25 or more come out good with a chance of 0.92745 (binomial
// distribution).
func TestEnough(t *testing.T) {
	in := typed.Slow.With("prices/settings.csv", "Setting,Value\nHome currency,EUR\nUnit yield %,90\nConfidence %,90\n")
	o := chances(t, in, 25, trial.Request{Trials: 20_000, Seed: 1}).Batches[0]
	nearly(t, "enough", o.Enough, 0.92745, 0.008)
	// 30 parts at 6 and no labour rate, over 25 units.
	nearly(t, "P50", o.Unit.P50, 30*6.0/25, 1e-9)
	if o.InBudget != 0 {
		t.Errorf("in budget %g without a budget", o.InBudget)
	}
}

// TestNoneGood: of one unit that comes out good half the time and is begun once, none is
// good in half of the trials, which then count it as one.
func TestNoneGood(t *testing.T) {
	in := typed.Slow.With("prices/settings.csv", "Setting,Value\nHome currency,EUR\nUnit yield %,50\nConfidence %,45\n")
	o := chances(t, in, 1, trial.Request{Trials: 20_000, Seed: 1}).Batches[0]
	nearly(t, "none good", float64(o.NoneGood)/20_000, 0.5, 0.01)
	nearly(t, "unit", o.Unit.P90, 6, 1e-9)
	if o := chances(t, typed.Slow, 1, trial.Request{Trials: 100, Seed: 1}).Batches[0]; o.NoneGood != 0 {
		t.Errorf("%d of trials without failures", o.NoneGood)
	}
}

// TestRanks: of two inputs the one that moves more comes first, the same seed
// gives the same figures, and a range that is not drawn is told of.
func TestRanks(t *testing.T) {
	in := typed.Slow.With("prices/settings.csv", "Setting,Value,Low,High\nHome currency,EUR,,\nUnit yield %,90,60,99\nLabour rate per hour,4,3.9,4.1\nMargin %,5,1,9\n")
	run := in.Read(t)
	run.Batches = []int{10, 40}
	e := typed.Compute(t, run)
	try := trial.Request{Trials: 3000, Seed: 5}
	c, problems := trial.Run(run, e, try)
	if !strings.Contains(typed.Said(problems), `the range of this setting is not used ("Margin %")`) {
		t.Errorf("said: %s", typed.Said(problems))
	}
	for i, o := range c.Batches {
		if got := o.Spreads[0].Name; got != "Unit yield %" || o.Spreads[0].Share <= o.Spreads[1].Share {
			t.Errorf("batch %d: %s comes first, %v", e.Batches[i].Size, got, o.Spreads)
		}
		if o.Unit.P10 > o.Unit.P50 || o.Unit.P50 > o.Unit.P90 || o.Enough <= 0 || o.Enough >= 1 {
			t.Errorf("batch %d: %+v", e.Batches[i].Size, o)
		}
	}
	again, _ := trial.Run(run, e, try)
	if !reflect.DeepEqual(c, again) {
		t.Error("the same seed gives other figures")
	}
	try.Seed = 6
	if other, _ := trial.Run(run, e, try); reflect.DeepEqual(c.Batches, other.Batches) {
		t.Error("another seed gives the same figures")
	}
	for _, trials := range []int{0, -1, trial.MaxTrials + 1} {
		if c, problems := trial.Run(run, e, trial.Request{Trials: trials}); c != nil || !problems.Failed() {
			t.Errorf("%d trials are made", trials)
		}
	}
}

// TestEnergyAlone: what is not certain but the energy price leaves the hours
// alone: unit cost moves by kWh × price.
func TestEnergyAlone(t *testing.T) {
	run := typed.Demo(t, "frost-alarm").Read(t)
	run.Batches = []int{40}
	e := typed.Compute(t, run)
	c, _ := trial.Run(run, e, trial.Request{Trials: 5000, Seed: 2})
	kWh := 0.0
	for _, p := range e.Batches[0].Plates {
		kWh += p.Energy.InexactFloat64() / 0.31 // the demo's price for each
	}
	for _, s := range c.Batches[0].Spreads {
		if s.Name == "Energy price per kWh" {
			nearly(t, "spread", s.To-s.From, kWh*(pertOf(s.Low, s.Mode, s.High, 0.9)-pertOf(s.Low, s.Mode, s.High, 0.1))/40, 0.005)
			return
		}
	}
	t.Error("the demo's energy price has a range, and it is not drawn")
}

// BenchmarkTry makes 10,000 trials of the larger demo at one batch size.
func BenchmarkTry(b *testing.B) {
	run := typed.Demo(b, "frost-alarm").Read(b)
	run.Batches = []int{40}
	benchTry(b, run)
}

// BenchmarkTryLines makes 10,000 trials of runs in which every part has an old
// price: twice the lines take twice the time.
func BenchmarkTryLines(b *testing.B) {
	for _, lines := range []int{50, 100, 200, 400} {
		var unit, offers strings.Builder
		unit.WriteString("Quantity,Part number,Kind\n")
		offers.WriteString("Part number,Supplier,Price,As of\n")
		for i := range lines {
			fmt.Fprintf(&unit, "1,PART-%d,other\n", i)
			fmt.Fprintf(&offers, "PART-%d,House %d,0.%d,2026-01-01\n", i, i%6, 10+i)
		}
		in := typed.Slow.With("unit.csv", unit.String(), "prices/offers.csv", offers.String())
		run := in.Read(b)
		run.Today = bom.Date{Year: 2026, Month: 11, Day: 25}
		b.Run(fmt.Sprint(lines), func(b *testing.B) { benchTry(b, run) })
	}
}

func benchTry(b *testing.B, run cost.Run) {
	e := typed.Compute(b, run)
	for b.Loop() {
		if c, _ := trial.Run(run, e, trial.Request{Trials: 10_000, Seed: 1}); c == nil {
			b.Fatal("no chances")
		}
	}
}

// pertOf is the value of a three-point figure that is not exceeded with a
// probability, by the inverse of gonum's beta distribution.
func pertOf(low, mode, high, u float64) float64 {
	return low + (high-low)*betaOf(low, mode, high).Quantile(u)
}

// betaOf is gonum's beta distribution of a three-point figure (Malcolm et al.,
// Operations Research 7, 1959), from 0 to 1.
func betaOf(low, mode, high float64) distuv.Beta {
	return distuv.Beta{Alpha: 1 + 4*(mode-low)/(high-low), Beta: 1 + 4*(high-mode)/(high-low)}
}

// TestRangesOfPrices: what a range of a price does to the unit cost, as the
// formulas have it. Each run buys ten of THING and nothing else.
func TestRangesOfPrices(t *testing.T) {
	settings := "Setting,Value\nHome currency,EUR\n"
	plain := typed.Input{"unit.csv": typed.Slow["unit.csv"], "prices/settings.csv": settings}
	for _, row := range []struct {
		why, tab, text  string
		low, mode, high float64 // unit cost
		more            []string
	}{
		{"a price", "offers", "Part number,Supplier,Price,Low,High\nTHING,A,6,5,9\n", 5, 6, 9, nil},
		{"only the highest is given", "offers", "Part number,Supplier,Price,High\nTHING,A,6,9\n", 6, 6, 9, nil},
		{"break columns: the range is that of the first", "offers", "Part number,Supplier,@1,@10,Low,High\nTHING,A,8,4,6,12\n", 3, 4, 6, nil},
		{"columns in another order", "offers", "Part number,Supplier,@10,@1,Low,High\nTHING,A,4,8,6,12\n", 3, 4, 6, nil},
		{"break rows: the one that is bought from has none of its own", "offers",
			"Part number,Supplier,From,Price,Low,High\nTHING,A,10,4,,\nTHING,A,1,8,6,12\n", 3, 4, 6, nil},
		{"break rows: it has one of its own", "offers",
			"Part number,Supplier,From,Price,Low,High\nTHING,A,10,4,3.50,7\nTHING,A,1,8,6,12\n", 3.5, 4, 7, nil},
		{"a free break moves none other", "offers",
			"Part number,Supplier,From,Price,Low,High\nTHING,A,1,0,0,1\nTHING,A,5,8,6,12\nTHING,A,10,4,,\n", 3, 4, 6, nil},
		{"a free price that may cost something", "offers", "Part number,Supplier,Price,High\nTHING,A,0,2\n", 0, 0, 2, nil},
		{"an old price", "offers", "Part number,Supplier,Price,As of\nTHING,A,6,2026-01-01\n", 5.4, 6, 6.6, nil},
		{"an old price that gives its own range", "offers", "Part number,Supplier,Price,Low,High,As of\nTHING,A,6,6,7,2026-01-01\n", 6, 6, 7, nil},
		{"an old price, the setting otherwise", "offers", "Part number,Supplier,Price,As of\nTHING,A,6,2026-01-01\n", 3, 6, 9,
			[]string{"prices/settings.csv", settings + "Old price spread %,50\n"}},
		{"a rate", "offers", "Part number,Supplier,Price,Currency\nTHING,A,6,USD\n", 4.8, 5.4, 6,
			[]string{"prices/exchange.csv", "Currency,Rate,Low,High\nUSD,0.9,0.8,1\n"}},
		{"an old rate", "offers", "Part number,Supplier,Price,Currency\nTHING,A,6,USD\n", 5.4, 6, 6.6,
			[]string{"prices/exchange.csv", "Currency,Rate,As of\nUSD,1.0,2026-01-01\n"}},
		{"a lot of boards", "boards", "Board,Fabricator,Lot,Price,Low,High\nPCB,A,10,40,30,60\n", 3, 4, 6,
			[]string{"unit.csv", "Quantity,Part number,Kind,File\n1,PCB,board,board.csv\n", "board.csv", "Designator,Quantity,Part number,Kind,Fitted\nR1,1,X,part,no\n"}},
		{"boards by area: the set-up moves with the rate", "boards",
			"Board,Fabricator,Length mm,Width mm,Set-up,Per dm2,Low,High\nPCB,A,100,100,20,2,1,3\n", 2, 4, 6,
			[]string{"unit.csv", "Quantity,Part number,Kind,File\n1,PCB,board,board.csv\n", "board.csv", "Designator,Quantity,Part number,Kind,Fitted\nR1,1,X,part,no\n"}},
	} {
		in := plain.With(append(row.more, "prices/"+row.tab+".csv", row.text)...)
		run := in.Read(t)
		run.Today = bom.Date{Year: 2026, Month: 11, Day: 25}
		c, problems := trial.Run(run, typed.Compute(t, run), trial.Request{Trials: 20_000, Seed: 1})
		if problems.Failed() {
			t.Fatalf("%s: %s", row.why, typed.Said(problems))
		}
		o := c.Batches[0]
		off := 0.02 * (row.high - row.low)
		nearly(t, row.why+": P10", o.Unit.P10, pertOf(row.low, row.mode, row.high, 0.1), off)
		nearly(t, row.why+": P50", o.Unit.P50, pertOf(row.low, row.mode, row.high, 0.5), off)
		nearly(t, row.why+": P90", o.Unit.P90, pertOf(row.low, row.mode, row.high, 0.9), off)
		if len(o.Spreads) != 1 || o.Spreads[0].Share != 1 {
			t.Errorf("%s: the spread is carried by %+v", row.why, o.Spreads)
		}
	}
}

// TestFilamentRunsShort: one plate of 600 g that fails every other time. By the
// geometric distribution one plate is enough with a chance of 1/2, at most three
// with 7/8, at most five with 31/32. On average it takes two, for which two spools at 20
// are bought with 5 for delivery; they hold three. Four and five take an order of one
// spool more (25).
func TestFilamentRunsShort(t *testing.T) {
	in := typed.Input{
		"unit.csv":             "Quantity,Part number,Kind,Material,Filament g,Print hours\n1,CASE,printed,PLA,600,10\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nConfidence %,45\n",
		"prices/materials.csv": "Material,Spool g,Spool price,Supplier\nPLA,1000,20,Spools\n",
		"prices/suppliers.csv": "Supplier,Delivery\nSpools,5\n",
		"prices/printers.csv":  "Printer,Failure %\nP,50\n",
	}
	for _, row := range []struct {
		budget string
		chance float64
	}{{"44.99", 0}, {"45", 0.875}, {"69.99", 0.875}, {"70", 0.96875}} {
		o := chances(t, in, 1, trial.Request{Trials: 20_000, Seed: 4, Budget: typed.D(row.budget)}).Batches[0]
		nearly(t, "chance of "+row.budget, o.InBudget, row.chance, 0.01)
		// 600 of 2000 g and the delivery; 2400 of 3000 g, and two deliveries.
		nearly(t, "least", o.Unit.P10, 5+12, 1e-9)
		nearly(t, "most", o.Unit.P90, 10+48, 1e-9)
	}
}

// TestShortFilamentByLandedCash: what is short comes from where it lands cheapest, tax that
// comes back left out. As above, but the spools of 19 from abroad pay 20 % tax: 45.60 for
// two, and 22.80 for one more, though one at 20 would take less cash out.
func TestShortFilamentByLandedCash(t *testing.T) {
	in := typed.Input{
		"unit.csv":             "Quantity,Part number,Kind,Material,Filament g,Print hours\n1,CASE,printed,PLA,600,10\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nConfidence %,45\nTax recovered,yes\n",
		"prices/materials.csv": "Material,Spool g,Spool price,Supplier\nPLA,1000,20,Spools\nPLA,1000,19,Far Spools\n",
		"prices/suppliers.csv": "Supplier,Import tax %\nSpools,\nFar Spools,20\n",
		"prices/printers.csv":  "Printer,Failure %\nP,50\n",
	}
	for budget, chance := range map[string]float64{"45.59": 0, "45.60": 0.875, "68.39": 0.875, "68.40": 0.96875} {
		o := chances(t, in, 1, trial.Request{Trials: 20_000, Seed: 4, Budget: typed.D(budget)}).Batches[0]
		nearly(t, "chance of "+budget, o.InBudget, chance, 0.01)
	}
}

// TestBoardsLimitUnits: with two boards in a unit and boards that come out good
// 9 times in 10, N units come out good where at least 2 N boards of those begun
// do (gonum's binomial distribution as reference).
func TestBoardsLimitUnits(t *testing.T) {
	in := typed.Input{
		"unit.csv":             "Quantity,Part number,Kind,File\n2,PCB,board,board.csv\n",
		"board.csv":            "Designator,Quantity,Part number,Mount,Joints\nU1,1,CHIP,SMT,99\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nAssembler,Placers\nConfidence %,80\n",
		"prices/assembly.csv":  "Assembler,Set-up,DPMO\nPlacers,10,1053\n",
		"prices/boards.csv":    "Board,Fabricator,Lot,Price\nPCB,Etchers,10,5\nPCB,Etchers,50,20\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nCHIP,Corner Parts,1\n",
		"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\ntest,test,unit,60\n",
	}
	run := in.Read(t)
	run.Batches = []int{10}
	e := typed.Compute(t, run)
	c, _ := trial.Run(run, e, trial.Request{Trials: 20_000, Seed: 2})
	boards := e.Batches[0].Boards[0]
	nearly(t, "yield", boards.Yield, 0.9, 0.0001)
	want := distuv.Binomial{N: float64(boards.Starts), P: boards.Yield}.Survival(19)
	nearly(t, "enough", c.Batches[0].Enough, want, 0.01)
	if s := c.Batches[0].Spreads; len(s) != 1 || s[0].Name != "good boards, PCB" || !s[0].Happens {
		t.Errorf("the spread is carried by %+v", s)
	}
}

// TestCertain: where nothing has a range and nothing fails, every trial is the
// estimate, and no budget is a matter of chance.
func TestCertain(t *testing.T) {
	in := typed.Slow.With("prices/settings.csv", "Setting,Value\nHome currency,EUR\nLabour rate per hour,4\nLabour paid,yes\n")
	for budget, want := range map[string]float64{"99.99": 0, "100": 1} {
		o := chances(t, in, 10, trial.Request{Trials: 100, Seed: 1, Budget: typed.D(budget)}).Batches[0]
		if o.Unit != (trial.Three{P10: 10, P50: 10, P90: 10}) || o.Cash != (trial.Three{P10: 100, P50: 100, P90: 100}) {
			t.Errorf("certain figures give %+v", o)
		}
		if o.InBudget != want || o.Enough != 1 || len(o.Spreads) != 0 || o.Plates {
			t.Errorf("budget %s: %+v", budget, o)
		}
	}
}

// TestWider: a wider range never narrows what comes of it.
func TestWider(t *testing.T) {
	last := trial.Outlook{}
	for i, ranges := range []string{"4,4", "3.5,4.5", "3,6", "2,8", "1,30"} {
		in := typed.Slow.With("prices/settings.csv", "Setting,Value,Low,High\nHome currency,EUR,,\nLabour rate per hour,4,"+ranges+"\n")
		o := chances(t, in, 10, trial.Request{Trials: 2000, Seed: 8}).Batches[0]
		if i > 1 && (o.Unit.P90-o.Unit.P10 <= last.Unit.P90-last.Unit.P10 || o.Spreads[0].OffBy <= last.Spreads[0].OffBy) {
			t.Errorf("%s: %+v after %+v", ranges, o, last)
		}
		last = o
	}
}

// TestTrialsInAnyOrder: neither the order of the rows of the price sheet nor
// another range changes what a figure draws.
func TestTrialsInAnyOrder(t *testing.T) {
	run := typed.Demo(t, "frost-alarm").Read(t)
	run.Batches, run.Today = []int{40}, bom.Date{Year: 2027, Month: 1, Day: 25}
	try := trial.Request{Trials: 300, Seed: 3}
	want, _ := trial.Run(run, typed.Compute(t, run), try)
	if len(want.Batches[0].Spreads) < 30 {
		t.Fatalf("%d inputs; most prices of the demo are old by then", len(want.Batches[0].Spreads))
	}
	turned := typed.Demo(t, "frost-alarm").Read(t)
	turned.Batches, turned.Today = run.Batches, run.Today
	p := turned.Prices
	slices.Reverse(p.Offers)
	slices.Reverse(p.Exchange)
	slices.Reverse(p.Quotes)
	slices.Reverse(p.Materials)
	slices.Reverse(p.Suppliers)
	slices.Reverse(p.HandWork)
	got, _ := trial.Run(turned, typed.Compute(t, turned), try)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("with the rows turned round:\n%+v\nnot\n%+v", got.Batches[0], want.Batches[0])
	}
	for i := range p.Exchange {
		p.Exchange[i].Range = bom.Range{}
		p.Exchange[i].AsOf = run.Today
	}
	fewer, _ := trial.Run(turned, typed.Compute(t, turned), try)
	if n := len(want.Batches[0].Spreads) - len(fewer.Batches[0].Spreads); n != 1 {
		t.Errorf("%d inputs less without the one rate that is used", n)
	}
	for _, s := range fewer.Batches[0].Spreads {
		i := slices.IndexFunc(want.Batches[0].Spreads, func(w trial.Spread) bool { return w.Name == s.Name })
		if was := want.Batches[0].Spreads[i]; was.From != s.From || was.To != s.To || was.OffBy != s.OffBy {
			t.Errorf("%s: %+v once the rates are certain, %+v before", s.Name, s, was)
		}
	}
}

// TestStopped: trials that are given up leave no chances.
func TestStopped(t *testing.T) {
	run := typed.Slow.Read(t)
	asked, made := 0, 0
	try := trial.Request{Trials: 5000, Seed: 1, Done: func(n int) { made += n }, Stop: func() bool { asked++; return asked > 3 }}
	if c, problems := trial.Run(run, typed.Compute(t, run), try); c != nil || problems.Failed() || made != 1500 {
		t.Errorf("stopped after %d trials: %+v, %s", made, c, typed.Said(problems))
	}
}

// TestBudgetAtThreshold: ten of THING cost 85.50 to 99 EUR, which at 0.90 is
// 95 to 110 USD, of a supplier in USD that delivers for 9 USD and from 100 USD on
// for nothing.
func TestBudgetAtThreshold(t *testing.T) {
	in := typed.Slow.With(
		"prices/settings.csv", "Setting,Value\nHome currency,EUR\n",
		"prices/exchange.csv", "Currency,Rate\nUSD,0.9\n",
		"prices/suppliers.csv", "Supplier,Currency,Delivery,Free delivery over\nCorner Parts,USD,9,100\n",
		"prices/offers.csv", "Part number,Supplier,Price,Low,High,Currency\nTHING,Corner Parts,9.225,8.55,9.9,EUR\n",
	)
	o := chances(t, in, 10, trial.Request{Trials: 20_000, Seed: 1, Budget: typed.D("93.59")}).Batches[0]
	share := func(to float64) float64 { return betaOf(85.5, 92.25, 99).CDF((to - 85.5) / (99 - 85.5)) } // of goods up to a sum
	// Within 93.59: goods from 90 to 93.59, or to 85.49 with delivery, which none are.
	nearly(t, "chance of the budget", o.InBudget, share(93.59)-share(90), 0.015)
}
