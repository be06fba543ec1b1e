package waysout_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/waysout"
)

// Forty boxes at 0.60 EUR are wanted, thirty are left; another box is 0.70.
func ExampleFind() {
	home, _ := bom.FindCurrency("EUR")
	box := &bom.Line{Quantity: bom.One, Part: "BOX-1", Kind: bom.KindPacking, Fitted: true, Level: bom.LevelBoard}
	offer := func(part, price string, stock int64) bom.Offer {
		return bom.Offer{Part: part, Supplier: "Larch Parts", Currency: home, Stock: stock, MOQ: 1, Multiple: 1, Pieces: bom.One,
			Breaks: []bom.Break{{From: 1, Price: decimal.RequireFromString(price)}}}
	}
	hundred := decimal.NewFromInt(100) // all units turn out good
	found, problems := waysout.Find(cost.Run{Name: "box", Unit: &bom.Assembly{Lines: []*bom.Line{box}}, Level: bom.LevelBuilt, Batches: []int{40},
		Prices: &bom.Prices{Offers: []bom.Offer{offer("BOX-1", "0.60", 30), offer("BOX-2", "0.70", -1)},
			Substitutes: []bom.Substitute{{Part: "BOX-1", Substitute: "BOX-2", Allowed: true, Mix: true}},
			Settings:    bom.Settings{Home: home, UnitYield: hundred, Confidence: hundred, BenchHours: decimal.NewFromInt(2)}}})
	if problems.Failed() {
		fmt.Println(problems)
		return
	}
	for _, p := range found.Parts {
		fmt.Println(p.Part, "at", p.Size, "units:", p.Left, "of", p.Required)
		for _, w := range p.Ways {
			kind := map[waysout.WayKind]string{waysout.Substituted: "all", waysout.Mixed: "the rest", waysout.Fewer: "fewer"}[w.Kind]
			fmt.Println(kind, w.Substitute, w.Size, w.Cash)
		}
	}
	// Output:
	// BOX-1 at 40 units: 30 of 40
	// fewer  30 18
	// the rest BOX-2 40 25
	// all BOX-2 40 28
}
