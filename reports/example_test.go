package reports_test

import (
	"fmt"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/cost"
	"tenoff/reports"
)

// Another program estimates a run: it loads the files, computes, and shows what it
// likes of the estimate.
func Example() {
	source := load.Source{
		BOM:    []string{"../fixtures/demo/morse-kit/unit.csv"},
		Prices: "../fixtures/demo/morse-kit/prices",
	}
	unit, prices, problems := source.Run()
	if problems.Failed() {
		fmt.Println(problems.Of(bom.Error))
		return
	}
	today, _ := bom.ParseDate("2026-11-25")
	estimate, problems := cost.Compute(cost.Run{
		Name: "Morse practice kit", Unit: unit, Prices: prices,
		Level: bom.LevelKit, Batches: []int{10, 25}, Today: today,
	})
	if problems.Failed() {
		fmt.Println(problems.Of(bom.Error))
		return
	}
	for _, b := range estimate.Batches {
		fmt.Println(b.Size, "units:", b.PerUnit(b.Total.Consumed).StringFixed(2), estimate.Currency.Code, "each")
	}
	fmt.Println(reports.State(estimate))
	// Output:
	// 10 units: 18.07 GBP each
	// 25 units: 14.27 GBP each
	// complete: every line has a price
}
