package rulecost_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/rulecost"
)

// Ten boxes are 0.60 EUR each at one shop and 0.75 at another, and the first is left out.
func ExampleExtras() {
	home, _ := bom.FindCurrency("EUR")
	box := &bom.Line{Quantity: bom.One, Part: "BOX-1", Kind: bom.KindPacking, Fitted: true, Level: bom.LevelBoard}
	offer := func(supplier, price string) bom.Offer {
		return bom.Offer{Part: "BOX-1", Supplier: supplier, Currency: home, Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One,
			Breaks: []bom.Break{{From: 1, Price: decimal.RequireFromString(price)}}}
	}
	hundred := decimal.NewFromInt(100) // all units turn out good
	for _, x := range rulecost.Extras(cost.Run{Name: "box", Unit: &bom.Assembly{Lines: []*bom.Line{box}}, Level: bom.LevelBuilt, Batches: []int{10},
		Prices: &bom.Prices{Offers: []bom.Offer{offer("Larch Parts", "0.60"), offer("Far Parts", "0.75")},
			Settings: bom.Settings{Home: home, UnitYield: hundred, Confidence: hundred, BenchHours: decimal.NewFromInt(2)}},
		Rules: cost.Rules{Without: []string{"Larch Parts"}}}) {
		fmt.Println(x.Rule, x.Batches[0].Cash)
	}
	// Output: without Larch Parts 1.5
}
