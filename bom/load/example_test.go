package load_test

import (
	"fmt"

	"tenoff/bom/load"
)

// The demo's frost alarm, with its boards, prices and printed parts.
func Example() {
	source := load.Source{
		BOM:    []string{"../../fixtures/demo/frost-alarm/unit.csv"},
		Prices: "../../fixtures/demo/frost-alarm/prices",
	}
	unit, prices, problems := source.Run()
	fmt.Println(problems.Failed(), len(unit.Lines), "lines,", len(prices.Suppliers), "suppliers")
	fmt.Println(unit.Lines[0].Part, "holds", len(unit.Lines[0].Sub.Lines), "lines")
	// Output:
	// false 17 lines, 7 suppliers
	// FA-MAIN holds 19 lines
}
