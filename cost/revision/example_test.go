package revision_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
)

// Ten units of two boxes at 0.60 EUR; then of three, and the price rises to 0.70.
func ExampleCompare() {
	home, _ := bom.FindCurrency("EUR")
	run := func(boxes bom.Quantity, price string) cost.Run {
		box := &bom.Line{Quantity: boxes, Part: "BOX-1", Kind: bom.KindPacking, Fitted: true, Level: bom.LevelBoard}
		offer := bom.Offer{Part: "BOX-1", Supplier: "Larch Parts", Currency: home, Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One,
			Breaks: []bom.Break{{From: 1, Price: decimal.RequireFromString(price)}}}
		hundred := decimal.NewFromInt(100) // all units turn out good
		return cost.Run{Name: "box", Unit: &bom.Assembly{Lines: []*bom.Line{box}}, Level: bom.LevelBuilt, Batches: []int{10},
			Prices: &bom.Prices{Offers: []bom.Offer{offer},
				Settings: bom.Settings{Home: home, UnitYield: hundred, Confidence: hundred, BenchHours: decimal.NewFromInt(2)}}}
	}
	r, problems := revision.Compare(run(2*bom.One, "0.60"), run(3*bom.One, "0.70"))
	if problems.Failed() {
		fmt.Println(problems)
		return
	}
	for _, s := range r.Steps {
		fmt.Println(s.Changes[0].Kind, s.Costs[0].Cash)
	}
	fmt.Println("in all", r.New[0].Cash.Sub(r.Old[0].Cash))
	// Output:
	// line changed 6
	// price changed 3
	// in all 9
}
