package sweep_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// A box at 0.60 EUR, and at 0.50 from 50 on: from 42 on it is cheaper to order 50.
func ExampleRun() {
	home, _ := bom.FindCurrency("EUR")
	box := &bom.Line{Quantity: bom.One, Part: "BOX-1", Kind: bom.KindPacking, Fitted: true, Level: bom.LevelBoard}
	offer := bom.Offer{Part: "BOX-1", Supplier: "Larch Parts", Currency: home, Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One,
		Breaks: []bom.Break{{From: 1, Price: decimal.RequireFromString("0.60")}, {From: 50, Price: decimal.RequireFromString("0.50")}}}
	hundred := decimal.NewFromInt(100) // all units turn out good
	prices := &bom.Prices{Offers: []bom.Offer{offer},
		Settings: bom.Settings{Home: home, UnitYield: hundred, Confidence: hundred, BenchHours: decimal.NewFromInt(2)}}

	curve, problems := sweep.Run(cost.Run{Name: "box", Unit: &bom.Assembly{Lines: []*bom.Line{box}}, Prices: prices,
		Level: bom.LevelBuilt, Batches: []int{10}}, sweep.Request{From: 1, To: 60})
	if problems.Failed() {
		fmt.Println(problems)
		return
	}
	for _, j := range curve.Jumps {
		fmt.Println("at", j.Size, j.Kind, j.From, "to", j.To)
	}
	for _, n := range curve.Near(45) {
		fmt.Println(n.Size, "instead of 45:", n.Cash, "more")
	}
	// Output:
	// at 42 price break 0.6 to 0.5
	// 50 instead of 45: 0 more
}
