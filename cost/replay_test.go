package cost_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// multiples are how far each kind of figure is moved.
var multiples = map[string]string{
	"Labour": "0.9", "Energy": "1.25", "rate of": "0.94", "price of": "1.07", "seconds to": "1.2", "power,": "0.8",
}

func multipleOf(name string) decimal.Decimal {
	for kind, text := range multiples {
		if strings.HasPrefix(name, kind) {
			return d(text)
		}
	}
	return d("1")
}

// eachFigure calls change with every figure of a price sheet that is drawn, and
// its range.
func eachFigure(p *bom.Prices, change func(name string, value *decimal.Decimal, r *bom.Range)) {
	s := &p.Settings
	for i := range s.All {
		switch s.All[i].Name {
		case "Labour rate per hour":
			change("Labour", &s.LabourRate, &s.All[i].Range)
		case "Energy price per kWh":
			change("Energy", &s.EnergyPrice, &s.All[i].Range)
		}
	}
	for i := range p.Exchange {
		change("rate of", &p.Exchange[i].Rate, &p.Exchange[i].Range)
	}
	for i := range p.Offers {
		for j := range p.Offers[i].Breaks {
			change("price of", &p.Offers[i].Breaks[j].Price, &p.Offers[i].Breaks[j].Range)
		}
	}
	var none bom.Range
	for i := range p.Quotes {
		q := &p.Quotes[i]
		change("price of", &q.Price, &q.Range)
		change("price of", &q.SetUp, &none)
		change("price of", &q.PerDM2, &none)
	}
	for i := range p.Materials {
		change("price of", &p.Materials[i].SpoolPrice, &p.Materials[i].Range)
	}
	for i := range p.HandWork {
		changeFloat(change, "seconds to", &p.HandWork[i].Seconds, &p.HandWork[i].Range)
	}
	for i := range p.Printers {
		changeFloat(change, "power,", &p.Printers[i].PowerW, &p.Printers[i].PowerRange)
	}
}

func changeFloat(change func(string, *decimal.Decimal, *bom.Range), name string, value *float64, r *bom.Range) {
	v := decimal.NewFromFloat(*value)
	change(name, &v, r)
	*value = v.InexactFloat64()
}

// widen gives every figure a range.
func widen(p *bom.Prices) {
	eachFigure(p, func(_ string, v *decimal.Decimal, r *bom.Range) {
		half, twice := v.Mul(d("0.5")), v.Mul(d("2")).Add(d("0.01"))
		*r = bom.Range{Least: decimal.NewNullDecimal(half), Most: decimal.NewNullDecimal(twice)}
	})
}

// move multiplies every figure.
func move(p *bom.Prices) {
	eachFigure(p, func(name string, v *decimal.Decimal, _ *bom.Range) { *v = v.Mul(multipleOf(name)) })
}

// minorAmount is home money in minor units.
func minorAmount(e *cost.Estimate, v decimal.Decimal) int64 {
	return v.Shift(e.Currency.Digits).IntPart()
}

// sameDecisions tells whether two batches buy and begin the same, so that the
// one is what becomes of the other's plan.
func sameDecisions(a, b cost.Batch) bool {
	type bought struct {
		supplier, code, part string
		quantity             int64
		pieces               bom.Quantity
	}
	decided := func(b cost.Batch) (list []bought) {
		for _, p := range b.Purchases {
			list = append(list, bought{p.Supplier, p.OrderCode, p.Part, p.Quantity, p.Pieces})
		}
		return list
	}
	sameService := func(p, q cost.Post) bool { return p.Service == q.Service }
	return slices.EqualFunc(a.Posts, b.Posts, sameService) && reflect.DeepEqual(decided(a), decided(b))
}

