package cost_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Ten units of one box that is sold at 0.60 EUR, and at 0.50 from 50 on.
func ExampleCompute() {
	home, _ := bom.FindCurrency("EUR")
	box := &bom.Line{Quantity: 2 * bom.One, Part: "BOX-1", Kind: bom.KindPacking, Fitted: true, Level: bom.LevelBoard}
	offer := bom.Offer{Part: "BOX-1", Supplier: "Larch Parts", Currency: home, Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One,
		Breaks: []bom.Break{{From: 1, Price: decimal.RequireFromString("0.60")}, {From: 50, Price: decimal.RequireFromString("0.50")}}}
	hundred := decimal.NewFromInt(100) // all units turn out good
	prices := &bom.Prices{Offers: []bom.Offer{offer},
		Settings: bom.Settings{Home: home, UnitYield: hundred, Confidence: hundred, BenchHours: decimal.NewFromInt(2)}}

	estimate, problems := cost.Compute(cost.Run{Name: "box", Unit: &bom.Assembly{Lines: []*bom.Line{box}}, Prices: prices,
		Level: bom.LevelBuilt, Batches: []int{10, 40}})
	if problems.Failed() {
		fmt.Println(problems)
		return
	}
	for _, b := range estimate.Batches {
		fmt.Println(b.Size, b.Total.Cash, b.PerUnit(b.Total.Consumed))
	}
	// Output:
	// 10 12 1.2
	// 40 40 1
}
