package trial_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/trial"
)

// Ten boxes at 0.60 EUR, which may cost 0.50 to 0.90 each: 5, 6 and 9 EUR are a beta distribution
// of 2 and 4, of which 13/16 lies under its middle.
func ExampleRun() {
	home, _ := bom.FindCurrency("EUR")
	figure := decimal.RequireFromString
	box := &bom.Line{Quantity: bom.One, Part: "BOX-1", Kind: bom.KindPacking, Fitted: true, Level: bom.LevelBoard}
	offer := bom.Offer{Part: "BOX-1", Supplier: "Larch Parts", Currency: home, Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One,
		Breaks: []bom.Break{{From: 1, Price: figure("0.60"),
			Range: bom.Range{Least: decimal.NewNullDecimal(figure("0.50")), Most: decimal.NewNullDecimal(figure("0.90"))}}}}
	hundred := decimal.NewFromInt(100) // all units turn out good
	run := cost.Run{Name: "box", Unit: &bom.Assembly{Lines: []*bom.Line{box}}, Level: bom.LevelBuilt, Batches: []int{10},
		Prices: &bom.Prices{Offers: []bom.Offer{offer},
			Settings: bom.Settings{Home: home, UnitYield: hundred, Confidence: hundred, BenchHours: decimal.NewFromInt(2)}}}

	estimate, problems := cost.Compute(run)
	if problems.Failed() {
		fmt.Println(problems)
		return
	}
	chances, problems := trial.Run(run, estimate, trial.Request{Trials: 10_000, Seed: 1, Budget: figure("7")})
	if problems.Failed() {
		fmt.Println(problems)
		return
	}
	b := chances.Batches[0]
	fmt.Println("planned", estimate.Batches[0].Total.Cash)
	fmt.Printf("P10 %.1f, P50 %.1f, P90 %.1f\n", b.Cash.P10, b.Cash.P50, b.Cash.P90)
	fmt.Printf("within 7 EUR: %.0f %%\n", 100*b.InBudget)
	fmt.Println(b.Spreads[0].Name)
	// Output:
	// planned 6
	// P10 5.4, P50 6.3, P90 7.3
	// within 7 EUR: 81 %
	// price of BOX-1, Larch Parts
}