// replayAt replays a batch with all luck as planned and each value that may turn out otherwise
// at a multiple of its value; in home minor units.
func replayAt(t *testing.T, run cost.Run, b *cost.Batch, multiple func(name string) float64) (cash, used int64) {
	t.Helper()
	replays, problems := cost.Replays(run, &cost.Estimate{Batches: []cost.Batch{*b}})
	if replays == nil {
		t.Fatal(said(problems))
	}
	o := replays[0].AsPlanned()
	for i, in := range replays[0].Inputs {
		if !in.Happens {
			o.X[i] *= multiple(in.Name)
		}
	}
	o.Run()
	minor := func(amount float64) int64 {
		return int64(math.Round(amount * math.Pow10(int(run.Prices.Settings.Home.Digits))))
	}
	return minor(o.Cash()), minor(o.Used())
}

// TestReplayIsTheEstimate: on random runs a replay with every figure at its value
// gives cash and use of the estimate to the minor unit, and one with every figure
// elsewhere those of an estimate from a price sheet that says so, where that
// buys the same.
func TestReplayIsTheEstimate(t *testing.T) {
	jobs := checks.Runs(300)
	compared := 0
	for seed := range jobs {
		for _, level := range []string{"board", "kit", "built"} {
			j := anyJob(uint64(seed), level)
			run := j.run(t)
			e := compute(t, run)
			b := &e.Batches[0]
			cash, used := replayAt(t, run, b, func(string) float64 { return 1 })
			if cash != minorAmount(e, b.Total.Cash) || used != minorAmount(e, b.Total.Consumed) {
				t.Fatalf("job %d at level %s: cash %d and used %d; want %s and %s\n%s", seed, level, cash, used, b.Total.Cash, b.Total.Consumed, j)
			}
			widen(run.Prices)
			cash, used = replayAt(t, run, b, func(string) float64 { return 1 })
			if cash != minorAmount(e, b.Total.Cash) || used != minorAmount(e, b.Total.Consumed) {
				t.Fatalf("job %d at level %s with ranges: cash %d and used %d; want %s and %s\n%s", seed, level, cash, used, b.Total.Cash, b.Total.Consumed, j)
			}
			moved := j.run(t)
			move(moved.Prices)
			other, problems := cost.Compute(moved)
			if problems.Failed() || !sameDecisions(*b, other.Batches[0]) {
				continue
			}
			compared++
			cash, used = replayAt(t, run, b, func(name string) float64 { return multipleOf(name).InexactFloat64() })
			total := other.Batches[0].Total
			if math.Abs(float64(cash-minorAmount(other, total.Cash))) > 0 || math.Abs(float64(used-minorAmount(other, total.Consumed))) > 0 {
				t.Fatalf("job %d at level %s, moved: cash %d and used %d; want %s and %s\n%s", seed, level, cash, used, total.Cash, total.Consumed, j)
			}
		}
	}
	if compared < jobs {
		t.Errorf("only %d of %d runs buy the same from other figures", compared, 3*jobs)
	}
}

// TestThresholdsCountAgain: ten of THING cost 85.50 to 99 EUR, which at 0.90 is
// 95 to 110 USD, of a supplier in USD that delivers for 9 USD and from 100 USD on
// for nothing.
func TestThresholdsCountAgain(t *testing.T) {
	in := slow.with(
		"prices/settings.csv", "Setting,Value\nHome currency,EUR\n",
		"prices/exchange.csv", "Currency,Rate\nUSD,0.9\n",
		"prices/suppliers.csv", "Supplier,Currency,Delivery,Free delivery over\nCorner Parts,USD,9,100\n",
		"prices/offers.csv", "Part number,Supplier,Price,Low,High,Currency\nTHING,Corner Parts,9.225,8.55,9.9,EUR\n",
	)
	run := in.read(t)
	e := compute(t, run)
	total := e.Batches[0].Total
	equal(t, "cash", total.Cash, "92.25") // 102.50 USD
	if cash, used := replayAt(t, run, &e.Batches[0], func(string) float64 { return 1 }); cash != 9225 || used != 9225 {
		t.Errorf("as planned: cash %d, used %d", cash, used)
	}
	// 89.95 EUR is 99.94 USD, and 8.10 EUR of delivery come to it.
	if cash, _ := replayAt(t, run, &e.Batches[0], func(string) float64 { return 8.995 / 9.225 }); cash != 8995+810 {
		t.Errorf("under the threshold: cash %d", cash)
	}
}
