package cost_test

import (
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// Rows of the price sheet whose name no line has are told, with the nearest name that
// there is, whatever its case; a line that is made at another level only, or that is
// not fitted, has its name all the same.
func TestNamesThatMeetNothing(t *testing.T) {
	run := input{
		"unit.csv": `Quantity,Part number,Value,Kind,Mount,Package,Level,Fitted,File,Material,Filament g,Print hours
1,MAIN,,board,,,,,main.csv
1,Knob-7,,other,,,built,,
1,Spare,,other,,,,no,
1,Case,,printed,,,,,,PLA,5,1
`,
		"main.csv": `Quantity,Designators,Part number,Value,Mount,Package
1,R1,,4k7,smt,0603
1,U1,Tiny-5,,smt,SOIC-8
1,J1,Plug,,tht,axial
`,
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/on-hand.csv": `Part number,Quantity,Unit value
4.7 kΩ 0603,5,0.1
KNOB-7,5,0.1
Spare,5,0.1
main,5,0.1
Tiny-4,5,0.1
Quite another,5,0.1
Empty,0,0.1
Stand-in,5,0.1
Case,5,0.1
`,
		"prices/attrition.csv": `Applies to,Package,Percent,Pieces
smt,0603,2,1
smt,SO8,2,1
smt,0604,2,1
tht,0603,2,1
tht,,2,1
`,
		"prices/substitutes.csv": "Part number,Substitute\nTiny-5,Stand-in\n",
		"prices/who-pays.csv":    "Applies to,Payer,Share %\npostge,Club,100\nTINY-5,Club,100\n",
	}.read(t)
	run.Level = bom.LevelBoard
	_, problems := cost.New(run)
	var got []string
	for _, p := range problems.Grouped() {
		if p.Severity == bom.Warning {
			got = append(got, p.String())
		}
	}
	want := []string{
		`prices/who-pays.csv: unknown part, supplier or category; the row is not used, 2 times: "postge" (row 2, did you mean postage), "TINY-5" (row 3, did you mean Tiny-5); everything, a part or supplier of this run, or one of: bare boards, SMT assembly, SMT parts, through-hole parts, fasteners, printed parts, other parts, tooling, packing, postage, delivery, duty and tax, labour`,
		`prices/on-hand.csv: no line has this part, and its stock is not used, 4 times: "KNOB-7" (row 3, did you mean Knob-7), "main" (row 5, did you mean MAIN), "Tiny-4" (row 6, did you mean Tiny-5), "Quite another" (row 7); a part, board or material of the bill of materials`,
		`prices/on-hand.csv:10:1: printed parts are printed anew, and what is on hand of this one is not used ("Case"); leave the row out, and lower the quantity of the line where fewer are to be printed`,
		`prices/attrition.csv:4:2: no smt line has this package, and its allowance is not used ("0604"); a package of the bill of materials (did you mean 0603)`,
		`prices/attrition.csv:5:2: no tht line has this package, and its allowance is not used ("0603"); a package of the bill of materials`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got")
		for _, s := range got {
			t.Log(s)
		}
	}
}

// Stock of a panel is taken for the boards on it, and is no name that no line has; of five
// panels that are wanted two are there. A panel with a board of another unit is not made.
func TestStockOfPanels(t *testing.T) {
	run := input{
		"unit.csv":             "Quantity,Part number,Kind,File\n1,MAIN,board,main.csv\n",
		"main.csv":             "Designator,Part number,Mount,Joints\nJ1,HDR,THT,2\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv": "Supplier,Delivery\nPanel House,0\nCorner Parts,0\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nHDR,Corner Parts,1\n",
		"prices/boards.csv":    "Board,Fabricator,Lot,Price\nFOUR,Panel House,1,8\n",
		"prices/panels.csv":    "Panel,Board,Per panel\nFOUR,MAIN,4\nMIXED,MAIN,2\nMIXED,OTHER,2\n",
		"prices/on-hand.csv":   "Part number,Quantity,Unit value\nFOUR,2,0\nMIXED,2,0\n",
	}.read(t)
	run.Batches = []int{20}
	e, problems := cost.Compute(run)
	if e == nil || problems.Failed() {
		t.Fatal(said(problems))
	}
	equal(t, "three panels at 8 and twenty headers", e.Batches[0].Total.Cash, "44")
	if text := said(problems); strings.Contains(text, `"FOUR"`) || !strings.Contains(text, `its stock is not used ("MIXED"`) {
		t.Errorf("said: %s", text)
	}
}
